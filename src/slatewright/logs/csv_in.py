"""Logbooks as CSV, read: the table, its mapping, and row for row the dives."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slatewright.errors import InputError
from slatewright.logs.aside import EVERY, Progress, Question, SetAside
from slatewright.logs.decoding import decoded
from slatewright.logs.detection import Proposal, proposal
from slatewright.logs.logged import LoggedDive
from slatewright.logs.mapping import Mapping, header_key
from slatewright.logs.rows import RowReader
from slatewright.logs.settling import settled
from slatewright.logs.table import Table, row_of, table_of


@dataclass(frozen=True, slots=True)
class CsvRead:
    """What was read of a CSV file.

    Parameters
    ----------
    dives
        The dives.
    set_aside
        The rows that could not be read.
    mapping
        The mapping that was used.
    proposal
        The proposal, if no mapping was handed in.
    questions
        What must be answered first; there are no dives then.
    notes
        What a person should know.
    """

    dives: tuple[LoggedDive, ...]
    set_aside: tuple[SetAside, ...]
    mapping: Mapping
    proposal: Proposal | None
    questions: tuple[Question, ...]
    notes: tuple[str, ...]


def read_csv(data: bytes, name: str, mapping: Mapping | None, progress: Progress | None) -> CsvRead:
    """Return what a CSV file holds.

    Parameters
    ----------
    data
        The bytes of the file.
    name
        Its name.
    mapping
        How its columns are read, as a person confirmed it; None proposes it.
    progress
        Told of each hundred rows.

    Returns
    -------
    CsvRead
        What was read.

    Raises
    ------
    InputError
        If the file is no table, or the mapping belongs to another header.
    """
    letters = decoded(data, name)
    table = table_of(letters.text, name)
    notes = [letters.note] if letters.note else []
    if mapping is None:
        found = proposal(table)
        used, questions, proposed = found.mapping, found.questions, found
        notes += found.notes
    else:
        _need_same_header(mapping, table, name)
        decided = settled(replace(mapping, separator=table.separator), table)
        used, questions, proposed = decided.mapping, decided.questions, None
        notes += decided.notes
    if not table.rows:
        notes.append("there is a header, and no dive below it")
    if questions:
        return CsvRead((), (), used, proposed, tuple(questions), tuple(notes))
    reader = RowReader(used, name)
    dives: list[LoggedDive] = []
    aside = list(table.broken)
    for count, row in enumerate(table.rows, start=1):
        dive = reader.read(row)
        if isinstance(dive, LoggedDive):
            dives.append(dive)
        else:
            aside.append(dive)
        if progress and (count % EVERY == 0 or count == len(table.rows)):
            progress(count, len(table.rows))
    if reader.utc:
        notes.append(
            f"{reader.utc} times are those of Greenwich; they were taken as the clock at the place"
        )
    aside.sort(key=lambda row: row.line)
    return CsvRead(tuple(dives), tuple(aside), used, proposed, (), tuple(notes))


def reread_row(text: str, mapping: Mapping, name: str, line: int) -> LoggedDive | SetAside:
    """Return the dive of a row that was corrected, or the row kept aside again.

    Parameters
    ----------
    text
        The corrected row, as in `SetAside`.
    mapping
        The mapping with which the file was read.
    name, line
        The file, and the line on which the row stood.
    """
    row = row_of(text, mapping.separator, line)
    if isinstance(row, SetAside):
        return row
    return RowReader(mapping, name).read(row)


def _need_same_header(mapping: Mapping, table: Table, name: str) -> None:
    if mapping.headed != table.headed or mapping.key != header_key(table.header):
        raise InputError(
            "the columns were confirmed for another header",
            where=name,
            right=", ".join(mapping.header),
        )
