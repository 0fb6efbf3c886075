"""What goes in and out of the programming interface; the description is made of these."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from slatewright.physics.units import UnitSystem
from slatewright.store.plan_records import PlanStatus

MOST: Final = 2**31 - 1
LONGEST_TEXT: Final = 400_000
"""Characters; written as JSON in the longest way they stay within what a request may carry."""
Key = Annotated[int, Field(ge=1, le=MOST, description="A number given by the store.")]
Text = Annotated[
    str,
    Field(
        max_length=LONGEST_TEXT,
        description="The text of a plan file in TOML, as docs/plan-file.md describes it.",
    ),
]


class Shape(BaseModel):
    """A body: no unknown keys, no guessing of types."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class NewPlan(Shape):
    """A plan to be kept. Its text may still have faults: work in hand is kept too."""

    text: Text
    earlier_plan_id: Annotated[
        Key | None, Field(description="The plan of the dive before, if there is one.")
    ] = None


class SavePlan(Shape):
    """A new text of a plan."""

    version: Annotated[
        int, Field(ge=1, le=MOST, description="The version from which the text was made.")
    ]
    text: Text


class EarlierPlan(Shape):
    """Which dive comes before."""

    version: Annotated[int, Field(ge=1, le=MOST, description="The version that was seen.")]
    earlier_plan_id: Annotated[Key | None, Field(description="The earlier plan; null for none.")]


class GivenText(Shape):
    """A text that is not kept."""

    text: Text


class GivenValues(Shape):
    """Numbers for a formula."""

    values: Annotated[
        dict[str, float],
        Field(description="A number for each symbol, by parameter name, in the symbol's unit."),
    ]


class PlanEntry(BaseModel):
    """A plan in the list."""

    id: int
    title: str
    units: UnitSystem
    earlier_plan_id: int | None
    status: PlanStatus
    version: int
    created_at: datetime
    changed_at: datetime
    trashed_at: datetime | None


class Plan(PlanEntry):
    """A plan with its text."""

    text: str


class Plans(BaseModel):
    """All plans, the last changed first."""

    plans: list[PlanEntry]


class Valid(BaseModel):
    """A text without faults."""

    title: str
    units: UnitSystem
    deepest_m: float
    bottom_min: float
    gases: list[str]


class Fault(BaseModel):
    """One thing that is wrong."""

    what: str
    where: Annotated[str, Field(description="A field, or the key of a plan; empty if it is said.")]
    line: Annotated[int, Field(description="The line of the plan's text; 0 if there is none.")]
    right: Annotated[str, Field(description="What would be right, or would cure it.")]


class Stored(BaseModel):
    """What another window has saved meanwhile."""

    version: int
    text: str


class Problem(BaseModel):
    """Why a request is refused."""

    kind: Literal[
        "bad-input",
        "not-found",
        "no-safe-answer",
        "stale",
        "store-unavailable",
        "refused",
        "login-needed",
        "broken",
    ]
    faults: list[Fault]
    stored: Stored | None


def refusals(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return the refusals of an operation for its description.

    Parameters
    ----------
    statuses
        Those besides what any request may get.
    """
    words = {
        400: "The request cannot be read.",
        401: "A login is needed, where others are served.",
        403: "The request comes from a page of a stranger's.",
        404: "There is no such record.",
        409: "Another window has saved the record since; nothing was overwritten.",
        413: "The request is too large.",
        421: "This desk is not known by the name that was asked.",
        422: "Bad input with its faults, or no safe answer with its reasons.",
        500: "The store cannot be used, or the desk is broken.",
        503: "The store is busy.",
    }
    every = {400, 401, 403, 413, 421, 422, 500, 503, *statuses}
    return {status: {"model": Problem, "description": words[status]} for status in sorted(every)}
