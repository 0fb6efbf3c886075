"""Hazards of what is breathed: oxygen, density, narcosis, helium, and gases that do nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.dive.finished import Finished
from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.plan import CarriedGas, Plan, Use
from slatewright.dive.solving import solve_plan
from slatewright.errors import NoSafeAnswer
from slatewright.physics.counterdiffusion import counterdiffusion
from slatewright.physics.density import density_depth, gas_density
from slatewright.physics.limits import best_oxygen_at, hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture
from slatewright.physics.narcosis import narcotic_depth
from slatewright.physics.units import UnitSystem, feet_from_m

HPNS_DEPTH_M: Final = 90.0
HPNS_RATE_M_PER_MIN: Final = 20.0
"""Deeper than this on helium, and faster than this below it, a caution is given: common practice,
no published source; tremor has been described from 100 to 150 m, sooner with fast compression."""
_SLACK: Final = 1e-9

End = tuple[float, float, Leg]
"""Run time [min], depth [m] and leg of one end of a leg."""


def shown(depth_m: float, plan: Plan) -> str:
    """Return a depth in the plan's units, for a sentence.

    Parameters
    ----------
    depth_m
        Depth [m].
    plan
        Whose units.
    """
    if plan.units is UnitSystem.IMPERIAL:
        return f"{feet_from_m(depth_m):.0f} ft"
    return f"{depth_m:.1f}".removesuffix(".0") + " m"


def _ends(dive: Finished) -> Iterator[End]:
    for leg in dive.legs:
        yield leg.start_min, leg.from_m, leg
        yield leg.end_min, leg.to_m, leg


def _worst_by_gas(dive: Finished, badness: Callable[[End], float]) -> Iterator[tuple[End, float]]:
    """Return for each gas the end of a leg at which a figure is highest, and the figure."""
    worst: dict[Mixture, tuple[End, float]] = {}
    for end in _ends(dive):
        value = badness(end)
        mix = end[2].gas
        if mix not in worst or value > worst[mix][1] + _SLACK:
            worst[mix] = (end, value)
    yield from worst.values()


def hypoxic(dive: Finished) -> Iterator[Hazard]:
    """Find gas breathed below the floor.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan, floor_bar = dive.plan, dive.plan.rules.floor_bar
    for (at_min, at_m, leg), lack in _worst_by_gas(
        dive, lambda end: -ppo2_bar(end[2], end[1], dive.plan.water)
    ):
        if -lack < floor_bar - _SLACK:
            safe_m = hypoxic_floor(leg.gas, floor_bar, plan.water)
            yield Hazard(
                "hypoxic", Severity.DANGER, at_min, at_m,
                f"{leg.gas} at {shown(at_m, plan)} has a ppO2 of {-lack:.2f} bar, below the floor "
                f"of {floor_bar:g} bar",
                "a diver loses consciousness without warning",
                f"breathe {leg.gas} only from {shown(safe_m, plan)} down",
                ("floor_bar",),
            )  # fmt: skip


