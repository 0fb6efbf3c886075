"""The standards of the workspace: those that somebody saved, else the examples."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from slatewright.course.standard import Standard
from slatewright.course.standardfile import shipped_text, standard_file_of
from slatewright.errors import PlanFileError
from slatewright.store.session import Session
from slatewright.store.standards import list_standards

SHIPPED: Final = ("usual-minimum", "stricter")


@dataclass(frozen=True, slots=True)
class FoundStandard:
    """A standard, as far as it can be read.

    Parameters
    ----------
    number
        Its number in the workspace; 0 for an example that comes with the program.
    version
        The version of its text; 0 for an example.
    title
        Its title.
    text
        Its text.
    standard
        What it says; None if it has faults.
    error
        Its faults; None if it has none.
    """

    number: int
    version: int
    title: str
    text: str
    standard: Standard | None
    error: PlanFileError | None


def found_standard(number: int, version: int, title: str, text: str) -> FoundStandard:
    """Return a text as the standard that it is.

    Parameters
    ----------
    number, version, title, text
        As for `FoundStandard`.
    """
    try:
        standard = standard_file_of(text).standard()
    except PlanFileError as error:
        return FoundStandard(number, version, title, text, None, error)
    return FoundStandard(number, version, standard.title, text, standard, None)


def workspace_standards(session: Session) -> tuple[FoundStandard, ...]:
    """Return the standards of the workspace; the examples if it has none.

    Parameters
    ----------
    session
        A session.
    """
    kept = tuple(
        found_standard(one.id, one.version, one.title, one.text) for one in list_standards(session)
    )
    return kept or tuple(found_standard(0, 0, name, shipped_text(name)) for name in SHIPPED)
