"""The trash: where plans wait to be taken back, or deleted for good."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.store._plan_rows import changed_plan, current_plan, kept_plan
from slatewright.store.plan_records import SavedPlan
from slatewright.store.records import row_of
from slatewright.store.schema import DiveRow, PlanRow


def trash_plan(session: Session, plan_id: int, version: int, *, now: datetime) -> SavedPlan:
    """Put a plan into the trash, from which it can be taken back.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        Its number.
    version
        The version that the person has seen.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since.
    InputError
        If it is not there, or a dive or a later plan needs it.
    """
    row = current_plan(session, plan_id, version)
    later = session.scalars(
        select(PlanRow.title).where(
            PlanRow.earlier_plan_id == plan_id, PlanRow.trashed_at.is_(None)
        )
    ).first()
    if later is not None:
        raise InputError(
            f"the plan '{later}' begins with what this dive leaves in the body",
            right="give that one another dive before it, or none, first",
        )
    day: date | None = session.scalars(
        select(DiveRow.on_date).where(DiveRow.plan_id == plan_id).order_by(DiveRow.on_date)
    ).first()
    if day is not None:
        raise InputError(
            f"the dive of {day} goes by this plan",
            right="give that dive another plan, or take it off the list, first",
        )
    return changed_plan(session, row, row.changed_at, trashed_at=now)


def untrash_plan(session: Session, plan_id: int) -> SavedPlan:
    """Take a plan out of the trash.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        Its number.

    Raises
    ------
    InputError
        If it is not there, or the plan before it is in the trash.
    """
    row = row_of(session, PlanRow, plan_id, "plan")
    if row.earlier_plan_id is not None:
        kept_plan(session, row.earlier_plan_id)
    return changed_plan(session, row, row.changed_at, trashed_at=None)


def destroy_plan(session: Session, plan_id: int) -> None:
    """Delete a plan that is in the trash, with its earlier texts and signatures, for good.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        Its number.

    Raises
    ------
    InputError
        If it is not there, is not in the trash, or another plan in the trash follows it.
    """
    row = row_of(session, PlanRow, plan_id, "plan")
    if row.trashed_at is None:
        raise InputError("the plan is not in the trash", right="put it there first")
    if session.scalars(select(PlanRow.id).where(PlanRow.earlier_plan_id == plan_id)).first():
        raise InputError(
            "another plan in the trash follows this dive", right="delete the later one first"
        )
    session.execute(delete(PlanRow).where(PlanRow.id == plan_id))
    session.expire_all()
