"""Schedules as they were when these lines were written: numbers without a source.

Nobody outside says that they are right; they were computed by the solver itself (and passed the
second check). They are here so that no change of the code moves a schedule without being noticed.
Where a change is meant to move one, the change log says by how much. All dives are invented.
"""

from __future__ import annotations

import math

import pytest

from kernel_answers import cases
from kernel_dives import air_case, stops
from slatewright.decompression.second_check import second_check

CASES = cases() | {"air": air_case(40.0, 25.0)}
WERE = {
    "plain": (51.0, 149.0 + 2 / 3, [0, 0, 1, 1, 1, 1, 3, 3, 5, 6, 4, 3, 6, 9, 13, 53]),
    "breaks": (54.0, 214.0 + 2 / 3, [0, 1, 1, 1, 1, 2, 3, 4, 5, 8, 9, 5, 6, 8, 13, 19, 82]),
    "idle breaks": (51.0, 179.0 + 2 / 3, [0, 0, 1, 1, 1, 1, 3, 3, 5, 6, 4, 3, 6, 9, 13, 83]),
    "arrival": (51.0, 149.0, [1, 2, 1, 2, 2, 3, 4, 6, 6, 4, 5, 6, 9, 14, 19, 35]),
    "loop": (30.0, 69.0 + 2 / 3, [0, 1, 0, 1, 1, 2, 3, 5, 24]),
    "feet": (18.288, 84.338667, [0, 1, 2, 5, 10, 25]),
    "lake": (15.0, 69.0 + 2 / 3, [0, 0, 2, 33]),
    "shallow": (3.0, 31.0 + 1 / 3, [0]),
    "air": (18.0, 71.0 + 2 / 3, [0, 0, 2, 3, 34]),
}


@pytest.mark.parametrize("name", WERE)
def test_a_schedule_is_what_it_was(name):
    case = CASES[name]
    first_stop_m, runtime_min, whole_min = WERE[name]
    solution = case.solve()
    assert solution.first_stop_m == pytest.approx(first_stop_m, abs=1e-9)
    assert solution.runtime_min == pytest.approx(runtime_min, abs=1e-5)
    assert [math.floor(minutes + 1e-9) for minutes in stops(solution).values()] == whole_min


@pytest.mark.parametrize("name", WERE)
def test_a_schedule_of_these_passes_the_second_check(name):
    case = CASES[name]
    solution = case.solve()
    verdict = second_check(
        solution.legs,
        case.water,
        case.settings,
        first_stop_m=solution.first_stop_m,
        ppo2_max_bar=lambda leg: math.inf,
        start=case.start,
        floor_bar=0.0,
    )
    assert verdict.passed, verdict.findings
