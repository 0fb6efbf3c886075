"""Times of day and durations in a cell."""

from __future__ import annotations

import re
from datetime import time
from functools import lru_cache
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.cell_numbers import number, tidy
from slatewright.logs.fields import BareDuration, ClockDuration
from slatewright.logs.header_words import DURATION_UNITS
from slatewright.logs.logged import LONGEST_MIN

_CLOCK: Final = re.compile(
    r"(?:T ?)?([0-9]{1,2})(?:[:.h]([0-9]{2})(?:[:.]([0-9]{2})(?:[.,][0-9]+)?)?)?"
    r" ?(?:([ap])\.? ?m\.?|uhr|h|hrs)?"
    r" ?(Z|UTC|[-+][0-9]{2}:?[0-9]{2})?",
    re.IGNORECASE,
)
_TOGETHER: Final = re.compile(r"([0-2][0-9])([0-5][0-9])")
_CLOCK_RIGHT: Final = "14:30, or 2:30 pm"
_THREE: Final = re.compile(r"([0-9]{1,3}):([0-9]{2}):([0-9]{2})(?:[.,]0+)?")
_TWO: Final = re.compile(r"([0-9]{1,3}):([0-9]{2})")
_WITH_UNIT: Final = re.compile(r"([0-9][0-9.,]*) ?([^\W\d_]+)\.?", re.UNICODE)
_PARTS: Final = re.compile(
    r"(?:PT)?(?:([0-9]+) ?(?:h|hr|hrs|hours?|std|stunden?|uur|ore|ora|horas?|heures?)\.? ?)?"
    r"(?:([0-9]+) ?(?:m|min|mins|minutes?|minuten|minuti|minutos|mn|')?\.? ?)?"
    r"(?:([0-9]+) ?(?:s|sec|sek|\"|'')\.?)?",
    re.IGNORECASE,
)
_METRES: Final = re.compile(r"[0-9]+ ?m\.?", re.IGNORECASE)  # 30 m is a depth, no duration
_DURATION_RIGHT: Final = "45, 45 min, 1:05, 1:05:00, or 2700 s, the form known for the column"
_MOST: Final = {
    BareDuration.MINUTES: LONGEST_MIN,
    BareDuration.SECONDS: LONGEST_MIN * 60.0,
    BareDuration.HOURS: LONGEST_MIN / 60.0,
}


@lru_cache(maxsize=4096)
def clock(text: str) -> tuple[time, str]:
    """Return the time of day in a cell, and its zone as written.

    Parameters
    ----------
    text
        The cell: 24 hours, or 12 with am or pm.

    Returns
    -------
    tuple of time and str
        The time as the cell has it: an offset is not added, since the log means the clock at the
        place.

    Raises
    ------
    InputError
        If it is no time of day.
    """
    word = tidy(text)
    together = _TOGETHER.fullmatch(word)
    match = _CLOCK.fullmatch(word)
    if together:
        hour, minute, second, half, zone = int(together[1]), int(together[2]), 0, None, None
    elif match and (match[2] or match[4]):
        hour, minute, second = int(match[1]), int(match[2] or 0), int(match[3] or 0)
        half, zone = match[4], match[5]
    else:
        raise InputError(f"'{text}' is no time of day", right=_CLOCK_RIGHT)
    if half:
        if not 1 <= hour <= 12:
            raise InputError(f"'{text}' is no time of 12 hours", right=_CLOCK_RIGHT)
        hour = hour % 12 + (12 if half in "pP" else 0)
    try:
        return time(hour, minute, second), zone or ""
    except ValueError:
        raise InputError(f"'{text}' is no time of day", right=_CLOCK_RIGHT) from None


def is_bare(text: str) -> bool:
    """Return whether a duration is a number alone.

    Parameters
    ----------
    text
        The cell.
    """
    return re.fullmatch(r"[0-9]+(?:[.,][0-9]+)?", tidy(text)) is not None


def clock_pair(text: str) -> tuple[int, int] | None:
    """Return the numbers of a duration such as 1:05; None if it is none.

    Parameters
    ----------
    text
        The cell.
    """
    match = _TWO.fullmatch(tidy(text))
    return (int(match[1]), int(match[2])) if match else None


@lru_cache(maxsize=4096)
def minutes(
    text: str, bare: BareDuration | None, pair: ClockDuration | None, decimal_mark: str
) -> float:
    """Return the duration in a cell [min].

    Parameters
    ----------
    text
        The cell.
    bare
        What a number alone counts; None if not known.
    pair
        How 1:05 is read; None if not known.
    decimal_mark
        Comma or point; empty if not known [a sign].

    Raises
    ------
    InputError
        If it is no duration, or nobody says in which form.
    """
    word = tidy(text).replace("\u2032", "'").replace("\u2033", '"')
    if three := _THREE.fullmatch(word):
        hours, mins, secs = (int(part) for part in three.groups())
        return _sum(text, hours, mins, secs)
    if two := _TWO.fullmatch(word):
        if pair is None:
            raise InputError(
                f"'{text}' can be hours and minutes, or minutes and seconds", right=_DURATION_RIGHT
            )
        first, second = int(two[1]), int(two[2])
        if pair is ClockDuration.HOURS_MINUTES:
            return _sum(text, first, second, 0)
        return _sum(text, 0, first, second)
    if is_bare(word):
        if bare is None:
            raise InputError(f"'{text}' does not say what it counts", right=_DURATION_RIGHT)
        return _in_minutes(number(word, decimal_mark, _MOST[bare]), bare)
    if match := _WITH_UNIT.fullmatch(word):
        unit = DURATION_UNITS.get(match[2].casefold())
        if isinstance(unit, BareDuration):
            return _in_minutes(number(match[1], decimal_mark, _MOST[unit]), unit)
    if (parts := _PARTS.fullmatch(word)) and any(parts.groups()) and not _METRES.fullmatch(word):
        hours, mins, secs = (int(part or 0) for part in parts.groups())
        return hours * 60.0 + mins + secs / 60.0
    raise InputError(f"'{text}' is no duration", right=_DURATION_RIGHT)


def _in_minutes(value: float, bare: BareDuration) -> float:
    if bare is BareDuration.SECONDS:
        return value / 60.0
    return value * 60.0 if bare is BareDuration.HOURS else value


def _sum(text: str, hours: int, mins: int, secs: int) -> float:
    if secs >= 60 or (hours and mins >= 60):
        raise InputError(f"'{text}' has 60 or more in its last places", right="0 to 59")
    return hours * 60.0 + mins + secs / 60.0
