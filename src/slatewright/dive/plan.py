"""What a person wants to do: the plan of one dive, in metres, bar and minutes."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import Tissues
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.loop import Loop
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water


class Use(StrEnum):
    """What a gas is carried for."""

    TRAVEL = "travel"
    BOTTOM = "bottom"
    DECOMPRESSION = "decompression"
    DILUENT = "diluent"
    BAILOUT = "bailout"


@dataclass(frozen=True, slots=True)
class CarriedGas:
    """A gas that the diver carries.

    Parameters
    ----------
    mix
        The mixture.
    use
        What it is carried for.
    ppo2_max_bar
        The highest ppO2 at which it may be breathed, tolerance not included [bar].
    switch_m
        The depth at which the person wants to change to it [m]; None to have one proposed.
        For a travel gas: the depth at which it is left on the descent.
    """

    mix: Mixture
    use: Use
    ppo2_max_bar: float
    switch_m: float | None = None


@dataclass(frozen=True, slots=True)
class Level:
    """A stay at one depth before the ascent.

    Parameters
    ----------
    depth_m
        Depth [m].
    leave_at_min
        Run time at which it is left [min].
    """

    depth_m: float
    leave_at_min: float


@dataclass(frozen=True, slots=True)
class Carried:
    """What the diver brings from earlier dives.

    Parameters
    ----------
    tissues
        Inert gas at the end of the surface interval.
    cns_pct
        CNS share left after the interval [%].
    otu_today
        Pulmonary units of earlier dives of the same day.
    otu_before_today
        Pulmonary units of the days before, of the same run of days.
    day
        Which day of consecutive exposure this is, counted from 1.
    index_k
        What is left of the second-opinion index.
    """

    tissues: Tissues
    cns_pct: float = 0.0
    otu_today: float = 0.0
    otu_before_today: float = 0.0
    day: int = 1
    index_k: float = 0.0


@dataclass(frozen=True, slots=True)
class Plan:
    """One dive as a person wants it.

    Parameters
    ----------
    title
        Its name, for screen and slate.
    units
        The units in which the person reads; an imperial plan has levels of 10 ft.
    water
        Pressure under water.
    settings
        Model and ascent.
    gases
        All gases carried: at least one of them for the bottom, or on a closed circuit the diluent.
    levels
        The stays, in order of time; the first is reached by the descent.
    descent_m_per_min
        Rate of descent [m/min].
    narcotic_limit_m
        The equivalent narcotic depth that this person accepts [m].
    break_gas
        The gas for breaks from oxygen; None to have one chosen.
    carried
        What earlier dives left; None for a first dive.
    rules
        The house rules.
    loop
        The closed circuit on which the dive is made; None on open circuit.
    """

    title: str
    units: UnitSystem
    water: Water
    settings: AscentSettings
    gases: tuple[CarriedGas, ...]
    levels: tuple[Level, ...]
    descent_m_per_min: float = 20.0
    narcotic_limit_m: float = 30.0
    break_gas: Mixture | None = None
    carried: Carried | None = None
    rules: HouseRules = field(default_factory=HouseRules)
    loop: Loop | None = None

    @property
    def bottom_gases(self) -> tuple[CarriedGas, ...]:
        """The gases carried for the bottom."""
        return tuple(gas for gas in self.gases if gas.use is Use.BOTTOM)

    @property
    def travel_gases(self) -> tuple[CarriedGas, ...]:
        """The gases carried for the way down."""
        return tuple(gas for gas in self.gases if gas.use is Use.TRAVEL)

    @property
    def bailout_gases(self) -> tuple[CarriedGas, ...]:
        """The gases for an ascent on open circuit after the loop has failed."""
        return tuple(gas for gas in self.gases if gas.use is Use.BAILOUT)

    @property
    def deepest_m(self) -> float:
        """The greatest depth [m]."""
        return max(level.depth_m for level in self.levels)
