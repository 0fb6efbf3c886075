"""The way home on the page, drawn from the sheet that paper draws from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from html import escape
from typing import TYPE_CHECKING, Final

from slatewright.desk.bench import svg
from slatewright.paper.wayhome_chart import description
from slatewright.paper.wayhome_sheet import HEADING_PX, WayHomeSheet, hatching, wayhome_sheet
from slatewright.supply.wayhome import Verdict

if TYPE_CHECKING:
    from markupsafe import Markup

    from slatewright.supply.wayhome import Grid

_CLASSES: Final = {
    Verdict.HOME: "home",
    Verdict.HURRIED: "compromise",
    Verdict.BEYOND_LIMITS: "compromise",
    Verdict.HURRIED_BEYOND_LIMITS: "compromise",
    Verdict.NO_WAY: "no-way",
}
_ENDS: Final = {"left": "start", "center": "mid", "right": "end"}


def wayhome_picture(grid: Grid, width_px: float, href: Callable[[int], str]) -> Markup:
    """Draw the way-home grid; what is said of a failure opens how it came about.

    Parameters
    ----------
    grid
        The grid.
    width_px
        Width of the picture [px].
    href
        Gives the path of the account of a failure, by its row.
    """
    sheet = wayhome_sheet(grid, width_px)
    lift = HEADING_PX - 6.0
    inside = [f'<g transform="translate(0 -{svg.number(lift)})">', *_drawn(sheet, grid, href)]
    return svg.picture(
        "wayhome",
        width_px,
        sheet.height_px - lift,
        description(grid),
        [*inside, "</g>"],
        'role="group"',
    )


def _drawn(sheet: WayHomeSheet, grid: Grid, href: Callable[[int], str]) -> Iterator[str]:
    yield svg.path("water-line", sheet.profile, closed=True)
    yield svg.path("bed", sheet.profile)
    surface = sheet.profile[0][1]
    yield svg.line("surface", sheet.plot.left_px, surface, sheet.plot.right_px, surface)
    for strip in sheet.strips:
        box = strip.box
        name = f"cell {_CLASSES[strip.verdict]}"
        yield svg.rect(name, box.left_px, box.top_px, box.right_px, box.bottom_px)
    hatches = [line for strip in sheet.strips for line in hatching(strip)]
    if hatches:
        yield _lines("hatch", hatches)
    yield _lines("tick", sheet.ticks)
    yield _lines("leave", sheet.leave)
    for x, y in sheet.worst:
        yield svg.shape("worst", (), x, y, 3.8)
    row = 0
    for text in sheet.texts:
        if text.style in {"title", "model", "headline"}:
            continue
        name = f"word-{text.style} {_ENDS[text.align]}"
        word = svg.text(name, text.x_px, text.y_px, text.text)
        is_name = text.style == "name" and row < len(grid.rows)
        if is_name:
            path = escape(href(row), quote=True)
            word = f'<a class="opens" href="{path}">{word}</a>'
            row += 1
        yield word


def _lines(name: str, lines: list[tuple[float, float, float, float]]) -> str:
    drawn = "".join(
        f"M{svg.number(x0)} {svg.number(y0)}L{svg.number(x1)} {svg.number(y1)}"
        for x0, y0, x1, y1 in lines
    )
    return f'<path class="{name}" d="{drawn}"/>'
