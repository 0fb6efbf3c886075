"""Formulas as JSON: what they say, and their workings."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path

from slatewright.desk.api import shapes
from slatewright.desk.api.routes import DescribedRoute
from slatewright.desk.api.shapes import refusals
from slatewright.errors import InputError
from slatewright.sources.explanation import (
    formula_document,
    formula_list_document,
    working_document,
)
from slatewright.sources.formula import Formula
from slatewright.sources.formulary import all_formulas
from slatewright.sources.worked import worked_out
from slatewright.store.faults import NoSuchRecord

router = APIRouter(tags=["formulas"], route_class=DescribedRoute)

Name = Annotated[str, Path(max_length=100, description="The formula.")]


@router.get("/formulas", responses=refusals())
def formula_list() -> dict[str, Any]:
    """List all formulas with their symbols, ranges and sources."""
    return formula_list_document(all_formulas())


@router.get("/formulas/{name}", responses=refusals(404))
def formula_read(name: Name) -> dict[str, Any]:
    """Return one formula.

    Parameters
    ----------
    name
        The formula.
    """
    return formula_document(_formula(name))


@router.post("/formulas/{name}/working", responses=refusals(404))
def formula_working(name: Name, given: shapes.GivenValues) -> dict[str, Any]:
    """Work a formula out, step by step.

    Parameters
    ----------
    name
        The formula.
    given
        What is put in.
    """
    formula = _formula(name)
    wanted = list(formula.symbols)
    missing = [symbol for symbol in wanted if symbol not in given.values]
    unknown = [symbol for symbol in given.values if symbol not in wanted]
    if missing or unknown:
        what = f"no number for {', '.join(missing)}" if missing else f"no symbol '{unknown[0]}'"
        raise InputError(what, where="values", right=f"numbers for {', '.join(wanted)}")
    return working_document(worked_out(formula, given.values))


def _formula(name: str) -> Formula:
    found = next((formula for formula in all_formulas() if formula.name == name), None)
    if found is None:
        raise NoSuchRecord("formula", f"'{name}'")
    return found
