"""The ceiling along a dive, held against the line solved for depth by a general root finder."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq

from slatewright.decompression.ceiling import ceiling_of
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.integration import track
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.settings import AscentSettings, OxygenBreaks
from slatewright.decompression.tissues import Tissues, air_saturated
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.water import Water

WATER = Water()
SETTINGS = AscentSettings(gradient_low=0.3, gradient_high=0.8)
TRIMIX = Mixture(0.18, 0.45)
FIRST_STOP_M = 27.0


def chained(*legs):
    """Make legs of kind, end depth, minutes, gas, and whether it is a break."""
    done, depth_m, now_min = [], 0.0, 0.0
    for kind, to_m, minutes, gas, *pause in legs:
        done.append(Leg(kind, depth_m, to_m, now_min, minutes, gas, pause=bool(pause)))
        depth_m, now_min = to_m, now_min + minutes
    return done


DIVE = chained(
    (LegKind.DESCENT, 60.0, 3.0, TRIMIX),
    (LegKind.BOTTOM, 60.0, 22.0, TRIMIX),
    (LegKind.ASCENT, 27.0, 33.0 / 9.0, TRIMIX),
    (LegKind.STOP, 27.0, 2.0, TRIMIX),
    (LegKind.ASCENT, 21.0, 6.0 / 9.0, TRIMIX),
    (LegKind.STOP, 21.0, 5.0, Mixture(0.5)),
    (LegKind.ASCENT, 6.0, 15.0 / 9.0, Mixture(0.5)),
    (LegKind.STOP, 6.0, 40.0, OXYGEN),
    (LegKind.ASCENT, 0.0, 6.0 / 9.0, OXYGEN),
)


def ceiling_by_roots(tension_bar, first_stop_m):
    """Return the depth at which the worst compartment stands on its line."""
    model = coefficients(SETTINGS.model)
    n2, he = tension_bar[:16], tension_bar[16:]
    a_bar = (np.array(model.n2_a_bar) * n2 + np.array(model.he_a_bar) * he) / (n2 + he)
    b = (np.array(model.n2_b) * n2 + np.array(model.he_b) * he) / (n2 + he)

    def excess_bar(depth_m):
        p_bar = WATER.ambient_bar(depth_m)
        low, high = SETTINGS.gradient_low, SETTINGS.gradient_high
        g = low if not first_stop_m else high + (low - high) * min(1.0, depth_m / first_stop_m)
        return (n2 + he - (p_bar + g * (a_bar + p_bar / b - p_bar))).max()

    return 0.0 if excess_bar(0.0) <= 0.0 else brentq(excess_bar, 0.0, 150.0, xtol=1e-10)


@pytest.mark.parametrize("first_stop_m", [FIRST_STOP_M, None])
def test_at_the_end_of_each_leg_it_is_where_the_line_is(first_stop_m):
    start = air_saturated(WATER.surface_bar)
    found = dict(ceiling_of(DIVE, SETTINGS, WATER, start, first_stop_m))
    path = track(DIVE, WATER, start, coefficients(SETTINGS.model), step_m=3.0)
    deepest_m = 0.0
    for leg, mark in zip(DIVE, path.leg_end, strict=True):
        at_min = min(found, key=lambda minute: abs(minute - leg.end_min))
        assert at_min == pytest.approx(leg.end_min, abs=1e-9)
        right_m = ceiling_by_roots(path.tension_bar[mark], first_stop_m)
        assert found[at_min] == pytest.approx(right_m, abs=1e-5)
        deepest_m = max(deepest_m, right_m)
    assert deepest_m > 20.0


def test_it_is_told_at_least_twice_a_minute_and_from_the_start_of_the_first_leg():
    legs = [replace(leg, start_min=leg.start_min + 10.0) for leg in DIVE]
    minutes = [m for m, _ in ceiling_of(legs, SETTINGS, WATER, air_saturated(1.01325), None)]
    assert minutes[0] == pytest.approx(10.5)
    assert minutes[-1] == pytest.approx(legs[-1].end_min)
    assert max(np.diff(minutes)) <= 0.5 + 1e-9


def test_one_who_waits_at_the_surface_too_full_is_shown_deeper_than_he_is():
    waiting = [Leg(LegKind.SURFACE, 0.0, 0.0, 0.0, 0.01, AIR)]
    full = Tissues((2.5,) * 16, (0.0,) * 16)
    ceiling_m = ceiling_of(waiting, SETTINGS, WATER, full, None)[-1][1]
    path = track(waiting, WATER, full, coefficients(SETTINGS.model), step_m=3.0)
    assert ceiling_m == pytest.approx(ceiling_by_roots(path.tension_bar[-1], None), abs=1e-5)
    assert ceiling_m > 5.0


@pytest.mark.parametrize("counted", [True, False])
def test_a_break_that_is_not_counted_does_not_lift_it(counted):
    breaks = OxygenBreaks(12, 6, counted=counted)
    legs = chained(
        (LegKind.DESCENT, 50.0, 2.5, TRIMIX),
        (LegKind.BOTTOM, 50.0, 27.5, TRIMIX),
        (LegKind.ASCENT, 6.0, 44.0 / 9.0, TRIMIX),
        (LegKind.STOP, 6.0, 12.0, OXYGEN),
        (LegKind.STOP, 6.0, 6.0, Mixture(0.5), True),
        (LegKind.STOP, 6.0, 12.0, OXYGEN),
    )
    found = ceiling_of(legs, replace(SETTINGS, breaks=breaks), WATER, air_saturated(1.01325), 6.0)
    in_break = [
        m for at_min, m in found if legs[4].start_min - 1e-9 <= at_min <= legs[4].end_min + 1e-9
    ]
    assert len(in_break) == 13
    assert in_break[0] > 3.0
    assert (in_break[-1] < in_break[0] - 0.1) is counted
    assert counted or all(b >= a - 1e-6 for a, b in pairwise(in_break))
    # what a second look by numerical integration makes of it
    path = track(
        legs, WATER, air_saturated(1.01325), coefficients("ZH-L16C"), step_m=3.0,
        breaks_count=counted,
    )  # fmt: skip
    after = ceiling_by_roots(path.tension_bar[path.leg_end[4]], 6.0)
    assert in_break[-1] == pytest.approx(after, abs=1e-5)
