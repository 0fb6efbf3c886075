"""The balanced rig: a team member's buoyancy over the dive against lift and droppable weight.

A diver is heaviest at the start, with all gas in, and lightest at the last stop, with most of it
breathed. Too heavy for the wing, and a diver sinks; too light with an empty wing, and the last stop
cannot be held: for one who owes decompression that is no better.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.dive.hazard import Hazard, Severity
from slatewright.errors import InputError
from slatewright.physics.units import (
    UnitSystem,
    cubic_feet_from_l,
    feet_from_m,
    pounds_from_kg,
    round_down,
    round_up,
)
from slatewright.physics.water import Water
from slatewright.supply.buoyancy import (
    LEAD_KG_PER_L,
    buoyancy_kg,
    cylinder_buoyancy_kg,
    lead_buoyancy_kg,
    lead_for_kg,
    suit_gas_volume_l,
    water_density_kg_per_m3,
)
from slatewright.supply.kit import KitCylinder
from slatewright.supply.rig import Rig, Suit

WORTH_SAYING_KG: Final = 0.05
"""Less than this is no finding: a diver's weights are not known so well."""


@dataclass(frozen=True, slots=True)
class Moment:
    """What a diver has at one time of the dive.

    Parameters
    ----------
    at_min, at_m
        Run time and depth [min], [m].
    amounts_mol
        What each cylinder of the kit holds, in the kit's order; None for one that is not carried
        at that time, being dropped or handed over [mol].
    """

    at_min: float
    at_m: float
    amounts_mol: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class BuoyancyPoint:
    """The buoyancy of a diver at one time, with nothing in the wing.

    Parameters
    ----------
    at_min, at_m
        Run time and depth [min], [m].
    cylinders_kg, suit_kg, ballast_kg, person_kg
        What each contributes, positive if it floats [kg].
    """

    at_min: float
    at_m: float
    cylinders_kg: float
    suit_kg: float
    ballast_kg: float
    person_kg: float

    @property
    def net_kg(self) -> float:
        """All together, positive if the diver floats with an empty wing [kg]."""
        return self.cylinders_kg + self.suit_kg + self.ballast_kg + self.person_kg

    @property
    def wing_needed_kg(self) -> float:
        """What the wing must lift for the diver to hover [kg]."""
        return max(0.0, -self.net_kg)


@dataclass(frozen=True, slots=True)
class Balance:
    """The buoyancy of a diver over a dive.

    Parameters
    ----------
    points
        One for each moment.
    heaviest, lightest
        The moments with least and, under water, most buoyancy.
    hazards
        Each spell in which the diver is too heavy or too light, at its worst moment.
    assumptions
        What was taken for granted, in sentences that belong beside the figures.
    """

    points: tuple[BuoyancyPoint, ...]
    heaviest: BuoyancyPoint
    lightest: BuoyancyPoint
    hazards: tuple[Hazard, ...]
    assumptions: tuple[str, ...]


def balance(
    rig: Rig,
    kit: Sequence[KitCylinder],
    moments: Sequence[Moment],
    water: Water,
    *,
    water_kg_per_m3: float | None = None,
    units: UnitSystem = UnitSystem.METRIC,
) -> Balance:
    """Return the buoyancy of a diver over the dive, and where it is too much or too little.

    Parameters
    ----------
    rig
        Wing, lead, suit.
    kit
        The cylinders.
    moments
        The dive: both ends of every leg, and before and after a cylinder is dropped or taken up.
        Within a leg no diver is lighter than at one of its ends.
    water
        Surface pressure and weight of the water column.
    water_kg_per_m3
        Density of the water; without it that of the column [kg/m3].
    units
        The units in which the hazards and assumptions are written.

    Returns
    -------
    Balance
        The figures, the hazards, and what was taken for granted.

    Raises
    ------
    InputError
        If there is no moment, one does not match the kit, or a density is no water's.
    """
    density = water_density_kg_per_m3(water) if water_kg_per_m3 is None else water_kg_per_m3
    _need(kit, moments, density)
    points = tuple(_point(rig, kit, moment, water, density) for moment in moments)
    under = [point for point in points if point.at_m > 0.0] or list(points)
    return Balance(
        points=points,
        heaviest=min(points, key=lambda point: point.net_kg),
        lightest=max(under, key=lambda point: point.net_kg),
        hazards=tuple(_hazards(rig, points, density, units)),
        assumptions=_assumptions(rig, density, units),
    )


