"""ZH-L16: half-times and the coefficients a and b, as published."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from slatewright.decompression.tissues import COMPARTMENTS
from slatewright.errors import InputError
from slatewright.sources import published_table

if TYPE_CHECKING:
    from slatewright.sources import PublishedTable

MODELS: Final = ("ZH-L16A", "ZH-L16B", "ZH-L16C")
"""The sets that can be chosen: A as derived, B for printed tables, C for computers on the wrist."""


@dataclass(frozen=True, slots=True)
class Coefficients:
    """One set of model coefficients, compartment 1b first.

    Parameters
    ----------
    name
        One of `MODELS`.
    n2_half_time_min, he_half_time_min
        Shape (16,): half-times of nitrogen and of helium [min].
    n2_a_bar, he_a_bar
        Shape (16,): tolerated tension at zero ambient pressure [bar].
    n2_b, he_b
        Shape (16,): reciprocal of the slope of tolerated tension by ambient pressure [-].

    Raises
    ------
    ValueError
        If a column has not 16 values.
    """

    name: str
    n2_half_time_min: tuple[float, ...]
    n2_a_bar: tuple[float, ...]
    n2_b: tuple[float, ...]
    he_half_time_min: tuple[float, ...]
    he_a_bar: tuple[float, ...]
    he_b: tuple[float, ...]

    def __post_init__(self) -> None:
        columns = (
            *(self.n2_half_time_min, self.n2_a_bar, self.n2_b),
            *(self.he_half_time_min, self.he_a_bar, self.he_b),
        )
        if any(len(column) != COMPARTMENTS for column in columns):
            raise ValueError(f"coefficients have {COMPARTMENTS} compartments")


@cache
def coefficients(name: str) -> Coefficients:
    """Return a set of coefficients.

    Parameters
    ----------
    name
        One of `MODELS`.

    Returns
    -------
    Coefficients
        With compartment 1b (5.0 min) as the first of sixteen.

    Raises
    ------
    InputError
        If there is no set of that name.

    Notes
    -----
    [BUEHLMANN2002], from memory; see the tables ``zhl16_n2`` and ``zhl16_he``. The sets differ only
    in a of nitrogen.
    """
    if name not in MODELS:
        raise InputError(f"there is no model '{name}'", where="model", right=", ".join(MODELS))
    nitrogen, helium = published_table("zhl16_n2"), published_table("zhl16_he")
    return Coefficients(
        name=name,
        n2_half_time_min=_with_1b(nitrogen, "half_time_min"),
        n2_a_bar=_with_1b(nitrogen, f"a_{name[-1]}_bar"),
        n2_b=_with_1b(nitrogen, "b"),
        he_half_time_min=_with_1b(helium, "half_time_min"),
        he_a_bar=_with_1b(helium, "a_bar"),
        he_b=_with_1b(helium, "b"),
    )


def _with_1b(table: PublishedTable, column: str) -> tuple[float, ...]:
    """Return a column without compartment 1: of the two rows numbered 1, the slower is 1b."""
    quick = min(table["half_time_min"])
    return tuple(
        value
        for value, half_time_min in zip(table[column], table["half_time_min"], strict=True)
        if half_time_min != quick
    )
