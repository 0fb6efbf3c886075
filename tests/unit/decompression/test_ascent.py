"""The way up, one rule a test. The dives are invented; limits come from the rules themselves."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from kernel_dives import DEEP_MIX, LEAN, Case, air_case, deep_case, stops
from plain_walk import PlainWalk
from slatewright.decompression.ascent import PlannedLeg, solve_ascent, solve_dive
from slatewright.decompression.batch import Batch
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.integration import track
from slatewright.decompression.ladder import AscentGas
from slatewright.decompression.leg import LegKind
from slatewright.decompression.outcome import Outcome
from slatewright.decompression.planned import planned_rows
from slatewright.decompression.settings import OxygenBreaks, WholeMinutes
from slatewright.decompression.tissues import Tissues
from slatewright.errors import InputError, NoSafeAnswer
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.water import Water


def breaks(on_min=12, off_min=6, *, counted=True):
    return {"breaks": OxygenBreaks(on_min, off_min, counted=counted)}


def test_levels_are_left_on_whole_minutes_of_the_run_time():
    solution = deep_case().solve()
    rises = [leg for leg in solution.legs if leg.kind is LegKind.ASCENT]
    below_first = [leg for leg in rises if leg.from_m <= solution.first_stop_m]
    assert len(below_first) > 10
    for leg in below_first:
        assert leg.start_min == pytest.approx(round(leg.start_min), abs=1e-9)


def test_stops_last_whole_minutes_from_arrival_by_house_rule():
    solution = deep_case(whole_minutes=WholeMinutes.ARRIVAL).solve()
    for depth_m, minutes in stops(solution).items():
        assert minutes == pytest.approx(round(minutes), abs=1e-9), depth_m
        assert minutes >= 1.0
    left_min = [leg.start_min for leg in solution.legs if leg.kind is LegKind.ASCENT]
    assert any(abs(minute - round(minute)) > 0.1 for minute in left_min)


def test_legs_join_and_end_at_the_surface():
    solution = deep_case().solve()
    for before, after in pairwise(solution.legs):
        assert after.start_min == pytest.approx(before.end_min, abs=1e-9)
        assert after.from_m == before.to_m
    assert solution.legs[-1].to_m == 0.0
    assert solution.runtime_min == pytest.approx(solution.legs[-1].end_min, abs=1e-9)


def test_during_the_minutes_of_a_change_the_gas_being_left_is_breathed():
    legs = deep_case().solve().legs
    changes = [(i, leg) for i, leg in enumerate(legs) if leg.switching]
    assert [(leg.to_m, str(leg.gas)) for _, leg in changes] == [
        (21.0, str(LEAN)),
        (21.0, str(DEEP_MIX)),
        (6.0, str(LEAN)),
    ]
    assert all(leg.minutes == 1.0 for _, leg in changes)
    assert [legs[i + 1].gas for i, _ in changes] == [DEEP_MIX, LEAN, OXYGEN]


def test_a_change_that_takes_no_time_leaves_no_leg():
    case = deep_case()
    quick = replace(case, gases=tuple(replace(gas, change_min=0.0) for gas in case.gases))
    on_the_way_up = [leg for leg in quick.solve().legs if leg.switching and leg.start_min > 5.0]
    assert on_the_way_up == []


def test_zones_have_their_own_rates():
    solution = deep_case(
        to_first_stop_m_per_min=10.0, between_stops_m_per_min=5.0, to_surface_m_per_min=2.0
    ).solve()
    for leg in solution.legs:
        if leg.kind is LegKind.ASCENT:
            rate = (leg.from_m - leg.to_m) / leg.minutes
            if leg.from_m > solution.first_stop_m:
                assert rate == pytest.approx(10.0)
            else:
                assert rate == pytest.approx(2.0 if leg.to_m == 0.0 else 5.0)


def test_a_dive_without_stops_only_rises():
    solution = air_case(15.0, 10.0, gradient_low=1.0, gradient_high=1.0).solve()
    assert solution.first_stop_m is None
    assert [leg.kind for leg in solution.legs] == [
        LegKind.DESCENT,
        LegKind.BOTTOM,
        LegKind.ASCENT,  # to the last stop
        LegKind.ASCENT,  # and on, at the last zone's rate
    ]


@pytest.mark.parametrize("from_m", [1.0, 2.9, 3.0, 4.0, 5.999999, 6.0, 7.3, 10.0, 44.44])
def test_an_ascent_may_begin_at_any_depth(from_m):
    solution = air_case(from_m, 12.0).solve()
    assert solution.legs[-1].to_m == 0.0
    assert solution.end.n2_bar[0] > 0.0
    ascent = [leg for leg in solution.legs if leg.kind is LegKind.ASCENT]
    assert ascent[0].from_m == from_m


def test_from_above_the_last_stop_stops_are_made_where_there_is_room():
    """4 m after hours: the last stop of 6 m lies below; the level at 3 m serves."""
    case = air_case(4.0, 10.0, gradient_low=0.3, gradient_high=0.3)
    loaded = Tissues((1.37,) * 16, (0.0,) * 16)
    solution = replace(case, start=loaded).solve()
    assert solution.first_stop_m == 3.0
    assert stops(solution)[3.0] > 60.0


def test_a_ceiling_below_the_first_level_is_refused():
    case = replace(air_case(4.0, 2.0), start=Tissues((3.0,) * 16, (0.0,) * 16))
    with pytest.raises(NoSafeAnswer, match="ceiling lies below"):
        case.solve()


def test_several_depths_on_the_bottom():
    case = deep_case()
    rise = PlannedLeg(LegKind.ASCENT, 90.0, 72.0, 2.0, 0)
    stay = PlannedLeg(LegKind.BOTTOM, 72.0, 72.0, 8.0, 0)
    longer = replace(case, planned=(*case.planned, rise, stay))
    solution = longer.solve()
    assert solution.legs[: len(longer.planned)][-1].to_m == 72.0
    assert solution.runtime_min > case.solve().runtime_min
    walk = PlainWalk(longer).walk()
    assert solution.runtime_min == pytest.approx(walk.run_min, abs=1e-6)


def test_tensions_left_from_an_earlier_dive_lengthen_the_stops():
    fresh = air_case(30.0, 30.0)
    again = replace(fresh, start=fresh.solve().end)
    assert again.solve().runtime_min > fresh.solve().runtime_min + 5.0


def test_altitude_lengthens_the_stops():
    sea = air_case(30.0, 30.0)
    lake = replace(sea, water=Water(surface_bar=0.8), start=sea.tissues)
    assert lake.solve().runtime_min > sea.solve().runtime_min


def test_a_moment_of_a_dive_and_the_whole_dive_agree():
    """The tensions at the end of the bottom come from the second check's integration."""
    case = deep_case()
    whole = case.solve()
    planned = whole.legs[: len(case.planned)]
    path = track(planned, case.water, case.tissues, coefficients("ZH-L16C"), step_m=3.0)
    held = path.tension_bar[-1].tolist()
    moment = solve_ascent(
        90.0, 20.0, 0, case.gases, case.rungs, case.settings, case.water,
        Tissues(tuple(held[:16]), tuple(held[16:])),
    )  # fmt: skip
    assert moment.first_stop_m == whole.first_stop_m
    assert [leg.minutes for leg in moment.legs] == pytest.approx(
        [leg.minutes for leg in whole.legs[len(planned) :]], abs=1e-9
    )
    assert moment.runtime_min == pytest.approx(whole.runtime_min, abs=1e-9)


