"""A slate is followed in whole minutes: what a diver then does is judged before it is printed."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pypdf import PdfReader

from slatewright.decompression.leg import LegKind
from slatewright.decompression.settings import AscentSettings
from slatewright.dive.chain import schedules_of
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.errors import CheckFailed
from slatewright.paper.as_printed import (
    Column,
    deciding_column,
    excess_as_printed_bar,
    legs_as_printed,
)
from slatewright.paper.slate import slate_data, slate_pdf
from slatewright.paper.slate_rows import RowKind, slate_rows
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from unit.paper.dives import EAN50, OXYGEN, Writer

if TYPE_CHECKING:
    from slatewright.dive.schedule import Schedule

WEEK = Path(__file__).parents[3] / "examples" / "build-up-week"


@pytest.fixture(scope="module")
def by_run_time() -> tuple[Schedule, ...]:
    return schedules_of(WEEK / "6-the-wall.toml", HouseRules())


@pytest.fixture(scope="module")
def by_arrival() -> tuple[Schedule, ...]:
    return schedules_of(WEEK / "6-the-wall.toml", HouseRules(whole_minutes="arrival"))


def uneven() -> Writer:
    """A stop that ends between minutes: arrival at 31.5, a change of 1 min, left at 35.2."""
    writer = Writer(Mixture(0.18, 0.45))
    writer.go(45.0, 15.0)  # 3 min
    writer.stay(30.0, LegKind.BOTTOM)
    writer.go(21.0, 16.0)  # arrives at 31.5
    writer.change(EAN50)
    writer.stay(35.2)
    writer.go(6.0, 15.0)  # arrives at 36.2
    writer.stay(50.2)
    writer.go(0.0, 6.0)
    return writer


def test_by_run_time_stops_end_at_the_printed_run_times() -> None:
    printed = legs_as_printed(uneven().legs, Column.UNTIL)
    ends = [leg.end_min for leg in printed if leg.kind is LegKind.STOP]
    assert ends == pytest.approx([32.5, 36.0, 51.0])  # the change, then whole minutes
    assert printed[-1].end_min == pytest.approx(52.0)


def test_by_stop_minutes_each_stop_is_as_long_as_printed() -> None:
    printed = legs_as_printed(uneven().legs, Column.STOP)
    ends = [leg.end_min for leg in printed if leg.kind is LegKind.STOP]
    assert ends == pytest.approx([32.5, 35.5, 50.5])  # 4 min from 31.5, 14 min from 36.5


def test_a_level_is_left_on_the_minute_before() -> None:
    legs = list(uneven().legs)
    legs[1] = replace(legs[1], minutes=legs[1].minutes + 0.7)
    late = [*legs[:2], *(replace(leg, start_min=leg.start_min + 0.7) for leg in legs[2:])]
    printed = legs_as_printed(late, Column.UNTIL)
    assert printed[1].end_min == pytest.approx(30.0)
    assert printed[-1].end_min == pytest.approx(52.0)  # 35.9 and 50.9 are left at 36 and 51


def test_a_schedule_in_whole_minutes_is_printed_as_it_is(by_run_time: tuple[Schedule, ...]) -> None:
    for dive in by_run_time:
        assert deciding_column(dive) is Column.UNTIL
        assert legs_as_printed(dive.legs, Column.UNTIL)[-1].end_min == pytest.approx(
            dive.runtime_min
        )
        assert excess_as_printed_bar(dive, Column.UNTIL) <= 0.0


def test_the_printed_numbers_lead_the_way(by_arrival: tuple[Schedule, ...]) -> None:
    """No stop is left before its printed run time, or later than a change of gas there needs."""
    for dive in by_arrival:
        said = [row for row in slate_rows(dive.legs).rows if row.kind is RowKind.STOP]
        printed = slate_rows(legs_as_printed(dive.legs, Column.UNTIL)).rows
        done = [row for row in printed if row.kind is RowKind.STOP]
        assert [row.depth_m for row in done] == [row.depth_m for row in said]
        late = [now.until_min - then.until_min for now, then in zip(done, said, strict=True)]
        assert set(late) <= {0, 1}
        assert sum(late) <= 1  # at 21 m the change takes longer than what is left of the minute


def test_counted_from_arrival_stop_minutes_hold_and_rounded_run_times_may_not(
    by_arrival: tuple[Schedule, ...],
) -> None:
    for dive in by_arrival:
        assert deciding_column(dive) is Column.STOP
        assert excess_as_printed_bar(dive, Column.STOP) <= 0.0
    assert any(excess_as_printed_bar(dive, Column.UNTIL) > 0.0 for dive in by_arrival)


def test_the_slate_says_which_column_decides(
    by_run_time: tuple[Schedule, ...], by_arrival: tuple[Schedule, ...]
) -> None:
    wall, counted = by_run_time[-1], by_arrival[-1]
    assert slate_data(wall)["decides"] == "until"
    assert slate_data(counted)["decides"] == "stop"
    said = " ".join(slate_data(wall)["foot"])
    assert "Leave a stop at its run time: stop minutes are rounded up, and alone did not" in said
    said = " ".join(slate_data(counted)["foot"])
    assert "Leave a stop when its minutes since arrival are over" in said
    shelf = " ".join(slate_data(by_run_time[0])["foot"])
    assert "passes the second check too" in shelf


def test_the_deciding_column_is_the_larger_one(by_arrival: tuple[Schedule, ...]) -> None:
    sizes: dict[str, float] = {}

    def note(text: str, _cm: object, tm: list[float], _font: object, size: float) -> None:
        for word in text.split():
            sizes[word] = max(sizes.get(word, 0.0), abs(tm[3]) * size)

    dive = by_arrival[-1]
    row = next(row for row in slate_rows(dive.legs).rows if (row.stop_min or 0) >= 8)
    for page in PdfReader(io.BytesIO(slate_pdf(dive))).pages:
        page.extract_text(visitor_text=note)
    assert sizes[str(row.stop_min)] > 1.2 * sizes[str(row.until_min)]


def test_a_slate_that_does_not_hold_in_whole_minutes_is_refused() -> None:
    """The last stop is shortened by hand, and the legs carry the verdict of the longer dive."""
    plan = Plan(
        "a dive of our own invention",
        UnitSystem.METRIC,
        Water(),
        AscentSettings(),
        (
            CarriedGas(Mixture(0.18, 0.45), Use.BOTTOM, 1.4),
            CarriedGas(EAN50, Use.DECOMPRESSION, 1.6),
            CarriedGas(OXYGEN, Use.DECOMPRESSION, 1.6),
        ),
        (Level(60.0, 25.0),),
    )
    dive = schedule(plan)
    last = next(i for i in range(len(dive.legs) - 1, 0, -1) if dive.legs[i].kind is LegKind.STOP)
    short = replace(dive.legs[last], minutes=dive.legs[last].minutes - 3.5)
    up = replace(dive.legs[last + 1], start_min=short.end_min)
    hasty = replace(dive, legs=(*dive.legs[:last], short, up))  # with the verdict of the other
    with pytest.raises(CheckFailed, match="in whole minutes"):
        slate_pdf(hasty)
