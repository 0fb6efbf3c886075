"""The profile as a chart: well-formed, complete, readable."""

from __future__ import annotations

import re
import socket
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING, NoReturn

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.dive.hazard import Severity
from slatewright.errors import InputError
from slatewright.paper import theme
from slatewright.paper.label_layout import Box, text_size_px
from slatewright.paper.profile_chart import NARROW_PX, profile_chart, profile_svg
from slatewright.paper.profile_frame import make_frame
from slatewright.paper.profile_layers import STYLES
from slatewright.paper.profile_sheet import profile_sheet
from slatewright.physics.units import UnitSystem
from unit.paper.dives import EAN50, OXYGEN, PASSED, Dive, Writer, deep_dive

if TYPE_CHECKING:
    from slatewright.paper.profile_parts import ProfileSheet


def texts(svg: str) -> list[str]:
    return ["".join(e.itertext()) for e in ET.fromstring(svg).iter() if e.tag.endswith("text")]  # noqa: S314 - our own document


def sheet_of(dive: Dive, width_px: float = 760.0) -> ProfileSheet:
    deepest_m = max(leg.to_m for leg in dive.legs)
    frame = make_frame(
        dive.runtime_min, deepest_m, dive.plan.units, width_px=width_px, height_px=460.0
    )
    return profile_sheet(dive, frame)


@pytest.fixture(scope="module")
def svg() -> str:
    return profile_svg(deep_dive())


def test_it_is_an_svg_of_the_size_asked_for(svg: str) -> None:
    root = ET.fromstring(svg)  # noqa: S314 - our own document
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert (root.get("width"), root.get("height")) == ("760", "460")


def test_gases_stops_and_levels_are_named(svg: str) -> None:
    words = texts(svg)
    for word in ("EAN50", "10/70", "21/35", "oxygen", "A", "B", "C", "D", "96 m", "until 20 min"):
        assert word in words, word
    assert "6 m, 49 min" in words
    assert "The drowned quarry, day 6" in words


def test_there_is_no_number_that_is_none(svg: str) -> None:
    assert not re.search(r"NaN|Infinity|undefined|null", svg.replace("base64", ""))


def test_the_typeface_travels_along_unless_the_page_has_it(svg: str) -> None:
    assert "@font-face" in svg
    assert "@font-face" not in profile_svg(deep_dive(), embed_font=False)


def test_imperial_axes_read_in_feet() -> None:
    words = texts(profile_svg(deep_dive(units=UnitSystem.IMPERIAL)))
    assert "320 ft" in words
    assert "20 ft, 49 min" in words
    assert "depth in ft, run time in min" in words
    assert {"60", "120", "180", "300"} <= set(words)


def test_magenta_is_for_warnings_and_dangers_alone(svg: str) -> None:
    assert theme.CAUTION in svg
    quiet = replace(
        deep_dive(), hazards=tuple(h for h in deep_dive().hazards if h.severity is Severity.NOTE)
    )
    assert theme.CAUTION not in profile_svg(quiet)


def test_each_gas_has_its_line_pattern_in_the_drawing(svg: str) -> None:
    for mark in sheet_of(deep_dive()).marks.values():
        if mark.dashes:
            assert f'stroke-dasharray="{",".join(f"{d:g}" for d in mark.dashes)}"' in svg


def test_a_failed_check_does_not_hinder_the_chart() -> None:
    failed = replace(deep_dive(), verdict=replace(PASSED, passed=False, findings=("x",)))
    assert profile_svg(failed, embed_font=False).startswith("<svg")


def test_a_dive_without_ceiling_and_hazards_is_drawn() -> None:
    bare = replace(deep_dive(), ceiling=(), hazards=())
    assert "above the ceiling" not in texts(profile_svg(bare))


def test_a_title_is_no_markup() -> None:
    title = '<script>alert("1")</script> & \\ {x}'
    assert title in texts(profile_svg(deep_dive(title=title)))


def test_no_legs_are_refused() -> None:
    with pytest.raises(InputError, match="without legs"):
        profile_chart(replace(deep_dive(), legs=()))


