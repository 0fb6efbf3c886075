"""Chart and slate of dives as the solver makes them: the invented build-up week."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from slatewright.dive.chain import schedules_of
from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.paper.label_layout import Box, text_size_px
from slatewright.paper.profile_chart import NARROW_PX, WIDTH_PX
from slatewright.paper.profile_frame import make_frame
from slatewright.paper.profile_layers import STYLES
from slatewright.paper.profile_sheet import profile_sheet

if TYPE_CHECKING:
    from slatewright.dive.schedule import Schedule

WEEK = Path(__file__).parents[3] / "examples" / "build-up-week"


@pytest.fixture(scope="module")
def week() -> tuple[Schedule, ...]:
    return schedules_of(WEEK / "6-the-wall.toml", HouseRules())


@pytest.mark.parametrize("width_px", [NARROW_PX, WIDTH_PX])
def test_every_warning_is_named_and_no_label_touches_another(
    week: tuple[Schedule, ...], width_px: int
) -> None:
    for dive in week:
        deepest_m = dive.plan.deepest_m
        frame = make_frame(
            dive.runtime_min, deepest_m, dive.plan.units, width_px=width_px, height_px=460.0
        )
        sheet = profile_sheet(dive, frame)
        named = " ".join(word.text for word in sheet.words if word.style == "caution")
        for hazard in dive.hazards:
            if hazard.severity is not Severity.NOTE:
                first = hazard.code.replace("-", " ")
                assert first in named or " more" in named, (dive.plan.title, first)
        boxes = [
            Box.around(w.x_px, w.y_px, *text_size_px(w.text, STYLES[w.style]["fontSize"] - 1e-6))
            for w in sheet.words
        ]
        for one, other in combinations(boxes, 2):
            assert not one.meets(other), dive.plan.title
        assert any(word.text.startswith("until") for word in sheet.words), dive.plan.title


def test_a_label_across_the_shore_breaks_the_line(week: tuple[Schedule, ...]) -> None:
    dive = week[-1]
    frame = make_frame(
        dive.runtime_min, dive.plan.deepest_m, dive.plan.units, width_px=760.0, height_px=460.0
    )
    words = profile_sheet(dive, frame).words
    assert [word.text for word in words if word.over_line] == ["10/70"]
