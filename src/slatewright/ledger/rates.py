"""Rates: what everything but the gas itself costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path

from slatewright.ledger.money import NOTHING


@dataclass(frozen=True, slots=True)
class DayRates:
    """What a day costs.

    Parameters
    ----------
    boat
        The boat for a day, whole.
    guide, instructor, assistant
        A day of each.
    lodging
        A night, a person.
    """

    boat: Decimal = NOTHING
    guide: Decimal = NOTHING
    instructor: Decimal = NOTHING
    assistant: Decimal = NOTHING
    lodging: Decimal = NOTHING


@dataclass(frozen=True, slots=True)
class HeadRates:
    """What a student costs once.

    Parameters
    ----------
    materials
        Course materials and registration.
    insurance
        Insurance for the course.
    """

    materials: Decimal = NOTHING
    insurance: Decimal = NOTHING


@dataclass(frozen=True, slots=True)
class Gear:
    """What somebody buys who goes one way, and what it costs to keep.

    Parameters
    ----------
    price
        What is bought at the beginning.
    resale_pct
        What it would fetch the day after, of its price [%].
    fall_pct_per_year
        What that loses in a year [%].
    service_per_year
        Servicing.
    insurance_per_year
        Insurance.
    """

    price: Decimal = NOTHING
    resale_pct: float = 0.0
    fall_pct_per_year: float = 0.0
    service_per_year: Decimal = NOTHING
    insurance_per_year: Decimal = NOTHING

    @property
    def per_year(self) -> Decimal:
        """What it costs to keep for a year."""
        return self.service_per_year + self.insurance_per_year


@dataclass(frozen=True, slots=True)
class Step:
    """A step of training on a closed circuit.

    Parameters
    ----------
    name
        What it is called.
    price
        What it costs, gas and boat included.
    deepest_m
        To where it allows to dive [m].
    after_months
        Not sooner than so many months after the purchase.
    after_dives
        Not before so many dives on the unit.
    """

    name: str
    price: Decimal
    deepest_m: float
    after_months: int = 0
    after_dives: int = 0


@dataclass(frozen=True, slots=True)
class ClosedRates:
    """What a closed circuit costs besides the unit.

    Parameters
    ----------
    gear
        The unit.
    absorbent_per_kg
        Price of absorbent.
    absorbent_kg
        What one filling of the canister takes [kg].
    absorbent_min
        For how long a filling is used, as its user states it [min].
    cell
        Price of an oxygen cell.
    cells
        How many there are in the unit.
    cell_months
        After how many months they are renewed.
    steps
        Training, in order.
    """

    gear: Gear
    absorbent_per_kg: Decimal = NOTHING
    absorbent_kg: float = 0.0
    absorbent_min: float = 0.0
    cell: Decimal = NOTHING
    cells: int = 0
    cell_months: int = 12
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class Rates:
    """All rates.

    Parameters
    ----------
    currency
        Its three letters.
    on, valid_until
        The day of the list, and the last on which it holds.
    fill_room
        The fill file whose room, sources and gas prices count.
    day, head
        By the day, and by the student.
    fill_labour
        For filling one cylinder.
    hire_per_day
        Size of a cylinder to its hire a day.
    open_gear, closed
        The two ways to dive.
    """

    currency: str
    on: date
    valid_until: date
    fill_room: Path
    day: DayRates = DayRates()
    head: HeadRates = HeadRates()
    fill_labour: Decimal = NOTHING
    hire_per_day: Mapping[str, Decimal] = field(default_factory=dict)
    open_gear: Gear = Gear()
    closed: ClosedRates = ClosedRates(Gear())
