"""The one bibliography: every key that a formula, a table or a test cites."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

_KEY: Final = re.compile(r"\[([A-Za-z][A-Za-z0-9+-]*)\]")


@dataclass(frozen=True, slots=True)
class Reference:
    """One publication.

    Parameters
    ----------
    key
        How it is cited, such as ``NOAA1991``.
    text
        Authors, title, publisher, year.
    how
        Whether its numbers were read or recalled from memory.
    """

    key: str
    text: str
    how: str


@cache
def references() -> dict[str, Reference]:
    """Return all references by key.

    Returns
    -------
    dict
        Key to `Reference`, in the order of the file.
    """
    raw = tomllib.loads(files("slatewright.data").joinpath("references.toml").read_text("utf-8"))
    return {key: Reference(key, entry["text"], entry["how"]) for key, entry in raw.items()}


def reference(key: str) -> Reference:
    """Return one reference.

    Parameters
    ----------
    key
        As cited, without brackets.

    Raises
    ------
    KeyError
        If the bibliography has no such key.
    """
    return references()[key]


def cited_keys(text: str) -> tuple[str, ...]:
    """Return the keys that stand in square brackets in a text.

    Parameters
    ----------
    text
        Any text, such as ``[NOAA1991] Table 16.5``.
    """
    return tuple(_KEY.findall(text))
