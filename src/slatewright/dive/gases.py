"""Between which depths each carried gas may be breathed, and which of them is for the bottom."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slatewright.decompression.ladder import AscentGas
from slatewright.dive import say
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
NEVER_RISING_M = -1.0
"""The deepest depth of a gas that is not for the way up [m]."""
_NEAR_M = 1e-9
_NEAR_BAR = 1e-9


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


def shallowest_m(plan: Plan, mix: Mixture) -> float:
    """Return the depth from which down a mixture may be breathed [m].

    Parameters
    ----------
    plan
        The plan; its house rules hold the floor.
    mix
        The mixture.
    """
    return hypoxic_floor(mix, plan.rules.floor_bar, plan.water)


def deepest_m(plan: Plan, gas: CarriedGas) -> float:
    """Return the depth down to which a gas may be breathed, tolerance included [m].

    Parameters
    ----------
    plan
        The plan; its house rules hold the tolerance.
    gas
        The gas, with its limit.
    """
    return operating_depth(gas.mix, gas.ppo2_max_bar + plan.rules.ppo2_tolerance_bar, plan.water)


def floor_words(plan: Plan) -> str:
    """Return what a sentence calls the floor, with the house rule that set it.

    Parameters
    ----------
    plan
        The plan.
    """
    return f"the floor of {plan.rules.floor_bar:g} bar (house rule floor_bar)"


def limit_words(plan: Plan, gas: CarriedGas) -> str:
    """Return what a sentence calls a gas's limit, with the house rules that set it.

    Parameters
    ----------
    plan
        The plan.
    gas
        The gas.
    """
    rule = limit_rule(plan, gas)
    rules = f"house rules {rule}, ppo2_tolerance_bar" if rule else "house rule ppo2_tolerance_bar"
    return (
        f"its limit of {gas.ppo2_max_bar:g} bar with {plan.rules.ppo2_tolerance_bar:g} bar of "
        f"tolerance ({rules})"
    )


def limit_rule(plan: Plan, gas: CarriedGas) -> str:
    """Return the house rule that a gas's limit comes from, empty if the gas has one of its own.

    Parameters
    ----------
    plan
        The plan.
    gas
        The gas.
    """
    at_stops = gas.use is Use.DECOMPRESSION
    rule = plan.rules.ppo2_stop_max_bar if at_stops else plan.rules.ppo2_bottom_max_bar
    name = "ppo2_stop_max_bar" if at_stops else "ppo2_bottom_max_bar"
    return name if math.isclose(gas.ppo2_max_bar, rule) else ""


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
    depths_m = [
        _decompression_depth_m(plan, gas) for gas in carried if gas.use is Use.DECOMPRESSION
    ]
    if not any(gas.use is Use.DECOMPRESSION and gas.switch_m is not None for gas in carried):
        # a bottom gas may be taken up again on the way up, unless the person said where
        depths_m += [deepest_m(plan, gas) for gas in carried if gas.use is Use.BOTTOM]
    to_m = max(depths_m, default=NEVER_RISING_M)
    return AscentGas(mix, to_m, shallowest_m(plan, mix), change_min=plan.settings.switch_min)


def _decompression_depth_m(plan: Plan, gas: CarriedGas) -> float:
    limit_m = deepest_m(plan, gas)
    if gas.switch_m is None:
        return limit_m
    ppo2 = oxygen_pressure(gas.mix, gas.switch_m, plan.water)
    at = f"{gas.mix} at {say.depth(gas.switch_m, plan.units)} has a ppO2 of {ppo2:.2f} bar"
    if gas.switch_m > limit_m + _NEAR_M:
        step_m = plan.settings.stop_step_m
        level_m = math.floor(limit_m / step_m + _NEAR_M) * step_m
        raise NoSafeAnswer(
            Reason(
                f"{at}, over {limit_words(plan, gas)}",
                f"change to {gas.mix} at {say.depth(level_m, plan.units)} or shallower"
                if level_m >= plan.settings.last_stop_m - _NEAR_M
                else f"leave {gas.mix} ashore: no level is shallow enough for it",
            )
        )
    floor_m = shallowest_m(plan, gas.mix)
    if gas.switch_m < floor_m - _NEAR_M:
        raise NoSafeAnswer(
            Reason(
                f"{at}, below {floor_words(plan)}",
                f"change to {gas.mix} at {say.no_shallower(floor_m, plan.units)} or deeper, or "
                "leave it ashore",
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
        if rules.floor_bar - _NEAR_BAR
        <= oxygen_pressure(gas.mix, depth_m, water)
        <= gas.ppo2_max_bar + rules.ppo2_tolerance_bar + _NEAR_BAR
    ]
    if fit:
        return max(fit, key=lambda gas: gas.mix.o2)
    told = "; ".join(_refused(plan, gas, depth_m) for gas in plan.bottom_gases)
    right = say.oxygen_between(
        best_oxygen_at(depth_m, rules.floor_bar, water),
        best_oxygen_at(depth_m, rules.ppo2_bottom_max_bar, water),
    )
    raise NoSafeAnswer(
        Reason(
            f"no bottom gas may be breathed at {say.depth(depth_m, plan.units)}: {told}",
            f"a bottom gas with {right}, or another depth",
        )
    )


def _refused(plan: Plan, gas: CarriedGas, depth_m: float) -> str:
    ppo2 = oxygen_pressure(gas.mix, depth_m, plan.water)
    lean = ppo2 < plan.rules.floor_bar
    passes = f"below {floor_words(plan)}" if lean else f"over {limit_words(plan, gas)}"
    return f"{gas.mix} has {ppo2:.2f} bar there, {passes}"
