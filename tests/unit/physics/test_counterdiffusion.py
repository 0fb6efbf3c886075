"""The rule of fifths, and the helium that keeps it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.physics.counterdiffusion import counterdiffusion, helium_for_fifths
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water
from slatewright.sources import formula_named, working

WATER = Water()
FEW = settings(max_examples=60, deadline=None)


def test_the_commonest_switch_needs_five_percent_of_helium():
    # by hand: from 18/45 (nitrogen 37) to oxygen 50, (50 - 37 - 45 / 5) / 0.8 = 5
    assert helium_for_fifths(0.50, 0.37, 0.45) == pytest.approx(0.05, abs=1e-12)


def test_a_gas_that_keeps_the_rule_without_helium_needs_none():
    assert helium_for_fifths(0.80, 0.37, 0.45) == 0.0


@FEW
@given(st.floats(0.05, 0.4), st.floats(0.05, 0.95), st.floats(0.0, 1.0), st.floats(1.0, 120.0))
def test_that_helium_keeps_the_rule_and_less_does_not(o2_before, share, richer, depth_m):
    before = Mixture(o2_before, (1.0 - o2_before) * share)
    o2 = o2_before + (1.0 - o2_before) * richer * 0.98
    least = helium_for_fifths(o2, before.n2, before.he)
    assert least <= 1.0 - o2 + 1e-12
    enough = Mixture(o2, min(least + 1e-6, 1.0 - o2))
    assert not counterdiffusion(before, enough, depth_m, WATER).breaks_rule
    if least > 1e-3:
        assert counterdiffusion(before, Mixture(o2, least - 1e-3), depth_m, WATER).breaks_rule


@FEW
@given(st.floats(0.05, 0.9), st.floats(0.0, 0.9), st.floats(0.0, 1.0), st.floats(0.1, 0.9))
def test_no_step_between_keeps_a_rule_that_the_whole_change_breaks(
    o2_middle, he_middle, o2_after, he_after
):
    before, after = Mixture(0.10, 0.70), Mixture(0.10 + 0.4 * o2_after, 0.35 * he_after)
    middle = Mixture(o2_middle, min(he_middle, 0.999 - o2_middle))
    if not middle.he < before.he or not after.he < middle.he:
        return  # helium falls at each change; else there is no rule to keep
    if counterdiffusion(before, after, 20.0, WATER).breaks_rule:
        first = counterdiffusion(before, middle, 50.0, WATER).breaks_rule
        second = counterdiffusion(middle, after, 10.0, WATER).breaks_rule
        assert first or second


def test_it_can_be_shown_on_a_board():
    shown = working(formula_named("helium-for-fifths"), o2=0.5, n2_before=0.37, he_before=0.45)
    assert shown.result == pytest.approx(0.05, abs=1e-12)
