"""The working of a number, step by step, read from the lines of the function that computes it.

A formula's function consists of plain statements: assignments, ``if``, ``return``, arithmetic,
calls to mathematical functions and to other formulas. This module walks those statements with the
numbers that were put in, and writes each one down twice: in symbols and in figures. There is no
second copy of any equation that could drift from the code.
"""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from slatewright.sources.formula import Formula, Symbol, formula_of


@dataclass(frozen=True, slots=True)
class Step:
    """One line on the board.

    Parameters
    ----------
    sign
        What is computed; empty for a decision.
    symbols
        The right-hand side in symbols, or the condition that decided.
    figures
        The same with the numbers put in.
    value
        The outcome: a number, or True or False for a decision.
    unit
        Its unit, empty if unknown.
    inner
        The workings of other formulas that this step called.
    """

    sign: str
    symbols: str
    figures: str
    value: float | bool
    unit: str
    inner: tuple[Working, ...] = ()


@dataclass(frozen=True, slots=True)
class Working:
    """The working of one formula for given numbers.

    Parameters
    ----------
    formula
        The formula.
    values
        Parameter name to number, as put in.
    steps
        In the order of computing; the last one gives the result.
    result
        What came out.
    outside
        A sentence for each number outside the range of its symbol.
    """

    formula: Formula
    values: Mapping[str, float]
    steps: tuple[Step, ...]
    result: float
    outside: tuple[str, ...]


def figure(value: float | bool) -> str:  # noqa: FBT001 - a truth value is what is printed
    """Return a number as it is written on the board: six significant digits, no trailing zeros.

    Parameters
    ----------
    value
        The number, or a truth value.
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = f"{value:.6g}"
    return f"({text})" if text.startswith("-") else text


@cache
def _statements(function: Callable[..., Any]) -> list[ast.stmt]:
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    definition = tree.body[0]
    if not isinstance(definition, ast.FunctionDef):
        raise TypeError(f"{function.__qualname__} is not a plain function")
    body = definition.body
    has_docstring = isinstance(body[0], ast.Expr) and isinstance(body[0].value, ast.Constant)
    return body[1:] if has_docstring else body


def _pretty(text: str) -> str:
    return text.replace("**", "^").replace("*", "\u00b7").replace("math.", "").replace("np.", "")


class _Rename(ast.NodeTransformer):
    """Replace each name by a text; function names stay."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        self._texts = texts

    def visit_Name(self, node: ast.Name) -> ast.Name:
        return ast.Name(id=self._texts.get(node.id, node.id), ctx=node.ctx)

    def visit_Call(self, node: ast.Call) -> ast.Call:
        arguments = [self.visit(argument) for argument in node.args]
        return ast.Call(func=node.func, args=arguments, keywords=node.keywords)


