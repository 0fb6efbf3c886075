"""Real gas: inverse functions, refusals, the curve, amounts."""

from __future__ import annotations

import numpy as np
import pytest

from slatewright.errors import InputError
from slatewright.physics import real_gas
from slatewright.physics.amount import HELIUM, NITROGEN, Amount
from slatewright.physics.isotherm import isotherm
from slatewright.physics.mixture import AIR, OXYGEN, Mixture

T_K = 293.15
GASES = [HELIUM, NITROGEN, OXYGEN, AIR, Mixture(0.1, 0.7), Mixture(0.18, 0.45), Mixture(0.5)]


@pytest.mark.parametrize("gas", GASES, ids=str)
@pytest.mark.parametrize("temperature_k", [250.0, 278.15, 350.0])
def test_pressure_and_density_are_inverse(gas, temperature_k):
    for bar in (1e-9, 0.5, 1.01325, 60.0, 232.0, 400.0 * (1 - 1e-12)):
        density = real_gas.molar_density_mol_per_l(gas, bar, temperature_k)
        assert real_gas.pressure_bar(gas, density, temperature_k) == pytest.approx(bar, rel=1e-11)


def test_an_empty_cylinder_holds_nothing():
    assert real_gas.molar_density_mol_per_l(AIR, 0.0, T_K) == 0.0
    assert real_gas.pressure_bar(AIR, 0.0, T_K) == 0.0
    assert real_gas.compressibility(AIR, 0.0, T_K) == 1.0


def test_contents_and_pressure_of_a_cylinder_are_inverse():
    mix = Mixture(0.12, 0.65)
    amount_mol = real_gas.contents_mol(mix, 233.0, 24.0, 283.15)
    assert real_gas.cylinder_pressure_bar(mix, amount_mol, 24.0, 283.15) == pytest.approx(233.0)


def test_a_free_litre_is_a_litre_at_one_atmosphere_and_twenty_degrees():
    for gas in GASES:
        amount_mol = real_gas.contents_mol(gas, 1.01325, 7.0, 293.15)
        assert real_gas.free_litres(gas, amount_mol) == pytest.approx(7.0, rel=1e-12)
        assert real_gas.free_gas_mol(gas, 7.0) == pytest.approx(amount_mol, rel=1e-12)


def test_a_helium_mix_holds_less_than_the_ideal_law_says():
    mix = Mixture(0.1, 0.7)
    litres = real_gas.free_litres(mix, real_gas.contents_mol(mix, 233.01325, 12.0, 293.15))
    ideal_l = 233.01325 / 1.01325 * 12.0
    assert 0.10 < 1.0 - litres / ideal_l < 0.13


def test_mass_counts_the_argon_of_air_unless_told_otherwise():
    assert real_gas.mass_g(AIR, 1.0) == pytest.approx(28.962, abs=1e-3)
    assert real_gas.mass_g(AIR, 1.0, rest_g_per_mol=28.0134) == pytest.approx(28.8503, abs=1e-4)
    assert real_gas.mass_g(HELIUM, 2.0) == pytest.approx(8.005204)


@pytest.mark.parametrize("temperature_k", [249.9, 350.1, 20.0, float("nan")])
def test_temperatures_outside_the_range_are_refused(temperature_k):
    with pytest.raises(InputError, match="temperature_k"):
        real_gas.molar_density_mol_per_l(AIR, 200.0, temperature_k)
    with pytest.raises(InputError, match="temperature_k"):
        real_gas.pressure_bar(AIR, 8.0, temperature_k)
    with pytest.raises(InputError, match="temperature_k"):
        isotherm(AIR, temperature_k)


@pytest.mark.parametrize("bar", [-0.1, 400.1, float("nan"), float("inf")])
def test_pressures_outside_the_range_are_refused(bar):
    with pytest.raises(InputError, match="pressure_bar"):
        real_gas.molar_density_mol_per_l(AIR, bar, T_K)
    with pytest.raises(InputError, match="pressure_bar"):
        isotherm(AIR, T_K).molar_density_mol_per_l([1.0, bar])


def test_densities_outside_the_range_are_refused():
    with pytest.raises(InputError, match="pressure_bar"):
        real_gas.pressure_bar(AIR, 30.0, T_K)
    with pytest.raises(InputError, match="no density"):
        real_gas.pressure_bar(AIR, -1.0, T_K)
    with pytest.raises(InputError, match="molar_density"):
        isotherm(AIR, T_K).pressure_bar(30.0)
    with pytest.raises(InputError, match="volume_l"):
        real_gas.contents_mol(AIR, 200.0, 0.0, T_K)


@pytest.mark.parametrize("gas", GASES, ids=str)
@pytest.mark.parametrize("temperature_k", [250.0, 293.15, 350.0])
def test_the_curve_follows_the_equation_of_state(gas, temperature_k):
    curve = isotherm(gas, temperature_k)
    bar = np.linspace(0.5, 400.0, 101)
    exact = [real_gas.molar_density_mol_per_l(gas, float(p), temperature_k) for p in bar]
    assert curve.molar_density_mol_per_l(bar) == pytest.approx(exact, rel=5e-9)
    assert curve.pressure_bar(exact) == pytest.approx(bar, rel=5e-9)
    assert isotherm(gas, temperature_k) is curve


def test_the_curve_keeps_the_shape_of_what_it_is_given():
    curve = isotherm(AIR, T_K)
    assert curve.pressure_bar(np.zeros((3, 2))).shape == (3, 2)
    assert float(curve.pressure_bar(0.0)) == 0.0


def test_amounts_mix():
    both = Amount.of(AIR, 10.0) + Amount.of(HELIUM, 5.0)
    assert both.total_mol == pytest.approx(15.0)
    assert both.he == pytest.approx(1 / 3)
    assert both.mixture().o2 == pytest.approx(0.14)
    with pytest.raises(InputError, match="no mixture"):
        HELIUM.mixture()


@pytest.mark.parametrize("amounts", [(0.0, 0.0, 0.0), (-1.0, 2.0, 0.0), (float("nan"), 1.0, 0.0)])
def test_what_is_no_amount_is_refused(amounts):
    with pytest.raises(InputError, match="no amount"):
        Amount(*amounts)
