"""The course file: what an instructor wants to do, in TOML, and what a move writes into it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from enum import Enum
from pathlib import Path
from typing import Any, Self, TypeAlias

from pydantic import TypeAdapter, ValidationError, model_validator

from slatewright.course._course_contradictions import contradictions
from slatewright.course._course_tables import (
    SCHEMA,
    AgreementTable,
    CourseTables,
    DiveTable,
    LimitsTable,
    PersonTable,
    clock,
)
from slatewright.errors import InputError
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import named

__all__ = [
    "SCHEMA",
    "AgreementTable",
    "CourseFile",
    "DiveTable",
    "LimitsTable",
    "Move",
    "PersonTable",
    "Resolver",
    "clock",
    "moved",
    "parse_course_file",
    "plans_beside",
    "read_course_file",
    "read_course_text",
    "rescheduled",
    "write_course_file",
]

Resolver: TypeAlias = Callable[[str], str]
"""Takes what stands under ``plan``, a path or a number such as ``#12``; returns the plan's text."""


class CourseFile(CourseTables):
    """A course file, exactly as written; one that exists has no contradictions."""

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("CourseFile", contradictions(self))
        return self


@dataclass(frozen=True, slots=True)
class Move:
    """A dive moved to another day or time.

    Parameters
    ----------
    dive
        Which ``[[dive]]`` of the file, counted from 1.
    to
        When it begins then, local time.
    """

    dive: int
    to: datetime


def read_course_text(text: str, path: Path | None = None) -> CourseFile:
    """Read a course file from its text.

    Parameters
    ----------
    text
        The text.
    path
        What to call the file in messages.

    Returns
    -------
    CourseFile
        What it says.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    return parse_course_file(text, toml_of(text, path), path)


def read_course_file(path: Path) -> CourseFile:
    """Read a course file.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    CourseFile
        What it says.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    text, raw = read_toml(path)
    return parse_course_file(text, raw, path)


def parse_course_file(text: str, raw: Mapping[str, Any], path: Path | None = None) -> CourseFile:
    """Check what a text says, and name all its faults at once.

    Parameters
    ----------
    text
        The text, for the lines of the faults.
    raw
        What it says.
    path
        The file, for the messages.

    Returns
    -------
    CourseFile
        The course file.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    try:
        return CourseFile.model_validate(raw)
    except ValidationError as error:
        faults = list(faults_in(error, CourseFile, raw))
    unsound = frozenset(str(fault.path[0]) for fault in faults)
    sound: dict[str, Any] = {
        name: TypeAdapter[Any](field.annotation).validate_python(raw[name], strict=False)
        for name, field in named(CourseFile).items()
        if name in raw and name not in unsound and field.annotation is not None
    }
    tables = CourseTables.model_construct(**sound)
    faults.extend(contradictions(tables, unsound))
    raise file_error(dict.fromkeys(faults), text, path)


def write_course_file(course: CourseFile, original_text: str | None = None) -> str:
    """Return the text of a course file.

    Parameters
    ----------
    course
        What is to be written.
    original_text
        A text to write it into: what has not changed stays as it is, to the letter, with all
        comments; None for a new text.

    Returns
    -------
    str
        TOML that reads back as the same course file.

    Raises
    ------
    PlanFileError
        If ``original_text`` is not TOML.
    """
    from slatewright.toml.write import fresh, merged  # noqa: PLC0415 - for writers only

    data = _plain(course.model_dump(by_alias=True, exclude_unset=True, exclude_none=True))
    data = {"schema": data.pop("schema"), **data}
    for name in ("dive", "elsewhere", "flight"):
        for position, table in enumerate(data.get(name, ())):
            # the writer knows a table again by its first key: a dive by its plan
            first = {key: table[key] for key in ("plan", "on", "at") if key in table}
            data[name][position] = first | table
    return fresh(data) if original_text is None else merged(original_text, data)


def _plain(value: Any) -> Any:  # noqa: ANN401 - values of TOML
    if isinstance(value, dict):
        return {name: _plain(part) for name, part in value.items()}
    if isinstance(value, list | tuple):
        parts = [_plain(part) for part in value]
        return parts[0] if len(parts) == 1 and isinstance(parts[0], str) else parts
    return value.value if isinstance(value, Enum) else value


def moved(text: str, dive: int, on: date, at: time) -> str:
    """Return the text of a course with one dive on another day or at another time.

    Parameters
    ----------
    text
        The text of the course file.
    dive
        Which ``[[dive]]``, counted from 1.
    on
        The day.
    at
        The time of day, local; seconds are left out.

    Returns
    -------
    str
        All else is as it was, to the letter.

    Raises
    ------
    InputError
        If there is no such dive, or the course then contradicts itself.
    """
    return rescheduled(text, [Move(dive, datetime.combine(on, at))])


def rescheduled(text: str, moves: Sequence[Move]) -> str:
    """Return the text of a course with several dives moved at once.

    Parameters
    ----------
    text
        The text of the course file.
    moves
        Each dive at most once.

    Returns
    -------
    str
        All else is as it was, to the letter.

    Raises
    ------
    InputError
        If there is no such dive, or the course then contradicts itself.
    """
    file = read_course_text(text)
    dives = list(file.dive)
    for move in moves:
        if not 1 <= move.dive <= len(dives):
            raise InputError(
                f"there is no dive {move.dive}", where="dive", right=f"1 to {len(dives)}"
            )
        old = dives[move.dive - 1]
        changed: dict[str, object] = {"on": move.to.date()}
        if clock(old.at) != move.to.time().replace(second=0, microsecond=0):
            as_text = f"{move.to.hour}:{move.to.minute:02d}"
            changed["at"] = (
                as_text
                if isinstance(old.at, str)
                else time.fromisoformat(f"{move.to.hour:02d}:{move.to.minute:02d}")
            )
        dives[move.dive - 1] = old.model_copy(update=changed)
    changed_text = write_course_file(file.model_copy(update={"dive": tuple(dives)}), text)
    read_course_text(changed_text)
    return changed_text


def plans_beside(path: Path) -> Resolver:
    """Return a resolver of plans that are files beside a course file.

    Parameters
    ----------
    path
        The course file.

    Returns
    -------
    callable
        Takes a path from the folder of the file, returns the plan's text. A number raises
        `InputError`: numbers are known to a workspace only.
    """

    def resolve(plan: str) -> str:
        if plan.startswith("#"):
            raise InputError(
                f"'{plan}' is a plan of a workspace, and this is a file",
                right="the path of a plan file, from the folder of this one",
            )
        try:
            return (path.parent / plan).read_text("utf-8-sig")
        except (OSError, UnicodeDecodeError):
            raise InputError(
                f"there is no plan '{plan}' that can be read",
                right="the path of a plan file, from the folder of this one",
            ) from None

    return resolve


def plan_fault(text: str, dive: int, kind: str, error: InputError, path: Path | None) -> InputError:
    """Return the error of a dive whose plan cannot be used, with its line in the course file.

    Parameters
    ----------
    text
        The text of the course file.
    dive
        Which table, counted from 1.
    kind
        ``dive`` or ``elsewhere``.
    error
        What is wrong with the plan.
    path
        The course file, for the message.
    """
    what = f"its plan cannot be used: {error}"
    return file_error([Fault((kind, dive - 1, "plan"), what, error.right)], text, path)
