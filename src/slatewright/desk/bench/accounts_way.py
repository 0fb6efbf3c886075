"""How a failure ends at one minute of the dive."""

from __future__ import annotations

import math
from collections.abc import Iterator

from slatewright.desk.bench.grids import GRIDS
from slatewright.desk.bench.result import Result
from slatewright.desk.workings import Account, Row, Shown
from slatewright.errors import InputError
from slatewright.paper.reading import depth_text, minutes_up
from slatewright.physics.units import UnitSystem, round_down, volume_left_label, volume_needed_label
from slatewright.supply.wayhome import Cell, Verdict


def way_account(result: Result, row: int, minute: int | None = None) -> Account:
    """Return how a failure ends, at one minute or at its worst one.

    Parameters
    ----------
    result
        The dive.
    row
        The failure, counted from 0.
    minute
        Run time, whole; None for the worst [min].

    Raises
    ------
    InputError
        If there is no such failure or minute.
    """
    grid = GRIDS.of(result)
    if grid is None or row >= len(grid.rows):
        raise InputError("there is no such failure", right="one of the page")
    summary = grid.rows[row]
    at_min = minute if minute is not None else summary.first_without_min or summary.worst.minute
    cell = grid.cell(row, at_min)
    where = f"{depth_text(cell.depth_m, result.units)} {result.units.depth_unit}"
    said = [f"It strikes at {cell.minute} min, {where}."]
    if summary.minutes_without:
        said.append(f"Without a way home for {summary.minutes_without} minutes of the dive.")
    elif summary.minutes_compromised:
        said.append(f"With a compromise in {summary.minutes_compromised} minutes of the dive.")
    if cell.why:
        said.append(f"{cell.why[:1].upper()}{cell.why[1:]}.")
    if cell.verdict is Verdict.HOME:
        said.append("Within all house rules; this is the minute with the least left.")
    return Account(
        title=f"{cell.failure.name}, the worst minute",
        number=Shown(_verdict(cell)),
        sentences=tuple(said),
        rows=tuple(_rows(cell, result.units)),
        sources=("every gas, ascent and cylinder of the team, tried anew from that minute",),
    )


def _verdict(cell: Cell) -> str:
    who = f"{cell.diver} " if cell.diver else ""
    return f"{who}{cell.verdict.words}"


def _rows(cell: Cell, units: UnitSystem) -> Iterator[Row]:
    if cell.surfaced_min is not None:
        yield Row("at the surface", Shown(str(minutes_up(cell.surfaced_min)), "min"))
    if cell.gases:
        yield Row("breathing", Shown(", ".join(str(gas) for gas in cell.gases)))
    if cell.shared:
        yield Row("of which from the others", Shown(", ".join(str(gas) for gas in cell.shared)))
    if cell.scarce is not None:
        scarce = cell.scarce
        whose = f"{scarce.mix} of {scarce.diver}" if scarce.diver else str(scarce.mix)
        share = f"{round_down(scarce.share * 100.0):.0f}"
        yield Row(f"least left: {whose}", Shown(share, "%"))
        yield Row("which is", Shown(volume_left_label(scarce.free_l, units)))
    if cell.omitted_min is None:
        yield Row("stops cut short by", Shown("an unknown time"))
    elif cell.omitted_min > 0.0:
        yield Row("stops cut short by", Shown(str(math.ceil(cell.omitted_min - 1e-6)), "min"))
        factors = f"{cell.gradient_low * 100:.0f}/{cell.gradient_high * 100:.0f}"
        yield Row("gradient factors reached", Shown(factors))
    if cell.over_bar > 0.0:
        yield Row("ppO2 over its limit by", Shown(f"{cell.over_bar:.2f}", "bar"))
    if cell.under_bar > 0.0:
        yield Row("ppO2 below the floor by", Shown(f"{cell.under_bar:.2f}", "bar"))
    for lack in cell.lacking:
        yield Row(f"{lack.mix} lacking", Shown(volume_needed_label(lack.free_l, units)))
