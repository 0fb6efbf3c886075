"""Rows of a slate, from legs written by hand; what is expected was counted by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.errors import InputError
from slatewright.paper.slate_pages import slate_pages
from slatewright.paper.slate_rows import ChangeKind, GasChange, RowKind, SlateRow, slate_rows
from slatewright.physics.mixture import Mixture
from unit.paper.dives import EAN50, OXYGEN, TRIMIX_10_70, TRIMIX_21_35, Writer, deep_dive

TRIMIX_18_45 = Mixture(0.18, 0.45)


def test_descent_on_a_travel_gas_stands_apart() -> None:
    rows = slate_rows(deep_dive().legs)
    assert rows.start_gas == EAN50
    assert rows.down == (GasChange(ChangeKind.DOWN, 21.0, TRIMIX_10_70),)
    assert rows.lines[0] == SlateRow(RowKind.LEVEL, 96.0, None, 20, TRIMIX_10_70)


def test_switch_minute_and_stop_are_one_row() -> None:
    writer = Writer(TRIMIX_18_45)
    writer.go(54.0, 18.0)  # 3 min
    writer.stay(20.0, LegKind.BOTTOM)
    writer.go(21.0, 11.0)  # arrives at 23
    writer.change(EAN50)  # until 24
    writer.stay(27.0)
    writer.go(6.0, 15.0)  # arrives at 28
    writer.stay(60.0)
    writer.go(0.0, 6.0)  # arrives at 61
    rows = slate_rows(writer.legs)
    assert rows.lines == (
        SlateRow(RowKind.LEVEL, 54.0, None, 20, TRIMIX_18_45),
        GasChange(ChangeKind.UP, 21.0, EAN50),
        SlateRow(RowKind.STOP, 21.0, 4, 27, EAN50),
        SlateRow(RowKind.STOP, 6.0, 32, 60, EAN50),
        SlateRow(RowKind.SURFACE, 0.0, None, 61, EAN50),
    )


def test_switch_without_a_further_stop_is_a_row_on_the_new_gas() -> None:
    writer = Writer(TRIMIX_18_45)
    writer.go(54.0, 18.0)
    writer.stay(20.0, LegKind.BOTTOM)
    writer.go(21.0, 11.0)
    writer.change(EAN50)
    writer.go(0.0, 7.0)
    rows = slate_rows(writer.legs)
    assert rows.lines[1:3] == (
        GasChange(ChangeKind.UP, 21.0, EAN50),
        SlateRow(RowKind.STOP, 21.0, 1, 24, EAN50),
    )


def test_switch_that_takes_no_time_still_is_a_change() -> None:
    writer = Writer(TRIMIX_18_45)
    writer.go(54.0, 18.0)
    writer.stay(20.0, LegKind.BOTTOM)
    writer.go(21.0, 11.0)
    writer.change(EAN50, minutes=0.0)
    writer.go(0.0, 7.0)
    rows = slate_rows(writer.legs)
    assert rows.lines[1] == GasChange(ChangeKind.UP, 21.0, EAN50)
    assert [row.kind for row in rows.rows] == [RowKind.LEVEL, RowKind.SURFACE]


def test_breaks_from_oxygen_are_rows_of_their_own() -> None:
    writer = Writer(EAN50)
    writer.go(21.0, 21.0)
    writer.stay(60.0, LegKind.BOTTOM)
    writer.go(6.0, 15.0)
    writer.change(OXYGEN)
    writer.stay(74.0)
    writer.change(EAN50, minutes=0.0)
    writer.stay(80.0, pause=True)
    writer.change(OXYGEN, minutes=0.0)
    writer.stay(90.0)
    writer.go(0.0, 6.0)
    assert slate_rows(writer.legs).lines[1:] == (
        GasChange(ChangeKind.UP, 6.0, OXYGEN),
        SlateRow(RowKind.STOP, 6.0, 13, 74, OXYGEN),
        GasChange(ChangeKind.BREAK, 6.0, EAN50),
        SlateRow(RowKind.STOP, 6.0, 6, 80, EAN50),
        GasChange(ChangeKind.BACK, 6.0, OXYGEN),
        SlateRow(RowKind.STOP, 6.0, 10, 90, OXYGEN),
        SlateRow(RowKind.SURFACE, 0.0, None, 91, OXYGEN),
    )


def test_fractions_never_make_a_diver_leave_a_stop_early() -> None:
    writer = Writer(EAN50)
    writer.go(21.0, 20.0)
    writer.stay(40.0, LegKind.BOTTOM)
    writer.go(6.0)
    writer.stay(45.2)
    writer.go(0.0)
    rows = slate_rows(writer.legs)
    stop = rows.rows[1]
    assert (stop.stop_min, stop.until_min) == (4, 46)


def test_a_crumb_of_arithmetic_is_no_minute() -> None:
    writer = Writer(EAN50)
    writer.go(21.0, 20.0)
    writer.stay(40.0, LegKind.BOTTOM)
    writer.go(6.0, 15.0)
    writer.stay(45.0 + 1e-12)
    writer.go(0.0, 6.0)
    rows = slate_rows(writer.legs)
    assert (rows.rows[1].stop_min, rows.rows[1].until_min) == (4, 45)


@pytest.mark.parametrize(("second_m", "until_min"), [(30.0, 10), (60.0, 11)])
def test_a_level_is_rounded_so_that_the_deeper_one_is_not_longer(
    second_m: float, until_min: int
) -> None:
    writer = Writer(Mixture(0.18, 0.45))
    writer.go(45.0, 20.0)
    writer.stay(10.5, LegKind.BOTTOM)
    writer.go(second_m, 10.0)
    writer.stay(25.5, LegKind.BOTTOM)
    writer.go(0.0)
    levels = [row for row in slate_rows(writer.legs).rows if row.kind is RowKind.LEVEL]
    assert [row.until_min for row in levels] == [until_min, 25]


def test_on_a_closed_circuit_each_change_of_setpoint_is_a_change() -> None:
    writer = Writer(TRIMIX_18_45)
    writer.go(20.0, 10.0)  # 2 min at 0.7
    writer.go(50.0, 10.0)  # 3 min at 1.0
    writer.stay(20.0, LegKind.BOTTOM)
    writer.go(12.0, 9.5)  # arrives at 24
    writer.stay(30.0)
    writer.go(6.0, 6.0)  # arrives at 31
    writer.stay(45.0)
    writer.go(0.0, 6.0)  # arrives at 46
    setpoints = (0.7, 1.0, 1.2, 1.2, 1.4, 1.4, 1.4, 1.4)
    legs = [replace(leg, setpoint_bar=bar) for leg, bar in zip(writer.legs, setpoints, strict=True)]
    rows = slate_rows(legs)
    assert (rows.start_gas, rows.start_setpoint_bar) == (TRIMIX_18_45, 0.7)
    assert rows.down == (GasChange(ChangeKind.DOWN, 20.0, TRIMIX_18_45, 1.0),)
    assert rows.lines == (
        GasChange(ChangeKind.BOTTOM, 50.0, TRIMIX_18_45, 1.2),
        SlateRow(RowKind.LEVEL, 50.0, None, 20, TRIMIX_18_45, setpoint_bar=1.2),
        GasChange(ChangeKind.UP, 12.0, TRIMIX_18_45, 1.4),
        SlateRow(RowKind.STOP, 12.0, 6, 30, TRIMIX_18_45, setpoint_bar=1.4),
        SlateRow(RowKind.STOP, 6.0, 14, 45, TRIMIX_18_45, setpoint_bar=1.4),
        SlateRow(RowKind.SURFACE, 0.0, None, 46, TRIMIX_18_45, setpoint_bar=1.4),
    )


def test_legs_that_do_not_reach_the_surface_are_refused() -> None:
    with pytest.raises(InputError, match="come back"):
        slate_rows(deep_dive().legs[:-1])


def test_a_gap_is_refused() -> None:
    legs = deep_dive().legs
    with pytest.raises(InputError, match="gap"):
        slate_rows(legs[:8] + legs[9:])


def test_no_legs_are_refused() -> None:
    with pytest.raises(InputError, match="without legs"):
        slate_rows(())


def test_pages_hold_every_line_once_and_end_on_no_change() -> None:
    rows = slate_rows(deep_dive().legs)
    pages = slate_pages(rows)
    assert tuple(line for page in pages for line in page.lines) == rows.lines
    assert all(isinstance(page.lines[-1], SlateRow) for page in pages)
    assert [page.begins_on for page in pages] == [EAN50, TRIMIX_21_35]


def test_pages_break_at_a_change_where_that_costs_no_page() -> None:
    writer = Writer(TRIMIX_18_45)
    writer.go(60.0, 20.0)
    writer.stay(25.0, LegKind.BOTTOM)
    for depth_m in range(33, 21, -3):  # 4 stops: with 7 more they would fit on the first page
        writer.go(float(depth_m))
        writer.stay(float(int(writer.now_min) + 2))
    for gas, depths_m in ((EAN50, range(21, 6, -3)), (OXYGEN, range(6, 0, -3))):
        for depth_m in depths_m:
            writer.go(float(depth_m))
            if writer.gas != gas:
                writer.change(gas)
            writer.stay(float(int(writer.now_min) + 5))
    writer.go(0.0)
    first, second = slate_pages(slate_rows(writer.legs))
    assert isinstance(second.lines[0], GasChange)
    assert first.lines[-1].depth_m > second.lines[0].depth_m
