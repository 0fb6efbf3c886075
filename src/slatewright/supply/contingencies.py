"""Short schedules for when a dive does not go as planned: the back of the slate, as data.

Deeper, longer, both, up at half the time, each gas lost. Nothing is charged to cylinders here: that
a schedule can be breathed to its end is what the way-home grid says.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import groupby
from typing import Final

from slatewright.decompression.ascent import solve_dive
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.planned import PlannedLeg
from slatewright.dive import say
from slatewright.dive.gases import Locker, locker
from slatewright.dive.plan import Plan, Use
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.physics.mixture import Mixture
from slatewright.supply.wayhome.dive import DiveLike
from slatewright.supply.wayhome.ladders import LadderBook, Reading, limit_of
from slatewright.supply.wayhome.moments import deeper_legs
from slatewright.supply.wayhome.rules import WayHomeRules

_SAME: Final = 1e-6


class ContingencyKind(StrEnum):
    """In which way a dive does not go as planned."""

    PLANNED = "planned"
    DEEPER = "deeper"
    LONGER = "longer"
    BOTH = "deeper and longer"
    EARLY = "early ascent"
    GAS_LOST = "gas lost"


@dataclass(frozen=True, slots=True)
class ContingencyRules:
    """Which contingencies stand on the back of the slate.

    Parameters
    ----------
    deeper_levels
        Levels deeper than planned, one schedule each.
    longer_min
        Minutes longer than planned, one schedule each; the same place in both lists makes one that
        is deeper and longer [min].
    """

    deeper_levels: tuple[int, ...] = (1, 2)
    longer_min: tuple[float, ...] = (3.0, 5.0)

    def __post_init__(self) -> None:
        if not all(1 <= levels <= 10 for levels in self.deeper_levels):
            raise InputError("levels are out of range", where="deeper_levels", right="1 and 2")
        if not all(0.0 < minutes <= 60.0 for minutes in self.longer_min):
            raise InputError("minutes are out of range", where="longer_min", right="3 and 5 min")


@dataclass(frozen=True, slots=True)
class ContingencyRow:
    """One line.

    Parameters
    ----------
    depth_m
        Depth of the stay or stop; 0 at the surface [m].
    stop_min
        Whole minutes from arrival to leaving, rounded up; None at depth and at the surface [min].
    until_min
        Run time at which it is left, or at which the surface is reached: whole, rounded up, so that
        nobody leaves early; at depth rounded down [min].
    gas
        What is breathed there, after a change if there is one.
    """

    depth_m: float
    stop_min: int | None
    until_min: int
    gas: Mixture


@dataclass(frozen=True, slots=True)
class Contingency:
    """One short schedule.

    Parameters
    ----------
    kind
        What kind it is.
    name
        How it is called, unique.
    depth_m, leave_at_min
        The last depth, and the run time at which it is left [m], [min].
    rows
        Where the ascent begins, each stop, the surface; empty if there is no schedule.
    runtime_min
        Run time at the surface; None if there is no schedule [min].
    lost
        The gas that is lost; None for the others.
    over_limit_bar
        By how much the gas at depth is over its ppO2 limit there; 0 if within [bar].
    why_none
        Why there is no schedule, a sentence; empty if there is one.
    """

    kind: ContingencyKind
    name: str
    depth_m: float
    leave_at_min: float
    rows: tuple[ContingencyRow, ...] = ()
    runtime_min: float | None = None
    lost: Mixture | None = None
    over_limit_bar: float = 0.0
    why_none: str = ""


def contingencies_of(
    dive: DiveLike, rules: ContingencyRules | None = None
) -> tuple[Contingency, ...]:
    """Return the short schedules of a dive.

    Parameters
    ----------
    dive
        The finished dive.
    rules
        Which are wanted; None for the defaults.

    Returns
    -------
    tuple
        The planned one first. A contingency that has no schedule says why.
    """
    rules = rules or ContingencyRules()
    make = _Maker(dive, max(rules.deeper_levels, default=0))
    kinds = ContingencyKind
    found = [make(kinds.PLANNED, "as planned")]
    found += [
        make(kinds.DEEPER, _deeper_name(levels), levels=levels) for levels in rules.deeper_levels
    ]
    found += [
        make(kinds.LONGER, f"{minutes:g} min longer", minutes=minutes)
        for minutes in rules.longer_min
    ]
    found += [
        make(
            kinds.BOTH,
            f"{_deeper_name(levels)} and {minutes:g} min longer",
            levels=levels,
            minutes=minutes,
        )
        for levels, minutes in zip(rules.deeper_levels, rules.longer_min, strict=False)
    ]
    left_min = dive.plan.levels[-1].leave_at_min
    half_min = math.floor(left_min / 2.0)
    if half_min >= 1:
        found.append(make(kinds.EARLY, f"up at {half_min} min", minutes=half_min - left_min))
    bottom = {gas.mix for gas in dive.plan.gases if gas.use is Use.BOTTOM}
    found += [
        make(kinds.GAS_LOST, f"{mix} lost", lost=mix)
        for mix in make.gases.mixes
        if mix not in bottom
    ]
    return tuple(found)


class _Maker:
    """Makes the schedules of one dive."""

    def __init__(self, dive: DiveLike, most_levels: int) -> None:
        plan = dive.plan
        self.dive = dive
        self.gases: Locker = locker(plan)
        step_m = plan.settings.stop_step_m
        top = math.floor(plan.deepest_m / step_m + _SAME) + most_levels
        self.book = LadderBook(plan, self.gases, WayHomeRules(), top)
        last = max(i for i, leg in enumerate(dive.legs) if leg.kind is LegKind.BOTTOM)
        self.down = dive.legs[: last + 1]

    def __call__(
        self,
        kind: ContingencyKind,
        name: str,
        *,
        levels: int = 0,
        minutes: float = 0.0,
        lost: Mixture | None = None,
    ) -> Contingency:
        """Make one."""
        plan = self.dive.plan
        legs: Sequence[Leg] = self.down
        if levels:
            legs = deeper_legs(legs, levels * plan.settings.stop_step_m)
        legs = _ending(legs, minutes)
        last = legs[-1]
        made = Contingency(
            kind,
            name,
            depth_m=last.to_m,
            leave_at_min=last.end_min,
            lost=lost,
            over_limit_bar=self._over_bar(last),
        )
        try:
            solved = self._solved(legs, lost)
        except NoSafeAnswer as none:
            return replace(made, why_none=none.reasons[0].what)
        return replace(
            made,
            rows=_rows(solved[len(legs) :], last),
            runtime_min=solved[-1].end_min,
        )

    def _solved(self, legs: Sequence[Leg], lost: Mixture | None) -> tuple[Leg, ...]:
        plan = self.dive.plan
        number = {mix: i for i, mix in enumerate(self.gases.mixes)}
        planned = [
            PlannedLeg(leg.kind, leg.from_m, leg.to_m, leg.minutes, number[leg.gas], leg.switching)
            for leg in legs
        ]
        wanted = frozenset(i for mix, i in number.items() if mix != lost)
        level = math.floor(legs[-1].to_m / plan.settings.stop_step_m + _SAME)
        for reading in (Reading.PLANNED, Reading.DEEPEST, Reading.GAPS):
            rungs = self.book.rungs(wanted, reading)
            # over its limit at depth a gas is named; below the floor none stands on a slate
            if rungs.leads_up[level] and rungs.under_bar[level] == 0.0:
                break
        else:
            within = self.book.rungs(wanted, Reading.DEEPEST)
            raise NoSafeAnswer(_gap(within.gap_from_m, within.gap_to_m, plan))
        return solve_dive(
            planned,
            self.gases.rising,
            self.book.ladders[rungs.number],
            plan.settings,
            plan.water,
            self.dive.start,
        ).legs

    def _over_bar(self, last: Leg) -> float:
        plan = self.dive.plan
        over = last.gas.o2 * plan.water.ambient_bar(last.to_m) - limit_of(plan, last.gas)
        return over if over > plan.rules.ppo2_tolerance_bar else 0.0


def _gap(from_m: float, to_m: float, plan: Plan) -> Reason:
    to = "the surface" if to_m < _SAME else say.depth(to_m, plan.units)
    return Reason(
        f"from {say.depth(from_m, plan.units)} up to {to} nothing that is left may be breathed"
    )


def _deeper_name(levels: int) -> str:
    return f"deeper by {levels} {'level' if levels == 1 else 'levels'}"


def _ending(legs: Sequence[Leg], minutes: float) -> tuple[Leg, ...]:
    """Return legs that end some minutes later, or with negative minutes earlier."""
    end_min = legs[-1].end_min + minutes
    if minutes >= 0.0:
        return (*legs[:-1], replace(legs[-1], minutes=legs[-1].minutes + minutes))
    kept = []
    for leg in legs:
        if leg.start_min < end_min - _SAME:
            part = min(1.0, (end_min - leg.start_min) / leg.minutes)
            to_m = leg.from_m + (leg.to_m - leg.from_m) * part
            kept.append(replace(leg, to_m=to_m, minutes=leg.minutes * part))
    return tuple(kept)


def _rows(ascent: Sequence[Leg], last: Leg) -> tuple[ContingencyRow, ...]:
    """Return the lines of an ascent: legs that stay at one depth are one stop."""
    rows = [ContingencyRow(last.to_m, None, math.floor(last.end_min + _SAME), last.gas)]
    stops = [leg for leg in ascent if leg.kind is LegKind.STOP]
    for depth_m, group in groupby(stops, key=lambda leg: leg.to_m):
        parts = list(group)
        breathed = [leg.gas for leg in parts if not leg.switching and not leg.pause]
        after = next(
            (leg.gas for leg in ascent if leg.start_min >= parts[-1].end_min - _SAME),
            parts[-1].gas,
        )
        minutes = parts[-1].end_min - parts[0].start_min
        rows.append(
            ContingencyRow(
                depth_m,
                math.ceil(minutes - _SAME),
                math.ceil(parts[-1].end_min - _SAME),
                breathed[-1] if breathed else after,
            )
        )
    end = ascent[-1] if ascent else last
    rows.append(ContingencyRow(0.0, None, math.ceil(end.end_min - _SAME), end.gas))
    return tuple(rows)
