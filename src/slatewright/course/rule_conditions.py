"""What a dive has to be in order to count: depth, gas, period, and what a log says besides.

A condition makes a test for a day and a team once, and the test is then put to each dive: logbooks
have thousands.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from math import inf
from typing import Final, Protocol, TypeAlias

from slatewright.course.rule_depths import DepthPair, other_unit
from slatewright.course.rule_gases import GasWanted
from slatewright.course.rule_periods import Period
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive
from slatewright.physics.units import feet_from_m, m_from_feet

NEAR_DEPTH: Final = DepthPair(3.0, 10.0)
"""A depth that misses by no more than this is shown as a near miss."""
NEAR_DAYS: Final = 31
"""The same of a date."""
NEAR_SHARE: Final = 0.02
"""The same of helium and oxygen: two points, as a fill may be off [-]."""
_SLACK: Final = 1e-6
_PERCENT: Final = 100.0


class Verdict(Enum):
    """Whether a condition holds for a dive."""

    HOLDS = "holds"
    MISSES = "misses"
    NEARLY = "misses by little"
    UNKNOWN = "the log does not say"


HOLDS, MISSES, NEARLY, UNKNOWN = Verdict
Test: TypeAlias = Callable[[LoggedDive], Verdict]


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What is known besides the logbook.

    Parameters
    ----------
    today
        The day on which is judged.
    instructors
        How the log may name who teaches the course.
    partners
        How the log may name the others who take it.
    """

    today: date
    instructors: tuple[str, ...] = ()
    partners: tuple[str, ...] = ()


class Condition(Protocol):
    """What a dive has to be."""

    @property
    def about(self) -> str:
        """What it is about, in a word."""

    def test(self, given: Given) -> Test:
        """Return the test.

        Parameters
        ----------
        given
            Day and team.
        """

    def why(self, dive: LoggedDive, given: Given) -> str:
        """Return why a dive that nearly counts does not, or why it is not known.

        Parameters
        ----------
        dive
            The dive.
        given
            Day and team.
        """

    def __str__(self) -> str: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthWanted:
    """A greatest depth within a band, in the unit of the log.

    Parameters
    ----------
    least, most
        The bounds, which count as inside; None for no bound.
    """

    least: DepthPair | None = None
    most: DepthPair | None = None
    about: str = field(default="depth", init=False)

    def holds(self, value: float, unit: DepthUnit) -> bool:
        """Return whether a depth is inside.

        Parameters
        ----------
        value
            The depth [m or ft].
        unit
            Its unit.
        """
        return (self.least is None or value >= self.least.within(unit)) and (
            self.most is None or value <= self.most.within(unit)
        )

    def border(self, depth: LoggedDepth) -> bool:
        """Return whether the unit decides: in the other one the verdict would be different.

        Parameters
        ----------
        depth
            The depth as logged.
        """
        value, unit = other_unit(depth)
        inside = self.holds(depth.value, depth.unit)
        low, high = (value + _SLACK, value - _SLACK) if inside else (value, value)
        other = (self.least is None or low >= self.least.within(unit)) and (
            self.most is None or high <= self.most.within(unit)
        )
        return inside != other

    def border_test(self) -> Callable[[LoggedDive], bool]:
        """Return the test whether a dive that counts would not do so in the other unit."""
        bounds = {}
        for unit, other, back in (
            (DepthUnit.METRES, DepthUnit.FEET, m_from_feet),
            (DepthUnit.FEET, DepthUnit.METRES, feet_from_m),
        ):
            low = back(self.least.within(other)) - _SLACK if self.least else 0.0
            high = back(self.most.within(other)) + _SLACK if self.most else inf
            bounds[unit] = low, high
        metric, imperial = bounds[DepthUnit.METRES], bounds[DepthUnit.FEET]
        in_metres = DepthUnit.METRES

        def test(dive: LoggedDive) -> bool:
            depth = dive.greatest
            low, high = metric if depth.unit is in_metres else imperial
            return not low <= depth.value <= high

        return test

    def _limits(self, unit: DepthUnit) -> tuple[float, float, float, float]:
        """Return the bounds in a unit, and those of what nearly counts, by little or by unit."""
        low = self.least.within(unit) if self.least else 0.0
        high = self.most.within(unit) if self.most else inf
        near = NEAR_DEPTH.within(unit) + _SLACK
        other = DepthUnit.METRES if unit is DepthUnit.FEET else DepthUnit.FEET
        back = m_from_feet if other is DepthUnit.FEET else feet_from_m
        other_low = back(self.least.within(other)) if self.least else 0.0
        other_high = back(self.most.within(other)) if self.most else 0.0
        return low, high, min(low - near, other_low), max(high + near, other_high)

    def test(self, given: Given) -> Test:  # noqa: ARG002 - depths are the same on every day
        """Return the test.

        Parameters
        ----------
        given
            Day and team.
        """
        metric, imperial = (self._limits(unit) for unit in (DepthUnit.METRES, DepthUnit.FEET))
        in_metres = DepthUnit.METRES

        def test(dive: LoggedDive) -> Verdict:
            depth = dive.greatest
            low, high, near_low, near_high = metric if depth.unit is in_metres else imperial
            if low <= depth.value <= high:
                return HOLDS
            return NEARLY if near_low <= depth.value <= near_high else MISSES

        return test

    def why(self, dive: LoggedDive, given: Given) -> str:  # noqa: ARG002 - same on every day
        """Return by how much the depth misses.

        Parameters
        ----------
        dive
            The dive.
        given
            Day and team.
        """
        depth, unit = dive.greatest, dive.greatest.unit
        words, other_way = f"{depth} is inside {self}", "would not count"
        if self.least is not None and not self.least.reached_by(depth):
            wanted, side = self.least.within(unit), "short of"
        elif self.most is not None and self.most.exceeded_by(depth):
            wanted, side = self.most.within(unit), "beyond"
        else:
            wanted, side = depth.value, ""
        if side:
            words = f"{depth} is {abs(wanted - depth.value):.4g} {unit} {side} {wanted:g} {unit}"
            other_way = "would count"
        if self.border(depth):
            value, other = other_unit(depth)
            words += (
                f"; a border of units: as {value:.1f} {other} it {other_way}, "
                f"but it was logged in {unit}"
            )
        return words

    def __str__(self) -> str:
        if self.least and self.most:
            return f"from {self.least} to {self.most}"
        return f"at {self.least} or deeper" if self.least else f"at {self.most} or shallower"


