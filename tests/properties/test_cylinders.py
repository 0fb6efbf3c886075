"""Truths of cylinders that hold for any mix, pressure and temperature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.physics.mixture import Mixture
from slatewright.supply import cylinders
from slatewright.supply.buoyancy import cylinder_buoyancy_kg
from slatewright.supply.catalogue import catalogue
from slatewright.supply.rating import Rating, water_volume_of_rating_l

FEW = settings(max_examples=60, deadline=None)
KELVINS = st.sampled_from((273.15, 277.0, 285.5, 293.15, 308.0, 323.15))
SURFACES = st.floats(0.6, 1.06)
SHARES = st.floats(0.0, 1.0)
CYLINDERS = st.sampled_from(list(catalogue().values()))


@st.composite
def mixtures(draw):
    o2 = draw(st.integers(5, 100))
    he = draw(st.integers(0, min(100 - o2, 95)))
    return Mixture(o2 / 100.0, he / 100.0)


@FEW
@given(CYLINDERS, mixtures(), SHARES, KELVINS, SURFACES)
def test_gauge_and_contents_are_inverse(cylinder, mix, share, kelvin, surface):
    gauge = share * cylinder.working_gauge_bar
    amount = cylinders.contents_mol(cylinder, mix, gauge, kelvin, surface)
    back = cylinders.gauge_bar(cylinder, mix, amount, kelvin, surface)
    assert back + surface == pytest.approx(gauge + surface, rel=1e-9)


@FEW
@given(CYLINDERS, mixtures(), st.lists(SHARES, min_size=1, max_size=20), KELVINS, SURFACES)
def test_many_at_once_are_each_alone(cylinder, mix, shares, kelvin, surface):
    gauges = np.array(shares) * cylinder.working_gauge_bar
    amounts = cylinders.contents_of_gauges_mol(cylinder, mix, gauges, kelvin, surface)
    back = cylinders.gauges_of_contents_bar(cylinder, mix, amounts, kelvin, surface)
    for gauge, amount, again in zip(gauges, amounts, back, strict=True):
        alone = cylinders.contents_mol(cylinder, mix, float(gauge), kelvin, surface)
        assert amount == pytest.approx(alone, rel=1e-8)
        assert again + surface == pytest.approx(gauge + surface, rel=1e-8)


@FEW
@given(CYLINDERS, mixtures(), SHARES, SHARES, KELVINS)
def test_more_pressure_is_more_gas(cylinder, mix, one, other, kelvin):
    low, high = (share * cylinder.working_gauge_bar for share in sorted((one, other)))
    less, more = (cylinders.contents_mol(cylinder, mix, g, kelvin) for g in (low, high))
    assert less <= more
    if high - low > 1e-6:
        assert less < more


@FEW
@given(CYLINDERS, mixtures(), SHARES, st.lists(SHARES, min_size=1, max_size=6), KELVINS, KELVINS)
def test_what_is_drawn_is_what_is_missing(cylinder, mix, share, draws, fill_k, water_k):
    """Breathe a cylinder down in steps, reading only its gauge between them."""
    gauge = share * 0.85 * cylinder.working_gauge_bar  # room for a warmer water
    start = cylinders.contents_mol(cylinder, mix, gauge, fill_k)
    gauge = cylinders.gauge_at_temperature_bar(cylinder, mix, gauge, fill_k, water_k)
    drawn = 0.0
    for draw in draws:
        if not 0.0 <= gauge <= cylinder.working_gauge_bar:
            break
        amount = cylinders.contents_mol(cylinder, mix, gauge, water_k)
        used = 0.5 * draw * cylinders.usable_mol(cylinder, mix, amount, 0.0, water_k)
        drawn += used
        gauge = cylinders.gauge_bar(cylinder, mix, amount - used, water_k)
    if 0.0 <= gauge <= cylinder.working_gauge_bar:
        left = cylinders.contents_mol(cylinder, mix, gauge, water_k)
        assert left + drawn == pytest.approx(start, rel=1e-9)


@FEW
@given(CYLINDERS, mixtures(), SHARES, SHARES, KELVINS)
def test_usable_and_kept_are_all(cylinder, mix, one, other, kelvin):
    residual, gauge = (share * cylinder.working_gauge_bar for share in sorted((one, other)))
    amount = cylinders.contents_mol(cylinder, mix, gauge, kelvin)
    kept = cylinders.contents_mol(cylinder, mix, residual, kelvin)
    usable = cylinders.usable_mol(cylinder, mix, amount, residual, kelvin)
    assert usable + kept == pytest.approx(amount, rel=1e-9)


@FEW
@given(CYLINDERS, mixtures(), st.floats(0.1, 0.8), KELVINS, KELVINS)
def test_the_colder_the_lower_the_gauge(cylinder, mix, share, one_k, other_k):
    cold_k, warm_k = sorted((one_k, other_k))
    gauge = share * cylinder.working_gauge_bar
    cooled = cylinders.gauge_at_temperature_bar(cylinder, mix, gauge, warm_k, cold_k)
    assert cooled <= gauge + 1e-9
    if cold_k < warm_k:
        assert cooled < gauge


@FEW
@given(CYLINDERS, mixtures(), SHARES, SHARES, st.floats(995.0, 1035.0))
def test_gas_makes_heavier(cylinder, mix, one, other, density):
    low, high = (share * cylinder.working_gauge_bar for share in sorted((one, other)))
    empty, full = (
        cylinder_buoyancy_kg(
            cylinder, mix, cylinders.contents_mol(cylinder, mix, gauge, 293.15), density
        )
        for gauge in (low, high)
    )
    assert full <= empty


@FEW
@given(st.floats(1.0, 200.0), st.floats(1000.0, 5000.0), st.sampled_from(Rating))
def test_water_volume_grows_with_the_rating(cubic_feet, psi, rating):
    volume_l = water_volume_of_rating_l(cubic_feet, psi, rating)
    assert water_volume_of_rating_l(2.0 * cubic_feet, psi, rating) == pytest.approx(2.0 * volume_l)
    assert water_volume_of_rating_l(cubic_feet, 1.1 * psi, rating) < volume_l
