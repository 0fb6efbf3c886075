"""Contents, gauges, and every refusal of a cylinder."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from slatewright.errors import InputError
from slatewright.physics import real_gas
from slatewright.physics.mixture import AIR, Mixture
from slatewright.supply import cylinders
from slatewright.supply.cylinders import Cylinder, Material

TWIN = Cylinder("twin 12", 24.0, 232.0, Material.STEEL, 32.3, 28.1, count=2)
MIX = Mixture(0.10, 0.70)
K = 293.15


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"count": 0}, "0 cylinders are no set"),
        ({"water_volume_l": 0.0222}, "0.0222 L in 2 is no water volume"),
        ({"water_volume_l": 22200.0}, "is no water volume"),
        ({"water_volume_l": math.nan}, "is no water volume"),
        ({"working_gauge_bar": 3000.0}, "3000 bar is no working pressure"),
        ({"working_gauge_bar": 0.0}, "is no working pressure"),
        ({"empty_mass_kg": 0.0}, "0 kg is no mass"),
        ({"empty_mass_kg": math.inf}, "inf kg is no mass"),
        ({"external_volume_l": 24.0}, "24 L outside cannot hold 24 L"),
        ({"external_volume_l": math.nan}, "nan L outside"),
    ],
)
def test_what_is_no_cylinder_is_refused(change, says):
    with pytest.raises(InputError, match="twin 12") as refusal:
        replace(TWIN, **change)
    assert says in refusal.value.what
    assert refusal.value.where in change
    assert refusal.value.right


def test_over_the_working_pressure_is_refused_and_says_so():
    with pytest.raises(InputError) as refusal:
        cylinders.contents_mol(TWIN, MIX, 232.1, K)
    assert "'twin 12': 232.1 bar is above its working pressure of 232 bar" in refusal.value.what
    assert "at most 232 bar" in refusal.value.right
    assert cylinders.contents_mol(TWIN, MIX, 232.0, K) > 0.0


@pytest.mark.parametrize("gauge", [-0.1, math.nan])
def test_no_pressure_on_a_gauge_is_refused(gauge):
    with pytest.raises(InputError, match="no pressure on a gauge"):
        cylinders.contents_mol(TWIN, MIX, gauge, K)
    with pytest.raises(InputError, match="no pressure on a gauge"):
        cylinders.contents_of_gauges_mol(TWIN, MIX, [100.0, gauge, 120.0], K)


def test_one_of_many_over_the_working_pressure_is_refused():
    with pytest.raises(InputError, match="240 bar is above"):
        cylinders.contents_of_gauges_mol(TWIN, MIX, [[100.0, 240.0]], K)


@pytest.mark.parametrize("amount", [-1e-9, math.nan, math.inf])
def test_an_amount_that_cannot_be_is_refused(amount):
    with pytest.raises(InputError, match="no amount that it can hold"):
        cylinders.gauge_bar(TWIN, MIX, amount, K)
    with pytest.raises(InputError):
        cylinders.gauges_of_contents_bar(TWIN, MIX, [1.0, amount], K)
    with pytest.raises(InputError, match="no amount"):
        cylinders.usable_mol(TWIN, MIX, amount, 50.0, K)


def test_a_temperature_out_of_range_is_refused():
    with pytest.raises(InputError, match="20 K"):
        cylinders.contents_mol(TWIN, MIX, 200.0, 20.0)


def test_open_at_the_surface_it_holds_its_own_volume():
    assert cylinders.free_gas_l(TWIN, AIR, 0.0, K) == pytest.approx(24.0, rel=1e-12)


def test_an_empty_vessel_reads_below_zero():
    assert cylinders.gauge_bar(TWIN, MIX, 0.0, K) == pytest.approx(-1.01325)


def test_at_altitude_the_same_gauge_means_less():
    high = cylinders.contents_mol(TWIN, MIX, 200.0, K, surface_bar=0.7)
    assert high == cylinders.contents_mol(TWIN, MIX, 199.68675, K)


def test_shapes_are_kept():
    amounts = cylinders.contents_of_gauges_mol(TWIN, MIX, np.full((3, 4), 100.0), K)
    assert amounts.shape == (3, 4)
    assert cylinders.gauges_of_contents_bar(TWIN, MIX, amounts, K).shape == (3, 4)
    assert cylinders.contents_of_gauges_mol(TWIN, MIX, [], K).shape == (0,)
    assert cylinders.gauges_of_contents_bar(TWIN, MIX, [], K).shape == (0,)
    assert cylinders.contents_of_gauges_mol(TWIN, MIX, 100.0, K).shape == ()


def test_mass_is_that_of_the_amount():
    amount = cylinders.contents_mol(TWIN, MIX, 200.0, K)
    kg = cylinders.gas_mass_kg(TWIN, MIX, 200.0, K)
    assert kg == pytest.approx(real_gas.mass_g(MIX, amount) / 1000.0, rel=1e-15)
    assert 1.9 < kg < 2.2


def test_nothing_is_usable_below_the_residual_pressure():
    amount = cylinders.contents_mol(TWIN, MIX, 40.0, K)
    assert cylinders.usable_mol(TWIN, MIX, amount, 50.0, K) == 0.0
    assert cylinders.usable_mol(TWIN, MIX, amount, 40.0, K) == 0.0


def test_a_warmed_cylinder_may_read_above_its_working_pressure():
    hot = cylinders.gauge_at_temperature_bar(TWIN, MIX, 232.0, 288.15, 313.15)
    assert 232.0 < hot < 260.0


def test_a_cylinder_that_keeps_its_temperature_keeps_its_pressure():
    same = cylinders.gauge_at_temperature_bar(TWIN, MIX, 200.0, K, K)
    assert same == pytest.approx(200.0, rel=1e-12)
