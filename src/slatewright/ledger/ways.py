"""Two ways to do the same dives: what each costs to begin, by the dive, and by the year."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from slatewright.ledger.money import NOTHING
from slatewright.ledger.rates import ClosedRates, Gear


@dataclass(frozen=True, slots=True)
class DiveCost:
    """What one dive of a kind costs, one way.

    Parameters
    ----------
    helium
        Its helium at today's price; this is what moves with the price of helium.
    other
        Everything else: oxygen, fees and labour of fills, absorbent.
    first_helium, first_other
        What the first fills cost beyond that: full cylinders that come back with most of it.
    """

    helium: Decimal
    other: Decimal
    first_helium: Decimal = NOTHING
    first_other: Decimal = NOTHING

    @property
    def total(self) -> Decimal:
        """One dive at today's price of helium."""
        return self.helium + self.other


@dataclass(frozen=True, slots=True)
class Kind:
    """Dives of one kind.

    Parameters
    ----------
    name
        What they are called.
    deepest_m
        Their greatest depth [m].
    per_year
        How many a year.
    open, closed
        What one costs on open and on closed circuit.
    """

    name: str
    deepest_m: float
    per_year: float
    open: DiveCost
    closed: DiveCost


@dataclass(frozen=True, slots=True)
class Spread:
    """What nobody knows.

    Parameters
    ----------
    helium_pct_per_year
        By how much the price of helium is expected to rise in a year [%].
    helium_spread_pct
        How far it wanders in a year, as a standard deviation [%].
    cadence_spread_pct
        How far the number of dives may be off from what was meant, as a standard deviation [%].
    dropout_pct_per_year
        How many of a hundred give up diving in a year [%].
    """

    helium_pct_per_year: float = 0.0
    helium_spread_pct: float = 0.0
    cadence_spread_pct: float = 0.0
    dropout_pct_per_year: float = 0.0


@dataclass(frozen=True)
class Ways:
    """The dives that somebody wants to do, and both ways to do them.

    Parameters
    ----------
    title
        What is compared.
    currency
        Its three letters.
    years
        How far to look.
    kinds
        The dives.
    open_gear
        What has to be bought for open circuit; of price 0 if it is there.
    closed
        The closed circuit and what it takes; of price 0 if it is there, without the steps of
        training that are done.
    spread
        What nobody knows.
    course
        What the course costs that is asked about: training on open circuit, gas included; 0 if
        none is.
    change_after_months
        After how many months somebody means to change to closed circuit anyway; None if not.
    """

    title: str
    currency: str
    years: int
    kinds: tuple[Kind, ...]
    open_gear: Gear
    closed: ClosedRates
    spread: Spread = Spread()
    course: Decimal = NOTHING
    change_after_months: int | None = None

    @property
    def months(self) -> int:
        """How many months are looked at."""
        return 12 * self.years

    @property
    def dives_per_year(self) -> float:
        """All dives of a year."""
        return sum(kind.per_year for kind in self.kinds)
