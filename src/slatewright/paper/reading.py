"""How a number is written for the person who reads it: in their unit, without false digits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slatewright.dive import say
from slatewright.physics.constants import ZERO_CELSIUS_K
from slatewright.physics.units import (
    UnitSystem,
    cubic_feet_from_l,
    feet_from_m,
    psi_from_bar,
    round_down,
    round_up,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from slatewright.dive.loop import Setpoint


def in_depth_unit(depth_m: float, units: UnitSystem) -> float:
    """Return a depth in the reader's unit.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        Metric or imperial.

    Returns
    -------
    float
        Depth [m or ft].
    """
    return depth_m if units is UnitSystem.METRIC else feet_from_m(depth_m)


def depth_text(depth_m: float, units: UnitSystem) -> str:
    """Write a depth without its unit: whole where it is whole, else to the nearest tenth.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        Metric or imperial.

    Returns
    -------
    str
        ``21``, ``4.5``, ``70``.
    """
    return f"{round(in_depth_unit(depth_m, units), 1):g}"


def setpoints_text(setpoints: Iterable[Setpoint], units: UnitSystem, start: str) -> str:
    """Write the setpoints of a way, each with the depth from which it holds.

    Parameters
    ----------
    setpoints
        In the order in which they come.
    units
        Metric or imperial.
    start
        Where the first one begins, such as ``the surface``.

    Returns
    -------
    str
        ``0.7 bar from the surface, 1.0 bar from 20 m``.
    """
    return ", ".join(
        f"{say.setpoint(one.bar)} bar from "
        + (start if one.from_m is None else f"{depth_text(one.from_m, units)} {units.depth_unit}")
        for one in setpoints
    )


def minutes_up(minutes: float) -> int:
    """Round minutes up to whole ones; a crumb above a whole minute is no minute.

    Parameters
    ----------
    minutes
        Minutes [min].

    Returns
    -------
    int
        Whole minutes [min].
    """
    return round(round_up(minutes))


def minutes_down(minutes: float) -> int:
    """Round minutes down to whole ones; a crumb below a whole minute is no minute.

    Parameters
    ----------
    minutes
        Minutes [min].

    Returns
    -------
    int
        Whole minutes [min].
    """
    return round(round_down(minutes))


def gauge_text(gauge_bar: float, units: UnitSystem) -> str:
    """Write a pressure that is filled to, without its unit: to the tenth of a bar, or whole psi.

    Parameters
    ----------
    gauge_bar
        Pressure on the gauge [bar].
    units
        The units of the gauge.

    Returns
    -------
    str
        To the nearest, as a recipe is missed by too much as by too little: ``96.4``, ``1398``.
    """
    if units is UnitSystem.METRIC:
        return f"{gauge_bar + 0.0:.1f}"
    return f"{psi_from_bar(gauge_bar) + 0.0:.0f}"


def free_text(free_l: float, units: UnitSystem) -> str:
    """Write an amount of free gas with its unit, to the nearest litre or tenth of a cubic foot.

    Parameters
    ----------
    free_l
        Free gas [L].
    units
        The units of the reader.

    Returns
    -------
    str
        ``1,987 L`` or ``70.2 cu ft``.
    """
    if units is UnitSystem.METRIC:
        return f"{free_l:,.0f} L"
    return f"{cubic_feet_from_l(free_l):,.1f} cu ft"


def temperature_text(temperature_k: float, units: UnitSystem) -> str:
    """Write a temperature with its unit, whole degrees.

    Parameters
    ----------
    temperature_k
        Temperature [K].
    units
        The units of the reader.

    Returns
    -------
    str
        ``26 °C`` or ``79 °F``.
    """
    celsius = temperature_k - ZERO_CELSIUS_K
    if units is UnitSystem.METRIC:
        return f"{celsius + 0.0:.0f} °C"
    return f"{celsius * 1.8 + 32.0:.0f} °F"
