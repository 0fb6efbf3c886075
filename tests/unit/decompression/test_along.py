"""Tensions along a dive: those of the integration, and what uncounted breaks hold."""

from __future__ import annotations

import numpy as np
import pytest

from slatewright.decompression.along import tensions_at
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.integration import track
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.settings import AscentSettings, OxygenBreaks
from slatewright.decompression.tissues import air_saturated
from slatewright.errors import InputError
from slatewright.physics.mixture import AIR, OXYGEN
from slatewright.physics.water import Water

WATER = Water()
START = air_saturated(WATER.surface_bar)
LEGS = (
    Leg(LegKind.DESCENT, 0.0, 30.0, 0.0, 1.5, AIR),
    Leg(LegKind.BOTTOM, 30.0, 30.0, 1.5, 38.5, AIR),
    Leg(LegKind.ASCENT, 30.0, 6.0, 40.0, 2.4, AIR),
    Leg(LegKind.STOP, 6.0, 6.0, 42.4, 9.6, OXYGEN),
    Leg(LegKind.STOP, 6.0, 6.0, 52.0, 6.0, AIR, pause=True),
    Leg(LegKind.STOP, 6.0, 6.0, 58.0, 4.0, OXYGEN),
)


def settings(counted):
    return AscentSettings(breaks=OxygenBreaks(12, 6, counted=counted))


def integrated(minute, counted):
    cut = [leg for leg in LEGS if leg.start_min < minute - 1e-9]
    last = cut[-1]
    share = min(1.0, (minute - last.start_min) / last.minutes)
    cut[-1] = Leg(
        last.kind, last.from_m, last.from_m + (last.to_m - last.from_m) * share, last.start_min,
        last.minutes * share, last.gas, pause=last.pause,
    )  # fmt: skip
    path = track(cut, WATER, START, coefficients("ZH-L16C"), step_m=3.0, breaks_count=counted)
    return path.tension_bar[-1]


@pytest.mark.parametrize("counted", [True, False])
def test_tensions_are_those_of_the_integration(counted):
    minutes = [0.5, 1.5, 20.0, 41.0, 45.0, 52.0, 58.0, 60.0, 62.0]
    found = tensions_at(LEGS, minutes, settings(counted), WATER, START)
    for row, minute in zip(found, minutes, strict=True):
        assert row == pytest.approx(integrated(minute, counted), abs=1e-8), minute


def test_the_start_and_every_order_of_marks():
    found = tensions_at(LEGS, [0.0, 62.0], settings(True), WATER, START)
    assert found[0] == pytest.approx(np.array(START.n2_bar + START.he_bar))
    many = tensions_at(LEGS, np.linspace(0.25, 62.0, 248), settings(True), WATER, START)
    assert many[-1] == pytest.approx(found[-1], abs=1e-12)


@pytest.mark.parametrize("minutes", [[-1.0], [63.0], [5.0, 4.0], [5.0, 5.0], [[5.0]]])
def test_moments_outside_are_refused(minutes):
    with pytest.raises(InputError, match="moments outside"):
        tensions_at(LEGS, minutes, settings(True), WATER, START)