def test_an_ascent_taken_up_between_the_stops_keeps_the_line():
    """From the first whole minute at each stop, with tensions of the second check's integration."""
    case = deep_case()
    whole = case.solve()
    checked = 0
    for stop in whole.legs:
        minute = math.ceil(stop.start_min - 1e-9)
        left_min = stop.end_min - minute
        if stop.kind is not LegKind.STOP or stop.switching or left_min < 1e-9:
            continue
        before = [leg for leg in whole.legs if leg.end_min <= stop.start_min + 1e-9]
        if minute > stop.start_min:
            before.append(replace(stop, minutes=minute - stop.start_min))
        path = track(before, case.water, case.tissues, coefficients("ZH-L16C"), step_m=3.0)
        held = path.tension_bar[-1].tolist()
        gas = next(i for i, hand in enumerate(case.gases) if hand.mix == stop.gas)
        rest = solve_ascent(
            stop.from_m, minute, gas, case.gases, case.rungs, case.settings, case.water,
            Tissues(tuple(held[:16]), tuple(held[16:])), first_stop_m=whole.first_stop_m,
        )  # fmt: skip
        assert rest.first_stop_m == whole.first_stop_m
        assert rest.runtime_min == pytest.approx(whole.runtime_min, abs=1e-9)
        assert [leg.minutes for leg in rest.legs[1:]] == pytest.approx(
            [leg.minutes for leg in whole.legs if leg.start_min > stop.start_min + 1e-9], abs=1e-9
        )
        checked += 1
    assert checked > 8


