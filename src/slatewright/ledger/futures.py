"""Many futures: the price of helium wanders, people dive more or less than they meant, some stop.

Money is whole cents here too (64-bit whole numbers); each month's cost is rounded to the cent.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.errors import InputError
from slatewright.ledger.months import Way, change_month, first_fills, worth_of
from slatewright.ledger.ways import DiveCost, Kind, Ways

if TYPE_CHECKING:
    from decimal import Decimal

    from numpy.typing import NDArray

    from slatewright.ledger.rates import Gear

    Cents = NDArray[np.int64]

SEED: Final = 20_310_501
"""The same question has the same answer."""
NEVER: Final = -1
_YEAR: Final = 12
_MOST: Final = 200_000


@dataclass(frozen=True, eq=False)
class Futures:
    """What came of many futures.

    Parameters
    ----------
    ways
        What is compared.
    net_cents
        Way to what it has cost by then with the gear sold, of shape (months + 1, futures) [cent].
    break_even_months
        Shape (futures,): the first month from which closed circuit now is no longer dearer than
        open circuit, to the end; -1 for never.
    dives
        Shape (months + 1, futures): dives done by then.
    stopped
        Shape (futures,): whether that person gave up diving.
    """

    ways: Ways
    net_cents: dict[Way, Cents]
    break_even_months: NDArray[np.int64]
    dives: NDArray[np.int64]
    stopped: NDArray[np.bool_]

    @property
    def count(self) -> int:
        """How many futures."""
        return int(self.break_even_months.size)

    @property
    def never_pct(self) -> float:
        """In how many of a hundred closed circuit never pays for itself [%]."""
        return 100.0 * float(np.mean(self.break_even_months == NEVER))

    def break_even_range(self) -> tuple[int | None, int | None, int | None]:
        """Return the months within which a tenth, half and nine tenths have broken even.

        Returns
        -------
        tuple
            Months; None where fewer ever do.
        """
        months = np.where(self.break_even_months == NEVER, np.inf, self.break_even_months)
        found = np.quantile(months, (0.1, 0.5, 0.9), method="higher")
        low, middle, high = (int(m) if np.isfinite(m) else None for m in found)
        return low, middle, high

    def band_cents(self, way: Way) -> NDArray[np.float64]:
        """Return the tenth, the half and the nine tenths of what a way has cost, by month.

        Parameters
        ----------
        way
            The way.

        Returns
        -------
        array
            Shape (3, months + 1) [cent].
        """
        return np.quantile(self.net_cents[way], (0.1, 0.5, 0.9), axis=1)


def simulate(ways: Ways, count: int = 10_000, seed: int = SEED) -> Futures:
    """Return many futures of both ways; the same chance falls on each.

    Parameters
    ----------
    ways
        What is compared.
    count
        How many futures.
    seed
        From which chance begins.

    Raises
    ------
    InputError
        If so many cannot be simulated.
    """
    if not 1 <= count <= _MOST:
        raise InputError(f"{count} futures", where="count", right=f"1 to {_MOST}")
    chance = np.random.default_rng(seed)
    months, kinds, spread = ways.months, len(ways.kinds), ways.spread
    factor = _helium(chance, months, count, ways)
    wish = _lognormal(chance, spread.cadence_spread_pct / 100.0, (count, 1))
    means = np.array([kind.per_year / _YEAR for kind in ways.kinds]).reshape(1, kinds)
    left = 1.0 - (1.0 - spread.dropout_pct_per_year / 100.0) ** (1.0 / _YEAR)
    quits = np.cumsum(chance.random((months, count)) < left, axis=0) > 0
    dives = chance.poisson(means * wish, (months, count, kinds))
    dives *= ~quits[:, :, None]
    asked = [way for way in Way if way is not Way.LATER or ways.change_after_months is not None]
    net = {way: _walk(ways, way, dives, factor, quits) for way in asked}
    good = net[Way.CLOSED] <= net[Way.OPEN]
    ever = np.logical_and.accumulate(good[::-1], axis=0)[::-1]
    found = np.where(ever[-1], np.argmax(ever, axis=0), NEVER)
    done = np.zeros((months + 1, count), dtype=np.int64)
    np.cumsum(dives.sum(axis=2), axis=0, out=done[1:])
    return Futures(ways, net, found.astype(np.int64), done, quits[-1])


def _lognormal(
    chance: np.random.Generator, spread: float, shape: tuple[int, ...]
) -> NDArray[np.float64]:
    """Return factors of mean 1 with a relative standard deviation."""
    sigma = np.sqrt(np.log1p(spread * spread))
    return np.asarray(np.exp(sigma * chance.standard_normal(shape) - 0.5 * sigma * sigma))


def _helium(
    chance: np.random.Generator, months: int, count: int, ways: Ways
) -> NDArray[np.float64]:
    """Return today's price of helium times what, month by month: a random walk about a trend."""
    spread = ways.spread.helium_spread_pct / 100.0
    sigma = np.sqrt(np.log1p(spread * spread) / _YEAR)
    steps = sigma * chance.standard_normal((months, count)) - 0.5 * sigma * sigma
    trend = np.log1p(ways.spread.helium_pct_per_year / 100.0) / _YEAR
    return np.asarray(np.exp(np.cumsum(steps + trend, axis=0)))


