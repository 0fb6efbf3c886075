"""Gas exchange: each formula of the model once, and a leg of a dive."""

from __future__ import annotations

import math

from slatewright.decompression._kernel.compiler import compiled, inlined
from slatewright.decompression._kernel.layout import (
    F64,
    GAS_HE,
    GAS_O2,
    GAS_SETPOINT_BAR,
    KNOWN,
    KNOWN_MIN,
    KNOWN_TIMES,
    LAST_LEVEL,
    RATE,
    STEP_BAR,
    SURFACE_BAR,
    TENSION,
    VAPOUR_BAR,
)
from slatewright.sources import Symbol, formula


@compiled
def half(table: F64) -> int:
    """Return the number of compartments, 16.

    Read off the table: loops whose length the compiler knows are unrolled instead of vectorised.
    """
    return int(table.shape[1]) // 2


@formula(
    name="inspired-inert-gas",
    title="Inspired pressure of an inert gas",
    equation="p_i = (p - p_H2O) f",
    result=Symbol("p_i", "bar", "inspired pressure of the gas"),
    symbols={
        "ambient_bar": Symbol("p", "bar", "ambient pressure, absolute", 0.4, 25.0),
        "fraction": Symbol("f", "-", "mole fraction of the gas", 0.0, 1.0),
        "vapour_bar": Symbol("p_H2O", "bar", "water vapour in the lungs, 0.0627", 0.0, 0.07),
    },
    source=("[BUEHLMANN2002]",),
)
@compiled
def inspired_bar(ambient_bar: float, fraction: float, vapour_bar: float) -> float:
    """Return the inspired pressure of an inert gas: (ambient - water vapour) * fraction [bar]."""
    return (ambient_bar - vapour_bar) * fraction


@formula(
    name="loop-inert-gas",
    title="Inert gas in a closed circuit",
    equation="p_i = p - p_H2O - s, at least 0, at most (p - p_H2O) (1 - f_O2)",
    result=Symbol("p_i", "bar", "inspired pressure of all inert gas"),
    symbols={
        "ambient_bar": Symbol("p", "bar", "ambient pressure, absolute", 0.4, 25.0),
        "o2": Symbol("f_O2", "-", "mole fraction of oxygen in the diluent", 0.0, 1.0),
        "setpoint_bar": Symbol("s", "bar", "setpoint", 0.1, 1.6),
        "vapour_bar": Symbol("p_H2O", "bar", "water vapour in the lungs, 0.0627", 0.0, 0.07),
    },
    source=("Dalton's law; common practice, no published source",),
)
@compiled
def loop_inert_bar(ambient_bar: float, o2: float, setpoint_bar: float, vapour_bar: float) -> float:
    """Return the inert gas pressure in a closed circuit that keeps a setpoint [bar].

    Dry ambient less the setpoint; never below nothing, never above what the diluent brings.
    """
    dry_bar = ambient_bar - vapour_bar
    return max(0.0, min(dry_bar - setpoint_bar, dry_bar * (1.0 - o2)))


@formula(
    name="tension",
    title="Tension after a time of linear inspired pressure (Schreiner)",
    equation="p = p_i + r L + (p_0 - p_i) D",
    result=Symbol("p", "bar", "tension at the end"),
    symbols={
        "tension_bar": Symbol("p_0", "bar", "tension at the start", 0.0, 25.0),
        "inspired_bar": Symbol("p_i", "bar", "inspired pressure at the start", 0.0, 25.0),
        "slope_bar_per_min": Symbol("r", "bar/min", "change of the inspired pressure"),
        "decay": Symbol("D", "-", "exp(-k t), k = ln 2 / half-time", 0.0, 1.0),
        "lag_min": Symbol("L", "min", "t - (1 - exp(-k t)) / k", 0.0),
    },
    source=("[BAKER1998]",),
    valid="one gas, one compartment, a constant rate of depth",
)
@compiled
def schreiner_bar(
    tension_bar: float, inspired_bar: float, slope_bar_per_min: float, decay: float, lag_min: float
) -> float:
    """Return a tension after a time in which the inspired pressure is linear [bar].

    Schreiner's solution of dp/dt = k (p_insp - p), p_insp(t) = inspired + slope t:
    p(t) = inspired + slope (t - (1 - exp(-k t)) / k) + (p(0) - inspired) exp(-k t), with
    decay = exp(-k t) and lag = t - (1 - exp(-k t)) / k. At constant depth the slope is zero
    [BAKER1998].
    """
    return inspired_bar + slope_bar_per_min * lag_min + (tension_bar - inspired_bar) * decay


