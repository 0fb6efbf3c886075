"""Oxygen limits, narcosis, density and counterdiffusion with objects, and their refusals."""

from __future__ import annotations

import pytest

from slatewright.errors import InputError, NoSafeAnswer
from slatewright.physics import (
    atmosphere,
    counterdiffusion,
    density,
    limits,
    narcosis,
    real_gas,
    water,
)
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.water import Water, WaterKind
from slatewright.sources import formula_named, formulas, reference, working
from slatewright.sources.bibliography import cited_keys

WATER = Water()
MODULES = (atmosphere, water, limits, narcosis, density, counterdiffusion, real_gas)


def test_oxygen_at_six_metres_is_a_little_over_its_limit():
    assert limits.oxygen_pressure(OXYGEN, 6.0, WATER) == pytest.approx(1.61325)
    assert limits.operating_depth(OXYGEN, 1.6, WATER) == pytest.approx(5.8675)


def test_a_gas_over_its_limit_at_the_surface_has_no_operating_depth():
    with pytest.raises(NoSafeAnswer, match="even at the surface") as caught:
        limits.operating_depth(OXYGEN, 0.9, WATER)
    assert caught.value.reasons[0].cure


def test_a_gas_breathable_at_the_surface_has_its_floor_there():
    assert limits.hypoxic_floor(AIR, 0.18, WATER) == 0.0
    assert limits.hypoxic_floor(Mixture(0.1, 0.7), 0.18, WATER) == pytest.approx(7.8675)


def test_the_floor_is_deeper_at_altitude():
    high = Water(WaterKind.FRESH, 0.8, 0.0980665)
    mix = Mixture(0.18, 0.45)
    assert limits.hypoxic_floor(mix, 0.18, WATER) == 0.0
    assert limits.hypoxic_floor(mix, 0.18, high) == pytest.approx(0.2 / 0.0980665)


def test_the_best_oxygen_fraction():
    assert limits.best_oxygen_at(90.0, 1.4, WATER) == pytest.approx(1.4 / 10.01325)
    assert limits.best_oxygen_at(3.0, 1.6, WATER) == 1.0


def test_narcosis_on_either_basis():
    mix = Mixture(0.18, 0.45)
    both = [
        narcosis.narcotic_depth(mix, 60.0, WATER, oxygen_narcotic=basis) for basis in (True, False)
    ]
    assert both[0] == pytest.approx(7.01325 * 5.5 - 10.1325)
    assert both[1] == pytest.approx(7.01325 * 3.7 / 0.79 - 10.1325)
    assert narcosis.narcotic_depth(OXYGEN, 6.0, WATER, oxygen_narcotic=False) == 0.0
    assert narcosis.narcotic_depth(OXYGEN, 6.0, WATER, oxygen_narcotic=True) == pytest.approx(6.0)
    assert narcosis.narcotic_depth(Mixture(0.1, 0.9), 0.0, WATER, oxygen_narcotic=True) == 0.0


def test_air_is_as_narcotic_as_air_on_either_basis():
    for basis in (True, False):
        depth_m = narcosis.narcotic_depth(AIR, 40.0, WATER, oxygen_narcotic=basis)
        assert depth_m == pytest.approx(40.0)


def test_an_air_depth_says_nothing_about_helium():
    with pytest.raises(InputError, match="has helium"):
        narcosis.equivalent_air_depth(Mixture(0.18, 0.45), 40.0, WATER)


def test_density_and_the_depth_that_reaches_it_are_inverse():
    mix = Mixture(0.12, 0.6)
    depth_m = density.density_depth(mix, density.RECOMMENDED_G_PER_L, WATER)
    assert density.gas_density(mix, depth_m, WATER) == pytest.approx(5.2)
    warm_m = density.density_depth(mix, 5.2, WATER, temperature_c=20.0)
    assert warm_m > depth_m
    assert density.gas_density(mix, warm_m, WATER, temperature_c=20.0) == pytest.approx(5.2)


def test_impossible_densities_are_refused():
    with pytest.raises(NoSafeAnswer, match="even at the surface"):
        density.density_depth(AIR, 1.0, WATER)
    with pytest.raises(InputError, match="limit_g_per_l"):
        density.density_depth(AIR, 0.0, WATER)
    with pytest.raises(InputError, match="temperature_c"):
        density.gas_density(AIR, 10.0, WATER, temperature_c=-10.0)


