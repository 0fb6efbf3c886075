"""Two entries of one dive: recognised with the reason, told apart from two dives, and joined."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from slatewright.logs.duplicates import Pair, Sameness, duplicates, duplicates_within
from slatewright.logs.joining import joined
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Origin, Role
from slatewright.physics.mixture import AIR, Mixture

DAY = date(2031, 5, 9)
FEET = DepthUnit.FEET
EXACT, LIKELY = Sameness


def dive(depth=30.0, minutes=45.0, at=None, unit=DepthUnit.METRES, **more):
    return LoggedDive(
        **{
            "on_date": DAY,
            "minutes": minutes,
            "greatest": LoggedDepth(depth, unit),
            "began_at": at,
            **more,
        }
    )


def found(a, b):
    pairs, turned = duplicates([a], [b]), duplicates([b], [a])
    assert [pair.sameness for pair in pairs] == [pair.sameness for pair in turned]
    return pairs[0] if pairs else None


@pytest.mark.parametrize(
    ("a", "b", "sameness", "why"),
    [
        (dive(at=time(10)), dive(at=time(10)), EXACT, "the same day and start"),
        (dive(at=time(10, 0, 10)), dive(at=time(10, 0, 50)), EXACT, "the same day and start"),
        (dive(number="7"), dive(number="7"), EXACT, "the same day and number"),
        (dive(), dive(), LIKELY, "the start is not known in both"),
        (dive(), dive(at=time(10)), LIKELY, "the start is not known in both"),
        (dive(), dive(98.0, unit=FEET), LIKELY, "30 m and 98 ft (29.9 m)"),
        (dive(), dive(99.0, unit=FEET), LIKELY, "99 ft"),
        (dive(), dive(100.0, unit=FEET), LIKELY, "100 ft (30.5 m)"),
        (dive(98.0, unit=FEET), dive(100.0, unit=FEET), LIKELY, "98 ft"),
        (dive(100.0), dive(330.0, unit=FEET), LIKELY, "330 ft"),
        (dive(), dive(30.4), LIKELY, "30 m and 30.4 m"),
        (dive(), dive(minutes=45.8), LIKELY, "45 and 45.8 min"),
        (dive(), dive(minutes=46.0), LIKELY, "45 and 46 min"),
        (dive(at=time(10)), dive(30.8, 47.0, time(10, 6)), LIKELY, "starts 6 min apart"),
        (dive(30.4, 45.5, time(10)), dive(30.4, 45.5, time(12)), LIKELY, "the clocks stand 2 h"),
        (dive(mixes=(AIR,), number="7"), dive(mixes=(Mixture(0.32),), number="7"), LIKELY,
         "but the gases are air and EAN32"),
        (dive(number="7"), dive(number="8"), LIKELY, "but the numbers are 7 and 8"),
    ],
)  # fmt: skip
def test_the_same_dive(a, b, sameness, why):
    pair = found(a, b)
    assert pair.sameness is sameness
    assert why in pair.why


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (dive(), dive(31.0)),
        (dive(), dive(97.0, unit=FEET, minutes=44.0, on_date=DAY + timedelta(days=1))),
        (dive(), dive(103.5, unit=FEET)),
        (dive(), dive(minutes=47.0)),
        (dive(30.4), dive(30.9)),
        (dive(at=time(10)), dive(at=time(10, 30))),
        (dive(at=time(10)), dive(32.0, at=time(10))),
        (dive(at=time(10)), dive(minutes=60.0, at=time(10))),
        (dive(12.0, at=time(10)), dive(12.0, at=time(14))),  # whole metres meet by chance
        (dive(), dive(on_date=DAY + timedelta(days=1))),
    ],
)
def test_two_dives(a, b):
    assert found(a, b) is None


def test_over_midnight_by_two_clocks():
    late = dive(at=time(23, 57))
    early = dive(at=time(0, 2), on_date=DAY + timedelta(days=1))
    assert "5 min apart" in found(late, early).why


def test_two_like_dives_of_a_day_meet_two_like_dives():
    first = [dive(number="1"), dive(number="2")]
    second = [dive(number="2"), dive(number="1"), dive(20.0)]
    pairs = duplicates(first, second)
    assert [(p.first, p.second, p.sameness) for p in pairs] == [(0, 1, EXACT), (1, 0, EXACT)]


def test_within_one_logbook():
    book = [dive(), dive(20.0), dive(at=time(10))]
    (pair,) = duplicates_within(book)
    assert (pair.first, pair.second) == (0, 2)
    assert duplicates_within([]) == ()


def test_nothing_is_merged():
    a, b = [dive(number="7")], [dive(number="7")]
    assert duplicates(a, b) == (Pair(0, 0, EXACT, "the same day and number, 45 min, 30 m"),)
    assert a == [dive(number="7")]
    assert b == [dive(number="7")]


def test_joining_keeps_the_fuller_one_and_adds_what_the_other_says():
    by_hand = dive(
        100.0,
        45.0,
        unit=FEET,
        number="7",
        partners=("Ana",),
        remark="calm",
        role=Role.STUDENT,
        place="The Barge",
    )
    computer = dive(
        30.4, 45.5, time(10), mixes=(AIR,), circuit=Circuit.CLOSED, origin=Origin("file", 3)
    )
    both = joined(computer, by_hand)
    assert both == joined(by_hand, computer)
    assert both == replace(
        by_hand, began_at=time(10), mixes=(AIR,), circuit=Circuit.CLOSED
    )  # feet stay feet: the fuller one was logged in them
    assert joined(replace(by_hand, remark="cold"), by_hand).remark == "cold\ncalm"
    assert joined(by_hand, by_hand) == by_hand
