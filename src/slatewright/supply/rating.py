"""Rated cubic feet: what an imperial name says about the water volume, and what it does not."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from slatewright.errors import InputError
from slatewright.physics import real_gas
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR, ZERO_CELSIUS_K
from slatewright.physics.mixture import AIR
from slatewright.physics.units import bar_from_psi, l_from_cubic_feet
from slatewright.sources import Symbol, formula

RATING_K: Final = (70.0 - 32.0) / 1.8 + ZERO_CELSIUS_K
"""Cylinders are rated with air at 70 degrees Fahrenheit (common practice, no published source)."""


class Rating(StrEnum):
    """How a cylinder came by its rated cubic feet (common practice, no published source).

    Names are nominal, and two habits live side by side. By the ideal law: water volume times
    gauge pressure, as for 80 cubic feet at 3,000 psi, which is 11.1 L and holds 77.5. As held:
    the air that really is in it, as for small aluminium cylinders and for steel at 3,442 psi.
    """

    IDEAL_LAW = "ideal law"
    AS_HELD = "as held"


@formula(
    name="rated-water-volume",
    title="Water volume of a cylinder by its rated contents",
    equation="V = F·1.01325·Z / p",
    result=Symbol("V", "L", "water volume"),
    symbols={
        "rated_l": Symbol("F", "L", "rated contents, as air at 1.01325 bar", 0.0),
        "z_ratio": Symbol("Z", "-", "compressibility at p over that at 1.01325 bar", 0.5, 2.0),
        "pressure_bar": Symbol("p", "bar", "rated pressure", 0.0, real_gas.HIGHEST_BAR),
    },
    source=("common practice, no published source", "[GERG2008] for Z"),
    valid="rated by the ideal law: Z = 1 and p on the gauge; rated as held: air at 70 degF, and "
    "p absolute",
)
def rated_water_volume_l(rated_l: float, z_ratio: float, pressure_bar: float) -> float:
    """Return the water volume that goes with rated contents.

    Parameters
    ----------
    rated_l
        Rated contents, as air at 1.01325 bar [L].
    z_ratio
        Compressibility at the rated pressure over that at 1.01325 bar; 1 for a rating by the
        ideal law [-].
    pressure_bar
        Rated pressure: on the gauge for a rating by the ideal law, else absolute [bar].

    Returns
    -------
    float
        Water volume [L].
    """
    return rated_l * STANDARD_ATMOSPHERE_BAR * z_ratio / pressure_bar


def water_volume_of_rating_l(
    rated_cu_ft: float, rated_psi: float, rating: Rating = Rating.IDEAL_LAW
) -> float:
    """Return the water volume of a cylinder that is known by its rated cubic feet.

    Parameters
    ----------
    rated_cu_ft
        Rated contents, as in the name [cu ft].
    rated_psi
        Pressure that goes with the rating, on the gauge [psi].
    rating
        The habit behind the rating. By the ideal law, which is the default, the cylinder comes
        out 3 to 5 % smaller: the safe side when the habit is not known.

    Returns
    -------
    float
        Water volume [L].

    Raises
    ------
    InputError
        If the contents or the pressure are no cylinder's.
    """
    if not 0.0 < rated_cu_ft < 1000.0:
        raise InputError(
            f"{rated_cu_ft:g} cubic feet are no rated contents",
            where="rated_cu_ft",
            right="cubic feet as in the cylinder's name, such as 80",
        )
    gauge_bar = bar_from_psi(rated_psi)
    if not rated_psi >= 1000.0 or gauge_bar > real_gas.HIGHEST_BAR - STANDARD_ATMOSPHERE_BAR:
        raise InputError(
            f"{rated_psi:g} psi is no rated pressure",
            where="rated_psi",
            right="1000 to 5700 psi, such as 3000; a pressure in bar is not rated in cubic feet",
        )
    rated_l = l_from_cubic_feet(rated_cu_ft)
    if rating is Rating.IDEAL_LAW:
        return rated_water_volume_l(rated_l, 1.0, gauge_bar)
    full_bar = gauge_bar + STANDARD_ATMOSPHERE_BAR
    full_z = real_gas.compressibility(AIR, full_bar, RATING_K)
    free_z = real_gas.compressibility(AIR, STANDARD_ATMOSPHERE_BAR, RATING_K)
    return rated_water_volume_l(rated_l, full_z / free_z, full_bar)
