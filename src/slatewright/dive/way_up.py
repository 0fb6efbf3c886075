"""The gas of each level on the way up, and the gas for breaks from oxygen."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from slatewright.decompression.ladder import (
    NEAR_M,
    AscentGas,
    NothingToBreathe,
    breathable,
    ladder,
    last_level_from,
    level_above,
)
from slatewright.decompression.ladder import Ladder as Rungs
from slatewright.dive import say
from slatewright.dive.gases import NEVER_RISING_M, OXYGEN_FROM, Locker, floor_words
from slatewright.dive.plan import Plan
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.limits import best_oxygen_at, oxygen_pressure
from slatewright.physics.mixture import Mixture


@dataclass(frozen=True, slots=True)
class _Stretch:
    """From one level up to the next."""

    from_m: float
    to_m: float


def way_up(plan: Plan, gases: Locker, start_gas: Mixture, start_m: float) -> Rungs:
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
    start = gases.index(start_gas)
    hands = list(gases.rising)
    # what is in the mouth stays there, at whatever depth the person wants it taken up again
    hands[start] = replace(hands[start], deepest_m=max(hands[start].deepest_m, start_m))
    try:
        rungs = ladder(hands, start, start_m, plan.settings)
    except NothingToBreathe as gap:
        if gap.off_level:
            raise NoSafeAnswer(_off_level(plan, gap)) from None
        raise NoSafeAnswer(_gap(plan, hands, start_m)) from None
    oxygen = [i for i, mix in enumerate(gases.mixes) if mix.o2 >= OXYGEN_FROM]
    on_oxygen = _stretches(plan, rungs, oxygen, start_m)
    if plan.settings.breaks is None or not on_oxygen:
        return rungs
    pause = _break_gas(plan, gases, on_oxygen)
    return ladder(hands, start, start_m, plan.settings, pause_gas=pause, pause_from=oxygen)


def _stretches(
    plan: Plan, rungs: Rungs, wanted: Sequence[int], start_m: float
) -> tuple[_Stretch, ...]:
    """Return the stretches on which one of some gases is breathed."""
    step_m = plan.settings.stop_step_m
    last = last_level_from(start_m, plan.settings)
    return tuple(
        _Stretch(level * step_m, level_above(level, last) * step_m)
        for level, gas in enumerate(rungs.gas_at_level)
        if level and gas in wanted
    )


def _break_gas(plan: Plan, gases: Locker, on_oxygen: Sequence[_Stretch]) -> int:
    """Return the gas that was named for breaks, or else the leanest that fits everywhere."""
    fit = [
        i
        for i, gas in enumerate(gases.rising)
        if gas.mix.o2 < OXYGEN_FROM
        and all(breathable(gas, way.from_m, way.to_m) for way in on_oxygen)
    ]
    from_m = max(way.from_m for way in on_oxygen)
    to_m = min(way.to_m for way in on_oxygen)
    right = say.oxygen_between(
        best_oxygen_at(to_m, plan.rules.floor_bar, plan.water),
        min(best_oxygen_at(from_m, plan.rules.ppo2_stop_max_bar, plan.water), 0.949),
    )
    way = f"from {say.depth(from_m, plan.units)} up to {_place(to_m, plan)}"
    others = ", ".join(str(gases.mixes[i]) for i in fit)
    cure = f"name {others} for the breaks" if fit else f"carry for decompression a gas with {right}"
    cure += ", or plan without breaks"
    named = plan.break_gas
    if named is None:
        if fit:
            return min(fit, key=lambda i: gases.mixes[i].o2)
        raise NoSafeAnswer(
            Reason(
                "breaks from oxygen are asked for, and no leaner gas that is carried for the "
                f"bottom or for decompression may be breathed {way}, where oxygen is",
                cure,
            )
        )
    if named in gases.mixes and gases.index(named) in fit:
        return gases.index(named)
    raise NoSafeAnswer(Reason(_wrong_break(plan, gases, named, from_m, to_m, way), cure))


def _wrong_break(
    plan: Plan, gases: Locker, named: Mixture, from_m: float, to_m: float, way: str
) -> str:
    asked = f"breaks from oxygen are asked for on {named}"
    if named not in gases.mixes:
        return f"{asked}, which is not carried"
    if named.o2 >= OXYGEN_FROM:
        return f"{asked}, which is oxygen itself"
    if gases.rising[gases.index(named)].deepest_m <= NEVER_RISING_M:
        return f"{asked}, which is carried for travel alone"
    lean = oxygen_pressure(named, to_m, plan.water)
    if lean < plan.rules.floor_bar:
        return (
            f"{asked}, which has a ppO2 of {lean:.2f} bar at {_place(to_m, plan)}, below "
            f"{floor_words(plan)}; breaks are taken {way}"
        )
    return f"{asked}, which may not be breathed at {say.depth(from_m, plan.units)}"


def _off_level(plan: Plan, gap: NothingToBreathe) -> Reason:
    return Reason(
        f"the bottom ends at {say.depth(gap.from_m, plan.units)}, and the gas breathed there may "
        f"not be breathed up to {_place(gap.to_m, plan)}, where another can be taken up: its ppO2 "
        f"would fall below {floor_words(plan)}",
        "end the bottom on a level, or deeper",
    )


def _gap(plan: Plan, hands: Sequence[AscentGas], start_m: float) -> Reason:
    """Say in the plan's units where there is nothing to breathe, and which gas would do."""
    step_m, last = plan.settings.stop_step_m, last_level_from(start_m, plan.settings)
    top = math.floor(start_m / step_m + NEAR_M)
    ways = [
        _Stretch(level * step_m, level_above(level, last) * step_m)
        for level in range(max(1, last), top + 1)
    ]
    bare = [way for way in ways if not any(breathable(g, way.from_m, way.to_m) for g in hands)]
    from_m, to_m = max(way.from_m for way in bare), min(way.to_m for way in bare)
    told = ", ".join(
        f"{gas.mix} from {say.no_shallower(gas.shallowest_m, plan.units)} to "
        f"{say.no_deeper(gas.deepest_m, plan.units)}"
        for gas in hands
        if gas.deepest_m > NEVER_RISING_M
    )
    what = (
        f"between {say.depth(from_m, plan.units)} and {_place(to_m, plan)} there is nothing to "
        f"breathe on the way up, or not all the way; carried for it are {told} "
        "(house rules floor_bar, ppo2_stop_max_bar, ppo2_tolerance_bar)"
    )
    least = best_oxygen_at(to_m, plan.rules.floor_bar, plan.water)
    most = best_oxygen_at(from_m, plan.rules.ppo2_stop_max_bar, plan.water)
    right = say.oxygen_between(least, most)
    if not right:
        return Reason(what, "carry several gases for decompression that cover it between them")
    fit = [
        str(gas.mix)
        for gas in hands
        if gas.deepest_m <= NEVER_RISING_M and least <= gas.mix.o2 <= most
    ]
    also = f"carry {' or '.join(fit)} for decompression too, or " if fit else ""
    return Reason(what, f"{also}carry for decompression a gas with {right}")


def _place(depth_m: float, plan: Plan) -> str:
    return "the surface" if depth_m < 1e-6 else say.depth(depth_m, plan.units)
