"""From the letters of a CSV file to its header and rows, each with its line.

The format is that of [RFC4180], with any separator. A quotation mark that is never closed would
swallow all rows below it; here it spoils its own row only.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.aside import Doubt, SetAside
from slatewright.logs.decoding import REPLACED

SEPARATORS: Final = ("\t", ";", ",", "|")
MOST_ROWS: Final = 100_000
_LINES_IN_A_ROW: Final = 100
_SAMPLE_LINES: Final = 60
_SAID: Final = re.compile(r"sep=(.)\r?\n?", re.IGNORECASE)
_LOOKS_LIKE_DATA: Final = re.compile(
    r"\s*[-+]?[0-9][0-9.,:/\- ]*\s*(m|ft|min|%|[T ][0-9:.]+Z?)?\s*"
)


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table.

    Parameters
    ----------
    line
        The line on which it begins, counted from 1.
    cells
        Its cells.
    text
        The row as it stands in the file.
    """

    line: int
    cells: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table as it stands in a file, its cells not yet understood.

    Parameters
    ----------
    header
        The names of the columns; ``column 1`` and so on if the file has no header.
    headed
        Whether the file has a header.
    separator
        What separates the cells.
    rows
        The rows below the header that hold anything.
    broken
        The lines that are no row.
    """

    header: tuple[str, ...]
    headed: bool
    separator: str
    rows: tuple[Row, ...]
    broken: tuple[SetAside, ...]

    def column(self, position: int) -> list[str]:
        """Return the cells of a column that hold anything.

        Parameters
        ----------
        position
            The column, counted from 0.
        """
        return [
            cell
            for row in self.rows
            if position < len(row.cells) and (cell := row.cells[position].strip())
        ]


def table_of(text: str, name: str) -> Table:
    """Return the table that a text holds.

    Parameters
    ----------
    text
        The letters of the file.
    name
        Its name, for messages.

    Returns
    -------
    Table
        The table. Lines above the header that hold one cell at most, such as a title, are left out.

    Raises
    ------
    InputError
        If it has no second column, or too many rows.
    """
    lines = list(io.StringIO(text, newline=""))
    first = 0
    said = _SAID.fullmatch(lines[0])
    if said:
        separator, first = said[1], 1
    else:
        separator = _separator(lines[:_SAMPLE_LINES], name)
    rows: list[Row] = []
    broken: list[SetAside] = []
    for piece in _pieces(lines, first, separator):
        if isinstance(piece, SetAside):
            broken.append(piece)
        elif any(cell.strip() for cell in piece.cells):
            rows.append(piece)
        if len(rows) + len(broken) > MOST_ROWS:
            raise InputError(
                f"more than {MOST_ROWS} rows", where=name, right="one row for each dive"
            )
    title = 0
    while title < len(rows) and sum(1 for cell in rows[title].cells if cell.strip()) < 2:
        title += 1
    if title == len(rows):
        raise InputError(
            "no row has a second column",
            where=name,
            right="cells separated by comma, semicolon or tab",
        )
    head = rows[title]
    headed = not any(_LOOKS_LIKE_DATA.fullmatch(cell) for cell in head.cells)
    if headed:
        header, rows = tuple(cell.strip() for cell in head.cells), rows[title + 1 :]
    else:
        header = tuple(f"column {count}" for count in range(1, len(head.cells) + 1))
        rows = rows[title:]
    return Table(header, headed, separator, tuple(rows), tuple(broken))


def row_of(text: str, separator: str, line: int) -> Row | SetAside:
    """Return the row that a corrected text holds.

    Parameters
    ----------
    text
        The row, as a `SetAside` holds it.
    separator
        What separates the cells.
    line
        The line on which it stood.
    """
    lines = list(io.StringIO(text, newline=""))
    pieces = list(_pieces(lines, 0, separator))
    if len(pieces) == 1 and isinstance(pieces[0], Row):
        return Row(line, pieces[0].cells, text)
    reasons = [r for piece in pieces if isinstance(piece, SetAside) for r in piece.reasons]
    if not reasons:
        reasons = [Doubt(f"{len(pieces)} rows stand here", right="one row")]
    return SetAside(line, text, tuple(reasons))


def _separator(lines: Sequence[str], name: str) -> str:
    """Return the separator with which the most rows have as many cells as the first."""
    best, best_score = "", 0.0
    for separator in SEPARATORS:
        counts = [
            len(piece.cells)
            for piece in _pieces(lines, 0, separator)
            if isinstance(piece, Row) and any(cell.strip() for cell in piece.cells)
        ]
        many = Counter(count for count in counts if count > 1).most_common(1)
        if not many:
            continue
        width, often = many[0]
        score = often / len(counts) * min(width, 8)
        if score > best_score:
            best, best_score = separator, score
    if not best:
        raise InputError(
            "no separator of columns is found",
            where=name,
            right="cells separated by comma, semicolon or tab",
        )
    return best


def _pieces(lines: Sequence[str], first: int, separator: str) -> Iterator[Row | SetAside]:
    position = first
    while position < len(lines):
        taken = 0

        def feed(start: int = position) -> Iterator[str]:
            nonlocal taken
            for line in lines[start : start + _LINES_IN_A_ROW]:
                taken += 1
                yield line

        reader = csv.reader(feed(), delimiter=separator, strict=True)
        try:
            cells = tuple(next(reader))
        except csv.Error as error:
            yield SetAside(position + 1, lines[position].rstrip("\r\n"), (_torn(error),))
            position += 1
            continue
        text = "".join(lines[position : position + taken]).rstrip("\r\n")
        if REPLACED in text:
            yield SetAside(
                position + 1,
                text,
                (Doubt("holds bytes that are no letters of its encoding", right="UTF-8"),),
            )
        else:
            yield Row(position + 1, cells, text)
        position += taken


def _torn(error: csv.Error) -> Doubt:
    if "field larger" in str(error):
        return Doubt("a cell holds more than 128 KiB", right="words of a log")
    return Doubt(
        "a quotation mark is not closed, or letters follow a closed one",
        right='"a cell in quotation marks", with "" for one inside it',
    )
