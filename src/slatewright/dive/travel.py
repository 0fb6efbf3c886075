"""Where the travel gas is left for the next one on the way down."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import CarriedGas
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.limits import hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water

_NEAR_M = 1e-6


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
        The operating depth of the gas left, or the depth of the dive if that is less [m].
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


def switch_window(
    left: CarriedGas,
    taken: CarriedGas,
    deepest_m: float,
    water: Water,
    rules: HouseRules,
    step_m: float,
) -> SwitchWindow:
    """Find the window of a change of gas on the way down, and a depth in it.

    Parameters
    ----------
    left
        The gas breathed before; its ``switch_m`` is what the person asks for.
    taken
        The gas breathed after.
    deepest_m
        The depth of the dive [m].
    water
        Pressure under water.
    rules
        Floor and tolerance.
    step_m
        Depth levels of the plan [m].

    Returns
    -------
    SwitchWindow
        With the depth asked for if it lies inside; else the level nearest above the middle, which
        is as far as can be from both edges.

    Raises
    ------
    NoSafeAnswer
        If there is no window, naming what would make one.
    """
    floor_m = hypoxic_floor(taken.mix, rules.floor_bar, water)
    limit_m = operating_depth(left.mix, left.ppo2_max_bar + rules.ppo2_tolerance_bar, water)
    end_m = min(limit_m, deepest_m)
    if floor_m > end_m + _NEAR_M:
        raise NoSafeAnswer(_no_window(left, taken, floor_m, limit_m, deepest_m, water, rules))
    asked_m = left.switch_m
    if asked_m is not None and floor_m - _NEAR_M <= asked_m <= end_m + _NEAR_M:
        chosen_m = asked_m
    else:
        chosen_m = _proposed_m(floor_m, end_m, step_m)
    return SwitchWindow(left.mix, taken.mix, floor_m, end_m, chosen_m, asked_m)


def _proposed_m(floor_m: float, end_m: float, step_m: float) -> float:
    middle_m = 0.5 * (floor_m + end_m)
    for levels in (math.floor(middle_m / step_m), math.ceil(middle_m / step_m)):
        if floor_m <= levels * step_m <= end_m:
            return levels * step_m
    return round(middle_m, 1) if floor_m <= round(middle_m, 1) <= end_m else middle_m


def _no_window(
    left: CarriedGas,
    taken: CarriedGas,
    floor_m: float,
    limit_m: float,
    deepest_m: float,
    water: Water,
    rules: HouseRules,
) -> Reason:
    if floor_m > deepest_m:
        least = rules.floor_bar / water.ambient_bar(deepest_m)
        return Reason(
            f"{taken.mix} cannot be breathed above {floor_m:.1f} m (ppO2 below the floor of "
            f"{rules.floor_bar:g} bar), and the dive goes to {deepest_m:.1f} m",
            f"a bottom gas with at least {_percent_up(least)} % oxygen",
        )
    most = left.ppo2_max_bar / water.ambient_bar(floor_m)
    least = rules.floor_bar / water.ambient_bar(limit_m)
    return Reason(
        f"there is no depth at which {left.mix} can be left for {taken.mix}: {left.mix} reaches "
        f"its limit of {left.ppo2_max_bar:g} bar at {limit_m:.1f} m, and {taken.mix} cannot be "
        f"breathed above {floor_m:.1f} m (floor {rules.floor_bar:g} bar)",
        f"a travel gas with at most {math.floor(most * 100)} % oxygen, a bottom gas with at least "
        f"{_percent_up(least)} %, or a second travel gas between them",
    )


def _percent_up(fraction: float) -> str:
    return f"{math.ceil(fraction * 1000.0 - 1e-9) / 10.0:g}"
