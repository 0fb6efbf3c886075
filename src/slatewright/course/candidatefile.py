"""The file of a candidate: who it is, cards, clearance, logbooks, waivers, as TOML."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated, Final, Literal, Self

from pydantic import ValidationError, model_validator

from slatewright.course.candidates import Candidate, Certificate
from slatewright.course.waivers import Waiver
from slatewright.logs.answering import Answers
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Field
from slatewright.logs.logged import DepthUnit, LoggedDive
from slatewright.toml.faults import Fault, faults_in, file_error, refuse, toml_of
from slatewright.toml.keys import key
from slatewright.toml.tables import Line, Lines, Table

SCHEMA: Final = "slatewright/candidate/1"
"""The first line of such a file says which kind of file it is."""


class CertificateTable(Table):
    """``[[certificate]]``: a card."""

    title: Annotated[Line, key("what stands on it", '"Trimix diver"')]
    level: Annotated[Line | None, key("its level, in its own words", '"to 60 m"')] = None
    allows: Annotated[
        Lines, key("what it allows", '["trimix", "decompression"]', strict=False)
    ] = ()
    issued_on: Annotated[date | None, key("day of issue", "2029-06-01")] = None
    number: Annotated[Line | None, key("its number", '"4711"')] = None

    def certificate(self) -> Certificate:
        """Return the card."""
        return Certificate(
            title=self.title,
            level=self.level or "",
            kinds=frozenset(self.allows),
            issued_on=self.issued_on,
            number=self.number or "",
        )


class WaiverTable(Table):
    """``[[waiver]]``: a rule that is not applied, and why."""

    standard: Annotated[Line, key("id of the standard", '"usual-minimum"')]
    rule: Annotated[Line, key("id of the rule", '"card"')]
    reason: Annotated[Line, key("why", '"seen on her own dives"')]
    by: Annotated[Line, key("who decided it", '"Mirren"')]
    on: Annotated[date, key("from which day", "2031-04-01")]

    def waiver(self) -> Waiver:
        """Return the waiver."""
        return Waiver(
            standard=self.standard, rule=self.rule, reason=self.reason, by=self.by, on=self.on
        )


class ColumnsTable(Table):
    """``[columns]``: how the logbooks are read where they leave it open."""

    depths: Annotated[
        DepthUnit | None, key("unit of depths that name none", '"ft"', strict=False)
    ] = None
    dates: Annotated[
        DateOrder | None, key("order of dates in numbers alone", '"d.m.y"', strict=False)
    ] = None
    durations: Annotated[
        BareDuration | None, key("what a duration in a bare number counts", '"min"', strict=False)
    ] = None
    clock_durations: Annotated[
        ClockDuration | None, key("how a duration such as 1:05 is read", '"h:mm"', strict=False)
    ] = None
    date: Annotated[Line | None, key("name of the column of the date", '"Day"')] = None
    duration: Annotated[Line | None, key("name of the column of the duration", '"Time"')] = None
    depth: Annotated[Line | None, key("name of the column of the depth", '"Max"')] = None
    oxygen: Annotated[Line | None, key("name of the column of the oxygen", '"O2"')] = None
    helium: Annotated[Line | None, key("name of the column of the helium", '"He"')] = None

    def answers(self) -> Answers:
        """Return what is said."""
        named = {
            Field.DATE: self.date,
            Field.MINUTES: self.duration,
            Field.DEPTH: self.depth,
            Field.O2: self.oxygen,
            Field.HE: self.helium,
        }
        return Answers(
            depths=self.depths,
            dates=self.dates,
            bare=self.durations,
            clock=self.clock_durations,
            columns={says: name for says, name in named.items() if name is not None},
        )


class CandidateFile(Table):
    """A candidate, exactly as written."""

    schema_: Annotated[
        Literal["slatewright/candidate/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    name: Annotated[Line, key("the name", '"Tove Sandreed"')]
    born_on: Annotated[date | None, key("the birthday", "1998-02-28")] = None
    medical_on: Annotated[date | None, key("day of the medical clearance", "2031-01-02")] = None
    medical_until: Annotated[date | None, key("the last day of its validity", "2032-01-01")] = None
    contact: Annotated[Line | None, key("how to reach them", '"the harbour office"')] = None
    emergency_contact: Annotated[Line | None, key("whom to call", '"Old Tam, 555-0199"')] = None
    logbook: Annotated[Lines, key("logbooks, CSV or UDDF", '["tove.csv"]', strict=False)] = ()
    columns: Annotated[
        ColumnsTable | None, key("how the logbooks are read", "[columns]", strict=False)
    ] = None
    certificate: Annotated[
        tuple[CertificateTable, ...], key("cards", "[[certificate]]", strict=False)
    ] = ()
    waiver: Annotated[tuple[WaiverTable, ...], key("waivers", "[[waiver]]", strict=False)] = ()

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("CandidateFile", self._contradictions())
        return self

    def _contradictions(self) -> Iterator[Fault]:
        begins, ends = self.medical_on, self.medical_until
        if begins is not None and ends is not None and ends < begins:
            yield Fault(("medical_until",), "is before the day of the clearance", f"{begins} on")
        if len(set(self.logbook)) < len(self.logbook):
            yield Fault(("logbook",), "names one file twice", "each once")

    def candidate(self, dives: tuple[LoggedDive, ...]) -> Candidate:
        """Return the candidate.

        Parameters
        ----------
        dives
            What the logbooks say.
        """
        return Candidate(
            name=self.name,
            born_on=self.born_on,
            certificates=tuple(table.certificate() for table in self.certificate),
            medical_until=self.medical_until,
            dives=dives,
        )

    def answers(self) -> Answers:
        """Return what is said about how the logbooks are read."""
        return Answers() if self.columns is None else self.columns.answers()

    def waivers(self) -> tuple[Waiver, ...]:
        """Return the waivers."""
        return tuple(table.waiver() for table in self.waiver)


@dataclass(frozen=True, slots=True)
class Named:
    """A file that a candidate file names.

    Parameters
    ----------
    name
        As it is named there.
    path
        Where it is.
    """

    name: str
    path: Path


def parse_candidate(text: str, path: Path | None = None) -> CandidateFile:
    """Read the text of a candidate file.

    Parameters
    ----------
    text
        The text.
    path
        Its file, for the messages; None if there is none.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    raw = toml_of(text, path)
    try:
        return CandidateFile.model_validate(raw)
    except ValidationError as error:
        raise file_error(dict.fromkeys(faults_in(error, CandidateFile, raw)), text, path) from None


def logbooks_of(file: CandidateFile, folder: Path) -> tuple[Named, ...]:
    """Return the logbooks that a candidate file names.

    Parameters
    ----------
    file
        What it says.
    folder
        Where it lies.
    """
    return tuple(Named(name, folder / name) for name in file.logbook)
