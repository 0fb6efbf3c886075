"""The layers of a profile, from the water up: tints, land, line, rings, marks, words."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from slatewright.paper import profile_sheet as sheets
from slatewright.paper import theme

if TYPE_CHECKING:
    from slatewright.paper.profile_frame import Frame
    from slatewright.paper.profile_parts import ProfileSheet

_CIRCLE: Final = "M1,0A1,1,0,1,1,-1,0A1,1,0,1,1,1,0Z"
_PEN_PX: Final = 3.2

STYLES: Final[dict[str, dict[str, Any]]] = {
    "gas": {"fontSize": sheets.GAS_FONT_PX, "fontWeight": "bold", "color": theme.INK},
    "sounding": {"fontSize": sheets.SOUNDING_FONT_PX, "color": theme.INK},
    "small": {"fontSize": sheets.SMALL_FONT_PX, "color": theme.INK},
    "level": {"fontSize": sheets.LEVEL_FONT_PX, "fontWeight": "bold", "color": theme.INK},
    "caution": {"fontSize": sheets.SMALL_FONT_PX, "fontWeight": "bold", "color": theme.CAUTION},
    "shore": {"fontSize": sheets.SMALL_FONT_PX, "fontStyle": "italic", "color": theme.SHORE},
}


class Pen:
    """Altair with the two scales that all layers share.

    Parameters
    ----------
    alt
        The module altair, which takes long to import and comes as a guest.
    frame
        The plotting area.
    """

    def __init__(self, alt: Any, frame: Frame) -> None:  # noqa: ANN401 - the module, imported late
        self.alt = alt
        self.frame = frame
        self.x_scale = alt.Scale(domain=[0, frame.longest_min], nice=False, zero=False)
        self.y_scale = alt.Scale(domain=[0, frame.deepest], nice=False, zero=False, reverse=True)

    def chart(self, rows: list[dict[str, Any]]) -> Any:  # noqa: ANN401 - as above
        """Begin a layer.

        Parameters
        ----------
        rows
            Its data.

        Returns
        -------
        Any
            An altair chart without a mark.
        """
        return self.alt.Chart(self.alt.InlineData(values=rows))

    def x(self) -> Any:  # noqa: ANN401 - as above
        """Return the encoding of the run time.

        Returns
        -------
        Any
            An altair channel.
        """
        axis = self.alt.Axis(values=list(self.frame.time_ticks_min), title=None, format="d")
        return self.alt.X("min:Q", scale=self.x_scale, axis=axis)

    def y(self) -> Any:  # noqa: ANN401 - as above
        """Return the encoding of the depth.

        Returns
        -------
        Any
            An altair channel.
        """
        axis = self.alt.Axis(values=list(self.frame.depth_ticks), title=None, format="d")
        return self.alt.Y("depth:Q", scale=self.y_scale, axis=axis)

    def at(self, x_px: float, y_px: float) -> dict[str, float]:
        """Return the data of a place on the sheet.

        Parameters
        ----------
        x_px, y_px
            The place [px].

        Returns
        -------
        dict[str, float]
            Run time [min] and depth [m or ft].
        """
        return {"min": self.frame.at_min(x_px), "depth": self.frame.depth(y_px)}


def layers_of(pen: Pen, sheet: ProfileSheet) -> list[Any]:
    """Draw everything that lies within the frame.

    Parameters
    ----------
    pen
        Altair and the scales.
    sheet
        What is to be drawn, and where.

    Returns
    -------
    list[Any]
        Altair charts, the lowest first.
    """
    return [
        *_water(pen),
        *_ceiling(pen, sheet),
        *_profile(pen, sheet),
        *_hazards(pen, sheet),
        *_gas_marks(pen, sheet),
        *_words(pen, sheet),
    ]


def _water(pen: Pen) -> list[Any]:
    """Tint the water, deepening, parted by isobaths."""
    frame = pen.frame
    edges = [*frame.depth_ticks, frame.deepest]
    deepen = (len(theme.DEPTH_TINTS) - 1) / max(1, len(edges) - 2)
    bands = [
        {
            "min": 0.0,
            "end": frame.longest_min,
            "depth": top,
            "under": under,
            "tint": theme.DEPTH_TINTS[round(index * deepen)],
        }
        for index, (top, under) in enumerate(pairwise(edges))
    ]
    tints = (
        pen.chart(bands)
        .mark_rect()
        .encode(
            x=pen.x(),
            x2="end:Q",
            y=pen.y(),
            y2="under:Q",
            color=pen.alt.Color("tint:N", scale=None),
        )
    )
    lines = (
        pen.chart(bands)
        .mark_rule(color=theme.CONTOUR, strokeWidth=0.8)
        .encode(x=pen.x(), x2="end:Q", y=pen.y())
    )
    return [tints, lines]


def _ceiling(pen: Pen, sheet: ProfileSheet) -> list[Any]:
    """Lay land above the ceiling, with the ceiling as its shore."""
    rows = [{"min": at_min, "depth": depth, "surface": 0.0} for at_min, depth in sheet.ceiling]
    surface = (
        pen.chart([pen.at(0.0, 0.0) | {"end": pen.frame.longest_min}])
        .mark_rule(color=theme.INK, strokeWidth=1.2)
        .encode(x=pen.x(), x2="end:Q", y=pen.y())
    )
    if not any(depth > 0.0 for _, depth in sheet.ceiling):
        return [surface]
    land = (
        pen.chart(rows)
        .mark_area(color=theme.LAND, clip=True)
        .encode(x=pen.x(), y=pen.y(), y2="surface:Q")
    )
    shore = (
        pen.chart(rows)
        .mark_line(color=theme.SHORE, strokeWidth=1.1, clip=True)
        .encode(x=pen.x(), y=pen.y())
    )
    return [land, shore, surface]


def _profile(pen: Pen, sheet: ProfileSheet) -> list[Any]:
    """Draw the way of the diver: a hairline throughout, each gas in its pattern and ink."""
    alt = pen.alt
    rows = [
        {"stretch": number, "letter": stretch.letter, "order": order, "min": at_min, "depth": depth}
        for number, stretch in enumerate(sheet.stretches)
        for order, (at_min, depth) in enumerate(stretch.points)
    ]
    letters = [mark.letter for mark in sheet.marks.values()]
    base = pen.chart(rows).encode(
        x=pen.x(),
        y=pen.y(),
        detail="stretch:N",
        order="order:Q",
        color=alt.Color(
            "letter:N",
            legend=None,
            scale=alt.Scale(domain=letters, range=[mark.ink for mark in sheet.marks.values()]),
        ),
    )
    halo = base.mark_line(strokeWidth=_PEN_PX + 2.4, strokeJoin="round", opacity=0.55).encode(
        color=alt.value(theme.PAPER)
    )
    hairline = base.mark_line(strokeWidth=0.9, strokeJoin="round")
    patterns = [list(mark.dashes) or [1, 0] for mark in sheet.marks.values()]
    patterned = base.mark_line(strokeWidth=_PEN_PX, strokeJoin="round").encode(
        strokeDash=alt.StrokeDash(
            "letter:N", legend=None, scale=alt.Scale(domain=letters, range=patterns)
        )
    )
    return [halo, hairline, patterned]


def _gas_marks(pen: Pen, sheet: ProfileSheet) -> list[Any]:
    """Set a letter in a shape wherever a gas begins."""
    if not sheet.gas_starts:
        return []
    alt = pen.alt
    drops = {mark.letter: mark.letter_drop for mark in sheet.marks.values()}
    rows = [pen.at(mark.x_px, mark.y_px) | {"letter": mark.letter} for mark in sheet.gas_starts]
    letters = [
        pen.at(mark.x_px, mark.y_px + 0.8 + drops[mark.letter] * sheets.MARK_PX)
        | {"letter": mark.letter}
        for mark in sheet.gas_starts
    ]
    marks = list(sheet.marks.values())
    domain = [mark.letter for mark in marks]
    shapes = (
        pen.chart(rows)
        .mark_point(
            filled=True,
            opacity=1.0,
            size=4 * sheets.MARK_PX**2,
            stroke=theme.PAPER,
            strokeWidth=1.4,
        )
        .encode(
            x=pen.x(),
            y=pen.y(),
            shape=alt.Shape(
                "letter:N",
                legend=None,
                scale=alt.Scale(domain=domain, range=[_outline(mark.corners) for mark in marks]),
            ),
            fill=alt.Fill(
                "letter:N",
                legend=None,
                scale=alt.Scale(domain=domain, range=[mark.ink for mark in marks]),
            ),
        )
    )
    text = (
        pen.chart(letters)
        .mark_text(fontSize=11, fontWeight="bold", color=theme.PAPER, baseline="middle")
        .encode(x=pen.x(), y=pen.y(), text="letter:N")
    )
    return [shapes, text]


def _outline(corners: tuple[theme.Point, ...]) -> str:
    if not corners:
        return _CIRCLE
    return "M" + "L".join(f"{x:g},{y:g}" for x, y in corners) + "Z"


def _hazards(pen: Pen, sheet: ProfileSheet) -> list[Any]:
    """Ring the hazards as charts do: dotted for a warning, full for a danger."""
    layers = []
    for severity, dashes in (("warning", [1.6, 2.6]), ("danger", [1, 0])):
        rows = [pen.at(r.x_px, r.y_px) for r in sheet.rings if r.severity.value == severity]
        if rows:
            layers.append(
                pen.chart(rows)
                .mark_point(
                    shape=_CIRCLE,
                    size=4 * sheets.RING_PX**2,
                    filled=False,
                    opacity=1.0,
                    stroke=theme.CAUTION,
                    strokeWidth=2.2,
                    strokeDash=dashes,
                )
                .encode(x=pen.x(), y=pen.y())
            )
    return layers


def _words(pen: Pen, sheet: ProfileSheet) -> list[Any]:
    broken = [w for w in sheet.words if w.over_line]
    layers = [
        pen.chart([pen.at(word.x_px, word.y_px) | {"text": word.text}])
        .mark_text(
            baseline="middle",
            align="center",
            **STYLES[word.style] | {"color": theme.PAPER},
            stroke=theme.PAPER,
            strokeWidth=4.0,
            strokeJoin="round",
            opacity=0.75,
        )
        .encode(x=pen.x(), y=pen.y(), text="text:N")
        for word in broken
    ]
    for style, look in STYLES.items():
        rows = [pen.at(w.x_px, w.y_px) | {"text": w.text} for w in sheet.words if w.style == style]
        if rows:
            layers.append(
                pen.chart(rows)
                .mark_text(baseline="middle", align="center", **look)
                .encode(x=pen.x(), y=pen.y(), text="text:N")
            )
    return layers
