"""Many real-gas figures at once: one gas at one temperature, as a fitted curve over arrays.

A grid of failures asks for a hundred thousand pressures of a handful of gases at a handful of
temperatures. For such a pair compressibility is a smooth curve; here it is laid once through
Chebyshev points of the equation of state and then evaluated over whole arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.polynomial import chebyshev

from slatewright.errors import InputError
from slatewright.physics.amount import Amount
from slatewright.physics.real_gas import (
    HIGHEST_BAR,
    compressibility,
    compressibility_at_density,
    molar_density_mol_per_l,
    real_gas_contents_mol,
    real_gas_pressure_bar,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import ArrayLike, NDArray

    from slatewright.physics.amount import Gas

_DEGREE: Final = 20  # misses the equation of state by less than 1e-9, see the test


@dataclass(frozen=True, eq=False)
class Isotherm:
    """One gas at one temperature; made by `isotherm`.

    Parameters
    ----------
    temperature_k
        Temperature [K].
    highest_mol_per_l
        Molar density at 400 bar, where the curve ends [mol/L].
    z_by_density, z_by_pressure
        Shape (21,): Chebyshev coefficients of the compressibility, over 0 to the highest density
        and over 0 to 400 bar [-].
    """

    temperature_k: float
    highest_mol_per_l: float
    z_by_density: NDArray[np.float64]
    z_by_pressure: NDArray[np.float64]

    def pressure_bar(self, molar_density: ArrayLike) -> NDArray[np.float64]:
        """Return the pressures at densities.

        Parameters
        ----------
        molar_density
            Any shape: amount in a litre [mol/L].

        Returns
        -------
        array
            Same shape: absolute pressure [bar].

        Raises
        ------
        InputError
            If one lies outside the curve.
        """
        density = np.asarray(molar_density, dtype=np.float64)
        _inside("molar_density", density, self.highest_mol_per_l, "mol/L")
        z = chebyshev.chebval(density * (2.0 / self.highest_mol_per_l) - 1.0, self.z_by_density)
        return np.asarray(density * z * real_gas_pressure_bar(1.0, 1.0, self.temperature_k))

    def molar_density_mol_per_l(self, pressure_bar: ArrayLike) -> NDArray[np.float64]:
        """Return the densities at pressures.

        Parameters
        ----------
        pressure_bar
            Any shape: absolute pressure [bar].

        Returns
        -------
        array
            Same shape: amount in a litre [mol/L].

        Raises
        ------
        InputError
            If one lies outside the curve.
        """
        bar = np.asarray(pressure_bar, dtype=np.float64)
        _inside("pressure_bar", bar, HIGHEST_BAR, "bar")
        z = chebyshev.chebval(bar * (2.0 / HIGHEST_BAR) - 1.0, self.z_by_pressure)
        return np.asarray(bar / z * real_gas_contents_mol(1.0, 1.0, 1.0, self.temperature_k))


def isotherm(gas: Gas, temperature_k: float) -> Isotherm:
    """Return the curve of a gas at a temperature; made once, then remembered.

    Parameters
    ----------
    gas
        Its fractions.
    temperature_k
        Temperature [K].

    Returns
    -------
    Isotherm
        The curve.

    Raises
    ------
    InputError
        If the temperature is outside 250 to 350 K.
    """
    return _isotherm(gas.o2, gas.he, temperature_k)


@lru_cache(maxsize=256)
def _isotherm(o2: float, he: float, temperature_k: float) -> Isotherm:
    gas = Amount(o2, he, max(0.0, 1.0 - o2 - he))
    highest = molar_density_mol_per_l(gas, HIGHEST_BAR, temperature_k)

    return Isotherm(
        temperature_k,
        highest,
        _curve(lambda d: compressibility_at_density(gas, d, temperature_k), highest),
        _curve(lambda p: compressibility(gas, p, temperature_k), HIGHEST_BAR),
    )


def _curve(function: Callable[[float], float], highest: float) -> NDArray[np.float64]:
    points = chebyshev.chebpts1(_DEGREE + 1)
    values = [function(float(point + 1.0) * 0.5 * highest) for point in points]
    return np.asarray(chebyshev.chebfit(points, values, _DEGREE))


def _inside(where: str, values: NDArray[np.float64], highest: float, unit: str) -> None:
    slack = 1e-9 * highest
    if not bool(np.all((values >= 0.0) & (values <= highest + slack))):
        raise InputError(
            f"{where} outside the real-gas curve", where=where, right=f"0 to {highest:.6g} {unit}"
        )
