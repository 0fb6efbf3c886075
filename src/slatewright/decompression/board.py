"""The model's formulas with the numbers that a diver knows: half-time and minutes."""

from __future__ import annotations

import math

from slatewright.decompression._kernel.exchange import schreiner_bar
from slatewright.sources import Symbol, formula


@formula(
    name="tension-after-leg",
    title="Tension after a leg, from half-time and minutes",
    equation="p = p_i + r (t - (1 - D) / k) + (p_0 - p_i) D, k = ln 2 / T, D = exp(-k t)",
    result=Symbol("p", "bar", "tension at the end"),
    symbols={
        "tension_bar": Symbol("p_0", "bar", "tension at the start", 0.0, 25.0),
        "inspired_bar": Symbol("p_i", "bar", "inspired pressure at the start", 0.0, 25.0),
        "slope_bar_per_min": Symbol("r", "bar/min", "change of the inspired pressure", -6.0, 6.0),
        "minutes": Symbol("t", "min", "time", 0.0, 1440.0),
        "half_time_min": Symbol("T", "min", "half-time of the compartment", 1.0, 700.0),
    },
    source=("[BAKER1998]",),
    valid="one gas, one compartment, a constant rate of depth",
)
def tension_after_leg_bar(
    tension_bar: float,
    inspired_bar: float,
    slope_bar_per_min: float,
    minutes: float,
    half_time_min: float,
) -> float:
    """Return a tension after a leg.

    Parameters
    ----------
    tension_bar
        Tension at the start [bar].
    inspired_bar
        Inspired pressure at the start [bar].
    slope_bar_per_min
        Its change; nothing at constant depth [bar/min].
    minutes
        Time [min].
    half_time_min
        Half-time of the compartment for this gas [min].

    Returns
    -------
    float
        Tension at the end [bar].
    """
    rate_per_min = math.log(2.0) / half_time_min
    decay = math.exp(-rate_per_min * minutes)
    lag_min = minutes - (1.0 - decay) / rate_per_min
    return float(schreiner_bar(tension_bar, inspired_bar, slope_bar_per_min, decay, lag_min))
