"""People: as little about them as is needed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.store.columns import checked_line
from slatewright.store.faults import StaleRecord
from slatewright.store.records import record_of, row_of
from slatewright.store.schema import PersonRow


@dataclass(frozen=True, slots=True)
class Particulars:
    """What is known about a person.

    Parameters
    ----------
    name
        The name.
    contact
        How to reach them; may be empty.
    emergency_contact
        Whom to call; may be empty.
    medical_on
        The day of the last medical clearance; None if unknown.
    medical_until
        The last day on which it holds; None if unknown.
    born_on
        The birthday; None if unknown.
    """

    name: str
    contact: str = ""
    emergency_contact: str = ""
    medical_on: date | None = None
    medical_until: date | None = None
    born_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Person(Particulars):
    """A person in the roster.

    Parameters
    ----------
    name, contact, emergency_contact, medical_on, medical_until, born_on
        As for `Particulars`.
    id
        Their number, never given to another person.
    version
        How often the record has been saved, counted from 1.
    created_at, changed_at
        When it was first and last saved.
    """

    id: int
    version: int
    created_at: datetime
    changed_at: datetime


def add_person(session: Session, particulars: Particulars, *, now: datetime) -> Person:
    """Add a person.

    Parameters
    ----------
    session
        A session that writes.
    particulars
        What is known about them.
    now
        The moment.

    Raises
    ------
    InputError
        If something of it cannot be kept.
    """
    row = PersonRow(created_at=now, changed_at=now)
    _fill(row, particulars)
    session.add(row)
    session.flush()
    return record_of(Person, row)


def get_person(session: Session, person_id: int) -> Person:
    """Return a person.

    Parameters
    ----------
    session
        A session.
    person_id
        Their number.

    Raises
    ------
    NoSuchRecord
        If there is none.
    """
    return record_of(Person, row_of(session, PersonRow, person_id, "person"))


def list_people(session: Session) -> tuple[Person, ...]:
    """Return all people, by name.

    Parameters
    ----------
    session
        A session.
    """
    rows = session.scalars(select(PersonRow).order_by(func.lower(PersonRow.name), PersonRow.id))
    return tuple(record_of(Person, row) for row in rows)


def save_person(
    session: Session, person_id: int, version: int, particulars: Particulars, *, now: datetime
) -> Person:
    """Save what is known about a person.

    Parameters
    ----------
    session
        A session that writes.
    person_id
        Their number.
    version
        The version from which the particulars were made.
    particulars
        All that is known about them; what is left out is forgotten.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since; carries that record.
    InputError
        If something of it cannot be kept, or there is no such person.
    """
    row = row_of(session, PersonRow, person_id, "person")
    if row.version != version:
        raise StaleRecord(
            "person",
            given=version,
            version=row.version,
            text="",
            theirs=record_of(Person, row),
        )
    _fill(row, particulars)
    if session.is_modified(row):
        row.changed_at = now
    session.flush()
    return record_of(Person, row)


def _fill(row: PersonRow, particulars: Particulars) -> None:
    begins, ends = particulars.medical_on, particulars.medical_until
    if begins is not None and ends is not None and ends < begins:
        raise InputError(
            f"the medical clearance ends on {ends}, before it begins on {begins}",
            where="medical_until",
            right="a day not before the examination",
        )
    row.name = checked_line(particulars.name, "name")
    row.contact = checked_line(particulars.contact, "contact", empty=True)
    row.emergency_contact = checked_line(
        particulars.emergency_contact, "emergency_contact", empty=True
    )
    row.medical_on, row.medical_until = begins, ends
    row.born_on = particulars.born_on
