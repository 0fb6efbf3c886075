"""Dives that are to be dived: a day and a plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from slatewright.store._plan_rows import kept_plan
from slatewright.store.faults import StaleRecord
from slatewright.store.records import record_of, row_of
from slatewright.store.schema import DiveRow


@dataclass(frozen=True, slots=True)
class Dive:
    """A dive that is to be dived.

    Parameters
    ----------
    id
        Its number, never given to another dive.
    on_date
        The day.
    plan_id
        The plan.
    version
        How often it has been saved, counted from 1.
    created_at, changed_at
        When it was first and last saved.
    """

    id: int
    on_date: date
    plan_id: int
    version: int
    created_at: datetime
    changed_at: datetime


def add_dive(session: Session, on_date: date, plan_id: int, *, now: datetime) -> Dive:
    """Put a dive on the list.

    Parameters
    ----------
    session
        A session that writes.
    on_date
        The day.
    plan_id
        The plan.
    now
        The moment.

    Raises
    ------
    InputError
        If the plan is not there, or is in the trash.
    """
    kept_plan(session, plan_id)
    row = DiveRow(on_date=on_date, plan_id=plan_id, created_at=now, changed_at=now)
    session.add(row)
    session.flush()
    return record_of(Dive, row)


def get_dive(session: Session, dive_id: int) -> Dive:
    """Return a dive.

    Parameters
    ----------
    session
        A session.
    dive_id
        Its number.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    return record_of(Dive, row_of(session, DiveRow, dive_id, "dive"))


def list_dives(session: Session, *, from_date: date) -> tuple[Dive, ...]:
    """Return the dives from a day on, the next one first.

    Parameters
    ----------
    session
        A session.
    from_date
        The first day.
    """
    rows = session.scalars(
        select(DiveRow).where(DiveRow.on_date >= from_date).order_by(DiveRow.on_date, DiveRow.id)
    )
    return tuple(record_of(Dive, row) for row in rows)


def save_dive(
    session: Session, dive_id: int, version: int, on_date: date, plan_id: int, *, now: datetime
) -> Dive:
    """Move a dive to another day, or give it another plan.

    Parameters
    ----------
    session
        A session that writes.
    dive_id
        Its number.
    version
        The version that the person has seen.
    on_date
        The day.
    plan_id
        The plan.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since; carries that record.
    InputError
        If dive or plan are not there, or the plan is in the trash.
    """
    row = _current(session, dive_id, version)
    kept_plan(session, plan_id)
    row.on_date, row.plan_id = on_date, plan_id
    if session.is_modified(row):
        row.changed_at = now
    session.flush()
    return record_of(Dive, row)


def remove_dive(session: Session, dive_id: int, version: int) -> None:
    """Take a dive off the list; what was analysed for it is kept.

    Parameters
    ----------
    session
        A session that writes.
    dive_id
        Its number.
    version
        The version that the person has seen.

    Raises
    ------
    StaleRecord
        If another window has saved it since; carries that record.
    NoSuchRecord
        If it is not there.
    """
    _current(session, dive_id, version)
    session.execute(delete(DiveRow).where(DiveRow.id == dive_id))
    session.expire_all()


def _current(session: Session, dive_id: int, version: int) -> DiveRow:
    row = row_of(session, DiveRow, dive_id, "dive")
    if row.version != version:
        raise StaleRecord(
            "dive", given=version, version=row.version, text="", theirs=record_of(Dive, row)
        )
    return row