@dataclass(frozen=True, slots=True)
class OnGas:
    """A gas breathed on the dive: one of its mixes has to be all that is wanted.

    Parameters
    ----------
    gas
        What is wanted.
    """

    gas: GasWanted
    about: str = field(default="gas", init=False)

    def test(self, given: Given) -> Test:  # noqa: ARG002 - gases are the same on every day
        """Return the test.

        Parameters
        ----------
        given
            Day and team.
        """
        short_of, near = self.gas.short_of, NEAR_SHARE + _SLACK

        def test(dive: LoggedDive) -> Verdict:
            if not dive.mixes:
                return UNKNOWN
            least = inf
            for mix in dive.mixes:
                short = short_of(mix)
                if short == 0.0:
                    return HOLDS
                if short is not None and short < least:
                    least = short
            return NEARLY if least <= near else MISSES

        return test

    def why(self, dive: LoggedDive, given: Given) -> str:  # noqa: ARG002 - same on every day
        """Return by how much the gas misses.

        Parameters
        ----------
        dive
            The dive.
        given
            Day and team.
        """
        if not dive.mixes:
            return "the log does not say the gas"
        shorts = ((self.gas.short_of(mix), str(mix)) for mix in dive.mixes)
        short, mix = min((short, mix) for short, mix in shorts if short is not None)
        return f"{mix} is {short * _PERCENT:.2g} points away from {self.gas}"

    def __str__(self) -> str:
        return f"on {self.gas}"


@dataclass(frozen=True, slots=True)
class Within:
    """A day within a period; a dive over midnight belongs to the day on which it began.

    Parameters
    ----------
    period
        The period.
    """

    period: Period
    about: str = field(default="date", init=False)

    def test(self, given: Given) -> Test:
        """Return the test.

        Parameters
        ----------
        given
            Day and team.
        """
        first, last = self.period.first(given.today), self.period.last(given.today)

        def test(dive: LoggedDive) -> Verdict:
            day = dive.on_date
            if first <= day <= last:
                return HOLDS
            off = first - day if day < first else day - last
            return NEARLY if off.days <= NEAR_DAYS else MISSES

        return test

    def why(self, dive: LoggedDive, given: Given) -> str:
        """Return how many days a dive is too early or too late.

        Parameters
        ----------
        dive
            The dive.
        given
            Day and team.
        """
        first, last = self.period.first(given.today), self.period.last(given.today)
        early = dive.on_date < first
        off = (first - dive.on_date if early else dive.on_date - last).days
        days = "a day" if off == 1 else f"{off} days"
        if not early:
            return f"{dive.on_date} is {days} after {last}, the last day that counts"
        words = f"{dive.on_date} is {days} before {first}, the first day that counts"
        if dive.ended is not None and dive.ended.date() >= first:
            words += "; it ended after midnight and belongs to the day on which it began"
        return words

    def __str__(self) -> str:
        return str(self.period)


@dataclass(frozen=True, slots=True)
class NotLater:
    """A day not after the one on which is judged: goes without saying, and is told all the same."""

    about: str = field(default="date", init=False)

    def test(self, given: Given) -> Test:
        """Return the test.

        Parameters
        ----------
        given
            Day and team.
        """
        today = given.today
        return lambda dive: HOLDS if dive.on_date <= today else NEARLY

    def why(self, dive: LoggedDive, given: Given) -> str:
        """Return by how much the day is too late.

        Parameters
        ----------
        dive
            The dive.
        given
            Day and team.
        """
        off = (dive.on_date - given.today).days
        days = "a day" if off == 1 else f"{off} days"
        return f"{dive.on_date} is {days} after {given.today}, on which is judged"

    def __str__(self) -> str:
        return "not dated later than today"
