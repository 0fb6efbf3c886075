"""Hazards of a closed circuit: what its gas, its diluent, its setpoints and its bailout bring."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.dive import mends, say
from slatewright.dive.bailout import bailout_way
from slatewright.dive.finished import Finished
from slatewright.dive.hazard import Hazard, Mend, Severity
from slatewright.dive.loop import Loop
from slatewright.dive.loop_gas import breathed_mix
from slatewright.dive.loop_way import is_rising, ppo2_limit_bar
from slatewright.dive.plan import Plan
from slatewright.dive.trials import deepest_where, enough_helium
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.density import gas_density
from slatewright.physics.limits import best_oxygen_at, hypoxic_floor, oxygen_pressure
from slatewright.physics.mixture import Mixture
from slatewright.physics.narcosis import narcotic_depth

_SLACK: Final = 1e-9
_NEAR_M: Final = 1e-6


def _at_the_deepest(dive: Finished) -> tuple[float, list[Leg]]:
    """Return the greatest depth, and the legs in which a diver is there, in order of time."""
    deepest_m = max(max(leg.from_m, leg.to_m) for leg in dive.legs)
    there = [leg for leg in dive.legs if max(leg.from_m, leg.to_m) > deepest_m - _NEAR_M]
    return deepest_m, there


def _worst(
    dive: Finished, figure: Callable[[Mixture, float], float]
) -> tuple[Callable[[Mixture, float], float], float, float]:
    """Return a figure of a diluent at a depth, and run time and depth at which it is worst.

    The figure is the greatest of the gas in the loop, at each setpoint that is kept at the greatest
    depth, and of the diluent itself, which is breathed after a flush.
    """
    deepest_m, there = _at_the_deepest(dive)

    def of(leg: Leg, diluent: Mixture, depth_m: float) -> float:
        held = breathed_mix(replace(leg, gas=diluent), depth_m, dive.plan.water)
        return max(figure(held, depth_m), figure(diluent, depth_m))

    def greatest(diluent: Mixture, depth_m: float) -> float:
        return max(of(leg, diluent, depth_m) for leg in there)

    leg = max(there, key=lambda one: (of(one, one.gas, deepest_m), -one.start_min))
    at_end = leg.to_m > deepest_m - _NEAR_M and leg.from_m < deepest_m - _NEAR_M
    return greatest, leg.end_min if at_end else leg.start_min, deepest_m


def rich_loop(dive: Finished) -> Iterator[Hazard]:
    """Find ppO2 over the limits in the loop.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan, rules = dive.plan, dive.plan.rules
    for rising in (False, True):
        rule_bar = rules.ppo2_stop_max_bar if rising else rules.ppo2_bottom_max_bar
        own_bar = ppo2_limit_bar(plan, rising=rising)
        ends = [
            (ppo2_bar(leg, at_m, plan.water), at_min, at_m)
            for leg in dive.legs
            if is_rising(plan, leg) is rising
            for at_min, at_m in ((leg.start_min, leg.from_m), (leg.end_min, leg.to_m))
        ]
        highest_bar, at_min, at_m = max(ends, key=lambda end: (end[0], -end[1]))
        over_bar = highest_bar - min(rule_bar, own_bar)
        tolerance_bar = rules.ppo2_tolerance_bar + _SLACK
        if over_bar <= (tolerance_bar if rising else _SLACK):
            continue
        within = over_bar <= tolerance_bar
        yield Hazard(
            "hyperoxic", Severity.NOTE if within else Severity.WARNING, at_min, at_m,
            f"the loop at {say.depth(at_m, plan.units)} has a ppO2 of {highest_bar:.2f} bar, over "
            f"{min(rule_bar, own_bar):g} bar"
            + (", but within the tolerance" if within else f"; the plan gives it {own_bar:g} bar"),
            "oxygen at high pressure brings convulsions; under water that is drowning",
            f"a setpoint of {min(rule_bar, own_bar):g} bar or less",
            ("ppo2_stop_max_bar" if rising else "ppo2_bottom_max_bar", "ppo2_tolerance_bar"),
        )  # fmt: skip


