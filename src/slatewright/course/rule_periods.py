"""Days, months and birthdays: which day is the last that counts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from slatewright.errors import InputError

MONTHS_PER_YEAR: Final = 12
_DAY: Final = timedelta(days=1)


def months_later(day: date, months: int) -> date:
    """Return the same day of another month.

    Parameters
    ----------
    day
        The day.
    months
        How many months later; negative for earlier.

    Returns
    -------
    date
        A day that the month does not have, such as 29 February, becomes the first of the next:
        who was born on a leap day comes of age on 1 March, the later of the two days that people
        use.
    """
    month = day.year * MONTHS_PER_YEAR + day.month - 1 + months
    year, month = month // MONTHS_PER_YEAR, month % MONTHS_PER_YEAR + 1
    try:
        return day.replace(year=year, month=month)
    except ValueError:
        following = year * MONTHS_PER_YEAR + month
        return date(following // MONTHS_PER_YEAR, following % MONTHS_PER_YEAR + 1, 1)


def birthday(born_on: date, years: int) -> date:
    """Return the day on which somebody becomes so many years old.

    Parameters
    ----------
    born_on
        The day of birth.
    years
        The age.
    """
    return months_later(born_on, years * MONTHS_PER_YEAR)


def age_on(born_on: date, day: date) -> int:
    """Return the age in whole years; 0 before birth.

    Parameters
    ----------
    born_on
        The day of birth.
    day
        The day on which the age is asked.
    """
    years = max(day.year - born_on.year, 0)
    return years if years == 0 or birthday(born_on, years) <= day else years - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """The days on which a dive counts.

    Parameters
    ----------
    months
        The last so many months, back to the same day of the month, which counts; 0 for no bound.
    days
        Back to the day that is so many days ago, which counts; 0 for no bound.
    since, until
        The first and the last day that count; None for no bound.

    Raises
    ------
    InputError
        If it bounds nothing, or in two ways.
    """

    months: int = 0
    days: int = 0
    since: date | None = None
    until: date | None = None

    def __post_init__(self) -> None:
        fixed = self.since is not None or self.until is not None
        if (self.months > 0) + (self.days > 0) + fixed != 1:
            raise InputError(
                "a period is bounded in one way", right="months, or days, or since and until"
            )
        if self.since and self.until and self.since > self.until:
            raise InputError("a period ends before it begins", right="since not after until")

    @property
    def moves(self) -> bool:
        """Whether the period moves with the day on which it is judged."""
        return self.months > 0 or self.days > 0

    def first(self, today: date) -> date:
        """Return the first day that counts.

        Parameters
        ----------
        today
            The day on which is judged.
        """
        if self.months:
            return months_later(today, -self.months)
        if self.days:
            return today - self.days * _DAY
        return self.since or date.min

    def last(self, today: date) -> date:
        """Return the last day that counts.

        Parameters
        ----------
        today
            The day on which is judged.
        """
        return today if self.until is None else min(today, self.until)

    def __str__(self) -> str:
        if self.months:
            return "in the last month" if self.months == 1 else f"in the last {self.months} months"
        if self.days:
            return f"in the last {self.days} days"
        since = f"since {self.since}" if self.since else ""
        return f"{since} until {self.until}".strip() if self.until else since
