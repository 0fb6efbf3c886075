"""Plans: kept as the text of their files, each save beside the ones before."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session, defer

from slatewright.physics.units import UnitSystem
from slatewright.store._plan_rows import (
    changed_plan,
    current_plan,
    entry_of,
    headline,
    kept_plan,
    saved_plan,
)
from slatewright.store.columns import checked_text
from slatewright.store.plan_records import PlanEntry, PlanStatus, PlanText, SavedPlan
from slatewright.store.records import record_of, row_of
from slatewright.store.schema import PlanRow, PlanTextRow

__all__ = [
    "UNTITLED",
    "PlanEntry",
    "PlanStatus",
    "PlanText",
    "SavedPlan",
    "create_plan",
    "duplicate_plan",
    "get_plan",
    "list_plans",
    "plan_texts",
    "save_plan",
    "set_plan_status",
]

UNTITLED: Final = "Untitled"
"""The title of a plan whose text has never had one."""


def create_plan(
    session: Session,
    text: str,
    *,
    now: datetime,
    earlier_plan_id: int | None = None,
) -> SavedPlan:
    """Keep a new plan.

    Parameters
    ----------
    session
        A session that writes.
    text
        The text of its file. It may still have faults: work in hand is kept too.
    now
        The moment.
    earlier_plan_id
        The plan of the dive before, if there is one.

    Raises
    ------
    InputError
        If the text is too long or is none, or the earlier plan is not there.
    """
    checked_text(text, "plan")
    if earlier_plan_id is not None:
        kept_plan(session, earlier_plan_id)
    title, units = headline(text)
    row = PlanRow(
        title=title or UNTITLED,
        units=units or UnitSystem.METRIC,
        text=text,
        earlier_plan_id=earlier_plan_id,
        status=PlanStatus.DRAFT,
        created_at=now,
        changed_at=now,
        trashed_at=None,
    )
    session.add(row)
    session.flush()
    return saved_plan(row)


def get_plan(session: Session, plan_id: int) -> SavedPlan:
    """Return a plan, in the trash or not.

    Parameters
    ----------
    session
        A session.
    plan_id
        Its number.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    return saved_plan(row_of(session, PlanRow, plan_id, "plan"))


def list_plans(session: Session, *, trashed: bool = False) -> tuple[PlanEntry, ...]:
    """Return all plans, the last changed first.

    Parameters
    ----------
    session
        A session.
    trashed
        True for those in the trash, False for the others.
    """
    there = PlanRow.trashed_at.is_not(None) if trashed else PlanRow.trashed_at.is_(None)
    rows = session.scalars(
        select(PlanRow)
        .where(there)
        .order_by(PlanRow.changed_at.desc(), PlanRow.id.desc())
        .options(defer(PlanRow.text, raiseload=True))
    )
    return tuple(entry_of(row) for row in rows)


def save_plan(
    session: Session, plan_id: int, version: int, text: str, *, now: datetime
) -> SavedPlan:
    """Save a new text of a plan; the text before it is kept.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        Its number.
    version
        The version from which the new text was made.
    text
        The new text; the same as before changes nothing.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since; carries that text and version.
    InputError
        If the text is too long or is none, or the plan is not there, or is in the trash.
    """
    checked_text(text, "plan")
    row = current_plan(session, plan_id, version)
    if text == row.text:
        return saved_plan(row)
    session.add(
        PlanTextRow(plan_id=row.id, version=row.version, text=row.text, saved_at=row.changed_at)
    )
    title, units = headline(text)
    row.text, row.title, row.units = text, title or row.title, units or row.units
    row.changed_at = now
    session.flush()
    return saved_plan(row)


def set_plan_status(
    session: Session, plan_id: int, version: int, status: PlanStatus, *, now: datetime
) -> SavedPlan:
    """Say how far a plan is.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        Its number.
    version
        The version that the person has seen.
    status
        How far it is.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since.
    InputError
        If it is not there, or is in the trash.
    """
    row = current_plan(session, plan_id, version)
    return changed_plan(session, row, now, status=PlanStatus(status))


def plan_texts(session: Session, plan_id: int) -> tuple[PlanText, ...]:
    """Return all texts that a plan has had, the present one first: what undo can go back to.

    Parameters
    ----------
    session
        A session.
    plan_id
        Its number.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    now = get_plan(session, plan_id)
    rows = session.scalars(
        select(PlanTextRow)
        .where(PlanTextRow.plan_id == plan_id)
        .order_by(PlanTextRow.version.desc())
    )
    present = PlanText(now.version, now.text, now.changed_at)
    return (present, *(record_of(PlanText, row) for row in rows))


def duplicate_plan(session: Session, plan_id: int, *, now: datetime) -> SavedPlan:
    """Keep a second plan with the same text, as a draft.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        The plan to copy.
    now
        The moment.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    plan = get_plan(session, plan_id)
    earlier = plan.earlier_plan_id
    if earlier is not None and get_plan(session, earlier).trashed_at is not None:
        earlier = None  # only a trashed plan can follow a trashed one
    return create_plan(session, plan.text, now=now, earlier_plan_id=earlier)
