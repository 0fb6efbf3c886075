"""The solver's figures: schedules a second, memory of a million dives, first and later starts.

The dive: 90 m on 12/65, travel gas EAN50 to 21 m, decompression gases EAN50 at 21 m and oxygen at
6 m, gradient factors 30/80, 3 m steps, last stop 6 m, ascents at 9 m/min, one minute at each
change of gas. Bottom time counts from leaving the surface, 20 minutes, with a descent at 30
m/min: 130 minutes of ascent. Two variants besides: a descent at 9 m/min too (11 minutes of it, 98
of ascent), and 20 minutes at 90 m after the descent at 30 m/min (24 minutes when leaving, 170 of
ascent).
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from slatewright.decompression.batch import Batch
from slatewright.decompression.ladder import AscentGas, ladder
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import air_saturated
from slatewright.physics.mixture import OXYGEN, Mixture
from slatewright.physics.water import Water

GASES = (
    AscentGas(Mixture(0.12, 0.65), 500.0, 5.0),
    AscentGas(Mixture(0.50), 22.0, 0.0),
    AscentGas(OXYGEN, 6.4, 0.0),
)
SETTINGS = AscentSettings()
WATER = Water()
START = air_saturated(WATER.surface_bar)
MANY = 50_000
MOST_BATCH_MIB = 1024.0
SOURCE = Path(__file__).parents[1] / "src"


def rows(descent_m_per_min=30.0, run_min=20.0, at_depth_min=None):
    to_switch_min, to_bottom_min = 21.0 / descent_m_per_min, 69.0 / descent_m_per_min
    if at_depth_min is None:
        at_depth_min = run_min - to_switch_min - 1.0 - to_bottom_min
    return np.array(
        [
            [0.0, 0.0, 21.0, to_switch_min, 1.0],
            [4.0, 21.0, 21.0, 1.0, 1.0],
            [0.0, 21.0, 90.0, to_bottom_min, 0.0],
            [1.0, 90.0, 90.0, at_depth_min, 0.0],
        ]
    )


DIVES = {
    "20 min from the surface": (rows(), 130.0),
    "descent at 9 m per min": (rows(descent_m_per_min=9.0), 98.0),
    "20 min at 90 m": (rows(at_depth_min=20.0), 170.0),
}


def varied(planned, count):
    """Return dives of which no two stay equally long, within a quarter of an hour."""
    dives = np.repeat(planned[np.newaxis], count, axis=0)
    dives[:, 3, 3] += np.random.default_rng(1).uniform(-5.0, 10.0, count)
    return dives


def batch(threads):
    return Batch(GASES, [ladder(GASES, 0, 90.0, SETTINGS)], SETTINGS, WATER, 90.0, threads=threads)


@pytest.mark.parametrize("threads", [1, 2], ids=["one core", "two cores"])
@pytest.mark.parametrize("dive", DIVES)
def test_fifty_thousand_schedules(benchmark, dive, threads):
    planned, ascent_min = DIVES[dive]
    dives = np.repeat(planned[np.newaxis], MANY, axis=0)
    solver = batch(threads)
    solver.solve_dives(dives[:10], START)
    found = benchmark.pedantic(
        solver.solve_dives, (dives, START), rounds=15, warmup_rounds=1, iterations=1
    )
    told(benchmark)
    assert found.runtime_min[0] - planned[:, 3].sum() == pytest.approx(ascent_min, abs=0.5)


@pytest.mark.parametrize("threads", [1, 2], ids=["one core", "two cores"])
def test_fifty_thousand_different_schedules(benchmark, threads):
    dives = varied(rows(), MANY)
    solver = batch(threads)
    solver.solve_dives(dives[:10], START)
    benchmark.pedantic(solver.solve_dives, (dives, START), rounds=15, warmup_rounds=1, iterations=1)
    told(benchmark)


def test_three_thousand_ascents_with_their_legs(benchmark):
    """What a grid of ways home asks for."""
    dives = varied(rows(), 3000)
    solver = batch(2)
    benchmark.pedantic(
        solver.solve_dives, (dives, START), {"keep_legs": True}, rounds=20, warmup_rounds=1
    )


def told(benchmark):
    benchmark.extra_info["schedules a second"] = round(MANY / benchmark.stats.stats.min)
    benchmark.extra_info["microseconds each"] = round(benchmark.stats.stats.min / MANY * 1e6, 2)


def run(code, **environment):
    done = subprocess.run(
        [sys.executable, "-c", code],
        env=os.environ
        | {"PYTHONPATH": os.pathsep.join([str(SOURCE), str(Path(__file__).parent)])}
        | environment,
        capture_output=True,
        check=False,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("dives", ["same", "different"])
def test_memory_of_a_million_dives(benchmark, dives):
    """Peak of the whole process, the dives themselves included [MiB]."""
    code = (
        "import resource, numpy as np, bench_kernel as b\n"
        "planned = b.varied(b.rows(), 1_000_000) if {different} else b.rows()\n"
        "low = np.full(1_000_000, 0.3)\n"
        "found = b.batch(2).solve_dives(planned, b.START, gradients=(low, 0.8))\n"
        "assert (found.outcome == 0).all() and len(found) == 1_000_000\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)"
    ).format(different=dives == "different")
    peak_mib = float(benchmark.pedantic(run, (code,), rounds=1, iterations=1))
    benchmark.extra_info["peak MiB"] = round(peak_mib)
    assert peak_mib < MOST_BATCH_MIB


ONE_DIVE = """
from slatewright.decompression.ascent import PlannedLeg, solve_dive
from slatewright.decompression.ladder import AscentGas, ladder
from slatewright.decompression.leg import LegKind
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import air_saturated
from slatewright.physics.mixture import AIR
from slatewright.physics.water import Water

legs = [PlannedLeg(LegKind.DESCENT, 0.0, 30.0, 1.5, 0), PlannedLeg(LegKind.BOTTOM, 30.0, 30.0, 20.0, 0)]
gases, settings, water = [AscentGas(AIR, 60.0, 0.0)], AscentSettings(), Water()
rungs = ladder(gases, 0, 30.0, settings)
solve_dive(legs, gases, rungs, settings, water, air_saturated(water.surface_bar))
"""  # noqa: E501 - a program


def test_one_dive_in_a_fresh_process_with_compiled_code_at_hand(benchmark):
    run(ONE_DIVE)
    benchmark.pedantic(run, (ONE_DIVE,), rounds=5, iterations=1)


def test_one_dive_in_a_fresh_process_interpreted(benchmark):
    benchmark.pedantic(run, (ONE_DIVE,), {"NUMBA_DISABLE_JIT": "1"}, rounds=5, iterations=1)


def test_the_very_first_dive_with_compilation(benchmark, tmp_path):
    benchmark.pedantic(run, (ONE_DIVE,), {"XDG_CACHE_HOME": str(tmp_path)}, rounds=1, iterations=1)
