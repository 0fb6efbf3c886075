"""The fill sheet, read back from its PDF."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from slatewright import cautions
from slatewright.fill.session import do_fill_file
from slatewright.paper.fill_sheet import fill_sheet_data, fill_sheet_pdf, fill_sheet_png
from unit.paper.fillings import FOLDER, session

POINTS_PER_MM = 72.0 / 25.4
CAP_EM = 0.668  # height of the typeface's digits, in em


def texts(pdf):
    return [" ".join(p.extract_text().split()) for p in PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module")
def wall():
    return session("the-wall")


@pytest.fixture(scope="module")
def pages(wall):
    return texts(fill_sheet_pdf(wall))


def test_each_fill_has_its_page_with_every_reading_in_order(wall, pages):
    for fill, text in zip(wall.fills, pages, strict=False):
        assert fill.blend.receiver.label in text
        at = 0
        for step in fill.blend.steps:
            assert step.source in text
            at = text.index(f"{step.gauge_bar:.1f}", at)
        assert f"{fill.blend.settled_gauge_bar:.1f}" in text[at:]


def test_each_bank_cylinder_is_named_with_what_it_is_left_with(wall, pages):
    for fill, text in zip(wall.fills, pages, strict=False):
        for step in fill.blend.steps:
            for move in step.moves:
                left = f"{move.cylinder_pressure_bar - fill.blend.surface_bar:.1f}"
                assert f"{'boost' if move.boosted else 'open'} {move.cylinder} until" in text
                assert left in text


def test_readings_are_large(wall):
    """Digits of a centimetre: to be read from the fill panel; common practice, no source."""
    (first, *_) = PdfReader(io.BytesIO(fill_sheet_pdf(wall))).pages
    found = {}

    def note(text, _cm, tm, _font, size):
        for word in text.split():
            found[word] = max(found.get(word, 0.0), abs(tm[3]) * size * CAP_EM / POINTS_PER_MM)

    first.extract_text(visitor_text=note)
    for step in wall.fills[0].blend.steps:
        assert 10.0 <= found[f"{step.gauge_bar:.1f}"] <= 12.0


def test_cylinders_are_drawn_as_full_as_they_are(wall):
    for fill, page in zip(wall.fills, fill_sheet_data(wall)["fills"], strict=True):
        working_bar = fill.blend.receiver.cylinder.working_gauge_bar
        assert page["before"]["full"] == pytest.approx(
            fill.blend.start_settled_gauge_bar / working_bar
        )
        assert page["after"]["full"] == pytest.approx(fill.gauge_bar / working_bar)
        for side in ("before", "after"):
            assert sum(band["share"] for band in page[side]["bands"]) == pytest.approx(1.0)
    shares = {b["gas"]: b["share"] for b in fill_sheet_data(wall)["fills"][0]["after"]["bands"]}
    assert shares["He"] == pytest.approx(0.7)
    assert shares["O2"] == pytest.approx(0.1)


def test_expected_and_accepted_analysis_and_room_for_what_is_read(pages):
    first = pages[0]
    for words in (
        "10.0 %", "70.0 %", "9.0 to 11.0 %", "68.0 to 72.0 %", "signature", "analysed by",
        "day and hour", "pressure, bar",
    ):  # fmt: skip
        assert words in first


def test_cautions_of_the_fill_and_of_all_fills(pages):
    assert "only oxygen of what is in it was analysed" in pages[2]
    for text in pages:
        assert all(caution in text for caution in cautions.FILLING)


def test_what_is_not_filled_says_so(pages):
    last = pages[-1]
    assert "DO NOT FILL" in last
    assert "Casper old stage" in last
    assert "its test was valid until 2031-02-28" in last
    assert "DO NOT FILL" not in "".join(pages[:-1])


def test_banks_and_cost_afterwards(wall, pages):
    for source in wall.room.sources:
        if source.bank is not None:
            for gauge_bar in source.bank.gauges_bar():
                assert f"{gauge_bar:.1f} bar" in pages[-1]
    assert f"{wall.bill.total:,.2f} EUR" in pages[-1]


def test_the_order_is_printed_with_all_its_fills():
    week = session("the-week")
    found = texts(fill_sheet_pdf(week))
    assert "Gas to order" in found[0]
    assert "4 x helium 50" in found[0]
    assert f"{week.order.cost:,.2f} EUR" in found[0]
    assert "If a dive drops out" in found[0]
    rows = " ".join(found[1:])
    assert rows.count("EAN50 to 200.0 bar") == 18
    assert all(caution in found[0] for caution in cautions.FILLING)


def test_imperial_sheets_read_in_psi():
    quarry = session("quarry-imperial")
    (text,) = texts(fill_sheet_pdf(quarry))
    for words in ("2900", "psi", "80 °F", "cu ft", "vacuum", "test date not known"):
        assert words in text
    assert " bar" not in text


def test_same_fills_same_bytes_and_no_clock(wall):
    pdf = fill_sheet_pdf(wall)
    assert pdf == fill_sheet_pdf(session("the-wall"))
    info = PdfReader(io.BytesIO(pdf)).metadata
    assert info.creation_date is None or info.creation_date.year == 1970


def test_only_our_typeface_is_used(wall):
    for page in PdfReader(io.BytesIO(fill_sheet_pdf(wall))).pages:
        for font in page["/Resources"]["/Font"].values():
            name = str(font.get_object()["/BaseFont"]).split("+")[-1]
            assert name.startswith("AtkinsonHyperlegible")


@pytest.mark.parametrize("name", ["#panic() *bold* $x$", "@ref <l> [b] // c", "_u_ `r` = - ~ --"])
def test_names_are_printed_literally(tmp_path, name):
    text = (FOLDER / "quarry-imperial.toml").read_text("utf-8")
    path = tmp_path / "fill.toml"
    path.write_text(text.replace('"stage"', f'"{name}"'), "utf-8")
    (found,) = texts(fill_sheet_pdf(do_fill_file(path)))
    assert "".join(name.split()) in "".join(found.split())


def test_long_fills_go_on_overleaf_and_lose_nothing(tmp_path):
    """Twelve bank cylinders, one after another: more lines than a page holds."""
    text = (FOLDER / "the-wall.toml").read_text("utf-8")
    old = text[text.index("[[source.bank]]") : text.index('[[source]]\nname = "oxygen"')]
    new = "".join(
        f'[[source.bank]]\nname = "helium {i}"\nwater_volume_l = 3\ngauge_bar = {90 + 9 * i}\n\n'
        for i in range(12)
    )
    path = tmp_path / "fill.toml"
    (tmp_path / "prices.toml").write_text((FOLDER / "prices.toml").read_text("utf-8"), "utf-8")
    path.write_text(text.replace(old, new), "utf-8")
    done = do_fill_file(path)
    first = done.fills[0].blend
    assert len(first.steps[0].moves) > 8
    whole = " ".join(texts(fill_sheet_pdf(done)))
    for move in first.steps[0].moves:
        assert f"{move.cylinder} until" in whole


def test_pictures_of_the_pages(wall):
    pictures = fill_sheet_png(wall, pixels_per_inch=30.0)
    assert len(pictures) == 4
    assert all(picture.startswith(b"\x89PNG") for picture in pictures)
