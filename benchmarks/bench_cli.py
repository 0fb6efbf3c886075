"""Cold starts of the command, each a process of its own, with the compiled kernel in its cache.

A plan without cylinders runs the kernel interpreted; one with cylinders asks for thousands of
ascents, and runs it compiled. Python keeps its bytecode, as it does of a package that is installed.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[1] / "examples"
SHELF = EXAMPLES / "build-up-week" / "1-the-shelf.toml"
WALL = EXAMPLES / "build-up-week" / "6-the-wall.toml"
ALONE = """schema = "slatewright/plan/1"
title = "The saddle, 50 m"
units = "metric"
[[gas]]
mix = "18/45"
use = "bottom"
[[gas]]
mix = "EAN50"
use = "decompression"
[[level]]
depth_m = 50
leave_at_min = 25
"""


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """Return what runs the command; with bytecode kept, whatever this process was told."""
    kept = {"PYTHONPYCACHEPREFIX": str(tmp_path_factory.mktemp("bytecode"))}
    kept |= {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}

    def run(*words, env=None):
        subprocess.run(
            [sys.executable, "-m", "slatewright", *map(str, words)],
            check=True,
            capture_output=True,
            env=kept | (env or {}),
        )

    run("dive", SHELF)
    return run


@pytest.mark.parametrize(
    "words",
    [
        ("--help",),
        ("dive", SHELF),
        ("dive", WALL),
        ("wayhome", WALL),
        ("explain", "operating-depth", "mix=10/70", "limit_bar=1.4"),
    ],
    ids=[
        "help",
        "one dive with cylinders",
        "six dives, the last with cylinders",
        "way home of the last of six dives",
        "explain",
    ],
)
def test_cold_start(benchmark, start, words):
    """Goal: one dive in under 1.0 s."""
    benchmark.pedantic(start, args=words, rounds=5, warmup_rounds=1)


def test_cold_start_without_cylinders(benchmark, start, tmp_path):
    """Goal: under 1.0 s."""
    plan = tmp_path / "alone.toml"
    plan.write_text(ALONE, encoding="utf-8")
    benchmark.pedantic(start, args=("dive", plan), rounds=5, warmup_rounds=1)


def test_first_run_ever(benchmark, start, tmp_path):
    """Goal: under 15 s, compilation of the kernel included."""
    env = {"XDG_CACHE_HOME": str(tmp_path)}
    benchmark.pedantic(start, args=("dive", SHELF), kwargs={"env": env}, rounds=1)
