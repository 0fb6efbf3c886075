"""Standards as files: TOML that an instructor edits, with every fault and its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from pydantic import ValidationError, model_validator

from slatewright.course.rule_depths import DepthPair
from slatewright.course.standard import CourseAsked, Side, Standard
from slatewright.course.standard_tables import (
    Id,
    RuleTable,
    Sentence,
    depth_pair,
    half_pairs,
)
from slatewright.errors import InputError
from slatewright.logs.logged import DEEPEST_M
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import key
from slatewright.toml.tables import Lines, Table
from slatewright.toml.write import fresh, merged

SCHEMA: Final = "slatewright/standard/1"
"""The first line of a standard says which kind of file it is."""
SHIPPED: Final = ("usual-minimum", "stricter")
"""The examples that come with Slatewright."""
_DEEPEST_FT: Final = 1150.0
_LONGEST_MIN: Final = 100_000


class CourseTable(Table):
    """``[course]``: what a course has to be."""

    dives: Annotated[int, key("least number of dives", "5", ge=0, le=1000)] = 0
    run_time_min: Annotated[
        float,
        key("least total run time of all dives", "300", unit="min", ge=0, le=_LONGEST_MIN),
    ] = 0.0
    bottom_time_min: Annotated[
        float,
        key("least total bottom time of all dives", "80", unit="min", ge=0, le=_LONGEST_MIN),
    ] = 0.0
    times: Annotated[
        Literal["both", "either"],
        key("whether both totals are needed, or one is enough", '"either"'),
    ] = "both"
    limit_m: Annotated[
        float | None, key("no dive goes beyond", "90", unit="m", gt=0, le=DEEPEST_M)
    ] = None
    limit_ft: Annotated[
        float | None, key("the same for plans in feet", "300", unit="ft", gt=0, le=_DEEPEST_FT)
    ] = None
    reach_m: Annotated[
        float | None, key("one dive reaches at least", "70", unit="m", gt=0, le=DEEPEST_M)
    ] = None
    reach_ft: Annotated[
        float | None, key("the same for plans in feet", "230", unit="ft", gt=0, le=_DEEPEST_FT)
    ] = None
    students_per_instructor: Annotated[
        int, key("most students for each instructor; 0 for no bound", "3", ge=0, le=100)
    ] = 0
    skills: Annotated[
        Lines, key("skills that each student shows", '["gas-switch"]', strict=False)
    ] = ()

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("CourseTable", self._contradictions())
        return self

    def _contradictions(self) -> Iterator[Fault]:
        yield from half_pairs(self, "limit", "reach")
        for unit in ("m", "ft"):
            limit, reach = getattr(self, f"limit_{unit}"), getattr(self, f"reach_{unit}")
            if limit is not None and reach is not None and reach > limit:
                yield Fault((f"reach_{unit}",), f"{reach:g} {unit} is beyond the limit",
                            f"{limit:g} {unit} or less")  # fmt: skip
        if self.times == "either" and not (self.run_time_min and self.bottom_time_min):
            yield Fault(("times",), "leaves a choice between one time",
                        "run_time_min and bottom_time_min")  # fmt: skip
        if len(set(self.skills)) < len(self.skills):
            yield Fault(("skills",), "names one skill twice", "each skill once")

    def asked(self) -> CourseAsked:
        """Return what is asked of a course."""
        limit: DepthPair | None = depth_pair(self.limit_m, self.limit_ft)
        return CourseAsked(
            dives=self.dives,
            run_time_min=self.run_time_min,
            bottom_time_min=self.bottom_time_min,
            either_time=self.times == "either",
            limit=limit,
            reach=depth_pair(self.reach_m, self.reach_ft),
            students_per_instructor=self.students_per_instructor,
            skills=self.skills,
        )


class StandardFile(Table):
    """A standard, exactly as written."""

    schema_: Annotated[
        Literal["slatewright/standard/1"],
        key("what the file is", f'"{SCHEMA}"', alias="schema"),
    ]
    id: Annotated[Id, key("its name, to which waivers refer", '"my-own"')]
    title: Annotated[Sentence, key("its title", '"My own standard"')]
    side: Annotated[Side, key("a minimum, or the instructor's own", '"minimum"', strict=False)] = (
        Side.MINIMUM
    )
    example: Annotated[bool, key("whether it is only an example", "false")] = False
    note: Annotated[str, key("what is to be read beside it", '"As of spring."')] = ""
    rule: Annotated[
        tuple[RuleTable, ...],
        key("the rules", "[[rule]] with id, says and what is asked", strict=False),
    ]
    course: Annotated[CourseTable, key("what a course has to be", "[course] with dives = 5")] = (
        CourseTable()
    )

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("StandardFile", self._contradictions())
        return self

    def _contradictions(self) -> Iterator[Fault]:
        if not self.rule:
            yield Fault(("rule",), "has no rules", "[[rule]] with id, says and what is asked")

    def standard(self) -> Standard:
        """Return the standard."""
        return Standard(
            id=self.id,
            title=self.title,
            side=self.side,
            rules=tuple(table.rule() for table in self.rule),
            course=self.course.asked(),
            example=self.example,
            note=" ".join(self.note.split()),
        )

    def data(self) -> dict[str, Any]:
        """Return what the file says, and nothing that it leaves out."""
        dumped: dict[str, Any] = self.model_dump(by_alias=True, exclude_unset=True)
        rules = [  # by the name of a rule `merged` finds it again, so it stands first
            {"id": table["id"], "says": table["says"], **table} for table in dumped["rule"]
        ]
        return {name: _plain(value) for name, value in (dumped | {"rule": rules}).items()}


def _plain(value: object) -> object:
    """Return a value as TOML has it: lists and plain texts, one word for a list of one."""
    if isinstance(value, Mapping):
        return {name: _plain(part) for name, part in value.items()}
    if isinstance(value, tuple | list):
        if len(value) == 1 and isinstance(value[0], str):
            return str(value[0])  # one word stands for a list of one
        return [_plain(part) for part in value]
    return str(value) if isinstance(value, str) else value


def read_standard_file(path: Path) -> StandardFile:
    """Read a standard as written.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    StandardFile
        What it says.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    return _checked(*read_toml(path), path)


