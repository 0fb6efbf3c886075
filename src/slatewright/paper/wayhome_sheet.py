"""What is drawn of a way-home grid, and where: worked out before any chart is made."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING, Final

from slatewright.paper.label_layout import Box, text_size_px
from slatewright.paper.reading import depth_text
from slatewright.supply.wayhome.verdicts import Verdict

if TYPE_CHECKING:
    from slatewright.supply.wayhome.grid import Grid
    from slatewright.supply.wayhome.verdicts import RowSummary

NARROW_UNDER_PX: Final = 560.0
"""A picture narrower than this has the names above the strips instead of beside them."""
MARGIN_PX: Final = 12.0
HEADING_PX: Final = 58.0
DEPTH_PX: Final = 46.0
"""The profile above the grid, by which a minute is found."""
STRIP_PX: Final = 15.0
GAP_PX: Final = 5.0
NAME_PX: Final = 16.0
AXIS_PX: Final = 40.0
LEGEND_LINE_PX: Final = 21.0
NAME_FONT_PX: Final = 12.0
SMALL_FONT_PX: Final = 11.0
HATCH_PX: Final = 5.0
_TICKS_MIN: Final = (1, 2, 5, 10, 20, 30, 60, 120)
_PX_PER_TICK: Final = 44.0

LEGEND: Final = {
    Verdict.HOME: "gets home",
    Verdict.HURRIED: "stops cut short",
    Verdict.BEYOND_LIMITS: "breathed beyond limits",
    Verdict.HURRIED_BEYOND_LIMITS: "both",
    Verdict.NO_WAY: "no way home",
}
"""What the patterns mean, in a few words."""
Line = tuple[float, float, float, float]
"""From x, y to x, y [px]."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Minutes of one failure that end alike.

    Parameters
    ----------
    verdict
        How they end.
    box
        Where they are drawn.
    """

    verdict: Verdict
    box: Box


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text.

    Parameters
    ----------
    style
        name, verdict, caution, small, title, model.
    text
        The text.
    x_px, y_px
        Its middle in height, and the end that it is set from [px].
    align
        left, center or right.
    """

    style: str
    text: str
    x_px: float
    y_px: float
    align: str = "left"


@dataclass(slots=True)
class WayHomeSheet:
    """A way-home grid, ready to be drawn.

    Parameters
    ----------
    width_px, height_px
        Size of the whole picture [px].
    plot
        Where minutes are drawn, the profile included.
    grid_top_px
        Where the strips begin [px].
    strips, texts
        What is drawn and written.
    profile
        Corners of the depth along the dive [px].
    ticks
        Vertical lines at round run times.
    leave
        The line at which the bottom is left, in pieces.
    worst
        The worst minute of each failure that is no plain way home [px].
    """

    width_px: float
    height_px: float
    plot: Box
    grid_top_px: float
    strips: list[Strip] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    profile: list[tuple[float, float]] = field(default_factory=list)
    ticks: list[Line] = field(default_factory=list)
    leave: list[Line] = field(default_factory=list)
    worst: list[tuple[float, float]] = field(default_factory=list)


def wayhome_sheet(grid: Grid, width_px: float) -> WayHomeSheet:
    """Work out the drawing of a way-home grid.

    Parameters
    ----------
    grid
        The judged grid.
    width_px
        Width of the picture [px]; the height follows from the number of failures.

    Returns
    -------
    WayHomeSheet
        The drawing.
    """
    return _Drawing(grid, width_px).sheet


