"""Where the travel gas is left for the next one on the way down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slatewright.dive import say
from slatewright.dive.gases import deepest_m, floor_words, limit_words, shallowest_m
from slatewright.dive.plan import CarriedGas, Plan
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.limits import best_oxygen_at, oxygen_pressure
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import METRES_PER_FOOT, UnitSystem

_NEAR_M = 1e-9


@dataclass(frozen=True, slots=True)
class SwitchWindow:
    """The depths between which a change of gas on the way down is safe.

    Parameters
    ----------
    left, taken
        The gas that is left and the one that is taken.
    shallowest_m
        The floor of the gas taken: above it, it cannot be breathed [m].
    deepest_m
        The depth down to which both may be breathed, or the depth of the first stay if that is
        less [m].
    chosen_m
        Where the change is made [m].
    asked_m
        Where the person wanted it [m]; None if nothing was asked.
    """

    left: Mixture
    taken: Mixture
    shallowest_m: float
    deepest_m: float
    chosen_m: float
    asked_m: float | None

    @property
    def moved(self) -> bool:
        """True if the person asked for a depth that lies outside, and another one was chosen."""
        return self.asked_m is not None and abs(self.asked_m - self.chosen_m) > _NEAR_M

    def holds(self, depth_m: float) -> bool:
        """Return whether the change may be made at a depth.

        Parameters
        ----------
        depth_m
            The depth [m].
        """
        return self.shallowest_m - _NEAR_M <= depth_m <= self.deepest_m + _NEAR_M


def travel_changes(plan: Plan, chain: Sequence[CarriedGas]) -> tuple[SwitchWindow, ...]:
    """Find the window of each change of gas on the way to the first stay, and a depth in it.

    Parameters
    ----------
    plan
        The plan.
    chain
        The gases in the order in which they are breathed, the first at the surface, the last
        during the stay; ``switch_m`` is where the person wants to leave a gas.

    Returns
    -------
    tuple
        One window a change. The change is made at the depth asked for if it lies inside; else at
        the level nearest above the middle, which is as far as can be from both edges.

    Raises
    ------
    NoSafeAnswer
        If there is no window, naming what would make one, or if the depths that are asked for
        cross.
    """
    found = [_window(plan, chain, i) for i in range(len(chain) - 1)]
    changes: list[SwitchWindow] = []
    before_m = 0.0
    for i, window in enumerate(found):
        asked_m = window.asked_m
        if asked_m is not None and window.holds(asked_m):
            if asked_m < before_m - _NEAR_M:
                raise NoSafeAnswer(_crossed(plan, window, before_m))
            chosen_m = asked_m
        else:
            # changes follow one another downwards, and those asked for are not moved by others
            low_m = max(window.shallowest_m, before_m)
            bounds_m = [window.deepest_m]
            for later in found[i + 1 :]:
                bounds_m.append(later.deepest_m)
                if later.asked_m is not None and later.holds(later.asked_m):
                    bounds_m.append(max(later.asked_m, low_m))
            chosen_m = _proposed_m(plan, low_m, min(bounds_m))
        changes.append(
            SwitchWindow(
                window.left, window.taken, window.shallowest_m, window.deepest_m, chosen_m, asked_m
            )
        )
        before_m = chosen_m
    return tuple(changes)


def _window(plan: Plan, chain: Sequence[CarriedGas], i: int) -> SwitchWindow:
    """Return the window of one change, nothing chosen yet."""
    left, taken = chain[i], chain[i + 1]
    floor_m = shallowest_m(plan, taken.mix)
    end_m = min(deepest_m(plan, left), deepest_m(plan, taken), plan.levels[0].depth_m)
    if floor_m > end_m + _NEAR_M:
        raise NoSafeAnswer(_no_window(plan, chain, i))
    return SwitchWindow(left.mix, taken.mix, floor_m, end_m, math.nan, left.switch_m)


def _proposed_m(plan: Plan, low_m: float, high_m: float) -> float:
    """Return the level nearest to the middle; else a depth that can be read; else the middle."""
    middle_m = 0.5 * (low_m + high_m)
    readable_m = 0.1 if plan.units is UnitSystem.METRIC else METRES_PER_FOOT
    for step_m in (plan.settings.stop_step_m, readable_m):
        for steps in (math.floor(middle_m / step_m + _NEAR_M), math.ceil(middle_m / step_m)):
            # counting in steps costs last digits; a depth is written with at most six decimals
            level_m = round(steps * step_m, 6)
            if low_m <= level_m <= high_m:
                return level_m
    return middle_m


def _crossed(plan: Plan, window: SwitchWindow, before_m: float) -> Reason:
    asked_m = window.asked_m or 0.0
    return Reason(
        f"the change from {window.left} to {window.taken} is asked for at "
        f"{say.depth(asked_m, plan.units)}, above the change before it at "
        f"{say.depth(before_m, plan.units)}",
        f"ask for it between {say.no_shallower(before_m, plan.units)} and "
        f"{say.no_deeper(window.deepest_m, plan.units)}, or for none, to have both proposed",
    )


def _no_window(plan: Plan, chain: Sequence[CarriedGas], i: int) -> Reason:
    left, taken = chain[i], chain[i + 1]
    floor_m = shallowest_m(plan, taken.mix)
    first_m = plan.levels[0].depth_m
    lean = (
        f"{taken.mix} may be breathed from {say.no_shallower(floor_m, plan.units)} down "
        f"({floor_words(plan)})"
    )
    if floor_m > first_m:
        return Reason(
            f"{lean}, and the first stay is at {say.depth(first_m, plan.units)}",
            f"no travel on {taken.mix}, or a deeper first stay",
        )
    return Reason(
        f"there is no depth at which {left.mix} can be left for {taken.mix}: {left.mix} may be "
        f"breathed down to {say.no_deeper(deepest_m(plan, left), plan.units)}, "
        f"{limit_words(plan, left)}, and {lean}",
        "; or ".join(_window_makers(plan, chain, i)),
    )


def _window_makers(plan: Plan, chain: Sequence[CarriedGas], i: int) -> list[str]:
    """Name what would make a window, each with the oxygen that it needs."""
    left, taken = chain[i], chain[i + 1]
    floor_m, limit_m = shallowest_m(plan, taken.mix), deepest_m(plan, left)
    floor_bar, water = plan.rules.floor_bar, plan.water
    most_bar = plan.rules.ppo2_bottom_max_bar
    # the gas in its place must be breathable where it is taken: at the surface, or at the depth
    # at which the gas before it is at its limit
    taken_at_m = deepest_m(plan, chain[i - 1]) if i else 0.0
    makers = []
    in_place = say.oxygen_between(
        best_oxygen_at(taken_at_m, floor_bar, water),
        best_oxygen_at(floor_m, left.ppo2_max_bar, water),
    )
    if in_place:
        makers.append(f"a travel gas with {in_place} in place of {left.mix}")
    if i + 2 == len(chain):
        bottom = say.oxygen_between(
            best_oxygen_at(limit_m, floor_bar, water),
            best_oxygen_at(plan.deepest_m, taken.ppo2_max_bar, water),
        )
        if bottom:
            makers.append(f"a bottom gas with {bottom} in place of {taken.mix}")
    between = say.oxygen_between(
        best_oxygen_at(limit_m, floor_bar, water),
        min(best_oxygen_at(floor_m, most_bar, water), left.mix.o2 - 0.01),
    )
    if between:
        makers.append(f"a further travel gas with {between} between them")
    return makers or ["several travel gases, one after another, between them"]


def chain_down(plan: Plan, first: CarriedGas) -> list[CarriedGas]:
    """Return the gases of the way down: travel gases, richest first, then the first bottom gas.

    Parameters
    ----------
    plan
        The plan.
    first
        The gas of the first stay.

    Raises
    ------
    NoSafeAnswer
        If the first of them cannot be breathed at the surface.
    """
    travel = sorted(plan.travel_gases, key=lambda gas: -gas.mix.o2)
    chain = [gas for gas in travel if gas.mix != first.mix] + [first]
    start = chain[0]
    floor_m = shallowest_m(plan, start.mix)
    if floor_m <= _NEAR_M:
        return chain
    floor_bar, water = plan.rules.floor_bar, plan.water
    ppo2 = oxygen_pressure(start.mix, 0.0, water)
    right = say.oxygen_between(
        best_oxygen_at(0.0, floor_bar, water),
        best_oxygen_at(floor_m, plan.rules.ppo2_bottom_max_bar, water),
    )
    raise NoSafeAnswer(
        Reason(
            f"{start.mix} cannot keep a person conscious at the surface: ppO2 {ppo2:.2f} bar "
            f"there, below {floor_words(plan)}",
            f"carry a travel gas with {right}, and change to {start.mix} at "
            f"{say.no_shallower(floor_m, plan.units)} or deeper"
            if right
            else "carry several travel gases, one after another, the first with "
            f"{say.oxygen_between(best_oxygen_at(0.0, floor_bar, water), 1.0)}",
        )
    )