def read_standard(path: Path) -> Standard:
    """Read a standard.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Standard
        The standard.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    return read_standard_file(path).standard()


def standard_file_of(text: str, path: Path | None = None) -> StandardFile:
    """Read a standard from its text.

    Parameters
    ----------
    text
        The text.
    path
        What to call it in messages.

    Returns
    -------
    StandardFile
        What it says.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    return _checked(text, toml_of(text, path), path)


def write_standard_file(file: StandardFile, original_text: str | None = None) -> str:
    """Write a standard.

    Parameters
    ----------
    file
        What it says.
    original_text
        The text from which it was read: comments and all that has not changed stay as they are;
        None for a new text.

    Returns
    -------
    str
        TOML.
    """
    return fresh(file.data()) if original_text is None else merged(original_text, file.data())


def shipped_text(name: str) -> str:
    """Return the text of an example that comes with Slatewright.

    Parameters
    ----------
    name
        One of `SHIPPED`.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    if name not in SHIPPED:
        raise InputError(f"'{name}' is no example of a standard", right=" or ".join(SHIPPED))
    return files("slatewright.data").joinpath("standards", f"{name}.toml").read_text("utf-8")


def shipped_standard(name: str) -> Standard:
    """Return an example that comes with Slatewright.

    Parameters
    ----------
    name
        One of `SHIPPED`.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    return standard_file_of(shipped_text(name)).standard()


def _checked(text: str, raw: dict[str, Any], path: Path | None) -> StandardFile:
    found = list(_names_taken(raw))
    try:
        file = StandardFile.model_validate(raw)
    except ValidationError as error:
        found += faults_in(error, StandardFile, raw)
    if found:
        raise file_error(dict.fromkeys(found), text, path)
    return file


def _names_taken(raw: Mapping[str, Any]) -> Iterator[Fault]:
    """Yield a fault for each rule whose name an earlier one has, whatever else is wrong."""
    tables, seen = raw.get("rule"), set[str]()
    for i, table in enumerate(tables if isinstance(tables, list) else []):
        name = table.get("id") if isinstance(table, dict) else None
        if isinstance(name, str):
            if name in seen:
                yield Fault(("rule", i, "id"), f"'{name}' is taken", "an id of its own")
            seen.add(name)
