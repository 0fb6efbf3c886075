"""Who carries what: divers, their breathing, their cylinders, and the team's rules of reserve."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.supply.cylinders import Cylinder
from slatewright.supply.rig import Rig


class Place(StrEnum):
    """Where a cylinder is carried."""

    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    STAGE = "stage"
    LOOP = "loop"
    """Feeds the loop of a closed circuit, and is not breathed from."""


class Phase(StrEnum):
    """What a diver is doing, as far as breathing goes."""

    SWIMMING = "swimming"
    WORKING = "working"
    RESTING = "resting"
    STRESSED = "stressed"


class TurnRule(StrEnum):
    """How the gas beyond the minimum gas may be used."""

    ALL_USABLE = "all usable"
    HALVES = "halves"
    THIRDS = "thirds"
    SIXTHS = "sixths"


@dataclass(frozen=True, slots=True)
class Rmv:
    """A diver's respiratory minute volume by phase, as breathed at ambient pressure.

    Parameters
    ----------
    swimming_l_per_min, working_l_per_min, resting_l_per_min, stressed_l_per_min
        On the way down and at depth; at work at depth; at stops; when something has failed [L/min].
    """

    swimming_l_per_min: float
    working_l_per_min: float
    resting_l_per_min: float
    stressed_l_per_min: float

    def l_per_min(self, phase: Phase) -> float:
        """Return the RMV of a phase [L/min].

        Parameters
        ----------
        phase
            What the diver is doing.
        """
        return {
            Phase.SWIMMING: self.swimming_l_per_min,
            Phase.WORKING: self.working_l_per_min,
            Phase.RESTING: self.resting_l_per_min,
            Phase.STRESSED: self.stressed_l_per_min,
        }[phase]


@dataclass(frozen=True, slots=True)
class KitCylinder:
    """One cylinder, or one manifolded pair, on one diver.

    Parameters
    ----------
    cylinder
        The vessel.
    mix
        What is in it.
    start_gauge_bar
        Its pressure at the start of the dive, on the gauge [bar].
    fill_temperature_k
        The temperature at which that was read [K].
    place
        Where it is carried.
    label
        A short name, unique on this diver, such as ``left 21/35``.
    """

    cylinder: Cylinder
    mix: Mixture
    start_gauge_bar: float
    fill_temperature_k: float
    place: Place
    label: str


@dataclass(frozen=True, slots=True)
class Diver:
    """A member of the team.

    Parameters
    ----------
    name
        How the person is called in the plan.
    units
        The units of this person's gauges.
    rmv
        The person's breathing.
    kit
        The cylinders, in the order in which they are used where two hold the same gas.
    works_at_depth
        True if the stay at depth is breathed at the working RMV.
    rig
        What floats and sinks besides the cylinders; None if unknown: lift is not judged then.
    """

    name: str
    units: UnitSystem
    rmv: Rmv
    kit: tuple[KitCylinder, ...]
    works_at_depth: bool = False
    rig: Rig | None = None


@dataclass(frozen=True, slots=True)
class ReserveRules:
    """What the team keeps back.

    Parameters
    ----------
    turn_rule
        How the gas beyond the minimum gas may be used.
    problem_min
        Minutes at depth to sort a problem out [min].
    two_tasks_min
        Minutes instead, where two tasks coincide, such as sharing gas while sending up a marker
        [min].
    decompression_factor
        Decompression gas carried for each litre needed (common practice 1.5, no published source).
    inflation_free_l
        Allowance for wing and suit from the back gas, in free litres [L].
    surface_swim_min
        Minutes of swimming at the surface before the descent, on the first gas [min].
    residual_gauge_bar
        What a regulator cannot be counted on to give any more: it stays in every cylinder and is
        nobody's reserve (common practice, no published source) [bar].
    """

    turn_rule: TurnRule = TurnRule.ALL_USABLE
    problem_min: float = 1.0
    two_tasks_min: float = 2.0
    decompression_factor: float = 1.5
    inflation_free_l: float = 0.0
    surface_swim_min: float = 0.0
    residual_gauge_bar: float = 10.0


@dataclass(frozen=True, slots=True)
class Team:
    """The divers who go together.

    Parameters
    ----------
    divers
        Two or three, the one of the plan first; one who dives alone is a team of one.
    rules
        What they keep back.
    water_temperature_k
        Temperature of the water, None if unknown: then gas is counted at 20 degC [K].
    """

    divers: tuple[Diver, ...]
    rules: ReserveRules
    water_temperature_k: float | None = None
