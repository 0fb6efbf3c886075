"""Truths of mixtures, water and real gas that hold for any numbers."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.physics import counterdiffusion, density, limits, narcosis, real_gas
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import Side, UnitSystem, depth_label
from slatewright.physics.water import Water, WaterKind

FEW = settings(max_examples=60, deadline=None)
DEPTHS_M = st.floats(0.0, 150.0)
METRES = {UnitSystem.METRIC: 1.0, UnitSystem.IMPERIAL: 0.3048}


@st.composite
def mixtures(draw, least_o2=0.01):
    o2 = draw(st.floats(least_o2, 1.0))
    share = draw(st.floats(0.0, 1.0))
    return Mixture(o2, min((1.0 - o2) * share, 0.99))


waters = st.builds(
    Water, st.sampled_from(WaterKind), st.floats(0.55, 1.06), st.floats(0.098, 0.1015)
)


@FEW
@given(mixtures())
def test_what_is_printed_reads_back_to_a_tenth_of_a_percent(mix):
    again = Mixture.parse(str(mix))
    assert again.o2 == pytest.approx(mix.o2, abs=1.001e-3)
    assert again.he == pytest.approx(mix.he, abs=1.001e-3)
    assert (again.he > 0.0) == (mix.he > 0.0)
    assert str(again) == str(mix) or (str(mix), str(again)) == ("EAN21", "air")


@FEW
@given(mixtures(), waters, st.floats(1.1, 2.0))
def test_operating_depth_and_oxygen_pressure_are_inverse(mix, water, limit_bar):
    depth_m = limits.operating_depth(mix, limit_bar, water)
    assert limits.oxygen_pressure(mix, depth_m, water) == pytest.approx(limit_bar, rel=1e-12)


@FEW
@given(mixtures(), waters, st.floats(0.16, 0.21))
def test_below_its_floor_a_mixture_is_breathable(mix, water, floor_bar):
    floor_m = limits.hypoxic_floor(mix, floor_bar, water)
    assert limits.oxygen_pressure(mix, floor_m, water) >= floor_bar * (1.0 - 1e-12)
    if floor_m > 0.01:
        assert limits.oxygen_pressure(mix, floor_m - 0.01, water) < floor_bar


@FEW
@given(DEPTHS_M, waters, st.floats(1.1, 1.6))
def test_the_best_oxygen_keeps_its_limit(depth_m, water, limit_bar):
    fraction = limits.best_oxygen_at(depth_m, limit_bar, water)
    ppo2_bar = limits.oxygen_pressure(Mixture(fraction), depth_m, water)
    assert ppo2_bar <= limit_bar * (1.0 + 1e-12)
    assert fraction == 1.0 or ppo2_bar == pytest.approx(limit_bar)


@FEW
@given(mixtures(), waters, DEPTHS_M, st.floats(0.01, 50.0), st.booleans())
def test_deeper_is_never_less_oxygen_narcosis_or_density(mix, water, depth_m, more_m, oxygen):
    deeper_m = depth_m + more_m
    figures = [
        (
            limits.oxygen_pressure(mix, d, water),
            density.gas_density(mix, d, water),
            narcosis.narcotic_depth(mix, d, water, oxygen_narcotic=oxygen),
        )
        for d in (depth_m, deeper_m)
    ]
    shallow, deep = figures
    assert deep[0] > shallow[0]
    assert deep[1] > shallow[1]
    assert deep[2] >= shallow[2]


@FEW
@given(mixtures(), waters, DEPTHS_M, st.floats(0.001, 0.05))
def test_helium_for_nitrogen_makes_a_gas_lighter_and_less_narcotic(mix, water, depth_m, more):
    if mix.n2 <= more:
        return
    lighter = Mixture(mix.o2, mix.he + more)
    assert density.gas_density(lighter, depth_m, water) < density.gas_density(mix, depth_m, water)
    for basis in (True, False):
        before_m = narcosis.narcotic_depth(mix, depth_m, water, oxygen_narcotic=basis)
        after_m = narcosis.narcotic_depth(lighter, depth_m, water, oxygen_narcotic=basis)
        assert after_m < before_m or after_m == before_m == 0.0


@FEW
@given(mixtures(), waters, st.sampled_from([5.2, 6.2]), st.floats(0.0, 40.0))
def test_density_and_its_depth_are_inverse(mix, water, limit, temperature_c):
    depth_m = density.density_depth(mix, limit, water, temperature_c=temperature_c)
    there = density.gas_density(mix, depth_m, water, temperature_c=temperature_c)
    assert there == pytest.approx(limit, rel=1e-12)


@FEW
@given(mixtures(), mixtures(), waters, DEPTHS_M, DEPTHS_M)
def test_the_rule_of_fifths_depends_on_the_mixtures_and_not_on_depth(a, b, water, one_m, other_m):
    one = counterdiffusion.counterdiffusion(a, b, one_m, water)
    other = counterdiffusion.counterdiffusion(a, b, other_m, water)
    margin = abs((b.n2 - a.n2) - max(0.0, a.he - b.he) / 5.0)
    if margin > 1e-6 and abs(a.he - b.he) > 1e-6:
        assert one.breaks_rule == other.breaks_rule
        assert one.breaks_rule == (b.he < a.he and b.n2 - a.n2 > (a.he - b.he) / 5.0)


@FEW
@given(DEPTHS_M, st.sampled_from(UnitSystem))
def test_a_depth_on_a_label_is_on_the_safe_side(depth_m, units):
    metres = METRES[units]
    down = float(depth_label(depth_m, units).split()[0]) * metres
    up = float(depth_label(depth_m, units, side=Side.DEEP).split()[0]) * metres
    assert down <= depth_m + 1e-6
    assert up >= depth_m - 1e-6
    assert up - down <= metres * (1.0 + 1e-9)


@FEW
@given(mixtures(), st.floats(0.1, 390.0), st.floats(0.1, 10.0), st.floats(250.0, 350.0))
def test_more_pressure_is_more_gas_and_comes_back(mix, bar, more_bar, temperature_k):
    one = real_gas.molar_density_mol_per_l(mix, bar, temperature_k)
    two = real_gas.molar_density_mol_per_l(mix, bar + more_bar, temperature_k)
    assert two > one
    assert real_gas.pressure_bar(mix, one, temperature_k) == pytest.approx(bar, rel=1e-11)
