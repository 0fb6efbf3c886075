"""A plan solved: its gases, its planned legs, and the solver's legs to the surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slatewright.decompression.ascent import Solution, solve_dive
from slatewright.decompression.ladder import Ladder
from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import OxygenDose, running_dose
from slatewright.decompression.tissues import Tissues, air_saturated
from slatewright.dive.gases import Locker, locker
from slatewright.dive.loop_way import loop_down, loop_locker, loop_up
from slatewright.dive.plan import Plan
from slatewright.dive.way_down import WayDown, way_down
from slatewright.dive.way_up import way_up


@dataclass(frozen=True, slots=True)
class Solved:
    """A plan with its solution.

    Parameters
    ----------
    gases
        The mixtures as the solver numbers them.
    down
        The planned legs, and the changes of gas on the way down.
    rungs
        The gas of each level on the way up.
    start
        Tensions at the start.
    solution
        All legs.
    """

    gases: Locker
    down: WayDown
    rungs: Ladder
    start: Tissues
    solution: Solution


def solve_plan(plan: Plan) -> Solved:
    """Solve a plan.

    Parameters
    ----------
    plan
        What is wanted.

    Returns
    -------
    Solved
        Not yet judged: see `slatewright.dive.schedule.schedule`.

    Raises
    ------
    NoSafeAnswer
        If there is no safe way to dive it.
    """
    gases = locker_of(plan)
    down = planned_legs(plan, gases)
    last = down.legs[-1]
    if plan.loop is not None:
        rungs = loop_up(plan, plan.loop, gases, last.to_m)
    else:
        rungs = way_up(plan, gases, gases.mixes[last.gas], last.to_m)
    start = start_tissues(plan)
    solution = solve_dive(down.legs, gases.rising, rungs, plan.settings, plan.water, start)
    return Solved(gases, down, rungs, start, solution)


def locker_of(plan: Plan) -> Locker:
    """Return all that may be breathed in a plan, as the solver numbers it.

    Parameters
    ----------
    plan
        The plan; on a closed circuit each setpoint is one entry.
    """
    return locker(plan) if plan.loop is None else loop_locker(plan, plan.loop)


def planned_legs(plan: Plan, gases: Locker) -> WayDown:
    """Lay the planned legs of a plan.

    Parameters
    ----------
    plan, gases
        The plan, and what may be breathed in it.

    Returns
    -------
    WayDown
        The legs.

    Raises
    ------
    NoSafeAnswer
        If there is no safe way down.
    """
    return way_down(plan, gases) if plan.loop is None else loop_down(plan, plan.loop, gases)


def start_tissues(plan: Plan) -> Tissues:
    """Return the tensions with which a plan begins.

    Parameters
    ----------
    plan
        The plan.
    """
    return plan.carried.tissues if plan.carried else air_saturated(plan.water.surface_bar)


def doses_of(plan: Plan, legs: Sequence[Leg]) -> tuple[OxygenDose, ...]:
    """Return the oxygen exposure at the end of each leg, with what was carried in.

    Parameters
    ----------
    plan
        The plan.
    legs
        Its legs.
    """
    carried = plan.carried
    return running_dose(
        legs,
        plan.water,
        table=plan.rules.oxygen_table,
        start=OxygenDose(cns_pct=carried.cns_pct, otu=carried.otu_today, index_k=carried.index_k)
        if carried
        else None,
        tolerance_bar=plan.rules.ppo2_tolerance_bar,
    )
