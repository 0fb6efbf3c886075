"""What if: a plan or a mixture changed until something holds, so that a cure is known to cure."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from slatewright.decompression.leg import LegKind
from slatewright.decompression.oxygen import OxygenDose
from slatewright.dive.plan import CarriedGas, Plan
from slatewright.dive.solving import doses_of, locker_of, planned_legs, solve_plan
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import Mixture

_HALVINGS: Final = 40


def runtime_without(plan: Plan, gas: CarriedGas) -> float | None:
    """Return the run time without one use of a gas [min], None if there is no way without it.

    Parameters
    ----------
    plan
        The plan.
    gas
        The gas with the use that is left out.
    """
    rest = tuple(other for other in plan.gases if other is not gas)
    carried = any(other.mix == plan.break_gas for other in rest)
    trial = replace(plan, gases=rest, break_gas=plan.break_gas if carried else None)
    try:
        return solve_plan(trial).solution.runtime_min
    except NoSafeAnswer:
        return None


def runtime_of(plan: Plan) -> float | None:
    """Return the run time of a plan [min], None if there is no way to dive it.

    Parameters
    ----------
    plan
        The plan.
    """
    try:
        return solve_plan(plan).solution.runtime_min
    except NoSafeAnswer:
        return None


def dose_on_surfacing(plan: Plan) -> OxygenDose | None:
    """Return the oxygen exposure of a plan on surfacing, None if there is no way to dive it.

    Parameters
    ----------
    plan
        The plan.
    """
    try:
        solution = solve_plan(plan).solution
    except NoSafeAnswer:
        return None
    return doses_of(plan, solution.legs)[-1]


def leaving_earlier(plan: Plan, holds: Callable[[Plan], bool]) -> Plan | None:
    """Return the plan that leaves its last stay as late as may be for something to hold.

    Parameters
    ----------
    plan
        The plan.
    holds
        What is to hold. It is taken to hold from some minute on for every earlier one; what is
        returned was tried.

    Returns
    -------
    Plan or None
        With a whole minute of run time; None if it does not hold for any.
    """
    *before, last = plan.levels

    def leaving_at(minute: int) -> Plan:
        return replace(plan, levels=(*before, replace(last, leave_at_min=float(minute))))

    good, bad = _soonest_min(plan), math.ceil(last.leave_at_min)
    if good >= bad or not holds(leaving_at(good)):
        return None
    while bad - good > 1:
        minute = (good + bad) // 2
        if holds(leaving_at(minute)):
            good = minute
        else:
            bad = minute
    return leaving_at(good)


def _soonest_min(plan: Plan) -> int:
    """Return the first whole minute of run time after arrival at the last stay."""
    legs = planned_legs(plan, locker_of(plan)).legs
    stay_min = legs[-1].minutes if legs[-1].kind is LegKind.BOTTOM else 0.0
    return math.floor(sum(leg.minutes for leg in legs) - stay_min + 1e-6) + 1


def enough_helium(mix: Mixture, holds: Callable[[Mixture], bool]) -> Mixture | None:
    """Return a mixture with as little helium more as makes something hold, in whole percent.

    Parameters
    ----------
    mix
        The mixture; its oxygen is kept.
    holds
        What is to hold.

    Returns
    -------
    Mixture or None
        None if it does not hold without nitrogen either.
    """
    for percent in range(math.floor(mix.he * 100.0) + 1, 100):
        he = min(percent / 100.0, 1.0 - mix.o2)
        if mix.he < he < 1.0 and holds(richer := Mixture(mix.o2, he)):
            return richer
        if he >= 1.0 - mix.o2:
            break
    return None


def deepest_where(holds: Callable[[float], bool], deepest_m: float) -> float | None:
    """Return the greatest depth at which something holds that holds at all shallower ones.

    Parameters
    ----------
    holds
        Takes a depth [m].
    deepest_m
        Where it does not hold [m].

    Returns
    -------
    float or None
        Depth, to less than a millimetre on the side on which it holds; None if it does not hold
        at the surface [m].
    """
    if not holds(0.0):
        return None
    good_m, bad_m = 0.0, deepest_m
    for _ in range(_HALVINGS):
        middle_m = 0.5 * (good_m + bad_m)
        if holds(middle_m):
            good_m = middle_m
        else:
            bad_m = middle_m
    return good_m
