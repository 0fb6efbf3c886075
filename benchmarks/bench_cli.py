"""Cold starts of the command, each a process of its own; the cache of compiled code is not used."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[1] / "examples"


def start(*words):
    subprocess.run([sys.executable, "-m", "slatewright", *words], check=True, capture_output=True)


@pytest.mark.parametrize(
    "words",
    [
        ("--help",),
        ("dive", str(EXAMPLES / "build-up-week" / "1-the-shelf.toml")),
        ("dive", str(EXAMPLES / "build-up-week" / "6-the-wall.toml")),
        ("explain", "operating-depth", "mix=10/70", "limit_bar=1.4"),
    ],
    ids=["help", "one dive", "six dives", "explain"],
)
def test_cold_start(benchmark, words):
    """Goal: one dive in under 1.0 s."""
    benchmark.pedantic(start, args=words, rounds=5, warmup_rounds=1)
