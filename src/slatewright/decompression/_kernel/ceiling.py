"""The ceiling along a finished dive, for charts: what the gradient line allows at each moment."""

from __future__ import annotations

import math

from slatewright.decompression._kernel.compiler import compiled
from slatewright.decompression._kernel.exchange import ambient_bar, gradient_at, load_leg
from slatewright.decompression._kernel.layout import F64, HELD, PAUSE, PAUSE_COUNTED, TENSION
from slatewright.decompression._kernel.solve import over_line

HALVINGS = 30


@compiled
def ceiling_level(
    deepest: float, first_stop: int, low: float, high: float, table: F64, setup: F64, work: F64
) -> float:
    """Return the ceiling for TENSION, by halving [levels, not whole]; 0 if the surface is free.

    The line is the one of the stops: low at and below the first stop, linear above it.
    """
    if not over_line(ambient_bar(0.0, setup), gradient_at(0, first_stop, low, high), table, work):
        return 0.0
    free = deepest
    shut = 0.0
    for _ in range(HALVINGS):
        middle = 0.5 * (free + shut)
        gradient = low
        if middle < first_stop:
            gradient = high + (low - high) * middle / first_stop
        if over_line(ambient_bar(middle, setup), gradient, table, work):
            shut = middle
        else:
            free = middle
    return free


@compiled
def ceiling_along(
    legs: F64, every_min: float, deepest: float, first_stop: int, low: float, high: float,
    table: F64, setup: F64, work: F64, clock: F64, samples: F64,
) -> int:  # fmt: skip
    """Write time and ceiling of a dive, and return how many samples there are.

    legs : (legs, 5), kind, from and to [levels], minutes, gas; samples : (most, 2), in place
    A break (kind PAUSE) that is not counted lets no tension fall.
    """
    count = 0
    now_min = 0.0
    for row in range(legs.shape[0]):
        minutes = legs[row, 3]
        pieces = max(1, math.ceil(minutes / every_min))
        for piece in range(pieces):
            start = legs[row, 1] + (legs[row, 2] - legs[row, 1]) * piece / pieces
            end = legs[row, 1] + (legs[row, 2] - legs[row, 1]) * (piece + 1) / pieces
            for k in range(table.shape[1]):
                work[HELD, k] = work[TENSION, k]
            load_leg(
                ambient_bar(start, setup), ambient_bar(end, setup), minutes / pieces,
                int(legs[row, 4]), table, setup, work, clock,
            )  # fmt: skip
            if legs[row, 0] == PAUSE and setup[PAUSE_COUNTED] == 0.0:
                for k in range(table.shape[1]):
                    work[TENSION, k] = max(work[TENSION, k], work[HELD, k])
            if count < samples.shape[0]:
                samples[count, 0] = now_min + minutes * (piece + 1) / pieces
                samples[count, 1] = ceiling_level(
                    deepest, first_stop, low, high, table, setup, work
                )
                count += 1
        now_min += minutes
    return count
