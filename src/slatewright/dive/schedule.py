"""From a plan to a schedule: gases, legs, oxygen, hazards, and the second check's verdict."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slatewright.decompression.ascent import Solution
from slatewright.decompression.ceiling import ceiling_of
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import OxygenDose, running_dose
from slatewright.decompression.second_check import Verdict, second_check
from slatewright.decompression.tissues import Tissues
from slatewright.dive.finished import Finished
from slatewright.dive.gases import limit_bar
from slatewright.dive.hazard import Hazard
from slatewright.dive.hazards import hazards_of
from slatewright.dive.plan import Carried, Plan, Use
from slatewright.dive.solving import solve_plan
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.mixture import AIR

_NEAR_M = 1e-3
_NEAR_MIN = 1e-6


@dataclass(frozen=True)
class Schedule(Finished):
    """A finished dive with its hazards.

    Parameters
    ----------
    hazards
        The most severe first, then by run time.
    """

    hazards: tuple[Hazard, ...]


def schedule(plan: Plan) -> Schedule:
    """Compute a dive.

    Parameters
    ----------
    plan
        What is wanted.

    Returns
    -------
    Schedule
        With the second check's verdict, which the caller must heed before anything is printed
        for the water.

    Raises
    ------
    NoSafeAnswer
        If there is no safe way to dive the plan, with the reasons and what would cure them.
    """
    solved = solve_plan(plan)
    solution, start = solved.solution, solved.start
    _refuse_early_ascent_in_air(plan, start)
    planned = solution.legs[: len(solved.down.legs)]
    _refuse_early_rise(plan, planned, start)
    finished = Finished(
        plan=plan,
        legs=solution.legs,
        first_stop_m=solution.first_stop_m,
        switches=solved.down.switches,
        start=start,
        end=solution.end,
        oxygen_after_leg=running_dose(
            solution.legs,
            plan.water,
            table=plan.rules.oxygen_table,
            start=_carried_dose(plan.carried),
            tolerance_bar=plan.rules.ppo2_tolerance_bar,
        ),
        verdict=_verdict(plan, solution, start),
    )
    return Schedule(**finished.parts(), hazards=hazards_of(finished))


def highest_ppo2_bar(plan: Plan, leg: Leg) -> float:
    """Return the ppO2 limit of a leg: that of the uses for which its gas is breathed then.

    Parameters
    ----------
    plan
        The plan.
    leg
        The leg.

    Returns
    -------
    float
        Without tolerance [bar].
    """
    rising = leg.start_min >= plan.levels[-1].leave_at_min - _NEAR_MIN
    uses = (Use.BOTTOM, Use.DECOMPRESSION) if rising else (Use.TRAVEL, Use.BOTTOM)
    return limit_bar(plan, leg.gas, uses)


def _verdict(plan: Plan, solution: Solution, start: Tissues) -> Verdict:
    return second_check(
        solution.legs,
        plan.water,
        plan.settings,
        first_stop_m=solution.first_stop_m,
        ppo2_max_bar=lambda leg: highest_ppo2_bar(plan, leg),
        start=start,
        floor_bar=plan.rules.floor_bar,
        tolerance_bar=plan.rules.ppo2_tolerance_bar,
    )


def _carried_dose(carried: Carried | None) -> OxygenDose | None:
    if carried is None:
        return None
    return OxygenDose(cns_pct=carried.cns_pct, otu=carried.otu_today, index_k=carried.index_k)


def _refuse_early_ascent_in_air(plan: Plan, start: Tissues) -> None:
    """Refuse to begin a dive where the surface is above the ceiling, as after going to altitude."""
    waiting = Leg(LegKind.SURFACE, 0.0, 0.0, 0.0, 0.01, AIR)
    high = replace(plan.settings, gradient_low=plan.settings.gradient_high)
    if ceiling_of([waiting], high, plan.water, start, None)[-1][1] > 0.0:
        raise NoSafeAnswer(
            Reason(
                "what is carried in from earlier dives passes the line at this surface",
                "a longer surface interval before going there",
            )
        )


def _refuse_early_rise(plan: Plan, planned: tuple[Leg, ...], start: Tissues) -> None:
    """Refuse a planned ascent to a level above the ceiling."""
    for i, leg in enumerate(planned):
        if leg.kind is LegKind.ASCENT:
            ceiling_m = ceiling_of(planned[: i + 1], plan.settings, plan.water, start, None)[-1][1]
            if ceiling_m > leg.to_m + _NEAR_M:
                raise NoSafeAnswer(
                    Reason(
                        f"the level at {leg.to_m:.1f} m would be reached at {leg.end_min:.0f} min, "
                        f"when the ceiling is at {ceiling_m:.1f} m",
                        f"end the plan with the level at {leg.from_m:.1f} m and let the stops "
                        "follow, leave it earlier, or choose a level below the ceiling",
                    )
                )
