"""The tables of a plan file for the team: how each breathes, cylinders, what is kept back."""

from __future__ import annotations

from typing import Annotated, Literal

from slatewright.dive._plan_base import Mix, Names, Table, Words
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.toml.keys import key

_RMV_L = {"unit": "L/min", "ge": 4, "le": 120}
_RMV_CUFT = {"unit": "cuft/min", "ge": 0.15, "le": 4.2}


class BreathingTable(Table):
    """What ``[diver]`` and ``[[partner]]`` share: how a person breathes, and reads a gauge."""

    rmv_swimming_l_per_min: Annotated[
        float | None,
        key("RMV on the way down, at depth and on the way up, as breathed", "18", **_RMV_L),
    ] = None
    rmv_swimming_cuft_per_min: Annotated[float | None, key("the same", "0.65", **_RMV_CUFT)] = None
    rmv_working_l_per_min: Annotated[
        float | None, key("RMV at work at depth; left out: that of swimming", "24", **_RMV_L)
    ] = None
    rmv_working_cuft_per_min: Annotated[float | None, key("the same", "0.85", **_RMV_CUFT)] = None
    rmv_resting_l_per_min: Annotated[
        float | None, key("RMV at stops; left out: that of swimming", "16", **_RMV_L)
    ] = None
    rmv_resting_cuft_per_min: Annotated[float | None, key("the same", "0.55", **_RMV_CUFT)] = None
    rmv_stressed_l_per_min: Annotated[
        float | None, key("RMV when something has failed, not below the others", "30", **_RMV_L)
    ] = None
    rmv_stressed_cuft_per_min: Annotated[float | None, key("the same", "1.1", **_RMV_CUFT)] = None
    works_at_depth: Annotated[
        bool, key("whether the stay at depth is work; `rmv_working` is needed then", "true")
    ] = False
    gauge: Annotated[
        Literal["bar", "psi"] | None,
        key("what the person's gauges show; left out: the file's units", '"psi"'),
    ] = None

    def gauge_units(self, units: UnitSystem) -> UnitSystem:
        """Return the units of the person's gauges.

        Parameters
        ----------
        units
            The units of the file.
        """
        if self.gauge is None:
            return units
        return UnitSystem.IMPERIAL if self.gauge == "psi" else UnitSystem.METRIC


_KG = {"unit": "kg", "ge": 0, "le": 100}
_LB = {"unit": "lb", "ge": 0, "le": 220}


class RigTable(Table):
    """``[rig]``, and ``rig`` of a ``[[partner]]``: what floats and sinks besides the cylinders."""

    wing_lift_kg: Annotated[float | None, key("what the wing lifts when full", "20", **_KG)] = None
    wing_lift_lb: Annotated[float | None, key("the same", "45", **_LB)] = None
    droppable_kg: Annotated[
        float | None,
        key("lead that can be dropped in the water, as weighed on land", "2", default=0, **_KG),
    ] = None
    droppable_lb: Annotated[float | None, key("the same", "4", default=0, **_LB)] = None
    fixed_ballast_kg: Annotated[
        float | None, key("other lead, as weighed on land", "3", default=0, **_KG)
    ] = None
    fixed_ballast_lb: Annotated[float | None, key("the same", "6", default=0, **_LB)] = None
    suit: Annotated[
        Literal["wetsuit", "drysuit"],
        key("a wetsuit is compressed with depth, a drysuit topped up", '"drysuit"'),
    ]
    suit_gas_l: Annotated[
        float | None,
        key(
            "gas in the cells of the wetsuit at the surface, or the least that a drysuit and what "
            "is worn under it hold at any depth",
            "8",
            unit="L",
            ge=0,
            le=60,
        ),
    ] = None
    suit_gas_cuft: Annotated[float | None, key("the same", "0.3", unit="cuft", ge=0, le=2.1)] = None
    person_buoyancy_kg: Annotated[
        float | None,
        key(
            "buoyancy in this water of all the rest: body with lungs half full, plate, lamps, "
            "reels, suit without its gas; below 0 if it sinks",
            "-2",
            unit="kg",
            ge=-50,
            le=50,
        ),
    ] = None
    person_buoyancy_lb: Annotated[
        float | None, key("the same", "-4", unit="lb", ge=-110, le=110)
    ] = None
    second_lift_kg: Annotated[
        float | None,
        key(
            "what can be counted on when the wing has failed: drysuit, second bladder",
            "10",
            default=0,
            **_KG,
        ),
    ] = None
    second_lift_lb: Annotated[float | None, key("the same", "22", default=0, **_LB)] = None


class PartnerTable(BreathingTable):
    """``[[partner]]``: another one of the team."""

    name: Annotated[Words, key("the person's name", '"Tove"')]
    rig: Annotated[
        RigTable | None,
        key(
            "what floats and sinks on this person, keys as in `[rig]`; left out: lift is not "
            "judged",
            '{ wing_lift_kg = 20, suit = "drysuit", suit_gas_l = 8, person_buoyancy_kg = -2 }',
        ),
    ] = None


