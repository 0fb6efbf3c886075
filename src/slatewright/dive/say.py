"""Depths, rates and oxygen as sentences say them: in the plan's units, limits to the safe side.

Every text of this package that a diver may act on takes its figures from here, so that a limit is
never rounded past itself and an imperial plan never speaks metres.
"""

from __future__ import annotations

import math
from typing import Final

from slatewright.physics.units import (
    Side,
    UnitSystem,
    depth_label,
    feet_from_m,
    round_down,
    round_up,
)

_STEP: Final = {UnitSystem.METRIC: 0.1, UnitSystem.IMPERIAL: 1.0}
_SLACK: Final = 1e-9


def depth(depth_m: float, units: UnitSystem) -> str:
    """Return a depth that is a fact and no limit, to the nearest tenth.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader.
    """
    number = depth_m if units is UnitSystem.METRIC else feet_from_m(depth_m)
    return f"{round(number, 1) + 0.0:g} {units.depth_unit}"


def no_deeper(depth_m: float, units: UnitSystem) -> str:
    """Return a depth that is not to be exceeded, rounded towards the surface.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader: tenths of a metre, or whole feet.
    """
    return depth_label(depth_m, units, side=Side.SHALLOW, step=_STEP[units])


def no_shallower(depth_m: float, units: UnitSystem) -> str:
    """Return a depth above which a diver may not come, rounded away from the surface.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader: tenths of a metre, or whole feet.
    """
    return depth_label(depth_m, units, side=Side.DEEP, step=_STEP[units])


def rate(rate_m_per_min: float, units: UnitSystem) -> str:
    """Return a rate that is a fact and no limit, to the nearest tenth.

    Parameters
    ----------
    rate_m_per_min
        Rate of ascent or descent [m/min].
    units
        The units of the reader.
    """
    return f"{depth(rate_m_per_min, units)}/min"


def no_faster(rate_m_per_min: float, units: UnitSystem) -> str:
    """Return a rate that is not to be exceeded, rounded down.

    Parameters
    ----------
    rate_m_per_min
        Rate of ascent or descent [m/min].
    units
        The units of the reader: tenths of a metre, or whole feet.
    """
    return f"{no_deeper(rate_m_per_min, units)}/min"


def setpoint(bar: float) -> str:
    """Return a setpoint with at least one decimal, so that nobody takes it for a count.

    Parameters
    ----------
    bar
        The setpoint [bar].

    Returns
    -------
    str
        Such as ``1.0`` or ``1.25``.
    """
    text = f"{bar:.2f}"
    return text.removesuffix("0")


def oxygen_between(least: float, most: float) -> str:
    """Return a range of oxygen, each end rounded into the range.

    Parameters
    ----------
    least, most
        Mole fractions [-].

    Returns
    -------
    str
        Such as ``18 to 31 % oxygen``, in tenths where whole percent leave nothing; empty if there
        is no such mixture.
    """
    for step in (1.0, 0.1):
        low = max(step, round_up(least * 100.0, step))
        high = round_down(min(most, 1.0) * 100.0, step)
        if low <= high + _SLACK:
            same = math.isclose(low, high)
            return f"{high:.4g} % oxygen" if same else f"{low:.4g} to {high:.4g} % oxygen"
    return ""