def test_the_commonest_switch_breaks_the_rule_of_fifths():
    figures = counterdiffusion.counterdiffusion(Mixture(0.18, 0.45), Mixture(0.5), 21.0, WATER)
    assert figures.n2_change_bar == pytest.approx(0.13 * 3.11325)
    assert figures.he_change_bar == pytest.approx(-0.45 * 3.11325)
    assert figures.allowed_n2_rise_bar == pytest.approx(0.09 * 3.11325)
    assert figures.breaks_rule


@pytest.mark.parametrize(
    ("before", "after", "breaks"),
    [
        (Mixture(0.10, 0.70), Mixture(0.21, 0.55), True),  # 0.04 against 0.15
        (Mixture(0.10, 0.70), Mixture(0.21, 0.57), False),  # 0.02 against 0.13
        (Mixture(0.20, 0.50), Mixture(0.40, 0.25), False),  # exactly a fifth
        (Mixture(0.20, 0.50), Mixture(0.399, 0.25), True),  # a hair more
        (Mixture(0.5), OXYGEN, False),  # nothing rises
        (OXYGEN, Mixture(0.21, 0.35), False),  # helium does not fall
        (OXYGEN, AIR, False),  # no helium at all
    ],
)
def test_the_rule_of_fifths(before, after, breaks):
    figures = counterdiffusion.counterdiffusion(before, after, 21.0, WATER)
    assert figures.breaks_rule is breaks


@pytest.mark.parametrize("depth_m", [-0.1, float("nan"), float("inf")])
def test_what_is_no_depth_is_refused_everywhere(depth_m):
    calls = (
        lambda: limits.oxygen_pressure(AIR, depth_m, WATER),
        lambda: limits.best_oxygen_at(depth_m, 1.4, WATER),
        lambda: narcosis.narcotic_depth(AIR, depth_m, WATER, oxygen_narcotic=True),
        lambda: narcosis.equivalent_air_depth(AIR, depth_m, WATER),
        lambda: density.gas_density(AIR, depth_m, WATER),
        lambda: counterdiffusion.counterdiffusion(AIR, OXYGEN, depth_m, WATER),
    )
    for call in calls:
        with pytest.raises(InputError, match="no depth"):
            call()


@pytest.mark.parametrize("limit_bar", [0.0, -1.0, float("nan"), float("inf")])
def test_what_is_no_pressure_is_refused_everywhere(limit_bar):
    calls = (
        lambda: limits.operating_depth(AIR, limit_bar, WATER),
        lambda: limits.hypoxic_floor(AIR, limit_bar, WATER),
        lambda: limits.best_oxygen_at(40.0, limit_bar, WATER),
    )
    for call in calls:
        with pytest.raises(InputError, match="no oxygen partial pressure"):
            call()


def physics_formulas():
    return [f for f in formulas() if f.function.__module__ in {m.__name__ for m in MODULES}]


MIDDLE = {  # a number that makes sense for each parameter of every formula
    "altitude_m": 1000.0, "geopotential_m": 1000.0, "depth_m": 60.0, "surface_bar": 1.01325,
    "bar_per_m": 0.1, "ambient_bar": 7.0, "density_kg_per_m3": 1025.0, "o2": 0.18, "he": 0.45,
    "limit_bar": 1.4, "floor_bar": 0.18, "rest_g_per_mol": 28.0134, "molar_mass_g_per_mol": 18.0,
    "temperature_c": 0.0, "limit_g_per_l": 5.2, "before": 0.37, "after": 0.5,
    "he_change_bar": -1.4, "molar_density_mol_per_l": 8.0, "z": 1.1, "temperature_k": 293.15,
    "pressure_bar": 200.0, "volume_l": 12.0, "n2_before": 0.37, "he_before": 0.45,
}  # fmt: skip


@pytest.mark.parametrize("formula", physics_formulas(), ids=lambda formula: formula.name)
def test_each_formula_shows_its_working_and_cites_what_exists(formula):
    values = {name: MIDDLE[name] for name in formula.symbols}
    board = working(formula, **values)
    assert board.result == pytest.approx(formula.function(**values), rel=1e-12)
    assert board.outside == ()
    for key in cited_keys(" ".join(formula.source) + formula.differs):
        assert reference(key).text


def test_the_working_of_an_operating_depth_goes_down_to_the_water():
    board = working(
        formula_named("operating-depth"), o2=0.12, limit_bar=1.4, surface_bar=1.01325, bar_per_m=0.1
    )
    assert board.steps[-1].inner[0].formula.name == "depth-at-pressure"
