"""A booster pump: from which pressure it takes gas, and up to which it brings it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slatewright.errors import InputError
from slatewright.sources import Symbol, formula


@formula(
    name="booster-limit",
    title="Pressure up to which a booster fills",
    equation="p_out = min(p_max, r·p_in)",
    result=Symbol("p_out", "bar", "absolute pressure that can be reached"),
    symbols={
        "inlet_bar": Symbol("p_in", "bar", "absolute pressure of the supply", 0.0, 400.0),
        "ratio": Symbol("r", "-", "highest ratio of the pressures", 1.0),
        "outlet_max_bar": Symbol("p_max", "bar", "highest absolute outlet pressure", 0.0, 400.0),
    },
    source=("common practice, no published source: limits that the maker of the booster states",),
    valid="supply not below the least inlet pressure of the booster",
)
def booster_limit_bar(inlet_bar: float, ratio: float, outlet_max_bar: float) -> float:
    """Return the pressure up to which a booster fills.

    Parameters
    ----------
    inlet_bar
        Absolute pressure of the supply [bar].
    ratio
        Highest ratio of outlet to inlet [-].
    outlet_max_bar
        Highest absolute outlet pressure [bar].

    Returns
    -------
    float
        Absolute pressure that can be reached [bar].
    """
    return min(outlet_max_bar, ratio * inlet_bar)


@dataclass(frozen=True, slots=True)
class Booster:
    """A booster pump and what its maker allows.

    Parameters
    ----------
    lowest_inlet_gauge_bar
        Below this the supply is left alone [bar].
    highest_outlet_gauge_bar
        Never more than this [bar].
    highest_ratio
        Ratio of absolute pressures at which it stalls [-].
    """

    lowest_inlet_gauge_bar: float
    highest_outlet_gauge_bar: float
    highest_ratio: float

    def __post_init__(self) -> None:
        if not (
            0.0 <= self.lowest_inlet_gauge_bar < self.highest_outlet_gauge_bar < math.inf
            and 1.0 < self.highest_ratio < math.inf
        ):
            raise InputError(
                f"a booster from {self.lowest_inlet_gauge_bar:g} to "
                f"{self.highest_outlet_gauge_bar:g} bar with a ratio of {self.highest_ratio:g} "
                "is none",
                where="booster",
                right="lowest inlet below highest outlet, and a ratio above 1, as its maker says",
            )
