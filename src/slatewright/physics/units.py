"""Metric and imperial as equals: conversions, and labels that round to the safe side.

The factors follow from four exact definitions of [NIST811]: foot, inch, pound and standard gravity.
"""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.constants import (
    PASCAL_PER_BAR,
    STANDARD_ATMOSPHERE_BAR,
    STANDARD_GRAVITY_M_PER_S2,
)

METRES_PER_FOOT: Final = 0.3048
"""Exact by definition [NIST811]."""

_INCHES_PER_FOOT: Final = 12
METRES_PER_INCH: Final = METRES_PER_FOOT / _INCHES_PER_FOOT
"""Exact by definition [NIST811]."""

KG_PER_POUND: Final = 0.45359237
"""Exact by definition [NIST811]."""

BAR_PER_PSI: Final = KG_PER_POUND * STANDARD_GRAVITY_M_PER_S2 / METRES_PER_INCH**2 / PASCAL_PER_BAR
"""Pound-force per square inch, 0.06894757 [NIST811]."""

LITRES_PER_CUBIC_FOOT: Final = METRES_PER_FOOT**3 * 1000.0
"""28.316846592, exact by definition [NIST811]."""

FSW_PER_ATM_ROUND: Final = 33.0
"""Feet of sea water per atmosphere as most tables and handbooks count (common practice)."""

FSW_PER_ATM_NAVY: Final = 33.08
"""Feet of sea water per atmosphere as some Navy tables count (from memory)."""

_SLACK: Final = 1e-6
# Rounding treats a number as on a mark when it misses it by a millionth of a step: a depth of 40 m
# that came out of arithmetic as 39.999 999 999 9 m is 40 m and not 39.


class UnitSystem(StrEnum):
    """The units in which a person reads and writes."""

    METRIC = "metric"
    IMPERIAL = "imperial"

    @property
    def depth_unit(self) -> str:
        """Sign of the unit of depth."""
        return "m" if self is UnitSystem.METRIC else "ft"

    @property
    def pressure_unit(self) -> str:
        """Sign of the unit of pressure."""
        return "bar" if self is UnitSystem.METRIC else "psi"

    @property
    def volume_unit(self) -> str:
        """Sign of the unit of free gas."""
        return "L" if self is UnitSystem.METRIC else "cu ft"


class Side(StrEnum):
    """The side to which a depth is rounded: towards the surface or away from it."""

    SHALLOW = "shallow"
    DEEP = "deep"


def feet_from_m(depth_m: float) -> float:
    """Return a length in feet.

    Parameters
    ----------
    depth_m
        Depth or length [m].
    """
    return depth_m / METRES_PER_FOOT


def m_from_feet(depth_ft: float) -> float:
    """Return a length in metres.

    Parameters
    ----------
    depth_ft
        Depth or length [ft].
    """
    return depth_ft * METRES_PER_FOOT


def psi_from_bar(pressure_bar: float) -> float:
    """Return a pressure in pounds per square inch; gauge stays gauge, absolute stays absolute.

    Parameters
    ----------
    pressure_bar
        Pressure [bar].
    """
    return pressure_bar / BAR_PER_PSI


def bar_from_psi(pressure_psi: float) -> float:
    """Return a pressure in bar; gauge stays gauge, absolute stays absolute.

    Parameters
    ----------
    pressure_psi
        Pressure [psi].
    """
    return pressure_psi * BAR_PER_PSI


def cubic_feet_from_l(volume_l: float) -> float:
    """Return a volume in cubic feet.

    Parameters
    ----------
    volume_l
        Volume [L].
    """
    return volume_l / LITRES_PER_CUBIC_FOOT


def l_from_cubic_feet(volume_cu_ft: float) -> float:
    """Return a volume in litres.

    Parameters
    ----------
    volume_cu_ft
        Volume [cu ft].
    """
    return volume_cu_ft * LITRES_PER_CUBIC_FOOT


def pounds_from_kg(mass_kg: float) -> float:
    """Return a mass in pounds, by the definition of [NIST811].

    Parameters
    ----------
    mass_kg
        Mass [kg].
    """
    return mass_kg / KG_PER_POUND


def kg_from_pounds(mass_lb: float) -> float:
    """Return a mass in kilograms, by the definition of [NIST811].

    Parameters
    ----------
    mass_lb
        Mass [lb].
    """
    return mass_lb * KG_PER_POUND


def fsw_from_bar(gauge_bar: float, fsw_per_atm: float) -> float:
    """Return a gauge pressure in feet of sea water, a unit of pressure.

    Parameters
    ----------
    gauge_bar
        Pressure above that of the surface [bar].
    fsw_per_atm
        Feet of sea water per standard atmosphere as the source at hand counts; sources differ, so
        there is no default: `FSW_PER_ATM_ROUND`, `FSW_PER_ATM_NAVY` [fsw/atm].
    """
    return gauge_bar / STANDARD_ATMOSPHERE_BAR * fsw_per_atm


