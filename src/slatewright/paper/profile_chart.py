"""The profile of a dive as a sea chart: depth downward, water deepening, ceiling as a shore."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from slatewright.errors import InputError
from slatewright.paper import profile_frame as frames
from slatewright.paper import profile_sheet as sheets
from slatewright.paper import theme
from slatewright.paper.profile_layers import Pen, layers_of
from slatewright.paper.reading import minutes_up
from slatewright.paper.svg import svg_of

if TYPE_CHECKING:
    import altair as alt

    from slatewright.dive.schedule import Schedule

WIDTH_PX: Final = 760
HEIGHT_PX: Final = 460
NARROW_PX: Final = 360
"""A phone held upright: ask for this width rather than shrinking a wide picture."""


def profile_chart(
    schedule: Schedule, *, width_px: int = WIDTH_PX, height_px: int = HEIGHT_PX
) -> alt.LayerChart:
    """Draw the profile of a dive.

    Parameters
    ----------
    schedule
        The schedule; a failed second check does not hinder the chart.
    width_px, height_px
        Size of the whole picture [px]; labels are chosen so that they fit this width.

    Returns
    -------
    alt.LayerChart
        The chart, the same for page and paper.

    Raises
    ------
    InputError
        If the schedule has no legs.
    """
    import altair as alt  # noqa: PLC0415 - takes half a second, and only charts need it

    plan = schedule.plan
    deepest_m = _deepest_m(schedule)
    frame = frames.make_frame(
        schedule.runtime_min, deepest_m, plan.units, width_px=width_px, height_px=height_px
    )
    sheet = sheets.profile_sheet(schedule, frame)
    pen = Pen(alt, frame)
    chart: Any = alt.LayerChart(layer=[*layers_of(pen, sheet), *_heading(pen, schedule)])
    chart = chart.properties(
        width=frame.width_px,
        height=frame.height_px,
        autosize=alt.AutoSizeParams(type="none"),
        padding={
            "left": frames.LEFT_PX,
            "right": frames.RIGHT_PX,
            "top": frames.TOP_PX,
            "bottom": frames.BOTTOM_PX,
        },
        background=theme.PAPER,
        description=_description(schedule),
    ).configure(
        font=theme.FONT_STACK,
        view=alt.ViewConfig(stroke=None),
        axis=alt.AxisConfig(
            domain=False,
            grid=False,
            labelColor=theme.SOFT_INK,
            labelFontSize=12,
            tickColor=theme.SOFT_INK,
            tickSize=4,
            labelPadding=4,
            labelFlush=False,
            labelOverlap=False,
        ),
    )
    drawn: alt.LayerChart = chart
    return drawn


def profile_svg(
    schedule: Schedule,
    *,
    width_px: int = WIDTH_PX,
    height_px: int = HEIGHT_PX,
    embed_font: bool = True,
) -> str:
    """Draw the profile of a dive as SVG, without a network.

    Parameters
    ----------
    schedule
        The schedule.
    width_px, height_px
        Size of the whole picture [px].
    embed_font
        True to carry the typeface along, for a picture that travels alone (150 kB more); False
        for a page that has it already.

    Returns
    -------
    str
        An SVG document.

    Raises
    ------
    InputError
        If the schedule has no legs.
    """
    chart = profile_chart(schedule, width_px=width_px, height_px=height_px)
    return svg_of(chart, _description(schedule), embed_font=embed_font)


def _heading(pen: Pen, schedule: Schedule) -> list[Any]:
    """Title, model, and what the axes count."""
    frame, plan = pen.frame, schedule.plan
    settings = plan.settings
    room_px = frame.width_px + frames.LEFT_PX + frames.RIGHT_PX - 24.0
    model = (
        f"{settings.model}, gradient factors {settings.gradient_low * 100:g}/"
        f"{settings.gradient_high * 100:g}"
    )
    left_px = 12.0 - frames.LEFT_PX
    lines = (
        (plan.title, left_px, 20.0 - frames.TOP_PX, "left", 16, "bold", theme.INK),
        (model, left_px, 40.0 - frames.TOP_PX, "left", 12, "normal", theme.SOFT_INK),
        (
            f"depth in {plan.units.depth_unit}, run time in min",
            frame.width_px,
            frame.height_px + 34.0,
            "right",
            12,
            "normal",
            theme.SOFT_INK,
        ),
    )
    return [
        pen.chart([pen.at(x_px, y_px) | {"text": text}])
        .mark_text(
            align=align,
            baseline="middle",
            fontSize=size,
            fontWeight=weight,
            color=color,
            limit=room_px,
        )
        .encode(x=pen.x(), y=pen.y(), text="text:N")
        for text, x_px, y_px, align, size, weight, color in lines
    ]


def _deepest_m(schedule: Schedule) -> float:
    if not schedule.legs:
        raise InputError("a dive without legs has no profile", right="the legs of a schedule")
    deepest_m: float = max(leg.to_m for leg in schedule.legs)
    return deepest_m


def _description(schedule: Schedule) -> str:
    plan = schedule.plan
    gases = ", ".join(
        f"{mark.letter} {mix}"
        for mix, mark in theme.gas_marks(
            [gas.mix for gas in plan.gases] + [leg.gas for leg in schedule.legs]
        ).items()
    )
    return (
        f"Depth against run time of the dive {plan.title}: "
        f"{minutes_up(schedule.runtime_min)} minutes, gases {gases}."
    )
