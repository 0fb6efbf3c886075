"""The profile on the page, drawn from the sheet that paper draws from.

The Altair chart of `slatewright.paper.profile_chart` is the same sheet on paper; making its
specification alone takes longer than a page may, so the page sets the sheet as SVG itself.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

from slatewright.desk.bench import svg
from slatewright.paper import profile_frame as frames
from slatewright.paper import profile_sheet as sheets
from slatewright.paper.reading import minutes_up
from slatewright.paper.theme import DEPTH_TINTS, GasMark, gas_marks

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from markupsafe import Markup

    from slatewright.dive.schedule import Schedule
    from slatewright.paper.profile_parts import ProfileSheet
    from slatewright.physics.mixture import Mixture

HEIGHT_PX: Final = 430
NARROW_HEIGHT_PX: Final = 400
NARROW_UNDER_PX: Final = 560
TOP_PX: Final = 42.0
"""Less than on paper, where title and model stand above the water."""
INKS: Final = 6


def marks_of(dive: Schedule) -> dict[Mixture, GasMark]:
    """Return the mark of each gas of a dive, the same as on paper.

    Parameters
    ----------
    dive
        The dive.
    """
    return gas_marks([gas.mix for gas in dive.plan.gases] + [leg.gas for leg in dive.legs])


def ink_of(mark: GasMark) -> str:
    """Return the class of a gas's ink.

    Parameters
    ----------
    mark
        Its mark.
    """
    return f"ink-{(ord(mark.letter) - ord('A')) % INKS + 1}"


def frame_of(dive: Schedule, width_px: float) -> frames.Frame:
    """Return the frame of a dive's profile on the page.

    Parameters
    ----------
    dive
        The dive.
    width_px
        Width of the whole picture [px].
    """
    height_px = NARROW_HEIGHT_PX if width_px < NARROW_UNDER_PX else HEIGHT_PX
    return frames.make_frame(
        dive.runtime_min,
        max(leg.to_m for leg in dive.legs),
        dive.plan.units,
        width_px=width_px,
        height_px=height_px + frames.TOP_PX - TOP_PX,
    )


def profile_picture(dive: Schedule, width_px: float) -> Markup:
    """Draw the profile of a dive.

    Parameters
    ----------
    dive
        The dive.
    width_px
        Width of the whole picture [px].

    Returns
    -------
    Markup
        An SVG element whose inks are classes.
    """
    frame = frame_of(dive, width_px)
    sheet = sheets.profile_sheet(dive, frame)
    drawn = (
        *_axes(frame, dive),
        *_water(frame),
        *_ceiling(sheet),
        *_stretches(sheet),
        *_rings(sheet),
        *_gas_marks(sheet),
        *_words(sheet),
    )
    inside = (f'<g transform="translate({svg.number(frames.LEFT_PX)} {svg.number(TOP_PX)})">',)
    height_px = frame.height_px + TOP_PX + frames.BOTTOM_PX
    return svg.picture("profile", width_px, height_px, _said(dive), (*inside, *drawn, "</g>"))


def mark_picture(mark: GasMark) -> Markup:
    """Draw the mark of a gas by itself, to stand in a line of text.

    Parameters
    ----------
    mark
        The mark.
    """
    return svg.whole(
        f'<svg class="mark-of {ink_of(mark)}" viewBox="-11 -11 22 22" width="22" height="22" '
        f'aria-hidden="true">{_mark(mark, 0.0, 0.0)}</svg>'
    )


def pattern_picture(mark: GasMark) -> Markup:
    """Draw the line of a gas by itself, for a legend.

    Parameters
    ----------
    mark
        The mark.
    """
    return svg.whole(
        f'<svg class="pattern-of {ink_of(mark)}" viewBox="0 0 48 8" width="48" height="8" '
        f'aria-hidden="true"><path class="hair" d="M0 4L48 4"/>'
        f'<path class="pen" d="M0 4L48 4"{_dashes(mark)}/></svg>'
    )


def _said(dive: Schedule) -> str:
    gases = ", ".join(f"{mark.letter} {mix}" for mix, mark in marks_of(dive).items())
    return (
        f"Depth against run time of the dive {dive.plan.title}: "
        f"{minutes_up(dive.runtime_min)} minutes, gases {gases}. "
        "The schedule has the same in figures."
    )


def _axes(frame: frames.Frame, dive: Schedule) -> Iterator[str]:
    for minute in frame.time_ticks_min:
        x_px = frame.x_px(minute)
        yield svg.line("tick", x_px, frame.height_px, x_px, frame.height_px + 4.0)
        yield svg.text("axis mid", x_px, frame.height_px + 14.0, str(minute))
    for depth in frame.depth_ticks:
        yield svg.text("axis end", -7.0, frame.y_px(depth), str(depth))
    unit = dive.plan.units.depth_unit
    words = f"depth in {unit}, run time in min"
    yield svg.text("axis end", frame.width_px, frame.height_px + 33.0, words)


def _water(frame: frames.Frame) -> Iterator[str]:
    edges = [*frame.depth_ticks, frame.deepest]
    deepen = (len(DEPTH_TINTS) - 1) / max(1, len(edges) - 2)
    for index, (top, under) in enumerate(pairwise(edges)):
        tint = f"tint-{round(index * deepen) + 1}"
        yield svg.rect(tint, 0.0, frame.y_px(top), frame.width_px, frame.y_px(under))
    for top in edges[1:-1]:
        yield svg.line("isobath", 0.0, frame.y_px(top), frame.width_px, frame.y_px(top))


def _ceiling(sheet: ProfileSheet) -> Iterator[str]:
    frame = sheet.frame
    shore = [
        (frame.x_px(at_min), min(frame.y_px(depth), frame.height_px))
        for at_min, depth in _thinned(sheet.ceiling)
    ]
    if any(y_px > 0.0 for _, y_px in shore):
        along = svg.corners(shore)
        ends = [svg.corners([(shore[end][0], 0.0)]) for end in (0, -1)]
        yield svg.path("land", f"{ends[0]}L{along}L{ends[1]}", closed=True)
        yield svg.path("shore", along)
    yield svg.line("surface", 0.0, 0.0, frame.width_px, 0.0)


def _thinned(points: Iterable[svg.Point]) -> list[svg.Point]:
    """Leave out points of the surface between others of it."""
    kept: list[svg.Point] = []
    for point in points:
        if len(kept) > 1 and kept[-1][1] == kept[-2][1] == point[1]:
            kept[-1] = point
        else:
            kept.append(point)
    return kept


def _stretches(sheet: ProfileSheet) -> Iterator[str]:
    frame, by_letter = sheet.frame, {mark.letter: mark for mark in sheet.marks.values()}
    lines = [
        (
            by_letter[stretch.letter],
            svg.corners((frame.x_px(x), frame.y_px(y)) for x, y in stretch.points),
        )
        for stretch in sheet.stretches
    ]
    for _, corners in lines:
        yield svg.path("halo", corners)
    for mark, corners in lines:
        yield svg.path(f"hair {ink_of(mark)}", corners)
        yield svg.path(f"pen {ink_of(mark)}", corners, more=_dashes(mark))


def _dashes(mark: GasMark) -> str:
    lengths = " ".join(f"{length:g}" for length in mark.dashes)
    return f' stroke-dasharray="{lengths}"' if lengths else ""


def _rings(sheet: ProfileSheet) -> Iterator[str]:
    for ring in sheet.rings:
        yield svg.shape(f"ring {ring.severity}", (), ring.x_px, ring.y_px, sheets.RING_PX)


def _gas_marks(sheet: ProfileSheet) -> Iterator[str]:
    by_letter = {mark.letter: mark for mark in sheet.marks.values()}
    for start in sheet.gas_starts:
        mark = by_letter[start.letter]
        yield f'<g class="{ink_of(mark)}">{_mark(mark, start.x_px, start.y_px)}</g>'


def _mark(mark: GasMark, x_px: float, y_px: float) -> str:
    drop_px = 0.8 + mark.letter_drop * sheets.MARK_PX
    return svg.shape("mark-shape", mark.corners, x_px, y_px, sheets.MARK_PX) + svg.text(
        "mark-letter mid", x_px, y_px + drop_px, mark.letter
    )


def _words(sheet: ProfileSheet) -> Iterator[str]:
    for word in sheet.words:
        broken = " broken" if word.over_line else ""
        yield svg.text(f"word-{word.style} mid{broken}", word.x_px, word.y_px, word.text)
