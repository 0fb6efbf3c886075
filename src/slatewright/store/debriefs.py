"""Debriefs: what was said after a dive; added, never changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.store._plan_rows import kept_plan
from slatewright.store.columns import checked_line, checked_text
from slatewright.store.records import record_of, row_of
from slatewright.store.schema import PersonRow, PlanRow
from slatewright.store.schema_course import DebriefRow
from slatewright.store.vouching import Who


@dataclass(frozen=True, slots=True)
class Debrief:
    """A debrief.

    Parameters
    ----------
    id
        Its number.
    plan_id, plan_title
        The plan that was dived.
    on_date
        The day of the dive.
    text
        What was said.
    by_name, by_person_id
        By whom.
    made_at
        When it was written down.
    """

    id: int
    plan_id: int
    plan_title: str
    on_date: date
    text: str
    by_name: str
    by_person_id: int | None
    made_at: datetime


def add_debrief(
    session: Session, plan_id: int, on_date: date, text: str, who: Who, *, now: datetime
) -> Debrief:
    """Record a debrief.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        The plan that was dived.
    on_date
        The day of the dive.
    text
        What was said.
    who
        By whom.
    now
        The moment.

    Raises
    ------
    InputError
        If nothing was said, or plan or person are not there.
    """
    plan = kept_plan(session, plan_id)
    if who.person_id is not None:
        row_of(session, PersonRow, who.person_id, "person")
    said = checked_text(text.strip(), "text")
    if not said:
        raise InputError("is empty", where="text", right="what was planned and what was done")
    row = DebriefRow(
        plan_id=plan_id,
        on_date=on_date,
        text=said,
        by_name=checked_line(who.name, "by"),
        by_person_id=who.person_id,
        made_at=now,
    )
    session.add(row)
    session.flush()
    return record_of(Debrief, row, plan_title=plan.title)


def recent_debriefs(session: Session, *, most: int) -> tuple[Debrief, ...]:
    """Return the last debriefs, the last dive first.

    Parameters
    ----------
    session
        A session.
    most
        How many at most.
    """
    rows = session.execute(
        select(DebriefRow, PlanRow.title)
        .join(PlanRow, PlanRow.id == DebriefRow.plan_id)
        .order_by(DebriefRow.on_date.desc(), DebriefRow.id.desc())
        .limit(most)
    )
    return tuple(record_of(Debrief, row, plan_title=title) for row, title in rows)


def plan_debriefs(session: Session, plan_id: int) -> tuple[Debrief, ...]:
    """Return the debriefs of a plan, the first first.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    """
    rows = session.execute(
        select(DebriefRow, PlanRow.title)
        .join(PlanRow, PlanRow.id == DebriefRow.plan_id)
        .where(DebriefRow.plan_id == plan_id)
        .order_by(DebriefRow.id)
    )
    return tuple(record_of(Debrief, row, plan_title=title) for row, title in rows)
