"""The kernel's tensions against SciPy's adaptive solver, and what loads do to ceilings.

Source of the check: the differential equation itself, dp/dt = k (p_insp - p), solved by
scipy.integrate.solve_ivp (DOP853, rtol 1e-12), a general-purpose library.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.ceiling import ceiling_level
from slatewright.decompression._kernel.exchange import load_leg
from slatewright.decompression._tables import make_scratch, make_tables
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.ladder import AscentGas, Ladder
from slatewright.decompression.settings import AscentSettings
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water

MODEL = coefficients("ZH-L16C")
RATE_PER_MIN = math.log(2.0) / np.array(MODEL.n2_half_time_min + MODEL.he_half_time_min)
NO_LADDER = [Ladder((0,), (-1,))]


@st.composite
def gases(draw):
    o2 = draw(st.floats(0.08, 1.0))
    mix = Mixture(o2, draw(st.floats(0.0, 0.999)) * (1.0 - o2))
    setpoint_bar = draw(st.one_of(st.none(), st.floats(0.4, 1.6)))
    return AscentGas(mix, 500.0, 0.0, setpoint_bar=setpoint_bar)


@st.composite
def profiles(draw):
    """Return a water and legs: from, to [m], minutes, gas."""
    water = Water(
        surface_bar=draw(st.floats(0.6, 1.05)), bar_per_m=draw(st.sampled_from([0.0980665, 0.1]))
    )
    legs, depth_m = [], 0.0
    for _ in range(draw(st.integers(1, 6))):
        to_m = draw(st.one_of(st.just(depth_m), st.floats(0.0, 120.0)))
        legs.append((depth_m, to_m, draw(st.floats(0.01, 40.0)), draw(gases())))
        depth_m = to_m
    return water, legs


def ambient_bar(leg, water, minute):
    from_m, to_m, minutes, _ = leg
    return water.surface_bar + water.bar_per_m * (from_m + (to_m - from_m) * minute / minutes)


def inspired_bar(leg, water, minute):
    """Return nitrogen sixteen times and helium sixteen times."""
    gas = leg[3]
    dry_bar = ambient_bar(leg, water, minute) - 0.0627
    inert_bar = dry_bar * (1.0 - gas.mix.o2)
    if gas.setpoint_bar is not None:
        inert_bar = max(0.0, min(inert_bar, dry_bar - gas.setpoint_bar))
    helium = gas.mix.he / (1.0 - gas.mix.o2) if gas.mix.o2 < 1.0 else 0.0
    return np.repeat([inert_bar * (1.0 - helium), inert_bar * helium], 16)


def corners_min(leg, water):
    """Return the ends of a leg, and when the loop begins or ceases to keep its setpoint."""
    _, _, minutes, gas = leg
    times = [0.0, minutes]
    from_bar, to_bar = ambient_bar(leg, water, 0.0), ambient_bar(leg, water, minutes)
    if gas.setpoint_bar is not None and from_bar != to_bar:
        times += [
            (dry_bar + 0.0627 - from_bar) / (to_bar - from_bar) * minutes
            for dry_bar in (gas.setpoint_bar, gas.setpoint_bar / gas.mix.o2)
        ]
    return sorted(time for time in times if 0.0 <= time <= minutes)


def by_scipy(tension_bar, leg, water):
    for begin, end in pairwise(corners_min(leg, water)):
        if end - begin > 1e-9:
            solved = solve_ivp(
                lambda minute, p_bar: RATE_PER_MIN * (inspired_bar(leg, water, minute) - p_bar),
                (begin, end),
                tension_bar,
                method="DOP853",
                rtol=1e-12,
                atol=1e-13,
            )
            assert solved.success
            tension_bar = solved.y[:, -1]
    return tension_bar


def tables_and_scratch(water, hands, start_bar):
    tables = make_tables(hands, NO_LADDER, AscentSettings(), water, 2)
    scratch = make_scratch(1)
    scratch.work[kernel.TENSION] = start_bar
    return tables, scratch


@settings(max_examples=50, deadline=None)
@given(profiles())
def test_tensions_agree_with_scipy_to_a_billionth_of_a_bar(profile):
    water, legs = profile
    expected = np.repeat([(water.surface_bar - 0.0627) * 0.7902, 0.0], 16)
    tables, scratch = tables_and_scratch(water, [leg[3] for leg in legs], expected)
    for number, leg in enumerate(legs):
        load_leg(
            ambient_bar(leg, water, 0.0),
            ambient_bar(leg, water, leg[2]),
            leg[2],
            number,
            tables.table,
            tables.setup,
            scratch.work,
            scratch.clock,
        )
        expected = by_scipy(expected, leg, water)
        assert np.abs(scratch.work[kernel.TENSION] - expected).max() < 1e-9


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(0.5, 8.0), min_size=16, max_size=16),
    st.lists(st.floats(0.0, 6.0), min_size=16, max_size=16),
    st.integers(0, 31),
    st.floats(0.0, 2.0),
    st.integers(1, 30),
    st.tuples(st.floats(0.05, 1.0), st.floats(0.05, 1.0)).map(sorted),
    st.floats(0.6, 1.05),
)
def test_more_load_in_any_compartment_never_lowers_a_ceiling(
    n2_bar, he_bar, k, more_bar, first_stop, factors, surface_bar
):
    """A lower ceiling would be a shallower one."""
    water = Water(surface_bar=surface_bar)
    hands = [AscentGas(Mixture(0.21), 500.0, 0.0)]
    tables, scratch = tables_and_scratch(water, hands, np.array(n2_bar + he_bar))
    low, high = factors

    def ceiling():
        return ceiling_level(200.0, first_stop, low, high, tables.table, tables.setup, scratch.work)

    before = ceiling()
    scratch.work[kernel.TENSION, k] += more_bar
    assert ceiling() >= before - 1e-6
