"""The frame that all pages hang in: who they are, and what stands around them.

A new page is one module in ``pages/`` with ``PAGES`` and ``router``, one template, one test; the
frame finds the module by itself.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from fastapi import APIRouter

from slatewright.desk import pages as _pages


@dataclass(frozen=True, slots=True)
class Page:
    """A page.

    Parameters
    ----------
    name
        One word, unlike that of any other page; the page's body has it as its class.
    title
        What stands in the browser's tab.
    template
        Its template.
    context
        The frozen dataclass that its template is given as ``page``.
    path
        Where it is; what the navigation leads to.
    label
        What the navigation calls it; empty if it is not there.
    order
        Its place in the navigation, from left to right.
    scripts
        Modules of its own, by asset name, such as ``bench.js``.
    """

    name: str
    title: str
    template: str
    context: type[Any]
    path: str = ""
    label: str = ""
    order: int = 100
    scripts: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        frozen = getattr(getattr(self.context, "__dataclass_params__", None), "frozen", False)
        if not frozen:
            raise TypeError(f"the context of page {self.name} is no frozen dataclass")
        if self.label and not self.path:
            raise TypeError(f"page {self.name} is in the navigation and has no path")


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry of the navigation.

    Parameters
    ----------
    label
        What it says.
    href
        Where it leads.
    here
        Whether that is the page at hand.
    """

    label: str
    href: str
    here: bool


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands around a page; its template is given it as ``frame``.

    Parameters
    ----------
    title
        What stands in the browser's tab.
    name
        The page's name.
    entries
        The navigation.
    token
        What every form carries.
    look
        ``system``, ``light`` or ``dark``.
    path
        Where the page is, to come back to.
    scripts
        Paths of the page's own modules.
    may_log_out
        Whether there is a login to end.
    cautions
        The texts that every page ends with.
    """

    title: str
    name: str
    entries: tuple[Entry, ...]
    token: str
    look: str
    path: str
    scripts: tuple[str, ...]
    may_log_out: bool
    cautions: tuple[str, ...]


@cache
def page_modules() -> tuple[tuple[tuple[Page, ...], APIRouter], ...]:
    """Return the pages and the router of each module in ``pages/``, by name of the module.

    A module has ``PAGES``, a tuple, and ``router``.
    """
    return tuple(_found())


def all_pages() -> tuple[Page, ...]:
    """Return all pages, in the order of the navigation."""
    return tuple(sorted((p for own, _ in page_modules() for p in own), key=lambda p: p.order))


def _found() -> Iterator[tuple[tuple[Page, ...], APIRouter]]:
    for entry in sorted(pkgutil.iter_modules(_pages.__path__), key=lambda entry: entry.name):
        if not entry.name.startswith("_"):
            module = importlib.import_module(f"{_pages.__name__}.{entry.name}")
            yield tuple(module.PAGES), module.router
