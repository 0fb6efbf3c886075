"""Keeping a sheet: the later of two saves is told, with both texts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from slatewright.desk.bench.differences import Pair, beside
from slatewright.desk.bench.earlier import UNKNOWN
from slatewright.store.faults import StaleRecord
from slatewright.store.plan_order import set_earlier_plan
from slatewright.store.plan_records import SavedPlan
from slatewright.store.plans import create_plan, save_plan
from slatewright.store.session import Session


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two texts of one plan.

    Parameters
    ----------
    plan_id, title
        The plan.
    path
        The path of its bench.
    given, version
        The version that this window began from, and the one that is kept now.
    mine, theirs
        The text of this window, and the one that is kept now.
    earlier
        The dive before, as this window has it.
    pairs
        Both, line by line.
    """

    plan_id: int
    title: str
    path: str
    given: int
    version: int
    mine: str
    theirs: str
    earlier: str
    pairs: tuple[Pair, ...]


def save_sheet(
    session: Session, plan_id: int, version: int, text: str, chosen: str, *, now: datetime
) -> SavedPlan:
    """Keep the text of a sheet, and which dive comes before it.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        The plan.
    version
        The version that the sheet began from.
    text
        Its text.
    chosen
        The dive before, as the sheet has it.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved meanwhile.
    """
    saved = save_plan(session, plan_id, version, text, now=now)
    earlier = _number(chosen)
    if saved.earlier_plan_id != earlier:
        saved = set_earlier_plan(session, plan_id, saved.version, earlier, now=now)
    return saved


def keep_as_new(session: Session, text: str, chosen: str, *, now: datetime) -> SavedPlan:
    """Keep the text of a sheet as a new plan.

    Parameters
    ----------
    session
        A session that writes.
    text
        Its text.
    chosen
        The dive before, as the sheet has it.
    now
        The moment.
    """
    return create_plan(session, text, now=now, earlier_plan_id=_number(chosen))


def conflict_of(plan_id: int, title: str, stale: StaleRecord, mine: str, earlier: str) -> Conflict:
    """Return both texts, to choose from.

    Parameters
    ----------
    plan_id, title
        The plan.
    stale
        What the store said.
    mine
        The text of this window.
    earlier
        The dive before, as this window has it.
    """
    return Conflict(
        plan_id=plan_id,
        title=title,
        path=f"/bench/{plan_id}",
        given=stale.given,
        version=stale.version,
        mine=mine,
        theirs=stale.text,
        earlier=earlier,
        pairs=beside(mine, stale.text),
    )


def _number(chosen: str) -> int | None:
    return int(chosen) if chosen not in {"", UNKNOWN} and chosen.isdecimal() else None
