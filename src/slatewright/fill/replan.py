"""A dive computed again with the gas that the analyser found, and what is other than planned."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from slatewright.decompression.leg import LegKind
from slatewright.dive import say
from slatewright.dive.hazard import Hazard
from slatewright.dive.plan import CarriedGas, Plan, Use
from slatewright.dive.schedule import Schedule, schedule
from slatewright.errors import CheckFailed, InputError, NoSafeAnswer, Reason
from slatewright.physics.limits import hypoxic_floor, operating_depth
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import round_up

_NEAR_MIN: Final = 0.01


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
        What it is: ``operating depth``, ``hypoxic floor``, ``stop``, ``run time``, ``hazard``;
        with a team also ``turn at``, ``keep``, ``way home``.
    where
        The gas, the depth, the diver's cylinder or the failure.
    before, after
        What it was and is, in words, in the units of the reader.
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
        Limits of depth of each gas, stops, run time, hazards that are new or gone; minutes are
        whole and rounded up, as on the slate.
    """
    found: list[Difference] = []
    for old, new in zip(before.plan.gases, after.plan.gases, strict=True):
        if old.mix != new.mix:
            found += _limits(before.plan, old, new)
    found += _stops(before, after)
    was_min, is_min = round_up(before.runtime_min), round_up(after.runtime_min)
    if was_min != is_min:
        found.append(
            Difference("run time", "", f"{was_min:.0f} min", f"{is_min:.0f} min", is_min > was_min)
        )
    found += [Difference("hazard", h.code, "", h.text, worse=True) for h in _more(before, after)]
    found += [Difference("hazard", h.code, h.text, "", worse=False) for h in _more(after, before)]
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


def recomputed(
    plan: Plan, analysed: Mapping[Mixture, Mixture], before: Schedule | None = None
) -> Recomputed:
    """Compute a dive with the gas as planned and as analysed.

    Parameters
    ----------
    plan
        The plan.
    analysed
        Planned mix to the mix as analysed.
    before
        The dive as planned, if it is there already.

    Returns
    -------
    Recomputed
        A gas within the tolerance can still be one on which the plan has no safe answer: a floor
        or an operating depth may lie between the two.

    Raises
    ------
    NoSafeAnswer
        If the plan has no safe answer with the gas as planned.
    CheckFailed
        If the second check contradicts one of the two schedules.
    InputError
        As for `with_analysed`.
    """
    before = before or schedule(plan)
    need_checked(before)
    try:
        after = schedule(with_analysed(plan, analysed))
    except NoSafeAnswer as error:
        return Recomputed(before, None, error.reasons, ())
    need_checked(after)
    return Recomputed(before, after, (), differences(before, after))


def need_checked(dive: Schedule) -> None:
    """Refuse a dive that its second check contradicts.

    Parameters
    ----------
    dive
        The dive.

    Raises
    ------
    CheckFailed
        With what the check found.
    """
    if not dive.verdict.passed:
        findings = dive.verdict.findings or ("the second check did not pass",)
        raise CheckFailed(*(Reason(f"{dive.plan.title}: {finding}") for finding in findings))


def _limits(plan: Plan, old: CarriedGas, new: CarriedGas) -> Iterator[Difference]:
    units, name = plan.units, f"{old.mix} analysed {new.mix} ({old.use})"
    deep = [operating_depth(gas.mix, old.ppo2_max_bar, plan.water) for gas in (old, new)]
    was, now = (say.no_deeper(depth_m, units) for depth_m in deep)
    if was != now:
        yield Difference("operating depth", name, was, now, deep[1] < deep[0])
    if old.use is Use.DECOMPRESSION:
        return
    floor = [hypoxic_floor(gas.mix, plan.rules.floor_bar, plan.water) for gas in (old, new)]
    was, now = (say.no_shallower(depth_m, units) for depth_m in floor)
    if was != now:
        yield Difference("hypoxic floor", name, was, now, floor[1] > floor[0])


def _stops(before: Schedule, after: Schedule) -> Iterator[Difference]:
    was, now = _minutes(before), _minutes(after)
    for depth_m in sorted({*was, *now}, reverse=True):
        old, new = (round_up(stops.get(depth_m, 0.0)) for stops in (was, now))
        if old != new:
            where = say.depth(depth_m, before.plan.units)
            yield Difference("stop", where, f"{old:.0f} min", f"{new:.0f} min", new > old)


def _minutes(dive: Schedule) -> dict[float, float]:
    stops: dict[float, float] = {}
    for leg in dive.legs:
        if leg.kind is LegKind.STOP and leg.start_min >= dive.bottom_left_min - _NEAR_MIN:
            depth_m = round(leg.from_m, 3)
            stops[depth_m] = stops.get(depth_m, 0.0) + leg.minutes
    return stops


def _more(before: Schedule, after: Schedule) -> Iterator[Hazard]:
    """Yield the hazards of which a dive has more than another, by kind and severity."""
    left = Counter((hazard.code, hazard.severity) for hazard in before.hazards)
    for hazard in after.hazards:
        kind = (hazard.code, hazard.severity)
        if left[kind] > 0:
            left[kind] -= 1
        else:
            yield hazard
