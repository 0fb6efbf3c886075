"""A cylinder and what it holds: always by real gas, always in moles.

A gauge shows what the gas has above the air at the surface, at the temperature that the gas happens
to have. Only moles stay the same when a cylinder cools, so all else here is worked out from them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.errors import InputError
from slatewright.physics import real_gas
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.isotherm import isotherm

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    from slatewright.physics.amount import Gas

SMALLEST_L: Final = 0.2
LARGEST_L: Final = 100.0
"""One cylinder holds no less and no more; catches 0.0111 m3 and 11100 mL where 11.1 L was meant."""
HIGHEST_WORKING_BAR: Final = 380.0
"""Leaves room below the 400 bar of the real-gas figures."""
_SLACK: Final = 1e-6  # a gauge worked out as 232.000 000 1 bar is 232 bar
_GRAMS_PER_KG: Final = 1000.0


class Material(StrEnum):
    """What a cylinder's wall is made of."""

    STEEL = "steel"
    ALUMINIUM = "aluminium"
    COMPOSITE = "composite"


@dataclass(frozen=True, slots=True)
class Cylinder:
    """One gas volume with one gauge: a single, a manifolded pair, a stage.

    The two cylinders of a sidemount pair are two of these, as each has its own gauge. Volume, mass
    and external volume are those of the whole set, with valves, manifold and bands.

    Parameters
    ----------
    name
        How it is called, such as ``twin 12``.
    water_volume_l
        Water volume [L].
    working_gauge_bar
        Working pressure as stamped, on the gauge [bar].
    material
        What the wall is made of.
    empty_mass_kg
        Mass without gas [kg].
    external_volume_l
        The water that it displaces [L].
    count
        The cylinders that make it up: 2 for a manifolded pair [-].

    Raises
    ------
    InputError
        If a figure is no cylinder's.
    """

    name: str
    water_volume_l: float
    working_gauge_bar: float
    material: Material
    empty_mass_kg: float
    external_volume_l: float
    count: int = 1

    def __post_init__(self) -> None:
        def need(fine: bool, where: str, what: str, right: str) -> None:  # noqa: FBT001 - local
            if not fine:
                raise InputError(f"cylinder '{self.name}': {what}", where=where, right=right)

        volume_l, working, mass_kg = self.water_volume_l, self.working_gauge_bar, self.empty_mass_kg
        need(self.count >= 1, "count", f"{self.count} cylinders are no set", "1, or 2 for a twin")
        need(
            SMALLEST_L <= volume_l / self.count <= LARGEST_L,
            "water_volume_l",
            f"{volume_l:g} L in {self.count} is no water volume of a cylinder",
            f"{SMALLEST_L:g} to {LARGEST_L:g} L each; that of the whole set, 24 for twice 12 L",
        )
        need(
            1.0 <= working <= HIGHEST_WORKING_BAR,
            "working_gauge_bar",
            f"{working:g} bar is no working pressure",
            f"1 to {HIGHEST_WORKING_BAR:g} bar as stamped, such as 232; 3000 psi are 206.8 bar",
        )
        weighs = 0.0 < mass_kg < math.inf
        need(weighs, "empty_mass_kg", f"{mass_kg:g} kg is no mass", "that of the set without gas")
        need(
            volume_l < self.external_volume_l < math.inf,
            "external_volume_l",
            f"{self.external_volume_l:g} L outside cannot hold {volume_l:g} L",
            "the water that it displaces: water volume and the volume of its wall, in litres",
        )


