"""Free gas in a cylinder by the equation of state GERG-2008, never by the ideal law.

At 232 bar a helium mix holds some 12 % less than the ideal law says, and that is the reserve. At
the temperatures allowed here all three gases are far above their critical points, so that pressure
rises with density throughout and a bracketed search always ends.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from slatewright.errors import InputError
from slatewright.physics.constants import (
    ATMOSPHERIC_N2_G_PER_MOL,
    GAS_CONSTANT_J_PER_MOL_K,
    PASCAL_PER_BAR,
    STANDARD_ATMOSPHERE_BAR,
    ZERO_CELSIUS_K,
)
from slatewright.physics.density import molar_mass_g_per_mol
from slatewright.physics.symbols import COMPRESSIBILITY, TEMPERATURE_K
from slatewright.sources import Symbol, formula

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slatewright.physics.amount import Gas

HIGHEST_BAR: Final = 400.0
LOWEST_K: Final = 250.0
HIGHEST_K: Final = 350.0
FREE_GAS_K: Final = 20.0 + ZERO_CELSIUS_K
"""A free litre is a litre at 20 degC ..."""
FREE_GAS_BAR: Final = STANDARD_ATMOSPHERE_BAR
"""... and at one standard atmosphere."""

_LITRES_PER_M3: Final = 1000.0
_STEPS: Final = 60  # bisection alone would end in 60 halvings; Newton's steps need four or five
_NEAR_ENOUGH: Final = 1e-12
_PRESSURE: Final = Symbol("p", "bar", "absolute pressure", 0.0, HIGHEST_BAR)


@formula(
    name="real-gas-pressure",
    title="Pressure of a real gas",
    equation="p = rho·1000·Z·8.314463·T / 100000",
    result=Symbol("p", "bar", "absolute pressure"),
    symbols={
        "molar_density_mol_per_l": Symbol("rho", "mol/L", "amount in a litre", 0.0, 20.0),
        "z": COMPRESSIBILITY,
        "temperature_k": TEMPERATURE_K,
    },
    source=("[GERG2008], [ISO20765-2] for Z",),
    valid="250 to 350 K, to 400 bar; helium with oxygen or nitrogen to about 0.5 %, as the cross "
    "terms of every public equation of state are estimates there",
    differs="the gas constant is that of [CODATA2018], lower by 1.1e-6 than the one fitted with",
)
def real_gas_pressure_bar(molar_density_mol_per_l: float, z: float, temperature_k: float) -> float:
    """Return the pressure of a real gas of known compressibility.

    Parameters
    ----------
    molar_density_mol_per_l
        Amount in a litre [mol/L].
    z
        Compressibility at that density and temperature [-].
    temperature_k
        Temperature [K].

    Returns
    -------
    float
        Absolute pressure [bar].
    """
    mol_per_m3 = molar_density_mol_per_l * _LITRES_PER_M3
    return mol_per_m3 * z * GAS_CONSTANT_J_PER_MOL_K * temperature_k / PASCAL_PER_BAR


@formula(
    name="real-gas-contents",
    title="Amount of a real gas in a cylinder",
    equation="n = p·V·100000 / 1000 / (Z·8.314463·T)",
    result=Symbol("n", "mol", "amount of gas"),
    symbols={
        "pressure_bar": _PRESSURE,
        "volume_l": Symbol("V", "L", "water volume of the cylinder", 0.0),
        "z": COMPRESSIBILITY,
        "temperature_k": TEMPERATURE_K,
    },
    source=("[GERG2008], [ISO20765-2] for Z",),
    valid="as for the pressure of a real gas",
)
def real_gas_contents_mol(
    pressure_bar: float, volume_l: float, z: float, temperature_k: float
) -> float:
    """Return the amount of a real gas of known compressibility in a volume.

    Parameters
    ----------
    pressure_bar
        Absolute pressure [bar].
    volume_l
        Water volume [L].
    z
        Compressibility at that pressure and temperature [-].
    temperature_k
        Temperature [K].

    Returns
    -------
    float
        Amount [mol].
    """
    pascal = pressure_bar * PASCAL_PER_BAR
    return pascal * volume_l / _LITRES_PER_M3 / (z * GAS_CONSTANT_J_PER_MOL_K * temperature_k)


@cache
def _model() -> Any:  # noqa: ANN401 - teqp comes without type information
    import teqp  # noqa: PLC0415 - only those who ask for a real gas pay for it

    names = ["helium", "oxygen", "nitrogen"]
    return teqp.make_model({"kind": "GERG2008resid", "model": {"names": names}})


@lru_cache(maxsize=1024)
def _fractions(o2: float, he: float) -> NDArray[np.float64]:
    fractions = np.array([he, o2, max(0.0, 1.0 - o2 - he)])
    return np.asarray(fractions / fractions.sum())


def compressibility_at_density(
    gas: Gas, molar_density_mol_per_l: float, temperature_k: float
) -> float:
    """Return the compressibility at a density.

    Parameters
    ----------
    gas
        Its fractions.
    molar_density_mol_per_l
        Amount in a litre [mol/L].
    temperature_k
        Temperature [K].

    Returns
    -------
    float
        Compressibility, 1 for an ideal gas [-].
    """
    density = molar_density_mol_per_l * _LITRES_PER_M3
    return 1.0 + float(_model().get_Ar01(temperature_k, density, _fractions(gas.o2, gas.he)))


def pressure_bar(gas: Gas, molar_density_mol_per_l: float, temperature_k: float) -> float:
    """Return the pressure of a gas at a density.

    Parameters
    ----------
    gas
        Its fractions.
    molar_density_mol_per_l
        Amount in a litre [mol/L].
    temperature_k
        Temperature [K].

    Returns
    -------
    float
        Absolute pressure [bar].

    Raises
    ------
    InputError
        If the density is negative, the temperature outside 250 to 350 K, or the pressure above
        400 bar.
    """
    _need_temperature(temperature_k)
    if not 0.0 <= molar_density_mol_per_l < float("inf"):
        raise InputError(f"{molar_density_mol_per_l:g} mol/L is no density", right="zero or more")
    z = compressibility_at_density(gas, molar_density_mol_per_l, temperature_k)
    result = real_gas_pressure_bar(molar_density_mol_per_l, z, temperature_k)
    _need_pressure(result)
    return result


def molar_density_mol_per_l(gas: Gas, pressure_bar: float, temperature_k: float) -> float:
    """Return the amount of a gas in a litre at a pressure.

    Parameters
    ----------
    gas
        Its fractions.
    pressure_bar
        Absolute pressure [bar].
    temperature_k
        Temperature [K].

    Returns
    -------
    float
        Molar density [mol/L].

    Raises
    ------
    InputError
        If the pressure is outside 0 to 400 bar or the temperature outside 250 to 350 K.
    """
    _need_temperature(temperature_k)
    _need_pressure(pressure_bar)
    return _density(gas.o2, gas.he, pressure_bar, temperature_k)


@lru_cache(maxsize=8192)
def _density(o2: float, he: float, pressure_bar: float, temperature_k: float) -> float:
    """Solve for the density: Newton's steps, kept inside a bracket that shrinks at each."""
    if pressure_bar == 0.0:
        return 0.0
    model, fractions = _model(), _fractions(o2, he)
    density = real_gas_contents_mol(pressure_bar, 1.0, 1.0, temperature_k)  # the ideal gas
    low, high = 0.0, 2.0 * density  # Z stays above 0.8 in the whole range, so the root is inside
    for _ in range(_STEPS):
        _, first, second = model.get_Ar02n(temperature_k, density * _LITRES_PER_M3, fractions)
        excess = real_gas_pressure_bar(density, 1.0 + first, temperature_k) - pressure_bar
        slope = real_gas_pressure_bar(1.0, 1.0 + 2.0 * first + second, temperature_k)
        newton = density - excess / slope if slope > 0.0 else 0.0
        if abs(newton - density) <= _NEAR_ENOUGH * density:
            return float(newton)
        low, high = (density, high) if excess < 0.0 else (low, density)
        density = newton if low < newton < high else 0.5 * (low + high)
    return float(density)


