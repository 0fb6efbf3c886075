"""Gas density as breathed at depth, against the limits published for it.

The published limits go with densities of an ideal gas at 0 degC. A gas breathed is warmer and so
less dense; the limits would then have to be lower by as much. Only the pair counts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.physics.constants import (
    ATMOSPHERIC_N2_G_PER_MOL,
    GAS_CONSTANT_J_PER_MOL_K,
    HE_G_PER_MOL,
    N2_G_PER_MOL,
    O2_G_PER_MOL,
    PASCAL_PER_BAR,
    ZERO_CELSIUS_K,
)
from slatewright.physics.limits import need_depth
from slatewright.physics.symbols import AMBIENT, HE, O2
from slatewright.sources import Symbol, formula

if TYPE_CHECKING:
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.water import Water

RECOMMENDED_G_PER_L: Final = 5.2
"""Recommended limit of density as breathed, at 0 degC [ANTHONY2016]."""

HIGHEST_G_PER_L: Final = 6.2
"""Highest density as breathed, at 0 degC [ANTHONY2016]."""

_GRAMS_PER_KG: Final = 1000.0
_REST: Final = Symbol(
    "M_rest",
    "g/mol",
    f"molar mass of the rest: {ATMOSPHERIC_N2_G_PER_MOL:.4f} for nitrogen with the argon of air, "
    f"{N2_G_PER_MOL:.4f} for pure nitrogen",
    N2_G_PER_MOL,
    28.2,
)
_MASS: Final = Symbol("M", "g/mol", "molar mass of the gas", 4.0, 40.0)
_CELSIUS: Final = Symbol("t", "degC", "temperature at which densities are compared", 0.0, 40.0)


@formula(
    name="molar-mass",
    title="Molar mass of a mixture",
    equation="M = f_O2·31.9988 + f_He·4.002602 + (1 - f_O2 - f_He)·M_rest",
    result=Symbol("M", "g/mol", "molar mass"),
    symbols={"o2": O2, "he": HE, "rest_g_per_mol": _REST},
    source=("[IUPAC2005] for the atoms, [ISO2533] for the argon of air",),
)
def molar_mass_g_per_mol(o2: float, he: float, rest_g_per_mol: float) -> float:
    """Return the molar mass of a mixture.

    Parameters
    ----------
    o2
        Mole fraction of oxygen [-].
    he
        Mole fraction of helium [-].
    rest_g_per_mol
        Molar mass of what is neither: `ATMOSPHERIC_N2_G_PER_MOL` or `N2_G_PER_MOL` [g/mol].

    Returns
    -------
    float
        Molar mass [g/mol].
    """
    rest = 1.0 - o2 - he
    return o2 * O2_G_PER_MOL + he * HE_G_PER_MOL + rest * rest_g_per_mol


@formula(
    name="gas-density",
    title="Density of an ideal gas",
    equation="rho = p·100000·M / 1000 / (8.314463·(t + 273.15))",
    result=Symbol("rho", "g/L", "density"),
    symbols={"molar_mass_g_per_mol": _MASS, "ambient_bar": AMBIENT, "temperature_c": _CELSIUS},
    source=("ideal gas law with [CODATA2018]", "[ANTHONY2016] for the limits at 0 degC"),
    valid="to 0.2 % of the real gas at 1 bar; the limits were published on this footing",
    house_rules=("density_temperature_c",),
)
def gas_density_g_per_l(
    molar_mass_g_per_mol: float, ambient_bar: float, temperature_c: float
) -> float:
    """Return the density of an ideal gas.

    Parameters
    ----------
    molar_mass_g_per_mol
        Molar mass [g/mol].
    ambient_bar
        Ambient pressure, absolute [bar].
    temperature_c
        Temperature at which densities are compared [degC].

    Returns
    -------
    float
        Density [g/L].
    """
    temperature_k = temperature_c + ZERO_CELSIUS_K
    pascal = ambient_bar * PASCAL_PER_BAR
    return (
        pascal * molar_mass_g_per_mol / _GRAMS_PER_KG / (GAS_CONSTANT_J_PER_MOL_K * temperature_k)
    )


@formula(
    name="density-pressure",
    title="Ambient pressure at which a gas reaches a density",
    equation="p = rho·8.314463·(t + 273.15)·1000 / M / 100000",
    result=Symbol("p", "bar", "ambient pressure"),
    symbols={
        "molar_mass_g_per_mol": _MASS,
        "limit_g_per_l": Symbol("rho", "g/L", "density not to be exceeded", 1.0, 10.0),
        "temperature_c": _CELSIUS,
    },
    source=("ideal gas law with [CODATA2018]", "[ANTHONY2016] for the limits at 0 degC"),
    house_rules=(
        "density_temperature_c",
        "density_recommended_g_per_l",
        "density_max_g_per_l",
    ),
)
def density_pressure_bar(
    molar_mass_g_per_mol: float, limit_g_per_l: float, temperature_c: float
) -> float:
    """Return the ambient pressure at which an ideal gas reaches a density.

    Parameters
    ----------
    molar_mass_g_per_mol
        Molar mass [g/mol].
    limit_g_per_l
        Density not to be exceeded [g/L].
    temperature_c
        Temperature at which densities are compared [degC].

    Returns
    -------
    float
        Ambient pressure, absolute [bar].
    """
    temperature_k = temperature_c + ZERO_CELSIUS_K
    pascal = (
        limit_g_per_l * GAS_CONSTANT_J_PER_MOL_K * temperature_k * _GRAMS_PER_KG
    ) / molar_mass_g_per_mol
    return pascal / PASCAL_PER_BAR


def molar_mass(mix: Mixture) -> float:
    """Return the molar mass of a mixture whose nitrogen came from air, argon with it.

    Parameters
    ----------
    mix
        The mixture.

    Returns
    -------
    float
        Molar mass [g/mol].
    """
    return molar_mass_g_per_mol(mix.o2, mix.he, ATMOSPHERIC_N2_G_PER_MOL)


def gas_density(mix: Mixture, depth_m: float, water: Water, *, temperature_c: float = 0.0) -> float:
    """Return the density of a mixture as breathed at a depth.

    Parameters
    ----------
    mix
        The mixture.
    depth_m
        Depth [m].
    water
        The water.
    temperature_c
        Temperature at which densities are compared, the house rule ``density_temperature_c``;
        the published limits go with 0 [degC].

    Returns
    -------
    float
        Density [g/L].

    Raises
    ------
    InputError
        If the depth is negative, or the temperature outside 0 to 40 degC.
    """
    need_depth(depth_m)
    _need_temperature(temperature_c)
    return gas_density_g_per_l(molar_mass(mix), water.ambient_bar(depth_m), temperature_c)


def density_depth(
    mix: Mixture, limit_g_per_l: float, water: Water, *, temperature_c: float = 0.0
) -> float:
    """Return the depth at which a mixture reaches a density.

    Parameters
    ----------
    mix
        The mixture.
    limit_g_per_l
        Density not to be exceeded: `RECOMMENDED_G_PER_L`, `HIGHEST_G_PER_L` [g/L].
    water
        The water.
    temperature_c
        Temperature at which densities are compared, by the house rule of that
        name: ``density_temperature_c`` [degC].

    Returns
    -------
    float
        Depth [m].

    Raises
    ------
    InputError
        If the limit is not positive, or the temperature outside 0 to 40 degC.
    NoSafeAnswer
        If the mixture is denser than that even at the surface.
    """
    if not 0.0 < limit_g_per_l < float("inf"):
        raise InputError(
            f"{limit_g_per_l:g} g/L is no density", where="limit_g_per_l", right="5.2 or 6.2"
        )
    _need_temperature(temperature_c)
    depth_m = water.depth_m(density_pressure_bar(molar_mass(mix), limit_g_per_l, temperature_c))
    if depth_m < 0.0:
        raise NoSafeAnswer(
            Reason(
                f"{mix} is denser than {limit_g_per_l:g} g/L even at the surface",
                "a mixture with more helium, or the published limits 5.2 and 6.2 g/L",
            )
        )
    return depth_m


def _need_temperature(temperature_c: float) -> None:
    if not 0.0 <= temperature_c <= 40.0:
        raise InputError(
            f"densities are not compared at {temperature_c:g} degC",
            where="temperature_c",
            right="0 degC, on which the published limits stand; at most 40",
        )
