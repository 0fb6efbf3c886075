"""Logbooks go out and come back without loss. All dives are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.errors import InputError
from slatewright.logs.csv_out import write_csv
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Role
from slatewright.logs.reading import read_logbook
from slatewright.logs.uddf_out import write_uddf
from slatewright.physics.mixture import AIR, OXYGEN, Mixture

FEW = settings(max_examples=60, deadline=None)
LETTERS = st.characters(
    exclude_categories=["Cs", "Cc", "Cn"],
    include_characters="\n\r\t\"';,|=&<>",
    exclude_characters="\ufffe\uffff\ufffd",
)
WORDS = st.text(LETTERS, max_size=12)
NAMES = st.text(LETTERS, min_size=1, max_size=8)


@st.composite
def mixtures(draw):
    if draw(st.booleans()):
        return draw(st.sampled_from([AIR, OXYGEN, Mixture(0.18, 0.45), Mixture(0.32)]))
    o2 = draw(st.floats(0.05, 0.3))
    return Mixture(o2, draw(st.floats(0.0, 0.6)))


@st.composite
def dives(draw):
    unit = draw(st.sampled_from(DepthUnit))
    value = draw(st.floats(0.5, 100.0 if unit is DepthUnit.METRES else 328.0))
    return LoggedDive(
        on_date=draw(st.dates(date(1950, 1, 1), date(2099, 12, 31))),
        began_at=draw(st.none() | st.times()),
        minutes=draw(st.floats(4.0, 1440.0)),
        greatest=LoggedDepth(value, unit),
        mixes=tuple(draw(st.lists(mixtures(), max_size=4, unique=True))),
        circuit=draw(st.sampled_from(Circuit)),
        role=draw(st.sampled_from(Role)),
        decompression=draw(st.sampled_from([None, True, False])),
        partners=tuple(draw(st.lists(NAMES, max_size=3))),
        equipment=tuple(draw(st.lists(NAMES, max_size=3))),
        number=draw(WORDS),
        place=draw(WORDS),
        remark=draw(WORDS),
    )


def plausible(dive):
    """The gas could be breathed there: what could not is kept aside, and tested elsewhere."""
    least = min((mix.o2 for mix in dive.mixes), default=0.1)
    return least * (dive.greatest.metres / 10.0 + 1.0) < 2.4


BOOKS = st.lists(dives().filter(plausible), min_size=1, max_size=5)


def back(text):
    reading = read_logbook(text.encode("utf-8"), "out")
    assert not reading.set_aside
    assert not reading.questions
    return [
        replace(dive, origin=LoggedDive.__dataclass_fields__["origin"].default)
        for dive in reading.dives
    ]


@FEW
@given(BOOKS)
def test_csv_comes_back(book):
    assert back(write_csv(book)) == book


@FEW
@given(BOOKS)
def test_uddf_comes_back(book):
    assert back(write_uddf(book)) == book


@FEW
@given(BOOKS)
def test_csv_and_uddf_tell_the_same(book):
    assert back(write_uddf(back(write_csv(book)))) == back(write_csv(back(write_uddf(book))))


PIECES = st.sampled_from(
    [
        "Date", "Depth", "Depth (ft)", "Duration", "Gas", "O2", "He", "Time", "Unit", "Buddy",
        "2031-05-09", "05/06/2031", "31.12.31", "30 m", "100", "1,234", "45", "1:05", "18/45",
        "air", "0.21", "99", '"', "'", ";", ",", "\t", "\n", "\r\n", " ", "Ø", "\u2028", "e9", "-1",
    ]
)  # fmt: skip
TAGS = st.sampled_from(
    [
        "<uddf>", "</uddf>", "<dive>", "</dive>", "<dive id='x'>", "<mix id='m'>", "</mix>",
        "<o2>", "</o2>", "<samples>", "</samples>", "<waypoint>", "</waypoint>", "<depth>",
        "</depth>", "<switchmix ref='m'/>", "<tankdata>", "</tankdata>", "<link ref='m'/>",
        "<greatestdepth>30</greatestdepth>", "<diveduration>2E+03</diveduration>", "0.21", "nan",
        "<datetime>2031-05-09T10:00</datetime>", "<date/>", "<time/>", "&amp;", "<notes/>",
    ]
)  # fmt: skip


def reads_or_refuses(data):
    reading, right = None, ""
    try:
        reading = read_logbook(data, "any")
    except InputError as error:
        right = error.right
    if reading is None:
        assert right
        return
    assert not (reading.questions and reading.dives)
    assert all(aside.reasons for aside in reading.set_aside)


@FEW
@given(st.lists(PIECES, max_size=60).map("".join) | st.text(max_size=80))
def test_any_text_is_read_or_refused(text):
    reads_or_refuses(text.encode("utf-8", "replace"))


@FEW
@given(st.lists(TAGS, max_size=40).map(lambda tags: "<uddf>" + "".join(tags)))
def test_any_tags_are_read_or_refused(text):
    reads_or_refuses(text.encode("utf-8"))


@FEW
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data):
    reads_or_refuses(data)


@FEW
@given(st.lists(PIECES.filter(lambda p: p not in "\r\n"), min_size=3, max_size=12))
def test_any_row_of_a_known_table_is_read_or_kept_aside(cells):
    head = "Date,Depth (m),Duration (min),Gas,O2,He,Time,Buddy,Role,Deco,Circuit,Unit\n"
    row = ",".join('"' + cell.replace('"', '""') + '"' for cell in cells)
    reads_or_refuses((head + row).encode())
