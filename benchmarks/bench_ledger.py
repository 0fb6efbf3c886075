"""How long ten thousand futures of five years take, and a comparison with its sensitivity."""

from __future__ import annotations

from pathlib import Path

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.ledger.futures import simulate
from slatewright.ledger.verdict import compare
from slatewright.ledger.waysfile import read_ways

EXAMPLE = Path(__file__).parents[1] / "examples" / "ledger" / "ways.toml"


@pytest.fixture(scope="module")
def ways():
    return read_ways(EXAMPLE, HouseRules())


def test_ten_thousand_futures_of_five_years(benchmark, ways):
    futures = benchmark.pedantic(simulate, (ways, 10_000), rounds=5, warmup_rounds=1)
    assert futures.count == 10_000
    assert len(futures.dives) == 61


def test_a_whole_comparison(benchmark, ways):
    assert benchmark.pedantic(compare, (ways, 10_000), rounds=3, warmup_rounds=1).sentences
