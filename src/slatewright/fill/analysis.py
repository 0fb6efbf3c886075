"""What the analyser says, whether the cylinder may be used, and what the plan becomes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from slatewright.decompression.leg import LegKind
from slatewright.dive.plan import CarriedGas, Plan, Use
from slatewright.dive.schedule import Schedule, schedule
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.fill.blend import blend
from slatewright.fill.receiver import Receiver, holding
from slatewright.fill.room import Room
from slatewright.fill.steps import Blend
from slatewright.fill.tolerance import Tolerance
from slatewright.physics.limits import hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture

_NEAR_M: Final = 0.05
_NEAR_MIN: Final = 0.01


@dataclass(frozen=True, slots=True)
class Analysis:
    """What was read off the analyser.

    Parameters
    ----------
    label
        The cylinder.
    o2
        Mole fraction of oxygen as read [-].
    he
        Mole fraction of helium as read; None if only oxygen was analysed [-].
    by
        Who read it.
    at
        Day and hour.
    gauge_bar
        Pressure of the cylinder then, on the gauge [bar].
    temperature_k
        Temperature at which that was read [K].
    """

    label: str
    o2: float
    he: float | None
    by: str
    at: datetime
    gauge_bar: float
    temperature_k: float = 293.15

    def __post_init__(self) -> None:
        helium = 0.0 if self.he is None else self.he
        Mixture(self.o2, helium)
        if not self.by.strip():
            raise InputError(
                f"{self.label}: nobody is named", where="by", right="the one who read the analyser"
            )
        if not 0.0 <= self.gauge_bar < math.inf:
            raise InputError(
                f"{self.label}: {self.gauge_bar:g} bar is no pressure",
                where="gauge_bar",
                right="what the gauge showed, in bar",
            )

    @property
    def mix(self) -> Mixture:
        """The mix as analysed.

        Raises
        ------
        NoSafeAnswer
            If helium was not analysed: then the mix is not known.
        """
        if self.he is None:
            raise NoSafeAnswer(
                Reason(
                    f"{self.label}: only oxygen was analysed, so its helium is not known",
                    "analyse both gases",
                )
            )
        return Mixture(self.o2, self.he)


@dataclass(frozen=True, slots=True)
class Judgement:
    """Whether a cylinder may be used for what was planned.

    Parameters
    ----------
    analysis
        What was read.
    planned
        The mix that was planned.
    accepted
        Whether it is within the tolerance; if so the plan is to be computed again with it.
    o2_off, he_off
        Analysed less planned, mole fractions [-].
    reasons
        Why it was refused, each a sentence.
    fix
        The fill that puts it right; None if it is accepted, or nothing at hand does.
    fix_refused
        Why there is no fix; empty if there is one or none is needed.
    """

    analysis: Analysis
    planned: Mixture
    accepted: bool
    o2_off: float
    he_off: float
    reasons: tuple[str, ...] = ()
    fix: Blend | None = None
    fix_refused: str = ""


def judge(
    analysis: Analysis,
    planned: Mixture,
    receiver: Receiver,
    gauge_bar: float,
    room: Room,
    tolerance: Tolerance | None = None,
) -> Judgement:
    """Judge an analysis; outside the tolerance, work out how the cylinder is put right.

    Parameters
    ----------
    analysis
        What was read.
    planned
        The mix that was planned.
    receiver
        The cylinder; what is thought to be in it does not matter.
    gauge_bar
        The settled pressure that the fix is to have [bar].
    room
        What is at hand.
    tolerance
        How far it may be off; None for common practice.

    Returns
    -------
    Judgement
        Accepted, or refused with the fix.

    Raises
    ------
    NoSafeAnswer
        If helium was not analysed.
    """
    tolerance = tolerance or Tolerance()
    mix = analysis.mix
    o2_off, he_off = mix.o2 - planned.o2, mix.he - planned.he
    if tolerance.holds(o2_off, he_off):
        return Judgement(analysis, planned, accepted=True, o2_off=o2_off, he_off=he_off)
    reasons = tuple(
        f"{analysis.label}: {name} {(share + off) * 100:.1f} % analysed, {share * 100:.1f} % "
        f"planned, {abs(off) * 100:.1f} points off with {allowed * 100:g} allowed"
        for name, share, off, allowed in (
            ("oxygen", planned.o2, o2_off, tolerance.o2),
            ("helium", planned.he, he_off, tolerance.he),
        )
        if abs(off) > allowed
    )
    fix, refused = _fix(analysis, planned, receiver, gauge_bar, room)
    return Judgement(analysis, planned, False, o2_off, he_off, reasons, fix, refused)


def _fix(
    analysis: Analysis, planned: Mixture, receiver: Receiver, gauge_bar: float, room: Room
) -> tuple[Blend | None, str]:
    inside = holding(
        receiver.cylinder,
        analysis.mix,
        analysis.gauge_bar,
        analysis.temperature_k,
        room.surface_bar,
    )
    try:
        return blend(replace(receiver, contents=inside), planned, gauge_bar, room), ""
    except NoSafeAnswer as error:
        return None, str(error)


def with_analysed(plan: Plan, analysed: Mapping[Mixture, Mixture]) -> Plan:
    """Return a plan with the mixes as analysed in place of those planned.

    Parameters
    ----------
    plan
        The plan.
    analysed
        Planned mix to the mix as analysed; gases that are not in it stay as they are.

    Returns
    -------
    Plan
        The same dive on what is really in the cylinders.

    Raises
    ------
    InputError
        If a mix is not carried, or two gases would become one.
    """
    carried = {gas.mix for gas in plan.gases}
    for mix in analysed:
        if mix not in carried:
            raise InputError(f"{mix} is no gas of the plan '{plan.title}'", where="analysis")
    after = {mix: analysed.get(mix, mix) for mix in carried}
    if len(set(after.values())) < len(after):
        raise InputError(
            "two cylinders planned with different mixes were analysed as the same",
            where="analysis",
            right="each mix once; analyse again, one of them is mislabelled",
        )
    return replace(
        plan,
        gases=tuple(replace(gas, mix=after[gas.mix]) for gas in plan.gases),
        break_gas=None if plan.break_gas is None else after.get(plan.break_gas, plan.break_gas),
    )


@dataclass(frozen=True, slots=True)
class Difference:
    """Something that is other with the analysed gas.

    Parameters
    ----------
    what
        What it is: ``operating depth``, ``stop``, ``run time``, ``hazard``.
    where
        The gas or the depth.
    before, after
        What it was and is, in words.
    worse
        Whether the new value asks more of the diver or allows less.
    """

    what: str
    where: str
    before: str
    after: str
    worse: bool


def differences(before: Schedule, after: Schedule) -> tuple[Difference, ...]:
    """Return what differs between a dive as planned and with the gas as analysed.

    Parameters
    ----------
    before, after
        The dives; the gases of the plans stand in the same order, as `with_analysed` leaves them.

    Returns
    -------
    tuple
        Limits of depth of each gas, stops, run time, hazards that are new or gone.
    """
    found: list[Difference] = []
    for old, new in zip(before.plan.gases, after.plan.gases, strict=True):
        if old.mix != new.mix:
            found += _limits(before.plan, old, new)
    found += _stops(before, after)
    was_min, is_min = before.runtime_min, after.runtime_min
    if abs(was_min - is_min) > _NEAR_MIN:
        found.append(
            Difference("run time", "", f"{was_min:.0f} min", f"{is_min:.0f} min", is_min > was_min)
        )
    old_hazards = {(h.code, str(h.severity)): h.text for h in before.hazards}
    new_hazards = {(h.code, str(h.severity)): h.text for h in after.hazards}
    found += [
        Difference("hazard", code, "", text, worse=True)
        for (code, level), text in new_hazards.items()
        if (code, level) not in old_hazards
    ]
    found += [
        Difference("hazard", code, text, "", worse=False)
        for (code, level), text in old_hazards.items()
        if (code, level) not in new_hazards
    ]
    return tuple(found)


@dataclass(frozen=True)
class Recomputed:
    """A dive as planned, and with the gas as analysed.

    Parameters
    ----------
    before
        As planned.
    after
        With the gas as analysed; None if there is no safe way to dive the plan on it.
    refused
        Why there is none; empty if there is one.
    changes
        What differs.
    """

    before: Schedule
    after: Schedule | None
    refused: tuple[Reason, ...]
    changes: tuple[Difference, ...]


def recomputed(plan: Plan, analysed: Mapping[Mixture, Mixture]) -> Recomputed:
    """Compute a dive with the gas as planned and as analysed.

    Parameters
    ----------
    plan
        The plan.
    analysed
        Planned mix to the mix as analysed.

    Returns
    -------
    Recomputed
        A gas within the tolerance can still be one on which the plan has no safe answer: a floor
        or an operating depth may lie between the two.

    Raises
    ------
    NoSafeAnswer
        If the plan has no safe answer with the gas as planned.
    InputError
        As for `with_analysed`.
    """
    before = schedule(plan)
    try:
        after = schedule(with_analysed(plan, analysed))
    except NoSafeAnswer as error:
        return Recomputed(before, None, error.reasons, ())
    return Recomputed(before, after, (), differences(before, after))


def _limits(plan: Plan, old: CarriedGas, new: CarriedGas) -> list[Difference]:
    limit_bar = old.ppo2_max_bar
    deep = [operating_depth(gas.mix, limit_bar, plan.water) for gas in (old, new)]
    floor = [hypoxic_floor(gas.mix, plan.rules.floor_bar, plan.water) for gas in (old, new)]
    name = f"{old.mix}, now {new.mix}"
    found = []
    if abs(deep[0] - deep[1]) > _NEAR_M:
        was, now = (f"{depth_m:.1f} m" for depth_m in deep)
        found.append(Difference("operating depth", name, was, now, deep[1] < deep[0]))
    if abs(floor[0] - floor[1]) > _NEAR_M and old.use is not Use.DECOMPRESSION:
        was, now = (f"{depth_m:.1f} m" for depth_m in floor)
        found.append(Difference("hypoxic floor", name, was, now, floor[1] > floor[0]))
    return found


def _stops(before: Schedule, after: Schedule) -> list[Difference]:
    was, now = _minutes(before), _minutes(after)
    found = []
    for depth_m in sorted({*was, *now}, reverse=True):
        old, new = was.get(depth_m, 0.0), now.get(depth_m, 0.0)
        if abs(old - new) > _NEAR_MIN:
            found.append(
                Difference("stop", f"{depth_m:g} m", f"{old:.0f} min", f"{new:.0f} min", new > old)
            )
    return found


def _minutes(dive: Schedule) -> dict[float, float]:
    stops: dict[float, float] = {}
    for leg in dive.legs:
        if leg.kind is LegKind.STOP and leg.start_min >= dive.bottom_left_min - _NEAR_MIN:
            depth_m = round(leg.from_m, 3)
            stops[depth_m] = stops.get(depth_m, 0.0) + leg.minutes
    return stops
