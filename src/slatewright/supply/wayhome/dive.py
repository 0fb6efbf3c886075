"""A dive as the grid takes it: planned and solved, whether judged for hazards or not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from slatewright.decompression.leg import Leg
from slatewright.decompression.tissues import Tissues
from slatewright.dive.plan import Plan
from slatewright.dive.solving import solve_plan


class DiveLike(Protocol):
    """What is asked of a dive; a `slatewright.dive.schedule.Schedule` is one."""

    @property
    def plan(self) -> Plan:
        """What was wanted."""

    @property
    def legs(self) -> tuple[Leg, ...]:
        """From the surface to the surface."""

    @property
    def first_stop_m(self) -> float | None:
        """The first stop [m]; None if there is none."""

    @property
    def start(self) -> Tissues:
        """Tensions at the start."""


@dataclass(frozen=True, slots=True)
class PlannedDive:
    """A plan with its legs.

    Parameters
    ----------
    plan
        What is wanted.
    legs
        From the surface to the surface.
    first_stop_m
        The first stop [m]; None if there is none.
    start
        Tensions at the start.
    """

    plan: Plan
    legs: tuple[Leg, ...]
    first_stop_m: float | None
    start: Tissues


def planned_dive(plan: Plan) -> PlannedDive:
    """Solve a plan.

    Parameters
    ----------
    plan
        What is wanted.

    Returns
    -------
    PlannedDive
        Its legs, not judged.

    Raises
    ------
    NoSafeAnswer
        If there is no safe way to dive it.
    """
    solved = solve_plan(plan)
    return PlannedDive(plan, solved.solution.legs, solved.solution.first_stop_m, solved.start)
