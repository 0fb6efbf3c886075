"""The formulas of oxygen exposure, each with its source.

The published tables and formulas count ppO2 in standard atmospheres; dives are computed in bar.
Within a piece of a leg ppO2 is linear in time; the integrals over such a piece are in closed form.
"""

from __future__ import annotations

import math
from typing import Final

from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.sources import Symbol, formula

THRESHOLD_ATM: Final = 0.5
"""Up to this ppO2 nothing is counted [atm]: the zero of the pulmonary formula [CLARK1970]."""

_MINUTES: Final = Symbol("t", "min", "time", 0.0)
_PPO2_START: Final = Symbol("P_1", "atm", "ppO2 at the start", 0.0)
_PPO2_END: Final = Symbol("P_2", "atm", "ppO2 at the end", 0.0)
_INDEX: Final = Symbol("K", "min2·atm^6.8", "power-law index", 0.0)
_CALCULUS: Final = "the integral over a linear change of ppO2, by calculus"


@formula(
    name="ppo2-in-atmospheres",
    title="ppO2 in the unit of the oxygen tables",
    equation="P = p_O2 / 1.01325",
    result=Symbol("P", "atm", "ppO2"),
    symbols={"ppo2_bar": Symbol("p_O2", "bar", "ppO2", 0.0)},
    source=("[NIST811]",),
)
def ppo2_atm(ppo2_bar: float) -> float:
    """Return a ppO2 in standard atmospheres.

    Parameters
    ----------
    ppo2_bar
        Partial pressure of oxygen [bar].

    Returns
    -------
    float
        The same [atm].
    """
    return ppo2_bar / STANDARD_ATMOSPHERE_BAR


@formula(
    name="oxygen-limit",
    title="Single-exposure limit between two rows of the oxygen table",
    equation="L = L_1 + (L_2 - L_1)·(P - P_1) / (P_2 - P_1)",
    result=Symbol("L", "min", "limit of a single exposure"),
    symbols={
        "ppo2": Symbol("P", "atm", "ppO2", 0.6, 2.8),
        "row_below": Symbol("P_1", "atm", "the row at or below", 0.5, 2.8),
        "row_above": Symbol("P_2", "atm", "the row above", 0.5, 2.8),
        "limit_below_min": Symbol("L_1", "min", "its limit", 0.0),
        "limit_above_min": Symbol("L_2", "min", "the limit of the row above", 0.0),
    },
    source=("[NOAA1991] for the rows", "common practice, no published source for interpolating"),
    differs="The table prints nothing between rows. The house rule oxygen_table says whether to "
    "interpolate or to step to the next higher row.",
    house_rules=("oxygen_table",),
)
def limit_between_rows_min(
    ppo2: float, row_below: float, row_above: float, limit_below_min: float, limit_above_min: float
) -> float:
    """Return the limit at a ppO2 between two rows of the table.

    Parameters
    ----------
    ppo2
        Partial pressure of oxygen [atm].
    row_below, row_above
        ppO2 of the rows [atm].
    limit_below_min, limit_above_min
        Their limits [min].

    Returns
    -------
    float
        The limit [min].
    """
    share = (ppo2 - row_below) / (row_above - row_below)
    return limit_below_min + (limit_above_min - limit_below_min) * share


@formula(
    name="cns-share",
    title="CNS share of a stretch in which the limit changes linearly",
    equation="CNS = 100·t·ln(L_2 / L_1) / (L_2 - L_1), and 100·t / L where it does not change",
    result=Symbol("CNS", "%", "share of the single-exposure limit"),
    symbols={
        "minutes": _MINUTES,
        "limit_start_min": Symbol("L_1", "min", "limit at the start", 5.0),
        "limit_end_min": Symbol("L_2", "min", "limit at the end", 5.0),
    },
    source=("[NOAA1991]", _CALCULUS),
    house_rules=("oxygen_table",),
)
def cns_share_pct(minutes: float, limit_start_min: float, limit_end_min: float) -> float:
    """Return the CNS share of a stretch.

    Parameters
    ----------
    minutes
        Its length [min].
    limit_start_min, limit_end_min
        Single-exposure limits at its ends [min].

    Returns
    -------
    float
        Share of the limit [%].
    """
    steady_pct = 100.0 * minutes / limit_start_min
    change = (limit_end_min - limit_start_min) / limit_start_min
    if change == 0.0:
        return steady_pct
    return steady_pct * math.log1p(change) / change


