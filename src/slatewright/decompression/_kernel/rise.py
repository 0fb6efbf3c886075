"""The way up: levels, changes of gas, stops, breaks."""

from __future__ import annotations

import math

from slatewright.decompression._kernel.clock import (
    end_rise,
    note_leg,
    pass_time,
    run_time_min,
    start_minutes_here,
    stay,
    wait_to_whole_min,
)
from slatewright.decompression._kernel.compiler import inlined, merged
from slatewright.decompression._kernel.exchange import (
    ambient_bar,
    gradient_at,
    level_above,
    load_leg,
)
from slatewright.decompression._kernel.layout import (
    AMPLITUDE,
    AT_ONCE,
    BASE,
    BETWEEN_STOPS,
    F64,
    GAS_CHANGE_MIN,
    GIVE_UP_MIN,
    HELD,
    I64,
    LONGEST_MIN,
    MINUTE_DECAY,
    NEVER,
    OK,
    ON_MIN,
    PART_MIN,
    PAUSE,
    PAUSE_AFTER_MIN,
    PAUSE_COUNTED,
    PAUSE_MIN,
    RISE_FROM,
    RISE_MIN,
    RISE_SINCE_MIN,
    RISE_ZONE,
    SAME_MINUTE,
    STOP,
    SWITCH,
    TENSION,
    TO_FIRST_STOP,
    TO_SURFACE,
    TOO_LONG,
    WHOLE_MIN,
)
from slatewright.decompression._kernel.stop import (
    first_minute,
    prepare_stop,
    worst_over_line,
)


@merged
def change_gas(
    level: int, gas: int, wanted: int, table: F64, setup: F64, work: F64, clock: F64, legs: F64
) -> None:
    """Change gas at a level, in place; meanwhile the gas that is being left is breathed."""
    end_rise(float(level), gas, clock, legs)
    change_min = setup[GAS_CHANGE_MIN + wanted]
    if change_min > 0.0:
        start_minutes_here(setup, clock)
        note_leg(
            SWITCH, float(level), float(level), run_time_min(clock), change_min, gas, clock, legs
        )
        here_bar = ambient_bar(float(level), setup)
        load_leg(here_bar, here_bar, change_min, gas, table, setup, work, clock)
        pass_time(change_min, clock)
        clock[RISE_SINCE_MIN] = run_time_min(clock)
    clock[ON_MIN] = 0.0


@inlined
def go_up(
    level: int,
    zone: int,
    minute: int,
    gas: int,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
    legs: F64,
) -> None:
    """Arrive at the next level after `minute` whole minutes of the prepared stop, in place."""
    if zone != clock[RISE_ZONE]:
        end_rise(float(level), gas, clock, legs)
        clock[RISE_ZONE] = zone
    for k in range(table.shape[1]):
        work[TENSION, k] = work[BASE, k] + work[AMPLITUDE, k] * table[MINUTE_DECAY + minute, k]
    pass_time(setup[RISE_MIN + zone], clock)


@merged
def pass_level(
    level: int,
    gas: int,
    changed: bool,
    low: float,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
    legs: F64,
) -> bool:
    """Go up without a stop if the low line allows it, in place; return whether it did.

    After a change of gas the level is left on a whole minute.
    """
    above = level_above(level, setup)
    zone = TO_FIRST_STOP if above > 0 else TO_SURFACE
    wait_min = wait_to_whole_min(clock) if changed else 0.0
    prepare_stop(level, zone, wait_min, gas, table, setup, work, clock)
    if worst_over_line(AT_ONCE, ambient_bar(float(above), setup), low, table, work) >= 0:
        return False
    stay(STOP, level, wait_min, AT_ONCE, gas, clock, legs)
    go_up(level, zone, AT_ONCE, gas, table, setup, work, clock, legs)
    return True


@merged
def sit_out(
    level: int,
    pausing: bool,
    wait_min: float,
    minute: int,
    gas: int,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
    legs: F64,
) -> None:
    """Sit out a spell on oxygen, or a break, to its end, in place.

    A break that is not counted earns nothing: no tension falls in it. The ascent to here ends on
    the gas of this spell, even if none of it is left and the break begins on arrival.
    """
    end_rise(float(level), gas, clock, legs)
    for k in range(table.shape[1]):
        work[HELD, k] = work[TENSION, k]
    here_bar = ambient_bar(float(level), setup)
    load_leg(here_bar, here_bar, wait_min + minute, gas, table, setup, work, clock)
    if pausing and setup[PAUSE_COUNTED] == 0.0:
        for k in range(table.shape[1]):
            work[TENSION, k] = max(work[TENSION, k], work[HELD, k])
    stay(PAUSE if pausing else STOP, level, wait_min, minute, gas, clock, legs)


