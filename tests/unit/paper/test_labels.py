"""Labels, read back from their PDF: what is on them, how large, and what cannot be misread."""

from __future__ import annotations

import io
import re

import pytest
from pypdf import PdfReader

from slatewright.paper.labels import HIGHEST_MM, LOWEST_MM, labels_data, labels_pdf, labels_png
from unit.paper.fillings import sheet

POINTS_PER_MM = 72.0 / 25.4
CAP_EM = 0.668  # height of the typeface's digits, in em
BOTTOM = ("Wren back", "12/60", 12.3, 59.4)
TRAVEL = ("Wren left", "21/35", 21.0, 35.2)
OXYGEN = ("Wren right", "O2", 99.4, 0)


def pages(pdf):
    return list(PdfReader(io.BytesIO(pdf)).pages)


def texts(pdf):
    return [" ".join(page.extract_text().split()) for page in pages(pdf)]


def heights_mm(page):
    """Return word to the greatest height of its digits."""
    found = {}

    def note(text, _cm, tm, _font, size):
        for word in text.split():
            found[word] = max(found.get(word, 0.0), abs(tm[3]) * size * CAP_EM / POINTS_PER_MM)

    page.extract_text(visitor_text=note)
    return found


@pytest.mark.parametrize(
    ("row", "units", "depth", "unit"),
    [
        (BOTTOM, "metric", "103", "m"),  # by hand: (1.4 / 0.123 - 1.01325) · 10 = 103.69
        (TRAVEL, "metric", "56", "m"),  # the lower limit of its two uses: 56.53
        (OXYGEN, "metric", "6", "m"),
        (BOTTOM, "imperial", "340", "ft"),  # 340.2
        (OXYGEN, "imperial", "20", "ft"),
    ],
)
def test_the_depth_is_five_to_eight_centimetres_high(tmp_path, row, units, depth, unit):
    (page,) = pages(labels_pdf(sheet(tmp_path, row, units=units)))
    heights = heights_mm(page)
    assert LOWEST_MM == 50.0
    assert HIGHEST_MM == 80.0
    assert LOWEST_MM <= heights[depth] <= HIGHEST_MM
    assert heights[unit] >= 25.0  # common practice, no published source: readable with the number
    others = [mm for word, mm in heights.items() if word not in {depth, unit}]
    assert max(others) < 0.3 * heights[depth]  # nothing else can be taken for the depth


def test_no_number_of_the_mix_is_anywhere_near_as_large(tmp_path):
    (page,) = pages(labels_pdf(sheet(tmp_path, ("half", "21/35", 21.0, 35.0), named=False)))
    heights = heights_mm(page)
    assert heights["56"] > 4.0 * heights["21.0"]


def test_what_is_on_it(tmp_path):
    (text,) = texts(labels_pdf(sheet(tmp_path, BOTTOM)))
    for words in (
        "12/60", "oxygen 12.3 %", "helium 59.4 %", "103m", "Wren back", "Wren", "Jory",
        "2031-05-10 17:40", "199 bar", "ppO2 1.4 bar: the plan, at the bottom", "floor 0.18 bar",
        "The saddle", "BREATHE IT NO DEEPER THAN", "Analyse every cylinder",
    ):  # fmt: skip
        assert text.count(words) >= 2, words  # twice: a label for each side


def test_hypoxic_gas_is_tagged(tmp_path):
    first, second, third = texts(labels_pdf(sheet(tmp_path, BOTTOM, TRAVEL, OXYGEN)))
    # by hand: 0.18 / 0.123 is 1.4634 bar, 4.50 m, up to 5
    assert "NOT AT THE SURFACE: from 5 m down" in first
    assert "SURFACE" not in second + third
    (feet,) = texts(labels_pdf(sheet(tmp_path, BOTTOM, units="imperial")))
    assert "NOT AT THE SURFACE: from 15 ft down" in feet  # 14.77


def test_oxygen_in_full_and_its_letter(tmp_path):
    (text,) = texts(labels_pdf(sheet(tmp_path, OXYGEN)))
    assert "OXYGEN" in text
    assert "C" in text.split()  # third of the plan's gases, leanest first, as on slate and chart
    assert "1.604 within tolerance" in text  # by hand: 0.994 · 1.61325
    data = labels_data(sheet(tmp_path, OXYGEN, named=False))
    assert data["labels"][0]["mark"] is None  # no letter without a plan


def test_what_was_refused_says_so_and_has_no_depth(tmp_path):
    (good, bad) = texts(labels_pdf(sheet(tmp_path, BOTTOM, ("Wren left", "21/35", 24.0, 30.0))))
    assert "DO NOT BREATHE" not in good
    assert bad.count("DO NOT BREATHE") == 2
    assert "NO DEEPER THAN" not in bad
    assert "oxygen 24.0 % analysed, 21.0 % planned" in bad


def test_a_page_of_two_halves_for_each_cylinder(tmp_path):
    for page in pages(labels_pdf(sheet(tmp_path, BOTTOM, OXYGEN))):
        assert float(page.mediabox.width) == pytest.approx(210 * POINTS_PER_MM, abs=0.1)
        assert float(page.mediabox.height) == pytest.approx(297 * POINTS_PER_MM, abs=0.1)


def test_same_labels_same_bytes_and_no_clock(tmp_path):
    one, other = (labels_pdf(sheet(tmp_path, BOTTOM, OXYGEN)) for _ in range(2))
    assert one == other
    info = PdfReader(io.BytesIO(one)).metadata
    assert info.creation_date is None or info.creation_date.year == 1970


def test_black_on_white_only(tmp_path):
    """No sign depends on colour: there is none."""
    for page in pages(labels_pdf(sheet(tmp_path, BOTTOM, OXYGEN))):
        content = page.get_contents().get_data().decode("latin-1")
        colours = re.findall(r"((?:[\d.]+ )+)(?:rg|RG|g|G|sc|SC|scn|SCN)\b", content)
        assert colours
        for colour in colours:
            assert {float(part) for part in colour.split()} in ({0.0}, {1.0}), colour


def test_names_cannot_break_a_label(tmp_path):
    hostile = "#panic() *b* <l> @r $x$ [c] // _u_ WWWWWWWWWWWWWWWWWWWWWW"
    (text,) = texts(labels_pdf(sheet(tmp_path, (hostile, "12/60", 12.0, 60.0))))
    assert "".join(hostile.split()) in "".join(text.split())
    assert labels_png(sheet(tmp_path, BOTTOM))[0].startswith(b"\x89PNG")
