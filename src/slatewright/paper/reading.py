"""How a number is written for the person who reads it: in their unit, without false digits."""

from __future__ import annotations

from slatewright.physics.units import UnitSystem, feet_from_m, round_down, round_up


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
