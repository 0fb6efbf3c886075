"""Leftovers: what their helium may be, and which use of them saves most."""

from __future__ import annotations

from decimal import Decimal

import pytest

from slatewright.errors import NoSafeAnswer
from slatewright.fill.leftovers import Known, UseKind, Wanted, helium_range, uses_of
from slatewright.fill.state import mol_to_reach, plus
from slatewright.physics.mixture import AIR, Mixture
from unit.fill.fillroom import PRICES, ROOM_K, cylinder, room

TX = Mixture(0.18, 0.45)


def test_the_oxygen_looks_unchanged_while_helium_is_gone():
    start = cylinder("21/35", 90.0).contents
    topped = plus(start, AIR, mol_to_reach(start, AIR, 12.0, ROOM_K, 233.0))
    assert topped.o2 == pytest.approx(0.21, abs=1e-9)
    low, high = helium_range(Mixture(0.21, 0.35), topped.o2)
    assert (low, high) == (0.0, 0.35)
    assert low <= topped.he <= high


@pytest.mark.parametrize("bar", [30.0, 90.0, 200.0])
def test_the_range_holds_what_topping_gives(bar):
    start = cylinder("18/45", bar).contents
    topped = plus(start, AIR, mol_to_reach(start, AIR, 12.0, ROOM_K, 233.0))
    low, high = helium_range(TX, topped.o2, o2_error=0.001)
    assert low - 1e-9 <= topped.he <= high + 1e-9
    assert high - low < 0.05  # an exact analyser narrows it


def test_a_point_of_error_leaves_helium_open():
    low, high = helium_range(TX, 0.19)
    # 18 to 20 % oxygen is 0 to 2/3 of air in it, by hand
    assert high == pytest.approx(0.45)
    assert low == pytest.approx(0.45 / 3.0)


def test_both_analysed_is_known_and_a_label_is_not():
    assert helium_range(TX, 0.18, known=Known.BOTH_ANALYSED) == (0.45, 0.45)
    assert helium_range(TX, 0.18, known=Known.LABEL) == (0.0, 0.45)


@pytest.mark.parametrize(("label", "read"), [("18/45", 0.30), ("18/45", 0.15), ("21/35", 0.25)])
def test_what_topping_cannot_explain_is_some_other_gas(label, read):
    with pytest.raises(NoSafeAnswer, match="not that mix"):
        helium_range(Mixture.parse(label), read)


WANTED = [
    Wanted("the ledge", Mixture(0.15, 0.55), 220.0),
    Wanted("the wall", Mixture(0.1, 0.7), 220.0),
]


def test_uses_are_ranked_by_what_they_save():
    uses = uses_of(cylinder("18/45", 90.0), WANTED, room(prices=PRICES), into=cylinder("air"))
    kinds = [use.kind for use in uses]
    assert set(kinds) == set(UseKind)
    saved = [use.saved or Decimal(0) for use in uses]
    assert saved == sorted(saved, reverse=True)
    best = uses[0]
    assert best.kind in {UseKind.NEXT_DIVE, UseKind.LATER_DIVE}
    assert best.saved > 0
    # at most the helium in it is saved: 90 bar of 45 % in 12 L, less what stays in when drained
    assert 400.0 < best.helium_saved_free_l < 12.0 * 90.0 * 0.45


def test_without_prices_helium_decides():
    uses = uses_of(cylinder("18/45", 90.0), WANTED, room())
    saved = [use.helium_saved_free_l for use in uses]
    assert saved == sorted(saved, reverse=True)
    assert all(use.saved is None for use in uses)


def test_a_rich_leftover_saves_little_for_a_lean_mix():
    uses = uses_of(cylinder("EAN80", 90.0), WANTED, room(prices=PRICES))
    for use in uses:
        assert use.helium_saved_free_l <= 1e-6


def test_what_is_not_known_needs_analysis():
    uses = uses_of(cylinder("18/45", 90.0), WANTED, room(), known=Known.OXYGEN_ANALYSED)
    assert all(use.needs_analysis for use in uses)


def test_decanting_says_what_goes_over():
    uses = uses_of(cylinder("18/45", 90.0), (), room(), into=cylinder("air", label="spare"))
    (decant,) = [use for use in uses if use.kind is UseKind.DECANT]
    assert "spare" in decant.text
    assert "43.9 bar" in decant.text  # two alike, one of them empty: half of 90, less by real gas
