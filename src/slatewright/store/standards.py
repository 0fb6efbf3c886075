"""Standards in the workspace: kept as the text of their files."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from slatewright.store._plan_rows import headline
from slatewright.store.columns import checked_text
from slatewright.store.faults import StaleRecord
from slatewright.store.records import record_of, row_of
from slatewright.store.schema_course import StandardRow

UNTITLED = "Untitled"


@dataclass(frozen=True, slots=True)
class KeptStandard:
    """A standard in the records.

    Parameters
    ----------
    id
        Its number.
    title
        Its title, read out of the text.
    text
        Its text; it may have faults.
    version
        How often it has been saved, counted from 1.
    created_at, changed_at
        When it was first and last saved.
    """

    id: int
    title: str
    text: str
    version: int
    created_at: datetime
    changed_at: datetime


def create_standard(session: Session, text: str, *, now: datetime) -> KeptStandard:
    """Keep a new standard.

    Parameters
    ----------
    session
        A session that writes.
    text
        The text of its file; it may still have faults.
    now
        The moment.

    Raises
    ------
    InputError
        If the text cannot be kept.
    """
    checked_text(text, "standard")
    row = StandardRow(
        title=headline(text)[0] or UNTITLED, text=text, created_at=now, changed_at=now
    )
    session.add(row)
    session.flush()
    return record_of(KeptStandard, row)


def get_standard(session: Session, standard_id: int) -> KeptStandard:
    """Return a standard.

    Parameters
    ----------
    session
        A session.
    standard_id
        Its number.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    return record_of(KeptStandard, row_of(session, StandardRow, standard_id, "standard"))


def list_standards(session: Session) -> tuple[KeptStandard, ...]:
    """Return all standards, in the order in which they were made.

    Parameters
    ----------
    session
        A session.
    """
    rows = session.scalars(select(StandardRow).order_by(StandardRow.id))
    return tuple(record_of(KeptStandard, row) for row in rows)


def save_standard(
    session: Session, standard_id: int, version: int, text: str, *, now: datetime
) -> KeptStandard:
    """Save a standard.

    Parameters
    ----------
    session
        A session that writes.
    standard_id
        Its number.
    version
        The version from which the text was made.
    text
        The new text.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since; carries that record.
    InputError
        If the text cannot be kept, or there is no such standard.
    """
    checked_text(text, "standard")
    row = _current(session, standard_id, version)
    if row.text != text:
        row.text, row.changed_at = text, now
        row.title = headline(text)[0] or row.title
    session.flush()
    return record_of(KeptStandard, row)


def remove_standard(session: Session, standard_id: int, version: int) -> None:
    """Remove a standard.

    Parameters
    ----------
    session
        A session that writes.
    standard_id
        Its number.
    version
        The version that the person has seen.

    Raises
    ------
    StaleRecord
        If another window has saved it since.
    NoSuchRecord
        If it is not there.
    """
    _current(session, standard_id, version)
    session.execute(delete(StandardRow).where(StandardRow.id == standard_id))
    session.expire_all()


def _current(session: Session, standard_id: int, version: int) -> StandardRow:
    row = row_of(session, StandardRow, standard_id, "standard")
    if row.version != version:
        raise StaleRecord(
            "standard",
            given=version,
            version=row.version,
            text=row.text,
            theirs=record_of(KeptStandard, row),
        )
    return row
