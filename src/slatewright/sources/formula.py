"""Formulas as data: equation, symbols with units, range and source beside the code that computes.

The decorator leaves the function as it is and puts a record of it into a register. Docs, the
command ``explain``, the working behind a number on a page and the sources on paper read that
record; the working itself is read from the function's own lines (`slatewright.sources.working`),
so that what is shown cannot drift from what is computed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeVar

_F = TypeVar("_F", bound=Callable[..., Any])
_REGISTER: Final[dict[str, Formula]] = {}


@dataclass(frozen=True, slots=True)
class Symbol:
    """One quantity of a formula.

    Parameters
    ----------
    sign
        How it is written in the equation, such as ``f_O2``.
    unit
        Its unit; ``-`` for a pure number.
    meaning
        What it is, in a few words.
    low, high
        The range in which the formula holds, both ends included; None where there is no bound.
    """

    sign: str
    unit: str
    meaning: str
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula with everything that a reader may ask about it.

    Parameters
    ----------
    name
        What ``slatewright explain`` calls it, such as ``operating-depth``.
    title
        In words.
    equation
        As it would stand on a board, with the signs of ``symbols`` and ``result``.
    result
        The quantity that comes out.
    symbols
        Parameter name of the function to `Symbol`, in the function's order.
    source
        Citations such as ``[NOAA1991] p. 3-11``, or 'common practice, no published source'.
    valid
        The range in words.
    differs
        Where we differ from the source, and why; empty if nowhere.
    house_rules
        Names of the house rules that decide something in it.
    function
        The code.
    """

    name: str
    title: str
    equation: str
    result: Symbol
    symbols: Mapping[str, Symbol]
    source: tuple[str, ...]
    valid: str
    differs: str
    house_rules: tuple[str, ...]
    function: Callable[..., Any]


def formula(  # noqa: PLR0913 - the record has this many parts
    *,
    name: str,
    title: str,
    equation: str,
    result: Symbol,
    symbols: Mapping[str, Symbol],
    source: tuple[str, ...],
    valid: str = "",
    differs: str = "",
    house_rules: tuple[str, ...] = (),
) -> Callable[[_F], _F]:
    """Register a function as a formula, and return the function untouched.

    Parameters
    ----------
    name, title, equation, result, symbols, source, valid, differs, house_rules
        As for `Formula`.

    Returns
    -------
    callable
        The decorator.

    Raises
    ------
    ValueError
        If the name is taken, or the symbols do not match the function's parameters.
    """

    def register(function: _F) -> _F:
        plain = getattr(function, "py_func", function)
        parameters = plain.__code__.co_varnames[: plain.__code__.co_argcount]
        if tuple(symbols) != parameters:
            raise ValueError(f"formula {name}: symbols {tuple(symbols)} are not {parameters}")
        if name in _REGISTER:
            raise ValueError(f"formula {name} is registered twice")
        _REGISTER[name] = Formula(
            name, title, equation, result, symbols, source, valid, differs, house_rules, plain
        )
        return function

    return register


def formulas() -> tuple[Formula, ...]:
    """Return all registered formulas, by name.

    Only formulas of imported modules are registered; ``slatewright.dive`` imports them all.
    """
    return tuple(_REGISTER[name] for name in sorted(_REGISTER))


def formula_named(name: str) -> Formula:
    """Return one formula.

    Parameters
    ----------
    name
        As in `Formula`.

    Raises
    ------
    KeyError
        If there is none of that name.
    """
    return _REGISTER[name]


def formula_of(function: Callable[..., Any]) -> Formula | None:
    """Return the formula that a function computes, or None.

    Parameters
    ----------
    function
        A function, compiled or plain.
    """
    plain = getattr(function, "py_func", function)
    return next((f for f in _REGISTER.values() if f.function is plain), None)
