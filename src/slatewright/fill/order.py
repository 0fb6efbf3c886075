"""The order of helium and oxygen for a dive, a course, an expedition.

Which cylinder takes which mix on which dive, with what is left in it, is settled first (see
`assignment`). Then the fills are done one after the other from supply cylinders, bought when
nothing else flows, with or without booster; what stays behind in them is ordered and paid for too.
Sizes and numbers are tried from the least upwards that could do in any order of the fills at all
(see `least_supply`), so that an order which meets that bound is known to be the best.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal
from itertools import groupby
from typing import Final

from slatewright.errors import NoSafeAnswer
from slatewright.fill.assignment import Need, Owned, PlannedFill, assign
from slatewright.fill.bank_order import (
    Filled,
    Job,
    Known,
    Offers,
    empty_bank,
    fill_in_order,
    with_one_more,
)
from slatewright.fill.blend import prepare
from slatewright.fill.least_supply import least_supply
from slatewright.fill.prices import CENT, NOTHING, Offer
from slatewright.fill.room import Room
from slatewright.physics.amount import HELIUM, Gas
from slatewright.physics.mixture import OXYGEN
from slatewright.physics.real_gas import free_litres

_ROUNDING: Final = 0.02  # of a currency, or of a litre
_GASES: Final[dict[str, Gas]] = {"helium": HELIUM, "oxygen": OXYGEN}


@dataclass(frozen=True, slots=True)
class SupplyOrder:
    """What is ordered of one gas.

    Parameters
    ----------
    gas
        ``helium`` or ``oxygen``.
    kinds
        Supply cylinders and how many of each; empty if nothing has to be ordered.
    needed_free_l
        Free gas that goes into the fills [L].
    ordered_free_l
        Free gas in the cylinders ordered [L].
    left_free_l
        Free gas that is in the bank after the last fill, also what was in it before [L].
    left_gauges_bar
        Pressures that the cylinders of the bank then have, on the gauge [bar].
    cost
        Price of the cylinders ordered with all that is in them; None without prices.
    at_least
        The number of cylinders below which no order of the fills gets, by `least_supply`.
    cheapest
        Whether no other choice of sizes and no other order of the fills costs less, or, without
        prices, orders less gas.
    cost_at_least
        The cost below which no choice of sizes and no order of the fills gets; None without prices.
    """

    gas: str
    kinds: tuple[tuple[Offer, int], ...]
    needed_free_l: float
    ordered_free_l: float
    left_free_l: float
    left_gauges_bar: tuple[float, ...]
    cost: Decimal | None
    at_least: int
    cheapest: bool
    cost_at_least: Decimal | None = None

    @property
    def count(self) -> int:
        """All supply cylinders ordered."""
        return sum(count for _, count in self.kinds)


@dataclass(frozen=True)
class GasOrder:
    """An order.

    Parameters
    ----------
    fills
        All fills, in the order in which they are done.
    done
        The fills carried out, and the room afterwards.
    helium, oxygen
        What is ordered of each.
    boosted
        Whether the booster was used.
    """

    fills: tuple[PlannedFill, ...]
    done: Filled
    helium: SupplyOrder
    oxygen: SupplyOrder
    boosted: bool

    @property
    def cost(self) -> Decimal | None:
        """Price of both; None without prices."""
        if self.helium.cost is None or self.oxygen.cost is None:
            return None
        return self.helium.cost + self.oxygen.cost


def order_gas(
    needs: Sequence[Need],
    owned: Sequence[Owned],
    room: Room,
    offers: Sequence[Offer],
    *,
    boosted: bool = True,
    known: Known | None = None,
) -> GasOrder:
    """Work out the order: all fills, and what has to be bought for them.

    Parameters
    ----------
    needs
        What is needed.
    owned
        The cylinders that are there.
    room
        The room; what its banks hold is used first.
    offers
        Supply cylinders of helium and oxygen; of each gas those sizes are chosen which cost least,
        or of which least gas has to be ordered without prices.
    boosted
        Whether the room's booster may be used.
    known
        Recipes from an earlier order in the same room; those worked out are added.

    Returns
    -------
    GasOrder
        The order.

    Raises
    ------
    NoSafeAnswer
        If there are too few cylinders, or a fill cannot be done.
    InputError
        If the price list has no price of a gas that is bought.
    """
    fills = assign(needs, owned, room)
    room = room if boosted else replace(room, booster=None)
    orders = _Orders(fills, room, offers, {} if known is None else known)
    done_fills, done = orders.done(orders.chosen())
    helium, oxygen = (orders.supply(gas, done) for gas in _GASES)
    return GasOrder(done_fills, done, helium, oxygen, room.booster is not None)


@dataclass(frozen=True, slots=True)
class _Alone:
    """One way to buy one gas, and what comes of it."""

    way: tuple[Offer, ...]
    cost: Decimal
    ordered_free_l: float
    count: int
    cheapest: bool

    def worth(self) -> tuple[Decimal, float]:
        """Return what is to be least."""
        return (self.cost, self.ordered_free_l)


class _Orders:
    """The orders in which fills of a course are done, and what may be bought for them."""

    def __init__(
        self, fills: tuple[PlannedFill, ...], room: Room, offers: Sequence[Offer], known: Known
    ) -> None:
        self._fills = fills
        self._names = {gas: _source_of(gas, room) for gas in _GASES}
        self._offers = {
            gas: [offer for offer in offers if offer.gas == gas and name]
            for gas, name in self._names.items()
        }
        for gas, name in self._names.items():  # what is to be ordered comes to an end
            if self._offers[gas] and all(s.bank is None for s in room.sources if s.name == name):
                room = room.with_banks({name: empty_bank(room, name)})
        self._room = room
        self._known = known
        self._bounds: dict[tuple[object, ...], tuple[int, ...]] = {}

    def chosen(self) -> dict[str, tuple[Offer, ...]]:
        """Return what is bought for each source, first, second ..."""
        choices: dict[str, tuple[Offer, ...]] = {}
        for gas, name in self._names.items():
            singles = [(offer,) for offer in self._offers[gas]]
            if not singles:
                continue
            if len(singles) == 1:
                choices[name] = singles[0]
                continue
            best = min((self._alone(gas, way) for way in singles), key=_Alone.worth)
            if not best.cheapest:
                mixed = [self._alone(gas, way) for way in self._mixtures(gas, best)]
                best = min((best, *mixed), key=_Alone.worth)
            choices[name] = best.way
        return choices

    def _mixtures(self, gas: str, best: _Alone) -> Iterator[tuple[Offer, ...]]:
        """Yield mixtures of sizes: the least by the bound, and another size for the last one."""
        offers = self._offers[gas]
        counts = self._least(gas, [self._weight(offer) for offer in offers])
        pairs = sorted(zip(offers, counts, strict=True), key=lambda pair: -pair[0].water_volume_l)
        if sum(count > 0 for count in counts) > 1:
            yield tuple(offer for offer, count in pairs for _ in range(count))
        (usual,) = best.way
        for offer in offers:
            if offer != usual and best.count > 1:
                yield (*((usual,) * (best.count - 1)), offer)

    def _weight(self, offer: Offer) -> float:
        """Return what one more of a cylinder costs, or holds."""
        each_l = self._each_free_l(offer)
        prices = self._room.prices
        if prices is None:
            return each_l
        if offer.price is not None:
            return float(offer.price + offer.hire)
        return float(prices.cost_of_free_l(offer.gas, each_l) + offer.hire)

    def _least(self, gas: str, weights: Sequence[float]) -> tuple[int, ...]:
        key = (gas, *weights)
        if key not in self._bounds:
            prepared = [self._known[job] for job in self._jobs(self._fills)]
            self._bounds[key] = least_supply(
                prepared, self._room, self._names[gas], self._offers[gas], weights
            )
        return self._bounds[key]

    def _jobs(self, fills: Sequence[PlannedFill]) -> list[Job]:
        jobs = [Job(fill.receiver, fill.need.mix, fill.need.gauge_bar) for fill in fills]
        for job in jobs:
            if job not in self._known:
                self._known[job] = prepare(job.receiver, job.mix, job.gauge_bar, self._room)
        return jobs

    def _each_free_l(self, offer: Offer) -> float:
        """Return the free gas in a full supply cylinder [L]."""
        name = self._names[offer.gas]
        empty = self._room.with_banks({name: empty_bank(self._room, name)})
        one = with_one_more(empty, name, offer)
        return next(s.bank.free_l for s in one.sources if s.name == name and s.bank is not None)

    def _alone(self, gas: str, way: tuple[Offer, ...]) -> _Alone:
        """Return what comes of one way to buy, all other sources without end."""
        name = self._names[gas]
        endless = tuple(
            source if source.name == name else replace(source, bank=None)
            for source in self._room.sources
        )
        room = replace(self._room, sources=endless)
        try:
            done = fill_in_order(self._jobs(self._fills), room, {name: way}, self._known)
        except NoSafeAnswer:
            return _Alone(way, Decimal("Infinity"), 0.0, 0, cheapest=False)
        supply = self.supply(gas, done)
        cost = NOTHING if supply.cost is None else supply.cost
        return _Alone(way, cost, supply.ordered_free_l, supply.count, cheapest=supply.cheapest)

    def done(self, choices: Offers) -> tuple[tuple[PlannedFill, ...], Filled]:
        """Do all fills, in the best of some orders within each dive.

        A course has far too many orders to go through, and there is seldom a need to: see
        `SupplyOrder.cheapest`.
        """
        best: tuple[tuple[PlannedFill, ...], Filled] | None = None
        refusal: NoSafeAnswer | None = None
        for fills in self._sequences():
            try:
                done = fill_in_order(self._jobs(fills), self._room, choices, self._known)
            except NoSafeAnswer as error:
                refusal = refusal or error
                continue
            if best is None or self._paid(done) < self._paid(best[1]):
                best = (fills, done)
            if all(self.supply(gas, done).cheapest for gas in _GASES):
                break
        if best is None:
            raise refusal or NoSafeAnswer()
        return best

    def _sequences(self) -> Iterator[tuple[PlannedFill, ...]]:
        """Yield orders: within each dive by the pressure of helium, or by that at the start."""

        def helium_bar(fill: PlannedFill) -> float:
            return fill.need.mix.he * fill.need.gauge_bar

        def oxygen_bar(fill: PlannedFill) -> float:
            return fill.need.mix.o2 * fill.need.gauge_bar

        for key in (helium_bar, oxygen_bar):
            for sign in (-1.0, 1.0):
                ranked = [
                    (fill.need.dive, sign * key(fill), i) for i, fill in enumerate(self._fills)
                ]
                yield tuple(self._fills[i] for *_, i in sorted(ranked))

    def _paid(self, done: Filled) -> tuple[Decimal, float]:
        supplies = [self.supply(gas, done) for gas in _GASES]
        return (
            sum((s.cost for s in supplies if s.cost is not None), NOTHING),
            sum(s.ordered_free_l for s in supplies),
        )

    def supply(self, gas: str, done: Filled) -> SupplyOrder:
        """Return what is ordered of a gas."""
        pure, name, room = _GASES[gas], self._names[gas], self._room
        needed_mol = sum(
            step.amount_mol for fill in done.blends for step in fill.steps if step.source == name
        )
        needed_l = free_litres(pure, needed_mol)
        source = next((s for s in done.room.sources if s.name == name), None)
        if source is None or source.bank is None:
            return SupplyOrder(gas, (), needed_l, 0.0, 0.0, (), None, 0, cheapest=True)
        bought = done.bought.get(name, ())
        kinds = tuple((offer, len(list(same))) for offer, same in groupby(bought))
        ordered_l = sum(self._each_free_l(offer) * count for offer, count in kinds)
        cost = None
        if room.prices is not None:
            cost = room.prices.cost_of_order(
                gas, [(offer, self._each_free_l(offer), count) for offer, count in kinds]
            )
        least, cheapest, floor_cost = 0, not bought, None
        if bought:
            offers = self._offers[gas]
            least = sum(self._least(gas, [1.0] * len(offers)))
            weights = [self._weight(offer) for offer in offers]
            counts = self._least(gas, weights)
            floor = sum(w * n for w, n in zip(weights, counts, strict=True))
            cheapest = float(ordered_l if cost is None else cost) <= floor + _ROUNDING
            if cost is not None:  # rounded down, so that it stays below
                floor_cost = min(cost, Decimal(floor).quantize(CENT, ROUND_FLOOR))
        return SupplyOrder(
            gas, kinds, needed_l, ordered_l, source.bank.free_l, source.bank.gauges_bar(), cost,
            least, cheapest, floor_cost,
        )  # fmt: skip


def _source_of(gas: str, room: Room) -> str:
    """Return the name of the source that an order adds to; empty if there is none."""
    return next((source.name for source in room.sources if source.gas_name == gas), "")
