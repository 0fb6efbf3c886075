"""Mix-ups in plain words: what happens, who would notice when, and how cylinders are carried."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from slatewright.dive import say
from slatewright.dive.plan import Plan
from slatewright.physics.limits import hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import Side, depth_label
from slatewright.supply.kit import KitCylinder
from slatewright.supply.mixup_breath import (
    DEADLY_BAR,
    DEADLY_FLOOR_BAR,
    GRAVE_BAR,
    GRAVE_FLOOR_BAR,
    Harm,
    WrongBreath,
    harm_of_too_little,
    harm_of_too_much,
)
from slatewright.supply.mixup_moments import Moment
from slatewright.supply.mixup_waiting import WrongWaits

_NEAR_BAR: Final = 0.05
_NEAR_M: Final = 1e-6


class Who(StrEnum):
    """Who notices."""

    DIVER = "diver"
    PARTNER = "partner"
    NOBODY = "nobody"


@dataclass(frozen=True, slots=True)
class Notice:
    """A check at which a mix-up would be noticed.

    Parameters
    ----------
    who
        Who would notice.
    at_min, at_m
        Run time and depth of the check [min], [m].
    text
        What gives it away, or why nothing does.
    """

    who: Who
    at_min: float
    at_m: float
    text: str


@dataclass(frozen=True, slots=True)
class Dropped:
    """A cylinder that is dropped on the way down.

    Parameters
    ----------
    gas
        What is in it.
    at_min, at_m
        Run time and depth of the drop [min], [m].
    in_mouth
        What is breathed then.
    """

    gas: Mixture
    at_min: float
    at_m: float
    in_mouth: Mixture


def text(
    plan: Plan, moment: Moment, wrong: Mixture, breath: WrongBreath | None, waits: WrongWaits | None
) -> str:
    """Say what happens.

    Parameters
    ----------
    plan
        Limits and units.
    moment
        When and where, and what is meant.
    wrong
        What is taken instead.
    breath, waits
        What comes of it.

    Returns
    -------
    str
        Sentences with the figures.
    """
    said = []
    if breath is not None:
        said += _breath_text(plan, moment, wrong, breath)
    if waits is not None:
        said += _waits_text(plan, moment, wrong, waits)
    return " ".join(said)


def _breath_text(plan: Plan, moment: Moment, wrong: Mixture, breath: WrongBreath) -> list[str]:
    first = (
        f"{wrong} instead of {moment.gas}, {moment.handling} {_place(plan, moment.at_m)} "
        f"(minute {moment.at_min:.0f}): ppO2 {breath.ppo2_bar:.2f} bar, "
        f"{breath.density_g_per_l:.1f} g/L, as narcotic as air at "
        f"{say.depth(breath.narcotic_m, plan.units)}."
    )
    said = [first]
    if breath.highest_ppo2_bar > breath.ppo2_bar + _NEAR_BAR:
        said.append(
            f"Breathed on until minute {moment.until_min:.0f} it reaches "
            f"{breath.highest_ppo2_bar:.2f} bar {_place(plan, breath.highest_at_m)}."
        )
    low_bar = min(plan.rules.floor_bar, breath.ppo2_bar)
    if breath.lowest_ppo2_bar < low_bar - _NEAR_BAR / 5:
        said.append(
            f"Breathed on until minute {moment.until_min:.0f} it falls to "
            f"{breath.lowest_ppo2_bar:.2f} bar {_place(plan, breath.lowest_at_m)}."
        )
    said.append(_consequence(plan, moment, breath))
    if breath.above_ceiling_m > 0.0:
        above = say.depth(breath.above_ceiling_m, plan.units)
        said.append(f"At the planned times the diver is then up to {above} above the ceiling.")
    return said


def _consequence(plan: Plan, moment: Moment, breath: WrongBreath) -> str:
    rules = plan.rules
    limit_bar = rules.ppo2_stop_max_bar + rules.ppo2_tolerance_bar
    high = harm_of_too_much(breath.highest_ppo2_bar, limit_bar)
    low = harm_of_too_little(breath.lowest_ppo2_bar, rules.floor_bar)
    if low > Harm.DIFFERENT and low >= high:
        return {
            Harm.DEADLY: f"Below {DEADLY_FLOOR_BAR:g} bar consciousness goes without warning.",
            Harm.GRAVE: f"Below {GRAVE_FLOOR_BAR:g} bar thought fails, then consciousness.",
        }.get(low, f"That is below the floor of {rules.floor_bar:g} bar.")
    if high > Harm.DIFFERENT:
        return {
            Harm.DEADLY: f"Over {DEADLY_BAR:.1f} bar a convulsion within minutes is likely; under "
            "water that is drowning.",
            Harm.GRAVE: f"Over {GRAVE_BAR:.1f} bar a convulsion may come at any time; under water "
            "that is drowning.",
        }.get(high, f"That is over the limit of {rules.ppo2_stop_max_bar:g} bar.")
    if breath.above_ceiling_m > 0.0:
        return "It can be breathed there, but does not decompress as planned."
    if breath.harm > Harm.DIFFERENT:
        return "It can be breathed there, but is too dense or too narcotic."
    return f"It can be breathed there, but is not {moment.gas}."


def _waits_text(plan: Plan, moment: Moment, wrong: Mixture, waits: WrongWaits) -> list[str]:
    first = (
        f"{wrong} dropped {_place(plan, moment.at_m)} (minute {moment.at_min:.0f}) instead of "
        f"{moment.gas}, and the other way round: {_place(plan, waits.at_m)} (minute "
        f"{waits.at_min:.0f}) {waits.found} waits, {waits.found_ppo2_bar:.2f} bar there, and "
        f"{waits.missing} lies {_place(plan, waits.missing_at_m)}."
    )
    said = [first]
    if waits.runtime_min is None or waits.extra_min is None:
        return [*said, f"No ascent can be made with what is left: {waits.no_way}."]
    more_min = math.ceil(waits.extra_min - 1e-6)
    runtime_min = math.ceil(waits.runtime_min - 1e-6)
    said.append(
        f"The ascent without it takes {more_min} min more, {runtime_min} min of run time."
        if more_min > 0
        else f"The ascent without it takes no longer: {runtime_min} min of run time."
    )
    said += [
        f"The diver's own {out.gas} does not last: it ends at minute {math.floor(out.at_min)} "
        f"{_place(plan, out.at_m)}."
        for out in waits.runs_out
    ]
    return said


def noticed(
    plan: Plan, moment: Moment, wrong: Mixture, breath: WrongBreath | None, waits: WrongWaits | None
) -> tuple[Notice, ...]:
    """Say who would notice, and when.

    Parameters
    ----------
    plan
        Limits and units.
    moment
        When and where, and what is meant.
    wrong
        What is taken instead.
    breath, waits
        What comes of it.

    Returns
    -------
    tuple
        Checks in order of time; the last one says what follows if all of them fail.
    """
    at_min, at_m = moment.at_min, moment.at_m
    if breath is None:
        return _noticed_on_the_line(plan, moment, waits)
    reads = Notice(
        Who.DIVER, at_min, at_m,
        f"follows the hose to the cylinder and reads '{wrong}', not '{moment.gas}', before "
        "breathing",
    )  # fmt: skip
    if label_tells(plan, wrong, at_m):
        partner = Notice(
            Who.PARTNER, at_min, at_m,
            f"reads {_limits(plan, wrong)} on the label, and the gauge shows {_depth(plan, at_m)}",
        )  # fmt: skip
    else:
        partner = Notice(
            Who.PARTNER, at_min, at_m,
            f"only if the mix is read: {_limits(plan, wrong)} on the label allows "
            f"{_depth(plan, at_m)}",
        )  # fmt: skip
    if breath.hypoxic:
        last = "no sense warns of too little oxygen"
    elif breath.harm >= Harm.GRAVE and breath.above_ceiling_m <= 0.0:
        last = "a convulsion may be the first sign"
    else:
        last = f"until the next change at minute {moment.until_min:.0f}, if then"
    return (reads, partner, Notice(Who.NOBODY, moment.until_min, at_m, last))


def _noticed_on_the_line(
    plan: Plan, moment: Moment, waits: WrongWaits | None
) -> tuple[Notice, ...]:
    found = [
        Notice(
            Who.DIVER, moment.at_min, moment.at_m,
            "reads the mix and the operating depth on the label before letting go; groups verify "
            "changes, but hardly ever drops (common practice, no published source)",
        )
    ]  # fmt: skip
    if waits is not None and waits.at_m > moment.at_m + _NEAR_M:
        found.append(
            Notice(
                Who.DIVER, moment.at_min, waits.at_m,
                f"at the next drop, {_place(plan, waits.at_m)}, where {waits.found} is in the hand "
                f"instead of {waits.missing}; what hangs above is then still within reach",
            )
        )  # fmt: skip
    if waits is not None:
        found.append(
            Notice(
                Who.PARTNER, waits.at_min, waits.at_m,
                f"at the change {_place(plan, waits.at_m)}, minute {waits.at_min:.0f}, when "
                f"{waits.found} is read on the label: too late to fetch {waits.missing}",
            )
        )  # fmt: skip
    return tuple(found)


def label_tells(plan: Plan, wrong: Mixture, at_m: float) -> bool:
    """Tell whether the depths on the label of the wrong cylinder give it away.

    Parameters
    ----------
    plan
        Limits.
    wrong
        What is in it.
    at_m
        Where it is taken [m].

    Returns
    -------
    bool
        False for a lean gas within its depths: then only the mix on the label tells.
    """
    too_deep = _operating_m(plan, wrong) < at_m - _NEAR_M
    return too_deep or hypoxic_floor(wrong, plan.rules.floor_bar, plan.water) > at_m + _NEAR_M


def order_text(plan: Plan, drops: Sequence[Dropped]) -> str:
    """Say in which order cylinders are carried and dropped.

    Parameters
    ----------
    plan
        Units.
    drops
        In order of time.

    Returns
    -------
    str
        Sentences; that the first to be dropped hangs outermost is common practice.
    """
    if not drops:
        return (
            "All cylinders are carried throughout: the richest on one side, all leaner ones on the "
            "other, each with its operating depth to the front (common practice, no published "
            "source)."
        )
    told = ", ".join(f"{drop.gas} {_place(plan, drop.at_m)}" for drop in drops)
    said = f"Dropped on the way down in this order: {told}."
    if len(drops) > 1:
        outward = ", ".join(str(drop.gas) for drop in drops)
        said += (
            f" Carried in the same order from the outside in: {outward}, so that the next one to "
            "be dropped is always the outermost (common practice, no published source)."
        )
    for drop in drops:
        if drop.gas == drop.in_mouth:
            said += (
                f" {drop.gas} is still in the mouth {_place(plan, drop.at_m)}: change before it is "
                "dropped."
            )
    return said


def alike_text(right: KitCylinder, wrong: KitCylinder, worst: str, grave: int) -> str:
    """Say that two cylinders must not look alike.

    Parameters
    ----------
    right, wrong
        The cylinders of the worst mix-up.
    worst
        What happens.
    grave
        At how many moments taking one for the other is grave or deadly.

    Returns
    -------
    str
        Sentences.
    """
    times = "one moment" if grave == 1 else f"{grave} moments"
    return (
        f"{right.label} ({right.mix}) and {wrong.label} ({wrong.mix}): grave or deadly at {times}. "
        f"Worst: {worst}"
    )


def _depth(plan: Plan, depth_m: float) -> str:
    return "the surface" if depth_m <= _NEAR_M else say.depth(depth_m, plan.units)


def _place(plan: Plan, depth_m: float) -> str:
    return f"at {_depth(plan, depth_m)}"


def _limits(plan: Plan, mix: Mixture) -> str:
    """Return the depths that stand on the label of a gas, rounded to the safe side."""
    deepest = depth_label(_operating_m(plan, mix), plan.units)
    floor_m = hypoxic_floor(mix, plan.rules.floor_bar, plan.water)
    if floor_m <= 0.0:
        return f"'{deepest}'"
    return f"'{depth_label(floor_m, plan.units, side=Side.DEEP)} to {deepest}'"


def _operating_m(plan: Plan, mix: Mixture) -> float:
    """Return the operating depth that stands on the label: at the highest limit of its uses."""
    limits = [gas.ppo2_max_bar for gas in plan.gases if gas.mix == mix]
    limit_bar = max(limits, default=plan.rules.ppo2_stop_max_bar)
    return operating_depth(mix, limit_bar + plan.rules.ppo2_tolerance_bar, plan.water)
