"""The course file: nothing lost in writing, every fault with its line, moves into the text."""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path

import pytest

from slatewright.course.buildup_course import Pair, course_of, limits_of
from slatewright.course.coursefile import (
    LimitsTable,
    Move,
    moved,
    plans_beside,
    read_course_file,
    read_course_text,
    rescheduled,
    write_course_file,
)
from slatewright.errors import InputError, PlanFileError
from unit.course.course_texts import PEOPLE, dive, plan, text_of

WEEK = Path(__file__).parents[3] / "examples" / "stair-week" / "course.toml"
TEXT = WEEK.read_text("utf-8")


def lines(error):
    return [fault.line for fault in error.value.faults]


def test_the_example_goes_out_as_it_came_in():
    assert write_course_file(read_course_file(WEEK), TEXT) == TEXT


def test_a_new_text_says_the_same():
    file = read_course_text(TEXT)
    assert read_course_text(write_course_file(file)) == file


def test_paragraphs_and_single_names_stay_as_they_are_written():
    text = text_of(
        dive(1, "2031-05-05", "9:00", who='["Tove", "Mirren"]', new="[]"),
        more='[agreement]\nfees = """one\ntwo"""   # why\nwords = ["a", "b"]\n',
    )
    assert write_course_file(read_course_text(text), text) == text


def test_all_faults_are_told_at_once_each_with_its_line():
    bad = (
        TEXT.replace("step_m = 12", "step_m = -2")
        .replace('at = "10:00"', 'at = "9:77"')
        .replace("on = 2031-05-06", 'on = "Tuesday"')
        .replace("deepest_ft", "depest_ft")
        .replace("dives_a_day = 2", "dives_a_day = 2.5")
        + "[[rest]]\non = 2031-05-12\n"
    )
    with pytest.raises(PlanFileError) as error:
        read_course_text(bad)
    marks = ("step_m = -2", "dives_a_day = 2.5", "depest_ft", '"9:77"', '"Tuesday"')
    numbers = [i for i, line in enumerate(bad.splitlines(), 1) if any(m in line for m in marks)]
    twice = bad.splitlines().index("[[lost_day]]") + 2  # the same day stands under [[rest]]
    assert lines(error) == [*numbers, twice]
    assert "deepest_ft" in str(error.value)
    assert "is a [[rest]] already" in str(error.value)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('who = "Casper"', 'who = "Nobody"', "is not of those"),
        ('name = "Casper"', 'name = "Tove"', "is taken"),
        ('last_start = "15:00"', 'last_start = "8:00"', "before first_start"),
        ("deepest_m = 48", "deepest_m = 48\ndeepest_ft = 157", "second depth"),
        ("new = []", 'new = []\nwho = ["Tove", "Tove"]', "listed twice"),
        ('plan = "../build-up-week/2-the-saddle.toml"', 'plan = "#0"', "no number of a plan"),
        ('least_interval = "4:00"', 'least_interval = "4 h"', "no surface interval"),
        ("fly_after_h = 48", "fly_after_h = 18", "above 18"),
        ('on = 2031-05-06\nat = "9:30"', 'on = 2031-05-05\nat = "10:00"', "same minute"),
    ],
)
def test_contradictions_are_refused(old, new, says):
    assert old in TEXT
    with pytest.raises(PlanFileError, match=says):
        read_course_text(TEXT.replace(old, new, 1))


def test_a_skill_is_listed_once_a_dive():
    text = text_of(dive(1, "2031-05-05", "9:00", skills='["marker", "trim", "marker"]'))
    with pytest.raises(PlanFileError, match="'marker' is listed twice"):
        read_course_text(text)


def test_a_course_needs_a_dive_and_a_student():
    with pytest.raises(PlanFileError, match="dive"):
        read_course_text(text_of())
    alone = PEOPLE.split("[[student]]", maxsplit=1)[0]
    with pytest.raises(PlanFileError, match="student"):
        read_course_text(text_of(dive(1, "2031-05-05", "9:00"), people=alone))


