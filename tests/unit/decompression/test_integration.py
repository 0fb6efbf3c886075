"""What the integration of the second check must do on dives that can be worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.integration import loop_ppo2_bar, track
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.tissues import air_saturated
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.water import Water

WATER = Water()
MODEL = coefficients("ZH-L16C")
START = air_saturated(WATER.surface_bar)
TRIMIX = Mixture(0.18, 0.45)


def stay(minutes, gas=TRIMIX, depth_m=30.0, **rest):
    return Leg(LegKind.BOTTOM, depth_m, depth_m, 0.0, minutes, gas, **rest)


def test_after_sixty_half_times_a_tension_is_what_is_inspired():
    # by hand: 4.01325 - 0.0627 = 3.95055 bar dry; 0.37 of it nitrogen, 0.45 helium
    path = track([stay(60.0 * 5.0)], WATER, START, MODEL, step_m=3.0)
    assert path.tension_bar[-1, 0] == pytest.approx(3.95055 * 0.37, abs=1e-9)
    assert path.tension_bar[-1, 16] == pytest.approx(3.95055 * 0.45, abs=1e-9)


def test_after_one_half_time_half_the_way_is_gone():
    # by hand: compartment 1b, nitrogen from 0.95055 * 0.7902 towards 3.95055 * 0.79 on air
    path = track([stay(5.0, AIR)], WATER, START, MODEL, step_m=3.0)
    by_hand_bar = (0.95055 * 0.7902 + 3.95055 * 0.79) / 2.0
    assert path.tension_bar[-1, 0] == pytest.approx(by_hand_bar, abs=1e-9)


def test_the_person_saturated_at_the_surface_stays_so():
    air = Mixture(1.0 - 0.7902)
    path = track([stay(600.0, air, 0.0)], WATER, START, MODEL, step_m=3.0)
    assert np.abs(path.tension_bar - path.tension_bar[0]).max() < 1e-12


def test_cutting_a_leg_changes_nothing():
    whole = track([stay(37.0)], WATER, START, MODEL, step_m=3.0)
    parts = track([stay(11.3), stay(25.7)], WATER, START, MODEL, step_m=3.0)
    assert np.abs(whole.tension_bar[-1] - parts.tension_bar[-1]).max() < 1e-11


def test_an_ascent_has_a_mark_at_every_level():
    legs = [Leg(LegKind.ASCENT, 20.0, 0.0, 0.0, 20.0 / 9.0, AIR)]
    path = track(legs, WATER, START, MODEL, step_m=3.0)
    for level_m in (18.0, 15.0, 12.0, 9.0, 6.0, 3.0, 0.0):
        assert np.abs(path.depth_m - level_m).min() < 1e-9
    assert np.diff(path.time_min).max() <= 1.0 + 1e-9
    assert path.leg_end.tolist() == [path.time_min.size - 1]


def test_no_tension_falls_in_a_break_that_is_not_counted():
    legs = [stay(6.0, OXYGEN, 6.0, pause=True)]
    counted = track(legs, WATER, START, MODEL, step_m=3.0)
    held = track(legs, WATER, START, MODEL, step_m=3.0, breaks_count=False)
    assert (counted.tension_bar[-1, :16] < counted.tension_bar[0, :16]).all()
    assert (held.tension_bar[-1] == held.tension_bar[0]).all()


def test_a_loop_that_keeps_1_3_bar_leaves_the_rest_to_the_diluent():
    # by hand: 4.01325 - 0.0627 - 1.3 = 2.65055 bar inert, 0.37/0.82 of it nitrogen
    path = track([stay(300.0, setpoint_bar=1.3)], WATER, START, MODEL, step_m=3.0)
    assert path.tension_bar[-1, 0] == pytest.approx(2.65055 * 0.37 / 0.82, abs=1e-9)
    assert path.tension_bar[-1, 16] == pytest.approx(2.65055 * 0.45 / 0.82, abs=1e-9)


@pytest.mark.parametrize(
    ("ambient_bar", "gas", "setpoint_bar", "ppo2_bar"),
    [
        (4.0, TRIMIX, None, 0.72),
        (4.0, TRIMIX, 1.3, 1.3),
        (1.0, TRIMIX, 1.3, 1.0),  # no more than all of it
        (4.0, Mixture(0.5), 1.3, 2.0),  # no less than the diluent brings
    ],
)
def test_ppo2(ambient_bar, gas, setpoint_bar, ppo2_bar):
    assert loop_ppo2_bar(ambient_bar, gas, setpoint_bar) == pytest.approx(ppo2_bar)
