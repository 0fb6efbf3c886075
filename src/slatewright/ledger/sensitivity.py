"""On what it depends: the month of break-even if one thing is otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from slatewright.ledger.months import break_even_month
from slatewright.ledger.ways import DiveCost, Ways

_STEP: Final = Decimal("0.25")


@dataclass(frozen=True, slots=True)
class Swing:
    """What one thing does to the break-even.

    Parameters
    ----------
    what
        The thing.
    low, high
        It at its lower and its higher value, in words.
    low_month, high_month
        The month of break-even then; None for never within the years looked at.
    """

    what: str
    low: str
    high: str
    low_month: int | None
    high_month: int | None


def otherwise(
    ways: Ways,
    *,
    helium: Decimal = Decimal(1),
    cadence: Decimal = Decimal(1),
    unit: Decimal = Decimal(1),
    keeping: Decimal = Decimal(1),
) -> Ways:
    """Return the comparison with something otherwise.

    Parameters
    ----------
    ways
        The comparison.
    helium, cadence, unit, keeping
        What the price of helium, the number of dives, the price of the unit, and what it costs to
        keep are multiplied by.
    """

    def cost(old: DiveCost) -> DiveCost:
        return replace(old, helium=old.helium * helium, first_helium=old.first_helium * helium)

    kinds = tuple(
        replace(
            kind,
            per_year=kind.per_year * float(cadence),
            open=cost(kind.open),
            closed=cost(kind.closed),
        )
        for kind in ways.kinds
    )
    gear = replace(
        ways.closed.gear,
        price=ways.closed.gear.price * unit,
        service_per_year=ways.closed.gear.service_per_year * keeping,
        insurance_per_year=ways.closed.gear.insurance_per_year * keeping,
    )
    closed = replace(ways.closed, gear=gear, cell=ways.closed.cell * keeping)
    return replace(ways, kinds=kinds, closed=closed)


def swings(ways: Ways) -> tuple[Swing, ...]:
    """Return what each thing does by itself, the strongest first.

    Parameters
    ----------
    ways
        The comparison.
    """
    half, twice = Decimal("0.5"), Decimal(2)
    found = [
        _swing(ways, "price of helium", "half", "twice", helium=(half, twice)),
        _swing(ways, "number of dives", "half", "twice", cadence=(half, twice)),
        _swing(
            ways,
            "price of the unit",
            "a quarter less",
            "a quarter more",
            unit=(1 - _STEP, 1 + _STEP),
        ),
        _swing(ways, "keeping the unit", "half", "twice", keeping=(half, twice)),
    ]
    beyond = ways.months + 1

    def width(swing: Swing) -> int:
        months = [beyond if m is None else m for m in (swing.low_month, swing.high_month)]
        return -abs(months[0] - months[1])

    return tuple(sorted(found, key=width))


def _swing(ways: Ways, what: str, low: str, high: str, **change: tuple[Decimal, Decimal]) -> Swing:
    ((name, values),) = change.items()
    months = [break_even_month(otherwise(ways, **{name: value})) for value in values]
    return Swing(what, low, high, *months)


def table(
    ways: Ways, helium: Sequence[Decimal], cadence: Sequence[Decimal]
) -> tuple[tuple[int | None, ...], ...]:
    """Return the month of break-even over prices of helium and numbers of dives.

    Parameters
    ----------
    ways
        The comparison.
    helium, cadence
        What each is multiplied by.

    Returns
    -------
    tuple
        A row for each cadence, with a month, or None for never, for each price.
    """
    return tuple(
        tuple(break_even_month(otherwise(ways, helium=price, cadence=many)) for price in helium)
        for many in cadence
    )
