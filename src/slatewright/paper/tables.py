"""Tables for people who plan in spreadsheets: CSV and XLSX, headers with units.

CSV is written as in [RFC4180], in UTF-8 with the mark that spreadsheets look for. A text that a
spreadsheet would take for a formula gets an apostrophe before it there; XLSX says of each cell what
it is, and needs none. The same table gives the same bytes: no file bears the time of its making.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any, Final

from slatewright.errors import InputError
from slatewright.paper.course_paper import PageSize

Value = str | int | float | Decimal | bool | date | datetime | None
"""What may stand in a cell; None for nothing."""

_MADE: Final = datetime(2000, 1, 1)  # noqa: DTZ001 - a fixed date in each file, of no zone
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
_LONGEST: Final = 32_767
"""Letters that a cell of a spreadsheet holds."""
_FIRST_DAY: Final = date(1900, 3, 1)
"""Spreadsheets count the days of 1900 wrongly before."""
_WIDEST: Final = 48
_PAPERS: Final = {PageSize.A4: 9, PageSize.LETTER: 1}


class Kind(StrEnum):
    """What a column holds."""

    TEXT = "text"
    WHOLE = "whole number"
    NUMBER = "number"
    MONEY = "money"
    DAY = "day"
    TIME = "day and time"
    YES = "yes or no"


_FITS: Final[dict[Kind, tuple[type, ...]]] = {
    Kind.TEXT: (str,),
    Kind.WHOLE: (int,),
    Kind.NUMBER: (int, float, Decimal),
    Kind.MONEY: (Decimal,),
    Kind.DAY: (date,),
    Kind.TIME: (datetime,),
    Kind.YES: (bool,),
}


class Separators(StrEnum):
    """How a CSV parts its fields and writes its fractions."""

    COMMA = ","
    SEMICOLON = ";"


@dataclass(frozen=True, slots=True)
class Column:
    """A column.

    Parameters
    ----------
    title
        Its header.
    unit
        Its unit, which stands in the header too; empty for none.
    kind
        What it holds.
    decimals
        How many decimals of a number are shown; money has two.
    """

    title: str
    unit: str = ""
    kind: Kind = Kind.TEXT
    decimals: int = 1

    @property
    def header(self) -> str:
        """Title and unit."""
        return f"{self.title} ({self.unit})" if self.unit else self.title

    @property
    def places(self) -> int:
        """Decimals that are shown."""
        return {Kind.NUMBER: self.decimals, Kind.MONEY: 2}.get(self.kind, 0)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table.

    Parameters
    ----------
    title
        Its title.
    columns
        Its columns.
    rows
        A value for each column, in each row.

    Raises
    ------
    InputError
        If a row has another length, a value does not fit its column, or a number is not finite.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]

    def __post_init__(self) -> None:
        for number, row in enumerate(self.rows, start=1):
            if len(row) != len(self.columns):
                raise InputError(
                    f"row {number} has {len(row)} values",
                    where=self.title,
                    right=f"{len(self.columns)}, one for each column",
                )
            for column, value in zip(self.columns, row, strict=True):
                if fault := _fault(column, value):
                    raise InputError(
                        f"row {number}: {fault}", where=f"{self.title}, {column.title}"
                    )


def _fault(column: Column, value: Value) -> str:
    if value is None:
        return ""
    fits = isinstance(value, _FITS[column.kind])
    # Python counts true as 1 and a time as a day; a table does not
    fits = fits and (column.kind is Kind.YES or not isinstance(value, bool))
    fits = fits and (column.kind is Kind.TIME or not isinstance(value, datetime))
    if not fits:
        return f"{value!r} is no {column.kind}"
    if isinstance(value, float | Decimal) and not math.isfinite(value):
        return f"{value} is not a finite number"
    if isinstance(value, datetime) and value.tzinfo is not None:
        return f"{value} has a time zone, and a spreadsheet knows none"
    if isinstance(value, str) and len(value) > _LONGEST:
        return f"a text of {len(value)} letters, more than the {_LONGEST} that a cell holds"
    return ""


def table_csv(sheet: Sheet, separators: Separators = Separators.COMMA) -> bytes:
    """Return a table as CSV.

    Parameters
    ----------
    sheet
        The table.
    separators
        A comma between fields and a point in fractions, or a semicolon and a comma.

    Returns
    -------
    bytes
        UTF-8 with byte order mark, lines ended by carriage return and line feed.
    """
    out = io.StringIO()
    writer = csv.writer(out, delimiter=str(separators), lineterminator="\r\n")
    writer.writerow([_unlike_a_formula(column.header) for column in sheet.columns])
    for row in sheet.rows:
        cells = zip(sheet.columns, row, strict=True)
        writer.writerow([_written(column, value, separators) for column, value in cells])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")


def _written(column: Column, value: Value, separators: Separators) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return _unlike_a_formula(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, date):
        return value.isoformat()
    text = f"{value:.{column.places}f}"
    if float(text) == 0.0:
        text = text.removeprefix("-")
    return text.replace(".", ",") if separators is Separators.SEMICOLON else text


def _unlike_a_formula(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text


def tables_xlsx(sheets: Sequence[Sheet], page: PageSize = PageSize.A4) -> bytes:
    """Return tables as one XLSX file, a sheet each.

    Money is exact to the cent in the table; a spreadsheet itself counts in binary fractions.

    Parameters
    ----------
    sheets
        At least one.
    page
        The paper that it is printed on.

    Returns
    -------
    bytes
        The file; the same tables give the same bytes.

    Raises
    ------
    InputError
        If there is no table.
    """
    import xlsxwriter  # noqa: PLC0415 - start-up is budgeted

    if not sheets:
        raise InputError("there is no table to write", where="sheets", right="one or more")
    out = io.BytesIO()
    book = xlsxwriter.Workbook(
        out,
        {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False,
         "strings_to_numbers": False},
    )  # fmt: skip
    book.set_properties({"title": sheets[0].title, "created": _MADE})
    taken: set[str] = set()
    for sheet in sheets:
        _fill(book, sheet, _tab(sheet.title, taken), page)
    book.close()
    return out.getvalue()


def _fill(book: Any, sheet: Sheet, tab: str, page: PageSize) -> None:  # noqa: ANN401 - xlsxwriter has no types
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    paper = book.add_worksheet(tab)
    paper.freeze_panes(1, 0)
    paper.repeat_rows(0)
    paper.set_landscape()
    paper.set_paper(_PAPERS[page])
    paper.fit_to_pages(1, 0)
    for x, column in enumerate(sheet.columns):
        form = book.add_format({"num_format": _number_format(column), "valign": "top"})
        longest = max((len(_written(column, row[x], Separators.COMMA)) for row in sheet.rows),
                      default=0)  # fmt: skip
        paper.set_column(x, x, min(_WIDEST, max(longest, len(column.header), 6)) + 2)
        paper.write_string(0, x, column.header, head)
        for y, row in enumerate(sheet.rows, start=1):
            _put(paper, y, x, row[x], form)
    if sheet.rows:
        paper.autofilter(0, 0, len(sheet.rows), len(sheet.columns) - 1)


def _put(paper: Any, y: int, x: int, value: Value, form: Any) -> None:  # noqa: ANN401 - as above
    if value is None:
        return
    if isinstance(value, bool):
        paper.write_string(y, x, "yes" if value else "no", form)
    elif isinstance(value, str):
        paper.write_string(y, x, value, form)
    elif isinstance(value, date):
        day = value.date() if isinstance(value, datetime) else value
        if day < _FIRST_DAY:
            paper.write_string(y, x, value.isoformat(), form)
        else:
            paper.write_datetime(y, x, value, form)
    else:
        paper.write_number(y, x, value, form)


def _number_format(column: Column) -> str:
    if column.kind is Kind.DAY:
        return "yyyy-mm-dd"
    if column.kind is Kind.TIME:
        return "yyyy-mm-dd hh:mm"
    if column.kind is Kind.TEXT or column.kind is Kind.YES:
        return "@"
    grouped = "#,##0" if column.kind is Kind.MONEY else "0"
    return f"{grouped}.{'0' * column.places}" if column.places else grouped


def _tab(title: str, taken: set[str]) -> str:
    """Return a name that a spreadsheet accepts for a sheet, and no other sheet has."""
    plain = "".join(" " if c in "[]:*?/\\" or not c.isprintable() else c for c in title)
    plain = " ".join(plain.split()).strip("'") or "table"
    if plain.casefold() == "history":  # kept by spreadsheets for themselves
        plain += " of it"
    name, number = plain[:31].strip(" '"), 2
    while name.casefold() in taken:
        end = f" {number}"
        name, number = plain[: 31 - len(end)] + end, number + 1
    taken.add(name.casefold())
    return name
