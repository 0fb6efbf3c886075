"""The thin joint between objects and the kernel's flat arrays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final

import numpy as np

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.ladder import NO_GAS, AscentGas, Ladder
from slatewright.decompression.settings import LONGEST_ASCENT_MIN, AscentSettings, WholeMinutes
from slatewright.decompression.tissues import COMPARTMENTS, WATER_VAPOUR_BAR, Tissues
from slatewright.errors import InputError
from slatewright.physics.water import Water

LONGEST_MIN: Final = int(LONGEST_ASCENT_MIN)


@dataclass(frozen=True, slots=True)
class Tables:
    """The constants of a plan, as the kernel takes them (see its head).

    Parameters
    ----------
    rungs
        Shape (ladders, 2, levels).
    table
        Shape (9 + 1441, 32).
    setup
        Flat.
    """

    rungs: kernel.I64
    table: kernel.F64
    setup: kernel.F64


@dataclass(frozen=True, slots=True)
class Scratch:
    """What one thread writes to.

    Parameters
    ----------
    work
        Shape (WORK_ROWS, 32).
    clock
        Flat.
    legs
        Shape (most legs, 6).
    """

    work: kernel.F64
    clock: kernel.F64
    legs: kernel.F64


def make_tables(
    gases: Sequence[AscentGas],
    ladders: Sequence[Ladder],
    settings: AscentSettings,
    water: Water,
    last_level: int,
) -> Tables:
    """Work out all that does not change from dive to dive.

    Parameters
    ----------
    gases, ladders
        At least one each; a ladder that is shorter than others has no gas below its foot.
    settings, water
        Model, ascent, pressure.
    last_level
        The last stop, in steps.
    """
    if len(gases) > kernel.MOST_GASES:
        raise InputError(f"{len(gases)} gases are too many", right=f"{kernel.MOST_GASES} at most")
    return Tables(
        rungs=_rungs(ladders, settings),
        table=_table(settings, last_level),
        setup=_setup(gases, settings, water, last_level),
    )


def _rungs(ladders: Sequence[Ladder], settings: AscentSettings) -> kernel.I64:
    levels = max((len(row.gas_at_level) for row in ladders), default=0)
    rungs = np.full((len(ladders), 2, levels), NO_GAS, np.int64)
    for i, row in enumerate(ladders):
        rungs[i, :, : len(row.gas_at_level)] = row.gas_at_level, row.pause_at_level
    breaks = settings.breaks
    if breaks is None:
        rungs[:, 1, :] = NO_GAS
    elif min(breaks.on_min, breaks.off_min) < 1:
        raise InputError(
            f"breaks of {breaks.off_min} min after {breaks.on_min} min", right="1 min or more each"
        )
    return rungs


def _rates_per_min(model: str) -> kernel.F64:
    table = coefficients(model)
    return math.log(2.0) / np.array(table.n2_half_time_min + table.he_half_time_min)


@cache
def _minute_decay(model: str) -> kernel.F64:
    return np.exp(-np.outer(np.arange(LONGEST_MIN + 1.0), _rates_per_min(model)))


def _zones(settings: AscentSettings, last_level: int) -> tuple[kernel.F64, kernel.F64]:
    """Return for each zone the rate [m/min] and the time to the next level [min]."""
    rate = np.array(
        [
            settings.to_first_stop_m_per_min,
            settings.between_stops_m_per_min,
            settings.to_surface_m_per_min,
        ]
    )
    step_m = settings.stop_step_m
    return rate, np.array([step_m, step_m, max(1, last_level) * step_m]) / rate


@lru_cache(maxsize=8)  # the kernel reads it only, and a plan is solved several times over
def _table(settings: AscentSettings, last_level: int) -> kernel.F64:
    model = coefficients(settings.model)
    rate_per_min = _rates_per_min(settings.model)
    _, rise_min = _zones(settings, last_level)
    decay = np.exp(-np.outer(rise_min, rate_per_min))
    lag_min = rise_min[:, np.newaxis] - (1.0 - decay) / rate_per_min
    a_bar = np.array(model.n2_a_bar + model.he_a_bar)
    b = np.array(model.n2_b + model.he_b)
    return np.vstack([rate_per_min, a_bar, b, decay, lag_min, _minute_decay(settings.model)])


def _setup(
    gases: Sequence[AscentGas], settings: AscentSettings, water: Water, last_level: int
) -> kernel.F64:
    breaks = settings.breaks
    rate_m_per_min, rise_min = _zones(settings, last_level)
    setup = np.zeros(kernel.SETUP_SIZE)
    setup[kernel.SURFACE_BAR] = water.surface_bar
    setup[kernel.STEP_M] = settings.stop_step_m
    setup[kernel.STEP_BAR] = settings.stop_step_m * water.bar_per_m
    setup[kernel.VAPOUR_BAR] = WATER_VAPOUR_BAR
    setup[kernel.LAST_LEVEL] = last_level
    setup[kernel.FROM_ARRIVAL] = settings.whole_minutes is WholeMinutes.ARRIVAL
    setup[kernel.LONGEST_MIN] = LONGEST_MIN
    setup[kernel.PAUSE_AFTER_MIN] = breaks.on_min if breaks else 0
    setup[kernel.PAUSE_MIN] = breaks.off_min if breaks else 0
    setup[kernel.PAUSE_COUNTED] = breaks.counted if breaks else True
    setup[kernel.RISE_MIN : kernel.RISE_MIN + kernel.ZONES] = rise_min
    setup[kernel.RISE_BAR_PER_MIN : kernel.RISE_BAR_PER_MIN + kernel.ZONES] = (
        -rate_m_per_min * water.bar_per_m
    )
    for i, gas in enumerate(gases):
        setup[kernel.GAS_O2 + i] = gas.mix.o2
        setup[kernel.GAS_HE + i] = gas.mix.he
        setup[kernel.GAS_SETPOINT_BAR + i] = gas.setpoint_bar or 0.0
        setup[kernel.GAS_CHANGE_MIN + i] = gas.change_min
    return setup


def make_scratch(legs: int) -> Scratch:
    """Return the scratch of one thread.

    Parameters
    ----------
    legs
        How many legs its sheet takes.
    """
    clock = np.zeros(kernel.CLOCK_SIZE)
    clock[kernel.KNOWN_MIN :] = -1.0
    return Scratch(np.zeros((kernel.WORK_ROWS, kernel.WIDE)), clock, np.zeros((legs, 6)))


def flat(tissues: Tissues) -> kernel.F64:
    """Return tensions as one array, nitrogen first.

    Parameters
    ----------
    tissues
        The tensions [bar].

    Returns
    -------
    ndarray
        Shape (32,), a new array [bar].
    """
    return np.array(tissues.n2_bar + tissues.he_bar)


def tissues_of(tension_bar: kernel.F64) -> Tissues:
    """Return an array of tensions as an object.

    Parameters
    ----------
    tension_bar
        Shape (32,) [bar].
    """
    values = tension_bar.tolist()
    return Tissues(tuple(values[:COMPARTMENTS]), tuple(values[COMPARTMENTS:]))
