"""The frame of a profile: how run time and depth become places on the sheet, and round ticks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from slatewright.paper.reading import in_depth_unit
from slatewright.paper.theme import DEPTH_TINTS

if TYPE_CHECKING:
    from slatewright.physics.units import UnitSystem

LEFT_PX: Final = 40.0
RIGHT_PX: Final = 18.0
TOP_PX: Final = 86.0
BOTTOM_PX: Final = 44.0
UNDER_DEEPEST_PX: Final = 46.0
"""Water left below the deepest level, for its label."""

_TIME_STEPS_MIN: Final = (1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480)
_DEPTH_STEPS: Final = (1, 2, 5, 10, 20, 30, 60, 100, 200)
_PX_PER_TIME_TICK: Final = 46.0


@dataclass(frozen=True, slots=True)
class Frame:
    """The plotting area.

    Parameters
    ----------
    width_px, height_px
        Size of the plotting area, without its margins [px].
    longest_min
        Run time at its right edge [min].
    deepest
        Depth at its lower edge, in the reader's unit [m or ft].
    """

    width_px: float
    height_px: float
    longest_min: float
    deepest: float

    def x_px(self, at_min: float) -> float:
        """Return the place of a run time.

        Parameters
        ----------
        at_min
            Run time [min].

        Returns
        -------
        float
            From the left of the plotting area [px].
        """
        return at_min / self.longest_min * self.width_px

    def y_px(self, depth: float) -> float:
        """Return the place of a depth.

        Parameters
        ----------
        depth
            Depth in the reader's unit [m or ft].

        Returns
        -------
        float
            From the surface, downward [px].
        """
        return depth / self.deepest * self.height_px

    def at_min(self, x_px: float) -> float:
        """Return the run time of a place.

        Parameters
        ----------
        x_px
            From the left of the plotting area [px].

        Returns
        -------
        float
            Run time [min].
        """
        return x_px / self.width_px * self.longest_min

    def depth(self, y_px: float) -> float:
        """Return the depth of a place.

        Parameters
        ----------
        y_px
            From the surface, downward [px].

        Returns
        -------
        float
            Depth in the reader's unit [m or ft].
        """
        return y_px / self.height_px * self.deepest

    @property
    def time_ticks_min(self) -> tuple[int, ...]:
        """Round run times, few enough to be read [min]."""
        most = max(2, int(self.width_px / _PX_PER_TIME_TICK))
        return _ticks(self.longest_min, _TIME_STEPS_MIN, most)

    @property
    def depth_ticks(self) -> tuple[int, ...]:
        """Round depths in the reader's unit, the isobaths [m or ft]."""
        return _ticks(self.deepest, _DEPTH_STEPS, len(DEPTH_TINTS) - 1)


def make_frame(
    runtime_min: float, deepest_m: float, units: UnitSystem, *, width_px: float, height_px: float
) -> Frame:
    """Make the frame of a dive.

    Parameters
    ----------
    runtime_min
        Run time of the dive [min].
    deepest_m
        Its greatest depth [m].
    units
        Metric or imperial.
    width_px, height_px
        Size of the whole picture [px].

    Returns
    -------
    Frame
        The plotting area, with a little time and water to spare.
    """
    plot_height_px = height_px - TOP_PX - BOTTOM_PX
    deepest = in_depth_unit(deepest_m, units)
    return Frame(
        width_px=width_px - LEFT_PX - RIGHT_PX,
        height_px=plot_height_px,
        longest_min=runtime_min * 1.01,
        deepest=deepest * plot_height_px / (plot_height_px - UNDER_DEEPEST_PX),
    )


def _ticks(longest: float, steps: tuple[int, ...], most: int) -> tuple[int, ...]:
    """Return the multiples of the smallest step of which there are not too many, zero included."""
    step = next((step for step in steps if longest // step <= most), math.ceil(longest / most))
    return tuple(range(0, math.floor(longest) + 1, step))
