"""Standards: their texts, side by side, to be edited."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.course.standardfile import standard_file_of
from slatewright.desk.course.standards import FoundStandard, workspace_standards
from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import PlanFileError
from slatewright.store.session import Session
from slatewright.store.standards import create_standard, remove_standard, save_standard

router = APIRouter()


@dataclass(frozen=True, slots=True)
class StandardText:
    """A standard to be edited.

    Parameters
    ----------
    number, version
        In the workspace; 0 for an example that comes with the program.
    title
        Its title.
    side
        Whose it is; empty if it cannot be read.
    notes
        What is to be read beside it, its pairs of depths that disagree among it.
    rules
        What it asks, rule by rule.
    text
        Its text.
    faults
        What is wrong with it.
    """

    number: int
    version: int
    title: str
    side: str
    notes: tuple[str, ...]
    rules: tuple[str, ...]
    text: str
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Standards:
    """The page of standards.

    Parameters
    ----------
    standards
        All of them.
    example
        Whether they are the examples that come with the program.
    """

    standards: tuple[StandardText, ...]
    example: bool


PAGE: Final = Page("standards", "Standards", "standards.html", Standards, path="/standards")
PAGES: Final = (PAGE,)


@router.get("/standards")
def standards(visit: OnVisit) -> Response:
    """Show the standards.

    Parameters
    ----------
    visit
        The request.
    """
    return visit.show(PAGE, _standards(visit))


@router.post("/standards/{number}")
def save(
    visit: OnVisit, number: int, version: Annotated[int, Form()], text: Annotated[str, Form()]
) -> Response:
    """Save a standard; with faults it is shown again, and kept all the same.

    Parameters
    ----------
    visit
        The request.
    number
        Its number; 0 to keep an example, or a new text, as one of the workspace's own.
    version
        The version that the person has seen.
    text
        The new text.
    """
    plain = text.replace("\r\n", "\n")
    with visit.store.write() as session:
        if number:
            save_standard(session, number, version, plain, now=visit.now)
        else:
            _with_examples(session, plain, now=visit.now)
    try:
        standard_file_of(plain)
    except PlanFileError:
        return visit.show(PAGE, _standards(visit), status=422)
    return visit.go(PAGE.path)


@router.post("/standards/{number}/remove")
def remove(visit: OnVisit, number: int, version: Annotated[int, Form()]) -> Response:
    """Remove a standard.

    Parameters
    ----------
    visit
        The request.
    number
        Its number.
    version
        The version that the person has seen.
    """
    with visit.store.write() as session:
        remove_standard(session, number, version)
    return visit.go(PAGE.path)


def _with_examples(session: Session, text: str, *, now: datetime) -> None:
    """Keep a changed example, and the examples beside it, which would vanish otherwise."""
    changed = id_in(text)
    for one in workspace_standards(session):
        if not one.number and id_in(one.text) != changed:
            create_standard(session, one.text, now=now)
    create_standard(session, text, now=now)


def id_in(text: str) -> str:
    """Return the id of a standard as far as its text says it.

    Parameters
    ----------
    text
        The text, with faults or without.
    """
    try:
        told = tomllib.loads(text).get("id")
    except (tomllib.TOMLDecodeError, RecursionError):
        return ""
    return told if isinstance(told, str) else ""


def _standards(visit: Visit) -> Standards:
    with visit.store.read() as session:
        found = workspace_standards(session)
    return Standards(
        standards=tuple(_text(one) for one in found),
        example=not any(one.number for one in found),
    )


def _text(found: FoundStandard) -> StandardText:
    standard = found.standard
    pairs = () if standard is None else standard.course.notes
    return StandardText(
        number=found.number,
        version=found.version,
        title=found.title,
        side="" if standard is None else str(standard.side),
        notes=() if standard is None else (*standard.notes, *pairs),
        rules=() if standard is None else tuple(rule.says for rule in standard.rules),
        text=found.text,
        faults=() if found.error is None else problem_of(found.error).faults,
    )
