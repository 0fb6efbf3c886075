"""The working of a number, and the list of all formulas."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit
from slatewright.desk.workings import (
    RULE,
    Account,
    Rule,
    given_values,
    references_of,
    rules_named,
    rules_that_decided,
)
from slatewright.errors import InputError, NoSafeAnswer
from slatewright.sources import Formula, Reference, Working
from slatewright.sources.formulary import by_topic, find_formula
from slatewright.sources.worked import range_of, worked_out

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Blank:
    """A number to be put into a formula.

    Parameters
    ----------
    name
        The parameter.
    sign, unit, meaning
        As for `slatewright.sources.Symbol`.
    range
        Where the formula holds, in words; empty if everywhere.
    value
        What was put in; empty if nothing.
    """

    name: str
    sign: str
    unit: str
    meaning: str
    range: str
    value: str


@dataclass(frozen=True, slots=True)
class WorkingView:
    """A formula, and its working where all numbers are put in.

    Parameters
    ----------
    formula
        The formula.
    blanks
        Its numbers.
    worked
        The working; None if a number is missing, or it is refused.
    faults
        Why there is none.
    rules
        The house rules that decided.
    references
        The publications that it cites.
    """

    formula: Formula
    blanks: tuple[Blank, ...]
    worked: Working | None
    faults: tuple[Fault, ...]
    rules: tuple[Rule, ...]
    references: tuple[Reference, ...]


@dataclass(frozen=True, slots=True)
class Formulas:
    """All formulas.

    Parameters
    ----------
    topics
        Topic to formulas, in alphabetical order.
    """

    topics: Mapping[str, tuple[Formula, ...]]


PAGE: Final = Page("working", "The working of a number", "working.html", WorkingView)
LIST: Final = Page(
    "formulas", "Formulas", "formulas.html", Formulas, path="/formulas", label="Formulas", order=90
)
ACCOUNT_PAGE: Final = Page("account", "How a number came about", "account.html", Account)
"""For pages that serve accounts: ``visit.show(ACCOUNT_PAGE, account, fragment=ACCOUNT_PART)``."""
ACCOUNT_PART: Final = "_account.html"
PAGES: Final = (PAGE, LIST, ACCOUNT_PAGE)
_PART: Final = "_working.html"


@router.get("/formulas")
def formula_list(visit: OnVisit) -> Response:
    """Show all formulas.

    Parameters
    ----------
    visit
        The request.
    """
    return visit.show(LIST, Formulas(by_topic()))


@router.get("/working/{name}")
def working_page(visit: OnVisit, name: str) -> Response:
    """Show a formula, and the working of its outcome for the numbers in the query.

    Parameters
    ----------
    visit
        The request.
    name
        The formula.
    """
    asked = visit.request.query_params
    formula = find_formula(name)
    values = given_values(formula, asked)
    missing = [symbol for symbol in formula.symbols if symbol not in values]
    worked, faults = None, tuple[Fault, ...]()
    if not missing:
        try:
            worked = worked_out(formula, values)
        except NoSafeAnswer as refusal:
            faults = problem_of(refusal).faults
    elif any(symbol in asked for symbol in formula.symbols):
        error = InputError(f"no number for {', '.join(missing)}", right="a number in each field")
        faults = problem_of(error).faults
    house, decided = visit.house_rules(), asked.getlist(RULE)
    view = WorkingView(
        formula=formula,
        blanks=tuple(
            Blank(
                key, symbol.sign, symbol.unit, symbol.meaning, range_of(symbol), asked.get(key, "")
            )
            for key, symbol in formula.symbols.items()
        ),
        worked=worked,
        faults=faults,
        rules=(
            *rules_that_decided(house, decided),
            *rules_named(house, (name for name in formula.house_rules if name not in decided)),
        ),
        references=references_of(formula.source),
    )
    return visit.show(PAGE, view, fragment=_PART, status=422 if faults else 200)