def _need(kit: Sequence[KitCylinder], moments: Sequence[Moment], density: float) -> None:
    if not moments:
        raise InputError("a dive without a moment has no buoyancy", where="moments")
    if not 990.0 <= density <= 1250.0:
        raise InputError(
            f"{density:g} kg/m3 is no water to dive in",
            where="water_kg_per_m3",
            right="1000 for fresh water, 1025 for the sea",
        )
    for moment in moments:
        if len(moment.amounts_mol) != len(kit):
            raise InputError(
                f"{len(moment.amounts_mol)} amounts for {len(kit)} cylinders at "
                f"{moment.at_min:g} min",
                where="amounts_mol",
                right="one for each cylinder of the kit, None for one that is not carried",
            )
        if not 0.0 <= moment.at_m < math.inf:
            raise InputError(f"{moment.at_m:g} m is no depth", where="at_m", right="zero or more")


def _point(
    rig: Rig, kit: Sequence[KitCylinder], moment: Moment, water: Water, density: float
) -> BuoyancyPoint:
    suit_l = rig.suit_gas_l
    if rig.suit is Suit.WETSUIT:
        suit_l = suit_gas_volume_l(suit_l, water.surface_bar, water.ambient_bar(moment.at_m))
    cylinders_kg = math.fsum(
        cylinder_buoyancy_kg(carried.cylinder, carried.mix, amount_mol, density)
        for carried, amount_mol in zip(kit, moment.amounts_mol, strict=True)
        if amount_mol is not None
    )
    return BuoyancyPoint(
        at_min=moment.at_min,
        at_m=moment.at_m,
        cylinders_kg=cylinders_kg,
        suit_kg=buoyancy_kg(suit_l, 0.0, density),
        ballast_kg=lead_buoyancy_kg(rig.droppable_kg + rig.fixed_ballast_kg, density),
        person_kg=rig.person_buoyancy_kg,
    )


def _hazards(
    rig: Rig, points: Sequence[BuoyancyPoint], density: float, units: UnitSystem
) -> Iterator[Hazard]:
    yield from _floats(rig, points, density, units)
    yield from _beyond_wing(rig, points, density, units)
    yield from _heavy_without_wing(rig, points, density, units)


def _floats(
    rig: Rig, points: Sequence[BuoyancyPoint], density: float, units: UnitSystem
) -> Iterator[Hazard]:
    most_kg = max(point.wing_needed_kg for point in points)
    for point, excess_kg in _worst_of_spells(points, lambda p: p.net_kg if p.at_m > 0.0 else 0.0):
        cure = f"{mass_label(lead_for_kg(excess_kg, density), units)} more lead"
        if most_kg + excess_kg > rig.wing_lift_kg:
            cure += f", and a wing that lifts {mass_label(most_kg + excess_kg, units)}"
        yield Hazard(
            code="floats",
            severity=Severity.DANGER,
            at_min=point.at_min,
            at_m=point.at_m,
            text=f"{mass_label(excess_kg, units)} too light with an empty wing at "
            f"{when_label(point, units)}",
            why="one who floats cannot hold a stop, and misses what is owed there",
            cure=cure,
        )


def _beyond_wing(
    rig: Rig, points: Sequence[BuoyancyPoint], density: float, units: UnitSystem
) -> Iterator[Hazard]:
    lead_kg = rig.droppable_kg + rig.fixed_ballast_kg
    spare_kg = -max((p.net_kg for p in points if p.at_m > 0.0), default=-math.inf)
    for point, excess_kg in _worst_of_spells(points, lambda p: -p.net_kg - rig.wing_lift_kg):
        less_kg = lead_for_kg(excess_kg, density)
        cure = f"a wing that lifts {mass_label(point.wing_needed_kg, units)}, or lighter cylinders"
        if less_kg <= lead_kg and excess_kg <= spare_kg:  # and the last stop can still be held
            cure = f"{mass_label(less_kg, units)} less lead, {cure}"
        yield Hazard(
            code="beyond-wing",
            severity=Severity.DANGER,
            at_min=point.at_min,
            at_m=point.at_m,
            text=f"{mass_label(point.wing_needed_kg, units)} to lift at "
            f"{when_label(point, units)}, and the wing lifts "
            f"{mass_label(rig.wing_lift_kg, units, up=False)}",
            why="a full wing does not hold this diver, who swims up all the time or sinks",
            cure=cure,
        )


