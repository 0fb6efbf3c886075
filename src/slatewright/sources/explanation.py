"""Formulas and workings as plain data (schema ``slatewright/explain/1``)."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from slatewright.sources.formula import Formula, Symbol
from slatewright.sources.working import Working

SCHEMA: Final = "slatewright/explain/1"


def formula_list_document(formulas: Iterable[Formula]) -> dict[str, Any]:
    """Return formulas as plain data.

    Parameters
    ----------
    formulas
        The formulas.
    """
    return {"schema": SCHEMA, "formulas": [_formula(formula) for formula in formulas]}


def formula_document(formula: Formula) -> dict[str, Any]:
    """Return one formula as plain data.

    Parameters
    ----------
    formula
        The formula.
    """
    return {"schema": SCHEMA, "formula": _formula(formula)}


def working_document(worked: Working) -> dict[str, Any]:
    """Return a working as plain data, the inner ones nested.

    Parameters
    ----------
    worked
        The working.
    """
    return {"schema": SCHEMA, "formula": _formula(worked.formula), **_steps(worked)}


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
