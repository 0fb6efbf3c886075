"""The ascent on open circuit after a loop has failed, by hand and by another way."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.leg import LegKind
from slatewright.dive.bailout import (
    bailout_from,
    bailout_hands,
    bailout_way,
    first_stretch_m,
    moment_of,
    moments_of,
)
from slatewright.dive.schedule import schedule
from slatewright.errors import InputError, NoSafeAnswer
from slatewright.physics.mixture import Mixture
from unit.dive.plans import gas
from unit.dive.test_loop import dive_of

AT_1845, AT_50 = Mixture(0.18, 0.45), Mixture(0.5)


def test_the_tensions_of_a_moment_by_hand():
    # 40 m are reached after 2 min at 20 m/min, the setpoint is 1.2 from there on. Compartment 1b of
    # nitrogen, 5 min: on 21/35 the inert gas of the loop at 40 m is 5.01325 - 0.0627 - 1.2 bar,
    # 0.44 / 0.79 of it nitrogen; the descent is worked out in 20,000 small steps.
    dive = schedule(dive_of("21/35", depth_m=40.0, leave_at_min=20.0))
    half_time = coefficients("ZH-L16C").n2_half_time_min[0]
    k = math.log(2.0) / half_time
    tension = 0.7902 * (1.01325 - 0.0627)
    for step in range(20_000):
        dry = 1.01325 + 4.0 * (step + 0.5) / 20_000 - 0.0627
        inert = max(0.0, min(dry - 0.7, dry * 0.79))
        tension += k * (inert * 0.44 / 0.79 - tension) * 2.0 / 20_000
    inspired = (5.01325 - 0.0627 - 1.2) * 0.44 / 0.79
    tension = inspired + (tension - inspired) * math.exp(-k * 8.0)
    moment = moment_of(dive, 10.0)
    assert moment.at_m == 40.0
    assert moment.tissues.n2_bar[0] == pytest.approx(tension, abs=2e-5)


def test_each_gas_is_taken_where_it_may_be_breathed():
    plan = dive_of()
    hands = bailout_hands(plan)
    # 18/45 at 1.6 bar with 0.03 of tolerance: (1.63 / 0.18 - 1.01325) / 0.1 = 80.4 m; its floor is
    # the surface. EAN50: (1.63 / 0.5 - 1.01325) / 0.1 = 22.5 m
    assert [(g.mix, round(g.deepest_m, 1), g.shallowest_m) for g in hands] == [
        (AT_1845, 80.4, 0.0),
        (AT_50, 22.5, 0.0),
    ]
    assert all(g.setpoint_bar is None for g in hands)
    bailout = bailout_from(schedule(plan), 22.0)
    assert bailout.breathed == (AT_1845, AT_50)
    (switch,) = [leg for leg in bailout.legs if leg.switching]
    assert (switch.gas, switch.from_m, switch.minutes) == (AT_1845, 21.0, 1.0)
    assert all(leg.gas == AT_50 for leg in bailout.legs if leg.start_min >= switch.end_min)


def test_a_level_that_is_asked_for_is_kept():
    plan = dive_of()
    asked = replace(plan, gases=(*plan.gases[:2], gas("EAN50", "bailout", 18.0, 1.6)))
    (switch,) = [leg for leg in bailout_from(schedule(asked), 22.0).legs if leg.switching]
    assert switch.from_m == 18.0
    deep = replace(plan, gases=(*plan.gases[:2], gas("EAN50", "bailout", 30.0, 1.6)))
    with pytest.raises(NoSafeAnswer, match=r"no deeper than 22\.4 m"):
        bailout_hands(deep)


@pytest.mark.parametrize(
    ("from_m", "to_m"),
    [
        (66.0, 63.0),
        (65.0, 63.0),
        (9.0, 6.0),
        (6.0, 0.0),
        (7.0, 6.0),
        (4.0, 3.0),
        (3.0, 0.0),
        (2.0, 0.0),
    ],
)
def test_how_far_up_the_first_gas_must_be_breathable(from_m, to_m):
    assert first_stretch_m(dive_of(), from_m) == to_m


def test_a_gas_that_is_lost_is_not_breathed():
    dive = schedule(dive_of())
    whole, without = bailout_from(dive, 22.0), bailout_from(dive, 22.0, lost=[AT_50])
    assert without.breathed == (AT_1845,)
    assert without.minutes > whole.minutes
    with pytest.raises(NoSafeAnswer, match="nothing to breathe from 66 m up to 63 m"):
        bailout_from(dive, 22.0, lost=[AT_1845])


def test_minutes_of_a_problem_are_breathed_at_depth_and_count():
    dive = schedule(dive_of())
    at_once, later = bailout_from(dive, 22.0), bailout_from(dive, 22.0, problem_min=2.0)
    problem = later.legs[0]
    assert (problem.kind, problem.from_m, problem.to_m) == (LegKind.BOTTOM, 66.0, 66.0)
    assert (problem.start_min, problem.end_min, problem.gas) == (22.0, 24.0, AT_1845)
    assert later.legs[1].start_min == 24.0
    assert later.minutes > at_once.minutes + 2.0
    assert later.legs[-1].to_m == at_once.legs[-1].to_m == 0.0


def test_open_circuit_takes_longer_than_the_loop_at_its_setpoint():
    dive = schedule(dive_of(bailout=("18/45",)))
    assert bailout_from(dive, 22.0).solution.runtime_min > dive.runtime_min


def test_on_the_way_up_the_line_of_the_dive_is_kept():
    dive = schedule(dive_of())
    stop = next(leg for leg in dive.legs if leg.kind is LegKind.STOP and leg.minutes > 1.0)
    assert moment_of(dive, stop.end_min).first_stop_m == dive.first_stop_m
    assert moment_of(dive, 22.0).first_stop_m is None


def test_several_moments_at_once_are_the_same():
    dive = schedule(dive_of())
    minutes = [2.0, 3.5, 22.0, 40.0]
    for found, minute in zip(moments_of(dive, minutes), minutes, strict=True):
        alone = moment_of(dive, minute)
        assert (found.at_min, found.at_m) == (minute, alone.at_m)
        assert found.tissues.he_bar == pytest.approx(alone.tissues.he_bar)
        assert found.tissues.n2_bar == pytest.approx(alone.tissues.n2_bar)


@pytest.mark.parametrize("at_min", [0.0, 1e4])
def test_at_the_surface_there_is_nothing_to_solve(at_min):
    with pytest.raises(InputError):
        moment_of(schedule(dive_of()), at_min)


def test_the_way_alone_knows_depths_and_no_tensions():
    way = bailout_way(dive_of(), 66.0)
    assert way.gases[way.first].mix == AT_1845
    assert way.rungs.gas_at_level[7] == 1  # EAN50 from 21 m on
    assert way.rungs.gas_at_level[8] == 0
