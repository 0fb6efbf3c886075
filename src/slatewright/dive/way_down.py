"""The way down and the stays: planned legs from what a person wants."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from slatewright.decompression.ascent import PlannedLeg
from slatewright.decompression.leg import LegKind
from slatewright.dive.gases import Locker, bottom_gas
from slatewright.dive.plan import CarriedGas, Level, Plan
from slatewright.dive.travel import SwitchWindow, switch_window
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.limits import (
    best_oxygen_at,
    hypoxic_floor,
    operating_depth,
    oxygen_pressure,
)
from slatewright.physics.mixture import Mixture

_NEAR_M = 1e-6
_NEAR_MIN = 1e-6


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


class _Path:
    """The legs while they are being laid."""

    def __init__(self, plan: Plan, gases: Locker) -> None:
        self._plan = plan
        self._gases = gases
        self.legs: list[PlannedLeg] = []
        self.depth_m = 0.0
        self.now_min = 0.0

    def lay(
        self, kind: LegKind, to_m: float, minutes: float, mix: Mixture, *, switching: bool = False
    ) -> None:
        """Lay one leg; a leg without length is none."""
        if minutes > _NEAR_MIN:
            leg = PlannedLeg(
                kind, self.depth_m, to_m, minutes, self._gases.index(mix), switching=switching
            )
            self.legs.append(leg)
            self.now_min += minutes
        self.depth_m = to_m

    def move(self, to_m: float, mix: Mixture) -> None:
        """Go down or up to a depth at the plan's rate."""
        way_m = to_m - self.depth_m
        if way_m >= 0.0:
            self.lay(LegKind.DESCENT, to_m, way_m / self._plan.descent_m_per_min, mix)
        else:
            rate_m_per_min = self._plan.settings.to_first_stop_m_per_min
            self.lay(LegKind.ASCENT, to_m, -way_m / rate_m_per_min, mix)

    def change(self, left: Mixture) -> None:
        """Change gas here; meanwhile the gas being left is breathed."""
        minutes = self._plan.settings.switch_min
        self.lay(LegKind.STOP, self.depth_m, minutes, left, switching=True)

    def stay(self, level: Level, mix: Mixture) -> None:
        """Stay until the level is to be left."""
        if level.leave_at_min < self.now_min - _NEAR_MIN:
            raise NoSafeAnswer(
                Reason(
                    f"{level.depth_m:.1f} m is reached at {self.now_min:.1f} min of run time, "
                    f"after the {level.leave_at_min:g} min at which it is to be left",
                    "leave later, or descend faster",
                )
            )
        self.lay(LegKind.BOTTOM, level.depth_m, level.leave_at_min - self.now_min, mix)


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
    path = _Path(plan, gases)
    first = bottom_gas(plan, plan.levels[0].depth_m)
    chain = _chain(plan, first)
    switches = []
    for left, taken in pairwise(chain):
        window = switch_window(
            left,
            taken,
            plan.levels[0].depth_m,
            plan.water,
            plan.rules,
            plan.settings.stop_step_m,
        )
        if window.chosen_m < path.depth_m - _NEAR_M:
            raise NoSafeAnswer(_crossed(window, path.depth_m))
        path.move(window.chosen_m, left.mix)
        path.change(left.mix)
        switches.append(window)
    breathed = first
    for level in plan.levels:
        wanted = bottom_gas(plan, level.depth_m)
        if wanted is not breathed and level.depth_m > path.depth_m:
            _may_change(plan, wanted, path.depth_m)
            path.change(breathed.mix)
            breathed = wanted
        path.move(level.depth_m, breathed.mix)
        if wanted is not breathed:
            path.change(breathed.mix)
            breathed = wanted
        path.stay(level, breathed.mix)
    return WayDown(tuple(path.legs), tuple(switches))


def _chain(plan: Plan, first: CarriedGas) -> list[CarriedGas]:
    """Return the gases of the way down: travel gases, richest first, then the first bottom gas."""
    travel = sorted(plan.travel_gases, key=lambda gas: -gas.mix.o2)
    chain = [gas for gas in travel if gas.mix != first.mix] + [first]
    start = chain[0]
    ppo2 = oxygen_pressure(start.mix, 0.0, plan.water)
    if ppo2 >= plan.rules.floor_bar - 1e-9:
        return chain
    floor_m = hypoxic_floor(first.mix, plan.rules.floor_bar, plan.water)
    most = best_oxygen_at(floor_m, plan.rules.ppo2_bottom_max_bar, plan.water)
    least = plan.rules.floor_bar / plan.water.surface_bar
    raise NoSafeAnswer(
        Reason(
            f"{start.mix} cannot keep a person conscious at the surface: ppO2 {ppo2:.2f} bar "
            f"there, below the floor of {plan.rules.floor_bar:g} bar",
            f"carry a travel gas with {math.ceil(least * 100)} to {math.floor(most * 100)} % "
            f"oxygen, and change to {first.mix} at {floor_m:.1f} m or deeper",
        )
    )


def _crossed(window: SwitchWindow, depth_m: float) -> Reason:
    return Reason(
        f"the change from {window.left} to {window.taken} at {window.chosen_m:.1f} m would come "
        f"above the change before it, at {depth_m:.1f} m",
        "ask for changes that follow one another downwards",
    )


def _may_change(plan: Plan, gas: CarriedGas, depth_m: float) -> None:
    floor_m = hypoxic_floor(gas.mix, plan.rules.floor_bar, plan.water)
    limit_m = operating_depth(gas.mix, gas.ppo2_max_bar + plan.rules.ppo2_tolerance_bar, plan.water)
    if not floor_m - _NEAR_M <= depth_m <= limit_m + _NEAR_M:
        raise NoSafeAnswer(
            Reason(
                f"{gas.mix}, the gas of the next level, cannot be breathed at {depth_m:.1f} m, "
                f"where the change would be made (it may be from {floor_m:.1f} to {limit_m:.1f} m)",
                "begin with the deeper level, or use one bottom gas for both",
            )
        )