# --- breaks from oxygen


@pytest.mark.parametrize("counted", [True, False])
def test_an_ascent_that_a_break_follows_at_once_was_made_on_oxygen(counted):
    """The spell on oxygen is over when 3 m is reached: there the break begins on arrival."""
    case = air_case(
        53.0, 53.0 / 15.0 + 0.5, 15.0, last_stop_m=3.0, gradient_low=0.5, gradient_high=0.5,
        to_first_stop_m_per_min=3.0, between_stops_m_per_min=3.0, to_surface_m_per_min=1.0,
        switch_min=0.0, breaks=OxygenBreaks(1, 1, counted=counted),
    )  # fmt: skip
    gases = (*case.gases, AscentGas(OXYGEN, 6.8, 0.0, 0.0))
    legs = replace(case, gases=gases, breaks_on=0).solve().legs
    (rise,) = [leg for leg in legs if (leg.from_m, leg.to_m) == (6.0, 3.0)]
    after = next(leg for leg in legs if leg.start_min == pytest.approx(rise.end_min))
    assert after.pause
    assert after.gas != OXYGEN
    assert rise.gas == OXYGEN


def test_breaks_come_after_their_minutes_on_oxygen():
    legs = deep_case(**breaks()).solve().legs
    on_oxygen = next(i for i, leg in enumerate(legs) if leg.gas == OXYGEN)
    spells = [(leg.gas, leg.minutes, leg.pause) for leg in legs[on_oxygen : on_oxygen + 4]]
    # the change ended between two whole minutes: the first spell is cut, never drawn out
    assert spells[0] == (OXYGEN, pytest.approx(11.0 + 2.0 / 3.0), False)
    assert spells[1:] == [(LEAN, 6.0, True), (OXYGEN, 12.0, False), (LEAN, 6.0, True)]


def test_breaks_that_are_not_counted_cost_their_minutes():
    without = deep_case().solve().runtime_min
    counted = deep_case(**breaks()).solve().runtime_min
    idle = deep_case(**breaks(counted=False)).solve().runtime_min
    assert without < counted <= idle


def test_a_break_that_is_not_counted_lets_no_tension_fall():
    walk = PlainWalk(deep_case(**breaks(counted=False))).walk()
    solution = deep_case(**breaks(counted=False)).solve()
    assert solution.end.n2_bar == pytest.approx(walk.n2, abs=1e-9)
    assert solution.runtime_min == pytest.approx(walk.run_min, abs=1e-6)


def test_no_level_is_left_in_a_break_that_is_not_counted():
    legs = deep_case(**breaks(5, 8, counted=False)).solve().legs
    for before, after in pairwise(legs):
        assert not (before.pause and after.kind is LegKind.ASCENT)


def test_without_breaks_in_the_settings_a_ladder_s_gas_for_breaks_is_not_used():
    case = deep_case(**breaks())
    plain = case.having(breaks=None)
    solution = solve_dive(
        plain.planned, plain.gases, case.rungs, plain.settings, plain.water, plain.tissues
    )
    assert solution.legs == deep_case().solve().legs


