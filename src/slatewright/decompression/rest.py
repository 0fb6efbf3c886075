"""A surface interval: tensions fall, or rise, towards those of air at the surface."""

from __future__ import annotations

import math

from slatewright.decompression.board import tension_after_leg_bar
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.tissues import AIR_N2, WATER_VAPOUR_BAR, Tissues
from slatewright.errors import InputError


def rest_at_surface(
    tissues: Tissues, minutes: float, surface_bar: float, model: str = "ZH-L16C"
) -> Tissues:
    """Return tensions after a time at the surface, breathing air.

    Parameters
    ----------
    tissues
        On surfacing.
    minutes
        The surface interval [min].
    surface_bar
        Ambient pressure during it [bar].
    model
        Name of the coefficients, for their half-times.

    Returns
    -------
    Tissues
        At the end of the interval.

    Raises
    ------
    InputError
        If the interval is negative or no number.
    """
    if not 0.0 <= minutes < math.inf:
        raise InputError(f"a surface interval of {minutes} min is none", right="0 min or more")
    table = coefficients(model)
    n2_in_bar = (surface_bar - WATER_VAPOUR_BAR) * AIR_N2
    return Tissues(
        _towards(tissues.n2_bar, n2_in_bar, minutes, table.n2_half_time_min),
        _towards(tissues.he_bar, 0.0, minutes, table.he_half_time_min),
    )


def _towards(
    tensions_bar: tuple[float, ...],
    inspired_bar: float,
    minutes: float,
    half_times_min: tuple[float, ...],
) -> tuple[float, ...]:
    return tuple(
        tension_after_leg_bar(bar, inspired_bar, 0.0, minutes, half_time_min)
        for bar, half_time_min in zip(tensions_bar, half_times_min, strict=True)
    )