def compressibility(gas: Gas, pressure_bar: float, temperature_k: float) -> float:
    """Return the compressibility of a gas at a pressure.

    Parameters
    ----------
    gas
        Its fractions.
    pressure_bar
        Absolute pressure [bar].
    temperature_k
        Temperature [K].

    Returns
    -------
    float
        Compressibility, 1 for an ideal gas [-].

    Raises
    ------
    InputError
        As for `molar_density_mol_per_l`.
    """
    density = molar_density_mol_per_l(gas, pressure_bar, temperature_k)
    return compressibility_at_density(gas, density, temperature_k)


def contents_mol(gas: Gas, pressure_bar: float, volume_l: float, temperature_k: float) -> float:
    """Return the amount of gas in a cylinder.

    Parameters
    ----------
    gas
        Its fractions.
    pressure_bar
        Absolute pressure: what the gauge shows, and the surface pressure [bar].
    volume_l
        Water volume of the cylinder [L].
    temperature_k
        Temperature of the gas [K].

    Returns
    -------
    float
        Amount [mol].

    Raises
    ------
    InputError
        As for `molar_density_mol_per_l`, or if the volume is not positive.
    """
    _need_volume(volume_l)
    z = compressibility(gas, pressure_bar, temperature_k)
    return real_gas_contents_mol(pressure_bar, volume_l, z, temperature_k)