# --- nothing loops for ever


def timed_refusal(case: Case) -> float:
    begin = time.perf_counter()
    with pytest.raises(NoSafeAnswer, match="does not end within 24 h"):
        case.solve()
    return time.perf_counter() - begin


def test_an_obligation_of_more_than_a_day_is_refused_quickly():
    saturated = Tissues((7.0,) * 16, (1.0,) * 16)
    case = replace(air_case(60.0, 100.0, gradient_low=0.05, gradient_high=0.05), start=saturated)
    assert timed_refusal(case) < 1.0


def test_a_gas_that_loads_is_no_way_out_and_does_not_loop():
    """At 40 m on air with compartments that may only hold less than air brings."""
    case = air_case(
        40.0, 700.0, gradient_low=0.05, gradient_high=0.05, stop_step_m=20.0, last_stop_m=40.0
    )
    assert timed_refusal(case) < 1.0


@pytest.mark.parametrize("counted", [True, False])
@pytest.mark.parametrize(("on_min", "off_min"), [(1, 1), (1, 60), (2, 200)])
def test_breaks_with_a_gas_that_loads_do_not_loop(on_min, off_min, counted):
    case = deep_case(90.0, **breaks(on_min, off_min, counted=counted))
    loads = replace(
        case, gases=(*case.gases[:1], AscentGas(Mixture(0.18), 22.0, 0.0), *case.gases[2:])
    )
    batch = Batch(loads.gases, [loads.rungs], loads.settings, loads.water, 90.0)
    begin = time.perf_counter()
    found = batch.solve_dives(planned_rows(loads.planned), loads.tissues)
    assert time.perf_counter() - begin < 1.0
    assert found.outcome_of(0) in {Outcome.SOLVED, Outcome.TOO_LONG}
    assert not found.runtime_min[0] > 90.0 + 1440.0 + 2.0 * off_min


# --- what cannot be solved is said before the kernel sees it


def test_a_ladder_made_for_a_shallower_dive_is_refused():
    case = deep_case()
    short = air_case(30.0, 10.0).rungs
    with pytest.raises(InputError, match="no gas somewhere on the way up from 90 m"):
        solve_ascent(90.0, 0.0, 0, case.gases, short, case.settings, case.water, case.tissues)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"gas": 7}, "a planned gas with the number"),
        ({"to_m": math.nan}, "a planned depth"),
        ({"to_m": 2000.0}, "a planned depth"),
        ({"minutes": -1.0}, "a planned time"),
        ({"kind": LegKind.SURFACE}, "cannot be planned"),
    ],
)
def test_a_planned_leg_out_of_range_is_refused(changes, message):
    case = air_case(30.0, 10.0)
    broken = replace(case, planned=(case.planned[0], replace(case.planned[1], **changes)))
    with pytest.raises(InputError, match=message):
        solve_dive(broken.planned, case.gases, case.rungs, case.settings, case.water, case.tissues)


def test_breaks_of_no_minutes_are_refused():
    with pytest.raises(InputError, match="1 min or more each"):
        deep_case(**breaks(0, 5)).solve()


def test_tensions_that_nobody_has_are_refused():
    case = replace(air_case(30.0, 10.0), start=Tissues((math.nan,) * 16, (0.0,) * 16))
    with pytest.raises(InputError, match="a tension"):
        case.solve()


def test_a_closed_circuit_stops_less_than_its_diluent_would():
    open_case = air_case(40.0, 30.0)
    loop = replace(open_case, gases=(AscentGas(AIR, 500.0, 0.0, setpoint_bar=1.3),))
    assert loop.solve().runtime_min < open_case.solve().runtime_min
    assert all(leg.setpoint_bar == 1.3 for leg in loop.solve().legs)
    assert np.sum(loop.solve().end.n2_bar) < np.sum(open_case.solve().end.n2_bar)
