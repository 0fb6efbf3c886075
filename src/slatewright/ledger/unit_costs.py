"""What keeping and selling costs, and when one way has paid for itself: in the constant case."""

from __future__ import annotations

import math

from slatewright.sources import Symbol, formula


@formula(
    name="resale",
    title="What used gear would fetch",
    equation="S = P·r·(1 - f)^t",
    result=Symbol("S", "money", "resale"),
    symbols={
        "price": Symbol("P", "money", "price when new", 0.0),
        "resale_fraction": Symbol("r", "-", "share that it fetches the day after", 0.0, 1.0),
        "fall_per_year": Symbol("f", "1/year", "share of that lost in a year", 0.0, 1.0),
        "years": Symbol("t", "year", "age", 0.0),
    },
    source=("common practice, no published source: declining-balance depreciation",),
    valid="shares as the person states them",
)
def resale(price: float, resale_fraction: float, fall_per_year: float, years: float) -> float:
    """Return what used gear would fetch.

    Parameters
    ----------
    price
        When new [money].
    resale_fraction
        Share that it fetches the day after [-].
    fall_per_year
        Share of that lost in a year [1/year].
    years
        Its age [year].

    Returns
    -------
    float
        What it would fetch [money].
    """
    return price * resale_fraction * math.pow(1.0 - fall_per_year, years)


@formula(
    name="break-even-dives",
    title="Dives after which the dearer start has paid for itself",
    equation="n = F/(c_o - c_c - k/d)",
    result=Symbol("n", "dives", "dives until both ways have cost the same"),
    symbols={
        "more_at_start": Symbol("F", "money", "what the second way costs more at the start", 0.0),
        "first_per_dive": Symbol("c_o", "money", "a dive the first way", 0.0),
        "second_per_dive": Symbol("c_c", "money", "a dive the second way", 0.0),
        "more_per_year": Symbol("k", "money/year", "what the second way costs more to keep"),
        "dives_per_year": Symbol("d", "1/year", "dives a year", 1e-9),
    },
    source=("common practice, no published source: where two straight lines of cost meet",),
    valid="constant prices and cadence, nothing sold; below zero or without end: never",
)
def break_even_dives(
    more_at_start: float,
    first_per_dive: float,
    second_per_dive: float,
    more_per_year: float,
    dives_per_year: float,
) -> float:
    """Return after how many dives the dearer start has paid for itself.

    Parameters
    ----------
    more_at_start
        What the second way costs more at the start [money].
    first_per_dive, second_per_dive
        A dive either way [money].
    more_per_year
        What the second way costs more to keep [money/year].
    dives_per_year
        Cadence [1/year].

    Returns
    -------
    float
        Dives; infinite if never [dives].
    """
    saved_a_dive = first_per_dive - second_per_dive - more_per_year / dives_per_year
    if saved_a_dive <= 0.0:
        return math.inf
    return more_at_start / saved_a_dive
