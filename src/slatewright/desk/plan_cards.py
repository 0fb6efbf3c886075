"""Plans as they stand in a list: what each is about, read out of its text."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from slatewright.dive.plan_text import Outline, outline_of, read_plan_text
from slatewright.errors import PlanFileError
from slatewright.store.plan_records import SavedPlan


@dataclass(frozen=True, slots=True)
class PlanCard:
    """A plan in a list.

    Parameters
    ----------
    plan
        As it is kept.
    outline
        What it is about; None while its text has faults.
    faults
        How many faults its text has.
    """

    plan: SavedPlan
    outline: Outline | None
    faults: int

    @property
    def bench(self) -> str:
        """The path of its bench."""
        return f"/bench/{self.plan.id}"


def card_of(plan: SavedPlan) -> PlanCard:
    """Return a plan as it stands in a list.

    Parameters
    ----------
    plan
        As it is kept.
    """
    outline, faults = _read(plan.text)
    return PlanCard(plan, outline, faults)


@lru_cache(maxsize=512)
def _read(text: str) -> tuple[Outline | None, int]:
    try:
        return outline_of(read_plan_text(text)), 0
    except PlanFileError as error:
        return None, len(error.faults)