def test_nothing_is_fetched(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither data nor schema nor font has an address in the specification."""

    def refuse(*_: object) -> NoReturn:
        raise AssertionError("the chart reached for the network")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    spec = profile_chart(deep_dive()).to_dict(validate=False)
    addresses = [value for value in _strings(spec) if "://" in value]
    assert addresses == [spec["$schema"]]  # a name, which nothing opens
    profile_svg(deep_dive())


def _strings(value: object) -> list[str]:
    if isinstance(value, dict):
        return [text for part in value.values() for text in _strings(part)]
    if isinstance(value, list):
        return [text for part in value for text in _strings(part)]
    return [value] if isinstance(value, str) else []


@pytest.mark.parametrize("width_px", [NARROW_PX, 480, 760, 1200])
@pytest.mark.parametrize("units", list(UnitSystem))
def test_no_label_touches_another_or_leaves_the_picture(width_px: int, units: UnitSystem) -> None:
    sheet = sheet_of(deep_dive(units=units), float(width_px))
    boxes = [
        Box.around(w.x_px, w.y_px, *text_size_px(w.text, STYLES[w.style]["fontSize"] - 1e-6))
        for w in sheet.words
    ]
    for one, other in combinations(boxes, 2):
        assert not one.meets(other)
    picture = Box(-40.0, -86.0, sheet.frame.width_px + 18.0, sheet.frame.height_px + 44.0)
    assert all(picture.holds(box) for box in boxes)


@pytest.mark.parametrize("width_px", [NARROW_PX, 760])
def test_each_gas_is_marked_and_named_at_any_width(width_px: int) -> None:
    sheet = sheet_of(deep_dive(), float(width_px))
    assert [mark.letter for mark in sheet.gas_starts] == ["C", "A", "B", "C", "D"]
    named = {word.text for word in sheet.words if word.style == "gas"}
    assert named == {"EAN50", "10/70", "21/35", "oxygen"}


def test_breaks_are_marked_by_letter_and_named_once() -> None:
    writer = Writer(EAN50)
    writer.go(21.0, 20.0)
    writer.stay(60.0, LegKind.BOTTOM)
    writer.go(6.0)
    writer.change(OXYGEN)
    for _ in range(2):
        writer.stay(writer.now_min + 12.0)
        writer.change(EAN50, minutes=0.0)
        writer.stay(writer.now_min + 6.0, pause=True)
        writer.change(OXYGEN, minutes=0.0)
    writer.stay(writer.now_min + 5.0)
    writer.go(0.0)
    sheet = sheet_of(replace(deep_dive(), legs=tuple(writer.legs), ceiling=(), hazards=()))
    assert [mark.letter for mark in sheet.gas_starts] == list("CDCDCD")
    assert [w.text for w in sheet.words if w.style == "gas"] == ["EAN50", "oxygen"]


def test_first_and_last_stop_are_always_labelled() -> None:
    for width_px in (NARROW_PX, 760):
        words = [w.text for w in sheet_of(deep_dive(), float(width_px)).words]
        assert any(word.startswith("6") for word in words)
        assert "57" in words


def test_what_letters_need_is_not_underestimated(svg: str) -> None:
    """The measure of text is a bound: held against the advance widths of the typeface itself."""
    for word in ("EAN50", "oxygen", "21/35", "6 m, 49 min", "until 20 min", "counterdiffusion"):
        assert text_size_px(word, 1000.0)[0] >= _advance(word)


def _advance(word: str) -> float:
    """Sum of advance widths in thousandths of an em, read from the font's tables (OpenType 1.9)."""
    data = (theme.font_folder() / "AtkinsonHyperlegible-Bold.ttf").read_bytes()

    def u16(at: int) -> int:
        return int.from_bytes(data[at : at + 2], "big")

    def u32(at: int) -> int:
        return int.from_bytes(data[at : at + 4], "big")

    tables = {data[at : at + 4].decode(): u32(at + 8) for at in range(12, 12 + 16 * u16(4), 16)}
    long_metrics = u16(tables["hhea"] + 34)
    cmap = tables["cmap"]
    subtables = [cmap + u32(cmap + 8 + 8 * i) for i in range(u16(cmap + 2))]
    at = next(sub for sub in subtables if u16(sub) == 4)
    segments = u16(at + 6) // 2
    ends, starts = at + 14, at + 16 + 2 * segments
    deltas, offsets = starts + 2 * segments, starts + 4 * segments

    def glyph(code: int) -> int:
        k = next(k for k in range(segments) if u16(ends + 2 * k) >= code)
        start, delta, offset = (u16(base + 2 * k) for base in (starts, deltas, offsets))
        if offset == 0:
            return (code + delta) & 0xFFFF
        return u16(offsets + 2 * k + offset + 2 * (code - start))

    return float(sum(u16(tables["hmtx"] + 4 * min(glyph(ord(c)), long_metrics - 1)) for c in word))
