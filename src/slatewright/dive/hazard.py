"""A hazard: what, when, where, why it matters, and what would cure it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

NewValue: TypeAlias = str | int | float | tuple[str, ...] | dict[str, object] | None
"""What a change writes: a number in metric units, a text, a list, a whole entry; None takes out."""


class Severity(StrEnum):
    """How bad it is."""

    NOTE = "note"
    WARNING = "warning"
    DANGER = "danger"


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a plan file.

    Parameters
    ----------
    path
        The way to a key. After ``gas`` stands a mixture, after ``level`` a position from 0, after
        ``cylinder`` the name of a diver and a label; a key whose unit depends on the file has the
        metric one in braces: ``("gas", "EAN50", "switch_at_{m}")``. A path without a key is that
        of the whole entry.
    value
        What is written there, a number in the metric unit; None to take it out.
    """

    path: tuple[str | int, ...]
    value: NewValue


@dataclass(frozen=True, slots=True)
class Mend:
    """A cure that can be written into the plan file: see `slatewright.dive.mending`.

    Parameters
    ----------
    words
        What is done, as a button says it, such as ``switch to EAN50 at 18 m``.
    changes
        What is written, in this order.
    """

    words: str
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Hazard:
    """One hazard of a dive.

    Parameters
    ----------
    code
        A stable word, such as ``counterdiffusion``.
    severity
        How bad it is.
    at_min, at_m
        Run time and depth at which it is worst [min], [m].
    text
        What it is, with the figures, a sentence.
    why
        Why it matters.
    cure
        What would cure it; empty if nothing would.
    house_rules
        The house rules that decided.
    mends
        Cures of it that can be written into the plan file, each by itself, the best first.
    """

    code: str
    severity: Severity
    at_min: float
    at_m: float
    text: str
    why: str
    cure: str = ""
    house_rules: tuple[str, ...] = ()
    mends: tuple[Mend, ...] = ()
