"""Which of the carried gases is breathed where, and up to which ppO2."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slatewright.decompression.ladder import AscentGas, Ladder, ladder
from slatewright.dive.plan import CarriedGas, Plan, Use
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.limits import (
    best_oxygen_at,
    hypoxic_floor,
    operating_depth,
    oxygen_pressure,
)
from slatewright.physics.mixture import Mixture

OXYGEN_FROM = 0.95
"""Mixtures at least as rich as this count as oxygen for breaks [-]."""
_NEAR_M = 1e-6


@dataclass(frozen=True, slots=True)
class Locker:
    """All mixtures of a plan, numbered as the solver numbers them.

    Parameters
    ----------
    mixes
        Each mixture once, in the order of the plan.
    rising
        The same, as they may be used on the way up.
    """

    mixes: tuple[Mixture, ...]
    rising: tuple[AscentGas, ...]

    def index(self, mix: Mixture) -> int:
        """Return a mixture's number.

        Parameters
        ----------
        mix
            The mixture.
        """
        return self.mixes.index(mix)


def limit_bar(plan: Plan, mix: Mixture, uses: Sequence[Use]) -> float:
    """Return the highest ppO2 at which a mixture may be breathed for any of some uses [bar].

    Parameters
    ----------
    plan
        The plan.
    mix
        The mixture.
    uses
        What it is breathed for.

    Returns
    -------
    float
        The limit without tolerance; 0 if it is not carried for any of them [bar].
    """
    return max(
        (gas.ppo2_max_bar for gas in plan.gases if gas.mix == mix and gas.use in uses), default=0.0
    )


def locker(plan: Plan) -> Locker:
    """Find where each gas of a plan may be breathed on the way up, and number them.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    Locker
        Mixtures carried for travel alone are numbered, but not used on the way up.

    Raises
    ------
    NoSafeAnswer
        If a decompression gas is asked for at a depth at which its ppO2 is over the limit or below
        the floor.
    """
    mixes = tuple(dict.fromkeys(gas.mix for gas in plan.gases))
    return Locker(mixes, tuple(_rising(plan, mix) for mix in mixes))


def _rising(plan: Plan, mix: Mixture) -> AscentGas:
    carried = [gas for gas in plan.gases if gas.mix == mix]
    shallowest_m = hypoxic_floor(mix, plan.rules.floor_bar, plan.water)
    deepest_m = -1.0
    for gas in carried:
        if gas.use is Use.BOTTOM:
            deepest_m = math.inf
        elif gas.use is Use.DECOMPRESSION:
            deepest_m = max(deepest_m, _decompression_depth_m(plan, gas))
    return AscentGas(mix, deepest_m, shallowest_m, change_min=plan.settings.switch_min)


def _decompression_depth_m(plan: Plan, gas: CarriedGas) -> float:
    limit_m = operating_depth(gas.mix, gas.ppo2_max_bar + plan.rules.ppo2_tolerance_bar, plan.water)
    if gas.switch_m is None:
        return limit_m
    if gas.switch_m > limit_m + _NEAR_M:
        ppo2 = oxygen_pressure(gas.mix, gas.switch_m, plan.water)
        raise NoSafeAnswer(
            Reason(
                f"{gas.mix} at {gas.switch_m:.1f} m has a ppO2 of {ppo2:.2f} bar, over its limit "
                f"of {gas.ppo2_max_bar:g} bar",
                f"change to {gas.mix} at {limit_m:.1f} m or shallower",
            )
        )
    return gas.switch_m


def bottom_gas(plan: Plan, depth_m: float) -> CarriedGas:
    """Return the gas for a stay at a depth: the richest bottom gas within its limit there.

    Parameters
    ----------
    plan
        The plan.
    depth_m
        Depth of the stay [m].

    Raises
    ------
    NoSafeAnswer
        If no bottom gas may be breathed there.
    """
    water, rules = plan.water, plan.rules
    fit = [
        gas
        for gas in plan.bottom_gases
        if rules.floor_bar - 1e-9
        <= oxygen_pressure(gas.mix, depth_m, water)
        <= gas.ppo2_max_bar + rules.ppo2_tolerance_bar + 1e-9
    ]
    if fit:
        return max(fit, key=lambda gas: gas.mix.o2)
    told = ", ".join(
        f"{gas.mix} {oxygen_pressure(gas.mix, depth_m, water):.2f} bar of "
        f"{rules.floor_bar:g} to {gas.ppo2_max_bar:g}"
        for gas in plan.bottom_gases
    )
    best = best_oxygen_at(depth_m, rules.ppo2_bottom_max_bar, water)
    raise NoSafeAnswer(
        Reason(
            f"no bottom gas may be breathed at {depth_m:.1f} m ({told})",
            f"a bottom gas with at most {math.floor(best * 1000.0) / 10.0:g} % oxygen, or another "
            "depth",
        )
    )


def way_up(plan: Plan, gases: Locker, start_gas: Mixture, start_m: float) -> Ladder:
    """Choose the gas of each level on the way up, and the one for breaks.

    Parameters
    ----------
    plan, gases
        The plan and its gases.
    start_gas
        What is breathed when the ascent begins.
    start_m
        Where it begins [m].

    Raises
    ------
    NoSafeAnswer
        If there is a stretch on which nothing may be breathed, or no gas for the breaks.
    """
    oxygen = [i for i, mix in enumerate(gases.mixes) if mix.o2 >= OXYGEN_FROM]
    pause = None
    if plan.settings.breaks is not None and oxygen:
        pause = gases.index(plan.break_gas or _leanest(plan, gases, oxygen[0]))
    return ladder(
        gases.rising,
        gases.index(start_gas),
        start_m,
        plan.settings,
        pause_gas=pause,
        pause_from=oxygen,
    )


def _leanest(plan: Plan, gases: Locker, oxygen: int) -> Mixture:
    """Return the leanest gas that may be breathed wherever oxygen is, and at the surface."""
    deepest_m = gases.rising[oxygen].deepest_m
    fit = [
        mix
        for mix in gases.mixes
        if mix.o2 < OXYGEN_FROM
        and oxygen_pressure(mix, 0.0, plan.water) >= plan.rules.floor_bar
        and oxygen_pressure(mix, deepest_m, plan.water) <= plan.rules.ppo2_stop_max_bar
    ]
    if not fit:
        raise NoSafeAnswer(
            Reason(
                "breaks from oxygen are asked for, and no leaner gas may be breathed from "
                f"{deepest_m:.1f} m to the surface",
                "carry one, such as 21/35 or EAN50, or plan without breaks",
            )
        )
    return min(fit, key=lambda mix: mix.o2)
