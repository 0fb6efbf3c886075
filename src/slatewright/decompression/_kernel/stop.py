"""A stop: its first minute after which the next level can be reached.

How it is found without walking its minutes. Breathing one gas at one depth for n whole minutes and
then ascending to the next level brings each tension to BASE + AMPLITUDE * exp(-k n), where BASE and
AMPLITUDE do not depend on n. The compartment that led at the level below is walked alone, minute by
minute, to its first minute on or under its line; then all sixteen are looked at for that minute; if
another one is over its line, that one is walked on from there. No minute is passed over in which
all were under their lines, since in each of them the walked compartment was over its own: the
result is that of walking every minute with every compartment.
"""

from __future__ import annotations

from slatewright.decompression._kernel.compiler import inlined, merged
from slatewright.decompression._kernel.exchange import (
    ambient_bar,
    excess_bar,
    half,
    inspired_bar,
    known_row,
    level_above,
    load_loop,
    loop_inert_bar,
)
from slatewright.decompression._kernel.layout import (
    A_BAR,
    AMPLITUDE,
    AT_ONCE,
    BASE,
    EXCESS,
    F64,
    GAS_HE,
    GAS_O2,
    GAS_SETPOINT_BAR,
    HELD,
    KNOWN,
    MINUTE_DECAY,
    NEVER,
    RISE_BAR_PER_MIN,
    RISE_DECAY,
    RISE_LAG_MIN,
    RISE_MIN,
    TENSION,
    VAPOUR_BAR,
    B,
    N,
)


@inlined
def prepare_stop(
    level: int, zone: int, wait_min: float, gas: int, table: F64, setup: F64, work: F64, clock: F64
) -> None:
    """Write BASE and AMPLITUDE of a stop with the ascent that ends it, in place.

    The stop is `wait_min` (to the next whole minute) and n whole minutes; after it and the ascent
    each tension is BASE + AMPLITUDE * exp(-k n): Schreiner's solution twice.
    """
    if setup[GAS_SETPOINT_BAR + gas] > 0.0:
        prepare_stop_on_loop(level, zone, wait_min, gas, table, setup, work, clock)
        return
    he = setup[GAS_HE + gas]
    n2 = max(0.0, 1.0 - setup[GAS_O2 + gas] - he)
    depth_bar = ambient_bar(float(level), setup)
    n2_bar = inspired_bar(depth_bar, n2, setup[VAPOUR_BAR])
    he_bar = inspired_bar(depth_bar, he, setup[VAPOUR_BAR])
    n2_slope = setup[RISE_BAR_PER_MIN + zone] * n2
    he_slope = setup[RISE_BAR_PER_MIN + zone] * he
    row = known_row(wait_min, table, work, clock)
    for k in range(half(table)):
        work[BASE, k] = n2_bar + n2_slope * table[RISE_LAG_MIN + zone, k]
        work[AMPLITUDE, k] = (work[TENSION, k] - n2_bar) * (
            table[RISE_DECAY + zone, k] * work[KNOWN + row, k]
        )
    for k in range(half(table), table.shape[1]):
        work[BASE, k] = he_bar + he_slope * table[RISE_LAG_MIN + zone, k]
        work[AMPLITUDE, k] = (work[TENSION, k] - he_bar) * (
            table[RISE_DECAY + zone, k] * work[KNOWN + row, k]
        )


@merged
def prepare_stop_on_loop(
    level: int, zone: int, wait_min: float, gas: int, table: F64, setup: F64, work: F64, clock: F64
) -> None:
    """Do the same on a closed circuit, whose inspired pressures have corners on the way, in place.

    What the ascent adds is what it makes of empty tissues.
    """
    o2 = setup[GAS_O2 + gas]
    he = setup[GAS_HE + gas]
    n2 = max(0.0, 1.0 - o2 - he)
    setpoint = setup[GAS_SETPOINT_BAR + gas]
    here_bar = ambient_bar(float(level), setup)
    above_bar = ambient_bar(float(level_above(level, setup)), setup)
    inert_bar = loop_inert_bar(here_bar, o2, setpoint, setup[VAPOUR_BAR]) / max(1e-12, n2 + he)
    for k in range(table.shape[1]):
        work[HELD, k] = work[TENSION, k]
        work[TENSION, k] = 0.0
    load_loop(
        here_bar, above_bar, setup[RISE_MIN + zone], o2, he, setpoint, table, setup, work, clock
    )
    row = known_row(wait_min, table, work, clock)
    for k in range(table.shape[1]):
        inspired = inert_bar * (n2 if k < N else he)
        work[BASE, k] = inspired * table[RISE_DECAY + zone, k] + work[TENSION, k]
        work[AMPLITUDE, k] = (work[HELD, k] - inspired) * (
            table[RISE_DECAY + zone, k] * work[KNOWN + row, k]
        )
        work[TENSION, k] = work[HELD, k]


@inlined
def worst_over_line(minute: int, above_bar: float, gradient: float, table: F64, work: F64) -> int:
    """Return the compartment farthest over its line on arrival after a minute, -1 for none."""
    over = 0
    for k in range(half(table)):
        excess = excess_bar(
            work[BASE, k] + work[AMPLITUDE, k] * table[MINUTE_DECAY + minute, k],
            work[BASE, N + k] + work[AMPLITUDE, N + k] * table[MINUTE_DECAY + minute, N + k],
            above_bar,
            gradient,
            table[A_BAR, k],
            table[A_BAR, N + k],
            table[B, k],
            table[B, N + k],
        )
        work[EXCESS, k] = excess
        if excess > 0.0:
            over += 1
    if over == 0:
        return -1
    worst = 0
    for k in range(1, half(table)):
        if work[EXCESS, k] > work[EXCESS, worst]:
            worst = k
    return worst


@merged
def walk_one(
    k: int, minute: int, last_minute: int, above_bar: float, gradient: float, table: F64, work: F64
) -> int:
    """Return the first minute from `minute` on after which one compartment is under its line."""
    n2_base = work[BASE, k]
    he_base = work[BASE, N + k]
    n2_amplitude = work[AMPLITUDE, k]
    he_amplitude = work[AMPLITUDE, N + k]
    n2_a = table[A_BAR, k]
    he_a = table[A_BAR, N + k]
    n2_b = table[B, k]
    he_b = table[B, N + k]
    for n in range(minute, last_minute + 1):
        excess = excess_bar(
            n2_base + n2_amplitude * table[MINUTE_DECAY + n, k],
            he_base + he_amplitude * table[MINUTE_DECAY + n, N + k],
            above_bar,
            gradient,
            n2_a,
            he_a,
            n2_b,
            he_b,
        )
        if excess <= 0.0:
            return n
    return NEVER


@merged
def first_minute(
    leader: int, last_minute: int, above_bar: float, gradient: float, table: F64, work: F64
) -> tuple[int, int]:
    """Return the first minute after which all are on or under their lines, and who led to it.

    NEVER if there is none up to and including `last_minute`.
    """
    minute = AT_ONCE
    while True:
        minute = walk_one(leader, minute, last_minute, above_bar, gradient, table, work)
        if minute == NEVER:
            return NEVER, leader
        worst = worst_over_line(minute, above_bar, gradient, table, work)
        if worst < 0:
            return minute, leader
        leader = worst