def hyperoxic(dive: Finished) -> Iterator[Hazard]:
    """Find ppO2 over the limits; within the tolerance is a note only for bottom and travel gas.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan, rules = dive.plan, dive.plan.rules
    for rising in (False, True):
        limit_bar = rules.ppo2_stop_max_bar if rising else rules.ppo2_bottom_max_bar

        def ppo2(end: End, *, wanted: bool = rising) -> float:
            is_rising = end[2].start_min >= dive.bottom_left_min - 1e-6
            return ppo2_bar(end[2], end[1], plan.water) if is_rising is wanted else 0.0

        for (at_min, at_m, leg), highest_bar in _worst_by_gas(dive, ppo2):
            over_bar = highest_bar - limit_bar
            if over_bar <= _SLACK or (rising and over_bar <= rules.ppo2_tolerance_bar + _SLACK):
                continue
            within = over_bar <= rules.ppo2_tolerance_bar + _SLACK
            depth_m = operating_depth(leg.gas, limit_bar, plan.water)
            yield Hazard(
                "hyperoxic",
                Severity.NOTE if within else Severity.DANGER,
                at_min,
                at_m,
                f"{leg.gas} at {shown(at_m, plan)} has a ppO2 of {highest_bar:.2f} bar, over "
                f"{limit_bar:g} bar" + (" but within the tolerance" if within else ""),
                "oxygen at high pressure brings convulsions; under water that is drowning",
                f"breathe {leg.gas} at {shown(depth_m, plan)} or shallower",
                (
                    "ppo2_stop_max_bar" if rising else "ppo2_bottom_max_bar",
                    "ppo2_tolerance_bar",
                ),
            )


def dense(dive: Finished) -> Iterator[Hazard]:
    """Find gas denser than the recommended and the highest density.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan, rules = dive.plan, dive.plan.rules
    temperature_c = rules.density_temperature_c
    for (at_min, at_m, leg), density in _worst_by_gas(
        dive,
        lambda end: gas_density(end[2].gas, end[1], plan.water, temperature_c=temperature_c),
    ):
        if density <= rules.density_recommended_g_per_l + _SLACK:
            continue
        too_dense = density > rules.density_max_g_per_l + _SLACK
        limit = rules.density_max_g_per_l if too_dense else rules.density_recommended_g_per_l
        cure_m = density_depth(
            leg.gas,
            rules.density_recommended_g_per_l,
            plan.water,
            temperature_c=temperature_c,
        )
        yield Hazard(
            "dense-gas",
            Severity.DANGER if too_dense else Severity.WARNING,
            at_min,
            at_m,
            f"{leg.gas} at {shown(at_m, plan)} has {density:.1f} g/L, over the "
            f"{'highest' if too_dense else 'recommended'} {limit:g} g/L",
            "work of breathing rises, carbon dioxide is retained, and that can end in "
            "unconsciousness [ANTHONY2016]",
            f"more helium, or {leg.gas} only down to {shown(cure_m, plan)}",
            ("density_temperature_c", "density_recommended_g_per_l", "density_max_g_per_l"),
        )


def narcotic(dive: Finished) -> Iterator[Hazard]:
    """Find gas whose equivalent narcotic depth is over the person's limit.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    counted = plan.rules.oxygen_narcotic
    for (at_min, at_m, leg), depth_m in _worst_by_gas(
        dive, lambda end: narcotic_depth(end[2].gas, end[1], plan.water, oxygen_narcotic=counted)
    ):
        if depth_m > plan.narcotic_limit_m + 0.05:
            basis = "oxygen counted" if counted else "oxygen not counted"
            yield Hazard(
                "narcotic", Severity.WARNING, at_min, at_m,
                f"{leg.gas} at {shown(at_m, plan)} is as narcotic as air at "
                f"{shown(depth_m, plan)} ({basis}); the limit is "
                f"{shown(plan.narcotic_limit_m, plan)}",
                "narcosis slows thought and hides other trouble",
                "more helium, or leave this gas shallower",
                ("oxygen_narcotic",),
            )  # fmt: skip


def counterdiffusing(dive: Finished) -> Iterator[Hazard]:
    """Find changes of gas that break the rule of fifths.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    for before, after in pairwise(dive.legs):
        if before.gas == after.gas or before.pause or after.pause:
            continue
        figures = counterdiffusion(before.gas, after.gas, after.from_m, plan.water)
        if figures.breaks_rule:
            allowed = figures.allowed_n2_rise_bar
            yield Hazard(
                "counterdiffusion", Severity.WARNING, after.start_min, after.from_m,
                f"from {before.gas} to {after.gas} at {shown(after.from_m, plan)} nitrogen rises "
                f"by {figures.n2_change_bar:.2f} bar while helium falls by "
                f"{-figures.he_change_bar:.2f} bar: more than one fifth ({allowed:.2f} bar)",
                "a sudden rise of nitrogen may bring on inner-ear bubbles; a rule of thumb, and a "
                "warning, not a veto (common practice, no published source)",
                _leaner_in_nitrogen(before.gas, after.gas),
            )  # fmt: skip


def _leaner_in_nitrogen(before: Mixture, after: Mixture) -> str:
    """Return the helium that would keep the rule at the same oxygen: n2 rise = helium fall / 5."""
    # with oxygen fixed: (1 - o2 - he) - n2_before = (he_before - he) / 5, solved for he
    he = (1.0 - after.o2 - before.n2 - before.he / 5.0) / (1.0 - 1.0 / 5.0)
    if not 0.0 < he < 1.0 - after.o2:
        return "change in two steps, or at a shallower depth"
    return f"{after.o2 * 100:.0f}/{he * 100 + 0.5:.0f} instead of {after}, or a step between"