@formula(
    name="mean-power",
    title="Mean of a power over a linear change",
    equation="M = (x_2^(n+1) - x_1^(n+1)) / ((n + 1)·(x_2 - x_1)), and x^n where x does not change",
    result=Symbol("M", "-", "mean of x^n"),
    symbols={
        "start": Symbol("x_1", "-", "value at the start", 0.0),
        "end": Symbol("x_2", "-", "value at the end", 0.0),
        "exponent": Symbol("n", "-", "exponent", 0.0),
    },
    source=("calculus",),
    differs="Where the ends differ by less than 1 in 100000 the power of their mean is taken, "
    "which is right to ten digits; the quotient would lose as many to rounding.",
)
def mean_power(start: float, end: float, exponent: float) -> float:
    """Return the mean of a power over a linear change.

    Parameters
    ----------
    start, end
        Values at the ends, not negative [-].
    exponent
        The power [-].

    Returns
    -------
    float
        The mean [-].
    """
    middle = (start + end) / 2.0
    if abs(end - start) <= 1e-5 * middle:
        return math.pow(middle, exponent)
    rise = math.pow(end, exponent + 1.0) - math.pow(start, exponent + 1.0)
    return rise / ((exponent + 1.0) * (end - start))


@formula(
    name="pulmonary-dose",
    title="Pulmonary oxygen dose of a stretch in which ppO2 changes linearly",
    equation="OTU = t · mean of ((P - 0.5) / 0.5)^(5/6)",
    result=Symbol("OTU", "OTU", "pulmonary dose, in units of a minute at 1 atm"),
    symbols={"minutes": _MINUTES, "ppo2_start": _PPO2_START, "ppo2_end": _PPO2_END},
    source=("[CLARK1970]", _CALCULUS),
    valid="ppO2 of 0.5 atm and more at both ends; nothing is counted below",
    differs="The exponent is 5/6; others round it to 0.83, which gives 0.3 % less at 1.6 atm.",
)
def pulmonary_dose_otu(minutes: float, ppo2_start: float, ppo2_end: float) -> float:
    """Return the pulmonary dose of a stretch.

    Parameters
    ----------
    minutes
        Its length [min].
    ppo2_start, ppo2_end
        ppO2 at its ends, at least 0.5 [atm].

    Returns
    -------
    float
        The dose, 1 for a minute at 1 atm [OTU].
    """
    above_start = (ppo2_start - 0.5) / 0.5
    above_end = (ppo2_end - 0.5) / 0.5
    return minutes * mean_power(above_start, above_end, 5.0 / 6.0)


@formula(
    name="oxygen-index",
    title="Power-law index after a further stretch in which ppO2 changes linearly",
    equation="K = (sqrt(K_0) + t · mean of P^(m/2))^2",
    result=Symbol("K", "-", "power-law index; t^2·P^m for a single steady exposure"),
    symbols={
        "index_before": Symbol("K_0", "-", "index at the start", 0.0),
        "time": Symbol("t", "min or h", "time: minutes for CNS, hours for lungs", 0.0),
        "ppo2_start": _PPO2_START,
        "ppo2_end": _PPO2_END,
        "exponent": Symbol("m", "-", "6.8 for CNS, 4.57 for lungs", 4.0, 7.0),
    },
    source=("[ARIELI2002]", _CALCULUS),
    differs="The abstract gives the index of one steady exposure, t^2·P^m. Stretches are joined by "
    "equivalent time: each begins as if the index so far had been gathered at its own ppO2.",
)
def index_after(
    index_before: float, time: float, ppo2_start: float, ppo2_end: float, exponent: float
) -> float:
    """Return the power-law index after a further stretch.

    Parameters
    ----------
    index_before
        Index at its start [-].
    time
        Its length [min] for CNS, [h] for lungs.
    ppo2_start, ppo2_end
        ppO2 at its ends [atm].
    exponent
        6.8 for CNS, 4.57 for lungs [-].

    Returns
    -------
    float
        The index at its end [-].
    """
    root = math.sqrt(index_before) + time * mean_power(ppo2_start, ppo2_end, exponent / 2.0)
    return root * root


