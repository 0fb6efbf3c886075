"""The diver's clock, and the log of legs."""

from __future__ import annotations

import math

from slatewright.decompression._kernel.compiler import compiled
from slatewright.decompression._kernel.layout import (
    ASCENT,
    F64,
    FROM_ARRIVAL,
    LEG_COUNT,
    ON_MIN,
    PART_MIN,
    RISE_FROM,
    RISE_SINCE_MIN,
    SAME_MINUTE,
    WHOLE_MIN,
)


@compiled
def run_time_min(clock: F64) -> float:
    """Return the run time [min]."""
    return float(clock[WHOLE_MIN] + clock[PART_MIN])


@compiled
def pass_time(minutes: float, clock: F64) -> None:
    """Let time pass, in place.

    Whole minutes and the part on top are kept apart, so that equal waits are equal to the last
    digit at any run time, and their exponentials are found again.
    """
    part_min = clock[PART_MIN] + minutes
    whole_min = math.floor(part_min + SAME_MINUTE)
    part_min -= whole_min
    clock[WHOLE_MIN] += whole_min
    clock[PART_MIN] = part_min if part_min > SAME_MINUTE else 0.0
    clock[ON_MIN] += minutes


@compiled
def start_minutes_here(setup: F64, clock: F64) -> None:
    """Count whole minutes from now on, in place, if the house rule says minutes from arrival."""
    if setup[FROM_ARRIVAL] > 0.0:
        clock[WHOLE_MIN] += clock[PART_MIN]
        clock[PART_MIN] = 0.0


@compiled
def wait_to_whole_min(clock: F64) -> float:
    """Return the time to the next whole minute; nothing if it is whole now [min]."""
    return 0.0 if clock[PART_MIN] == 0.0 else 1.0 - clock[PART_MIN]


@compiled
def note_leg(
    kind: float,
    from_level: float,
    to_level: float,
    start_min: float,
    minutes: float,
    gas: int,
    clock: F64,
    legs: F64,
) -> None:
    """Write one leg, in place; a full sheet takes no more, but the count goes on."""
    row = int(clock[LEG_COUNT])
    clock[LEG_COUNT] += 1.0
    if row < legs.shape[0]:
        legs[row, 0] = kind
        legs[row, 1] = from_level
        legs[row, 2] = to_level
        legs[row, 3] = start_min
        legs[row, 4] = minutes
        legs[row, 5] = gas


@compiled
def end_rise(level: float, gas: int, clock: F64, legs: F64) -> None:
    """Write the ascent leg that is under way, if any, and begin the next one here, in place."""
    now_min = run_time_min(clock)
    since_min = clock[RISE_SINCE_MIN]
    if clock[RISE_FROM] > level:
        note_leg(ASCENT, clock[RISE_FROM], level, since_min, now_min - since_min, gas, clock, legs)
    clock[RISE_FROM] = level
    clock[RISE_SINCE_MIN] = now_min


@compiled
def stay(
    kind: float, level: int, wait_min: float, minute: int, gas: int, clock: F64, legs: F64
) -> None:
    """Let the time of a stop pass and write its leg, in place; tensions are left alone."""
    if wait_min + minute > 0.0:
        end_rise(float(level), gas, clock, legs)
        note_leg(
            kind,
            float(level),
            float(level),
            run_time_min(clock),
            wait_min + minute,
            gas,
            clock,
            legs,
        )
        pass_time(wait_min, clock)
        clock[WHOLE_MIN] += minute
        clock[ON_MIN] += minute
        clock[RISE_SINCE_MIN] = run_time_min(clock)
