"""The ceiling along a finished dive."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.ceiling import ceiling_along
from slatewright.decompression._tables import flat, make_scratch, make_tables
from slatewright.decompression.ladder import AscentGas, Ladder
from slatewright.decompression.leg import Leg
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import Tissues
from slatewright.physics.water import Water

EVERY_MIN: Final = 0.5
_BELOW_M: Final = 100.0
"""How far below the deepest point of the dive a ceiling is looked for [m]."""


def ceiling_of(
    legs: Sequence[Leg],
    settings: AscentSettings,
    water: Water,
    start: Tissues,
    first_stop_m: float | None,
) -> tuple[tuple[float, float], ...]:
    """Return run time and ceiling along a dive.

    Parameters
    ----------
    legs
        The finished dive.
    settings, water
        Model, gradient factors, pressure.
    start
        Tensions at the start.
    first_stop_m
        The first stop [m], None if there is none.

    Returns
    -------
    tuple
        Pairs of run time [min] and ceiling [m], at least twice a minute; 0 m where the surface
        could be reached. Deeper than the diver where the line is passed.

    Notes
    -----
    The line is that of the stops: the low gradient factor at and below the first stop, linear from
    there to the high one at the surface. Without a first stop it is the low one everywhere. In
    breaks that are not counted no tension falls.
    """
    gases = list(dict.fromkeys((leg.gas, leg.setpoint_bar) for leg in legs))
    hands = [AscentGas(mix, math.inf, 0.0, setpoint_bar=setpoint) for mix, setpoint in gases]
    tables = make_tables(hands, [Ladder((0,), (-1,))], settings, water, settings.last_level)
    scratch = make_scratch(1)
    scratch.work[kernel.TENSION] = flat(start)
    step_m = settings.stop_step_m
    rows = np.array(
        [
            [kernel.PAUSE if leg.pause else kernel.STOP, leg.from_m / step_m, leg.to_m / step_m,
             leg.minutes, gases.index((leg.gas, leg.setpoint_bar))]
            for leg in legs
        ]
    )  # fmt: skip
    samples = np.zeros((sum(math.ceil(leg.minutes / EVERY_MIN) + 1 for leg in legs), 2))
    count = ceiling_along(
        rows,
        EVERY_MIN,
        (max(max(leg.from_m, leg.to_m) for leg in legs) + _BELOW_M) / step_m,
        round((first_stop_m or 0.0) / step_m),
        settings.gradient_low,
        settings.gradient_high,
        tables.table,
        tables.setup,
        scratch.work,
        scratch.clock,
        samples,
    )
    start_min = legs[0].start_min
    return tuple((start_min + minute, level * step_m) for minute, level in samples[:count].tolist())
