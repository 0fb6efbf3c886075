"""Hazards of what is breathed: oxygen, density, narcosis, helium."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import ALARM_ABOVE_BAR, ppo2_bar
from slatewright.dive import mends, say
from slatewright.dive.finished import Finished
from slatewright.dive.gases import limit_bar
from slatewright.dive.hazard import Hazard, Mend, Severity
from slatewright.dive.plan import Plan, Use
from slatewright.dive.trials import deepest_where, enough_helium
from slatewright.errors import NoSafeAnswer
from slatewright.physics.density import density_depth, gas_density
from slatewright.physics.limits import hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture
from slatewright.physics.narcosis import narcotic_depth

HPNS_DEPTH_M: Final = 90.0
HPNS_RATE_M_PER_MIN: Final = 20.0
"""Deeper than this on helium, and as fast as this or faster on the way there, a caution is given:
common practice, no published source; tremor has been described from 100 to 150 m, sooner with fast
compression."""
_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class End:
    """One end of a leg.

    Parameters
    ----------
    at_min, at_m
        Run time and depth [min], [m].
    leg
        The leg.
    """

    at_min: float
    at_m: float
    leg: Leg


def deepest_ends(dive: Finished, *, rising: bool | None = None) -> dict[Mixture, End]:
    """Return for each gas where it is first breathed deepest.

    Parameters
    ----------
    dive
        The finished dive.
    rising
        Only after the last stay (True), only until then (False), or both (None).

    Returns
    -------
    dict
        By gas. What is breathed grows with depth: ppO2, density and narcosis are worst there.
    """
    found: dict[Mixture, End] = {}
    for end in _ends(dive, rising=rising):
        if end.leg.gas not in found or end.at_m > found[end.leg.gas].at_m + _SLACK:
            found[end.leg.gas] = end
    return found


def _ends(dive: Finished, *, rising: bool | None = None) -> Iterator[End]:
    for leg in dive.legs:
        if rising is None or (leg.start_min >= dive.bottom_left_min - 1e-6) is rising:
            yield End(leg.start_min, leg.from_m, leg)
            yield End(leg.end_min, leg.to_m, leg)


def hypoxic(dive: Finished) -> Iterator[Hazard]:
    """Find gas breathed below the floor.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan, floor_bar = dive.plan, dive.plan.rules.floor_bar
    shallowest: dict[Mixture, End] = {}
    for end in _ends(dive):
        if end.leg.gas not in shallowest or end.at_m < shallowest[end.leg.gas].at_m - _SLACK:
            shallowest[end.leg.gas] = end
    for mix, end in shallowest.items():
        least_bar = ppo2_bar(end.leg, end.at_m, plan.water)
        if least_bar < floor_bar - _SLACK:
            safe_m = hypoxic_floor(mix, floor_bar, plan.water)
            yield Hazard(
                "hypoxic", Severity.DANGER, end.at_min, end.at_m,
                f"{mix} at {say.depth(end.at_m, plan.units)} has a ppO2 of {least_bar:.2f} bar, "
                f"below the floor of {floor_bar:g} bar",
                "a diver loses consciousness without warning",
                f"breathe {mix} only from {say.no_shallower(safe_m, plan.units)} down",
                ("floor_bar",),
            )  # fmt: skip


def hyperoxic(dive: Finished) -> Iterator[Hazard]:
    """Find ppO2 over the limits.

    Within the tolerance nothing is said at stops, and a note is made of bottom and travel gas. A
    plan that gives a gas a higher limit than the house rule is warned, up to 1.6 bar.

    Parameters
    ----------
    dive
        The finished dive.
    """
    for rising in (False, True):
        for mix, end in deepest_ends(dive, rising=rising).items():
            yield from _over_limit(dive, mix, end, rising=rising)


