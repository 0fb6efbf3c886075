"""Named filters: how a template writes a number. Nothing is computed in a template.

Limits that a diver reads are rounded to the safe side; the filter's name says which that is.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

from slatewright.desk.board import board
from slatewright.paper.reading import depth_text, minutes_up
from slatewright.paper.theme import DEPTH_TINTS, mixture_name
from slatewright.physics.units import (
    Side,
    UnitSystem,
    depth_label,
    pressure_left_label,
    pressure_needed_label,
    round_up,
    volume_left_label,
    volume_needed_label,
)
from slatewright.sources.working import figure

_TINT_STEP_M: Final = 15.0
"""Each tint of the chart is as deep."""


def depth(depth_m: float, units: UnitSystem) -> str:
    """Return a depth as it was planned, with its unit: to the nearest tenth, not rounded away.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader.
    """
    return f"{depth_text(depth_m, units)} {units.depth_unit}"


def depth_number(depth_m: float, units: UnitSystem) -> str:
    """Return the same without the unit, for a sounding or a column with a head.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader.
    """
    return depth_text(depth_m, units)


def depth_not_deeper(depth_m: float, units: UnitSystem) -> str:
    """Return a depth that is not to be exceeded, rounded towards the surface.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader.
    """
    return depth_label(depth_m, units, side=Side.SHALLOW)


def depth_not_shallower(depth_m: float, units: UnitSystem) -> str:
    """Return a depth that is not to be passed on the way up, rounded away from the surface.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader.
    """
    return depth_label(depth_m, units, side=Side.DEEP)


def minutes(time_min: float) -> str:
    """Return minutes, rounded up to whole ones, without the unit.

    Parameters
    ----------
    time_min
        Minutes [min].
    """
    return str(minutes_up(time_min))


def percent_up(share_pct: float) -> str:
    """Return a share of a limit, rounded up to whole per cent; beyond every table it says so.

    Parameters
    ----------
    share_pct
        Share [%].
    """
    return f"{round(round_up(share_pct))} %" if math.isfinite(share_pct) else "beyond the table"


def hundredths_up(value: float) -> str:
    """Return a number that is bad when high, such as a ppO2 or a density, rounded up to 0.01.

    Parameters
    ----------
    value
        The number [any unit].
    """
    return f"{round_up(value, 0.01):.2f}"


def tenth(value: float) -> str:
    """Return a reading to one decimal, as analysers show it.

    Parameters
    ----------
    value
        The reading [any unit].
    """
    return f"{value:.1f}"


def tint(depth_m: float) -> str:
    """Return the class of the water's tint at a depth, from ``tint-1`` to ``tint-7``.

    Parameters
    ----------
    depth_m
        Depth [m].
    """
    band = min(int(depth_m / _TINT_STEP_M), len(DEPTH_TINTS) - 1)
    return f"tint-{band + 1}"


def day(moment: date) -> str:
    """Return a day with its name, such as ``Sunday 4 May``.

    Parameters
    ----------
    moment
        The day.
    """
    return f"{moment:%A} {moment.day} {moment:%B}"


def month(moment: date) -> str:
    """Return the first letters of a month, such as ``Sep``.

    Parameters
    ----------
    moment
        A day of it.
    """
    return f"{moment:%b}"


def weekday(moment: date) -> str:
    """Return the name of a day of the week.

    Parameters
    ----------
    moment
        The day.
    """
    return f"{moment:%A}"


def day_and_year(moment: date) -> str:
    """Return a day, such as ``4 May 2031``.

    Parameters
    ----------
    moment
        The day.
    """
    return f"{moment.day} {moment:%B} {moment.year}"


def clock_time(moment: datetime) -> str:
    """Return a moment in this machine's time, such as ``4 May 2031, 14:05``.

    Parameters
    ----------
    moment
        The moment, with its time zone.
    """
    here = moment.astimezone()
    return f"{day_and_year(here)}, {here:%H:%M}"


def money(amount: Decimal) -> str:
    """Return a sum of money without its currency, such as ``1,234.50``.

    Parameters
    ----------
    amount
        The sum, in whole cents or finer.
    """
    return f"{amount:,.2f}"


FILTERS: Final[dict[str, Callable[..., Any]]] = {
    "board": board,
    "clock_time": clock_time,
    "day": day,
    "day_and_year": day_and_year,
    "depth": depth,
    "depth_not_deeper": depth_not_deeper,
    "depth_not_shallower": depth_not_shallower,
    "depth_number": depth_number,
    "figure": figure,
    "gas": mixture_name,
    "hundredths_up": hundredths_up,
    "minutes": minutes,
    "money": money,
    "month": month,
    "percent_up": percent_up,
    "pressure_left": pressure_left_label,
    "pressure_needed": pressure_needed_label,
    "tenth": tenth,
    "tint": tint,
    "volume_left": volume_left_label,
    "volume_needed": volume_needed_label,
    "weekday": weekday,
}
