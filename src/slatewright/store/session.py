"""The name by which others speak of an open read or write, without knowing the database."""

from sqlalchemy.orm import Session

__all__ = ["Session"]