@merged
def spell_minutes(pausing: bool, pause_gas: int, wait_min: float, setup: F64, clock: F64) -> int:
    """Return the most whole minutes that may pass before the gas in the mouth must change."""
    if pausing:
        return int(setup[PAUSE_MIN])
    if pause_gas < 0:
        return int(setup[LONGEST_MIN])
    left_min = float(setup[PAUSE_AFTER_MIN] - clock[ON_MIN] - wait_min)
    return max(0, math.floor(left_min + SAME_MINUTE))


@merged
def hold_stop(
    level: int,
    gas: int,
    pause_gas: int,
    gradient: float,
    leader: int,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
    legs: F64,
) -> tuple[int, int, int]:
    """Stay until the next level can be reached on or under the line, with breaks; then go there.

    In place; returns the status, the gas breathed on leaving, and the compartment that led.
    """
    above = level_above(level, setup)
    above_bar = ambient_bar(float(above), setup)
    zone = BETWEEN_STOPS if above > 0 else TO_SURFACE
    mouth = gas
    for _spell in range(2 * int(setup[LONGEST_MIN])):  # spells on the gas and breaks take turns
        pausing = mouth != gas
        wait_min = wait_to_whole_min(clock)
        last_minute = spell_minutes(pausing, pause_gas, wait_min, setup, clock)
        prepare_stop(level, zone, wait_min, mouth, table, setup, work, clock)
        if not pausing or setup[PAUSE_COUNTED] > 0.0:
            minute, leader = first_minute(leader, last_minute, above_bar, gradient, table, work)
            if minute != NEVER:
                kind = PAUSE if pausing else STOP
                stay(kind, level, wait_min, minute, mouth, clock, legs)
                go_up(level, zone, minute, mouth, table, setup, work, clock, legs)
                return OK, mouth, leader
        if pause_gas < 0 or run_time_min(clock) > clock[GIVE_UP_MIN]:
            return TOO_LONG, mouth, leader
        sit_out(level, pausing, wait_min, last_minute, mouth, table, setup, work, clock, legs)
        mouth = gas if pausing else pause_gas
        clock[ON_MIN] = 0.0
    return TOO_LONG, mouth, leader


@merged
def set_out(level: int, start_min: float, setup: F64, clock: F64) -> None:
    """Set the clock at the start of an ascent, in place."""
    clock[WHOLE_MIN] = 0.0
    clock[PART_MIN] = 0.0
    pass_time(start_min, clock)
    clock[ON_MIN] = 0.0
    clock[GIVE_UP_MIN] = start_min + setup[LONGEST_MIN]
    clock[RISE_FROM] = level
    clock[RISE_SINCE_MIN] = start_min
    clock[RISE_ZONE] = TO_FIRST_STOP


@merged
def ascend(
    level: int,
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
) -> tuple[int, int]:
    """Bring a diver from a level to the surface, with stops, changes of gas and breaks.

    Parameters
    ----------
    level, start_min, gas
        Where the ascent begins: depth in steps, run time, gas breathed on arrival there.
    first_stop
        The first stop where it has been reached already, else 0 [level].
    low, high
        Gradient factors.
    rungs
        (2, levels), the ladder of this diver.
     table, setup
        Constants of the plan.
    work,  clock, legs
        The diver and the log, changed in place: TENSION is that on surfacing, the clock stands at
        the surface, the legs are added.

    Returns
    -------
    tuple
        Status; first stop (level, 0 if none).
    """
    set_out(level, start_min, setup, clock)
    leader = AT_ONCE  # compartment 1b leads at first
    while level > 0:
        wanted = rungs[0, level]
        changed = wanted != gas and setup[GAS_CHANGE_MIN + wanted] > 0.0
        if wanted != gas:
            change_gas(level, gas, wanted, table, setup, work, clock, legs)
            gas = wanted
        if first_stop == 0:
            if pass_level(level, gas, changed, low, table, setup, work, clock, legs):
                level = level_above(level, setup)
                continue
            first_stop = level
        if not changed:
            start_minutes_here(setup, clock)
        gradient = gradient_at(level_above(level, setup), first_stop, low, high)
        status, gas, leader = hold_stop(
            level, gas, rungs[1, level], gradient, leader, table, setup, work, clock, legs
        )
        if status != OK:
            return status, first_stop
        if run_time_min(clock) > clock[GIVE_UP_MIN]:
            return TOO_LONG, first_stop
        level = level_above(level, setup)
    end_rise(0.0, gas, clock, legs)
    return OK, first_stop