class _Drawing:
    """Lays the picture out from the top: heading, profile, strips, axis, legend."""

    def __init__(self, grid: Grid, width_px: float) -> None:
        self.grid = grid
        self.narrow = width_px < NARROW_UNDER_PX
        self.verdicts = [says(row) for row in grid.rows]
        names = [row.failure.name for row in grid.rows]
        left_px, right_px = MARGIN_PX, width_px - MARGIN_PX
        if not self.narrow:
            left_px += max(text_size_px(name, NAME_FONT_PX)[0] for name in names) + 8.0
            right_px -= max(text_size_px(said, SMALL_FONT_PX)[0] for said in self.verdicts) + 8.0
        self.row_px = STRIP_PX + GAP_PX + (NAME_PX if self.narrow else 0.0)
        grid_top_px = HEADING_PX + DEPTH_PX + 10.0
        bottom_px = grid_top_px + self.row_px * len(names)
        self.plot = Box(left_px, HEADING_PX, right_px, bottom_px)
        legend = _legend_lines(width_px - 2 * MARGIN_PX)
        height_px = bottom_px + AXIS_PX + LEGEND_LINE_PX * len(legend) + MARGIN_PX
        self.sheet = WayHomeSheet(width_px, height_px, self.plot, grid_top_px)
        self.minutes: list[int] = []
        self._head()
        self._profile()
        self._ticks()
        for number, row in enumerate(grid.rows):
            self._row(number, row)
        self._legend(legend, bottom_px + AXIS_PX)

    def x_px(self, minute: float) -> float:
        """Return the place of a run time: a minute's cell lies evenly on both sides of it."""
        first, last = self.grid.minutes[0], self.grid.minutes[-1]
        share = (minute - first + 0.5) / (last - first + 1)
        return self.plot.left_px + share * (self.plot.right_px - self.plot.left_px)

    def _write(self, style: str, text: str, x_px: float, y_px: float, align: str = "left") -> None:
        self.sheet.texts.append(Text(style, text, x_px, y_px, align))

    def _head(self) -> None:
        plan = self.grid.plan
        self._write("title", f"{plan.title}: the way home", MARGIN_PX, 20.0)
        first = self.grid.first_failing
        if first is None:
            self._write("model", "There is a way home from every minute.", MARGIN_PX, 40.0)
            return
        said = f"No way home from min {first.first_without_min}: {first.failure.name}"
        more = sum(row.first_without_min is not None for row in self.grid.rows) - 1
        if more:
            said += f", and {more} more"
        self._write("headline", said, MARGIN_PX, 40.0)

    def _profile(self) -> None:
        grid, top_px = self.grid, HEADING_PX + 4.0
        deepest_m = max(grid.depths_m)
        scale = (DEPTH_PX - 6.0) / deepest_m
        self.sheet.profile = [(self.x_px(grid.minutes[0] - 0.5), top_px)]
        self.sheet.profile += [
            (self.x_px(minute), top_px + depth_m * scale)
            for minute, depth_m in zip(grid.minutes, grid.depths_m, strict=True)
        ]
        self.sheet.profile.append((self.x_px(grid.minutes[-1] + 0.5), top_px))
        level = grid.plan.levels[-1]
        x_px = self.x_px(level.leave_at_min)
        self.sheet.leave.append((x_px, top_px, x_px, top_px + DEPTH_PX))
        units = grid.plan.units
        deepest = f"{depth_text(deepest_m, units)} {units.depth_unit}"
        # right of where the ascent has risen above the words
        words_px = top_px + DEPTH_PX - 12.0
        beside_px = next(x for x, y in self.sheet.profile if x > x_px and y < words_px - 8.0)
        self._write(
            "small", f"{deepest}, left at {level.leave_at_min:g} min", beside_px + 4.0, words_px
        )

    def _ticks(self) -> None:
        first, last = self.grid.minutes[0], self.grid.minutes[-1]
        wide_px = self.plot.right_px - self.plot.left_px
        most = max(2.0, wide_px / _PX_PER_TICK)
        step = next((step for step in _TICKS_MIN if (last - first) / step <= most), 240)
        bottom_px = self.plot.bottom_px
        self.minutes = list(range(math.ceil(first / step) * step, last + 1, step))
        for minute in self.minutes:
            x_px = self.x_px(minute)
            self.sheet.ticks.append((x_px, bottom_px, x_px, bottom_px + 4.0))
            self._write("axis", str(minute), x_px, bottom_px + 13.0, "center")
        self._write("axis", "run time in min", self.plot.right_px, bottom_px + 29.0, "right")

    def _row(self, number: int, row: RowSummary) -> None:
        top_px = self.sheet.grid_top_px + number * self.row_px
        if self.narrow:
            top_px += NAME_PX
        middle_px = top_px + STRIP_PX / 2
        style = "caution" if row.first_without_min is not None else "verdict"
        if self.narrow:
            self._write("name", row.failure.name, self.plot.left_px, top_px - 8.0)
            self._write(style, self.verdicts[number], self.plot.right_px, top_px - 8.0, "right")
        else:
            self._write("name", row.failure.name, self.plot.left_px - 8.0, middle_px, "right")
            self._write(style, self.verdicts[number], self.plot.right_px + 8.0, middle_px)
        verdicts = [Verdict(int(v)) for v in self.grid.arrays.verdict[number].tolist()]
        cells = zip(self.grid.minutes, verdicts, strict=True)
        for verdict, members in groupby(cells, key=lambda cell: cell[1]):
            minutes = [minute for minute, _ in members]
            if verdict is Verdict.NOT_MEANT:
                continue
            box = Box(
                self.x_px(minutes[0] - 0.5),
                top_px,
                self.x_px(minutes[-1] + 0.5),
                top_px + STRIP_PX,
            )
            self.sheet.strips.append(Strip(verdict, box))
        # lines of run time cross the strips alone, so that none runs through a name
        for minute in self.minutes:
            x_px = self.x_px(minute)
            self.sheet.ticks.append((x_px, top_px, x_px, top_px + STRIP_PX))
        x_px = self.x_px(self.grid.plan.levels[-1].leave_at_min)
        self.sheet.leave.append((x_px, top_px - 1.0, x_px, top_px + STRIP_PX + 1.0))
        if row.worst.verdict > Verdict.HOME:
            self.sheet.worst.append((self.x_px(row.worst.minute), middle_px))

    def _legend(self, lines: Sequence[Sequence[Verdict]], top_px: float) -> None:
        for number, line in enumerate(lines):
            x_px, y_px = MARGIN_PX, top_px + number * LEGEND_LINE_PX + LEGEND_LINE_PX / 2
            for verdict in line:
                half_px = STRIP_PX / 2 - 1.0
                box = Box(x_px, y_px - half_px, x_px + _SWATCH_PX, y_px + half_px)
                self.sheet.strips.append(Strip(verdict, box))
                self._write("small", LEGEND[verdict], x_px + _SWATCH_PX + 5.0, y_px)
                x_px += _entry_px(verdict)


