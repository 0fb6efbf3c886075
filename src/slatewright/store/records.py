"""From rows to frozen records: what leaves a session holds no connection and cannot be changed."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, TypeVar

from sqlalchemy.orm import Session

from slatewright.store.faults import NoSuchRecord
from slatewright.store.schema import Base

if TYPE_CHECKING:
    from dataclasses import Field


class _Record(Protocol):
    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


_R = TypeVar("_R", bound=_Record)
_B = TypeVar("_B", bound=Base)


def record_of(kind: type[_R], row: object, /, **known: object) -> _R:
    """Return the record of a row: its fields are the row's columns of the same names.

    Parameters
    ----------
    kind
        The kind of record, a frozen dataclass.
    row
        A row, or anything with attributes of those names.
    known
        Fields that the row does not have.
    """
    return kind(
        **{
            field.name: known[field.name] if field.name in known else getattr(row, field.name)
            for field in fields(kind)
        }
    )


def row_of(session: Session, kind: type[_B], key: int | str, name: str) -> _B:
    """Return the row with a key.

    Parameters
    ----------
    session
        A session of the store.
    kind
        The table.
    key
        Its primary key.
    name
        What to call the record in a message.

    Raises
    ------
    NoSuchRecord
        If there is none.
    """
    # beyond what the column can hold there is none; the server would call it an error
    row = session.get(kind, key) if isinstance(key, str) or 0 < key < 2**31 else None
    if row is None:
        raise NoSuchRecord(name, key)
    return row