def _walk(
    ways: Ways,
    way: Way,
    dives: NDArray[np.int64],
    factor: NDArray[np.float64],
    quits: NDArray[np.bool_],
) -> Cents:
    """Return what a way has cost by each month, its gear sold at the month or on stopping."""
    months, count, _ = dives.shape
    change, closed = change_month(ways, way), ways.closed
    change = months + 1 if change is None else change
    steps = closed.steps
    depths = np.array([kind.deepest_m for kind in ways.kinds])
    reach = np.array([0.0 if steps else np.inf, *(step.deepest_m for step in steps)])
    spent = np.full(count, 0 if way is Way.CLOSED else _cents(ways.course), dtype=np.int64)
    learnt = np.zeros(count, dtype=np.int64)
    unit_dives = np.zeros(count, dtype=np.int64)
    has_open = np.zeros(count, dtype=np.bool_)
    open_since = np.zeros(count, dtype=np.int64)
    diving = np.ones(count, dtype=np.bool_)
    age = np.zeros(count, dtype=np.int64)  # the month in which one stands, or stopped
    net = np.empty((months + 1, count), dtype=np.int64)
    open_fills = sum(_cents(first_fills(kind.open)) for kind in ways.kinds)
    closed_fills = sum(_cents(first_fills(kind.closed)) for kind in ways.kinds)
    for month in range(months + 1):
        if month:
            diving = ~quits[month - 1]
            age = np.where(diving, month, age)
            on_unit = (reach[learnt][:, None] >= depths) & (month - 1 >= change)
            now = dives[month - 1]
            spent += _gas(now, on_unit, ways.kinds, factor[month - 1])
            unit_dives += (now * on_unit).sum(axis=1)
            spent += np.where(diving & has_open, _monthly(ways.open_gear), 0)
            if month - 1 >= change:
                kept = _monthly(closed.gear)
                if (month - change) % closed.cell_months == 0:
                    kept += _cents(closed.cell) * closed.cells
                spent += np.where(diving, kept, 0)
        if month == change:
            spent += np.where(diving, _cents(closed.gear.price) + closed_fills, 0)
        if month >= change:
            for number, step in enumerate(steps):
                ready = diving & (learnt == number) & (unit_dives >= step.after_dives)
                ready &= month - change >= step.after_months
                spent += np.where(ready, _cents(step.price), 0)
                learnt += ready
        needs = ~np.all(reach[learnt][:, None] >= depths, axis=1) if month >= change else True
        buys = diving & ~has_open & needs
        spent += np.where(buys, _cents(ways.open_gear.price) + open_fills, 0)
        open_since = np.where(buys, month, open_since)
        has_open |= buys
        worth = np.where(has_open, _worth(ways.open_gear, age - open_since), 0)
        has_unit = age >= change
        worth += np.where(has_unit, _worth(closed.gear, np.maximum(age - change, 0)), 0)
        net[month] = spent - worth
    return net


def _gas(
    dives: NDArray[np.int64],
    on_unit: NDArray[np.bool_],
    kinds: tuple[Kind, ...],
    factor: NDArray[np.float64],
) -> Cents:
    def of(costs: list[DiveCost]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        helium = np.array([float(cost.helium * 100) for cost in costs])
        return helium, np.array([float(cost.other * 100) for cost in costs])

    open_helium, open_other = of([kind.open for kind in kinds])
    unit_helium, unit_other = of([kind.closed for kind in kinds])
    helium = (dives * np.where(on_unit, unit_helium, open_helium)).sum(axis=1) * factor
    other = (dives * np.where(on_unit, unit_other, open_other)).sum(axis=1)
    return np.asarray(np.rint(helium + other), dtype=np.int64)


def _monthly(gear: Gear) -> int:
    return round(gear.per_year * 100 / _YEAR)


def _worth(gear: Gear, months: NDArray[np.int64]) -> Cents:
    longest = int(months.max(initial=0))
    table = [round(worth_of(gear, 0, month) * 100) for month in range(longest + 1)]
    return np.asarray(np.take(np.array(table, dtype=np.int64), np.maximum(months, 0)))


def _cents(amount: Decimal) -> int:
    return round(amount * 100)
