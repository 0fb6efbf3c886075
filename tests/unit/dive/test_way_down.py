"""The planned legs: down with travel gases, stays, and changes of bottom gas between them."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.dive.gases import locker
from slatewright.dive.plan import CarriedGas, Level, Use
from slatewright.dive.schedule import schedule
from slatewright.dive.way_down import way_down
from slatewright.physics.mixture import Mixture
from unit.dive.plans import gas, hypoxic_dive, oxygen_in, plan_of, refusal

LEAN, RICH = Mixture(0.10, 0.70), Mixture(0.5)


def legs_of(plan):
    """Return the planned legs as kind, from, to, minutes, mixture."""
    gases = locker(plan)
    return [
        (leg.kind, leg.from_m, leg.to_m, pytest.approx(leg.minutes), gases.mixes[leg.gas])
        for leg in way_down(plan, gases).legs
    ]


def test_down_on_the_travel_gas_a_change_and_the_stay():
    # 20 m/min: 12 m in 0.6 min, a minute of change on the gas being left, 78 m in 3.9 min
    assert legs_of(hypoxic_dive()) == [
        (LegKind.DESCENT, 0.0, 12.0, 0.6, RICH),
        (LegKind.STOP, 12.0, 12.0, 1.0, RICH),
        (LegKind.DESCENT, 12.0, 90.0, 3.9, LEAN),
        (LegKind.BOTTOM, 90.0, 90.0, 14.5, LEAN),
    ]


def test_a_change_that_takes_no_time_has_no_leg():
    legs = legs_of(hypoxic_dive(ascent={"switch_min": 0.0}))
    assert [leg[0] for leg in legs] == [LegKind.DESCENT, LegKind.DESCENT, LegKind.BOTTOM]


def test_bottom_time_counts_from_leaving_the_surface():
    plan = hypoxic_dive()
    assert sum(leg.minutes for leg in way_down(plan, locker(plan)).legs) == pytest.approx(20.0)


@pytest.mark.parametrize(("leave_min", "earliest"), [(4.0, 6), (5.0, 6)])
def test_a_stay_that_cannot_be_reached_in_time_is_refused(leave_min, earliest):
    plan = hypoxic_dive()
    late = replace(plan, levels=(Level(90.0, leave_min),))
    reason = refusal(late)
    assert "90 m is reached at 5.5 min" in reason.what
    assert reason.cure == f"leave it at {earliest} min or later"
    assert schedule(replace(plan, levels=(Level(90.0, float(earliest)),))).verdict.passed


def test_a_stay_that_ends_on_arrival_is_one_without_length():
    dive = schedule(replace(hypoxic_dive(), levels=(Level(90.0, 5.5),)))
    assert dive.verdict.passed
    assert LegKind.BOTTOM not in {leg.kind for leg in dive.legs}


def test_a_stay_that_is_over_before_the_gas_is_changed_there_is_refused():
    gases = [gas("10/70", "bottom"), gas("EAN32", "travel", 31.0), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(31.0, 2.55)])
    reason = refusal(plan)
    assert "and the gas changed there" in reason.what
    assert reason.cure == "leave it at 3 min or later"
    assert schedule(plan_of(gases, [(31.0, 3.0)])).verdict.passed


TWO = [
    gas("10/70", "bottom"),
    gas("18/45", "bottom"),
    gas("EAN50", "travel", 15.0),
    gas("EAN50", "decompression"),
]


def test_gas_is_changed_before_going_down_to_a_deeper_stay():
    plan = plan_of(TWO, [(40.0, 10.0), (90.0, 20.0)])
    legs = legs_of(plan)
    assert legs[-4:] == [
        (LegKind.BOTTOM, 40.0, 40.0, pytest.approx(7.0), Mixture(0.18, 0.45)),
        (LegKind.STOP, 40.0, 40.0, 1.0, Mixture(0.18, 0.45)),
        (LegKind.DESCENT, 40.0, 90.0, 2.5, LEAN),
        (LegKind.BOTTOM, 90.0, 90.0, 6.5, LEAN),
    ]


def test_gas_is_changed_after_coming_up_to_a_shallower_stay():
    plan = plan_of(TWO, [(90.0, 10.0), (60.0, 20.0)])
    legs = legs_of(plan)
    assert legs[-3:] == [
        (LegKind.ASCENT, 90.0, 60.0, pytest.approx(30.0 / 9.0), LEAN),
        (LegKind.STOP, 60.0, 60.0, 1.0, LEAN),
        (LegKind.BOTTOM, 60.0, 60.0, pytest.approx(10.0 - 30.0 / 9.0 - 1.0), Mixture(0.18, 0.45)),
    ]
    assert schedule(plan).verdict.passed


@pytest.mark.parametrize("levels", [[(6.0, 5.0), (40.0, 12.0)], [(20.0, 3.0), (6.0, 30.0)]])
def test_where_the_leaner_gas_is_hypoxic_at_the_shallow_stay_it_is_changed_between(levels):
    gases = [gas("10/70", "bottom"), gas("EAN50", "bottom"), gas("EAN50", "travel", 15.0),
             gas("EAN50", "decompression")]  # fmt: skip
    plan = plan_of(gases, levels)
    dive = schedule(plan)
    assert dive.verdict.passed, dive.verdict.findings
    changes = [
        leg.from_m for leg in dive.legs if leg.switching and leg.end_min < dive.bottom_left_min
    ]
    assert changes[-1] == 9.0  # the first level below the floor of 7.9 m


def test_two_stays_without_a_depth_for_the_change_are_refused():
    # 4/90 from 34.9 m down, EAN50 to 18.5 m
    gases = [gas("4/90", "bottom"), gas("EAN50", "bottom"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(15.0, 5.0), (60.0, 12.0)])
    reason = refusal(plan)
    assert "no depth at which EAN50 can be left for 4/90" in reason.what
    for o2 in oxygen_in(reason.cure):
        one = CarriedGas(Mixture(o2, 0.5), Use.BOTTOM, 1.4)
        cured = replace(plan, gases=(one, gas("EAN32", "travel"), gas("EAN50", "decompression")))
        assert schedule(cured).verdict.passed
    alone = plan_of(gases, [(15.0, 20.0)])
    assert schedule(alone).verdict.passed


def test_planned_legs_join():
    plan = plan_of(TWO, [(40.0, 10.0), (90.0, 20.0), (70.0, 26.0)])
    legs = way_down(plan, locker(plan)).legs
    assert legs[0].from_m == 0.0
    assert all(after.from_m == before.to_m for before, after in pairwise(legs))
    assert min(leg.minutes for leg in legs) > 0.0
