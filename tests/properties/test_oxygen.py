"""Oxygen exposure over random legs: against SciPy's quadrature, and what must always hold."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import TABLE_RULES, dose_of_legs, single_limit_min
from slatewright.decompression.oxygen_formulas import mean_power
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water

WATER = Water()
ROWS_ATM = (*(n / 10.0 for n in range(5, 21)), 2.4, 2.8)


@st.composite
def legs(draw, deepest_m=45.0):
    from_m, to_m = draw(st.floats(0.0, deepest_m)), draw(st.floats(0.0, deepest_m))
    gas = Mixture(draw(st.floats(0.1, 0.5)), draw(st.floats(0.0, 0.4)))
    setpoint_bar = draw(st.one_of(st.none(), st.floats(0.5, 1.6)))
    kind = LegKind.DESCENT if to_m > from_m else LegKind.ASCENT
    return Leg(kind, from_m, to_m, 0.0, draw(st.floats(0.1, 60.0)), gas, setpoint_bar)


def ppo2_atm(leg: Leg, share: float) -> float:
    ambient_bar = WATER.ambient_bar(leg.from_m + (leg.to_m - leg.from_m) * share)
    ppo2_bar = leg.gas.o2 * ambient_bar
    if leg.setpoint_bar is not None:
        ppo2_bar = max(ppo2_bar, min(leg.setpoint_bar, ambient_bar))
    return ppo2_bar / 1.01325


def by_quadrature(leg: Leg, rate) -> float:
    """Integrate a rate by ppO2 over a leg, cut where either has a corner or a jump."""
    grid = np.linspace(0.0, 1.0, 2001)
    value = np.array([ppo2_atm(leg, share) for share in grid])
    corners = list(ROWS_ATM)
    if leg.setpoint_bar is not None:
        corners += [leg.setpoint_bar / 1.01325]
    cells = {
        0.0,
        1.0,
        *(
            float(share)
            for corner in corners
            for share in grid[:-1][(value[:-1] - corner) * (value[1:] - corner) <= 0.0]
        ),
    }
    cells |= {min(1.0, share + grid[1]) for share in cells}
    bounds = sorted(cells)
    total = 0.0
    for low, high in pairwise(bounds):
        part, _ = quad(lambda share: rate(ppo2_atm(leg, share)), low, high, epsabs=1e-12, limit=200)
        total += part
    return total * leg.minutes


def otu_per_min(ppo2: float) -> float:
    return ((ppo2 - 0.5) / 0.5) ** (5 / 6) if ppo2 > 0.5 else 0.0


@settings(max_examples=25, deadline=None)
@given(legs())
@pytest.mark.filterwarnings("ignore::scipy.integrate.IntegrationWarning")
def test_closed_forms_agree_with_quadrature(leg):
    dose = dose_of_legs([leg], WATER, table="interpolate")
    cns_pct = by_quadrature(leg, lambda p: 100.0 / single_limit_min(p, table="interpolate"))
    assert dose.cns_pct == pytest.approx(cns_pct, rel=1e-6, abs=1e-6)
    assert dose.otu == pytest.approx(by_quadrature(leg, otu_per_min), rel=1e-6, abs=1e-6)
    if min(ppo2_atm(leg, share) for share in np.linspace(0.0, 1.0, 101)) > 0.5:
        root = by_quadrature(leg, lambda p: p**3.4)
        assert math.sqrt(dose.index_k) == pytest.approx(root, rel=1e-8)


@settings(max_examples=60, deadline=None)
@given(legs(), st.floats(0.05, 0.95), st.sampled_from(TABLE_RULES))
def test_cutting_a_leg_changes_nothing(leg, share, table):
    middle_m = leg.from_m + (leg.to_m - leg.from_m) * share
    first = replace(leg, to_m=middle_m, minutes=leg.minutes * share)
    second = replace(leg, from_m=middle_m, minutes=leg.minutes * (1.0 - share))
    whole = dose_of_legs([leg], WATER, table=table)
    parts = dose_of_legs([first, second], WATER, table=table)
    assert parts.cns_pct == pytest.approx(whole.cns_pct, rel=1e-7, abs=1e-7)
    assert parts.otu == pytest.approx(whole.otu, rel=1e-7, abs=1e-7)
    assert parts.index_k == pytest.approx(whole.index_k, rel=1e-7, abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(legs(), st.floats(0.0, 0.2), st.sampled_from(TABLE_RULES))
def test_more_oxygen_never_counts_less(leg, more, table):
    richer = replace(leg, gas=Mixture(leg.gas.o2 + more, leg.gas.he * (0.5 - more)))
    less = dose_of_legs([leg], WATER, table=table)
    most = dose_of_legs([richer], WATER, table=table)
    assert most.cns_pct >= less.cns_pct - 1e-7
    assert most.otu >= less.otu - 1e-7
    assert most.index_k >= less.index_k * (1.0 - 1e-9)


@settings(max_examples=60, deadline=None)
@given(legs())
def test_stepping_is_never_the_milder_rule(leg):
    step = dose_of_legs([leg], WATER, table="step").cns_pct
    assert step >= dose_of_legs([leg], WATER, table="interpolate").cns_pct - 1e-7


@settings(max_examples=60, deadline=None)
@given(st.floats(0.01, 3.0), st.floats(1e-12, 1e-2), st.sampled_from([5 / 6, 2.285, 3.4]))
def test_the_mean_of_a_power_is_smooth_where_its_ends_meet(start, change, exponent):
    # both branches against the midpoint with its next term, which is exact to the fourth power
    end = start * (1.0 + change)
    middle = (start + end) / 2.0
    bend = exponent * (exponent - 1.0) / 24.0 * ((end - start) / middle) ** 2
    expected = middle**exponent * (1.0 + bend)
    assert mean_power(start, end, exponent) == pytest.approx(expected, rel=2e-9)