class _Board:
    """Walks one function's statements and collects the steps."""

    def __init__(self, formula: Formula, values: Mapping[str, float]) -> None:
        self._formula = formula
        closed_over = inspect.getclosurevars(formula.function).nonlocals
        self._globals: dict[str, Any] = {**formula.function.__globals__, **closed_over}
        self._local: dict[str, Any] = dict(values)
        self._signs = {name: symbol.sign for name, symbol in formula.symbols.items()}
        self.steps: list[Step] = []

    def run(self, body: list[ast.stmt]) -> float | None:
        """Walk the statements; return the value at the first ``return``, None if there is none."""
        for statement in body:
            if isinstance(statement, ast.Return) and statement.value is not None:
                result = self._formula.result
                return float(self._step(result.sign, result.unit, statement.value))
            if isinstance(statement, ast.Assign) and isinstance(statement.targets[0], ast.Name):
                name = statement.targets[0].id
                self._local[name] = self._step(name, _unit_of(name), statement.value)
            elif isinstance(statement, ast.If):
                held = bool(self._step("", "", statement.test))
                result_inside = self.run(statement.body if held else statement.orelse)
                if result_inside is not None:
                    return result_inside
            elif not isinstance(statement, ast.Raise | ast.Expr):
                kind = type(statement).__name__
                raise TypeError(f"formula {self._formula.name}: no working for a {kind}")
        return None

    def _step(self, sign: str, unit: str, expression: ast.expr) -> float | bool:
        value: float | bool = self._evaluate(expression)
        figures = {
            node.id: figure(known)
            for node in ast.walk(expression)
            if isinstance(node, ast.Name)
            and isinstance(known := self._lookup(node.id), int | float)
        }
        inner = tuple(
            self._inner(node) for node in ast.walk(expression) if self._calls_formula(node)
        )
        self.steps.append(
            Step(
                sign=sign,
                symbols=_pretty(ast.unparse(_Rename(self._signs).visit(_copy(expression)))),
                figures=_pretty(ast.unparse(_Rename(figures).visit(_copy(expression)))),
                value=value,
                unit=unit,
                inner=inner,
            )
        )
        return value

    def _lookup(self, name: str) -> object:
        return self._local.get(name, self._globals.get(name))

    def _evaluate(self, expression: ast.expr) -> Any:  # noqa: ANN401 - whatever the code yields
        code = compile(ast.Expression(_copy(expression)), "<formula>", "eval")
        return eval(code, self._globals, self._local)  # noqa: S307 - our own source, never data

    def _calls_formula(self, node: ast.AST) -> bool:
        return (
            isinstance(node, ast.Call)
            and callable(called := self._evaluate(node.func))
            and formula_of(called) is not None
        )

    def _inner(self, node: ast.AST) -> Working:
        assert isinstance(node, ast.Call)  # noqa: S101 - narrowed by _calls_formula
        inner = formula_of(self._evaluate(node.func))
        assert inner is not None  # noqa: S101 - narrowed by _calls_formula
        names = list(inner.symbols)
        values = dict(zip(names, (self._evaluate(a) for a in node.args), strict=False))
        values |= {str(k.arg): self._evaluate(k.value) for k in node.keywords}
        return working(inner, **values)


def _copy(expression: ast.expr) -> ast.expr:
    return ast.parse(ast.unparse(expression), mode="eval").body


def _unit_of(name: str) -> str:
    """Return the unit that a local name bears as its ending, empty if it bears none."""
    endings = {
        "bar_per_min": "bar/min",
        "per_min": "1/min",
        "g_per_l": "g/L",
        "bar": "bar",
        "min": "min",
        "m": "m",
        "k": "K",
        "pct": "%",
    }
    return next((unit for end, unit in endings.items() if name.endswith(f"_{end}")), "")


def _outside(symbol: Symbol, value: float) -> str:
    too_low = symbol.low is not None and value < symbol.low
    too_high = symbol.high is not None and value > symbol.high
    if not (too_low or too_high):
        return ""
    low = "" if symbol.low is None else f"from {symbol.low:g} "
    high = "" if symbol.high is None else f"to {symbol.high:g} "
    return (
        f"{symbol.sign} = {value:g} {symbol.unit} lies outside the range {low}{high}{symbol.unit}"
    )


def working(formula: Formula, **values: float) -> Working:
    """Work a formula out, step by step.

    Parameters
    ----------
    formula
        The formula.
    **values
        A number for each symbol, by parameter name, in the symbol's unit.

    Returns
    -------
    Working
        With ``outside`` filled where a number leaves its symbol's range: the caller decides
        whether that is a refusal.

    Raises
    ------
    TypeError
        If a symbol has no number, or a number no symbol.
    """
    missing = [name for name in formula.symbols if name not in values]
    unknown = [name for name in values if name not in formula.symbols]
    if missing or unknown:
        raise TypeError(f"formula {formula.name}: missing {missing}, unknown {unknown}")
    board = _Board(formula, values)
    result = board.run(_statements(formula.function))
    if result is None:
        raise TypeError(f"formula {formula.name} returns nothing")
    outside = (_outside(formula.symbols[name], value) for name, value in values.items())
    return Working(
        formula, values, tuple(board.steps), result, tuple(text for text in outside if text)
    )