def cylinder_pressure_bar(
    gas: Gas, amount_mol: float, volume_l: float, temperature_k: float
) -> float:
    """Return the pressure of an amount of gas in a cylinder.

    Parameters
    ----------
    gas
        Its fractions.
    amount_mol
        Amount [mol].
    volume_l
        Water volume of the cylinder [L].
    temperature_k
        Temperature of the gas [K].

    Returns
    -------
    float
        Absolute pressure [bar].

    Raises
    ------
    InputError
        As for `pressure_bar`, or if the volume is not positive.
    """
    _need_volume(volume_l)
    return pressure_bar(gas, amount_mol / volume_l, temperature_k)


def free_litres(gas: Gas, amount_mol: float) -> float:
    """Return an amount as free gas: litres at 1.01325 bar and 20 degC, as the real gas fills them.

    Parameters
    ----------
    gas
        Its fractions.
    amount_mol
        Amount [mol].

    Returns
    -------
    float
        Free gas [L].
    """
    return amount_mol / _density(gas.o2, gas.he, FREE_GAS_BAR, FREE_GAS_K)


def free_gas_mol(gas: Gas, free_l: float) -> float:
    """Return the amount in so many free litres.

    Parameters
    ----------
    gas
        Its fractions.
    free_l
        Free gas at 1.01325 bar and 20 degC [L].

    Returns
    -------
    float
        Amount [mol].
    """
    return free_l * _density(gas.o2, gas.he, FREE_GAS_BAR, FREE_GAS_K)


def mass_g(
    gas: Gas, amount_mol: float, *, rest_g_per_mol: float = ATMOSPHERIC_N2_G_PER_MOL
) -> float:
    """Return the mass of an amount of gas.

    Parameters
    ----------
    gas
        Its fractions.
    amount_mol
        Amount [mol].
    rest_g_per_mol
        Molar mass of what is neither oxygen nor helium; the default has the argon of air in it
        [g/mol].

    Returns
    -------
    float
        Mass [g].
    """
    return amount_mol * molar_mass_g_per_mol(gas.o2, gas.he, rest_g_per_mol)


def _need_temperature(temperature_k: float) -> None:
    if not LOWEST_K <= temperature_k <= HIGHEST_K:
        raise InputError(
            f"a gas at {temperature_k:g} K ({temperature_k - ZERO_CELSIUS_K:g} degC) is outside "
            "the range of the real-gas figures",
            where="temperature_k",
            right=f"{LOWEST_K:g} to {HIGHEST_K:g} K; 293.15 K are 20 degC",
        )


def _need_pressure(pressure_bar: float) -> None:
    if not 0.0 <= pressure_bar <= HIGHEST_BAR:
        raise InputError(
            f"a gas at {pressure_bar:g} bar is outside the range of the real-gas figures",
            where="pressure_bar",
            right=f"0 to {HIGHEST_BAR:g} bar absolute",
        )


def _need_volume(volume_l: float) -> None:
    if not 0.0 < volume_l < float("inf"):
        raise InputError(
            f"{volume_l:g} L is no cylinder", where="volume_l", right="water volume in litres, 11.1"
        )