def dense_loop(dive: Finished) -> Iterator[Hazard]:
    """Find gas in the loop, or diluent, denser than the recommended and the highest density.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan, rules = dive.plan, dive.plan.rules
    loop, celsius = _loop(plan), rules.density_temperature_c
    recommended = rules.density_recommended_g_per_l
    densest, at_min, at_m = _worst(
        dive, lambda mix, depth_m: gas_density(mix, depth_m, plan.water, temperature_c=celsius)
    )

    density = densest(loop.diluent, at_m)
    if density <= recommended + _SLACK:
        return
    too_dense = density > rules.density_max_g_per_l + _SLACK
    limit = rules.density_max_g_per_l if too_dense else recommended
    richer = enough_helium(loop.diluent, lambda other: densest(other, at_m) <= recommended)
    to_m = deepest_where(lambda depth_m: densest(loop.diluent, depth_m) <= recommended, at_m)
    shown = f"{density:.1f}" if density >= limit + 0.05 else f"{density:.2f}"
    yield Hazard(
        "dense-gas", Severity.DANGER if too_dense else Severity.WARNING, at_min, at_m,
        f"the loop on {loop.diluent} at {say.depth(at_m, plan.units)} has up to {shown} g/L, over "
        f"the {'highest' if too_dense else 'recommended'} {limit:g} g/L",
        "work of breathing rises, more so through an absorbent, carbon dioxide is retained, and "
        "that can end in unconsciousness [ANTHONY2016]",
        _lighter(plan, loop, richer, to_m),
        ("density_temperature_c", "density_recommended_g_per_l", "density_max_g_per_l"),
        _other_diluent(loop, richer),
    )  # fmt: skip


def narcotic_loop(dive: Finished) -> Iterator[Hazard]:
    """Find gas in the loop whose equivalent narcotic depth is over the person's limit.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    loop, counted, limit_m = _loop(plan), plan.rules.oxygen_narcotic, plan.narcotic_limit_m
    as_deep_as_m, at_min, at_m = _worst(
        dive,
        lambda mix, depth_m: narcotic_depth(mix, depth_m, plan.water, oxygen_narcotic=counted),
    )

    as_deep_m = as_deep_as_m(loop.diluent, at_m)
    if as_deep_m <= limit_m + 1e-3:
        return
    richer = enough_helium(loop.diluent, lambda other: as_deep_as_m(other, at_m) <= limit_m)
    to_m = deepest_where(lambda depth_m: as_deep_as_m(loop.diluent, depth_m) <= limit_m, at_m)
    yield Hazard(
        "narcotic", Severity.WARNING, at_min, at_m,
        f"the loop on {loop.diluent} at {say.depth(at_m, plan.units)} is as narcotic as air at "
        f"{say.no_shallower(as_deep_m, plan.units)} "
        f"({'oxygen counted' if counted else 'oxygen not counted'}); the limit is "
        f"{say.depth(limit_m, plan.units)}",
        "narcosis slows thought and hides other trouble",
        _lighter(plan, loop, richer, to_m),
        ("oxygen_narcotic",),
        _other_diluent(loop, richer),
    )  # fmt: skip


def _lighter(plan: Plan, loop: Loop, richer: Mixture | None, to_m: float | None) -> str:
    cures = [f"{richer} as diluent instead of {loop.diluent}"] if richer else []
    if to_m:
        cures.append(f"no deeper than {say.no_deeper(to_m, plan.units)}")
    return ", or ".join(cures) or "another diluent"


def _other_diluent(loop: Loop, richer: Mixture | None) -> tuple[Mend, ...]:
    return (mends.other_mix(loop.diluent, richer),) if richer else ()


