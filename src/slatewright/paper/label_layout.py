"""Where a label may stand: first come, first placed, never over another, never over a line."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from slatewright.paper.letter_widths import text_width_em

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

_ROOM_PX: Final = 2.0
"""Air beside a line of text [px]."""
_SET_WIDER: Final = 1.03
"""What a renderer may set a line wider by than the sum of its letters [-]."""
_LINE_EM: Final = 1.2
_SAMPLE_PX: Final = 3.0
_BAND_PX: Final = 24.0


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle.

    Parameters
    ----------
    left_px, top_px, right_px, bottom_px
        Its sides, y downward [px].
    """

    left_px: float
    top_px: float
    right_px: float
    bottom_px: float

    @classmethod
    def around(cls, x_px: float, y_px: float, width_px: float, height_px: float) -> Box:
        """Return the box of this size round a centre.

        Parameters
        ----------
        x_px, y_px
            The centre [px].
        width_px, height_px
            The size [px].

        Returns
        -------
        Box
            The box.
        """
        return cls(
            x_px - width_px / 2, y_px - height_px / 2, x_px + width_px / 2, y_px + height_px / 2
        )

    @property
    def x_px(self) -> float:
        """Centre, from the left [px]."""
        return (self.left_px + self.right_px) / 2

    @property
    def y_px(self) -> float:
        """Centre, from the top [px]."""
        return (self.top_px + self.bottom_px) / 2

    def meets(self, other: Box) -> bool:
        """Tell whether two boxes share any of their inside.

        Parameters
        ----------
        other
            The other box.

        Returns
        -------
        bool
            True if they do.
        """
        return (
            self.left_px < other.right_px
            and other.left_px < self.right_px
            and self.top_px < other.bottom_px
            and other.top_px < self.bottom_px
        )

    def holds(self, other: Box) -> bool:
        """Tell whether the other box lies within this one.

        Parameters
        ----------
        other
            The other box.

        Returns
        -------
        bool
            True if it does.
        """
        return (
            self.left_px <= other.left_px
            and self.top_px <= other.top_px
            and self.right_px >= other.right_px
            and self.bottom_px >= other.bottom_px
        )


def text_size_px(text: str, font_px: float) -> tuple[float, float]:
    """Return the room that a line of text takes, on the large side.

    Parameters
    ----------
    text
        One line.
    font_px
        Size of the type [px].

    Returns
    -------
    tuple[float, float]
        Width and height [px].
    """
    return text_width_em(text) * font_px * _SET_WIDER + _ROOM_PX, _LINE_EM * font_px


def places_around(
    x_px: float, y_px: float, size_px: tuple[float, float], gap_px: float, order: str
) -> list[Box]:
    """Return the places round a point where a label of this size might stand.

    Parameters
    ----------
    x_px, y_px
        The point [px].
    size_px
        Width and height of the label [px].
    gap_px
        Clear distance to the point [px].
    order
        Points of the compass, the best first, such as ``"SE S E"``.

    Returns
    -------
    list[Box]
        A box for each point of the compass, in that order.
    """
    width_px, height_px = size_px
    boxes = []
    for point in order.split():
        across = ("E" in point) - ("W" in point)
        down = ("S" in point) - ("N" in point)
        # on a diagonal the corner of the box faces the point, at the same clear distance
        gap = gap_px if across == 0 or down == 0 else gap_px * math.sqrt(0.5)
        boxes.append(
            Box.around(
                x_px + across * (gap + width_px / 2),
                y_px + down * (gap + height_px / 2),
                width_px,
                height_px,
            )
        )
    return boxes


