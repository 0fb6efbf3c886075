"""Tensions at moments along a finished dive: where an ascent that was not planned begins."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.along import tensions_along
from slatewright.decompression._tables import flat, make_scratch, make_tables
from slatewright.decompression.ladder import AscentGas, Ladder
from slatewright.decompression.leg import Leg
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import Tissues
from slatewright.errors import InputError
from slatewright.physics.water import Water

_SAME_MIN: Final = 1e-9


def tensions_at(
    legs: Sequence[Leg],
    at_min: npt.ArrayLike,
    settings: AscentSettings,
    water: Water,
    start: Tissues,
) -> npt.NDArray[np.float64]:
    """Return the tensions at moments of a dive.

    Parameters
    ----------
    legs
        The finished dive, or its first part.
    at_min
        Shape (n,): run times, rising, from the start to the end of the legs [min].
    settings, water
        Model, levels, breaks; pressure.
    start
        Tensions at the start of the legs.

    Returns
    -------
    ndarray
        Shape (n, 32): nitrogen of all compartments, then helium [bar].

    Raises
    ------
    InputError
        If a moment lies outside the legs, or they do not rise.
    """
    marks = np.asarray(at_min, dtype=np.float64)
    first, last = legs[0].start_min, legs[-1].end_min
    inside = (marks >= first - _SAME_MIN) & (marks <= last + _SAME_MIN)
    if marks.ndim != 1 or not bool(inside.all()) or bool((np.diff(marks) <= 0.0).any()):
        raise InputError(
            "moments outside the dive, or not one after the other",
            where="at_min",
            right=f"rising run times from {first:g} to {last:g} min",
        )
    gases = list(dict.fromkeys((leg.gas, leg.setpoint_bar) for leg in legs))
    hands = [AscentGas(mix, math.inf, 0.0, setpoint_bar=setpoint) for mix, setpoint in gases]
    tables = make_tables(hands, [Ladder((0,), (-1,))], settings, water, settings.last_level)
    scratch = make_scratch(1)
    scratch.work[kernel.TENSION] = flat(start)
    marked_bar = np.tile(flat(start), (marks.size, 1))  # what lies at the very start keeps this
    pieces = _pieces(legs, marks, settings.stop_step_m, gases)
    tensions_along(pieces, tables.table, tables.setup, scratch.work, scratch.clock, marked_bar)
    return marked_bar


def _pieces(
    legs: Sequence[Leg],
    marks: npt.NDArray[np.float64],
    step_m: float,
    gases: Sequence[tuple[object, float | None]],
) -> npt.NDArray[np.float64]:
    """Return the legs cut at the marks."""
    pieces = []
    mark = int(np.searchsorted(marks, legs[0].start_min + _SAME_MIN, side="right"))
    for leg in legs:
        kind = kernel.PAUSE if leg.pause else kernel.STOP
        gas = gases.index((leg.gas, leg.setpoint_bar))
        done_min = 0.0
        while done_min < leg.minutes:
            ends = mark < marks.size and marks[mark] <= leg.end_min + _SAME_MIN
            to_min = min(float(marks[mark]) - leg.start_min, leg.minutes) if ends else leg.minutes
            here, there = (
                (leg.from_m + (leg.to_m - leg.from_m) * passed / leg.minutes) / step_m
                for passed in (done_min, to_min)
            )
            pieces.append([kind, here, there, to_min - done_min, gas, mark if ends else -1])
            done_min = to_min
            mark += ends
    return np.array(pieces)
