"""From bytes to rows: encodings, separators, quotation marks, and files that are refused."""

from __future__ import annotations

import pytest

from slatewright.errors import InputError
from slatewright.logs import decoding, table
from slatewright.logs.aside import SetAside
from slatewright.logs.decoding import decoded
from slatewright.logs.table import row_of, table_of

HEAD = "Date;Depth (m);Minutes\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32"])
def test_marked_encodings(encoding):
    assert decoded("Tiefe;Größe".encode(encoding), "x").text == "Tiefe;Größe"
    assert decoded("Tiefe;Größe".encode(encoding), "x").note == ""


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        ("Der schöne Kahn; Jürgen, große Höhle", "cp1252"),
        ("Głębokość; wrak łódź żółw", "cp1250"),
        ("Глубина; время; море", "cp1251"),
    ],
)
def test_encodings_found_by_their_letters(text, encoding):
    found = decoded(text.encode(encoding), "x")
    assert found.text == text
    assert encoding in found.note


def test_a_broken_line_in_utf8_stands_aside_alone():
    good = "2031-05-09;30;45;Größe\n".encode()
    data = b"Date;Depth (m);Minutes;Place\n" + good + b"2031-05-10;31;45;Gr\xf6\xdfe\n" + good
    found = decoded(data, "x")
    assert "not UTF-8" in found.note
    read = table_of(found.text, "x")
    assert len(read.rows) == 2
    assert [aside.line for aside in read.broken] == [3]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"  \n\n", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        (b"Date;Depth\n2031\x00;3\n", "NUL byte in line 2"),
        (b"\xe4\x00b\x00", "NUL"),
        (b"PK\x03\x04rest", "spreadsheet"),
        (b"%PDF-1.7", "PDF"),
        (b"\xff\xfe\x00", "utf-16"),
    ],
)
def test_refused_files(data, words):
    with pytest.raises(InputError, match=words) as caught:
        decoded(data, "log.csv")
    assert caught.value.where == "log.csv"
    assert caught.value.right


def test_huge_files_are_refused():
    with pytest.raises(InputError, match="too large"):
        decoded(b"a" * (decoding.MOST_BYTES + 1), "x")


def test_too_many_rows_are_refused(monkeypatch):
    monkeypatch.setattr(table, "MOST_ROWS", 3)
    with pytest.raises(InputError, match="more than 3 rows"):
        table_of(HEAD + "2031-05-09;30;45\n" * 4, "x")


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_separators(separator):
    text = f'Date;Depth;Remark\n2031-05-09;30;"a{separator}b"\n2031-05-10;31;c\n'
    read = table_of(text.replace(";", separator), "x")
    assert read.separator == separator
    assert read.header == ("Date", "Depth", "Remark")
    assert read.rows[0].cells == ("2031-05-09", "30", f"a{separator}b")


def test_decimal_commas_do_not_make_a_comma_the_separator():
    assert table_of("a;b;c\n1,5;2,5;3,5\n1,5;2,5;3,5\n", "x").separator == ";"


def test_a_separator_that_the_file_names():
    read = table_of("sep=|\na|b\n1,2|3\n", "x")
    assert (read.separator, read.header, read.rows[0].line) == ("|", ("a", "b"), 3)


def test_a_title_above_the_header_is_left_out():
    read = table_of("My invented log;;\n\nDate;Depth (m);Minutes\n2031-05-09;30;45\n", "x")
    assert read.header == ("Date", "Depth (m)", "Minutes")
    assert [row.line for row in read.rows] == [4]


def test_a_table_without_a_header():
    read = table_of("2031-05-09;30 m;45\n2031-05-10;31 m;45\n", "x")
    assert not read.headed
    assert read.header == ("column 1", "column 2", "column 3")
    assert len(read.rows) == 2


def test_line_breaks_in_cells_keep_the_count_of_lines():
    read = table_of('a;b\n1;"two\r\nlines, ""quoted"""\n2;x\n', "x")
    assert read.rows[0].cells == ("1", 'two\r\nlines, "quoted"')
    assert [row.line for row in read.rows] == [2, 4]


def test_an_open_quotation_mark_spoils_its_own_row_only():
    read = table_of('a;b\n1;"open\n2;x\n3;"y"\n4;z\n', "x")
    assert [row.cells[0] for row in read.rows] == ["2", "3", "4"]
    assert [(aside.line, aside.text) for aside in read.broken] == [(2, '1;"open')]


def test_an_inch_mark_inside_a_cell_is_a_letter():
    assert table_of('a;b\n1;a 7" disc\n2;x\n', "x").rows[0].cells == ("1", 'a 7" disc')


def test_a_huge_cell_stands_aside():
    read = table_of("a;b\n1;" + "x" * 200_000 + "\n2;y\n", "x")
    assert [aside.line for aside in read.broken] == [2]
    assert "128 KiB" in str(read.broken[0])


def test_one_column_is_no_table():
    with pytest.raises(InputError, match="separator"):
        table_of("dives\nmany\nof them\n", "x")


def test_a_corrected_row():
    assert row_of('1;"a;b"', ";", 7).cells == ("1", "a;b")
    assert isinstance(row_of('1;"a', ";", 7), SetAside)
    two = row_of("1;a\n2;b", ";", 7)
    assert isinstance(two, SetAside)
    assert "2 rows" in str(two)
