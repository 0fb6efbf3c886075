"""Equations as they would stand on a board: indices set low, powers high, minus signs long."""

from __future__ import annotations

import re
from typing import Final

from markupsafe import Markup, escape

_UNITS: Final = ("bar", "bar_per_m", "g_per_l", "k", "kg", "l", "m", "min", "mol", "pct")
_PART: Final = re.compile(
    r"(?P<call>[A-Za-z][A-Za-z0-9_]*)(?=\()"
    r"|(?P<sign>[A-Za-z][A-Za-z0-9]*)_(?P<index>[A-Za-z0-9_']+)"
    r"|\^(?P<power>\([^()]*\)|-?[A-Za-z0-9._]+)"
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
    for part in _PART.finditer(text):
        done += [escape(text[end : part.start()]), _set(part)]
        end = part.end()
    return Markup().join([*done, escape(text[end:])])


def _set(part: re.Match[str]) -> Markup:
    if part["call"]:
        return Markup("<i>{}</i>").format(_words(part["call"]))
    if part["sign"]:
        return Markup("{}<sub>{}</sub>").format(part["sign"], part["index"].replace("_", " "))
    if part["power"]:
        power = part["power"]
        inner = power[1:-1] if power.startswith("(") else power
        return Markup("<sup>{}</sup>").format(board(inner))
    return Markup("\N{MINUS SIGN}")


def _words(name: str) -> str:
    """Return a function's name in words, without the unit that it bears as its ending."""
    for unit in sorted(_UNITS, key=len, reverse=True):
        if name.endswith(f"_{unit}"):
            name = name.removesuffix(f"_{unit}")
            break
    return name.strip("_").replace("_", " ")
