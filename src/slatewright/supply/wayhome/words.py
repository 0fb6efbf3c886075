"""Why there is no way home, in a sentence with the plan's own units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slatewright.dive import say
from slatewright.physics.limits import hypoxic_floor
from slatewright.physics.units import UnitSystem, volume_needed_label

if TYPE_CHECKING:
    from collections.abc import Sequence

    from slatewright.decompression.ladder import AscentGas
    from slatewright.dive.plan import Plan
    from slatewright.supply.wayhome.rules import WayHomeRules
    from slatewright.supply.wayhome.verdicts import Lacking


def why_no_way(
    plan: Plan,
    rules: WayHomeRules,
    at_hand: Sequence[AscentGas],
    lacking: Sequence[Lacking],
    gap: tuple[float, float] | None,
) -> str:
    """Say why nobody gets home.

    Parameters
    ----------
    plan, rules
        The plan, and what an emergency allows.
    at_hand
        The gases that anyone has, within the limits of the house rules.
    lacking
        What is lacking on the way that needs the least.
    gap
        The stretch on which nothing may be breathed, from and to [m]; None if there is none.

    Returns
    -------
    str
        A sentence without a full stop.
    """
    units = plan.units
    if lacking:
        told = " and ".join(f"{free_gas(gas.free_l, units)} of {gas.mix}" for gas in lacking)
        return f"{told} too little on the way that needs the least"
    if gap is None:
        return "the obligation does not end within a day on what is left"
    if not at_hand:
        return "nothing is left to breathe"
    told = "; ".join(_window(plan, rules, gas) for gas in at_hand)
    to = "the surface" if gap[1] < 1e-6 else say.depth(gap[1], units)
    return (
        f"from {say.depth(gap[0], units)} up to {to} nothing that is left may be breathed ({told})"
    )


def free_gas(free_l: float, units: UnitSystem) -> str:
    """Return an amount that is needed, rounded up.

    Parameters
    ----------
    free_l
        Free gas [L].
    units
        The units of the reader.
    """
    return volume_needed_label(free_l, units)


def _window(plan: Plan, rules: WayHomeRules, gas: AscentGas) -> str:
    units = plan.units
    told = f"{gas.mix} from {say.no_shallower(gas.shallowest_m, units)} down"
    if gas.shallowest_m <= 0.0:
        return f"{gas.mix} down to {say.no_deeper(gas.deepest_m, units)}"
    least_m = hypoxic_floor(
        gas.mix, min(rules.emergency_floor_bar, plan.rules.floor_bar), plan.water
    )
    if least_m < gas.shallowest_m:
        told += f", in an emergency from {say.no_shallower(least_m, units)}"
    return told
