"""Air pressure at altitude: the standard atmosphere of ISO 2533 and ICAO, up to 11 km."""

from __future__ import annotations

import math
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.constants import (
    AIR_G_PER_MOL,
    STANDARD_ATMOSPHERE_BAR,
    STANDARD_GRAVITY_M_PER_S2,
)
from slatewright.sources import Symbol, formula

EARTH_RADIUS_M: Final = 6_356_766.0
"""Nominal radius by which the standard turns metres into geopotential metres [ISO2533]."""

SEA_LEVEL_K: Final = 288.15
"""Temperature of the standard atmosphere at sea level [ISO2533]."""

LAPSE_K_PER_M: Final = 0.0065
"""Fall of temperature with geopotential altitude, up to 11 km [ISO2533]."""

_ISO_GAS_CONSTANT_J_PER_KMOL_K: Final = 8314.32
# The standard's own gas constant, older than CODATA's: its tables come out only with this one.
AIR_J_PER_KG_K: Final = _ISO_GAS_CONSTANT_J_PER_KMOL_K / AIR_G_PER_MOL
"""Specific gas constant of air, 287.05287 [ISO2533]."""

LOWEST_ALTITUDE_M: Final = -500.0
HIGHEST_ALTITUDE_M: Final = 5000.0


@formula(
    name="geopotential-altitude",
    title="Geopotential altitude of a place at a geometric altitude",
    equation="H = r·h / (r + h)",
    result=Symbol("H", "m", "geopotential altitude"),
    symbols={"altitude_m": Symbol("h", "m", "altitude above sea level, as on a map", -5000, 11019)},
    source=("[ISO2533]", "[ICAO7488]"),
)
def geopotential_altitude_m(altitude_m: float) -> float:
    """Return the geopotential altitude.

    Parameters
    ----------
    altitude_m
        Geometric altitude above sea level, as on a map [m].

    Returns
    -------
    float
        Geopotential altitude [m].
    """
    return EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m)


@formula(
    name="standard-atmosphere",
    title="Air pressure of the standard atmosphere",
    equation="p_s = 1.01325·((288.15 - 0.0065·H) / 288.15)^(9.80665 / (287.05287·0.0065))",
    result=Symbol("p_s", "bar", "ambient pressure at the surface"),
    symbols={"geopotential_m": Symbol("H", "m", "geopotential altitude", -5000.0, 11000.0)},
    source=("[ISO2533]", "[ICAO7488]"),
    valid="from 5 km below sea level to 11 km above, in geopotential metres; a mean: weather moves "
    "the true pressure by some 3 %",
)
def standard_atmosphere_bar(geopotential_m: float) -> float:
    """Return the air pressure of the standard atmosphere.

    Parameters
    ----------
    geopotential_m
        Geopotential altitude [m].

    Returns
    -------
    float
        Pressure [bar].
    """
    temperature_k = SEA_LEVEL_K - LAPSE_K_PER_M * geopotential_m
    exponent = STANDARD_GRAVITY_M_PER_S2 / (AIR_J_PER_KG_K * LAPSE_K_PER_M)
    return STANDARD_ATMOSPHERE_BAR * math.pow(temperature_k / SEA_LEVEL_K, exponent)


def surface_pressure_bar(altitude_m: float) -> float:
    """Return the ambient pressure at the surface of a water at an altitude.

    Parameters
    ----------
    altitude_m
        Altitude of the water's surface, as on a map [m].

    Returns
    -------
    float
        Pressure [bar].

    Raises
    ------
    InputError
        Below -500 m, where there is no open water under the sky, and above 5000 m, where we hold
        no published decompression data that a plan could rest on.
    """
    if not LOWEST_ALTITUDE_M <= altitude_m <= HIGHEST_ALTITUDE_M:
        raise InputError(
            f"an altitude of {altitude_m:g} m is outside the range for which dives are planned",
            where="altitude_m",
            right=f"{LOWEST_ALTITUDE_M:g} to {HIGHEST_ALTITUDE_M:g} m; above that we hold no "
            "published decompression data",
        )
    return standard_atmosphere_bar(geopotential_altitude_m(altitude_m))
