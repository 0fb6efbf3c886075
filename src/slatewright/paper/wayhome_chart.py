"""The way-home grid as a chart: run time along, failures downward, verdicts by pattern and ink."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from slatewright.paper import theme
from slatewright.paper import wayhome_sheet as sheets
from slatewright.paper.svg import svg_of
from slatewright.supply.wayhome.verdicts import Verdict

if TYPE_CHECKING:
    import altair as alt

    from slatewright.supply.wayhome.grid import Grid

WIDTH_PX: Final = 760
NARROW_PX: Final = 360
"""A phone held upright."""

_INK: Final = {
    Verdict.HOME: theme.DEPTH_TINTS[1],
    Verdict.HURRIED: theme.LAND,
    Verdict.BEYOND_LIMITS: theme.LAND,
    Verdict.HURRIED_BEYOND_LIMITS: theme.LAND,
    Verdict.NO_WAY: theme.CAUTION,
}
_STYLES: Final[dict[str, dict[str, Any]]] = {
    "title": {"fontSize": 16, "fontWeight": "bold", "color": theme.INK},
    "model": {"fontSize": 12, "color": theme.SOFT_INK},
    "headline": {"fontSize": 12, "fontWeight": "bold", "color": theme.CAUTION},
    "name": {"fontSize": sheets.NAME_FONT_PX, "fontWeight": "bold", "color": theme.INK},
    "verdict": {"fontSize": sheets.SMALL_FONT_PX, "color": theme.INK},
    "caution": {"fontSize": sheets.SMALL_FONT_PX, "fontWeight": "bold", "color": theme.CAUTION},
    "small": {"fontSize": sheets.SMALL_FONT_PX, "color": theme.INK},
    "axis": {"fontSize": 12, "color": theme.SOFT_INK},
}


def wayhome_chart(grid: Grid, *, width_px: int = WIDTH_PX) -> alt.LayerChart:
    """Draw a way-home grid.

    Parameters
    ----------
    grid
        The judged grid.
    width_px
        Width of the whole picture [px]; its height follows from the number of failures.

    Returns
    -------
    alt.LayerChart
        The chart, the same for page and paper.
    """
    import altair as alt  # noqa: PLC0415 - takes half a second, and only charts need it

    sheet = sheets.wayhome_sheet(grid, float(width_px))
    pen = _Pen(alt, sheet)
    chart: Any = alt.LayerChart(
        layer=[
            *_profile(pen, sheet),
            *_strips(pen, sheet),
            *_lines(pen, sheet),
            *_worst(pen, sheet),
            *_texts(pen, sheet),
        ]
    )
    drawn: alt.LayerChart = chart.properties(
        width=sheet.width_px,
        height=sheet.height_px,
        autosize=alt.AutoSizeParams(type="none"),
        padding=0,
        background=theme.PAPER,
        description=description(grid),
    ).configure(font=theme.FONT_STACK, view=alt.ViewConfig(stroke=None))
    return drawn


def wayhome_svg(grid: Grid, *, width_px: int = WIDTH_PX, embed_font: bool = True) -> str:
    """Draw a way-home grid as SVG, without a network.

    Parameters
    ----------
    grid
        The judged grid.
    width_px
        Width of the whole picture [px].
    embed_font
        True to carry the typeface along, for a picture that travels alone (150 kB more).

    Returns
    -------
    str
        An SVG document.
    """
    chart = wayhome_chart(grid, width_px=width_px)
    return svg_of(chart, description(grid), embed_font=embed_font)


def description(grid: Grid) -> str:
    """Say in words what the picture shows.

    Parameters
    ----------
    grid
        The judged grid.

    Returns
    -------
    str
        Sentences for those who cannot see it.
    """
    rows = grid.rows
    said = (
        f"Way home of the dive {grid.plan.title}: {len(rows)} failures over "
        f"{grid.minutes[-1]} minutes."
    )
    failing = [row for row in rows if row.first_without_min is not None]
    if not failing:
        return f"{said} There is a way home from every minute."
    told = "; ".join(f"{row.failure.name} from min {row.first_without_min}" for row in failing)
    return f"{said} No way home: {told}."


class _Pen:
    """Altair with scales that count pixels from the upper left corner."""

    def __init__(self, alt: Any, sheet: sheets.WayHomeSheet) -> None:  # noqa: ANN401 - imported late
        self.alt = alt
        x_scale = alt.Scale(domain=[0, sheet.width_px], nice=False, zero=False)
        y_scale = alt.Scale(domain=[0, sheet.height_px], nice=False, zero=False, reverse=True)
        self.x = alt.X("x:Q", scale=x_scale, axis=None)
        self.y = alt.Y("y:Q", scale=y_scale, axis=None)

    def chart(self, rows: list[dict[str, Any]]) -> Any:  # noqa: ANN401 - as above
        return self.alt.Chart(self.alt.InlineData(values=rows))

    def lines(self, lines: list[sheets.Line], **look: Any) -> list[Any]:  # noqa: ANN401 - as above
        rows = [{"x": x0, "y": y0, "x2": x1, "y2": y1} for x0, y0, x1, y1 in lines]
        if not rows:
            return []
        return [self.chart(rows).mark_rule(**look).encode(x=self.x, y=self.y, x2="x2:Q", y2="y2:Q")]


def _profile(pen: _Pen, sheet: sheets.WayHomeSheet) -> list[Any]:
    """Draw the depth along the dive as water under the surface."""
    top = sheet.profile[0][1]
    rows = [{"x": x, "y": y, "y2": top, "order": i} for i, (x, y) in enumerate(sheet.profile)]
    base = pen.chart(rows)
    water = base.mark_area(color=theme.DEPTH_TINTS[3]).encode(x=pen.x, y=pen.y, y2="y2:Q")
    line = base.mark_line(color=theme.INK, strokeWidth=1.2, strokeJoin="round").encode(
        x=pen.x, y=pen.y, order="order:Q"
    )
    surface = pen.lines(
        [(sheet.plot.left_px, top, sheet.plot.right_px, top)], color=theme.INK, strokeWidth=1.0
    )
    return [water, line, *surface]


def _strips(pen: _Pen, sheet: sheets.WayHomeSheet) -> list[Any]:
    """Fill the strips, hatch the compromises, and frame what has no way home."""
    rows = [
        {
            "x": strip.box.left_px,
            "x2": strip.box.right_px,
            "y": strip.box.top_px,
            "y2": strip.box.bottom_px,
            "ink": _INK[strip.verdict],
        }
        for strip in sheet.strips
    ]
    fills = (
        pen.chart(rows)
        .mark_rect()
        .encode(x=pen.x, x2="x2:Q", y=pen.y, y2="y2:Q", color=pen.alt.Color("ink:N", scale=None))
    )
    hatches = [line for strip in sheet.strips for line in sheets.hatching(strip)]
    return [fills, *pen.lines(hatches, color=theme.SHORE, strokeWidth=1.1)]


def _lines(pen: _Pen, sheet: sheets.WayHomeSheet) -> list[Any]:
    ticks = pen.lines(sheet.ticks, color=theme.CONTOUR, strokeWidth=0.6)
    return [*ticks, *pen.lines(sheet.leave, color=theme.INK, strokeWidth=1.0, strokeDash=[2, 2])]


def _worst(pen: _Pen, sheet: sheets.WayHomeSheet) -> list[Any]:
    """Mark the worst minute of each failure that is more than a nuisance."""
    rows = [{"x": x, "y": y} for x, y in sheet.worst]
    if not rows:
        return []
    return [
        pen.chart(rows)
        .mark_point(
            shape="circle", size=46, filled=True, fill=theme.PAPER, stroke=theme.INK,
            strokeWidth=1.6, opacity=1.0,
        )
        .encode(x=pen.x, y=pen.y)
    ]  # fmt: skip


def _texts(pen: _Pen, sheet: sheets.WayHomeSheet) -> list[Any]:
    layers = []
    looks = {(text.style, text.align) for text in sheet.texts}
    for style, align in sorted(looks):
        rows = [
            {"x": text.x_px, "y": text.y_px, "text": text.text}
            for text in sheet.texts
            if (text.style, text.align) == (style, align)
        ]
        layers.append(
            pen.chart(rows)
            .mark_text(
                align=align, baseline="middle", limit=sheet.width_px - 24.0, **_STYLES[style]
            )
            .encode(x=pen.x, y=pen.y, text="text:N")
        )
    return layers
