"""The way-home grid as a chart: complete, legible, and never by colour alone."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from slatewright.decompression.settings import AscentSettings
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.paper import theme
from slatewright.paper.label_layout import Box, text_size_px
from slatewright.paper.slate import slate_data
from slatewright.paper.slate_extras import SlateExtras
from slatewright.paper.slate_gauges import gauges_of, no_way_home_of
from slatewright.paper.wayhome_chart import NARROW_PX, WIDTH_PX, description, wayhome_svg
from slatewright.paper.wayhome_sheet import LEGEND, Strip, hatching, wayhome_sheet
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.kit import Place, ReserveRules, Team
from slatewright.supply.matching import match
from slatewright.supply.wayhome.grid import way_home
from slatewright.supply.wayhome.verdicts import Verdict
from unit.supply.kits import carried, diver

if TYPE_CHECKING:
    from slatewright.supply.wayhome.grid import Grid

PLAN = Plan(
    "The ledge of our own invention, 60 m",
    UnitSystem.METRIC,
    Water(),
    AscentSettings(),
    (
        CarriedGas(Mixture.parse("18/45"), Use.BOTTOM, 1.4),
        CarriedGas(Mixture.parse("EAN50"), Use.DECOMPRESSION, 1.6),
        CarriedGas(Mixture.parse("O2"), Use.DECOMPRESSION, 1.6),
    ),
    (Level(60.0, 20.0),),
)
DIVE = schedule(PLAN)


def team_with(bar: float) -> Team:
    kit = (
        carried("18/45", Place.BACK, 12.0, 2, bar),
        carried("EAN50", bar=bar),
        carried("O2", bar=bar),
    )
    others = diver(*kit, name="Iain", units=UnitSystem.IMPERIAL)
    return Team((diver(*kit), others), ReserveRules())


@pytest.fixture(scope="module")
def rich() -> Grid:
    return way_home(DIVE, team_with(230.0))


@pytest.fixture(scope="module")
def poor() -> Grid:
    return way_home(DIVE, team_with(110.0))


def texts(svg: str) -> list[str]:
    return ["".join(e.itertext()) for e in ET.fromstring(svg).iter() if e.tag.endswith("text")]  # noqa: S314 - our own document


@pytest.mark.parametrize("width_px", [NARROW_PX, WIDTH_PX])
def test_every_failure_has_a_strip_a_name_and_a_verdict(poor: Grid, width_px: int) -> None:
    words = texts(wayhome_svg(poor, width_px=width_px))
    for row in poor.rows:
        assert row.failure.name in words
        if row.first_without_min is not None:
            assert f"no way from min {row.first_without_min}" in words
    assert any(row.first_without_min is not None for row in poor.rows)
    assert set(LEGEND.values()) <= set(words)


def test_strips_cover_the_minutes_of_their_verdict(poor: Grid) -> None:
    sheet = wayhome_sheet(poor, 760.0)
    minute_px = (sheet.plot.right_px - sheet.plot.left_px) / len(poor.minutes)
    for verdict in (Verdict.HOME, Verdict.HURRIED, Verdict.NO_WAY):
        drawn_px = sum(
            strip.box.right_px - strip.box.left_px
            for strip in sheet.strips
            if strip.verdict is verdict and strip.box.bottom_px <= sheet.plot.bottom_px
        )
        count = int((poor.arrays.verdict == verdict).sum())
        assert drawn_px == pytest.approx(count * minute_px)


def test_verdicts_are_told_apart_without_colour() -> None:
    """No lines, lines one way, the other way, both ways; and a fill darker than any of them."""
    box = Box(10.0, 20.0, 90.0, 35.0)
    slopes = {}
    for verdict in LEGEND:
        lines = hatching(Strip(verdict, box))
        slopes[verdict] = {round((y1 - y0) / (x1 - x0)) for x0, y0, x1, y1 in lines}
    assert slopes[Verdict.HOME] == slopes[Verdict.NO_WAY] == set()
    assert slopes[Verdict.HURRIED] == {-1}
    assert slopes[Verdict.BEYOND_LIMITS] == {1}
    assert slopes[Verdict.HURRIED_BEYOND_LIMITS] == {-1, 1}
    assert _grey(theme.CAUTION) < 0.35 * _grey(theme.LAND)


def _grey(colour: str) -> float:
    red, green, blue = (int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


@pytest.mark.parametrize("size", [(3.0, 15.0), (80.0, 15.0), (15.0, 15.0)])
def test_hatching_stays_within_its_strip(size: tuple[float, float]) -> None:
    box = Box(7.0, 9.0, 7.0 + size[0], 9.0 + size[1])
    for line in hatching(Strip(Verdict.HURRIED_BEYOND_LIMITS, box)):
        for x, y in (line[:2], line[2:]):
            assert box.left_px - 1e-9 <= x <= box.right_px + 1e-9
            assert box.top_px - 1e-9 <= y <= box.bottom_px + 1e-9


@pytest.mark.parametrize("width_px", [NARROW_PX, 480, WIDTH_PX, 1100])
def test_no_words_touch_others_or_leave_the_picture(poor: Grid, width_px: int) -> None:
    sheet = wayhome_sheet(poor, float(width_px))
    boxes = []
    for text in sheet.texts:
        if text.style in {"title", "headline", "model"}:
            continue  # cut to the width by the renderer
        size_px = text_size_px(text.text, {"name": 12.0, "axis": 12.0}.get(text.style, 11.0))
        left_px = text.x_px - {"left": 0.0, "center": 0.5, "right": 1.0}[text.align] * size_px[0]
        boxes.append(Box(left_px, text.y_px - 6.0, left_px + size_px[0] - 2.0, text.y_px + 6.0))
    for one, other in combinations(boxes, 2):
        assert not one.meets(other)
    picture = Box(0.0, 0.0, sheet.width_px, sheet.height_px)
    assert all(picture.holds(box) for box in boxes)


def test_the_description_says_what_the_picture_shows(rich: Grid, poor: Grid) -> None:
    assert "No way home: " in description(poor)
    assert description(poor) in wayhome_svg(poor, embed_font=False)
    if rich.has_way_home:
        assert "from every minute" in description(rich)


def test_the_slate_takes_turn_pressures_and_the_lack_of_a_way_home(poor: Grid) -> None:
    supply = match(PLAN, DIVE.legs, team_with(200.0))
    mirren, iain = gauges_of(supply)
    assert (mirren.diver, mirren.cylinder, iain.diver) == ("Mirren", "back 18/45", "Iain")
    assert mirren.turn.endswith(" bar")
    assert iain.turn.endswith("00 psi")  # steps of 100 psi are what a gauge shows
    lacking = no_way_home_of(poor)
    first = poor.first_failing
    assert first is not None
    assert lacking[0] == f"from min {first.first_without_min}: {first.failure.name}"
    data = slate_data(
        DIVE, SlateExtras(gauges=(mirren, iain), no_way_home=lacking, override="M. Fraser")
    )
    assert data["banner"].startswith(f"NO WAY HOME {lacking[0]}")
    assert data["pages"][0]["gauges"][0]["turn"] == mirren.turn


def test_a_stage_that_is_empty_at_the_turn_has_no_line() -> None:
    kit = (
        carried("18/45", Place.STAGE, bar=60.0, label="stage 18/45"),
        carried("18/45", Place.BACK, 12.0, 2, 200.0),
        carried("EAN50"),
        carried("O2"),
    )
    supply = match(PLAN, DIVE.legs, Team((diver(*kit), diver(*kit, name="Iain")), ReserveRules()))
    assert [line.cylinder for line in gauges_of(supply)] == ["back 18/45", "back 18/45"]
