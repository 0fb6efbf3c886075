"""A dive, and a batch of dives."""

from __future__ import annotations

import math

from slatewright.decompression._kernel.clock import (
    note_leg,
    run_time_min,
)
from slatewright.decompression._kernel.compiler import compiled, merged
from slatewright.decompression._kernel.exchange import (
    ambient_bar,
    excess_bar,
    gradient_at,
    half,
    load_leg,
)
from slatewright.decompression._kernel.layout import (
    A_BAR,
    ASCENT,
    AT_ONCE,
    CEILING,
    F64,
    I64,
    LAST_LEVEL,
    LEG_COUNT,
    LEGS_FULL,
    OK,
    RISE_BAR_PER_MIN,
    SAME_MINUTE,
    STEP_M,
    STOP,
    TENSION,
    TO_FIRST_STOP,
    TO_SURFACE,
    B,
    N,
)
from slatewright.decompression._kernel.rise import (
    ascend,
)


@merged
def follow_legs(planned: F64, table: F64, setup: F64, work: F64, clock: F64, legs: F64) -> float:
    """Bring a diver through the planned legs, in place; return the run time [min].

    planned : (legs, 5), kind, from and to [m], minutes, gas; minutes 0 is padding
    """
    now_min = 0.0
    for row in range(planned.shape[0]):
        minutes = planned[row, 3]
        gas = int(planned[row, 4])
        if minutes > 0.0:
            from_level = planned[row, 1] / setup[STEP_M]
            to_level = planned[row, 2] / setup[STEP_M]
            from_bar = ambient_bar(from_level, setup)
            to_bar = ambient_bar(to_level, setup)
            load_leg(from_bar, to_bar, minutes, gas, table, setup, work, clock)
            note_leg(
                planned[row, 0],
                from_level,
                to_level,
                now_min,
                minutes,
                gas,
                clock,
                legs,
            )
            now_min += minutes
    whole_min = math.floor(now_min + 0.5)
    return whole_min if abs(now_min - whole_min) < SAME_MINUTE else now_min


@merged
def planned_count(planned: F64) -> int:
    """Return the number of planned legs, padding left out."""
    count = 0
    for row in range(planned.shape[0]):
        if planned[row, 3] > 0.0:
            count += 1
    return count


@compiled
def over_line(at_bar: float, gradient: float, table: F64, work: F64) -> bool:
    """Return whether any compartment passes its line now."""
    for k in range(half(table)):
        excess = excess_bar(
            work[TENSION, k],
            work[TENSION, N + k],
            at_bar,
            gradient,
            table[A_BAR, k],
            table[A_BAR, N + k],
            table[B, k],
            table[B, N + k],
        )
        if excess > 0.0:
            return True
    return False


@merged
def reach_level(
    depth: float,
    start_min: float,
    gas: int,
    first_stop: int,
    low: float,
    high: float,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
    legs: F64,
) -> tuple[int, int, float]:
    """Go up from any depth to the level at or above it, in place.

    From shallower than the last stop that level is the surface. Returns status, level, run time.
    """
    level = math.floor(depth + SAME_MINUTE)
    if level < setup[LAST_LEVEL]:
        level = 0
    if depth - level < SAME_MINUTE:
        return OK, level, start_min
    zone = TO_FIRST_STOP if level > 0 else TO_SURFACE
    from_bar = ambient_bar(depth, setup)
    to_bar = ambient_bar(float(level), setup)
    minutes = (to_bar - from_bar) / setup[RISE_BAR_PER_MIN + zone]
    load_leg(from_bar, to_bar, minutes, gas, table, setup, work, clock)
    note_leg(ASCENT, depth, float(level), start_min, minutes, gas, clock, legs)
    gradient = gradient_at(level, first_stop, low, high)
    status = CEILING if over_line(to_bar, gradient, table, work) else OK
    return status, level, start_min + minutes


