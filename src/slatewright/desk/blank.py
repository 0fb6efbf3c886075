"""A blank sheet: the least that a plan can say, to be written over."""

from __future__ import annotations

from typing import Final

from slatewright.physics.units import UnitSystem

_METRIC: Final = """\
schema = "slatewright/plan/1"
title = "New dive"
units = "metric"

[[gas]]
mix = "21/35"
use = "bottom"

[[gas]]
mix = "EAN50"
use = "decompression"

[[level]]
depth_m = 45
leave_at_min = 20
"""
_IMPERIAL: Final = """\
schema = "slatewright/plan/1"
title = "New dive"
units = "imperial"

[[gas]]
mix = "21/35"
use = "bottom"

[[gas]]
mix = "EAN50"
use = "decompression"

[[level]]
depth_ft = 150
leave_at_min = 20
"""


def blank_plan(units: UnitSystem) -> str:
    """Return the text of a plan to begin with.

    Parameters
    ----------
    units
        The units in which it is written.
    """
    return _METRIC if units is UnitSystem.METRIC else _IMPERIAL
