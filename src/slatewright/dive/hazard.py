"""A hazard: what, when, where, why it matters, and what would cure it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How bad it is."""

    NOTE = "note"
    WARNING = "warning"
    DANGER = "danger"


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
    """

    code: str
    severity: Severity
    at_min: float
    at_m: float
    text: str
    why: str
    cure: str = ""
    house_rules: tuple[str, ...] = ()
