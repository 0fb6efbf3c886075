"""One mechanism for all pages: a number that is shown can be opened to show its working.

A page hands its template a `Shown` in the place of a bare number, and the template writes
``{{ number(page.depth) }}`` (the macro in ``_number.html``). The number is then a link that works
without script; with script, the working opens beside the page.

Two kinds of working exist. Most numbers are the outcome of one formula: name it, with the values
put in. A number that many steps made together, such as a run time or the gas left in a cylinder,
has an `Account` instead: sentences and rows, each of which may again be a number that opens. The
page that knows the dive serves the account at a path of its own, as the page `ACCOUNT_PAGE`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Final
from urllib.parse import quote, urlencode

from slatewright.dive.house_rules import HouseRules, decided_by, house_rule_text
from slatewright.sources import Formula, Reference, references
from slatewright.sources.bibliography import cited_keys

WORKING: Final = "/working/"
RULE: Final = "rule"
"""The query's name for a house rule; no formula has a symbol of this name."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A number on a page, with what is needed to show its working.

    Parameters
    ----------
    text
        As it is read, rounded to the safe side already.
    unit
        Its unit; empty if the text has it, or there is none.
    formula
        The name of the formula whose outcome it is; empty if it is of no single formula.
    values
        What was put in, by the names of the formula's parameters, in the formula's units.
    house_rules
        The house rules that decided, besides those that the formula itself names.
    account
        The path that serves the account of a number that is of no single formula; empty if the
        number was put in by a person, and then it opens nothing.
    """

    text: str
    unit: str = ""
    formula: str = ""
    values: Mapping[str, float] = field(default_factory=dict)
    house_rules: tuple[str, ...] = ()
    account: str = ""

    @property
    def href(self) -> str:
        """Where its working is; empty if it opens nothing."""
        if not self.formula:
            return self.account
        asked = [(name, repr(float(value))) for name, value in self.values.items()]
        asked += [(RULE, rule) for rule in self.house_rules]
        return f"{WORKING}{quote(self.formula, safe='')}?{urlencode(asked)}"


@dataclass(frozen=True, slots=True)
class Rule:
    """A house rule as it stands beside a number that it decided.

    Parameters
    ----------
    name
        The rule.
    decided
        ``decided by house rule floor_bar = 0.18``, or the same without the first two words.
    question
        What the rule asks.
    choices
        Who chooses what, and what it changes.
    """

    name: str
    decided: str
    question: str
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A line of an account.

    Parameters
    ----------
    what
        What it is about, such as ``stop at 21 m on EAN50, 3 min``.
    number
        What it adds, or comes to.
    """

    what: str
    number: Shown


@dataclass(frozen=True, slots=True)
class Account:
    """How a number came about that is of no single formula.

    Parameters
    ----------
    title
        What the number is.
    number
        The number; its own account is not opened again.
    sentences
        How it comes about, in words.
    rows
        Its parts, in their order.
    rules
        The house rules that decided.
    sources
        Citations such as ``[NOAA1991] p. 3-11``.
    references
        The publications that are cited.
    """

    title: str
    number: Shown
    sentences: tuple[str, ...] = ()
    rows: tuple[Row, ...] = ()
    rules: tuple[Rule, ...] = ()
    sources: tuple[str, ...] = ()
    references: tuple[Reference, ...] = ()


def rules_that_decided(rules: HouseRules, names: Iterable[str]) -> tuple[Rule, ...]:
    """Return house rules as they stand beside a number.

    Parameters
    ----------
    rules
        The rules in force.
    names
        The rules that decided; one that does not exist is left out.
    """
    known = [name for name in dict.fromkeys(names) if name in HouseRules.model_fields]
    return tuple(_rule(rules, name) for name in known)


def rules_named(rules: HouseRules, names: Iterable[str]) -> tuple[Rule, ...]:
    """Return house rules that have a say in a formula, whether or not they decided this time.

    Parameters
    ----------
    rules
        The rules in force.
    names
        The rules.
    """
    return tuple(
        replace(rule, decided=rule.decided.removeprefix("decided by "))
        for rule in rules_that_decided(rules, names)
    )


def references_of(sources: Iterable[str]) -> tuple[Reference, ...]:
    """Return the publications that citations name, each once.

    Parameters
    ----------
    sources
        Citations such as ``[NOAA1991] p. 3-11``.
    """
    keys = dict.fromkeys(key for source in sources for key in cited_keys(source))
    known = references()
    return tuple(known[key] for key in keys if key in known)


def given_values(formula: Formula, asked: Mapping[str, str]) -> dict[str, float]:
    """Return the numbers of a query that a formula asks for; what is no number is left out.

    Parameters
    ----------
    formula
        The formula.
    asked
        The query.
    """
    found = {name: _number(asked[name]) for name in formula.symbols if name in asked}
    return {name: value for name, value in found.items() if value is not None}


def _rule(rules: HouseRules, name: str) -> Rule:
    question, *choices = house_rule_text(name).splitlines()
    return Rule(name, decided_by(rules, name), question, tuple(choices))


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