@formula(
    name="oxygen-index-recovery",
    title="Recovery of the CNS index",
    equation="K = K_0·exp(-0.079·t)",
    result=_INDEX,
    symbols={"index": Symbol("K_0", "-", "index at the start", 0.0), "minutes": _MINUTES},
    source=("[ARIELI2002]",),
    valid="while ppO2 is low",
    differs="The abstract names no bound; ppO2 up to 0.5 atm counts as low here.",
)
def recovered_index(index: float, minutes: float) -> float:
    """Return the CNS index after a time at low ppO2.

    Parameters
    ----------
    index
        Index at its start [-].
    minutes
        Its length [min].

    Returns
    -------
    float
        The index at its end [-].
    """
    return index * math.exp(-0.079 * minutes)


@formula(
    name="oxygen-index-risk",
    title="Risk of CNS oxygen toxicity by the power-law index",
    equation="R = 100·Phi(Z), Z = (ln(K)/2 - 9.63) / 2.02",
    result=Symbol("R", "%", "risk"),
    symbols={"index": _INDEX},
    source=("[ARIELI2002]",),
    valid="the abstract, which is what was read, states no range",
    differs="The print has Z = (ln t - 9.63 + 3.38·ln P) / 2.02. ln(K)/2 is ln t + 3.40·ln P, so "
    "that the risk of a changing ppO2 follows from the index; at 2 atm it is 2 % of itself higher.",
)
def index_risk_pct(index: float) -> float:
    """Return the risk that goes with a CNS index.

    Parameters
    ----------
    index
        Power-law index [min2 atm^6.8].

    Returns
    -------
    float
        Risk of a symptom [%].
    """
    if index <= 0.0:
        return 0.0
    z = (math.log(index) / 2.0 - 9.63) / 2.02
    return 50.0 * math.erfc(-z / math.sqrt(2.0))


@formula(
    name="vital-capacity-loss",
    title="Loss of vital capacity by the pulmonary power-law index",
    equation="dVC = 0.0082·K",
    result=Symbol("dVC", "%", "loss of vital capacity"),
    symbols={"index": Symbol("K", "h2·atm^4.57", "pulmonary power-law index", 0.0)},
    source=("[ARIELI2002]",),
    differs="The published recovery depends on the ppO2 of the exposure and is left out: the loss "
    "shown is never too small.",
)
def vital_capacity_loss_pct(index: float) -> float:
    """Return the loss of vital capacity that goes with a pulmonary index.

    Parameters
    ----------
    index
        Pulmonary power-law index [h2 atm^4.57].

    Returns
    -------
    float
        Loss [%].
    """
    return 0.0082 * index


@formula(
    name="cns-after-surface",
    title="CNS share after a time at the surface",
    equation="CNS = CNS_0·2^(-t / T)",
    result=Symbol("CNS", "%", "share left"),
    symbols={
        "cns_pct": Symbol("CNS_0", "%", "share on surfacing", 0.0),
        "minutes": _MINUTES,
        "half_time_min": Symbol("T", "min", "half-time", 30.0, 360.0),
    },
    source=("common practice, no published source",),
    house_rules=("cns_half_time_min",),
)
def cns_after_surface_pct(cns_pct: float, minutes: float, half_time_min: float) -> float:
    """Return the CNS share that is left after a time at the surface.

    Parameters
    ----------
    cns_pct
        Share on surfacing [%].
    minutes
        Time at the surface [min].
    half_time_min
        Time in which it halves [min].

    Returns
    -------
    float
        Share left [%].
    """
    return cns_pct * math.pow(2.0, -minutes / half_time_min)
