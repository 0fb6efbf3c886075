"""Month by month, if everything goes as expected: what each way has cost, and when they meet.

Dives, prices and keeping are spread evenly; sums are decimals of 28 digits and are rounded to the
cent where they are told.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from slatewright.fill.prices import decimal_of
from slatewright.ledger.money import NOTHING, rounded
from slatewright.ledger.rates import Gear, Step
from slatewright.ledger.unit_costs import resale
from slatewright.ledger.ways import DiveCost, Kind, Ways

_YEAR: Final = 12
_SLACK: Final = Decimal("1e-12")
"""Twelfths of a year's dives are no finite decimals; twelve of them are all the same."""


class Way(StrEnum):
    """A way to do the dives."""

    OPEN = "open circuit"
    CLOSED = "closed circuit now"
    LATER = "the course now, closed circuit later"


@dataclass(frozen=True, slots=True)
class Month:
    """Where one way stands after some months.

    Parameters
    ----------
    month
        How many months have gone; 0 is the day of the purchase.
    dives
        How many dives were done.
    spent
        All that was paid.
    resale
        What the gear would fetch now.
    """

    month: int
    dives: float
    spent: Decimal
    resale: Decimal

    @property
    def net(self) -> Decimal:
        """What it has cost if one stopped now and sold the gear."""
        return self.spent - self.resale


def month_by_month(ways: Ways, way: Way) -> tuple[Month, ...]:
    """Return where a way stands month by month.

    Parameters
    ----------
    ways
        What is compared.
    way
        The way.

    Returns
    -------
    tuple
        One for each month, from 0 to the last.
    """
    walk = _Walk(ways, way)
    return tuple(walk.after(month) for month in range(ways.months + 1))


def break_even_month(ways: Ways, way: Way = Way.CLOSED, against: Way = Way.OPEN) -> int | None:
    """Return the first month from which a way is no longer dearer than another, to the end.

    Parameters
    ----------
    ways
        What is compared.
    way, against
        The two.

    Returns
    -------
    int or None
        Months; None if it never is within the years looked at.
    """
    one, other = month_by_month(ways, way), month_by_month(ways, against)
    return lasting([a.net <= b.net for a, b in zip(one, other, strict=True)])


def lasting(no_dearer: Sequence[bool]) -> int | None:
    """Return from where on something holds to the end.

    Parameters
    ----------
    no_dearer
        Whether it holds, month by month.

    Returns
    -------
    int or None
        The first month; None if it does not hold in the last.
    """
    first = len(no_dearer)
    while first and no_dearer[first - 1]:
        first -= 1
    return first if first < len(no_dearer) else None


def change_month(ways: Ways, way: Way) -> int | None:
    """Return the month in which a way changes to closed circuit; None if it never does.

    Parameters
    ----------
    ways
        What is compared.
    way
        The way.
    """
    if way is Way.OPEN:
        return None
    return 0 if way is Way.CLOSED else ways.change_after_months


class _Walk:
    """One way, walked month after month."""

    def __init__(self, ways: Ways, way: Way) -> None:
        self._ways = ways
        self._change = change_month(ways, way)
        self._spent = NOTHING if way is Way.CLOSED else ways.course
        self._dives = self._unit_dives = NOTHING
        self._per_month = [decimal_of(kind.per_year) / _YEAR for kind in ways.kinds]
        self._steps: list[Step] = []
        self._open_since: int | None = None

    def after(self, month: int) -> Month:
        """Go on by one month; month 0 is the beginning."""
        ways = self._ways
        if month:
            self._dive(month)
            self._keep(month)
        if self._change == month:
            self._spent += ways.closed.gear.price
            self._spent += sum((first_fills(kind.closed) for kind in ways.kinds), NOTHING)
        self._learn(month)
        if self._open_since is None and self._needs_open():
            self._open_since = month
            self._spent += ways.open_gear.price
            self._spent += sum((first_fills(kind.open) for kind in ways.kinds), NOTHING)
        worth = worth_of(ways.open_gear, self._open_since, month)
        worth += worth_of(ways.closed.gear, self._changed(month), month)
        return Month(month, float(self._dives), rounded(self._spent), rounded(worth))

    def _changed(self, month: int) -> int | None:
        return self._change if self._change is not None and month >= self._change else None

    def _on_unit(self, kind: Kind) -> bool:
        return may_dive(self._steps, self._ways.closed.steps, kind.deepest_m)

    def _needs_open(self) -> bool:
        if self._change is None or self._changed(self._month) is None:
            return True
        return not all(self._on_unit(kind) for kind in self._ways.kinds)

    def _dive(self, month: int) -> None:
        ways = self._ways
        factor = Decimal((1.0 + ways.spread.helium_pct_per_year / 100.0) ** (month / _YEAR))
        closed_now = self._changed(month - 1) is not None
        for kind, dives in zip(ways.kinds, self._per_month, strict=True):
            on_unit = closed_now and self._on_unit(kind)
            cost = kind.closed if on_unit else kind.open
            self._spent += dives * (cost.helium * factor + cost.other)
            self._dives += dives
            self._unit_dives += dives if on_unit else NOTHING

    def _keep(self, month: int) -> None:
        ways = self._ways
        if self._open_since is not None:
            self._spent += ways.open_gear.per_year / _YEAR
        since = self._changed(month - 1)
        if since is not None:
            self._spent += ways.closed.gear.per_year / _YEAR
            if (month - since) % ways.closed.cell_months == 0:
                self._spent += ways.closed.cell * ways.closed.cells

    def _learn(self, month: int) -> None:
        self._month = month
        since = self._changed(month)
        if since is None:
            return
        for step in self._ways.closed.steps[len(self._steps) :]:
            if month - since < step.after_months or self._unit_dives + _SLACK < step.after_dives:
                break
            self._steps.append(step)
            self._spent += step.price


def first_fills(cost: DiveCost) -> Decimal:
    """Return what the first fills cost beyond those of each dive.

    Parameters
    ----------
    cost
        A kind of dive, one way.
    """
    return cost.first_helium + cost.first_other


def may_dive(done: Sequence[Step], steps: Sequence[Step], deepest_m: float) -> bool:
    """Return whether training reaches as deep; whoever has no steps left to do may.

    Parameters
    ----------
    done
        The steps that were done.
    steps
        All that there are; empty if there is nothing left to learn.
    deepest_m
        The depth [m].
    """
    return not steps or any(step.deepest_m >= deepest_m for step in done)


def worth_of(gear: Gear, since: int | None, month: int) -> Decimal:
    """Return what gear would fetch.

    Parameters
    ----------
    gear
        The gear.
    since
        The month in which it was bought; None if it was not.
    month
        The month.
    """
    if since is None:
        return NOTHING
    return Decimal(
        resale(
            float(gear.price),
            gear.resale_pct / 100.0,
            gear.fall_pct_per_year / 100.0,
            (month - since) / _YEAR,
        )
    )


def dives_until(ways: Ways, month: int | None) -> float:
    """Return how many dives are done in so many months.

    Parameters
    ----------
    ways
        What is compared.
    month
        The months; None for never.

    Returns
    -------
    float
        Dives; infinite for never [dives].
    """
    return math.inf if month is None else ways.dives_per_year * month / _YEAR
