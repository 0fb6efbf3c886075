"""From a plan to a schedule: gases, legs, oxygen, hazards, and the second check's verdict."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slatewright.decompression.ascent import Solution
from slatewright.decompression.ceiling import ceiling_of
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.second_check import Verdict, second_check
from slatewright.decompression.tissues import Tissues
from slatewright.dive import say
from slatewright.dive.finished import Finished
from slatewright.dive.gases import limit_bar
from slatewright.dive.hazard import Hazard
from slatewright.dive.hazards import hazards_of
from slatewright.dive.loop_way import is_rising, ppo2_limit_bar
from slatewright.dive.plan import Plan, Use
from slatewright.dive.solving import doses_of, solve_plan, start_tissues
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.mixture import AIR

_NEAR_M = 1e-6
_NEAR_MIN = 1e-6
_MOMENT_MIN = 0.01
"""As long as the surface is looked at before a dive [min]."""


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
    start = start_tissues(plan)
    _refuse_at_the_surface(plan, start)
    solved = solve_plan(plan)
    solution = solved.solution
    planned = solution.legs[: len(solved.down.legs)]
    _refuse_early_rise(plan, planned, start)
    finished = Finished(
        plan=plan,
        legs=solution.legs,
        first_stop_m=solution.first_stop_m,
        switches=solved.down.switches,
        start=start,
        end=solution.end,
        oxygen_after_leg=doses_of(plan, solution.legs),
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
    if leg.setpoint_bar is not None:
        return ppo2_limit_bar(plan, rising=is_rising(plan, leg))
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


def _refuse_at_the_surface(plan: Plan, start: Tissues) -> None:
    """Refuse a dive whose start is already above the ceiling, as after a drive to altitude."""
    if plan.carried is None:
        return
    waiting = Leg(LegKind.SURFACE, 0.0, 0.0, 0.0, _MOMENT_MIN, AIR)
    high = replace(plan.settings, gradient_low=plan.settings.gradient_high)
    ceiling_m = ceiling_of([waiting], high, plan.water, start, None)[-1][1]
    if ceiling_m > 0.0:
        raise NoSafeAnswer(
            Reason(
                "what is carried in from earlier dives, or from a lower place, passes the line at "
                f"this surface: the ceiling is at {say.no_shallower(ceiling_m, plan.units)}, by "
                f"the high gradient factor of {plan.settings.gradient_high * 100:g} %",
                "a longer surface interval before going there, or a dive lower down",
            )
        )


def _refuse_early_rise(plan: Plan, planned: tuple[Leg, ...], start: Tissues) -> None:
    """Refuse a planned ascent that passes the ceiling, on the way or on arrival."""
    ascents = [leg for leg in planned if leg.kind is LegKind.ASCENT]
    if not ascents:
        return
    ceiling = ceiling_of(planned, plan.settings, plan.water, start, None)
    for leg in ascents:
        rate_m_per_min = (leg.from_m - leg.to_m) / leg.minutes
        over = [
            (ceiling_m, at_min)
            for at_min, ceiling_m in ceiling
            if leg.start_min < at_min <= leg.end_min + _NEAR_MIN
            and ceiling_m > leg.from_m - rate_m_per_min * (at_min - leg.start_min) + _NEAR_M
        ]
        if over:
            ceiling_m, at_min = max(over)
            units = plan.units
            raise NoSafeAnswer(
                Reason(
                    f"the planned ascent from {say.depth(leg.from_m, units)} to "
                    f"{say.depth(leg.to_m, units)} passes the ceiling, which is at "
                    f"{say.no_shallower(ceiling_m, units)} at {at_min:.1f} min",
                    f"end the plan with the stay at {say.depth(leg.from_m, units)} and let the "
                    "stops follow, leave it earlier, or make the next stay below the ceiling",
                )
            )
