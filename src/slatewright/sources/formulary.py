"""All formulas of the package, found by their mark in the sources and grouped by module."""

from __future__ import annotations

import difflib
import importlib
import sys
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from slatewright.errors import InputError
from slatewright.sources.formula import formulas

if TYPE_CHECKING:
    from collections.abc import Iterator
    from importlib.resources.abc import Traversable

    from slatewright.sources import Formula

_MARK: Final = "@formula("
_NOT_HERE: Final = ("sources", "cli", "desk", "store", "paper")
"""Folders that speak of formulas and hold none."""


@cache
def all_formulas() -> tuple[Formula, ...]:
    """Return all formulas of the package, by name.

    Only the modules that hold one are imported: finding them by the text of their sources is much
    quicker than importing everything.
    """
    for name in _modules(files("slatewright"), "slatewright"):
        importlib.import_module(name)
    return formulas()


def _modules(folder: Traversable, package: str) -> Iterator[str]:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir() and entry.name not in _NOT_HERE:
            yield from _modules(entry, f"{package}.{entry.name}")
        elif entry.name.endswith(".py") and _MARK in entry.read_text("utf-8"):
            yield f"{package}.{entry.name.removesuffix('.py')}"


def by_topic() -> dict[str, tuple[Formula, ...]]:
    """Return the formulas grouped: the first line of each module's text, and its formulas."""
    topics: dict[str, tuple[Formula, ...]] = {}
    for formula in all_formulas():
        text = sys.modules[formula.function.__module__].__doc__ or formula.function.__module__
        topic = text.strip().partition("\n")[0].rstrip(".")
        topics[topic] = (*topics.get(topic, ()), formula)
    return dict(sorted(topics.items()))


def find_formula(name: str) -> Formula:
    """Return one formula.

    Parameters
    ----------
    name
        Its name.

    Raises
    ------
    InputError
        If there is none of that name, with those that are near.
    """
    known = {formula.name: formula for formula in all_formulas()}
    if name in known:
        return known[name]
    near = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
    part = [other for other in known if name and name in other and other not in near]
    hint = ", ".join([*near, *part][:4]) or "one of those that 'slatewright explain' lists"
    raise InputError(f"there is no formula '{name}'", where="formula", right=hint)
