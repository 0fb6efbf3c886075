"""A formula worked out, or refused outside its range: a number that means nothing is not shown."""

from __future__ import annotations

import math
from collections.abc import Mapping

from slatewright.errors import NoSafeAnswer, Reason
from slatewright.sources.formula import Formula, Symbol
from slatewright.sources.working import Working, working


def worked_out(formula: Formula, values: Mapping[str, float], *, cure: str = "") -> Working:
    """Work a formula out.

    Parameters
    ----------
    formula
        The formula.
    values
        A number for each symbol, by parameter name, in the symbol's unit.
    cure
        What to try where the formula has no value for these numbers.

    Returns
    -------
    Working
        Step by step.

    Raises
    ------
    NoSafeAnswer
        If a number is outside the range of its symbol, in this formula or in one that it calls,
        or the formula has no value for these numbers.
    """
    outside = [
        Reason(
            f"{name} = {values[name]:g} is outside the range of {formula.name}", range_of(symbol)
        )
        for name, symbol in formula.symbols.items()
        if _is_outside(symbol, values[name])
    ]
    if outside:
        raise NoSafeAnswer(*outside)
    try:
        worked = working(formula, **values)
    except (ArithmeticError, ValueError) as error:
        raise NoSafeAnswer(
            Reason(f"{formula.name} has no value for these numbers: {error}", cure)
        ) from None
    inner = _outside_within(worked)
    if inner:
        raise NoSafeAnswer(*(Reason(text) for text in inner))
    return worked


def range_of(symbol: Symbol) -> str:
    """Return the range of a symbol in words; empty if it has none.

    Parameters
    ----------
    symbol
        The symbol.
    """
    unit = "" if symbol.unit == "-" else f" {symbol.unit}"
    if symbol.low is None:
        return "" if symbol.high is None else f"{symbol.high:g}{unit} or less"
    if symbol.high is None:
        return f"{symbol.low:g}{unit} or more"
    return f"{symbol.low:g} to {symbol.high:g}{unit}"


def _is_outside(symbol: Symbol, value: float) -> bool:
    too_low = symbol.low is not None and value < symbol.low
    too_high = symbol.high is not None and value > symbol.high
    return too_low or too_high or not math.isfinite(value)


def _outside_within(worked: Working) -> list[str]:
    """Return what is outside its range in the formulas that this one calls."""
    found: list[str] = []
    for step in worked.steps:
        for inner in step.inner:
            found += [f"in {inner.formula.name}: {text}" for text in inner.outside]
            found += _outside_within(inner)
    return list(dict.fromkeys(found))
