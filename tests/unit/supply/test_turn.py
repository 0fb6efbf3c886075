"""Turning: by rule, matched by volume, read on each gauge."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem, bar_from_psi, psi_from_bar
from slatewright.supply.kit import TurnRule
from slatewright.supply.turn import readable_gauge_bar, turns

FEW = settings(max_examples=60, deadline=None)
amounts = st.lists(st.floats(1.0, 500.0), min_size=1, max_size=3)
rates = st.floats(10.0, 40.0)


@pytest.mark.parametrize(
    ("rule", "share"),
    [(TurnRule.ALL_USABLE, 1), (TurnRule.HALVES, 2), (TurnRule.THIRDS, 3), (TurnRule.SIXTHS, 6)],
)
def test_with_equal_breathing_a_rule_is_what_its_name_says(rule, share):
    for turn in turns([120.0, 120.0, 120.0], [18.0, 18.0, 18.0], rule):
        assert turn.use_mol == pytest.approx(120.0 / share)


def test_the_least_well_supplied_decides():
    # by thirds: 90 mol for one who breathes 15 with one of 20 beside: 90 x 15 / (30 + 20) = 27,
    # and 100 mol for the other, 100 x 20 / (40 + 15) = 36.4; 27 / 15 is less than 36.4 / 20
    small, big = turns([90.0, 100.0], [15.0, 20.0], TurnRule.THIRDS)
    assert (small.decides, big.decides) == (True, False)
    assert small.use_mol == pytest.approx(27.0)
    assert big.use_mol == pytest.approx(36.0)
    assert big.alone_mol == pytest.approx(2000.0 / 55.0)


@FEW
@given(st.data(), amounts, st.sampled_from(TurnRule))
def test_nobody_uses_more_than_the_own_rule_allows(data, usable, rule):
    rmv = [data.draw(rates) for _ in usable]
    found = turns(usable, rmv, rule)
    assert sum(turn.decides for turn in found) == 1
    ways = {round(turn.use_mol / rate, 9) for turn, rate in zip(found, rmv, strict=True)}
    assert len(ways) == 1
    for turn in found:
        assert turn.use_mol <= turn.alone_mol * (1 + 1e-12)
        assert turn.alone_mol <= turn.usable_mol * (1 + 1e-12)


@FEW
@given(st.data(), st.lists(st.floats(1.0, 500.0), min_size=2, max_size=3))
def test_by_thirds_each_brings_the_greediest_home_from_the_turn(data, usable):
    rmv = [data.draw(rates) for _ in usable]
    for i, turn in enumerate(turns(usable, rmv, TurnRule.THIRDS)):
        back = turn.use_mol  # one's own way back
        other = max(rate for j, rate in enumerate(rmv) if j != i)
        assert turn.use_mol + back + turn.use_mol * other / rmv[i] <= usable[i] * (1 + 1e-9)


def test_nothing_usable_is_no_way_for_anybody():
    assert [turn.use_mol for turn in turns([-5.0, 100.0], [18.0, 18.0], TurnRule.HALVES)] == [0, 0]


def test_a_diver_who_does_not_breathe_is_refused():
    with pytest.raises(InputError):
        turns([10.0], [0.0], TurnRule.HALVES)
    with pytest.raises(InputError):
        turns([], [], TurnRule.HALVES)


def test_gauges_are_rounded_up_to_what_can_be_read():
    assert readable_gauge_bar(121.2, UnitSystem.METRIC) == 125.0
    assert readable_gauge_bar(125.0, UnitSystem.METRIC) == 125.0
    assert psi_from_bar(readable_gauge_bar(bar_from_psi(1710.0), UnitSystem.IMPERIAL)) == (
        pytest.approx(1800.0)
    )