def _heavy_without_wing(
    rig: Rig, points: Sequence[BuoyancyPoint], density: float, units: UnitSystem
) -> Iterator[Hazard]:
    dropped_kg = -lead_buoyancy_kg(rig.droppable_kg, density)
    lifted_kg = rig.second_lift_kg
    for point, excess_kg in _worst_of_spells(points, lambda p: -p.net_kg - dropped_kg - lifted_kg):
        lead_kg = lead_for_kg(excess_kg, density)
        cure = (
            f"a second bladder or a drysuit that lifts {mass_label(lifted_kg + excess_kg, units)}"
        )
        if lead_kg <= rig.fixed_ballast_kg:
            cure += f", or {mass_label(lead_kg, units)} of the fixed lead made droppable"
        yield Hazard(
            code="heavy-without-wing",
            severity=Severity.WARNING,
            at_min=point.at_min,
            at_m=point.at_m,
            text=f"if the wing fails at {when_label(point, units)}, "
            f"{mass_label(excess_kg, units)} too heavy: droppable lead takes off "
            f"{mass_label(dropped_kg, units, up=False)}, and "
            f"{mass_label(lifted_kg, units, up=False)} are lifted otherwise",
            why="this diver must swim that weight up or give a cylinder away, and whoever has "
            "dropped lead floats at the last stop",
            cure=cure,
        )


def when_label(point: BuoyancyPoint, units: UnitSystem) -> str:
    """Return run time and depth of a moment as they are read.

    Parameters
    ----------
    point
        The moment.
    units
        The units of the reader.
    """
    imperial = units is UnitSystem.IMPERIAL
    depth = feet_from_m(point.at_m) if imperial else point.at_m
    return f"{point.at_min:.0f} min, {round(depth, 1):g} {units.depth_unit}"


def mass_label(kg: float, units: UnitSystem, *, up: bool = True) -> str:
    """Return a mass in the reader's units, to a tenth.

    Parameters
    ----------
    kg
        The mass [kg].
    units
        The units of the reader.
    up
        True to round up what is missing or must be lifted, False to round down what helps.
    """
    imperial = units is UnitSystem.IMPERIAL
    tenths = (round_up if up else round_down)(pounds_from_kg(kg) if imperial else kg, 0.1)
    return f"{tenths:.1f} {'lb' if imperial else 'kg'}"


def _worst_of_spells(
    points: Sequence[BuoyancyPoint], excess_kg: Callable[[BuoyancyPoint], float]
) -> Iterator[tuple[BuoyancyPoint, float]]:
    """Yield for each unbroken run of points with an excess the worst of them."""
    worst: tuple[BuoyancyPoint, float] | None = None
    for point in points:
        excess = excess_kg(point)
        if excess <= WORTH_SAYING_KG:
            if worst is not None:
                yield worst
            worst = None
        elif worst is None or excess > worst[1]:
            worst = (point, excess)
    if worst is not None:
        yield worst


def _assumptions(rig: Rig, density: float, units: UnitSystem) -> tuple[str, ...]:
    gas = f"{rig.suit_gas_l:.1f} L"
    if units is UnitSystem.IMPERIAL:
        gas = f"{cubic_feet_from_l(rig.suit_gas_l):.2f} cu ft"
    suit = {
        Suit.WETSUIT: f"the wetsuit holds {gas} of gas at the surface, which "
        "shrinks as the ambient pressure grows",
        Suit.DRYSUIT: f"drysuit and what is worn under it hold {gas} of gas at "
        "every depth, topped up and let out by the diver",
    }[rig.suit]
    person_kg = rig.person_buoyancy_kg
    floats = "floats" if person_kg > 0.0 else "sinks"
    person = f"{floats} by {mass_label(abs(person_kg), units)}" if person_kg else "is neutral"
    return (
        f"water of {density:.1f} kg/m3",
        suit,
        f"the body, lungs half full, with all else that is worn {person} in this water",
        f"lead of {LEAD_KG_PER_L:g} kg/L; the gas in wing and suit weighs nothing",
        "a head held above the surface is not counted: the wing must lift that too",
    )
