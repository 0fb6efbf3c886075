"""The way home of the demo dive: a team of three, every failure, all pairs of lost gases."""

from __future__ import annotations

import tracemalloc
from functools import cache
from pathlib import Path

import pytest

from slatewright.dive.chain import schedules_of
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import read_chain
from slatewright.supply.team import team_of
from slatewright.supply.wayhome import Columns, FailureKind, way_home

DEMO = Path(__file__).parents[1] / "examples" / "build-up-week" / "6-the-wall.toml"
MOST_BYTES = 200e6


@cache
def demo():
    rules = HouseRules()
    team = team_of(read_chain(DEMO)[-1].plan, rules, DEMO)
    return schedules_of(DEMO, rules)[-1], team


@pytest.mark.parametrize("columns", Columns, ids=lambda columns: columns.name.lower())
def test_grid(benchmark, columns):
    """Goal: minutes to the end of the bottom and each stop in under 100 ms on two cores."""
    dive, team = demo()
    grid = benchmark.pedantic(
        way_home, args=(dive, team), kwargs={"columns": columns}, rounds=10, warmup_rounds=2
    )
    assert len(grid.failures) >= 12
    assert sum(failure.kind is FailureKind.PAIR_LOST for failure in grid.failures) == 3


def test_memory(benchmark):
    """Goal: the whole grid takes less than 200 MB at its peak, beyond the program itself."""
    dive, team = demo()
    way_home(dive, team)
    tracemalloc.start()
    benchmark.pedantic(way_home, args=(dive, team), rounds=1)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    benchmark.extra_info["peak_mb"] = round(peak / 1e6)
    assert peak < MOST_BYTES
