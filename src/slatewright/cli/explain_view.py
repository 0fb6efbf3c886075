"""Formulas and workings on the terminal, as they would stand on a board."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import HEAD, SOFT, entries, wrapped
from slatewright.cli.given import example
from slatewright.cli.words import rule_words
from slatewright.sources import reference
from slatewright.sources.bibliography import cited_keys
from slatewright.sources.working import figure

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from rich.console import Console

    from slatewright.cli.given import Given
    from slatewright.dive.house_rules import HouseRules
    from slatewright.sources import Formula, Step, Symbol, Working

_MARGIN: Final = "  "


def show_list(console: Console, topics: Mapping[str, Sequence[Formula]]) -> None:
    """Print the names of all formulas.

    Parameters
    ----------
    console
        Where to.
    topics
        Topic to formulas.
    """
    lines: list[Text] = []
    column = max(len(formula.name) for group in topics.values() for formula in group) + 2
    for topic, group in topics.items():
        if lines:
            lines.append(Text())
        lines += wrapped(Text(topic, HEAD), console.width)
        rows = [(formula.name, f"{formula.title}{_in_unit(formula.result)}") for formula in group]
        lines += entries(rows, console.width, column=column)
    lines += [Text(), Text("slatewright explain NAME   shows one, and how to have it worked out")]
    _print(console, lines)


def show_formula(console: Console, formula: Formula, rules: HouseRules) -> None:
    """Print everything about a formula.

    Parameters
    ----------
    console
        Where to.
    formula
        The formula.
    rules
        The house rules in force.
    """
    width = console.width
    lines = _title(formula, width)
    column = max(len(s.sign) for s in formula.symbols.values()) + 2
    given = [(s.sign, _meaning(name, s)) for name, s in formula.symbols.items()]
    result = (formula.result.sign, f"{formula.result.meaning}{_in_unit(formula.result)}")
    lines += [Text(), Text("with"), *entries([*given, result], width, column=column), Text()]
    rows: list[tuple[str, str | Text]] = [("source", "; ".join(formula.source))]
    keys = dict.fromkeys(cited_keys(" ".join(formula.source)))
    rows += [(f"[{key}]", f"{reference(key).text} ({reference(key).how})") for key in keys]
    if formula.valid:
        rows.append(("valid", formula.valid))
    if formula.differs:
        rows.append(("differs", formula.differs))
    if formula.house_rules:
        names = ", ".join(rule_words(rules, name) for name in formula.house_rules)
        rows.append(("house rules", names))
    rows.append(("try", example(formula)))
    lines += entries(rows, width, indent=0)
    _print(console, lines)


def show_working(console: Console, worked: Working, given: Mapping[str, Given]) -> None:
    """Print the working of a number, step by step.

    Parameters
    ----------
    console
        Where to.
    worked
        The working.
    given
        The numbers, and which of them were assumed.
    """
    width = console.width
    lines = [*_title(worked.formula, width), Text()]
    rows: list[tuple[str, str | Text]] = []
    for name, symbol in worked.formula.symbols.items():
        number = given[name]
        assumed = f"; assumed: {number.assumed}" if number.assumed else ""
        rows.append(
            (f"{symbol.sign} = {_value(number.value, symbol.unit)}", symbol.meaning + assumed)
        )
    lines += [*entries(rows, width), Text(), *_steps(worked, width - len(_MARGIN), HEAD)]
    _print(console, lines)


def _title(formula: Formula, width: int) -> list[Text]:
    return [
        *wrapped(Text(formula.name, HEAD).append(f"  {formula.title}", "not bold"), width),
        Text(),
        *wrapped(Text(formula.equation, HEAD), width, indent=2),
    ]


def _steps(worked: Working, width: int, style: str = "") -> list[Text]:
    """Return the lines of a working, each after the margin."""
    lines: list[Text] = []
    for step in worked.steps:
        lines += _step(step, width, style if step is worked.steps[-1] else "")
    return lines


def _step(step: Step, width: int, style: str) -> list[Text]:
    if not step.sign:
        verdict = "yes" if step.value else "no"
        line = Text(f"{step.symbols}?  {step.figures}: {verdict}", SOFT)
        return [*_inner(step, width), *wrapped(line, width, indent=len(_MARGIN))]
    head = f"{_MARGIN}{step.sign} = "
    gap = " " * (len(head) - 2) + "= "
    lines = _hung(head, Text(step.symbols), width)
    if step.figures not in {step.symbols, figure(step.value)}:
        lines += _hung(gap, Text(step.figures), width)
    lines += _inner(step, width)
    return [*lines, *_hung(gap, Text(_value(step.value, step.unit), style), width)]


def _inner(step: Step, width: int) -> list[Text]:
    """Return the workings that a step called on, behind a line at the margin."""
    lines: list[Text] = []
    for inner in step.inner:
        title = wrapped(Text(inner.formula.title, SOFT), width - 6, indent=len(_MARGIN))
        lines += [
            Text("    \u2502 ", SOFT).append_text(line)
            for line in [*title, *_steps(inner, width - 6)]
        ]
    return lines


def _hung(head: str, text: Text, width: int) -> list[Text]:
    """Wrap a text after a head that is printed once."""
    first, *rest = wrapped(text, width, indent=len(head))
    return [Text(head).append_text(first[len(head) :]), *rest]


def _value(value: float, unit: str) -> str:
    return f"{figure(value).strip('()')}{'' if unit in {'', '-'} else f' {unit}'}"


def _meaning(name: str, symbol: Symbol) -> str:
    words = f"{symbol.meaning}{_in_unit(symbol)}"
    if symbol.low is not None and symbol.high is not None:
        words += f", {symbol.low:g} to {symbol.high:g}"
    elif symbol.low is not None:
        words += f", {symbol.low:g} or more"
    elif symbol.high is not None:
        words += f", {symbol.high:g} or less"
    return f"{words}; {name}=..."


def _in_unit(symbol: Symbol) -> str:
    return "" if symbol.unit == "-" else f" [{symbol.unit}]"


def _print(console: Console, lines: Sequence[Text]) -> None:
    for line in lines:
        console.print(line, soft_wrap=True)
