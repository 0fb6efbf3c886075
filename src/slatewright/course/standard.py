"""A standard: what is asked of a candidate, and of a course."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from slatewright.course.rule_depths import DepthPair
from slatewright.course.rules import Rule

EXAMPLE_NOTE: Final = (
    "This standard is an example of the makers of Slatewright and of no agency. "
    "The text in force of the agency that issues the card replaces it."
)
"""Stands beside every result of an example."""
IN_FORCE_NOTE: Final = (
    "The text in force of the agency that issues the card decides; compare this file with it."
)
"""Stands beside every result of any other standard."""


class Side(StrEnum):
    """Whose standard it is."""

    MINIMUM = "minimum"
    INSTRUCTOR = "instructor"


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseAsked:
    """What a standard asks of a course.

    Parameters
    ----------
    dives
        The least number of dives; 0 if it asks none, as below.
    run_time_min, bottom_time_min
        The least total over all dives [min].
    either_time
        Whether one of the two totals is enough.
    limit
        The depth that no dive goes beyond.
    reach
        The depth that at least one dive reaches.
    students_per_instructor
        The most students for each instructor.
    skills
        What each student has to show, by the name in the library of skills.
    """

    dives: int = 0
    run_time_min: float = 0.0
    bottom_time_min: float = 0.0
    either_time: bool = False
    limit: DepthPair | None = None
    reach: DepthPair | None = None
    students_per_instructor: int = 0
    skills: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """What is to be said of pairs of depths that disagree."""
        return tuple(pair.note for pair in (self.limit, self.reach) if pair and pair.note)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """A standard.

    Parameters
    ----------
    id
        Its name, to which waivers refer.
    title
        Its title.
    side
        A minimum, or an instructor's own.
    rules
        What is asked of a candidate.
    course
        What is asked of a course.
    example
        Whether it is only an example.
    note
        What its writer wants to be read beside it.
    """

    id: str
    title: str
    rules: tuple[Rule, ...]
    side: Side = Side.MINIMUM
    course: CourseAsked = CourseAsked()
    example: bool = False
    note: str = ""

    @property
    def notes(self) -> tuple[str, ...]:
        """What is to be read beside every result."""
        shown = EXAMPLE_NOTE if self.example else IN_FORCE_NOTE
        return (shown, *([self.note] if self.note else []))

    def rule(self, rule_id: str) -> Rule | None:
        """Return a rule; None if there is none of that name.

        Parameters
        ----------
        rule_id
            The name of the rule.
        """
        return next((rule for rule in self.rules if rule.id == rule_id), None)