@formula(
    name="tolerated-tension",
    title="Tolerated tension on the gradient line",
    equation="p_t = p + g (a + p / b - p)",
    result=Symbol("p_t", "bar", "highest tension on or under the line"),
    symbols={
        "ambient_bar": Symbol("p", "bar", "ambient pressure, absolute", 0.4, 25.0),
        "gradient": Symbol("g", "-", "gradient factor", 0.0, 1.0),
        "a_bar": Symbol("a", "bar", "coefficient a of the compartment", 0.2, 2.0),
        "over_b": Symbol("1/b", "-", "reciprocal of coefficient b", 1.0, 2.5),
    },
    source=("[BUEHLMANN2002]", "[BAKER1998b] for the gradient factor"),
)
@compiled
def tolerated_bar(ambient_bar: float, gradient: float, a_bar: float, over_b: float) -> float:
    """Return the tolerated tension, p + g (a + p / b - p) [bar] [BUEHLMANN2002] [BAKER1998]."""
    return ambient_bar + gradient * (a_bar + over_b * ambient_bar - ambient_bar)


@formula(
    name="excess-over-line",
    title="How far a compartment is over its line",
    equation="x = p_N2 + p_He - p_t, a and b weighted by tension",
    result=Symbol("x", "bar", "excess; on or under the line it is not above 0"),
    symbols={
        "n2_bar": Symbol("p_N2", "bar", "tension of nitrogen", 0.0, 25.0),
        "he_bar": Symbol("p_He", "bar", "tension of helium", 0.0, 25.0),
        "ambient_bar": Symbol("p", "bar", "ambient pressure, absolute", 0.4, 25.0),
        "gradient": Symbol("g", "-", "gradient factor", 0.0, 1.0),
        "n2_a_bar": Symbol("a_N2", "bar", "coefficient a of nitrogen", 0.2, 2.0),
        "he_a_bar": Symbol("a_He", "bar", "coefficient a of helium", 0.2, 2.0),
        "n2_b": Symbol("b_N2", "-", "coefficient b of nitrogen", 0.4, 1.0),
        "he_b": Symbol("b_He", "-", "coefficient b of helium", 0.4, 1.0),
    },
    source=("[BUEHLMANN2002]", "[BAKER1998b]"),
)
@compiled
def excess_bar(
    n2_bar: float,
    he_bar: float,
    ambient_bar: float,
    gradient: float,
    n2_a_bar: float,
    he_a_bar: float,
    n2_b: float,
    he_b: float,
) -> float:
    """Return by how much a compartment passes its line; a and b weighted by tension [bar]."""
    total_bar = n2_bar + he_bar
    a_bar = (n2_a_bar * n2_bar + he_a_bar * he_bar) / total_bar
    over_b = total_bar / (n2_b * n2_bar + he_b * he_bar)
    return total_bar - tolerated_bar(ambient_bar, gradient, a_bar, over_b)


@formula(
    name="gradient-factor",
    title="Gradient factor at a level",
    equation="g = g_high + (g_low - g_high) n / n_1; g_low at and below the first stop",
    result=Symbol("g", "-", "gradient factor"),
    symbols={
        "level": Symbol("n", "-", "level, counted in stop steps from the surface", 0.0),
        "first_stop": Symbol("n_1", "-", "first stop, counted likewise", 0.0),
        "low": Symbol("g_low", "-", "gradient factor low", 0.0, 1.0),
        "high": Symbol("g_high", "-", "gradient factor high", 0.0, 1.0),
    },
    source=("[BAKER1998b]",),
)
@compiled
def gradient_at(level: int, first_stop: int, low: float, high: float) -> float:
    """Return the gradient factor at a level: low at and below the first stop, high at surface."""
    if level >= first_stop:
        return low
    return high + (low - high) * level / first_stop


@compiled
def ambient_bar(level: float, setup: F64) -> float:
    """Return the ambient pressure at a level, which need not be whole [bar]."""
    return float(setup[SURFACE_BAR] + level * setup[STEP_BAR])