@compiled
def solve(
    planned: F64,
    depth: float,
    start_min: float,
    gas: int,
    first_stop: int,
    low: float,
    high: float,
    rungs: I64,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
    legs: F64,
) -> tuple[int, int, float]:
    """Solve one dive: the planned legs, if any, then the ascent.

    Parameters
    ----------
    planned
        As for `follow_legs`; may have no rows.
    depth, start_min, gas
        Where the ascent begins [levels, not whole], [min], index; with planned legs, `start_min`
        is what they take.
    first_stop, low, high, rungs,  table, setup, work,  clock, legs
        As for `ascend`; TENSION holds the start.

    Returns
    -------
    tuple
        Status; first stop (level, 0 if none); run time at the surface [min].
    """
    clock[LEG_COUNT] = 0.0
    now_min = follow_legs(planned, table, setup, work, clock, legs)
    if planned.shape[0] == 0:
        now_min = start_min
    status, level, now_min = reach_level(
        depth, now_min, gas, first_stop, low, high, table, setup, work, clock, legs
    )
    if status != OK or level == 0:
        return status, 0, now_min
    status, first_stop = ascend(
        level, now_min, gas, first_stop, low, high, rungs, table, setup, work, clock, legs
    )
    if status == OK and clock[LEG_COUNT] > legs.shape[0]:
        status = LEGS_FULL
    return status, first_stop, run_time_min(clock)


@compiled
def solve_many(
    start_bar: F64,
    planned: F64,
    depth: F64,
    start_min: F64,
    gas: I64,
    ladder: I64,
    low: F64,
    high: F64,
    rungs: I64,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
    legs: F64,
    stop_min: F64,
    first_stop: I64,
    surfaced_min: F64,
    status: I64,
    end_bar: F64,
    kept: I64,
    kept_legs: F64,
    dives: I64,
) -> None:
    """Solve some dives of a batch of n, by their numbers; the results are written in place.

    Inputs with one row serve all dives. With m planned legs and s levels:

    start_bar : (n or 1, 32); planned : (n or 1, m, 5); depth, start_min, gas, ladder, low, high :
    (n or 1,), as for `solve`; ladder is the row of rungs
    stop_min : (n, s), minutes at each level after the planned legs, changes of gas and breaks
    included, in place
    first_stop, surfaced_min, status : (n,), in place
    end_bar : (n or 0, 32), tensions on surfacing, in place; (0, 32) if they are not wanted
    kept, kept_legs : (n or 0,) and (n or 0, most, 6), how many legs each dive has and what they
    are, depths in metres, in place; none if they are not wanted
    dives : (some,), which dives are solved
    """
    for dive in dives:
        diver = dive if start_bar.shape[0] > 1 else 0
        for k in range(table.shape[1]):
            work[TENSION, k] = start_bar[diver, k]
        if kept.shape[0] > 0:
            legs = kept_legs[dive]
        way = planned[dive if planned.shape[0] > 1 else 0]
        code, stop, end_min = solve(
            way,
            depth[dive if depth.shape[0] > 1 else 0],
            start_min[dive if start_min.shape[0] > 1 else 0],
            gas[dive if gas.shape[0] > 1 else 0],
            AT_ONCE,
            low[dive if low.shape[0] > 1 else 0],
            high[dive if high.shape[0] > 1 else 0],
            rungs[ladder[dive if ladder.shape[0] > 1 else 0]],
            table,
            setup,
            work,
            clock,
            legs,
        )
        status[dive] = code
        first_stop[dive] = stop
        surfaced_min[dive] = end_min
        for row in range(planned_count(way), min(int(clock[LEG_COUNT]), legs.shape[0])):
            if legs[row, 0] >= STOP:
                stop_min[dive, int(legs[row, 1])] += legs[row, 4]
        if end_bar.shape[0] > 0:
            for k in range(table.shape[1]):
                end_bar[dive, k] = work[TENSION, k]
        if kept.shape[0] > 0:
            kept[dive] = int(clock[LEG_COUNT])
            for row in range(min(kept[dive], legs.shape[0])):
                legs[row, 1] *= setup[STEP_M]
                legs[row, 2] *= setup[STEP_M]
