"""The slate, read back from its PDF."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from slatewright import cautions
from slatewright.decompression.leg import LegKind
from slatewright.errors import CheckFailed
from slatewright.paper.slate import slate_data, slate_pdf, slate_png
from slatewright.paper.slate_pages import PAGE_HEIGHT_MM, PAGE_WIDTH_MM
from slatewright.paper.slate_rows import RowKind, slate_rows
from slatewright.physics.units import UnitSystem
from unit.paper.dives import EAN50, PASSED, Writer, deep_dive

if TYPE_CHECKING:
    from unit.paper.dives import Dive

POINTS_PER_MM = 72.0 / 25.4


def read(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module")
def pages() -> list[str]:
    return read(slate_pdf(deep_dive()))


def test_every_row_is_printed_in_order(pages: list[str]) -> None:
    """Depth, stop and run time of each stop stand together, the deepest first."""
    words = " ".join(pages).split()
    at = 0
    for row in slate_rows(deep_dive().legs).rows:
        if row.kind is RowKind.STOP:
            sought = [f"{row.depth_m:g}", str(row.stop_min), str(row.until_min)]
            at = next(i for i in range(at, len(words)) if words[i : i + 3] == sought)


def test_bottom_and_surface_times_are_printed(pages: list[str]) -> None:
    rows = slate_rows(deep_dive().legs).rows
    first = pages[0].split()
    assert first[first.index("BOTTOM") + 1] == str(rows[0].until_min)
    last = pages[-1].split()
    assert last[last.index("SURFACE") + 1] == str(rows[-1].until_min)


def test_changes_are_printed_with_gas_and_depth(pages: list[str]) -> None:
    front, back = pages
    for words in ("GO DOWN ON THIS", "EAN50", "10/70", "21/35", "57 m", "21 m"):
        assert words in front
    for words in ("EAN50", "OXYGEN", "21 m", "6 m", "GO ON WITH THIS"):
        assert words in back
    assert front.count("CHANGE TO") == 2
    assert back.count("CHANGE TO") == 2
    assert "GO ON: PAGE 2" in front


def test_each_page_carries_verdict_caution_model_and_rules(pages: list[str]) -> None:
    for text in pages:
        flat = " ".join(text.split())
        assert cautions.SHORT in flat
        assert "Second check passed: 19 levels" in flat
        assert "ZH-L16C, gradient factors 30/80" in flat
        assert "whole minutes run time" in flat
        assert "cns half time 90 min" in flat
        assert "The drowned quarry, day 6" in flat


def test_pages_are_of_wrist_size() -> None:
    for page in PdfReader(io.BytesIO(slate_pdf(deep_dive()))).pages:
        assert float(page.mediabox.width) == pytest.approx(PAGE_WIDTH_MM * POINTS_PER_MM, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(
            PAGE_HEIGHT_MM * POINTS_PER_MM, abs=0.01
        )


def test_run_times_are_high_enough_for_bad_light() -> None:
    """Digits of 6 to 7 mm: common practice, no published source."""
    sizes_pt: dict[str, float] = {}

    def note(text: str, _cm: object, tm: list[float], _font: object, size: float) -> None:
        # the scale of the text matrix times the size of the font, in points
        for word in text.split():
            sizes_pt[word] = max(sizes_pt.get(word, 0.0), abs(tm[3]) * size)

    PdfReader(io.BytesIO(slate_pdf(deep_dive()))).pages[-1].extract_text(visitor_text=note)
    until = str(slate_rows(deep_dive().legs).rows[-2].until_min)
    digit_mm = sizes_pt[until] * 0.668 / POINTS_PER_MM  # 0.668 em: height of the typeface's digits
    assert 6.0 <= digit_mm <= 7.5


def test_same_dive_same_bytes() -> None:
    assert slate_pdf(deep_dive()) == slate_pdf(deep_dive())


def test_no_clock_in_the_file() -> None:
    info = PdfReader(io.BytesIO(slate_pdf(deep_dive()))).metadata
    assert info is not None
    assert info.creation_date is None or info.creation_date.year == 1970


def test_only_our_typeface_is_used() -> None:
    fonts = set()
    for page in PdfReader(io.BytesIO(slate_pdf(deep_dive()))).pages:
        for font in page["/Resources"]["/Font"].values():
            fonts.add(str(font.get_object()["/BaseFont"]).split("+")[-1])
    assert fonts
    assert all(font.startswith("AtkinsonHyperlegible") for font in fonts)


@pytest.mark.parametrize(
    "title",
    [
        "#panic() *bold* $x^2$ @ref \\ \"quotes\" 'too' <label> [b] // c",
        "_under_ `raw` = head - list ~ -- ...",
        "{{ jinja }} & <b>html</b>",
        "%PDF \\u{41} #sys.inputs",
    ],
)
def test_a_title_is_printed_literally(title: str) -> None:
    for text in read(slate_pdf(deep_dive(title=title))):
        assert "".join(title.split()) in "".join(text.split())


def test_a_title_cannot_break_the_page() -> None:
    data = slate_data(deep_dive(title="one\ntwo\x00\tthree " + "long " * 100))
    assert data["title"].startswith("one two three long")
    assert len(data["title"]) == 120
    assert len(read(slate_pdf(deep_dive(title="W" * 500)))) == 2


def test_a_failed_check_prints_nothing() -> None:
    failed = replace(PASSED, passed=False, findings=("9 m was left 2 min too early", "and so on"))
    dive = replace(deep_dive(), verdict=failed)
    for printer in (slate_pdf, slate_png):
        with pytest.raises(CheckFailed, match="9 m was left 2 min too early") as caught:
            printer(dive)
        assert len(caught.value.reasons) == 2


def test_a_failed_check_without_findings_prints_nothing_either() -> None:
    dive = replace(deep_dive(), verdict=replace(PASSED, passed=False))
    with pytest.raises(CheckFailed):
        slate_pdf(dive)


def test_imperial_slates_read_in_feet() -> None:
    front, back = read(slate_pdf(deep_dive(units=UnitSystem.IMPERIAL)))
    for words in ("320", "190", "70 ft", "190 ft"):
        assert words in front
    assert "20 ft" in back
    assert " m " not in (front + back).replace("\n", " ")


def many_stops(levels: int) -> Dive:
    writer = Writer(EAN50)
    writer.go(levels * 3.0 + 3.0, 20.0)
    writer.stay(60.0, LegKind.BOTTOM)
    for level in range(levels, 0, -1):
        writer.go(level * 3.0)
        writer.stay(float(int(writer.now_min) + 2))
    writer.go(0.0)
    return replace(deep_dive(), legs=tuple(writer.legs))


@pytest.mark.parametrize(("levels", "count"), [(3, 1), (11, 1), (12, 2), (23, 2), (24, 3), (40, 4)])
def test_many_stops_go_on_to_further_pages(levels: int, count: int) -> None:
    """Two rows more than levels; 13 rows of 8.1 mm fit, 12 where the page has to be turned."""
    dive = many_stops(levels)
    texts = read(slate_pdf(dive))
    assert len(texts) == len(slate_data(dive)["pages"]) == count
    for number, text in enumerate(texts, start=1):
        assert (f"GO ON: PAGE {number + 1}" in text) == (number < count)


def test_pictures_of_the_pages() -> None:
    pictures = slate_png(deep_dive(), pixels_per_inch=50.0)
    assert len(pictures) == 2
    assert all(picture.startswith(b"\x89PNG") for picture in pictures)
