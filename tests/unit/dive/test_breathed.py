"""ppO2 and density along a dive, against figures by hand."""

from __future__ import annotations

import itertools

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.dive.breathed import breathed_along
from slatewright.dive.schedule import schedule
from unit.dive.plans import gas, plan_of


def test_figures_at_the_ends_are_those_by_hand():
    dive = schedule(
        plan_of([gas("18/45", "bottom"), gas("EAN50", "decompression")], [(60.0, 20.0)])
    )
    along = breathed_along(dive)
    assert [one.leg for one in along] == list(dive.legs)
    bottom = next(one for one in along if one.leg.kind is LegKind.BOTTOM)
    # by hand: 0.18 * (1.01325 + 6.0) bar
    assert bottom.ppo2_end_bar == pytest.approx(1.262385, abs=1e-6)
    # by hand: molar mass 0.18*31.9988 + 0.45*4.0026 + 0.37*28.01 = 17.92 g/mol to 17.99 with the
    # argon of air; at 0 degC and 7.01325 bar 17.95 * 7.01325 / (0.08314463 * 273.15) = 5.54 g/L
    assert bottom.density_start_g_per_l == pytest.approx(5.54, abs=0.03)
    assert bottom.limit_bar == 1.4
    rich = next(one for one in along if str(one.leg.gas) == "EAN50" and not one.leg.switching)
    assert rich.limit_bar == 1.6
    assert rich.ppo2_start_bar == pytest.approx(0.5 * (1.01325 + 2.1), abs=1e-6)


def test_a_leg_begins_with_the_depth_at_which_the_one_before_ended():
    dive = schedule(plan_of([gas("18/45", "bottom")], [(50.0, 15.0)]))
    along = breathed_along(dive)
    for before, after in itertools.pairwise(along):
        if before.leg.gas == after.leg.gas:
            assert before.ppo2_end_bar == pytest.approx(after.ppo2_start_bar)
            assert before.density_end_g_per_l == pytest.approx(after.density_start_g_per_l)