def test_only_instructors_dive_elsewhere():
    more = '[[elsewhere]]\nplan = "#1"\non = 2031-05-06\nat = "9:00"\nwho = "Tove"\n'
    with pytest.raises(PlanFileError, match="Tove"):
        read_course_text(text_of(dive(1, "2031-05-05", "9:00"), more=more))


def test_a_move_writes_day_and_time_and_nothing_else():
    changed = moved(TEXT, 3, date(2031, 5, 30), time(13, 5))
    different = [
        (old, new)
        for old, new in zip(TEXT.splitlines(), changed.splitlines(), strict=True)
        if old != new
    ]
    assert different == [("on = 2031-05-07", "on = 2031-05-30"), ('at = "9:30"', 'at = "13:05"')]


def test_a_time_of_toml_stays_one():
    text = text_of(dive(1, "2031-05-05", "9:00").replace('"9:00"', "09:00:00  # early"))
    assert "at = 10:30:00  # early" in moved(text, 1, date(2031, 5, 5), time(10, 30))


def test_two_dives_may_change_places_in_one_step():
    first, second = (datetime(2031, 5, day, 9, 0) for day in (5, 6))  # noqa: DTZ001 - local
    text = text_of(dive(1, "2031-05-05", "9:00"), dive(2, "2031-05-06", "9:00"))
    file = read_course_text(rescheduled(text, [Move(1, second), Move(2, first)]))
    assert [table.starts() for table in file.dive] == [second, first]


@pytest.mark.parametrize("number", [0, 7])
def test_only_dives_that_are_there_move(number):
    with pytest.raises(InputError, match="1 to 6"):
        moved(TEXT, number, date(2031, 5, 5), time(9, 0))


def test_a_plan_that_is_not_there_is_told_with_the_line_of_its_dive():
    text = TEXT.replace("2-the-saddle", "2-the-sofa")
    with pytest.raises(PlanFileError) as error:
        course_of(read_course_text(text), plans_beside(WEEK), text=text, path=WEEK)
    at = next(i for i, line in enumerate(text.splitlines(), 1) if "2-the-sofa" in line)
    assert error.value.line == at
    assert "2-the-sofa" in str(error.value)


def test_a_plan_with_a_fault_is_refused():
    text = text_of(dive(1, "2031-05-05", "9:00"))
    with pytest.raises(PlanFileError, match="use"):
        course_of(read_course_text(text), lambda _: plan(45, 20).replace('use = "bottom"', ""))


def test_numbers_are_for_workspaces():
    text = text_of(dive(12, "2031-05-05", "9:00"))
    with pytest.raises(InputError, match="workspace"):
        course_of(read_course_text(text), plans_beside(WEEK), text=text)
    asked = []
    course_of(read_course_text(text), lambda word: asked.append(word) or plan(45, 20))
    assert asked == ["#12"]


@pytest.mark.parametrize(
    ("written", "pair"),
    [
        ({}, Pair(12.0, 40.0)),
        ({"step_m": 12.0, "step_ft": 40.0}, Pair(12.0, 40.0)),
        ({"step_m": 12.0}, Pair(12.0, 39.0)),  # 39.37 ft: never more than is written
        ({"step_ft": 40.0}, Pair(12.0, 40.0)),  # 12.19 m
        ({"step_ft": 50.0}, Pair(15.0, 50.0)),  # 15.24 m
    ],
)
def test_one_value_of_a_pair_gives_the_other_rounded_down(written, pair):
    assert limits_of(LimitsTable(**written)).step == pair


def test_pairs_that_are_not_the_same_depth_are_seen():
    assert Pair(39.0, 140.0).disagrees  # 140 ft are 42.7 m
    assert not Pair(12.0, 40.0).disagrees
    assert not Pair(100.0, 330.0).disagrees