def nervous_syndrome(dive: Finished) -> Iterator[Hazard]:
    """Give a caution for deep and fast descents on helium.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    for leg in dive.legs:
        deep = leg.kind is LegKind.DESCENT and leg.to_m > HPNS_DEPTH_M and leg.gas.he > 0.0
        rate = (leg.to_m - leg.from_m) / leg.minutes
        if deep and rate >= HPNS_RATE_M_PER_MIN - _SLACK:
            yield Hazard(
                "nervous-syndrome", Severity.NOTE, leg.end_min, leg.to_m,
                f"{shown(leg.to_m, plan)} is reached at {shown(rate, plan)}/min on {leg.gas}",
                "deep and fast on helium, the high-pressure nervous syndrome (tremor, unrest) may "
                "begin; common practice, no published source for this depth",
                f"descend slower than {shown(HPNS_RATE_M_PER_MIN, plan)}/min below "
                f"{shown(60.0, plan)}, and stop if there is tremor",
            )  # fmt: skip


def unused(dive: Finished) -> Iterator[Hazard]:
    """Find gases that are carried and never breathed.

    Parameters
    ----------
    dive
        The finished dive.
    """
    breathed = {leg.gas for leg in dive.legs}
    for mix in dict.fromkeys(gas.mix for gas in dive.plan.gases):
        if mix not in breathed:
            yield Hazard(
                "unused-gas", Severity.NOTE, 0.0, 0.0,
                f"{mix} is carried and never breathed",
                "a cylinder more is a chance more of breathing the wrong one",
                f"leave {mix} ashore, or give it a depth at which it is breathed",
            )  # fmt: skip


def gainless(dive: Finished) -> Iterator[Hazard]:
    """Find decompression gases without which the ascent would not be longer by a minute.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    for gas in plan.gases:
        if gas.use is not Use.DECOMPRESSION or gas.mix not in {leg.gas for leg in dive.legs}:
            continue
        without_min = _runtime_without(plan, gas)
        if without_min is not None and without_min < dive.runtime_min + 1.0 - 1e-6:
            at = next(leg for leg in dive.legs if leg.gas == gas.mix and leg.kind is LegKind.STOP)
            yield Hazard(
                "gainless-change", Severity.NOTE, at.start_min, at.from_m,
                f"without {gas.mix} the dive takes {without_min:.0f} min instead of "
                f"{dive.runtime_min:.0f} min",
                "a change of gas is a moment at which the wrong gas can be breathed",
                f"leave out {gas.mix}, if it is not carried as a reserve",
            )  # fmt: skip


def _runtime_without(plan: Plan, gas: CarriedGas) -> float | None:
    """Return the run time without one gas [min], None if there is no way without it."""
    rest = tuple(other for other in plan.gases if other is not gas)
    break_gas = None if plan.break_gas == gas.mix else plan.break_gas
    try:
        return solve_plan(replace(plan, gases=rest, break_gas=break_gas)).solution.runtime_min
    except NoSafeAnswer:
        return None


def moved_switch(dive: Finished) -> Iterator[Hazard]:
    """Tell where a change on the way down was not made at the depth that was asked for.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    for window in dive.switches:
        if window.moved and window.asked_m is not None:
            most = best_oxygen_at(window.asked_m, plan.rules.ppo2_bottom_max_bar, plan.water)
            yield Hazard(
                "travel-change-moved", Severity.WARNING, 0.0, window.chosen_m,
                f"a change from {window.left} to {window.taken} at {shown(window.asked_m, plan)} "
                f"was asked for; it is safe from {shown(window.shallowest_m, plan)} to "
                f"{shown(window.deepest_m, plan)}, and is planned at "
                f"{shown(window.chosen_m, plan)}",
                f"above the window {window.taken} is hypoxic, below it {window.left} is hyperoxic",
                f"write {shown(window.chosen_m, plan)} into the plan, or carry a travel gas with "
                f"at most {most * 100:.0f} % oxygen",
                ("floor_bar", "ppo2_bottom_max_bar", "ppo2_tolerance_bar"),
            )  # fmt: skip
