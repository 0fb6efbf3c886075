"""Hazards of changes of gas: counterdiffusion, changes moved, changes and gases without use."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from slatewright.decompression.leg import LegKind
from slatewright.dive import mends, say
from slatewright.dive.finished import Finished
from slatewright.dive.hazard import Change, Hazard, Mend, Severity
from slatewright.dive.plan import Plan, Use
from slatewright.dive.travel import SwitchWindow
from slatewright.dive.trials import runtime_without
from slatewright.physics.counterdiffusion import counterdiffusion, helium_for_fifths
from slatewright.physics.limits import best_oxygen_at
from slatewright.physics.mixture import Mixture

_LEAST_GAIN_MIN = 1.0


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
            leaner = _leaner_in_nitrogen(before.gas, after.gas)
            yield Hazard(
                "counterdiffusion", Severity.WARNING, after.start_min, after.from_m,
                f"from {before.gas} to {after.gas} at {say.depth(after.from_m, plan.units)} "
                f"nitrogen rises by {figures.n2_change_bar:.2f} bar while helium falls by "
                f"{-figures.he_change_bar:.2f} bar: more than one fifth ({allowed:.2f} bar)",
                "a sudden rise of nitrogen may bring on inner-ear bubbles; a rule of thumb, and a "
                "warning, not a veto (common practice, no published source)",
                f"{leaner} or more helium instead of {after.gas}; another depth, or a step "
                "between, does not keep the rule",
                mends=(mends.other_mix(after.gas, leaner),),
            )  # fmt: skip


def _leaner_in_nitrogen(before: Mixture, after: Mixture) -> Mixture:
    """Return the mixture that would keep the rule at the same oxygen."""
    least = helium_for_fifths(after.o2, before.n2, before.he)
    return Mixture(after.o2, min(math.ceil(least * 100.0 - 1e-9) / 100.0, 1.0 - after.o2))


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
                f"leave {mix} ashore, if it is not carried as a reserve",
                mends=(mends.ashore(mix),),
            )  # fmt: skip


def gainless(dive: Finished) -> Iterator[Hazard]:
    """Find decompression gases without which the dive would not be longer by a minute.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    on_the_bottom = {gas.mix for gas in plan.bottom_gases}
    rising = [leg for leg in dive.legs if leg.start_min >= dive.bottom_left_min - 1e-6]
    for gas in plan.gases:
        taken = next((leg for leg in rising if leg.gas == gas.mix and not leg.switching), None)
        # a mixture that is for the bottom too would be breathed on the way up all the same
        if gas.use is not Use.DECOMPRESSION or taken is None or gas.mix in on_the_bottom:
            continue
        without_min = runtime_without(plan, gas)
        if without_min is not None and without_min < dive.runtime_min + _LEAST_GAIN_MIN - 1e-6:
            yield Hazard(
                "gainless-change", Severity.NOTE, taken.start_min, taken.from_m,
                f"the change to {gas.mix} saves less than a minute: the dive takes "
                f"{dive.runtime_min:.1f} min with it, {without_min:.1f} min without",
                "a change of gas is a moment at which the wrong gas can be breathed",
                f"do not change to {gas.mix} on the way up, if it is not a reserve",
                mends=(mends.without_use(gas),),
            )  # fmt: skip


def moved_switch(dive: Finished) -> Iterator[Hazard]:
    """Tell where a change on the way down was not made at the depth that was asked for.

    Parameters
    ----------
    dive
        The finished dive.
    """
    plan = dive.plan
    units = plan.units
    for i, window in enumerate(dive.switches):
        if not window.moved or window.asked_m is None:
            continue
        write = f"write {say.depth(window.chosen_m, units)} into the plan"
        is_last = i + 1 == len(dive.switches)
        gases = _gases_for_asked(plan, window, window.asked_m, is_first=i == 0, is_last=is_last)
        yield Hazard(
            "travel-change-moved", Severity.WARNING, _reached_min(dive, window), window.chosen_m,
            f"a change from {window.left} to {window.taken} at {say.depth(window.asked_m, units)} "
            f"was asked for; it is safe from {say.no_shallower(window.shallowest_m, units)} to "
            f"{say.no_deeper(window.deepest_m, units)}, and is planned at "
            f"{say.depth(window.chosen_m, units)}",
            _why_moved(window),
            "; or ".join((write, *gases)),
            ("floor_bar", "ppo2_bottom_max_bar", "ppo2_tolerance_bar"),
            (
                Mend(
                    f"change at {say.depth(window.chosen_m, units)}",
                    (Change(("gas", str(window.left), "travel_to_{m}"), window.chosen_m),),
                ),
            ),
        )  # fmt: skip


def _reached_min(dive: Finished, window: SwitchWindow) -> float:
    """Return the run time at which the depth of a change on the way down is reached."""
    return next(
        leg.end_min
        for leg in dive.legs
        if leg.kind is LegKind.DESCENT and leg.to_m >= window.chosen_m - 1e-6
    )


def _why_moved(window: SwitchWindow) -> str:
    if window.asked_m is not None and window.asked_m < window.shallowest_m:
        return f"above the window {window.taken} is hypoxic: consciousness is lost without warning"
    return f"below the window {window.left} is hyperoxic, or the dive has ended its descent"


def _gases_for_asked(
    plan: Plan, window: SwitchWindow, asked_m: float, *, is_first: bool, is_last: bool
) -> list[str]:
    """Name the gas with which the depth asked for would lie in the window."""
    floor_bar, most_bar = plan.rules.floor_bar, plan.rules.ppo2_bottom_max_bar
    if asked_m < window.shallowest_m and is_last:
        right = say.oxygen_between(
            best_oxygen_at(asked_m, floor_bar, plan.water),
            best_oxygen_at(plan.deepest_m, most_bar, plan.water),
        )
        return [f"a bottom gas with {right} in place of {window.taken}"] if right else []
    if window.deepest_m < asked_m <= plan.levels[0].depth_m and is_first:
        right = say.oxygen_between(
            best_oxygen_at(0.0, floor_bar, plan.water),
            best_oxygen_at(asked_m, most_bar, plan.water),
        )
        return [f"a travel gas with {right} in place of {window.left}"] if right else []
    return []
