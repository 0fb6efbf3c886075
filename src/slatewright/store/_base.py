"""The root of all tables, and what they have in common."""

from __future__ import annotations

from datetime import datetime
from typing import Any, ClassVar, Final

from sqlalchemy import Double, MetaData, Text
from sqlalchemy.orm import DeclarativeBase

from slatewright.store.columns import UtcMoment


class Base(DeclarativeBase):
    """The root of all tables; constraints have names, so that migrations can speak of them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        datetime: UtcMoment(),
        float: Double(),
        str: Text(),
    }


NEVER_REUSED: Final = {"sqlite_autoincrement": True}
"""A number that a deleted record had goes to no other: an old window would show the wrong one."""
