"""When a rule would be met, if the last year went on as it was."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Protocol

from slatewright.course.rule_periods import MONTHS_PER_YEAR, Period, months_later

FAR_YEARS: Final = 30
"""Beyond this nobody plans, and a date would say more than is known."""
_DAY: Final = timedelta(days=1)
_SETTLED_DAYS: Final = 400
"""So long after the last known dive has left its period, all else has repeated itself."""


class Outlook(Protocol):
    """When something is met."""

    def first_met(self, day: date) -> date | None:
        """Return the first day, from one on, on which it is met; None if there is none.

        Parameters
        ----------
        day
            The day from which is looked.
        """


@dataclass(frozen=True, slots=True)
class From:
    """Something that is met from a day on, such as an age.

    Parameters
    ----------
    on
        The day; None if it is not known, or never comes by itself.
    """

    on: date | None

    def first_met(self, day: date) -> date | None:
        """Return the first day, from one on, on which it is met; None if there is none.

        Parameters
        ----------
        day
            The day from which is looked.
        """
        return None if self.on is None else max(day, self.on)


@dataclass(frozen=True, slots=True)
class AllOf:
    """Things that have to be met on one and the same day.

    Parameters
    ----------
    parts
        The things.
    """

    parts: tuple[Outlook, ...]

    def first_met(self, day: date) -> date | None:
        """Return the first day, from one on, on which all are met; None if there is none.

        Parameters
        ----------
        day
            The day from which is looked.
        """
        while True:  # ends: each round is a later day, and beyond all periods nothing changes
            days = [part.first_met(day) for part in self.parts]
            known = [one for one in days if one is not None]
            if len(known) < len(days):
                return None
            latest = max(known, default=day)
            if latest == day:
                return day
            day = latest


@dataclass(frozen=True, slots=True)
class OneOf:
    """Things of which one is enough.

    Parameters
    ----------
    parts
        The things.
    """

    parts: tuple[Outlook, ...]

    def first_met(self, day: date) -> date | None:
        """Return the first day, from one on, on which one is met; None if there is none.

        Parameters
        ----------
        day
            The day from which is looked.
        """
        days = (part.first_met(day) for part in self.parts)
        return min((one for one in days if one is not None), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Dives that count now, and those to come at an even pace.

    Parameters
    ----------
    days
        The days of the dives that meet all but the period, in order, none after today.
    needed
        How many have to count.
    periods
        The periods in which they have to lie; empty for any day.
    today
        The day on which is judged.
    """

    days: Sequence[date]
    needed: int
    periods: tuple[Period, ...]
    today: date

    @property
    def last_year(self) -> int:
        """How many such dives there were in the last 12 months."""
        start = months_later(self.today, -MONTHS_PER_YEAR)
        return len(self.days) - bisect_left(self.days, start)

    @property
    def moves(self) -> bool:
        """Whether dives grow too old to count."""
        return any(period.moves for period in self.periods)

    def expected(self, day: date) -> int:
        """Return how many dives will count on a day.

        Parameters
        ----------
        day
            The day, not before today.

        Notes
        -----
        Known dives by their days; new ones at the pace of the last 12 months, spread evenly over
        the days from tomorrow on that lie in the period, and rounded down.
        """
        first = max((period.first(day) for period in self.periods), default=date.min)
        last = min((period.last(day) for period in self.periods), default=day)
        known = bisect_right(self.days, last) - bisect_left(self.days, first)
        new_days = (last - max(first - _DAY, self.today)).days if first > date.min else (
            last - self.today
        ).days  # fmt: skip
        year_days = (self.today - months_later(self.today, -MONTHS_PER_YEAR)).days
        return max(known, 0) + max(new_days, 0) * self.last_year // year_days

    def first_met(self, day: date) -> date | None:
        """Return the first day, from one on, on which enough dives count; None if there is none.

        Parameters
        ----------
        day
            The day from which is looked.
        """
        if self.expected(day) >= self.needed:
            return day
        if self.last_year == 0:
            return None
        if self.moves:
            days = range(1, max((self._settled() - day).days, 0) + 1)
            return next(
                (on for ahead in days if self.expected(on := day + ahead * _DAY) >= self.needed),
                None,
            )
        far = (months_later(self.today, FAR_YEARS * MONTHS_PER_YEAR) - day).days
        return _first(day, far, lambda on: self.expected(on) >= self.needed)

    def most(self) -> int:
        """Return the most dives that will ever count at once, if the period moves."""
        ahead = range((self._settled() - self.today).days + 1)
        return max(self.expected(self.today + days * _DAY) for days in ahead)

    def lapses_on(self) -> date | None:
        """Return the day on which too few count, if no more dives come; None if that never is."""
        if not self.moves or self.expected(self.today) < self.needed:
            return None
        oldest = self.days[bisect_right(self.days, self.today) - self.needed]
        return _first(
            self.today,
            (self._settled() - self.today).days,
            lambda on: max(period.first(on) for period in self.periods) > oldest,
        )

    def _settled(self) -> date:
        """Return a day on which every dive known today has long left a moving period."""
        reach = max((self.today - p.first(self.today)).days for p in self.periods if p.moves)
        return self.today + (reach + _SETTLED_DAYS) * _DAY


def _first(day: date, days: int, holds: Callable[[date], bool]) -> date | None:
    """Return the first day on which something holds that goes on holding; None if none does."""
    if days <= 0:
        return None
    ahead = bisect_left(range(days + 1), True, key=lambda n: holds(day + n * _DAY))
    return day + ahead * _DAY if ahead <= days else None


@dataclass(frozen=True, slots=True)
class Forecast:
    """When something would be met.

    Parameters
    ----------
    on
        The day; today if it is met; None if no day can be given.
    says
        The same in a sentence, with the pace.
    lapses_on
        The day on which it is not met any more if no more dives come; None if that never is.
    """

    on: date | None
    says: str
    lapses_on: date | None = None


def forecast(pace: Pace) -> Forecast:
    """Return when enough dives would count.

    Parameters
    ----------
    pace
        Known dives and their pace.
    """
    on = pace.first_met(pace.today)
    if on == pace.today:
        lapses = pace.lapses_on()
        says = "Met today."
        if lapses is not None:
            says += f" Without more such dives it is not met any more from {lapses} on."
        return Forecast(on, says, lapses)
    if on is None:
        return Forecast(None, _why_never(pace))
    return Forecast(on, f"About {on} at the pace of the last 12 months ({_such(pace)}).")


def _such(pace: Pace) -> str:
    yearly = pace.last_year
    return "one such dive" if yearly == 1 else f"{yearly} such dives"


def _why_never(pace: Pace) -> str:
    ends = [period.until for period in pace.periods if period.until is not None]
    if ends and min(ends) < pace.today:
        return f"Never: the period ended on {min(ends)}."
    if pace.last_year == 0:
        return "Never at this pace: no such dive in the last 12 months."
    never = f"Never at this pace: {_such(pace)} in the last 12 months"
    if pace.moves:
        return (
            f"{never}; older dives leave the period as new ones come, and no more than "
            f"{pace.most()} of {pace.needed} ever count at once."
        )
    if ends:
        return f"{never}, and the period ends on {min(ends)}."
    return f"Not within {FAR_YEARS} years: {_such(pace)} in the last 12 months."
