"""Cures as changes of the plan file: made here, written in by `slatewright.dive.mending`."""

from __future__ import annotations

import math
from typing import Final

from slatewright.dive import say
from slatewright.dive.hazard import Change, Mend
from slatewright.dive.plan import CarriedGas, Plan, Use
from slatewright.errors import NoSafeAnswer
from slatewright.physics.limits import best_oxygen_at, hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import METRES_PER_FOOT, UnitSystem, round_down

_NEAR_M: Final = 1e-9
READABLE_M: Final = {UnitSystem.METRIC: 1.0, UnitSystem.IMPERIAL: METRES_PER_FOOT}
"""Rates and limits are proposed in whole metres or feet."""


def other_mix(mix: Mixture, other: Mixture) -> Mend:
    """Return the mend that takes a mixture in all places of another.

    Parameters
    ----------
    mix, other
        The mixture that goes, and the one that comes.
    """
    return Mend(f"take {other} in place of {mix}", (Change(("gas", str(mix), "mix"), str(other)),))


def leaner_mix(plan: Plan, mix: Mixture, at_m: float, limit_bar: float) -> Mend | None:
    """Return the mend that takes a mixture with as much oxygen as may be breathed at a depth.

    Parameters
    ----------
    plan
        The plan.
    mix
        The mixture that has too much; its helium is kept.
    at_m
        The depth [m].
    limit_bar
        The highest ppO2 [bar].

    Returns
    -------
    Mend or None
        With whole percent of oxygen; None if there is no such mixture.
    """
    percent = round_down(best_oxygen_at(at_m, limit_bar, plan.water) * 100.0)
    if not 0.0 < percent / 100.0 < mix.o2:
        return None
    return other_mix(mix, Mixture(percent / 100.0, mix.he))


def switch_no_deeper(plan: Plan, mix: Mixture, at_m: float) -> Mend | None:
    """Return the mend that takes a gas up on the way up at the deepest level that is safe.

    Parameters
    ----------
    plan
        The plan.
    mix
        A gas that is for nothing but the way up; None is returned for others, which would be
        breathed deeper all the same.
    at_m
        The depth below which it is not to be breathed [m].
    """
    if any(gas.use is not Use.DECOMPRESSION for gas in plan.gases if gas.mix == mix):
        return None
    step_m = plan.settings.stop_step_m
    level_m = round(round_down(at_m, step_m), 6)
    floor_m = hypoxic_floor(mix, plan.rules.floor_bar, plan.water)
    if level_m < max(plan.settings.last_stop_m, floor_m) - _NEAR_M:
        return None
    return Mend(
        f"switch to {mix} at {say.depth(level_m, plan.units)}",
        (Change(("gas", str(mix), "switch_at_{m}"), level_m),),
    )


def within_house_rule(plan: Plan, mix: Mixture, limit_bar: float) -> Mend | None:
    """Return the mend that breathes a gas of the way up no deeper than the house rule has it.

    Parameters
    ----------
    plan
        The plan.
    mix
        The gas.
    limit_bar
        The house rule [bar].
    """
    try:
        deepest_m = operating_depth(mix, limit_bar + plan.rules.ppo2_tolerance_bar, plan.water)
    except NoSafeAnswer:
        return None  # over the house rule even at the surface
    mend = switch_no_deeper(plan, mix, deepest_m)
    if mend is None:
        return None
    return Mend(mend.words, (*mend.changes, Change(("gas", str(mix), "ppo2_max_bar"), None)))


def without_use(gas: CarriedGas) -> Mend:
    """Return the mend that does not take a gas up on the way up.

    Parameters
    ----------
    gas
        The gas.
    """
    path = ("gas", str(gas.mix), "use", str(gas.use))
    return Mend(f"do not change to {gas.mix} on the way up", (Change(path, None),))


def ashore(mix: Mixture) -> Mend:
    """Return the mend that does not carry a gas.

    Parameters
    ----------
    mix
        The gas.
    """
    return Mend(f"leave {mix} ashore", (Change(("gas", str(mix)), None),))


def leave_at(shorter: Plan) -> Mend:
    """Return the mend that leaves the last stay as another plan does.

    Parameters
    ----------
    shorter
        The same plan with its last stay left earlier.
    """
    position, last = len(shorter.levels) - 1, shorter.levels[-1]
    return Mend(
        f"leave {say.depth(last.depth_m, shorter.units)} at {last.leave_at_min:.0f} min",
        (Change(("level", position, "leave_at_min"), last.leave_at_min),),
    )


def no_faster(plan: Plan, key: str, rate_m_per_min: float, *, below: bool = False) -> Mend:
    """Return the mend that sets a rate to the fastest whole one that is allowed.

    Parameters
    ----------
    plan
        The plan.
    key
        Table and key of the rate, such as ``diver descent``.
    rate_m_per_min
        The fastest [m/min].
    below
        True if it must stay below that rate.
    """
    whole_m = READABLE_M[plan.units]
    steps = rate_m_per_min / whole_m
    rate_m = (math.ceil(steps - 1e-6) - 1 if below else math.floor(steps + 1e-6)) * whole_m
    table, name = key.split()
    verb = "descend" if name == "descent" else "ascend"
    return Mend(
        f"{verb} at {say.rate(rate_m, plan.units)}",
        (Change((table, f"{name}_{{m}}_per_min"), round(rate_m, 6)),),
    )
