"""What floats and sinks on a diver besides the cylinders: wing, lead, suit, and the person."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from slatewright.errors import InputError


class Suit(StrEnum):
    """What happens to the gas of a suit with depth."""

    WETSUIT = "wetsuit"
    DRYSUIT = "drysuit"


@dataclass(frozen=True, slots=True)
class Rig:
    """What floats and sinks on a diver, besides the cylinders.

    Parameters
    ----------
    wing_lift_kg
        What the wing lifts when full [kg].
    droppable_kg, fixed_ballast_kg
        Lead that can be dropped in the water, and other lead, as weighed on land [kg].
    suit
        A wetsuit's gas is compressed with depth, a drysuit's is topped up.
    suit_gas_l
        Gas in the cells of the wetsuit at the surface, or the least that a drysuit and what is
        worn under it hold at any depth [L].
    person_buoyancy_kg
        Buoyancy of all the rest in this water: body with lungs half full, plate, lamps, reels,
        suit without its gas; positive if it floats [kg].
    second_lift_kg
        What can be counted on when the wing has failed: a drysuit, a second bladder [kg].

    Raises
    ------
    InputError
        If a figure is below zero or no number; the person's buoyancy may be below zero.
    """

    wing_lift_kg: float
    droppable_kg: float
    fixed_ballast_kg: float
    suit: Suit
    suit_gas_l: float
    person_buoyancy_kg: float = 0.0
    second_lift_kg: float = 0.0

    def __post_init__(self) -> None:
        for name in (
            "wing_lift_kg",
            "droppable_kg",
            "fixed_ballast_kg",
            "suit_gas_l",
            "second_lift_kg",
        ):
            value: float = getattr(self, name)
            if not 0.0 <= value < math.inf:
                unit = name.rsplit("_", 1)[1].replace("l", "L")
                raise InputError(
                    f"{value:g} {unit} on a rig", where=name, right="zero or more, or leave it out"
                )
        if not math.isfinite(self.person_buoyancy_kg):
            raise InputError(
                f"{self.person_buoyancy_kg:g} kg is no buoyancy",
                where="person_buoyancy_kg",
                right="kilograms, positive if the person floats",
            )
