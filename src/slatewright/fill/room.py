"""The fill room: its sources, temperatures, habits and prices."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum

from slatewright.errors import InputError
from slatewright.fill.banks import Bank
from slatewright.fill.booster import Booster
from slatewright.fill.prices import Prices, gas_name
from slatewright.fill.state import REFERENCE_K
from slatewright.fill.tolerance import Tolerance
from slatewright.physics.amount import Gas
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.units import UnitSystem


class Choice(StrEnum):
    """Which of the possible recipes is taken; ties go to fewer steps, then less cost and helium."""

    FEWEST_STEPS = "fewest steps"
    LEAST_HELIUM = "least helium"
    LEAST_COST = "least cost"


class FillOrder(StrEnum):
    """In which order the cylinders of a day are filled."""

    AS_WRITTEN = "as written"
    LEAST_BOUGHT = "least bought"


class First(StrEnum):
    """Which gas goes in first, where the pressures of the sources leave a choice."""

    HELIUM = "helium"
    OXYGEN = "oxygen"


@dataclass(frozen=True, slots=True)
class Source:
    """A gas at hand.

    Parameters
    ----------
    name
        How it is called, unique in the room.
    gas
        What it is.
    highest_gauge_bar
        The pressure up to which it fills: that of a compressor, or of a valve's limit [bar].
    bank
        The cylinders that it comes from; None for a source without end.
    boosted
        Whether the room's booster may be used for it.
    """

    name: str
    gas: Gas
    highest_gauge_bar: float = 300.0
    bank: Bank | None = None
    boosted: bool = False

    def __post_init__(self) -> None:
        if not 0.0 < self.highest_gauge_bar < math.inf:
            raise InputError(
                f"a source that fills up to {self.highest_gauge_bar:g} bar is none",
                where=self.name,
                right="the highest pressure on the gauge, such as 232",
            )

    @property
    def gas_name(self) -> str:
        """What price lists call its gas."""
        return gas_name(self.gas)


@dataclass(frozen=True)
class Room:
    """What is at hand, and how it is used.

    Parameters
    ----------
    sources
        At least one, each with a name of its own.
    on
        The day of the fills.
    fill_temperature_k
        Temperature of the gas in a cylinder when its gauge is read during the fill [K].
    reference_temperature_k
        Temperature for which settled pressures are told [K].
    surface_bar
        Ambient pressure, above which gauges count [bar].
    choice
        Which recipe is taken.
    first
        Which gas goes in first.
    booster
        The booster; None if there is none.
    prices
        The price list; None if cost is of no matter.
    tolerance
        How far a mix may be from what was asked for, where that cannot be met exactly: oxygen in a
        cylinder that held air never becomes quite pure.
    units
        The units in which refusals and offers are told.
    """

    sources: tuple[Source, ...]
    on: date
    fill_temperature_k: float = REFERENCE_K
    reference_temperature_k: float = REFERENCE_K
    surface_bar: float = STANDARD_ATMOSPHERE_BAR
    choice: Choice = Choice.FEWEST_STEPS
    first: First = First.HELIUM
    booster: Booster | None = None
    prices: Prices | None = None
    tolerance: Tolerance = field(default_factory=Tolerance)
    units: UnitSystem = UnitSystem.METRIC

    def __post_init__(self) -> None:
        names = [source.name for source in self.sources]
        if not names or len(set(names)) < len(names):
            raise InputError(
                "a fill room needs sources, each with a name of its own",
                where="source",
                right="such as helium, oxygen and air",
            )
        if self.choice is Choice.LEAST_COST and self.prices is None:
            raise InputError(
                "the least cost is asked for, and there are no prices",
                where="choice",
                right="a price list, or least helium or fewest steps",
            )

    def with_banks(self, banks: Mapping[str, Bank]) -> Room:
        """Return the room with the banks as they are after a fill.

        Parameters
        ----------
        banks
            Name of the source to its bank; the others stay as they are.
        """
        sources = tuple(
            replace(source, bank=banks.get(source.name, source.bank)) for source in self.sources
        )
        return replace(self, sources=sources)
