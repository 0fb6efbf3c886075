"""What differs between the ways besides money: listed, and not priced."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Difference:
    """A difference for safety.

    Parameters
    ----------
    topic
        What it is about.
    open, closed
        How it is on open and on closed circuit.
    """

    topic: str
    open: str
    closed: str


SOURCE: Final = "common practice, no published source"

DIFFERENCES: Final = (
    Difference(
        "Time to solve a problem",
        "bounded by the gas in the cylinders, and shrinking with depth",
        "hours of gas, if the loop is whole and what is in it is known",
    ),
    Difference(
        "What is breathed",
        "what was analysed, the same at every breath of that gas",
        "what the unit makes of it: it is measured, and the reading can be wrong",
    ),
    Difference(
        "Failing without a sign",
        "a cylinder that was taken for another; hypoxic gas near the surface",
        "too little oxygen, too much oxygen, carbon dioxide: all three can come unfelt",
    ),
    Difference(
        "Density at depth",
        "the mix as chosen; work of breathing is that of the regulator",
        "the diluent as chosen; work of breathing is that of loop and absorbent as well",
    ),
    Difference(
        "The way home",
        "the gas that is carried, its reserve, the partner's",
        "bailout gas for the whole ascent, carried though it is hardly ever breathed",
    ),
    Difference(
        "Before each dive",
        "analysis and labels",
        "analysis, absorbent, cells, and a checked assembly, every time",
    ),
    Difference(
        "Experience",
        "what is known stays known",
        "begins anew: hours on the unit count, and hours on open circuit do not replace them",
    ),
)
"""Neither way is the safe one; each has its own way to kill."""
