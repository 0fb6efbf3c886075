"""Pressures and amounts as the sentences of this package say them: in the units of the room."""

from __future__ import annotations

from slatewright.physics.units import (
    UnitSystem,
    cubic_feet_from_l,
    psi_from_bar,
    round_down,
)

__all__ = ["free", "gauge", "up_to"]
_WHOLE = 1.0
_ROUND_PSI = 10.0


def gauge(gauge_bar: float, units: UnitSystem) -> str:
    """Return a pressure on a gauge with its unit: to the tenth of a bar, or whole psi.

    Parameters
    ----------
    gauge_bar
        The pressure [bar].
    units
        The units of the room.
    """
    if units is UnitSystem.METRIC:
        return f"{round(gauge_bar, 1) + 0.0:g} bar"
    return f"{psi_from_bar(gauge_bar) + 0.0:.0f} psi"


def up_to(gauge_bar: float, units: UnitSystem) -> str:
    """Return a pressure that can be reached, rounded down to whole bar or ten psi.

    Parameters
    ----------
    gauge_bar
        The pressure [bar].
    units
        The units of the room.
    """
    if units is UnitSystem.METRIC:
        return f"{round_down(gauge_bar, _WHOLE):.0f} bar"
    return f"{round_down(psi_from_bar(gauge_bar), _ROUND_PSI):.0f} psi"


def free(free_l: float, units: UnitSystem) -> str:
    """Return an amount of free gas with its unit.

    Parameters
    ----------
    free_l
        Free gas [L].
    units
        The units of the room.
    """
    if units is UnitSystem.METRIC:
        return f"{free_l:.0f} L"
    return f"{cubic_feet_from_l(free_l):.1f} cu ft"
