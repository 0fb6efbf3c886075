"""Which dive comes before which."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.store._plan_rows import changed_plan, current_plan, kept_plan
from slatewright.store.plan_records import SavedPlan
from slatewright.store.plans import get_plan

LONGEST_CHAIN: Final = 100
"""A course has a dozen dives; an expedition some dozens."""


def set_earlier_plan(
    session: Session, plan_id: int, version: int, earlier_plan_id: int | None, *, now: datetime
) -> SavedPlan:
    """Say which dive comes before.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        The later plan.
    version
        The version that the person has seen.
    earlier_plan_id
        The earlier plan; None for none.
    now
        The moment.

    Raises
    ------
    StaleRecord
        If another window has saved it since.
    InputError
        If one is not there or in the trash, or the dives would go round in a circle.
    """
    row = current_plan(session, plan_id, version)
    if earlier_plan_id is not None:
        kept_plan(session, earlier_plan_id)
        if any(plan.id == plan_id for plan in plan_chain(session, earlier_plan_id)):
            raise InputError(
                "the dives would follow each other in a circle",
                where="earlier",
                right="a dive that does not itself come after this one",
            )
    return changed_plan(session, row, now, earlier_plan_id=earlier_plan_id)


def plan_chain(session: Session, plan_id: int) -> tuple[SavedPlan, ...]:
    """Return a plan and all that come before it, the first dive first.

    Parameters
    ----------
    session
        A session.
    plan_id
        The last of them.

    Raises
    ------
    InputError
        If it is not there, or there are too many.
    """
    chain: list[SavedPlan] = []
    following: int | None = plan_id
    while following is not None:
        if len(chain) == LONGEST_CHAIN:
            raise InputError(f"more than {LONGEST_CHAIN} dives follow each other", where="earlier")
        chain.append(get_plan(session, following))
        following = chain[-1].earlier_plan_id
    return tuple(reversed(chain))
