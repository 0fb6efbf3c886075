"""Equations as they would stand on a board: indices set low, powers high, minus signs long."""

from __future__ import annotations

import re
from typing import Final

from markupsafe import Markup, escape

_UNITS: Final = ("bar", "bar_per_m", "g_per_l", "k", "kg", "l", "m", "min", "mol", "pct")
_GREEK: Final = {"rho": "\u03c1", "tau": "\u03c4", "Phi": "\u03a6"}
_PART: Final = re.compile(
    r"(?P<call>[A-Za-z][A-Za-z0-9_]*)(?=\()"
    r"|(?P<sign>[A-Za-z][A-Za-z0-9]*)_(?P<index>[A-Za-z0-9_']+)"
    r"|(?P<power>\^)(?P<plain>-?[A-Za-z0-9._]+)?"
    r"|\b(?P<greek>rho|tau|Phi)\b"
    r"|(?P<minus>(?<=[\s(])-(?=[\s\d.(A-Za-z]))"
)


def board(text: str) -> Markup:
    """Return an equation, or one side of it, as HTML.

    Parameters
    ----------
    text
        Such as ``d = (p_max / f_O2 - p_s) / w``, or what `slatewright.sources.working` writes.
    """
    done: list[Markup] = []
    end = 0
    while part := _PART.search(text, end):
        done.append(escape(text[end : part.start()]))
        end = part.end()
        if part["power"] and not part["plain"]:
            inner = _bracketed(text, end)
            end += len(inner)
            done.append(_raised(inner[1:-1]) if inner else escape("^"))
        else:
            done.append(_set(part))
    return Markup().join([*done, escape(text[end:])])


def _set(part: re.Match[str]) -> Markup:
    if part["call"]:
        name = part["call"]
        return Markup("<i>{}</i>").format(_GREEK.get(name, _words(name)))
    if part["sign"]:
        sign = _GREEK.get(part["sign"], part["sign"])
        return Markup("{}<sub>{}</sub>").format(sign, part["index"].replace("_", " "))
    if part["plain"]:
        return _raised(part["plain"])
    if part["greek"]:
        return Markup("{}").format(_GREEK[part["greek"]])
    return Markup("\N{MINUS SIGN}")


def _raised(text: str) -> Markup:
    return Markup("<sup>{}</sup>").format(board(text))


def _bracketed(text: str, start: int) -> str:
    """Return the bracket that opens at a place, to where it closes; empty if none does."""
    depth = 0
    for place, letter in enumerate(text[start:], start):
        depth += (letter == "(") - (letter == ")")
        if depth == 0:
            return text[start : place + 1] if letter == ")" else ""
    return ""


def _words(name: str) -> str:
    """Return a function's name in words, without the unit that it bears as its ending."""
    for unit in sorted(_UNITS, key=len, reverse=True):
        if name.endswith(f"_{unit}"):
            name = name.removesuffix(f"_{unit}")
            break
    return name.strip("_").replace("_", " ")