@compiled
def level_above(level: int, setup: F64) -> int:
    """Return the next level on the way up; above the last stop there is only the surface."""
    return 0 if level <= setup[LAST_LEVEL] else level - 1


@inlined
def known_row(minutes: float, table: F64, work: F64, clock: F64) -> int:
    """Return the row after KNOWN that holds exp(-k t) for a time, worked out if it is not there."""
    row = int(minutes * 1000.0) % KNOWN_TIMES
    if clock[KNOWN_MIN + row] != minutes:
        clock[KNOWN_MIN + row] = minutes
        for k in range(table.shape[1]):
            work[KNOWN + row, k] = math.exp(-table[RATE, k] * minutes)
    return row


@compiled
def load_piece(
    n2_bar: float,
    he_bar: float,
    n2_slope: float,
    he_slope: float,
    minutes: float,
    table: F64,
    work: F64,
    clock: F64,
) -> None:
    """Bring TENSION through a time of linear inspired pressures, in place.

    n2_bar, he_bar : inspired at the start [bar]; n2_slope, he_slope : their change [bar/min]
    """
    row = known_row(minutes, table, work, clock)
    for k in range(half(table)):
        decay = work[KNOWN + row, k]
        lag_min = minutes - (1.0 - decay) / table[RATE, k]
        work[TENSION, k] = schreiner_bar(work[TENSION, k], n2_bar, n2_slope, decay, lag_min)
    for k in range(half(table), table.shape[1]):
        decay = work[KNOWN + row, k]
        lag_min = minutes - (1.0 - decay) / table[RATE, k]
        work[TENSION, k] = schreiner_bar(work[TENSION, k], he_bar, he_slope, decay, lag_min)


@compiled
def load_loop(
    from_bar: float,
    to_bar: float,
    minutes: float,
    o2: float,
    he: float,
    setpoint_bar: float,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
) -> None:
    """Bring TENSION through a leg on a closed circuit, in place.

    The inspired inert pressure has two corners: where the setpoint is all of the dry ambient
    pressure, and where the diluent alone is richer than the setpoint. The leg is cut there.
    """
    vapour = setup[VAPOUR_BAR]
    n2 = max(0.0, 1.0 - o2 - he)
    inert = max(1e-12, n2 + he)
    slope = (to_bar - from_bar) / minutes
    corner_shallow = setpoint_bar + vapour
    corner_deep = setpoint_bar / o2 + vapour
    start = from_bar
    for piece in range(3):
        end = to_bar
        if piece < 2 and slope > 0.0:
            end = min(to_bar, max(from_bar, corner_shallow if piece == 0 else corner_deep))
        elif piece < 2 and slope < 0.0:
            end = max(to_bar, min(from_bar, corner_deep if piece == 0 else corner_shallow))
        piece_min = (end - start) / slope if slope != 0.0 else minutes
        if piece_min > 0.0:
            first = loop_inert_bar(start, o2, setpoint_bar, vapour) / inert
            rise = (loop_inert_bar(end, o2, setpoint_bar, vapour) / inert - first) / piece_min
            load_piece(first * n2, first * he, rise * n2, rise * he, piece_min, table, work, clock)
        start = end
        if slope == 0.0:
            break


@compiled
def load_leg(
    from_bar: float,
    to_bar: float,
    minutes: float,
    gas: int,
    table: F64,
    setup: F64,
    work: F64,
    clock: F64,
) -> None:
    """Bring TENSION through one leg between two ambient pressures, in place."""
    if minutes <= 0.0:
        return
    o2 = setup[GAS_O2 + gas]
    he = setup[GAS_HE + gas]
    if setup[GAS_SETPOINT_BAR + gas] > 0.0:
        load_loop(
            from_bar,
            to_bar,
            minutes,
            o2,
            he,
            setup[GAS_SETPOINT_BAR + gas],
            table,
            setup,
            work,
            clock,
        )
        return
    vapour = setup[VAPOUR_BAR]
    n2 = max(0.0, 1.0 - o2 - he)
    slope = (to_bar - from_bar) / minutes
    load_piece(
        inspired_bar(from_bar, n2, vapour),
        inspired_bar(from_bar, he, vapour),
        slope * n2,
        slope * he,
        minutes,
        table,
        work,
        clock,
    )