def _over_limit(dive: Finished, mix: Mixture, end: End, *, rising: bool) -> Iterator[Hazard]:
    plan, rules = dive.plan, dive.plan.rules
    tolerance_bar = rules.ppo2_tolerance_bar + _SLACK
    uses = (Use.BOTTOM, Use.DECOMPRESSION) if rising else (Use.TRAVEL, Use.BOTTOM)
    rule_bar = rules.ppo2_stop_max_bar if rising else rules.ppo2_bottom_max_bar
    own_bar = limit_bar(plan, mix, uses) or rule_bar
    allowed_bar = min(own_bar, rule_bar)
    highest_bar = ppo2_bar(end.leg, end.at_m, plan.water)
    over_bar = highest_bar - allowed_bar
    if over_bar <= (tolerance_bar if rising else _SLACK):
        return
    words = f"over {allowed_bar:g} bar"
    if over_bar <= tolerance_bar:
        severity, words = Severity.NOTE, f"{words}, but within the tolerance"
    elif highest_bar <= min(own_bar, ALARM_ABOVE_BAR) + tolerance_bar:
        severity, words = Severity.WARNING, f"{words}; the plan gives it {own_bar:g} bar"
    else:
        severity = Severity.DANGER
    yield Hazard(
        "hyperoxic", severity, end.at_min, end.at_m,
        f"{mix} at {say.depth(end.at_m, plan.units)} has a ppO2 of {highest_bar:.2f} bar, {words}",
        "oxygen at high pressure brings convulsions; under water that is drowning",
        _breathe_shallower(dive, mix, allowed_bar),
        ("ppo2_stop_max_bar" if rising else "ppo2_bottom_max_bar", "ppo2_tolerance_bar"),
        () if severity is Severity.NOTE else _less_oxygen(plan, mix, end, rule_bar, rising=rising),
    )  # fmt: skip


def _less_oxygen(
    plan: Plan, mix: Mixture, end: End, rule_bar: float, *, rising: bool
) -> tuple[Mend, ...]:
    if rising:
        found = mends.within_house_rule(plan, mix, rule_bar)
    else:
        found = mends.leaner_mix(plan, mix, end.at_m, rule_bar)
    return () if found is None else (found,)


def _breathe_shallower(dive: Finished, mix: Mixture, allowed_bar: float) -> str:
    try:
        depth_m = operating_depth(mix, allowed_bar, dive.plan.water)
    except NoSafeAnswer:
        return f"a gas with less oxygen than {mix}"
    return f"breathe {mix} at {say.no_deeper(depth_m, dive.plan.units)} or shallower"


