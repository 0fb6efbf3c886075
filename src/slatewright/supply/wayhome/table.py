"""The grid as plain rows of text and marks, for terminal and chart; nothing is drawn here."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Final

from slatewright.dive import say
from slatewright.physics.units import UnitSystem, volume_left_label
from slatewright.supply.wayhome.verdicts import Cell, Verdict

if TYPE_CHECKING:
    from slatewright.supply.wayhome.grid import Grid

MARKS: Final = {
    Verdict.NOT_MEANT: " ",
    Verdict.HOME: ".",
    Verdict.HURRIED: "h",
    Verdict.BEYOND_LIMITS: "b",
    Verdict.HURRIED_BEYOND_LIMITS: "B",
    Verdict.NO_WAY: "X",
}
"""One letter for each verdict, where there is no room for words."""


@dataclass(frozen=True, slots=True)
class Span:
    """Minutes in a row with the same verdict.

    Parameters
    ----------
    from_min, to_min
        The first and the last of them [min].
    verdict
        Their verdict.
    """

    from_min: int
    to_min: int
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class TableRow:
    """One failure.

    Parameters
    ----------
    name
        What fails.
    spans
        The verdicts along the dive.
    marks
        The same, one letter a minute.
    worst
        The worst cell in words.
    first_without_min
        The first minute from which there is no way home; None if there always is one [min].
    """

    name: str
    spans: tuple[Span, ...]
    marks: str
    worst: str
    first_without_min: int | None


@dataclass(frozen=True, slots=True)
class Table:
    """The grid as it is shown.

    Parameters
    ----------
    minutes
        The columns [min].
    depths_m
        Depth at each [m].
    rows
        The failures.
    """

    minutes: tuple[int, ...]
    depths_m: tuple[float, ...]
    rows: tuple[TableRow, ...]


def table_of(grid: Grid) -> Table:
    """Return a grid as a table.

    Parameters
    ----------
    grid
        The grid.
    """
    rows = []
    for number, summary in enumerate(grid.rows):
        verdicts = [Verdict(value) for value in grid.arrays.verdict[number].tolist()]
        rows.append(
            TableRow(
                name=summary.failure.name,
                spans=_spans(grid.minutes, verdicts),
                marks="".join(MARKS[verdict] for verdict in verdicts),
                worst=cell_words(summary.worst, grid.plan.units),
                first_without_min=summary.first_without_min,
            )
        )
    return Table(grid.minutes, grid.depths_m, tuple(rows))


def cell_words(cell: Cell, units: UnitSystem) -> str:
    """Return what a cell says, as a sentence without a full stop.

    Parameters
    ----------
    cell
        The cell.
    units
        The units of the reader.
    """
    head = f"minute {cell.minute}, {say.depth(cell.depth_m, units)}: {cell.verdict.words}"
    if cell.verdict is Verdict.NO_WAY:
        return f"{head}: {cell.why}"
    parts = [head]
    if cell.over_bar > 0.0:
        parts.append(f"ppO2 {cell.over_bar:.2f} bar over its limit")
    if cell.under_bar > 0.0:
        parts.append(f"ppO2 {cell.under_bar:.2f} bar below the floor")
    if cell.verdict in {Verdict.HURRIED, Verdict.HURRIED_BEYOND_LIMITS}:
        factors = f"gradient factors {cell.gradient_low * 100:.0f}/{cell.gradient_high * 100:.0f}"
        cut = f"at least {cell.omitted_min:.0f} min cut, " if cell.omitted_min is not None else ""
        parts.append(f"{cut}{factors}")
    if cell.shared:
        parts.append(f"sharing {' and '.join(map(str, cell.shared))}")
    if cell.scarce is not None:
        scarce = cell.scarce
        left = volume_left_label(scarce.free_l, units)
        parts.append(
            f"{scarce.diver} has {scarce.share * 100.0 // 1.0:.0f} % ({left}) left of {scarce.mix} "
            f"at {scarce.until_min:.0f} min"
        )
    return ", ".join(parts)


def _spans(minutes: tuple[int, ...], verdicts: list[Verdict]) -> tuple[Span, ...]:
    spans = []
    for verdict, group in groupby(zip(minutes, verdicts, strict=True), key=lambda entry: entry[1]):
        inside = [minute for minute, _ in group]
        spans.append(Span(inside[0], inside[-1], verdict))
    return tuple(spans)
