"""``slatewright explain``: formulas, their sources, and the working of a number."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slatewright.cli import environment
from slatewright.cli.console import make_console
from slatewright.cli.explain_view import show_formula, show_list, show_working
from slatewright.cli.given import example, values_given
from slatewright.cli.reporting import refusals
from slatewright.dive.house_rules import read_house_rules
from slatewright.sources.explanation import (
    formula_document,
    formula_list_document,
    working_document,
)
from slatewright.sources.formulary import all_formulas, by_topic, find_formula
from slatewright.sources.worked import worked_out

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


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
    environment.prefer_interpreter()  # formulas are looked up, not solved
    with refusals(f"explain {name}" if name else "explain", refused="no answer"):
        if name is None:
            _list(as_json=as_json)
            return
        formula = find_formula(name)
        rules = read_house_rules(environment.house_rules_path(house))
        if not words:
            if as_json:
                _print(formula_document(formula))
            else:
                show_formula(make_console(), formula, rules)
            return
        given = values_given(formula, words, rules)
        values = {name: number.value for name, number in given.items()}
        worked = worked_out(formula, values, cure=example(formula))
        if as_json:
            assumed = {name: number.assumed for name, number in given.items() if number.assumed}
            _print(working_document(worked) | {"assumed": assumed})
        else:
            show_working(make_console(), worked, given)


def _list(*, as_json: bool) -> None:
    if as_json:
        _print(formula_list_document(all_formulas()))
    else:
        show_list(make_console(), by_topic())


def _print(document: Mapping[str, Any]) -> None:
    sys.stdout.write(json.dumps(document, indent=2, allow_nan=False) + "\n")
