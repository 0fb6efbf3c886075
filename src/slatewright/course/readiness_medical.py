"""Whether a medical clearance is valid on the days on which it is needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Medical:
    """The validity of a medical clearance.

    Parameters
    ----------
    until
        The last day on which it is valid; None if there is none.
    days
        The days on which it is needed: those of the course, or today if it has none yet.
    outside
        Those of them on which it is not valid.
    says
        The same in a sentence.
    """

    until: date | None
    days: tuple[date, ...]
    outside: tuple[date, ...]
    says: str

    @property
    def valid(self) -> bool:
        """Whether it is valid on each of the days."""
        return not self.outside


def medical_on(until: date | None, course_days: Sequence[date], today: date) -> Medical:
    """Return whether a medical clearance is valid on the days of a course.

    Parameters
    ----------
    until
        The last day on which it is valid; None if there is none.
    course_days
        The days of the course; empty if they are not known.
    today
        Stands in for them.
    """
    days = tuple(sorted(set(course_days))) or (today,)
    outside = tuple(day for day in days if until is None or day > until)
    span = str(days[0]) if len(days) == 1 else f"{days[0]} to {days[-1]}"
    when = f"on the days of the course ({span})" if course_days else f"today ({today})"
    if until is None:
        says = f"There is no medical clearance on file: none is valid {when}."
    elif not outside:
        says = f"The medical clearance is valid until {until}: valid {when}."
    elif len(outside) < len(days):
        says = (
            f"The medical clearance is valid until {until}: not valid from {outside[0]} on, "
            f"which are {len(outside)} of {len(days)} days of the course."
        )
    else:
        says = f"The medical clearance was valid until {until}: not valid {when}."
    return Medical(until, days, outside, says)
