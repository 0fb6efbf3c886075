"""Lists of skills: TOML that an instructor edits, with every fault and its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from importlib import resources
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from pydantic import Field, StringConstraints, ValidationError, model_validator

from slatewright.course.rule_depths import DepthPair
from slatewright.course.skills import Gas, Skill, SkillLibrary, Stops, graph_faults
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import key
from slatewright.toml.tables import Line, Lines, Table

SCHEMA: Final = "slatewright/skills/1"
"""The first line of a list of skills says which kind of file it is."""
SHIPPED: Final = "skills.toml"
"""The generic list that comes along."""
_DEEP_M: Final = 150
_DEEP_FT: Final = 500

SkillId = Annotated[str, StringConstraints(pattern="^[a-z0-9][a-z0-9-]{0,59}$")]
"""Small letters, digits and hyphens."""
GasWord = Annotated[Gas, Field(strict=False)]
"""What a gas is there for; TOML has it as text."""


class SkillTable(Table):
    """``[[skill]]``: a skill or a combination."""

    id: Annotated[SkillId, key("small letters, digits, hyphens", '"lost-mask"')]
    group: Annotated[Line, key("under what it is listed", '"losses"')]
    words: Annotated[Line, key("what it is", '"Lose the mask and put on the spare"')]
    shows: Annotated[Line | None, key("what counts as shown", '"depth kept, spare on"')] = None
    after: Annotated[Lines, key("prerequisites, by their ids", '["trim"]', strict=False)] = ()
    same_dive: Annotated[
        bool, key("whether these may be shown earlier on the same dive", "true")
    ] = False
    parts: Annotated[
        Lines, key("of which skills it is made", '["share-gas", "marker"]', strict=False)
    ] = ()
    load: Annotated[int, key("how much of the mind it takes", "3", ge=1, le=5)]
    first_from_m: Annotated[
        float | None,
        key("least greatest depth of its first dive", "40", unit="m", gt=0, le=_DEEP_M),
    ] = None
    first_from_ft: Annotated[float | None, key("the same", "130", unit="ft", gt=0, le=_DEEP_FT)] = (
        None
    )
    first_to_m: Annotated[
        float | None,
        key("most greatest depth of its first dive", "30", unit="m", gt=0, le=_DEEP_M),
    ] = None
    first_to_ft: Annotated[float | None, key("the same", "100", unit="ft", gt=0, le=_DEEP_FT)] = (
        None
    )
    loses: Annotated[
        tuple[GasWord, ...], key("gases whose loss is simulated", '["back gas"]', strict=False)
    ] = ()
    stops: Annotated[
        Stops, key("what stops it needs", '"simulated"', default="none", strict=False)
    ] = Stops.NONE
    carries: Annotated[
        tuple[GasWord, ...], key("cylinders along", '["travel gas"]', strict=False)
    ] = ()

    def skill(self) -> Skill:
        """Return the skill."""
        return Skill(
            id=self.id,
            group=self.group,
            words=self.words,
            shows=self.shows or "",
            after=self.after,
            same_dive=self.same_dive,
            parts=self.parts,
            load=self.load,
            first_from=_pair(self.first_from_m, self.first_from_ft),
            first_to=_pair(self.first_to_m, self.first_to_ft),
            loses=frozenset(self.loses),
            stops=self.stops,
            carries=self.carries,
        )


class SkillFile(Table):
    """A list of skills, exactly as written."""

    schema_: Annotated[
        Literal["slatewright/skills/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    skill: Annotated[
        tuple[SkillTable, ...],
        key("the skills", "[[skill]] with id, group, words and load", strict=False),
    ]

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if not self.skill:
            empty = Fault(("skill",), "has no skill in it", "[[skill]] with id, group, words, load")
            refuse("SkillFile", [empty])
        refuse("SkillFile", _contradictions(dict(enumerate(self.skill)), self.skill))
        return self

    def library(self) -> SkillLibrary:
        """Return the skills as a graph."""
        return SkillLibrary(tuple(table.skill() for table in self.skill))


def _contradictions(
    sound: Mapping[int, SkillTable], tables: Sequence[SkillTable | None]
) -> Iterator[Fault]:
    """Yield contradictions; a table that is unsound by itself is None and hides none of others."""
    for i, table in sound.items():
        for name in ("first_from", "first_to"):
            given = [getattr(table, f"{name}_{unit}") is not None for unit in ("m", "ft")]
            if given[0] != given[1]:
                there, missing = ("m", "ft") if given[0] else ("ft", "m")
                yield Fault(
                    ("skill", i, f"{name}_{there}"),
                    f"stands without {name}_{missing}",
                    "both, for dives planned in metres and in feet",
                )
        if Gas.BACK in table.carries:
            yield Fault(("skill", i, "carries"), "back gas is always along", "the others")
    skills = [
        Skill(id=f"?{i}", group="", words="") if table is None else table.skill()
        for i, table in enumerate(tables)
    ]
    for fault in graph_faults(skills):
        yield Fault(("skill", fault.position, fault.field), fault.what, fault.right)


def _pair(metres: float | None, feet: float | None) -> DepthPair | None:
    return DepthPair(metres, feet) if metres is not None and feet is not None else None


def read_skills(path: Path) -> SkillLibrary:
    """Read a list of skills.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    SkillLibrary
        The skills.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    text, raw = read_toml(path)
    return _library(text, raw, path)


def read_skill_text(text: str) -> SkillLibrary:
    """Read the text of a list of skills.

    Parameters
    ----------
    text
        The text.

    Returns
    -------
    SkillLibrary
        The skills.

    Raises
    ------
    PlanFileError
        If it is not TOML, or with every fault and its line.
    """
    return _library(text, toml_of(text, None), None)


def shipped_skill_text() -> str:
    """Return the text of the generic list that comes along, to be copied and edited."""
    return resources.files("slatewright.data").joinpath(SHIPPED).read_text("utf-8")


def shipped_skills() -> SkillLibrary:
    """Return the skills of the generic list that comes along."""
    return read_skill_text(shipped_skill_text())


def _library(text: str, raw: Mapping[str, Any], path: Path | None) -> SkillLibrary:
    try:
        return SkillFile.model_validate(raw).library()
    except ValidationError as error:
        faults = [*faults_in(error, SkillFile, raw), *_behind(raw)]
        raise file_error(dict.fromkeys(faults), text, path) from None


def _behind(raw: Mapping[str, Any]) -> Iterator[Fault]:
    """Yield the contradictions of a file in which other tables are unsound by themselves."""
    tables = raw.get("skill")
    if not isinstance(tables, list):
        return
    read: list[SkillTable | None] = []
    for table in tables:
        try:
            read.append(SkillTable.model_validate(table))
        except ValidationError:
            # what can be read of it still is what others wait for
            kept = {
                k: table[k]
                for k in ("id", "after", "parts")
                if isinstance(table, dict) and k in table
            }
            try:
                read.append(
                    SkillTable.model_validate({"group": "?", "words": "?", "load": 1} | kept)
                )
            except ValidationError:
                read.append(None)
    sound = {i: table for i, table in enumerate(read) if table is not None}
    unread = len(sound) < len(read)
    for fault in _contradictions(sound, read):
        if not (unread and "is no skill of this list" in fault.what):
            yield fault
