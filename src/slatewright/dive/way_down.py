"""The way down and the stays: planned legs from what a person wants."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slatewright.decompression.ascent import PlannedLeg
from slatewright.dive import say
from slatewright.dive.gases import Locker, bottom_gas, deepest_m, floor_words, shallowest_m
from slatewright.dive.laying import Laying
from slatewright.dive.plan import CarriedGas, Plan
from slatewright.dive.travel import SwitchWindow, chain_down, travel_changes
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.limits import best_oxygen_at

_NEAR_M = 1e-9


@dataclass(frozen=True, slots=True)
class WayDown:
    """The planned part of a dive.

    Parameters
    ----------
    legs
        From the surface to the end of the last stay.
    switches
        The changes of gas on the way down.
    """

    legs: tuple[PlannedLeg, ...]
    switches: tuple[SwitchWindow, ...]


def way_down(plan: Plan, gases: Locker) -> WayDown:
    """Lay the planned legs: down with the travel gases, and all stays.

    Parameters
    ----------
    plan, gases
        The plan and its gases.

    Returns
    -------
    WayDown
        The legs, and where gas is changed on the way down.

    Raises
    ------
    NoSafeAnswer
        If some stretch has no gas that may be breathed, or a level cannot be reached in time.
    """
    path = Laying(plan)
    first = bottom_gas(plan, plan.levels[0].depth_m)
    chain = chain_down(plan, first)
    switches = travel_changes(plan, chain)
    for left, change in zip(chain, switches, strict=False):
        path.move(change.chosen_m, gases.index(left.mix))
        path.change(gases.index(left.mix))
    breathed = first
    for level in plan.levels:
        wanted = bottom_gas(plan, level.depth_m)
        if wanted.mix != breathed.mix:
            change_m = _change_m(plan, breathed, wanted, path.depth_m, level.depth_m)
            path.move(change_m, gases.index(breathed.mix))
            path.change(gases.index(breathed.mix))
            breathed = wanted
        path.move(level.depth_m, gases.index(breathed.mix))
        path.stay(level, gases.index(breathed.mix))
    return WayDown(tuple(path.legs), switches)


def _change_m(
    plan: Plan, breathed: CarriedGas, wanted: CarriedGas, from_m: float, to_m: float
) -> float:
    """Return the depth of a change of bottom gas between two stays.

    It is made at the shallower stay, before going down or after coming up; where one of the two is
    hypoxic there, at the shallowest level between the stays at which it is not.
    """
    low_m = max(shallowest_m(plan, breathed.mix), shallowest_m(plan, wanted.mix))
    high_m = min(deepest_m(plan, breathed), deepest_m(plan, wanted), max(from_m, to_m))
    shallow_m = min(from_m, to_m)
    if low_m <= shallow_m + _NEAR_M:
        return shallow_m
    if low_m <= high_m + _NEAR_M:
        step_m = plan.settings.stop_step_m
        level_m = math.ceil(low_m / step_m - _NEAR_M) * step_m
        return level_m if level_m <= high_m else low_m
    right = say.oxygen_between(
        best_oxygen_at(shallow_m, plan.rules.floor_bar, plan.water),
        best_oxygen_at(max(from_m, to_m), plan.rules.ppo2_bottom_max_bar, plan.water),
    )
    raise NoSafeAnswer(
        Reason(
            f"between the stays at {say.depth(from_m, plan.units)} and "
            f"{say.depth(to_m, plan.units)} there is no depth at which {breathed.mix} can be left "
            f"for {wanted.mix}: both may be breathed from {say.no_shallower(low_m, plan.units)} "
            f"down ({floor_words(plan)}) and no deeper than {say.no_deeper(high_m, plan.units)}",
            (f"one bottom gas with {right} for both, or " if right else "")
            + "leave out one of the two stays",
        )
    )
