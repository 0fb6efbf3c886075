"""Tensions of the second check against SciPy's adaptive eighth-order solver, over random dives."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.integration import track
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.tissues import air_saturated
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water

MODEL = coefficients("ZH-L16C")
RATE_PER_MIN = math.log(2.0) / np.array(MODEL.n2_half_time_min + MODEL.he_half_time_min)


@st.composite
def mixtures(draw):
    o2 = draw(st.floats(0.08, 1.0))
    return Mixture(o2, draw(st.floats(0.0, 0.999)) * (1.0 - o2))


@st.composite
def dives(draw):
    water = Water(
        surface_bar=draw(st.floats(0.6, 1.05)), bar_per_m=draw(st.sampled_from([0.0980665, 0.1]))
    )
    legs, depth_m, now_min = [], 0.0, 0.0
    for _ in range(draw(st.integers(1, 6))):
        to_m = draw(st.one_of(st.just(depth_m), st.floats(0.0, 120.0)))
        minutes = draw(st.floats(0.01, 40.0))
        setpoint_bar = draw(st.one_of(st.none(), st.floats(0.4, 1.6)))
        kind = LegKind.STOP if to_m == depth_m else LegKind.DESCENT
        if to_m < depth_m:
            kind = LegKind.ASCENT
        gas = draw(mixtures())
        legs.append(Leg(kind, depth_m, to_m, now_min, minutes, gas, setpoint_bar))
        depth_m, now_min = to_m, now_min + minutes
    return water, legs


def inspired_bar(leg: Leg, water: Water, minute: float) -> np.ndarray:
    """Return nitrogen sixteen times and helium sixteen times, written down anew."""
    depth_m = leg.from_m + (leg.to_m - leg.from_m) * minute / leg.minutes
    dry_bar = water.surface_bar + depth_m * water.bar_per_m - 0.0627
    inert_bar = dry_bar * (1.0 - leg.gas.o2)
    if leg.setpoint_bar is not None:
        inert_bar = min(inert_bar, max(0.0, dry_bar - leg.setpoint_bar))
    helium = leg.gas.he / (1.0 - leg.gas.o2) if leg.gas.o2 < 1.0 else 0.0
    return np.repeat([inert_bar * (1.0 - helium), inert_bar * helium], 16)


def corners_min(leg: Leg, water: Water) -> list[float]:
    """Return the times at which the loop begins or ceases to keep its setpoint."""
    times = [0.0, leg.minutes]
    if leg.setpoint_bar is not None and leg.to_m != leg.from_m:
        for bar in (leg.setpoint_bar, leg.setpoint_bar / leg.gas.o2):
            depth_m = (bar + 0.0627 - water.surface_bar) / water.bar_per_m
            times.append((depth_m - leg.from_m) / (leg.to_m - leg.from_m) * leg.minutes)
    return sorted(time for time in times if 0.0 <= time <= leg.minutes)


@settings(max_examples=40, deadline=None)
@given(dives())
def test_tensions_agree_with_scipy_to_a_billionth_of_a_bar(dive):
    water, legs = dive
    start = air_saturated(water.surface_bar)
    path = track(legs, water, start, MODEL, step_m=3.0)
    tension_bar = np.array(start.n2_bar + start.he_bar)
    for index, leg in enumerate(legs):
        times = corners_min(leg, water)
        for begin, end in pairwise(times):
            if end - begin < 1e-9:
                continue
            solved = solve_ivp(
                lambda minute, p_bar, leg=leg: (
                    RATE_PER_MIN * (inspired_bar(leg, water, minute) - p_bar)
                ),
                (begin, end),
                tension_bar,
                method="DOP853",
                rtol=1e-12,
                atol=1e-13,
            )
            assert solved.success
            tension_bar = solved.y[:, -1]
        ours_bar = path.tension_bar[path.leg_end[index]]
        assert np.abs(ours_bar - tension_bar).max() < 1e-9
