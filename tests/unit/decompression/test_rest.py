"""A surface interval, held against SciPy's integrator and against what is plain."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.rest import rest_at_surface
from slatewright.decompression.tissues import Tissues, air_saturated
from slatewright.errors import InputError

LOADED = Tissues(
    tuple(0.8 + 0.05 * (16 - k) for k in range(16)), tuple(0.02 * k for k in range(16))
)


@pytest.mark.parametrize("model", ["ZH-L16A", "ZH-L16B", "ZH-L16C"])
@pytest.mark.parametrize("surface_bar", [1.01325, 0.75])
@pytest.mark.parametrize("minutes", [1.0, 90.0, 1290.0])
def test_tensions_are_those_of_an_integrator(model, surface_bar, minutes):
    table = coefficients(model)
    rate = math.log(2.0) / np.array(table.n2_half_time_min + table.he_half_time_min)
    # inspired: (surface - 0.0627 bar) times 0.7902 of nitrogen, no helium
    inspired = np.repeat([(surface_bar - 0.0627) * 0.7902, 0.0], 16)
    right = solve_ivp(
        lambda _, p: rate * (inspired - p), (0.0, minutes), LOADED.n2_bar + LOADED.he_bar,
        method="DOP853", rtol=1e-12, atol=1e-13,
    ).y[:, -1]  # fmt: skip
    rested = rest_at_surface(LOADED, minutes, surface_bar, model)
    assert rested.n2_bar + rested.he_bar == pytest.approx(tuple(right), abs=1e-9)


def test_no_time_changes_nothing_and_a_week_all():
    none = rest_at_surface(LOADED, 0.0, 1.01325)
    assert none.n2_bar + none.he_bar == pytest.approx(LOADED.n2_bar + LOADED.he_bar, abs=1e-15)
    week = rest_at_surface(LOADED, 7 * 1440.0, 1.01325)
    assert week.n2_bar == pytest.approx(air_saturated(1.01325).n2_bar, abs=1e-4)
    assert max(week.he_bar) < 1e-8


def test_two_intervals_are_one():
    parts = rest_at_surface(rest_at_surface(LOADED, 50.0, 0.9), 70.0, 0.9)
    whole = rest_at_surface(LOADED, 120.0, 0.9)
    assert parts.n2_bar + parts.he_bar == pytest.approx(whole.n2_bar + whole.he_bar, abs=1e-13)


@pytest.mark.parametrize("minutes", [-1.0, math.inf, math.nan])
def test_what_is_no_interval_is_refused(minutes):
    with pytest.raises(InputError, match="surface interval"):
        rest_at_surface(LOADED, minutes, 1.01325)
