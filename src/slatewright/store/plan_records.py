"""A plan as it leaves the store."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from slatewright.physics.units import UnitSystem


class PlanStatus(StrEnum):
    """How far a plan is."""

    DRAFT = "draft"
    READY = "ready"
    DIVED = "dived"


@dataclass(frozen=True, slots=True)
class PlanEntry:
    """A plan as it stands in a list.

    Parameters
    ----------
    id
        Its number, never given to another plan.
    title
        Its title, read out of the text.
    units
        Its units, read out of the text.
    earlier_plan_id
        The plan of the dive before, whose gas in the body this one begins with; None for a first.
    status
        How far it is.
    version
        How often it has been saved, counted from 1.
    created_at, changed_at
        When it was first and last saved.
    trashed_at
        When it went to the trash; None if it is not there.
    """

    id: int
    title: str
    units: UnitSystem
    earlier_plan_id: int | None
    status: PlanStatus
    version: int
    created_at: datetime
    changed_at: datetime
    trashed_at: datetime | None


@dataclass(frozen=True, slots=True)
class SavedPlan(PlanEntry):
    """A plan with its text.

    Parameters
    ----------
    id, title, units, earlier_plan_id, status, version, created_at, changed_at, trashed_at
        As for `PlanEntry`.
    text
        The text of the plan file, to the letter: what the plan says.
    """

    text: str


@dataclass(frozen=True, slots=True)
class PlanText:
    """A text that a plan has or had.

    Parameters
    ----------
    version
        The version at which it was saved.
    text
        The text.
    saved_at
        When.
    """

    version: int
    text: str
    saved_at: datetime