def need_working_pressure(cylinder: Cylinder, gauge_bar: float) -> None:
    """Refuse a pressure that a cylinder may not have.

    There is no allowance for hot fills: what stands above the working pressure while hot is a
    fill that somebody has to answer for, and no plan is built on it.

    Parameters
    ----------
    cylinder
        The cylinder.
    gauge_bar
        Pressure on the gauge [bar].

    Raises
    ------
    InputError
        If it is below zero or above the working pressure.
    """
    if not gauge_bar >= 0.0:
        raise InputError(
            f"cylinder '{cylinder.name}': {gauge_bar:g} bar is no pressure on a gauge",
            where="gauge_bar",
            right=f"0 to {cylinder.working_gauge_bar:g} bar",
        )
    if gauge_bar > cylinder.working_gauge_bar + _SLACK:
        raise InputError(
            f"cylinder '{cylinder.name}': {gauge_bar:g} bar is above its working pressure of "
            f"{cylinder.working_gauge_bar:g} bar",
            where="gauge_bar",
            right=f"at most {cylinder.working_gauge_bar:g} bar, or a cylinder made for more",
        )


def contents_mol(
    cylinder: Cylinder,
    mix: Gas,
    gauge_bar: float,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> float:
    """Return the amount of gas in a cylinder.

    Parameters
    ----------
    cylinder
        The cylinder.
    mix
        What is in it.
    gauge_bar
        Pressure on the gauge [bar].
    temperature_k
        Temperature of the gas [K].
    surface_bar
        Ambient pressure where the gauge shows nothing [bar].

    Returns
    -------
    float
        Amount; at 0 bar on the gauge the cylinder still holds its own volume of gas [mol].

    Raises
    ------
    InputError
        If the pressure is below zero or above the working pressure, or the temperature is outside
        250 to 350 K.
    """
    need_working_pressure(cylinder, gauge_bar)
    return real_gas.contents_mol(
        mix, gauge_bar + surface_bar, cylinder.water_volume_l, temperature_k
    )


def gauge_bar(
    cylinder: Cylinder,
    mix: Gas,
    amount_mol: float,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> float:
    """Return what the gauge of a cylinder shows; the inverse of `contents_mol`.

    Parameters
    ----------
    cylinder, mix, temperature_k, surface_bar
        As for `contents_mol`: [K], [bar].
    amount_mol
        Amount of gas [mol].

    Returns
    -------
    float
        Pressure on the gauge; below zero, down to minus the surface pressure, where less is left
        than the cylinder would hold open at the surface. It may stand above the working pressure
        where a full cylinder became warmer than it was filled [bar].

    Raises
    ------
    InputError
        If the amount is below zero or the result above 400 bar absolute, or the temperature is
        outside 250 to 350 K.
    """
    _need_amount(cylinder, amount_mol)
    volume_l = cylinder.water_volume_l
    return real_gas.cylinder_pressure_bar(mix, amount_mol, volume_l, temperature_k) - surface_bar


def contents_of_gauges_mol(
    cylinder: Cylinder,
    mix: Gas,
    gauges_bar: ArrayLike,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> NDArray[np.float64]:
    """Return the amounts of gas in a cylinder at many pressures, by the fitted isotherm.

    Parameters
    ----------
    cylinder, mix, temperature_k, surface_bar
        As for `contents_mol`: [K], [bar].
    gauges_bar
        Any shape: pressures on the gauge [bar].

    Returns
    -------
    array
        Same shape: amounts [mol].

    Raises
    ------
    InputError
        As for `contents_mol`, if one of them is out of range.
    """
    gauges = np.asarray(gauges_bar, dtype=np.float64)
    if gauges.size:
        need_working_pressure(cylinder, float(np.min(gauges)))  # a NaN is neither ...
        need_working_pressure(cylinder, float(np.max(gauges)))  # ... and is refused too
    curve = isotherm(mix, temperature_k)
    return curve.molar_density_mol_per_l(gauges + surface_bar) * cylinder.water_volume_l


def gauges_of_contents_bar(
    cylinder: Cylinder,
    mix: Gas,
    amounts_mol: ArrayLike,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> NDArray[np.float64]:
    """Return what the gauge shows for many amounts, by the fitted isotherm.

    Parameters
    ----------
    cylinder, mix, temperature_k, surface_bar
        As for `contents_mol`: [K], [bar].
    amounts_mol
        Any shape: amounts of gas; clip those of a cylinder that ran out at zero first, and keep
        apart that it did [mol].

    Returns
    -------
    array
        Same shape: pressures on the gauge, below zero as for `gauge_bar` [bar].

    Raises
    ------
    InputError
        As for `gauge_bar`, if one of them is out of range.
    """
    amounts = np.asarray(amounts_mol, dtype=np.float64)
    if amounts.size:
        _need_amount(cylinder, float(np.min(amounts)))
    curve = isotherm(mix, temperature_k)
    return curve.pressure_bar(amounts / cylinder.water_volume_l) - surface_bar


def free_gas_l(
    cylinder: Cylinder,
    mix: Gas,
    gauge_bar: float,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> float:
    """Return the free gas in a cylinder: litres at 1.01325 bar and 20 degC.

    Parameters
    ----------
    cylinder, mix, gauge_bar, temperature_k, surface_bar
        As for `contents_mol`: [bar], [K], [bar].

    Returns
    -------
    float
        Free gas, with what stays in at 0 bar on the gauge [L].

    Raises
    ------
    InputError
        As for `contents_mol`.
    """
    amount = contents_mol(cylinder, mix, gauge_bar, temperature_k, surface_bar)
    return real_gas.free_litres(mix, amount)


def gas_mass_kg(
    cylinder: Cylinder,
    mix: Gas,
    gauge_bar: float,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> float:
    """Return the mass of the gas in a cylinder.

    Parameters
    ----------
    cylinder, mix, gauge_bar, temperature_k, surface_bar
        As for `contents_mol`: [bar], [K], [bar].

    Returns
    -------
    float
        Mass [kg].

    Raises
    ------
    InputError
        As for `contents_mol`.
    """
    amount = contents_mol(cylinder, mix, gauge_bar, temperature_k, surface_bar)
    return real_gas.mass_g(mix, amount) / _GRAMS_PER_KG


def usable_mol(
    cylinder: Cylinder,
    mix: Gas,
    amount_mol: float,
    residual_gauge_bar: float,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> float:
    """Return the amount above a residual pressure.

    Parameters
    ----------
    cylinder, mix, surface_bar
        As for `contents_mol`: [bar].
    amount_mol
        Amount that it holds [mol].
    residual_gauge_bar
        Pressure that is to stay in, on the gauge [bar].
    temperature_k
        Temperature of the gas when that pressure is read: that of the water [K].

    Returns
    -------
    float
        Amount that may be taken out, zero if less is in already [mol].

    Raises
    ------
    InputError
        As for `contents_mol`, or if the amount is below zero.
    """
    _need_amount(cylinder, amount_mol)
    kept = contents_mol(cylinder, mix, residual_gauge_bar, temperature_k, surface_bar)
    return max(0.0, amount_mol - kept)


def gauge_at_temperature_bar(
    cylinder: Cylinder,
    mix: Gas,
    fill_gauge_bar: float,
    fill_temperature_k: float,
    temperature_k: float,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> float:
    """Return what the gauge shows when a cylinder has taken on another temperature.

    Parameters
    ----------
    cylinder, mix, surface_bar
        As for `contents_mol`: [bar].
    fill_gauge_bar
        Pressure on the gauge as filled [bar].
    fill_temperature_k
        Temperature of the gas when that was read [K].
    temperature_k
        Temperature that it takes on, such as that of the water [K].

    Returns
    -------
    float
        Pressure on the gauge [bar].

    Raises
    ------
    InputError
        As for `contents_mol` and `gauge_bar`.
    """
    amount = contents_mol(cylinder, mix, fill_gauge_bar, fill_temperature_k, surface_bar)
    return gauge_bar(cylinder, mix, amount, temperature_k, surface_bar)


def _need_amount(cylinder: Cylinder, amount_mol: float) -> None:
    if not 0.0 <= amount_mol < math.inf:
        raise InputError(
            f"cylinder '{cylinder.name}': {amount_mol:g} mol is no amount that it can hold",
            where="amount_mol",
            right="zero or more; what was drawn beyond the last of it is not in it",
        )
