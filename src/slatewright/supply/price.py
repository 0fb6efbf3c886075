"""What one more minute at the bottom really costs: gas there, and gas and minutes above."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from slatewright.decompression.leg import Leg
from slatewright.dive.plan import Plan
from slatewright.dive.solving import solve_plan
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import Mixture
from slatewright.supply.consumption import breathed_before_mol
from slatewright.supply.kit import Diver, ReserveRules

ONE_MIN: Final = 1.0


@dataclass(frozen=True, slots=True)
class BottomMinute:
    """The price of one more minute of the last stay.

    Parameters
    ----------
    ascent_min
        Minutes added above; rounding to whole minutes of stops can make it 0 for one minute and 3
        for the next [min].
    at_depth_mol
        Gas breathed in that minute, by mixture [mol].
    above_mol
        Gas added above, by mixture; below zero for one of which less is breathed [mol].
    """

    ascent_min: float
    at_depth_mol: Mapping[Mixture, float]
    above_mol: Mapping[Mixture, float]


def bottom_minute(
    plan: Plan,
    legs: Sequence[Leg],
    diver: Diver,
    rules: ReserveRules,
    water_temperature_k: float | None = None,
) -> BottomMinute | None:
    """Return the price of one more minute of the last stay, by solving the dive again.

    Parameters
    ----------
    plan
        The plan.
    legs
        Its dive, as solved.
    diver
        Who breathes.
    rules
        The surface swim.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    BottomMinute or None
        None if there is no safe dive with that minute.
    """
    *before, last = plan.levels
    longer = replace(last, leave_at_min=last.leave_at_min + ONE_MIN)
    try:
        more = solve_plan(replace(plan, levels=(*before, longer))).solution.legs
    except NoSafeAnswer:
        return None

    def split(way: Sequence[Leg], leave_min: float) -> tuple[dict[Mixture, float], ...]:
        def until(end_min: float) -> dict[Mixture, float]:
            return breathed_before_mol(
                way, diver, rules, plan.water, water_temperature_k, until_min=end_min
            )

        below, whole = until(leave_min), until(way[-1].end_min)
        return below, _less(whole, below)

    below, above = split(legs, last.leave_at_min)
    below_more, above_more = split(more, longer.leave_at_min)
    return BottomMinute(
        ascent_min=more[-1].end_min - legs[-1].end_min - ONE_MIN,
        at_depth_mol=_less(below_more, below),
        above_mol=_less(above_more, above),
    )


def _less(more: Mapping[Mixture, float], less: Mapping[Mixture, float]) -> dict[Mixture, float]:
    return {mix: more.get(mix, 0.0) - less.get(mix, 0.0) for mix in {**less, **more}}
