"""Pressure under water: fresh, EN 13319, sea, TEOS-10, at altitude."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.atmosphere import surface_pressure_bar
from slatewright.physics.constants import (
    PASCAL_PER_BAR,
    STANDARD_ATMOSPHERE_BAR,
    STANDARD_GRAVITY_M_PER_S2,
)
from slatewright.physics.symbols import AMBIENT, DEPTH, SURFACE, WEIGHT
from slatewright.sources import Symbol, formula

FRESH_KG_PER_M3: Final = 1000.0
"""Density of fresh water by convention; clean water of 4 to 15 degC is at most 0.1 % lighter."""

SEA_KG_PER_M3: Final = 1025.0
"""Density of sea water by convention (common practice, no published source)."""

EN13319_BAR_PER_M: Final = 0.1
"""Depth gauges by [EN13319]: 10 m are 1 bar, exactly."""

EN13319_KG_PER_M3: Final = EN13319_BAR_PER_M * PASCAL_PER_BAR / STANDARD_GRAVITY_M_PER_S2
"""The density that goes with 0.1 bar/m at standard gravity, 1019.716 (printed 1019.7)."""

DEEPEST_M: Final = 350.0
"""The greatest depth for which a water column is made; far below any dive planned here."""


class WaterKind(StrEnum):
    """The convention by which depth becomes pressure."""

    FRESH = "fresh"
    EN13319 = "en13319"
    SEA = "sea"
    TEOS10 = "teos10"


@formula(
    name="ambient-pressure",
    title="Ambient pressure at a depth",
    equation="p = p_s + d·w",
    result=Symbol("p", "bar", "ambient pressure"),
    symbols={"depth_m": DEPTH, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=("hydrostatics", "[EN13319] for 0.1 bar/m"),
)
def ambient_pressure_bar(depth_m: float, surface_bar: float, bar_per_m: float) -> float:
    """Return the ambient pressure at a depth.

    Parameters
    ----------
    depth_m
        Depth [m].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Ambient pressure, absolute [bar].
    """
    return surface_bar + depth_m * bar_per_m


@formula(
    name="depth-at-pressure",
    title="Depth at which an ambient pressure stands",
    equation="d = (p - p_s) / w",
    result=Symbol("d", "m", "depth, negative for a pressure below that at the surface"),
    symbols={"ambient_bar": AMBIENT, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=("hydrostatics", "[EN13319] for 0.1 bar/m"),
)
def depth_at_pressure_m(ambient_bar: float, surface_bar: float, bar_per_m: float) -> float:
    """Return the depth at an ambient pressure.

    Parameters
    ----------
    ambient_bar
        Ambient pressure, absolute [bar].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Depth, negative for a pressure below that at the surface [m].
    """
    return (ambient_bar - surface_bar) / bar_per_m


@formula(
    name="water-weight",
    title="Pressure gained per metre of depth",
    equation="w = rho·9.80665 / 100000",
    result=Symbol("w", "bar/m", "pressure gained per metre of depth"),
    symbols={
        "density_kg_per_m3": Symbol("rho", "kg/m3", "density of the water", 990.0, 1250.0),
    },
    source=("hydrostatics", "[SI2019] for standard gravity"),
    valid="where the density does not change with depth",
)
def water_weight_bar_per_m(density_kg_per_m3: float) -> float:
    """Return the pressure gained per metre of depth.

    Parameters
    ----------
    density_kg_per_m3
        Density of the water [kg/m3].

    Returns
    -------
    float
        Pressure per metre [bar/m].
    """
    return density_kg_per_m3 * STANDARD_GRAVITY_M_PER_S2 / PASCAL_PER_BAR


@dataclass(frozen=True, slots=True)
class Water:
    """Surface pressure and weight of a water column.

    Parameters
    ----------
    kind
        The convention.
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Raises
    ------
    InputError
        If a figure is not a positive number.
    """

    kind: WaterKind = WaterKind.EN13319
    surface_bar: float = STANDARD_ATMOSPHERE_BAR
    bar_per_m: float = EN13319_BAR_PER_M

    def __post_init__(self) -> None:
        for name, value in (("surface_bar", self.surface_bar), ("bar_per_m", self.bar_per_m)):
            if not (math.isfinite(value) and value > 0.0):
                raise InputError(
                    f"{value} is no pressure", where=name, right="surface 1.01325 bar, 0.1 bar/m"
                )

    def ambient_bar(self, depth_m: float) -> float:
        """Return the ambient pressure at a depth.

        Parameters
        ----------
        depth_m
            Depth [m].

        Returns
        -------
        float
            Ambient pressure, absolute [bar].
        """
        return ambient_pressure_bar(depth_m, self.surface_bar, self.bar_per_m)

    def depth_m(self, ambient_bar: float) -> float:
        """Return the depth at an ambient pressure.

        Parameters
        ----------
        ambient_bar
            Ambient pressure, absolute [bar].

        Returns
        -------
        float
            Depth, negative for a pressure below that at the surface [m].
        """
        return depth_at_pressure_m(ambient_bar, self.surface_bar, self.bar_per_m)


def water(
    kind: WaterKind,
    *,
    altitude_m: float = 0.0,
    latitude_deg: float | None = None,
    deepest_m: float = 100.0,
) -> Water:
    """Make the water column of a dive.

    Parameters
    ----------
    kind
        The convention by which depth becomes pressure.
    altitude_m
        Altitude of the surface, as on a map [m].
    latitude_deg
        Latitude, north or south; needed for TEOS-10 only [deg].
    deepest_m
        The greatest depth of the plan; used for TEOS-10 only [m].

    Returns
    -------
    Water
        The column.

    Raises
    ------
    InputError
        If the altitude, latitude or depth is out of range, or TEOS-10 lacks its latitude.

    Notes
    -----
    Sea water is a little compressible, and a line is wanted. For TEOS-10 the line is the chord
    from the surface to ``deepest_m``. Pressure curves upward with depth, so between the two ends
    the chord lies on the deep side, by at most 0.001 bar for 120 m, and below ``deepest_m`` on the
    shallow side (0.0006 bar at 120 m for a chord to 100 m): name a depth at or below the plan's
    deepest. The sea is the standard one of [TEOS10], 35.165 g/kg at 0 degC; a sea of 20 degC is
    0.3 % lighter.
    """
    surface_bar = surface_pressure_bar(altitude_m)
    if kind is WaterKind.FRESH:
        return Water(kind, surface_bar, water_weight_bar_per_m(FRESH_KG_PER_M3))
    if kind is WaterKind.SEA:
        return Water(kind, surface_bar, water_weight_bar_per_m(SEA_KG_PER_M3))
    if kind is WaterKind.EN13319:
        return Water(kind, surface_bar, EN13319_BAR_PER_M)
    return Water(kind, surface_bar, _teos10_chord_bar_per_m(latitude_deg, deepest_m))


def _teos10_chord_bar_per_m(latitude_deg: float | None, deepest_m: float) -> float:
    if latitude_deg is None or not -90.0 <= latitude_deg <= 90.0:
        given = "no latitude" if latitude_deg is None else f"a latitude of {latitude_deg:g}"
        raise InputError(
            f"TEOS-10 sea pressure with {given}",
            where="latitude_deg",
            right="degrees from -90 to 90, such as 43.5; or another water: en13319, sea, fresh",
        )
    if not 1.0 <= deepest_m <= DEEPEST_M:
        raise InputError(
            f"a TEOS-10 column down to {deepest_m:g} m",
            where="deepest_m",
            right=f"1 to {DEEPEST_M:g} m, at or below the deepest depth of the plan",
        )
    import gsw  # noqa: PLC0415 - 0.2 s, and only TEOS-10 needs it

    decibar = float(gsw.p_from_z(-deepest_m, latitude_deg))
    return decibar / 10.0 / deepest_m
