"""The dates of a course as an iCalendar file [RFC5545]: dives, rest days, days kept in reserve.

Times are local. Without a time zone they 'float', as that standard has it: a calendar shows them as
they are, wherever it is opened, which is what a boat's departure is in the place itself. With one
each calendar shows the same instant. An event keeps its identifier when it is moved, so that a
calendar that reads the file again moves it too.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Final
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from slatewright.errors import InputError

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT: Final = "-//Slatewright//Course//EN"
_NAMES: Final = UUID("6f1c2a0e-3d3b-5d5e-9a53-2f0a7d0c9b11")
"""Ours; identifiers of events are made from it, the course and the event, and from nothing else."""
_LONGEST: Final = timedelta(days=1)


class EventKind(StrEnum):
    """What a date is."""

    DIVE = "dive"
    REST = "rest day"
    RESERVE = "day kept in reserve"
    LOST = "lost day"
    FLIGHT = "flight"
    OTHER = "other"


_STATUS: Final = {EventKind.RESERVE: "TENTATIVE", EventKind.LOST: "CANCELLED"}
_FREE: Final = frozenset({EventKind.REST, EventKind.RESERVE, EventKind.LOST})
"""Days on which a calendar shows the person as free."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseDate:
    """A date of a course.

    Parameters
    ----------
    id
        Its name within the course; it stays the same when the date is moved.
    kind
        What it is.
    title
        What is shown.
    starts
        When it begins, by the clock at the place; a day alone for a whole day.
    minutes
        How long it takes [min], rounded up to whole ones; not for a whole day.
    place
        Where; empty if it is not said.
    words
        What else is to be said.

    Raises
    ------
    InputError
        If it has no id or title, a time zone of its own, or takes no time or more than a day.
    """

    id: str
    kind: EventKind
    title: str
    starts: date | datetime
    minutes: float | None = None
    place: str = ""
    words: str = ""

    def __post_init__(self) -> None:
        for name in ("id", "title"):
            if not getattr(self, name).strip():
                raise InputError("is empty", where=name, right="a text")
        if isinstance(self.starts, datetime):
            if self.starts.tzinfo is not None:
                raise InputError(
                    f"{self.starts.isoformat()} has a time zone of its own",
                    where=self.id,
                    right="a local time; the zone is one for all",
                )
            if self.minutes is None or not 0.0 < self.minutes <= _LONGEST / timedelta(minutes=1):
                raise InputError(
                    f"{self.minutes} min is no length", where=self.id, right="up to a day"
                )
        elif self.minutes is not None:
            raise InputError(
                "a whole day has no minutes", where=self.id, right="a time with minutes, or neither"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseCalendar:
    """The dates of a course.

    Parameters
    ----------
    course
        The name or number by which the course is known; identifiers are made from it.
    title
        What it is called.
    dates
        Its dates.
    zone
        The time zone, such as ``Europe/Oslo``; empty for times that float.
    edition
        How often the dates were changed after they had been given out.

    Raises
    ------
    InputError
        If two dates have one id, or the zone is unknown, or a time does not exist in it.
    """

    course: str
    title: str
    dates: tuple[CourseDate, ...]
    zone: str = ""
    edition: int = 0

    def __post_init__(self) -> None:
        counted = Counter(one.id for one in self.dates)
        if twice := next((one for one, count in counted.items() if count > 1), None):
            raise InputError(f"two dates are called '{twice}'", right="each its own id")
        zone = _zone(self.zone)
        for one in self.dates:
            if zone is None or not isinstance(one.starts, datetime):
                continue
            there = one.starts.replace(tzinfo=zone)
            if there.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != one.starts:
                raise InputError(
                    f"{one.starts.isoformat(' ', 'minutes')} does not exist in {self.zone}: "
                    "the clock is put forward",
                    where=one.id,
                    right="an hour earlier or later",
                )


def identifier(course: str, date_id: str) -> str:
    """Return the identifier of a date, the same at all times.

    Parameters
    ----------
    course
        The course.
    date_id
        The name of the date within it.
    """
    return str(uuid5(_NAMES, f"{len(course)}:{course}:{date_id}"))


def calendar_ics(calendar: CourseCalendar, written_at: datetime) -> bytes:
    """Return the dates of a course as an iCalendar file.

    Parameters
    ----------
    calendar
        The dates.
    written_at
        When the file is written, with its offset from UTC: each event has to say so.

    Returns
    -------
    bytes
        The file; the same dates written at the same time give the same bytes.

    Raises
    ------
    InputError
        If ``written_at`` has no offset.
    """
    from icalendar import Calendar  # noqa: PLC0415 - start-up is budgeted

    if written_at.utcoffset() is None:
        raise InputError(
            f"{written_at.isoformat()} does not say which time zone it is in",
            where="written_at",
            right="a time with its offset",
        )
    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("method", "PUBLISH")
    made.add("x-wr-calname", calendar.title)
    zone = _zone(calendar.zone)
    stamp = written_at.astimezone(UTC).replace(microsecond=0)
    for one in calendar.dates:
        made.add_component(_event(calendar, one, zone, stamp))
    if zone is not None:
        made.add_missing_timezones()
    return bytes(made.to_ical())


def _event(
    calendar: CourseCalendar, one: CourseDate, zone: ZoneInfo | None, stamp: datetime
) -> Event:
    from icalendar import Event as NewEvent  # noqa: PLC0415 - start-up is budgeted

    event = NewEvent()
    event.add("uid", identifier(calendar.course, one.id))
    event.add("dtstamp", stamp)
    event.add("sequence", calendar.edition)
    event.add("summary", one.title)
    event.add("categories", [str(one.kind)])
    event.add("status", _STATUS.get(one.kind, "CONFIRMED"))
    event.add("transp", "TRANSPARENT" if one.kind in _FREE else "OPAQUE")
    if isinstance(one.starts, datetime):
        # the length is one of elapsed time: in a zone the clock may be put on meanwhile
        start = one.starts.replace(tzinfo=zone)
        event.add("dtstart", start)
        event.add("duration", timedelta(minutes=math.ceil(one.minutes or 0.0)))
    else:
        event.add("dtstart", one.starts)
        event.add("dtend", one.starts + timedelta(days=1))
    if one.place:
        event.add("location", one.place)
    if one.words:
        event.add("description", one.words)
    return event


def _zone(name: str) -> ZoneInfo | None:
    if not name:
        return None
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise InputError(
            f"'{name}' is no time zone that is known here",
            where="zone",
            right="a name such as Europe/Oslo, or nothing for times that float",
        ) from None