def rich_diluent(dive: Finished) -> Iterator[Hazard]:
    """Find a diluent that brings more oxygen than the setpoint at depth.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    loop = _loop(plan)
    found = [
        (at_m, at_min, leg.setpoint_bar)
        for leg in dive.legs
        if leg.setpoint_bar is not None
        for at_min, at_m in ((leg.start_min, leg.from_m), (leg.end_min, leg.to_m))
        if oxygen_pressure(loop.diluent, at_m, plan.water) > leg.setpoint_bar + _SLACK
    ]
    if not found:
        return
    at_m, at_min, setpoint_bar = max(found, key=lambda end: (end[0], -end[1]))
    flushed_bar = oxygen_pressure(loop.diluent, at_m, plan.water)
    best = best_oxygen_at(at_m, setpoint_bar, plan.water)
    leaner = Mixture(math.floor(best * 100.0) / 100.0, loop.diluent.he) if best >= 0.01 else None
    yield Hazard(
        "diluent-hyperoxic", Severity.WARNING, at_min, at_m,
        f"{loop.diluent} brings {flushed_bar:.2f} bar of oxygen at "
        f"{say.depth(at_m, plan.units)}, more than the setpoint of {setpoint_bar:g} bar",
        "the loop cannot hold its setpoint, and a flush with diluent, the first thing to do when "
        "the oxygen is too high, does not bring it down",
        f"a diluent with {math.floor(best * 1000.0) / 10.0:g} % oxygen at most, or a higher "
        "setpoint within the limits",
        mends=(mends.other_mix(loop.diluent, leaner),) if leaner else (),
    )  # fmt: skip


def lean_diluent(dive: Finished) -> Iterator[Hazard]:
    """Find depths at which a flush with diluent leaves nothing that keeps a person conscious.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    loop, floor_bar = _loop(plan), plan.rules.floor_bar
    floor_m = hypoxic_floor(loop.diluent, floor_bar, plan.water)
    if floor_m <= _NEAR_M:
        return
    stops = [leg for leg in dive.legs if leg.kind is LegKind.STOP and leg.to_m < floor_m - _NEAR_M]
    least_bar = oxygen_pressure(loop.diluent, 0.0, plan.water)
    at = stops[0] if stops else dive.legs[-1]
    there_m = at.to_m
    there_bar = oxygen_pressure(loop.diluent, there_m, plan.water)
    minutes = sum(leg.minutes for leg in stops)
    yield Hazard(
        "diluent-hypoxic", Severity.WARNING, at.start_min if stops else at.end_min, there_m,
        f"above {say.no_shallower(floor_m, plan.units)} a flush with {loop.diluent} is hypoxic: "
        + (
            f"{there_bar:.2f} bar of oxygen at {say.depth(there_m, plan.units)}, where "
            f"{minutes:.0f} min of stops are spent, and {least_bar:.2f} bar at the surface"
            if stops
            else f"{least_bar:.2f} bar of oxygen at the surface"
        ),
        "a loop that is flushed or fed with it there takes a diver's consciousness without warning",
        f"at {say.no_shallower(floor_m, plan.units)} or shallower add oxygen alone, watch the ppO2 "
        "before the first breath and on the whole way to the surface, and bail out rather than "
        "flush",
        ("floor_bar",),
    )  # fmt: skip


def setpoint_not_held(dive: Finished) -> Iterator[Hazard]:
    """Find stops at which the water's pressure is below the setpoint.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    for leg in dive.legs:
        if leg.kind is not LegKind.STOP or leg.setpoint_bar is None:
            continue
        ambient_bar = plan.water.ambient_bar(leg.to_m)
        if leg.setpoint_bar > ambient_bar + _SLACK:
            yield Hazard(
                "setpoint-not-held", Severity.WARNING, leg.start_min, leg.to_m,
                f"the setpoint of {leg.setpoint_bar:g} bar cannot be had at "
                f"{say.depth(leg.to_m, plan.units)}, where all pressure is {ambient_bar:.2f} bar; "
                "the stop is computed with a loop full of oxygen",
                "a loop is not free of inert gas without flushing it over and over, and a unit "
                "that cannot reach its setpoint goes on adding oxygen",
                "a lower setpoint from there on, or a deeper last stop",
            )  # fmt: skip
            return


def no_bailout(dive: Finished) -> Iterator[Hazard]:
    """Find minutes from which no bailout gas may be breathed, or not all the way up.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    failing: list[tuple[float, float, Reason]] = []
    for minute in range(1, math.ceil(dive.runtime_min)):
        at_m = dive.depth_at(float(minute))
        if at_m <= _NEAR_M:
            continue
        try:
            bailout_way(plan, at_m)
        except NoSafeAnswer as refusal:
            failing.append((at_m, float(minute), refusal.reasons[0]))
    if not failing:
        return
    at_m, at_min, reason = max(failing, key=lambda one: (one[0], -one[1]))
    yield Hazard(
        "no-bailout", Severity.DANGER, at_min, at_m,
        reason.what + (f"; so in {len(failing)} minutes of the dive" if len(failing) > 1 else ""),
        "a loop can fail in any minute, and whoever has nothing else to breathe drowns",
        reason.cure,
        ("ppo2_stop_max_bar", "floor_bar", "ppo2_tolerance_bar"),
    )  # fmt: skip


def _loop(plan: Plan) -> Loop:
    if plan.loop is None:
        raise ValueError("a dive on open circuit has no loop")
    return plan.loop
