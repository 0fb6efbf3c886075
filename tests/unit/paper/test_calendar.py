"""The dates of a course, read back with icalendar; rules of RFC 5545 from memory."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from icalendar import Calendar

from slatewright.errors import InputError
from slatewright.paper.calendar import (
    CourseCalendar,
    CourseDate,
    EventKind,
    calendar_ics,
    identifier,
)

NOW = datetime(2031, 4, 1, 12, 0, 30, tzinfo=timezone(timedelta(hours=2)))
DIVE = CourseDate(
    id="d1",
    kind=EventKind.DIVE,
    title="Dive 1: the Stair, 45 m, with a long title, commas; and\na second line: żółw "
    + "x" * 60,
    starts=datetime(2031, 5, 5, 9, 30),  # noqa: DTZ001 - by the clock at the place
    minutes=64.2,
    place="The Stair (invented)",
    words="18/45 and EAN50",
)
REST = CourseDate(id="r1", kind=EventKind.REST, title="Rest", starts=date(2031, 5, 10))
RESERVE = CourseDate(id="l1", kind=EventKind.RESERVE, title="Reserve", starts=date(2031, 5, 12))
LOST = CourseDate(id="l0", kind=EventKind.LOST, title="Lost", starts=date(2031, 5, 8))


def calendar(*dates, **more):
    return CourseCalendar(
        **{"course": "stair-2031-05", "title": "A week on the Stair", "dates": dates} | more
    )


def events(raw):
    return {str(e["uid"]): e for e in Calendar.from_ical(raw).walk("VEVENT")}


def event(raw, date_id):
    return events(raw)[identifier("stair-2031-05", date_id)]


def test_a_dive_floats_with_its_local_time_and_length():
    raw = calendar_ics(calendar(DIVE), NOW)
    found = event(raw, "d1")
    assert found["dtstart"].dt == DIVE.starts
    assert found["dtstart"].dt.tzinfo is None
    assert b"DTSTART:20310505T093000\r\n" in raw
    assert found["duration"].dt == timedelta(minutes=65)
    assert found["summary"] == DIVE.title
    assert found["location"] == DIVE.place
    assert found["description"] == DIVE.words
    assert found["status"] == "CONFIRMED"


def test_in_a_time_zone_it_is_an_instant():
    raw = calendar_ics(calendar(DIVE, zone="Europe/Oslo"), NOW)
    found = event(raw, "d1")
    assert found["dtstart"].dt.astimezone(UTC) == datetime(2031, 5, 5, 7, 30, tzinfo=UTC)
    (zone,) = Calendar.from_ical(raw).walk("VTIMEZONE")
    assert zone["tzid"] == found["dtstart"].params["TZID"] == "Europe/Oslo"


@pytest.mark.parametrize(
    ("given", "status"), [(REST, "CONFIRMED"), (RESERVE, "TENTATIVE"), (LOST, "CANCELLED")]
)
def test_a_day_is_a_whole_day_on_which_one_is_free(given, status):
    found = event(calendar_ics(calendar(given), NOW), given.id)
    assert found["dtstart"].dt == given.starts
    assert found["dtend"].dt == given.starts + timedelta(days=1)
    assert found["status"] == status
    assert found["transp"] == "TRANSPARENT"
    assert [str(one) for one in found["categories"].cats] == [str(given.kind)]


def test_an_event_keeps_its_identifier_when_it_is_moved():
    moved = replace(DIVE, starts=DIVE.starts + timedelta(days=1), title="Another title")
    before, after = calendar_ics(calendar(DIVE), NOW), calendar_ics(calendar(moved, edition=1), NOW)
    assert set(events(before)) == set(events(after))
    assert event(after, "d1")["sequence"] == 1
    # the identifier itself is part of what was given out: it may never change
    assert identifier("stair-2031-05", "d1") == "4f0c7ded-947b-5220-92ef-a517ef0fdec8"
    assert identifier("a", "b:c") != identifier("a:b", "c")


def test_the_file_is_as_the_standard_wants_it():
    raw = calendar_ics(calendar(DIVE, REST, RESERVE, LOST), NOW)
    lines = raw.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in lines)
    made = Calendar.from_ical(raw)
    assert made["version"] == "2.0"
    assert "Slatewright" in made["prodid"]
    assert all(e["dtstamp"].dt == NOW.astimezone(UTC) for e in made.walk("VEVENT"))


def test_the_same_dates_give_the_same_bytes():
    zoned = calendar(DIVE, REST, zone="Europe/Oslo")
    assert calendar_ics(zoned, NOW) == calendar_ics(zoned, NOW)


def test_an_empty_calendar_is_one_too():
    assert events(calendar_ics(calendar(), NOW)) == {}


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: replace(DIVE, id=" "), "id: is empty"),
        (lambda: replace(DIVE, starts=NOW), "time zone of its own"),
        (lambda: replace(DIVE, minutes=None), "no length"),
        (lambda: replace(DIVE, minutes=0.0), "no length"),
        (lambda: replace(DIVE, minutes=1441.0), "no length"),
        (lambda: replace(REST, minutes=10.0), "whole day"),
        (lambda: calendar(DIVE, DIVE), "two dates"),
        (lambda: calendar(DIVE, zone="Europe/Nowhere"), "no time zone"),
        (lambda: calendar(DIVE, zone="../../secret"), "no time zone"),
        (
            lambda: calendar(
                replace(DIVE, starts=datetime(2031, 3, 30, 2, 30)),  # noqa: DTZ001 - local
                zone="Europe/Oslo",
            ),
            "does not exist",
        ),
        (lambda: calendar_ics(calendar(DIVE), NOW.replace(tzinfo=None)), "which time zone"),
    ],
)
def test_what_cannot_be_is_refused(make, said):
    with pytest.raises(InputError, match=said):
        make()
