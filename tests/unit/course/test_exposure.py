"""Pulmonary oxygen by days of the calendar: midnight, month end, idle days, what is brought."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.course.exposure import Brought, doses_by_day, otu_by_day
from slatewright.decompression.oxygen import dose_of_legs
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.schedule import schedule
from unit.course.course_texts import RULES, plan

MONDAY = date(2031, 5, 5)


def days(*offsets, otu=100.0):
    return {MONDAY + timedelta(days=offset): otu for offset in offsets}


@pytest.fixture(scope="module")
def made():
    return schedule(read_plan_text(plan(45, 30, deco="EAN50")).to_plan(RULES))


def by_day(made, start):
    return otu_by_day(made.legs, made.plan.water, start, table=RULES.oxygen_table)


def test_a_dive_by_day_is_of_one_day(made):
    noon = datetime(2031, 5, 5, 12, 0)  # noqa: DTZ001 - local
    assert by_day(made, noon) == ((MONDAY, pytest.approx(made.oxygen.otu)),)


def test_a_dive_over_midnight_and_month_end_is_parted_there(made):
    start = datetime(2031, 5, 31, 23, 40)  # noqa: DTZ001 - local
    (first, before), (second, after) = by_day(made, start)
    assert (first, second) == (date(2031, 5, 31), date(2031, 6, 1))
    assert before + after == pytest.approx(made.oxygen.otu)
    # twenty minutes at the bottom: counted by hand from the legs that begin before midnight
    early = [leg for leg in made.legs if leg.end_min <= 20.0]
    at_depth = next(leg for leg in made.legs if leg.start_min < 20.0 < leg.end_min)
    share = (20.0 - at_depth.start_min) / at_depth.minutes
    water, table = made.plan.water, RULES.oxygen_table
    own = dose_of_legs(early, water, table=table).otu
    own += share * dose_of_legs([at_depth], water, table=table).otu
    assert before == pytest.approx(own)


def test_a_dive_that_ends_at_midnight_is_of_one_day(made):
    start = datetime(2031, 5, 6, 0, 0) - timedelta(minutes=made.runtime_min)  # noqa: DTZ001
    assert [day for day, _ in by_day(made, start)] == [MONDAY]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 23), st.integers(0, 59))
def test_nothing_is_lost_whenever_a_dive_begins(hour, minute):
    dive = schedule(read_plan_text(plan(40, 20)).to_plan(RULES))
    parts = by_day(dive, datetime(2031, 12, 31, hour, minute))  # noqa: DTZ001 - local
    assert sum(otu for _, otu in parts) == pytest.approx(dive.oxygen.otu)


def test_days_in_a_row_are_counted_over_a_month_end():
    taken = {date(2032, 2, 28): 90.0, date(2032, 2, 29): 80.0, date(2032, 3, 1): 70.0}
    done = doses_by_day(taken)
    assert [day.day_of_run for day in done] == [1, 2, 3]
    assert [day.run_otu for day in done] == [90.0, 170.0, 240.0]


def test_an_idle_day_lowers_the_day_and_does_not_raise_the_sum():
    *_, last = doses_by_day(days(0, 1, 3))
    assert (last.day_of_run, last.dived_days) == (4, 3)
    assert (last.allowed_otu, last.allowed_run_otu) == (525.0, 1860.0)


@pytest.mark.parametrize(("offset", "day_of_run"), [(1, 2), (2, 3), (3, 1), (4, 1)])
def test_two_whole_days_without_a_dive_begin_a_run_anew(offset, day_of_run):
    assert doses_by_day(days(0, offset))[-1].day_of_run == day_of_run


def test_too_much_in_a_day_or_in_a_run_is_seen():
    assert not doses_by_day(days(0, otu=850.0))[0].over
    assert doses_by_day(days(0, otu=850.1))[0].over
    *_, last = doses_by_day({MONDAY: 840.0, MONDAY + timedelta(days=1): 570.0})
    assert last.otu < last.allowed_otu  # 570 of 700
    assert last.over  # 1410 of 1400


def test_what_is_brought_counts_on_the_first_day_and_in_the_run():
    first, second = doses_by_day(days(0, 1), Brought(otu_today=50.0, otu_before=300.0, day=4))
    assert (first.day_of_run, first.otu, first.run_otu) == (4, 150.0, 450.0)
    assert (second.day_of_run, second.otu, second.run_otu) == (5, 100.0, 550.0)


def test_the_table_ends_after_thirty_days():
    done = doses_by_day(days(*range(31), otu=1.0))
    assert not done[29].over
    assert done[30].over
