"""Flying after diving: which dive decides, and to the minute from when on."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from slatewright.course.flying import Surfaced, earliest_flight
from unit.course.course_texts import built, dive, found, plan, text_of

START = datetime(2031, 5, 31, 11, 0)  # noqa: DTZ001 - local
SHALLOW, DEEP = plan(12, 30, "EAN32"), plan(45, 25, deco="EAN50")


def after(hours):
    return START + timedelta(hours=hours)


@pytest.mark.parametrize(
    ("dives", "at_h"),
    [
        ([(0, False)], 12),
        ([(0, False), (4, False)], 22),
        ([(0, False), (48, False)], 66),  # two days on: still several
        ([(0, False), (49, False)], 61),
        ([(0, True)], 48),
        ([(0, True), (20, False)], 48),  # the earlier one keeps the diver longer
        ([(0, True), (40, False)], 58),
        ([(0, False), (24, True)], 72),
    ],
)
def test_the_dive_that_keeps_longest_decides(dives, at_h):
    done = [Surfaced(after(hours), stops) for hours, stops in dives]
    assert earliest_flight(done, 48.0).earliest == after(at_h)
    assert earliest_flight(done[::-1], 48.0).earliest == after(at_h)


def test_the_instructor_chooses_within_what_is_published():
    assert earliest_flight([Surfaced(START, stops=True)], 24.0).earliest == after(24)


def test_who_has_not_dived_may_fly():
    assert earliest_flight([], 48.0) is None


def flight(on, at):
    return text_of(
        dive(1, "2031-05-05", "9:00"), more=f'[[flight]]\non = {on}\nat = "{at}"\nwho = "Tove"\n'
    )


def test_a_flight_is_judged_to_the_minute():
    earliest = built(flight("2031-05-09", "9:00"), [DEEP]).flying["Tove"].earliest
    assert earliest.second == 0
    on_time, too_soon = earliest, earliest - timedelta(minutes=1)
    for at, count in ((on_time, 0), (too_soon, 1)):
        result = built(flight(at.date(), f"{at:%H:%M}"), [DEEP])
        assert len(found(result, "flight")) == count
    assert f"{earliest:%Y-%m-%d from %H:%M}" in found(result, "flight")[0].cure


def test_dives_without_stops_let_fly_sooner():
    result = built(flight("2031-05-05", "21:00"), [SHALLOW])
    assert result.flying["Tove"].after_h == 12.0
    assert len(found(result, "flight")) == 1  # 30 min of dive before the twelve hours


def test_a_flight_between_dives_is_held_against_those_before_it():
    text = text_of(
        dive(1, "2031-05-05", "9:00"),
        dive(1, "2031-05-20", "9:00"),
        more='[[flight]]\non = 2031-05-12\nat = "9:00"\n',
    )
    assert not found(built(text, [DEEP]), "flight")


def test_nobody_is_told_when_to_fly_after_a_dive_that_is_not_computed():
    hopeless = plan(90, 40, "21/0")
    result = built(text_of(dive(1, "2031-05-05", "9:00")), [hopeless])
    assert found(result, "no-safe-answer")
    assert result.flying["Tove"] is None
