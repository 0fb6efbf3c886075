"""A finding of a course: what, when, why it matters, and which moves of a dive would cure it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from slatewright.course.coursefile import Move
from slatewright.dive.hazard import Severity


@dataclass(frozen=True, slots=True)
class CourseMend:
    """A cure that can be written into the course file, by `rescheduled`.

    Parameters
    ----------
    words
        What is done, as a button says it.
    moves
        What is moved.
    """

    words: str
    moves: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding.

    Parameters
    ----------
    code
        A stable word, such as ``step-too-deep``.
    severity
        How bad it is; a note is no violation.
    dive
        The number of the dive, counted from 1 in the file; 0 for the course as a whole.
    who
        Whom it concerns; empty for all.
    at
        When; None for the course as a whole.
    text
        What it is, with the figures, a sentence.
    why
        Why it matters.
    cure
        What would cure it; each figure in it was tried. Empty if nothing is known.
    mends
        Cures that can be written into the file, each tried, the best first.
    elsewhere
        Whether ``dive`` counts those of other courses.
    limits
        The keys of ``[limits]`` that decided.
    times
        How much it weighs: the dives that are missing in a step, the things that are too many.
    """

    code: str
    severity: Severity
    dive: int
    who: tuple[str, ...]
    at: datetime | None
    text: str
    why: str
    cure: str = ""
    mends: tuple[CourseMend, ...] = ()
    elsewhere: bool = False
    limits: tuple[str, ...] = ()
    times: int = 1

    @property
    def violates(self) -> bool:
        """Whether it is more than a note."""
        return self.severity is not Severity.NOTE

    @property
    def place(self) -> tuple[str, bool, int]:
        """What tells it from other findings, whatever day it is."""
        return (self.code, self.elsewhere, self.dive)


def weight(findings: tuple[Finding, ...]) -> int:
    """Return how bad findings are together: each danger outweighs all warnings.

    Parameters
    ----------
    findings
        Any number; notes weigh nothing.
    """
    return sum(WEIGHT[finding.severity] * finding.times for finding in findings)


WEIGHT = {Severity.NOTE: 0, Severity.WARNING: 1, Severity.DANGER: 1000}
"""What a finding weighs where courses are compared. A step weighs by its size: else the least
would be a single one to the bottom."""