class Boxes:
    """Boxes on a sheet, kept by upright bands so that those near a place are found at once."""

    def __init__(self) -> None:
        self._bands: dict[int, list[tuple[float, float, float, float]]] = {}

    def append(self, box: Box) -> None:
        """Add a box.

        Parameters
        ----------
        box
            The box.
        """
        sides = (box.left_px, box.top_px, box.right_px, box.bottom_px)
        for band in _bands(box.left_px, box.right_px):
            self._bands.setdefault(band, []).append(sides)

    def extend(self, boxes: Iterable[Box]) -> None:
        """Add boxes.

        Parameters
        ----------
        boxes
            The boxes.
        """
        for box in boxes:
            self.append(box)

    def meet(self, box: Box) -> bool:
        """Tell whether one of them shares any of its inside with a box.

        Parameters
        ----------
        box
            The box.
        """
        left, top, right, bottom = box.left_px, box.top_px, box.right_px, box.bottom_px
        for band in _bands(left, right):  # plain loops: asked thousands of times for one chart
            for x0, y0, x1, y1 in self._bands.get(band, ()):
                if left < x1 and x0 < right and top < y1 and y0 < bottom:
                    return True
        return False


def _add(box: Box, kinds: Iterable[Boxes]) -> None:
    for boxes in kinds:
        boxes.append(box)


def _bands(left_px: float, right_px: float) -> range:
    return range(math.floor(left_px / _BAND_PX), math.floor(right_px / _BAND_PX) + 1)


@dataclass(slots=True)
class Sheet:
    """What is already drawn.

    Parameters
    ----------
    bounds
        Nothing may stand outside.
    taken
        Boxes that nothing may touch.
    avoided
        Boxes that a label touches only if it finds no better place.
    breaking
        Those of them that are drawn broken behind a label.
    """

    bounds: Box
    taken: Boxes = field(default_factory=Boxes)
    avoided: Boxes = field(default_factory=Boxes)
    breaking: Boxes = field(default_factory=Boxes)

    def draw_line(
        self, points_px: Sequence[tuple[float, float]], pen_px: float, *, faint: bool = False
    ) -> None:
        """Keep a line free of labels.

        Parameters
        ----------
        points_px
            Its corners [px].
        pen_px
            Its width, with the distance to keep [px].
        faint
            True for a line that may be written over where there is no other place.
        """
        kinds = (self.avoided, self.breaking) if faint else (self.taken,)
        next_px = 0.0  # from the corner at hand to the next box
        for (x0, y0), (x1, y1) in pairwise(points_px):
            if x0 == x1 or y0 == y1:  # then all boxes along it make one
                width_px, height_px = pen_px + abs(x1 - x0), pen_px + abs(y1 - y0)
                _add(Box.around((x0 + x1) / 2, (y0 + y1) / 2, width_px, height_px), kinds)
                next_px = _SAMPLE_PX
                continue
            length_px = math.hypot(x1 - x0, y1 - y0)
            while next_px <= length_px:
                share = next_px / length_px
                x_px, y_px = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
                _add(Box.around(x_px, y_px, pen_px, pen_px), kinds)
                next_px += _SAMPLE_PX
            next_px -= length_px
        if points_px:
            _add(Box.around(*points_px[-1], pen_px, pen_px), kinds)

    def breaks_line(self, box: Box) -> bool:
        """Tell whether a faint line runs behind a box, so that it is to be drawn broken there.

        Parameters
        ----------
        box
            The box.

        Returns
        -------
        bool
            True if one does.
        """
        return self.breaking.meet(box)

    def is_free(self, box: Box) -> bool:
        """Tell whether a box lies within bounds and touches nothing.

        Parameters
        ----------
        box
            The box.

        Returns
        -------
        bool
            True if it does.
        """
        return self.bounds.holds(box) and not self.taken.meet(box)

    def place(self, places: Iterable[Box]) -> Box | None:
        """Take the first place that is free.

        Parameters
        ----------
        places
            Places, the best first.

        Returns
        -------
        Box or None
            The place taken; None if none is free, and then the label is left out.
        """
        found: Box | None = None
        for box in places:
            if self.is_free(box):
                if not self.avoided.meet(box):
                    found = box
                    break
                found = found or box
        if found is not None:
            self.taken.append(found)
        return found