def bar_from_fsw(depth_fsw: float, fsw_per_atm: float) -> float:
    """Return feet of sea water as a gauge pressure.

    Parameters
    ----------
    depth_fsw
        Pressure in feet of sea water [fsw].
    fsw_per_atm
        Feet of sea water per standard atmosphere as the source at hand counts [fsw/atm].
    """
    return depth_fsw / fsw_per_atm * STANDARD_ATMOSPHERE_BAR


def round_down(value: float, step: float = 1.0) -> float:
    """Round down to a multiple of a step; a millionth of a step is forgiven.

    Parameters
    ----------
    value
        The number, in any unit [same unit as step].
    step
        The step [same unit as value].
    """
    return math.floor(_finite(value) / step + _SLACK) * step


def round_up(value: float, step: float = 1.0) -> float:
    """Round up to a multiple of a step; a millionth of a step is forgiven.

    Parameters
    ----------
    value
        The number, in any unit [same unit as step].
    step
        The step [same unit as value].
    """
    return math.ceil(_finite(value) / step - _SLACK) * step


def depth_label(
    depth_m: float, units: UnitSystem, *, side: Side = Side.SHALLOW, step: float = 1.0
) -> str:
    """Return a limit of depth as a diver reads it, rounded to the safe side.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader.
    side
        ``SHALLOW`` for a depth not to be exceeded (operating depth, density limit), ``DEEP`` for
        one not to be passed on the way up (hypoxic floor, ceiling).
    step
        What is rounded to, in the reader's unit [m or ft].

    Returns
    -------
    str
        Such as ``57 m`` or ``187 ft``.

    Raises
    ------
    InputError
        If the depth is negative or no number.
    """
    if not depth_m >= -_SLACK:
        raise InputError(f"{depth_m:g} m is no depth under water", right="zero or more")
    number = depth_m if units is UnitSystem.METRIC else feet_from_m(depth_m)
    rounded = round_down(number, step) if side is Side.SHALLOW else round_up(number, step)
    return f"{_plain(rounded)} {units.depth_unit}"


def pressure_needed_label(gauge_bar: float, units: UnitSystem) -> str:
    """Return a pressure that a diver must have, rounded up.

    Parameters
    ----------
    gauge_bar
        Pressure as a gauge shows it [bar].
    units
        The units of the reader: whole bar, or 10 psi.
    """
    return _pressure_label(gauge_bar, units, up=True)


def pressure_left_label(gauge_bar: float, units: UnitSystem) -> str:
    """Return a pressure that a diver will have left, rounded down.

    Parameters
    ----------
    gauge_bar
        Pressure as a gauge shows it [bar].
    units
        The units of the reader: whole bar, or 10 psi.
    """
    return _pressure_label(gauge_bar, units, up=False)


def volume_needed_label(free_l: float, units: UnitSystem) -> str:
    """Return an amount of free gas that a diver must have, rounded up.

    Parameters
    ----------
    free_l
        Free gas [L].
    units
        The units of the reader: whole litres, or tenths of a cubic foot.
    """
    return _volume_label(free_l, units, up=True)


def volume_left_label(free_l: float, units: UnitSystem) -> str:
    """Return an amount of free gas that a diver will have left, rounded down.

    Parameters
    ----------
    free_l
        Free gas [L].
    units
        The units of the reader: whole litres, or tenths of a cubic foot.
    """
    return _volume_label(free_l, units, up=False)


def _pressure_label(gauge_bar: float, units: UnitSystem, *, up: bool) -> str:
    metric = units is UnitSystem.METRIC
    number, step = (gauge_bar, 1.0) if metric else (psi_from_bar(gauge_bar), 10.0)
    rounded = round_up(number, step) if up else round_down(number, step)
    return f"{_plain(rounded)} {units.pressure_unit}"


def _volume_label(free_l: float, units: UnitSystem, *, up: bool) -> str:
    metric = units is UnitSystem.METRIC
    number, step = (free_l, 1.0) if metric else (cubic_feet_from_l(free_l), 0.1)
    rounded = round_up(number, step) if up else round_down(number, step)
    return f"{_plain(rounded)} {units.volume_unit}"


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise InputError(f"{value} cannot be rounded", right="a finite number")
    return value


def _plain(value: float) -> str:
    """Return a rounded number without the dust of binary fractions, and never as -0."""
    return f"{round(value, 6) + 0.0:.10g}"
