"""Dates in a cell: a year first, day and month in either order, or the month by its name."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.cell_numbers import tidy
from slatewright.logs.cell_words import month_named
from slatewright.logs.fields import DateOrder

_YEAR_FIRST: Final = re.compile(r"([0-9]{4})([-/.])([0-9]{1,2})\2([0-9]{1,2})(?![0-9])\.?")
_TOGETHER: Final = re.compile(r"([0-9]{4})([0-9]{2})([0-9]{2})(?![0-9])")
_YEAR_LAST: Final = re.compile(
    r"([0-9]{1,2})([-/.]) ?([0-9]{1,2})\2 ?([0-9]{4}|[0-9]{2})(?![0-9:])\.?"
)
_DAY_NAME: Final = re.compile(
    r"([0-9]{1,2})(?:st|nd|rd|th|er|\u00ba)?[-. /]*(?:de )?([^\W\d_]{3,})[-. /,]*(?:de )?"
    r"([0-9]{4}|[0-9]{2})(?![0-9:])",
    re.UNICODE,
)
_NAME_DAY: Final = re.compile(
    r"([^\W\d_]{3,})[-. ]*([0-9]{1,2})(?:st|nd|rd|th)?[-, ]+([0-9]{4})(?![0-9:])", re.UNICODE
)
_YEAR_NAME: Final = re.compile(r"([0-9]{4})[- ]([^\W\d_]{3,})\.?[- ]([0-9]{1,2})(?![0-9])")
_WEEKDAY: Final = re.compile(r"[^\W\d_]{2,}[.,]? +(?=[0-9])", re.UNICODE)
_FIRST_YEAR: Final = 1950
_RIGHT: Final = "2031-05-09, 9.5.2031, or 9 May 2031"


@dataclass(frozen=True, slots=True)
class Numbers:
    """A date in numbers alone that does not begin with a year of four digits.

    Parameters
    ----------
    mark
        What stands between the numbers.
    first, second, third
        The numbers.
    short
        Whether the third has two digits.
    """

    mark: str
    first: int
    second: int
    third: int
    short: bool

    def read(self, order: DateOrder) -> date | None:
        """Return the date in an order; None if there is no such day.

        Parameters
        ----------
        order
            The order.
        """
        day, month, year = self.first, self.second, self.third
        if order is DateOrder.MDY:
            day, month = month, day
        elif order is DateOrder.YMD:
            if not self.short:
                return None
            day, year = year, day
        if self.short:
            year = _full_year(year)
        try:
            return date(year, month, day)
        except ValueError:
            return None


def numbers_of(text: str) -> Numbers | None:
    """Return the date in a cell if it is numbers alone and its order open; else None.

    Parameters
    ----------
    text
        The cell.
    """
    word = tidy(text)
    if not word[:1].isdigit():
        word = _WEEKDAY.sub("", word, count=1)
    match = _YEAR_LAST.match(word)
    if match is None:
        return None
    first, mark, second, third = match.groups()
    return Numbers(mark, int(first), int(second), int(third), len(third) == 2)


def orders_possible(cells: Iterable[Numbers]) -> tuple[DateOrder, ...]:
    """Return the orders in which all dates of a column are days; none if they contradict.

    Parameters
    ----------
    cells
        Dates with the same mark; one that is no day in any order does not count.
    """
    possible = set(DateOrder)
    for cell in cells:
        if fits := {order for order in DateOrder if cell.read(order) is not None}:
            possible &= fits
    return tuple(order for order in DateOrder if order in possible)


@lru_cache(maxsize=16384)
def day(
    text: str, slash: DateOrder | None, dash: DateOrder | None, dot: DateOrder | None
) -> tuple[date, str]:
    """Return the date in a cell, and what stands behind it.

    Parameters
    ----------
    text
        The cell.
    slash, dash, dot
        The order by the mark between the numbers; None if not known.

    Returns
    -------
    tuple of date and str
        The date, and the rest of the cell, such as a time. Years of two digits are those from 1950
        to 2049: nobody logged dives before.

    Raises
    ------
    InputError
        If it is no date, no such day exists, or the order is not known.
    """
    word = tidy(text)
    match = _YEAR_FIRST.match(word) or _TOGETHER.match(word)
    if match:
        year, month, on = (
            int(match[i]) for i in ((1, 3, 4) if match.re is _YEAR_FIRST else (1, 2, 3))
        )
        return _date(text, year, month, on), _rest(word, match)
    named = _named(text, word)
    if named is not None:
        return named
    if not word[:1].isdigit():
        word = _WEEKDAY.sub("", word, count=1)
        named = _named(text, word)
        if named is not None:
            return named
    found = numbers_of(word)
    match = _YEAR_LAST.match(word)
    if found is None or match is None:
        raise InputError(f"'{text}' is no date", right=_RIGHT)
    order = {"/": slash, "-": dash, ".": dot}[found.mark]
    if order is None:
        raise InputError(f"'{text}' does not say which is the month", right=_RIGHT)
    on_date = found.read(order)
    if on_date is None:
        raise InputError(f"'{text}' is no day, read as {order}", right=_RIGHT)
    return on_date, _rest(word, match)


def _named(text: str, word: str) -> tuple[date, str] | None:
    for pattern, (day_at, month_at, year_at) in (
        (_DAY_NAME, (1, 2, 3)),
        (_NAME_DAY, (2, 1, 3)),
        (_YEAR_NAME, (3, 2, 1)),
    ):
        match = pattern.match(word)
        if match and (month := month_named(match[month_at])):
            year = int(match[year_at])
            full = _full_year(year) if len(match[year_at]) == 2 else year
            return _date(text, full, month, int(match[day_at])), _rest(word, match)
    return None


def _date(text: str, year: int, month: int, on: int) -> date:
    try:
        return date(year, month, on)
    except ValueError:
        raise InputError(f"there is no day '{text}'", right=_RIGHT) from None


def _full_year(year: int) -> int:
    return 1900 + year if year >= _FIRST_YEAR - 1900 else 2000 + year


def _rest(word: str, match: re.Match[str]) -> str:
    return word[match.end() :].strip(" ,;")
