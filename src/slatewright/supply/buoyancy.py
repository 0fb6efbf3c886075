"""What things weigh in water: a cylinder full, at the turn and empty, lead, a suit's gas."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from slatewright.errors import InputError
from slatewright.physics import real_gas
from slatewright.physics.amount import Gas
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.symbols import AMBIENT, SURFACE
from slatewright.physics.water import Water, water_weight_bar_per_m
from slatewright.sources import Symbol, formula
from slatewright.supply.cylinders import Cylinder, contents_mol

FITTINGS_KG_PER_L: Final = 8.4
"""Density of brass, for valves, manifold and bands (from memory)."""
LEAD_KG_PER_L: Final = 11.34
"""Density of lead (from memory)."""
_GRAMS_PER_KG: Final = 1000.0
_BUOYANCY: Final = Symbol("b", "kg", "buoyancy, positive if it floats")
_OUTSIDE: Final = Symbol("V_e", "L", "external volume", 0.0)
_MASS: Final = Symbol("m", "kg", "mass, with what is inside", 0.0)
_WATER: Final = Symbol("rho", "kg/m3", "density of the water", 990.0, 1250.0)


@formula(
    name="buoyancy",
    title="Buoyancy of a body in water",
    equation="b = V_e·rho / 1000 - m",
    result=_BUOYANCY,
    symbols={"external_volume_l": _OUTSIDE, "mass_kg": _MASS, "water_kg_per_m3": _WATER},
    source=("hydrostatics: the principle of Archimedes",),
    valid="for a body that water pressure does not compress",
)
def buoyancy_kg(external_volume_l: float, mass_kg: float, water_kg_per_m3: float) -> float:
    """Return the buoyancy of a body, as the mass that it lifts.

    Parameters
    ----------
    external_volume_l
        The water that it displaces [L].
    mass_kg
        Its mass, with what is inside [kg].
    water_kg_per_m3
        Density of the water [kg/m3].

    Returns
    -------
    float
        Buoyancy, positive if it floats [kg].
    """
    return external_volume_l * water_kg_per_m3 / 1000.0 - mass_kg


@formula(
    name="external-volume-by-mass",
    title="External volume of a cylinder by the mass of its wall",
    equation="V_e = V + m_w / rho_w + m_f / 8.4",
    result=_OUTSIDE,
    symbols={
        "water_volume_l": Symbol("V", "L", "water volume", 0.0),
        "wall_kg": Symbol("m_w", "kg", "mass of the bare cylinder", 0.0),
        "wall_kg_per_l": Symbol("rho_w", "kg/L", "density of its wall", 1.0, 9.0),
        "fittings_kg": Symbol("m_f", "kg", "mass of valves, manifold and bands", 0.0),
    },
    source=(
        "law: volume is mass over density",
        "7.85 kg/L for steel, 2.70 for aluminium: from memory",
    ),
    valid="steel and aluminium; paint, boot and net are left out",
)
def external_volume_by_mass_l(
    water_volume_l: float, wall_kg: float, wall_kg_per_l: float, fittings_kg: float
) -> float:
    """Return the external volume of a cylinder.

    Parameters
    ----------
    water_volume_l
        Water volume [L].
    wall_kg
        Mass of the bare cylinder [kg].
    wall_kg_per_l
        Density of its wall [kg/L].
    fittings_kg
        Mass of valves, manifold and bands, taken as brass [kg].

    Returns
    -------
    float
        External volume [L].
    """
    return water_volume_l + wall_kg / wall_kg_per_l + fittings_kg / FITTINGS_KG_PER_L


@formula(
    name="external-volume-by-buoyancy",
    title="External volume of a cylinder by its buoyancy",
    equation="V_e = (b + m) · 1000 / rho",
    result=_OUTSIDE,
    symbols={"buoyancy_kg": _BUOYANCY, "mass_kg": _MASS, "water_kg_per_m3": _WATER},
    source=("hydrostatics: the principle of Archimedes",),
    valid="mass and buoyancy of the same cylinder in the same state, both empty or both full",
)
def external_volume_by_buoyancy_l(
    buoyancy_kg: float, mass_kg: float, water_kg_per_m3: float
) -> float:
    """Return the external volume of a cylinder that was weighed in water or has a printed buoyancy.

    Parameters
    ----------
    buoyancy_kg
        Buoyancy, positive if it floats [kg].
    mass_kg
        Mass in the same state [kg].
    water_kg_per_m3
        Density of the water in which it was weighed [kg/m3].

    Returns
    -------
    float
        External volume [L].
    """
    return (buoyancy_kg + mass_kg) * 1000.0 / water_kg_per_m3


def water_density_kg_per_m3(water: Water) -> float:
    """Return the density that a water column stands for.

    Parameters
    ----------
    water
        The column.

    Returns
    -------
    float
        Density; for EN 13319, which is a convention of depth gauges and no water, 1019.7 [kg/m3].
    """
    return water.bar_per_m / water_weight_bar_per_m(1.0)


def cylinder_buoyancy_kg(
    cylinder: Cylinder, mix: Gas, amount_mol: float, water_kg_per_m3: float
) -> float:
    """Return the buoyancy of a cylinder with an amount of gas in it.

    Parameters
    ----------
    cylinder
        The cylinder.
    mix
        What is in it.
    amount_mol
        How much of it [mol].
    water_kg_per_m3
        Density of the water [kg/m3].

    Returns
    -------
    float
        Buoyancy, positive if it floats [kg].

    Raises
    ------
    InputError
        If the amount is below zero.
    """
    if not 0.0 <= amount_mol < math.inf:
        raise InputError(
            f"cylinder '{cylinder.name}': {amount_mol:g} mol weigh nothing that can be weighed",
            where="amount_mol",
            right="zero or more",
        )
    gas_kg = real_gas.mass_g(mix, amount_mol) / _GRAMS_PER_KG
    return buoyancy_kg(cylinder.external_volume_l, cylinder.empty_mass_kg + gas_kg, water_kg_per_m3)


@dataclass(frozen=True, slots=True)
class CylinderBuoyancy:
    """The buoyancy of one cylinder through a dive, positive if it floats.

    Parameters
    ----------
    full_kg, turn_kg, empty_kg
        As filled, at the turn, and at 0 bar on the gauge [kg].
    """

    full_kg: float
    turn_kg: float
    empty_kg: float


def cylinder_buoyancy(
    cylinder: Cylinder,
    mix: Gas,
    start_gauge_bar: float,
    turn_gauge_bar: float,
    temperature_k: float,
    water_kg_per_m3: float,
    *,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> CylinderBuoyancy:
    """Return the buoyancy of a cylinder full, at the turn and empty.

    Parameters
    ----------
    cylinder
        The cylinder.
    mix
        What is in it.
    start_gauge_bar, turn_gauge_bar
        Pressures on the gauge, as filled and at the turn [bar].
    temperature_k
        Temperature of the gas when they are read [K].
    water_kg_per_m3
        Density of the water [kg/m3].
    surface_bar
        Ambient pressure where the gauge shows nothing [bar].

    Returns
    -------
    CylinderBuoyancy
        The three.

    Raises
    ------
    InputError
        If a pressure is below zero or above the working pressure, or the turn lies above the
        start.
    """
    if turn_gauge_bar > start_gauge_bar:
        raise InputError(
            f"cylinder '{cylinder.name}': turn at {turn_gauge_bar:g} bar, above the "
            f"{start_gauge_bar:g} bar of the start",
            where="turn_gauge_bar",
            right=f"0 to {start_gauge_bar:g} bar",
        )
    full, turn, empty = (
        cylinder_buoyancy_kg(
            cylinder,
            mix,
            contents_mol(cylinder, mix, gauge, temperature_k, surface_bar),
            water_kg_per_m3,
        )
        for gauge in (start_gauge_bar, turn_gauge_bar, 0.0)
    )
    return CylinderBuoyancy(full, turn, empty)


@formula(
    name="suit-gas-volume",
    title="Volume of a wetsuit's gas at depth",
    equation="V = V_0·p_s / p",
    result=Symbol("V", "L", "volume of the gas", 0.0),
    symbols={
        "surface_volume_l": Symbol("V_0", "L", "volume of the gas at the surface", 0.0),
        "surface_bar": SURFACE,
        "ambient_bar": AMBIENT,
    },
    source=("the law of Boyle", "for a suit: common practice, no published source"),
    valid="closed cells that give way freely; real ones resist a little, and age",
)
def suit_gas_volume_l(surface_volume_l: float, surface_bar: float, ambient_bar: float) -> float:
    """Return the volume of the gas in a wetsuit at depth.

    Parameters
    ----------
    surface_volume_l
        Its volume at the surface [L].
    surface_bar
        Ambient pressure at the surface [bar].
    ambient_bar
        Ambient pressure at depth [bar].

    Returns
    -------
    float
        Volume [L].
    """
    return surface_volume_l * surface_bar / ambient_bar


def lead_buoyancy_kg(lead_kg: float, water_kg_per_m3: float) -> float:
    """Return the buoyancy of lead: below zero, and less than its weight on land.

    Parameters
    ----------
    lead_kg
        Mass of the lead [kg].
    water_kg_per_m3
        Density of the water [kg/m3].

    Returns
    -------
    float
        Buoyancy [kg].
    """
    return buoyancy_kg(lead_kg / LEAD_KG_PER_L, lead_kg, water_kg_per_m3)


def lead_for_kg(missing_kg: float, water_kg_per_m3: float) -> float:
    """Return the lead that pulls down by so much.

    Parameters
    ----------
    missing_kg
        What is to be pulled down in water [kg].
    water_kg_per_m3
        Density of the water [kg/m3].

    Returns
    -------
    float
        Mass of the lead as weighed on land [kg].
    """
    return missing_kg / -lead_buoyancy_kg(1.0, water_kg_per_m3)