class SizeTable(Table):
    """``[[size]]``: a cylinder of one's own; its keys may be of either system, as stamped."""

    name: Annotated[Words, key("how it is called under `size` of a cylinder", '"my 12"')]
    water_volume_l: Annotated[
        float | None,
        key("water volume of the whole set", "24", unit="L", ge=0.2, le=300),
    ] = None
    rated_cuft: Annotated[
        float | None,
        key("or rated contents of the whole set", "80", unit="cuft", gt=0, le=600),
    ] = None
    rated_psi: Annotated[
        float | None,
        key("pressure that goes with the rating", "3000", unit="psi", ge=1000, le=5500),
    ] = None
    rating: Annotated[
        Literal["ideal law", "as held"],
        key("what the rating counts: volume times pressure, or air really held", '"as held"'),
    ] = "ideal law"
    working_bar: Annotated[
        float | None,
        key("working pressure; left out: the rated pressure", "232", unit="bar", ge=50, le=380),
    ] = None
    working_psi: Annotated[float | None, key("the same", "3442", unit="psi", ge=750, le=5500)] = (
        None
    )
    material: Annotated[
        Literal["steel", "aluminium", "composite"], key("what its wall is made of", '"steel"')
    ]
    empty_mass_kg: Annotated[
        float | None,
        key("mass of the whole set without gas, with valves", "32", unit="kg", gt=0, le=200),
    ] = None
    empty_mass_lb: Annotated[float | None, key("the same", "70", unit="lb", gt=0, le=440)] = None
    external_volume_l: Annotated[
        float | None, key("water that the whole set displaces", "28", unit="L", gt=0, le=400)
    ] = None
    buoyancy_empty_kg: Annotated[
        float | None,
        key(
            "or its buoyancy, empty in fresh water, below 0 if it sinks",
            "-4.2",
            unit="kg",
            ge=-100,
            le=100,
        ),
    ] = None
    buoyancy_empty_lb: Annotated[
        float | None, key("the same", "-9", unit="lb", ge=-220, le=220)
    ] = None
    count: Annotated[int, key("cylinders in the set; 2 for a manifolded pair", "2", ge=1, le=4)] = 1


class CylinderTable(Table):
    """``[[cylinder]]``: a cylinder, or a manifolded pair, that someone carries."""

    gas: Annotated[Mix, key("what is in it, a gas of the plan", '"10/70"')]
    size: Annotated[
        Words,
        key("a shipped size, or the name of a [[size]]", '"twin 12"'),
    ]
    pressure_bar: Annotated[
        float | None, key("pressure on the gauge as filled", "232", unit="bar", gt=0, le=380)
    ] = None
    pressure_psi: Annotated[float | None, key("the same", "3000", unit="psi", gt=0, le=5500)] = None
    fill_temperature_c: Annotated[
        float | None,
        key("temperature at which it was read", "20", unit="c", default=20, ge=-20, le=60),
    ] = None
    fill_temperature_f: Annotated[
        float | None, key("the same", "68", unit="f", default=68, ge=-4, le=140)
    ] = None
    place: Annotated[
        Literal["back", "left", "right", "stage", "loop"],
        key(
            "where it is carried; a left and a right one of the same gas are a pair; `loop` if it "
            "feeds a closed circuit with oxygen or diluent",
            '"back"',
        ),
    ] = "stage"
    label: Annotated[
        Words | None,
        key("a short name, once a person; left out: place and gas", '"left 21/35"'),
    ] = None
    diver: Annotated[
        Names | None,
        key(
            "who carries it; a list if several carry the same; left out: the plan's diver",
            '"Tove"',
        ),
    ] = None

    @property
    def mixture(self) -> Mixture:
        """The mixture that is meant."""
        return Mixture.parse(self.gas)

    @property
    def called(self) -> str:
        """Its label."""
        return self.label or f"{self.place} {self.mixture}"


class ReserveTable(Table):
    """``[reserve]``: what the team keeps back."""

    turn_rule: Annotated[
        Literal["all usable", "halves", "thirds", "sixths"],
        key("how the gas beyond the minimum gas may be used", '"thirds"'),
    ] = "all usable"
    problem_min: Annotated[
        float, key("minutes at depth to sort a problem out", "1", unit="min", ge=0, le=20)
    ] = 1.0
    two_tasks_min: Annotated[
        float,
        key(
            "minutes instead where two tasks coincide: on leaving the bottom, and at a change of "
            "gas",
            "2",
            unit="min",
            ge=0,
            le=20,
        ),
    ] = 2.0
    decompression_factor: Annotated[
        float, key("decompression gas carried for each litre needed", "1.5", ge=1, le=4)
    ] = 1.5
    inflation_l: Annotated[
        float | None,
        key("free gas for wing and suit, from the back", "100", unit="L", default=0, ge=0, le=2000),
    ] = None
    inflation_cuft: Annotated[
        float | None, key("the same", "4", unit="cuft", default=0, ge=0, le=70)
    ] = None
    surface_swim_min: Annotated[
        float, key("swim before the descent, on the first gas", "3", unit="min", ge=0, le=120)
    ] = 0.0
    residual_bar: Annotated[
        float | None,
        key(
            "what stays in every cylinder, as a regulator may not give it",
            "10",
            unit="bar",
            default=10,
            ge=0,
            le=100,
        ),
    ] = None
    residual_psi: Annotated[
        float | None, key("the same", "150", unit="psi", default=150, ge=0, le=1450)
    ] = None
