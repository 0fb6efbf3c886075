"""Conversions, and labels that round to the safe side."""

from __future__ import annotations

import math

import pytest

from slatewright.errors import InputError
from slatewright.physics import units as u
from slatewright.physics.units import Side, UnitSystem

METRIC, IMPERIAL = UnitSystem.METRIC, UnitSystem.IMPERIAL


@pytest.mark.parametrize(
    ("there", "back"),
    [
        (u.feet_from_m, u.m_from_feet),
        (u.psi_from_bar, u.bar_from_psi),
        (u.pounds_from_kg, u.kg_from_pounds),
        (u.cubic_feet_from_l, u.l_from_cubic_feet),
        (lambda bar: u.fsw_from_bar(bar, 33.0), lambda fsw: u.bar_from_fsw(fsw, 33.0)),
    ],
)
def test_there_and_back(there, back):
    assert back(there(123.4)) == pytest.approx(123.4, rel=1e-14)
    assert there(1.0) != 1.0


def test_thirty_three_feet_of_sea_water_are_an_atmosphere():
    assert u.fsw_from_bar(1.01325, u.FSW_PER_ATM_ROUND) == pytest.approx(33.0)
    assert u.bar_from_fsw(33.08, u.FSW_PER_ATM_NAVY) == pytest.approx(1.01325)


@pytest.mark.parametrize(
    ("depth_m", "units", "side", "label"),
    [
        (56.9, METRIC, Side.SHALLOW, "56 m"),
        (56.9, METRIC, Side.DEEP, "57 m"),
        (8.0, METRIC, Side.DEEP, "8 m"),
        (39.99999999999, METRIC, Side.SHALLOW, "40 m"),
        (8.00000000001, METRIC, Side.DEEP, "8 m"),
        (30.48, IMPERIAL, Side.SHALLOW, "100 ft"),
        (30.48, IMPERIAL, Side.DEEP, "100 ft"),
        (30.4, IMPERIAL, Side.SHALLOW, "99 ft"),
        (0.0, METRIC, Side.DEEP, "0 m"),
        (0.4, METRIC, Side.SHALLOW, "0 m"),
    ],
)
def test_depths_are_rounded_to_the_safe_side(depth_m, units, side, label):
    assert u.depth_label(depth_m, units, side=side) == label


def test_a_depth_can_be_rounded_to_tenths():
    assert u.depth_label(3.333, METRIC, side=Side.DEEP, step=0.1) == "3.4 m"
    assert u.depth_label(3.39, METRIC, step=0.1) == "3.3 m"


@pytest.mark.parametrize("depth_m", [-1.0, float("nan"), float("inf")])
def test_what_is_no_depth_gets_no_label(depth_m):
    with pytest.raises(InputError):
        u.depth_label(depth_m, METRIC)


def test_pressures_that_a_diver_must_have_go_up_and_those_left_go_down():
    assert u.pressure_needed_label(57.01, METRIC) == "58 bar"
    assert u.pressure_left_label(57.99, METRIC) == "57 bar"
    assert u.pressure_needed_label(57.0, IMPERIAL) == "830 psi"  # 826.7 psi
    assert u.pressure_left_label(57.0, IMPERIAL) == "820 psi"


def test_volumes_that_a_diver_must_have_go_up_and_those_left_go_down():
    assert u.volume_needed_label(1249.2, METRIC) == "1250 L"
    assert u.volume_left_label(1249.2, METRIC) == "1249 L"
    assert u.volume_needed_label(1249.2, IMPERIAL) == "44.2 cu ft"  # 44.115
    assert u.volume_left_label(1249.2, IMPERIAL) == "44.1 cu ft"


def test_rounding_never_crosses_to_the_danger_side_by_more_than_a_millionth_of_a_step():
    for value in (0.1, 1 / 3, 2.5, math.pi, 99.999):
        assert u.round_down(value) <= value + 1e-6
        assert u.round_up(value) >= value - 1e-6
