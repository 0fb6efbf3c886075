"""The build-up of a course: residual gas, days, doses, findings with tried cures, the proposal."""

from __future__ import annotations

from datetime import date, time, timedelta
from pathlib import Path

import pytest

from slatewright.course.buildup import GasWanted, build_up
from slatewright.course.buildup_course import course_of
from slatewright.course.buildup_timeline import Solver
from slatewright.course.coursefile import (
    moved,
    plans_beside,
    read_course_file,
    read_course_text,
    rescheduled,
    write_course_file,
)
from slatewright.course.proposal import propose
from slatewright.dive.chain import schedules_of
from slatewright.dive.house_rules import HouseRules
from slatewright.errors import PlanFileError

EXAMPLES = Path(__file__).parents[3] / "examples"
WEEK = EXAMPLES / "stair-week" / "course.toml"
TEXT = WEEK.read_text("utf-8")


def course(text=TEXT):
    return course_of(read_course_text(text), plans_beside(WEEK), text=text)


def built(text=TEXT, **wanted):
    return build_up(course(text), HouseRules(), **wanted)


def codes(found):
    return {finding.code for finding in found.findings if finding.violates}


@pytest.fixture(scope="module")
def week():
    return built()


def test_the_example_is_clean(week):
    assert week.clean
    assert [timed.dive.called for timed in week.timeline.dives]


def test_each_dive_is_the_one_of_the_chain_of_plans(week):
    """The plans of the week follow each other by the same intervals: same stops, same run time."""
    chain = schedules_of(EXAMPLES / "build-up-week" / "6-the-wall.toml", HouseRules())
    last = week.timeline.dives[-1]
    assert last.schedule.runtime_min == pytest.approx(chain[-1].runtime_min, abs=2.0)
    assert len(week.timeline.dives) == len(chain) == 6


def test_doses_are_counted_by_the_calendar_and_within_what_is_allowed(week):
    days = week.timeline.days["Mirren"]
    assert [day.day for day in days][:1]
    assert not any(day.over for day in days)


def test_nobody_flies_before_two_days_have_gone(week):
    flying = week.flying["Tove"]
    assert flying.after_h == 48.0
    surfaced = flying.last
    assert flying.earliest - surfaced == timedelta(hours=48)


def test_a_step_too_deep_is_found_and_a_dive_between_is_the_cure():
    text = TEXT.replace("step_m = 12", "step_m = 8").replace("step_ft = 40", "step_ft = 27")
    found = built(text)
    assert not found.clean
    step = next(finding for finding in found.findings if "step" in finding.code)
    assert "between" in step.cure


def test_too_many_dives_in_a_row_are_found():
    found = built(TEXT.replace("dives_before_rest = 5", "dives_before_rest = 2"))
    assert not found.clean


def test_an_interval_too_short_is_found_and_the_move_that_cures_it_does():
    text = TEXT.replace('on = 2031-05-06\nat = "9:30"', 'on = 2031-05-05\nat = "12:30"')
    assert text != TEXT
    found = built(text)
    short = [finding for finding in found.findings if finding.violates]
    assert short
    mends = [mend for finding in short for mend in finding.mends]
    assert mends
    cured = [built(rescheduled(text, mend.moves)) for mend in mends if getattr(mend, "moves", ())]
    assert any(len(codes(one)) < len(codes(found)) for one in cured) or not cured


def test_too_many_students_are_found():
    found = built(TEXT.replace("students_per_instructor = 2", "students_per_instructor = 1"))
    assert not found.clean


def test_a_flight_too_soon_is_found():
    found = built(TEXT.replace('on = 2031-05-14\nat = "8:00"', 'on = 2031-05-12\nat = "8:00"'))
    assert any("fl" in finding.code for finding in found.findings if finding.violates)


def test_gas_is_counted_and_priced():
    found = built(gas=GasWanted())
    assert found.gas is not None
    used = sum(found.gas.used_free_l.values())
    filled = sum(found.gas.filled_free_l.values())
    assert 0 < used < filled


def test_moving_a_dive_changes_its_day_and_nothing_else():
    text = moved(TEXT, 2, date(2031, 5, 7), time(14, 0))
    before, after = read_course_text(TEXT), read_course_text(text)
    assert after.dive[1].on == date(2031, 5, 7)
    assert [dive.plan for dive in after.dive] == [dive.plan for dive in before.dive]
    assert text.count("#") == TEXT.count("#")  # comments stay


def test_a_course_that_is_as_good_as_it_stands_stays(week):
    proposal = propose(course(), Solver(HouseRules()))
    assert proposal.moves == ()


def test_a_course_in_the_wrong_order_is_put_right():
    text = TEXT.replace("on = 2031-05-05", "on = 2031-05-31")
    text = text.replace("on = 2031-05-09", "on = 2031-05-05")
    text = text.replace("on = 2031-05-31", "on = 2031-05-09")
    assert codes(built(text))
    proposal = propose(course(text), Solver(HouseRules()))
    assert proposal.moves
    assert len(codes(built(rescheduled(text, proposal.moves)))) < len(codes(built(text)))


def test_the_file_goes_out_as_it_came_in():
    assert write_course_file(read_course_file(WEEK), TEXT) == TEXT


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("on = 2031-05-05", "on = 2031-02-30", ""),
        ('at = "10:00"', 'at = "25:00"', ""),
        ("step_m = 12", "step_m = -1", "out of range"),
        ('name = "Tove"', 'name = "Mirren"', ""),
        ('schema = "slatewright/course/1"', 'schema = "slatewright/plan/1"', ""),
        ("units = ", "unit = ", "is no key"),
    ],
)
def test_a_fault_is_told_with_its_line(old, new, said):
    assert old in TEXT
    with pytest.raises(PlanFileError) as found:
        read_course_text(TEXT.replace(old, new, 1))
    assert said in str(found.value)
    assert found.value.line
