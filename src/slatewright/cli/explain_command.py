"""``slatewright explain``: formulas, their sources, and the working of a number."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from slatewright.cli import environment
from slatewright.cli.console import make_console
from slatewright.cli.explain_view import show_formula, show_list, show_working
from slatewright.cli.formulary import all_formulas, by_topic, find_formula
from slatewright.cli.given import Given, example, values_given
from slatewright.cli.reporting import refusals
from slatewright.dive.house_rules import read_house_rules
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.sources import working

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from slatewright.sources import Formula, Symbol, Working

SCHEMA: Final = "slatewright/explain/1"


def run_explain(
    name: str | None, words: Sequence[str], *, as_json: bool, house: Path | None
) -> None:
    """List the formulas, explain one, or work one out.

    Parameters
    ----------
    name
        The formula; None for the list.
    words
        Numbers for it, each ``name=value``.
    as_json
        True for a document instead of text.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """
    with refusals(f"explain {name}" if name else "explain", refused="no answer"):
        if name is None:
            _list(as_json=as_json)
            return
        formula = find_formula(name)
        rules = read_house_rules(environment.house_rules_path(house))
        if not words:
            if as_json:
                _print({"schema": SCHEMA, "formula": _formula(formula)})
            else:
                show_formula(make_console(), formula, rules)
            return
        given = values_given(formula, words, rules)
        worked = _worked(formula, given)
        if as_json:
            _print(_working_document(worked, given))
        else:
            show_working(make_console(), worked, given)


def _list(*, as_json: bool) -> None:
    if as_json:
        _print({"schema": SCHEMA, "formulas": [_formula(formula) for formula in all_formulas()]})
    else:
        show_list(make_console(), by_topic())


def _worked(formula: Formula, given: Mapping[str, Given]) -> Working:
    """Work a formula out; refuse outside its range rather than show a number that means nothing."""
    outside = [
        Reason(f"{name} = {number.value:g} is outside the range of {formula.name}", _range(symbol))
        for (name, symbol), number in zip(formula.symbols.items(), given.values(), strict=True)
        if _is_outside(symbol, number.value)
    ]
    if outside:
        raise NoSafeAnswer(*outside)
    try:
        worked = working(formula, **{name: number.value for name, number in given.items()})
    except (ArithmeticError, ValueError) as error:
        raise NoSafeAnswer(
            Reason(f"{formula.name} has no value for these numbers: {error}", example(formula))
        ) from None
    inner = _outside_within(worked)
    if inner:
        raise NoSafeAnswer(*(Reason(text) for text in inner))
    return worked


def _outside_within(worked: Working) -> list[str]:
    """Return what is outside its range in the formulas that this one calls."""
    found: list[str] = []
    for step in worked.steps:
        for inner in step.inner:
            found += [f"in {inner.formula.name}: {text}" for text in inner.outside]
            found += _outside_within(inner)
    return list(dict.fromkeys(found))


def _is_outside(symbol: Symbol, value: float) -> bool:
    too_low = symbol.low is not None and value < symbol.low
    return too_low or (symbol.high is not None and value > symbol.high)


def _range(symbol: Symbol) -> str:
    unit = "" if symbol.unit == "-" else f" {symbol.unit}"
    if symbol.high is None:
        return f"{symbol.low:g}{unit} or more"
    if symbol.low is None:
        return f"{symbol.high:g}{unit} or less"
    return f"{symbol.low:g} to {symbol.high:g}{unit}"


def _print(document: Mapping[str, Any]) -> None:
    sys.stdout.write(json.dumps(document, indent=2, allow_nan=False) + "\n")


def _symbol(symbol: Symbol) -> dict[str, Any]:
    return {
        "sign": symbol.sign,
        "unit": symbol.unit,
        "meaning": symbol.meaning,
        "low": symbol.low,
        "high": symbol.high,
    }


def _formula(formula: Formula) -> dict[str, Any]:
    return {
        "name": formula.name,
        "title": formula.title,
        "equation": formula.equation,
        "result": _symbol(formula.result),
        "symbols": {name: _symbol(symbol) for name, symbol in formula.symbols.items()},
        "source": list(formula.source),
        "valid": formula.valid,
        "differs": formula.differs,
        "house_rules": list(formula.house_rules),
    }


def _working_document(worked: Working, given: Mapping[str, Given]) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "formula": _formula(worked.formula),
        "assumed": {name: number.assumed for name, number in given.items() if number.assumed},
        **_steps(worked),
    }


def _steps(worked: Working) -> dict[str, Any]:
    return {
        "values": dict(worked.values),
        "steps": [
            {
                "sign": step.sign,
                "symbols": step.symbols,
                "figures": step.figures,
                "value": step.value,
                "unit": step.unit,
                "inner": [{"formula": i.formula.name, **_steps(i)} for i in step.inner],
            }
            for step in worked.steps
        ],
        "result": worked.result,
    }