def dense(dive: Finished) -> Iterator[Hazard]:
    """Find gas denser than the recommended and the highest density.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan, rules = dive.plan, dive.plan.rules
    recommended, temperature_c = rules.density_recommended_g_per_l, rules.density_temperature_c
    for mix, end in deepest_ends(dive).items():
        density = gas_density(mix, end.at_m, plan.water, temperature_c=temperature_c)
        if density <= recommended + _SLACK:
            continue
        too_dense = density > rules.density_max_g_per_l + _SLACK
        limit = rules.density_max_g_per_l if too_dense else recommended

        def light(other: Mixture, at_m: float = end.at_m) -> bool:
            found = gas_density(other, at_m, plan.water, temperature_c=temperature_c)
            return found <= recommended

        try:
            to_m = density_depth(mix, recommended, plan.water, temperature_c=temperature_c)
        except NoSafeAnswer:
            to_m = 0.0
        shown = f"{density:.1f}" if density >= limit + 0.05 else f"{density:.2f}"
        yield Hazard(
            "dense-gas", Severity.DANGER if too_dense else Severity.WARNING, end.at_min, end.at_m,
            f"{mix} at {say.depth(end.at_m, plan.units)} has {shown} g/L, over the "
            f"{'highest' if too_dense else 'recommended'} {limit:g} g/L",
            "work of breathing rises, carbon dioxide is retained, and that can end in "
            "unconsciousness [ANTHONY2016]",
            _lighter(dive, mix, richer := enough_helium(mix, light), to_m),
            ("density_temperature_c", "density_recommended_g_per_l", "density_max_g_per_l"),
            _lightening(plan, mix, richer, to_m),
        )  # fmt: skip


def _lighter(dive: Finished, mix: Mixture, richer: Mixture | None, to_m: float) -> str:
    cures = [f"{richer} instead of {mix}"] if richer else []
    if to_m > 0.0:
        cures.append(f"{mix} only down to {say.no_deeper(to_m, dive.plan.units)}")
    return ", or ".join(cures) or "another gas"


def _lightening(plan: Plan, mix: Mixture, richer: Mixture | None, to_m: float) -> tuple[Mend, ...]:
    """Return what `_lighter` says as changes of the plan."""
    shallower = mends.switch_no_deeper(plan, mix, to_m)
    found = (mends.other_mix(mix, richer) if richer else None, shallower)
    return tuple(mend for mend in found if mend is not None)


def narcotic(dive: Finished) -> Iterator[Hazard]:
    """Find gas whose equivalent narcotic depth is over the person's limit.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    counted, limit_m = plan.rules.oxygen_narcotic, plan.narcotic_limit_m

    def depth_m(mix: Mixture, at_m: float) -> float:
        return narcotic_depth(mix, at_m, plan.water, oxygen_narcotic=counted)

    for mix, end in deepest_ends(dive).items():
        as_deep_m = depth_m(mix, end.at_m)
        # less than a millimetre over the limit is arithmetic, as with 100 ft written as 30.48 m
        if as_deep_m <= limit_m + 1e-3:
            continue

        def clear(other: Mixture, at_m: float = end.at_m) -> bool:
            return depth_m(other, at_m) <= limit_m

        def clear_at(at_m: float, gas: Mixture = mix) -> bool:
            return depth_m(gas, at_m) <= limit_m

        richer, to_m = enough_helium(mix, clear), deepest_where(clear_at, end.at_m)
        yield Hazard(
            "narcotic", Severity.WARNING, end.at_min, end.at_m,
            f"{mix} at {say.depth(end.at_m, plan.units)} is as narcotic as air at "
            f"{say.no_shallower(as_deep_m, plan.units)} "
            f"({'oxygen counted' if counted else 'oxygen not counted'}); the limit is "
            f"{say.depth(limit_m, plan.units)}",
            "narcosis slows thought and hides other trouble",
            _lighter(dive, mix, richer, to_m or 0.0),
            ("oxygen_narcotic",),
            _lightening(plan, mix, richer, to_m or 0.0),
        )  # fmt: skip


def nervous_syndrome(dive: Finished) -> Iterator[Hazard]:
    """Give a caution for deep and fast descents on helium.

    Parameters
    ----------
    dive
        The finished dive.
    """
    units = dive.plan.units
    for leg in dive.legs:
        deep = leg.kind is LegKind.DESCENT and leg.to_m > HPNS_DEPTH_M and leg.gas.he > 0.0
        rate = (leg.to_m - leg.from_m) / leg.minutes
        if deep and rate >= HPNS_RATE_M_PER_MIN - _SLACK:
            yield Hazard(
                "nervous-syndrome", Severity.NOTE, leg.end_min, leg.to_m,
                f"{say.depth(leg.to_m, units)} is reached at {say.rate(rate, units)} on {leg.gas}",
                "deep and fast on helium, the high-pressure nervous syndrome (tremor, unrest) may "
                "begin; common practice, no published source for this depth",
                f"descend slower than {say.no_faster(HPNS_RATE_M_PER_MIN, units)}, and stop if "
                "there is tremor",
                mends=(
                    mends.no_faster(dive.plan, "diver descent", HPNS_RATE_M_PER_MIN, below=True),
                ),
            )  # fmt: skip
