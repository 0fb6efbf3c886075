"""Tables, read back with openpyxl and the csv of the standard library. All people are invented."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from slatewright.course.candidates import Candidate, Certificate
from slatewright.course.roster import roster_line
from slatewright.course.skill_dives import Decompression, PlannedDive
from slatewright.course.skill_schedule import propose_skills
from slatewright.course.skillfile import shipped_skills
from slatewright.errors import InputError
from slatewright.logs.logged import DepthUnit, LoggedDepth
from slatewright.paper.course_paper import PageSize
from slatewright.paper.tables import Column, Kind, Separators, Sheet, table_csv, tables_xlsx
from slatewright.paper.tables_course import (
    BuildUpRow,
    GasTotal,
    buildup_sheet,
    gas_totals_sheet,
    readiness_sheet,
    roster_sheet,
    signoff_sheet,
    skills_sheet,
)
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from unit.course.courses import uneven_record
from unit.paper.papers import letter

AT = datetime(2031, 5, 5, 9, 30)  # noqa: DTZ001 - by the clock at the place
COLUMNS = (
    Column("name"),
    Column("dives", kind=Kind.WHOLE),
    Column("depth", "m", Kind.NUMBER),
    Column("price", "EUR", Kind.MONEY),
    Column("day", kind=Kind.DAY),
    Column("starts", "local time", Kind.TIME),
    Column("valid", kind=Kind.YES),
)
HEADERS = ["name", "dives", "depth (m)", "price (EUR)", "day", "starts (local time)", "valid"]
ROWS = (
    ('Tove, "the"\nsecond', 12, 45.25, Decimal("1450.10"), date(2031, 5, 5), AT, True),
    ("=1+1", 0, -0.01, Decimal("0.05"), date(1899, 1, 1), None, False),
    ("żółw", None, None, None, None, None, None),
)
SHEET = Sheet("A table", COLUMNS, ROWS)


def read_csv(raw, delimiter=","):
    text = raw.decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))


def read_xlsx(raw):
    book = load_workbook(io.BytesIO(raw))
    return {
        sheet.title: [[cell.value for cell in row] for row in sheet.iter_rows()] for sheet in book
    }


def test_a_csv_is_read_back_as_it_was():
    raw = table_csv(SHEET)
    assert raw.startswith(b"\xef\xbb\xbf")
    assert b"\r\n" in raw
    assert read_csv(raw) == [
        HEADERS,
        ['Tove, "the"\nsecond', "12", "45.2", "1450.10", "2031-05-05", "2031-05-05 09:30", "yes"],
        ["'=1+1", "0", "0.0", "0.05", "1899-01-01", "", "no"],
        ["żółw", "", "", "", "", "", ""],
    ]


def test_a_csv_with_decimal_commas_is_parted_by_semicolons():
    rows = read_csv(table_csv(SHEET, Separators.SEMICOLON), ";")
    assert rows[1][2:4] == ["45,2", "1450,10"]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_text_is_a_formula(start):
    text = f"{start}1+1"
    sheet = Sheet("t", (Column("a"),), ((text,),))
    assert read_csv(table_csv(sheet))[1] == [f"'{text}"]
    book = load_workbook(io.BytesIO(tables_xlsx([sheet])))
    assert book.active["A2"].data_type == "s"


def test_an_xlsx_is_read_back_with_its_types():
    found = read_xlsx(tables_xlsx([SHEET]))["A table"]
    assert found[0] == HEADERS
    assert found[1] == [
        'Tove, "the"\nsecond', 12, 45.25, 1450.1, datetime(2031, 5, 5), AT, "yes",  # noqa: DTZ001 - as read
    ]  # fmt: skip
    assert found[2][:5] == ["=1+1", 0, -0.01, 0.05, "1899-01-01"]
    assert found[3] == ["żółw", None, None, None, None, None, None]


def test_an_xlsx_shows_the_decimals_and_keeps_its_header_in_sight():
    book = load_workbook(io.BytesIO(tables_xlsx([SHEET], PageSize.LETTER)))
    sheet = book.active
    assert [sheet.cell(2, x).number_format for x in (3, 4, 5, 6)] == [
        "0.0", "#,##0.00", "yyyy-mm-dd", "yyyy-mm-dd hh:mm",
    ]  # fmt: skip
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref == "A1:G4"
    assert sheet["A1"].font.bold
    assert int(sheet.page_setup.paperSize) == 1
    assert book.properties.created == datetime(2000, 1, 1)  # noqa: DTZ001 - fixed, of no zone


def test_the_same_tables_give_the_same_bytes():
    assert tables_xlsx([SHEET]) == tables_xlsx([SHEET])
    assert table_csv(SHEET) == table_csv(SHEET)


def test_names_of_sheets_are_made_fit_and_kept_apart():
    titles = ["A/B: [c]*?", "a b   c", "'quoted'", "x" * 40, "x" * 50, "", "History"]
    sheets = [replace(SHEET, title=title) for title in titles]
    assert list(read_xlsx(tables_xlsx(sheets))) == [
        "A B c", "a b c 2", "quoted", "x" * 31, "x" * 29 + " 2", "table", "History of it",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (Kind.TEXT, 1),
        (Kind.WHOLE, 1.0),
        (Kind.WHOLE, True),
        (Kind.NUMBER, "1"),
        (Kind.NUMBER, True),
        (Kind.NUMBER, float("nan")),
        (Kind.NUMBER, float("inf")),
        (Kind.MONEY, 1.5),
        (Kind.MONEY, Decimal("NaN")),
        (Kind.DAY, AT),
        (Kind.TIME, date(2031, 5, 5)),
        (Kind.TIME, AT.replace(tzinfo=UTC)),
        (Kind.YES, 1),
        (Kind.TEXT, "x" * 32_768),
    ],
)
def test_what_does_not_fit_its_column_is_refused(kind, value):
    with pytest.raises(InputError, match="row 1: "):
        Sheet("t", (Column("c", kind=kind),), ((value,),))


def test_a_row_of_another_length_and_no_table_are_refused():
    with pytest.raises(InputError, match="2, one for each"):
        Sheet("t", (Column("a"), Column("b")), (("x",),))
    with pytest.raises(InputError, match="no table"):
        tables_xlsx([])


def test_a_table_without_rows_is_a_header():
    empty = replace(SHEET, rows=())
    assert read_csv(table_csv(empty)) == [HEADERS]
    assert read_xlsx(tables_xlsx([empty]))["A table"] == [HEADERS]


# --- the tables of a course ---


def rows_of(sheet):
    """Return the rows of a table, each as header to value, read back from the XLSX."""
    ((head, *rows),) = read_xlsx(tables_xlsx([sheet])).values()
    return [dict(zip(head, row, strict=True)) for row in rows]


def test_the_roster():
    person = Candidate(
        name="Tove Lindqvarn",
        born_on=date(2000, 2, 29),
        certificates=(Certificate(title="Deep mixtures"), Certificate(title="First aid")),
        medical_until=date(2031, 11, 30),
    )
    (row,) = rows_of(roster_sheet([roster_line(person, date(2031, 5, 5))]))
    assert row["name"] == "Tove Lindqvarn"
    assert row["age (years)"] == 31
    assert row["cards"] == "Deep mixtures; First aid"
    assert row["valid today"] == "yes"
    assert row["logged dives"] == 0
    assert row["greatest depth"] is None


def test_readiness():
    rows = rows_of(readiness_sheet([letter()]))
    assert [(r["counted"], r["needed"], r["state"]) for r in rows] == [
        (31, 18, "met"), (17, 25, "not met"), (None, None, "waived"),
    ]  # fmt: skip
    assert rows[1]["nearly"].count("too shallow") == 2


@pytest.mark.parametrize(
    ("units", "header", "depth"),
    [
        (UnitSystem.METRIC, "greatest depth (m)", 30.48),
        (UnitSystem.IMPERIAL, "greatest depth (ft)", 100),
    ],
)
def test_the_build_up_in_either_unit(units, header, depth):
    """30.48 m are 100 ft."""
    given = BuildUpRow(
        number=1, title="Step", starts=AT, greatest_depth_m=30.48, run_time_min=60,
        gases="18/45, EAN50", cost=Decimal("88.10"), cns_pct=31.4,
    )  # fmt: skip
    (row,) = rows_of(buildup_sheet([given], units=units, currency="EUR"))
    assert row[header] == pytest.approx(depth)
    assert row["gas (EUR)"] == 88.1
    assert row["starts (local time)"] == AT
    assert row["interval before (min)"] is None


def test_skills():
    dive = PlannedDive(
        id="d1", order=1, greatest=LoggedDepth(60, DepthUnit.FEET),
        decompression=Decompression.NONE, carried=(), really_needed=frozenset(), load_limit=9,
    )  # fmt: skip
    library = shipped_skills()
    proposed = propose_skills([dive], library, wanted={"trim", "tow"})
    rows = rows_of(skills_sheet(proposed.dives, [dive], library))
    assert [(r["dive"], r["place on the dive"], r["skill"]) for r in rows] == [
        ("d1", 1, "trim"), ("d1", 2, "tow"),
    ]  # fmt: skip
    assert (rows[0]["greatest depth"], rows[0]["its unit"]) == (60, "ft")


def test_the_sign_off_book():
    record = uneven_record()
    rows = rows_of(signoff_sheet(record))
    assert [r["hash (SHA-256)"] for r in rows] == [e.hash for e in record.entries]
    assert rows[-1]["corrects"] == 16
    assert rows[-1]["remark"] == "Lost the stop by two metres."
    assert rows[0]["signed (with offset from UTC)"] == "2031-05-05T17:00:00+02:00"


def test_gas_totals():
    """A cubic foot is 28.316846592 L, by the definition of the foot."""
    totals = {Mixture(0.5, 0.0): GasTotal(2831.6846592, 5000), Mixture(0.18, 0.45): GasTotal(1, 2)}
    rows = rows_of(gas_totals_sheet(totals, units=UnitSystem.IMPERIAL))
    assert [r["gas"] for r in rows] == ["18/45", "EAN50"]
    assert rows[1]["used (cu ft, free gas)"] == pytest.approx(100)
    assert rows[1]["oxygen (%)"] == 50