_SWATCH_PX: Final = 26.0


def _entry_px(verdict: Verdict) -> float:
    return _SWATCH_PX + 5.0 + text_size_px(LEGEND[verdict], SMALL_FONT_PX)[0] + 14.0


def _legend_lines(width_px: float) -> list[list[Verdict]]:
    """Lay the entries of the legend on lines that fit."""
    lines: list[list[Verdict]] = [[]]
    left_px = width_px
    for verdict in LEGEND:
        if lines[-1] and _entry_px(verdict) - 14.0 > left_px:
            lines.append([])
            left_px = width_px
        lines[-1].append(verdict)
        left_px -= _entry_px(verdict)
    return lines


def says(row: RowSummary) -> str:
    """Say how a failure ends at its worst, in a few words.

    Parameters
    ----------
    row
        The failure.

    Returns
    -------
    str
        Such as ``no way from min 14`` or ``21/35: 34 % left``.
    """
    if row.first_without_min is not None:
        return f"no way from min {row.first_without_min}"
    worst = row.worst
    if worst.verdict is Verdict.NOT_MEANT:
        return "does not apply"
    said = []
    if worst.omitted_min is None:
        said.append("stops cut")
    elif worst.omitted_min > 0.0:
        said.append(f"{math.ceil(worst.omitted_min - 1e-6)} min cut")
    if worst.over_bar > 0.0 or worst.under_bar > 0.0:
        said.append("beyond limits")
    if worst.scarce is not None and not said:
        said.append(f"{worst.scarce.mix}: {math.floor(worst.scarce.share * 100 + 1e-9)} % left")
    return ", ".join(said) or "gets home"


def hatching(strip: Strip) -> list[Line]:
    """Return the lines by which a verdict is known without colour.

    Parameters
    ----------
    strip
        The strip.

    Returns
    -------
    list[Line]
        Slanted one way for stops cut short, the other way for gas beyond the limits, both for
        both; none for a plain way home, and none for no way home, which is filled.
    """
    rising = strip.verdict in {Verdict.HURRIED, Verdict.HURRIED_BEYOND_LIMITS}
    falling = strip.verdict in {Verdict.BEYOND_LIMITS, Verdict.HURRIED_BEYOND_LIMITS}
    lines: list[Line] = []
    if rising:
        lines += _slanted(strip.box)
    if falling:
        mirror = strip.box.left_px + strip.box.right_px
        lines += [(mirror - x0, y0, mirror - x1, y1) for x0, y0, x1, y1 in _slanted(strip.box)]
    return lines


def _slanted(box: Box) -> list[Line]:
    """Return lines at 45 degrees, upwards to the right, cut at the edges of a box."""
    lines: list[Line] = []
    width, height = box.right_px - box.left_px, box.bottom_px - box.top_px
    offset = HATCH_PX / 2
    while offset < width + height:
        # from the left or bottom edge to the top or right edge
        x0, y0 = (0.0, offset) if offset <= height else (offset - height, height)
        x1, y1 = (offset, 0.0) if offset <= width else (width, offset - width)
        lines.append((box.left_px + x0, box.top_px + y0, box.left_px + x1, box.top_px + y1))
        offset += HATCH_PX
    return lines
