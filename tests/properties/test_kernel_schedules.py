"""What holds for every schedule, over random dives."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kernel_dives import cases, stops
from plain_walk import PlainWalk
from slatewright.decompression.batch import Batch
from slatewright.decompression.planned import planned_rows, rows_until
from slatewright.decompression.second_check import could_leave_earlier, second_check
from slatewright.errors import NoSafeAnswer
from slatewright.physics.units import m_from_feet


def solved(case):
    try:
        return case.solve()
    except NoSafeAnswer:
        assume(False)


@settings(max_examples=40, deadline=None)
@given(cases())
def test_every_schedule_passes_the_second_check_and_no_stop_can_lose_a_minute(case):
    solution = solved(case)
    judged = (solution.legs, case.water, case.settings)
    given_ = {"first_stop_m": solution.first_stop_m, "start": case.start}
    verdict = second_check(*judged, **given_, ppo2_max_bar=lambda leg: math.inf, floor_bar=0.0)
    assert verdict.passed, verdict.findings
    for index, leg in enumerate(solution.legs):
        assert not could_leave_earlier(solution.legs, index, *judged[1:], **given_), leg


@settings(max_examples=40, deadline=None)
@given(cases(loops=False))
def test_the_search_finds_what_a_walk_of_every_minute_finds(case):
    solution = solved(case)
    walk = PlainWalk(case).walk()
    step_m = case.settings.stop_step_m
    assert (solution.first_stop_m or 0.0) == pytest.approx(walk.first_stop * step_m, abs=1e-6)
    ours = {round(depth_m / step_m): minutes for depth_m, minutes in stops(solution).items()}
    assert ours == pytest.approx(walk.stop_min, abs=1e-6)
    assert solution.runtime_min == pytest.approx(walk.run_min, abs=1e-6)
    assert solution.end.n2_bar == pytest.approx(walk.n2, abs=1e-9)
    assert solution.end.he_bar == pytest.approx(walk.he, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(cases())
def test_a_batch_is_the_single_solver_to_the_last_digit(case):
    solution = solved(case)
    batch = Batch(case.gases, [case.rungs], case.settings, case.water, 95.0, threads=2)
    rows = np.repeat(planned_rows(case.planned)[np.newaxis], 3, axis=0)
    found = batch.solve_dives(rows, case.tissues, keep_ends=True, keep_legs=True)
    ends = np.array(solution.end.n2_bar + solution.end.he_bar)
    for dive in range(3):
        assert found.legs_of(dive) == solution.legs
        assert found.runtime_min[dive] == solution.runtime_min
        assert found.first_stop_m[dive] == (solution.first_stop_m or 0.0)
        assert np.array_equal(found.end_bar[dive], ends)
        by_depth = stops(solution)
        for level, minutes in enumerate(found.stop_min[dive]):
            depth_m = round(level * case.settings.stop_step_m, 6)
            assert minutes == pytest.approx(by_depth.get(depth_m, 0.0), abs=1e-12)


@settings(max_examples=20, deadline=None)
@given(cases(), st.lists(st.floats(0.01, 1.0), min_size=1, max_size=5))
def test_ascents_from_moments_are_those_of_dives_cut_off_there(case, shares):
    at_min = np.array(sorted(shares)) * case.bottom_min
    cut = rows_until(planned_rows(case.planned), at_min)
    batch = Batch(case.gases, [case.rungs], case.settings, case.water, 95.0)
    dives = batch.solve_dives(cut, case.tissues, keep_ends=True)
    for dive in np.flatnonzero(dives.outcome == 0):
        planned = [
            replace(leg, to_m=float(row[2]), minutes=float(row[3]))
            for leg, row in zip(case.planned, cut[dive], strict=True)
            if row[3] > 0.0
        ]
        single = replace(case, planned=tuple(planned)).solve()
        assert dives.runtime_min[dive] == single.runtime_min
        assert dives.end_bar[dive].tolist() == list(single.end.n2_bar + single.end.he_bar)


@settings(max_examples=30, deadline=None)
@given(cases(), st.floats(0.05, 0.95), st.integers(0, 5))
def test_splitting_a_leg_in_two_changes_nothing(case, share, which):
    index = which % len(case.planned)
    leg = case.planned[index]
    middle_m = leg.from_m + (leg.to_m - leg.from_m) * share
    halves = (
        replace(leg, to_m=middle_m, minutes=leg.minutes * share),
        replace(leg, from_m=middle_m, minutes=leg.minutes * (1.0 - share)),
    )
    split = replace(case, planned=(*case.planned[:index], *halves, *case.planned[index + 1 :]))
    whole, parts = solved(case), split.solve()
    assert stops(parts) == pytest.approx(stops(whole), abs=1e-9)
    assert parts.end.n2_bar == pytest.approx(whole.end.n2_bar, abs=1e-12)
    assert parts.end.he_bar == pytest.approx(whole.end.he_bar, abs=1e-12)


@settings(max_examples=20, deadline=None)
@given(cases(3.048, breaks=False), st.integers(2, 30))
def test_a_plan_in_feet_is_the_plan_in_metres_on_the_same_levels(case, tens_of_feet):
    """10 ft levels, depths and rates in feet, against the same entered in metres."""
    depth_m = m_from_feet(10.0 * tens_of_feet)
    metric_m = round(3.048 * tens_of_feet, 3)
    in_feet, in_metres = (
        replace(
            case.having(stop_step_m=step, last_stop_m=2.0 * step, to_first_stop_m_per_min=rate),
            planned=(
                replace(case.planned[0], to_m=to_m, minutes=to_m / rate),
                replace(case.planned[1], from_m=to_m, to_m=to_m),
            ),
        )
        for step, rate, to_m in (
            (m_from_feet(10.0), m_from_feet(30.0), depth_m),
            (3.048, 9.144, metric_m),
        )
    )
    feet, metres = solved(in_feet), in_metres.solve()
    assert feet.first_stop_m == metres.first_stop_m
    assert stops(feet) == pytest.approx(stops(metres), abs=1e-9)
    assert feet.runtime_min == pytest.approx(metres.runtime_min, abs=1e-9)
