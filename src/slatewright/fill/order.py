"""The order of helium and oxygen for a dive, a course, an expedition.

Which cylinder takes which mix on which dive, with what is left in it, is settled first (see
`assignment`). Then the fills are done one after the other from supply cylinders, bought when
nothing else flows, with or without booster; what stays behind in them is ordered and paid for too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from slatewright.errors import NoSafeAnswer
from slatewright.fill.assignment import Need, Owned, PlannedFill, assign
from slatewright.fill.bank_order import Filled, Job, fill_in_order, with_one_more
from slatewright.fill.prices import NOTHING, Offer
from slatewright.fill.room import Room
from slatewright.physics.amount import HELIUM, Gas
from slatewright.physics.mixture import OXYGEN
from slatewright.physics.real_gas import free_litres

_IMPOSSIBLE: Final = 1e15
_STEP_WORTH: Final = 1e-6
_GASES: Final[dict[str, Gas]] = {"helium": HELIUM, "oxygen": OXYGEN}


@dataclass(frozen=True, slots=True)
class SupplyOrder:
    """What is ordered of one gas.

    Parameters
    ----------
    gas
        ``helium`` or ``oxygen``.
    offer
        The supply cylinder; None if nothing has to be ordered.
    count
        How many of them.
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
    """

    gas: str
    offer: Offer | None
    count: int
    needed_free_l: float
    ordered_free_l: float
    left_free_l: float
    left_gauges_bar: tuple[float, ...]
    cost: Decimal | None


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


@dataclass(frozen=True, slots=True)
class DropOut:
    """How an order moves if one dive drops out.

    Parameters
    ----------
    dive
        The dive.
    order
        The order without it.
    helium_less_free_l, oxygen_less_free_l
        Free gas that the fills need less [L].
    cylinders_less
        Supply cylinders fewer.
    cost_less
        Money less; None without prices.
    """

    dive: int
    order: GasOrder
    helium_less_free_l: float
    oxygen_less_free_l: float
    cylinders_less: int
    cost_less: Decimal | None


def order_gas(
    needs: Sequence[Need],
    owned: Sequence[Owned],
    room: Room,
    offers: Sequence[Offer],
    *,
    boosted: bool = True,
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
        Supply cylinders of helium and oxygen; of each gas that is chosen which costs least, or of
        which least gas has to be ordered without prices.
    boosted
        Whether the room's booster may be used.

    Returns
    -------
    GasOrder
        The order.

    Raises
    ------
    NoSafeAnswer
        If there are too few cylinders, or a fill cannot be done.
    InputError
        If the room has no source of pure helium or oxygen for which there are offers.
    """
    fills = assign(needs, owned, room)
    room = room if boosted else replace(room, booster=None)
    jobs = [Job(fill.receiver, fill.need.mix, fill.need.gauge_bar) for fill in fills]
    choices: dict[str, Offer] = {}
    names = {gas: _source_of(gas, room) for gas in _GASES}
    for gas, name in names.items():
        fit = [offer for offer in offers if offer.gas == gas]
        if len(fit) > 1 and name:
            worths = [_worth(gas, name, offer, jobs, room) for offer in fit]
            choices[name] = fit[worths.index(min(worths))]
        elif fit and name:
            choices[name] = fit[0]
    done = _best_done(fills, _with_banks(room, choices), choices)
    fills = done[0]
    helium, oxygen = (
        _supply(gas, name, choices.get(name), done[1], room) for gas, name in names.items()
    )
    return GasOrder(fills, done[1], helium, oxygen, room.booster is not None)


def _best_done(
    fills: tuple[PlannedFill, ...], room: Room, choices: Mapping[str, Offer]
) -> tuple[tuple[PlannedFill, ...], Filled]:
    """Do the fills of each dive from the highest pressure of helium down, or up if less is bought.

    Two rules of thumb and no search: a course has far too many orders to go through.
    """
    turned = sorted(fills, key=lambda f: (f.need.dive, f.need.mix.he * f.need.gauge_bar))
    ways = []
    for some in (fills, tuple(turned)):
        jobs = [Job(fill.receiver, fill.need.mix, fill.need.gauge_bar) for fill in some]
        ways.append((some, replace(fill_in_order(jobs, room, choices), exact=False)))
    return min(ways, key=lambda way: way[1].count)


def _source_of(gas: str, room: Room) -> str:
    """Return the name of the source that an order adds to; empty if there is none."""
    return next((source.name for source in room.sources if source.gas_name == gas), "")


def _with_banks(room: Room, choices: Mapping[str, Offer]) -> Room:
    """Make a source without end finite where its gas is to be ordered: one full cylinder at first.

    It is counted as bought: see `_supply`.
    """
    for source in room.sources:
        if source.name in choices and source.bank is None:
            room = with_one_more(room, source.name, choices[source.name])
    return room


def _worth(
    gas: str, name: str, offer: Offer, jobs: Sequence[Job], room: Room
) -> tuple[Decimal | float, ...]:
    """Return what one kind of supply cylinder would cost, all other sources without end."""
    endless = tuple(
        source if source.name == name else replace(source, bank=None) for source in room.sources
    )
    alone = _with_banks(replace(room, sources=endless), {name: offer})
    try:
        done = fill_in_order(jobs, alone, {name: offer})
    except NoSafeAnswer:
        return (Decimal("Infinity"), 0.0)
    supply = _supply(gas, name, offer, done, room)
    return (supply.cost if supply.cost is not None else NOTHING, supply.ordered_free_l)


def _supply(gas: str, name: str, offer: Offer | None, done: Filled, room: Room) -> SupplyOrder:
    pure = _GASES[gas]
    needed_mol = sum(
        step.amount_mol for fill in done.blends for step in fill.steps if step.source == name
    )
    needed_l = free_litres(pure, needed_mol)
    source = next((s for s in done.room.sources if s.name == name), None)
    if source is None or source.bank is None:
        return SupplyOrder(gas, None, 0, needed_l, 0.0, 0.0, (), None)
    count = done.bought.get(name, 0)
    if offer is not None and not any(s.name == name and s.bank for s in room.sources):
        count = count + 1 if needed_mol > 0.0 else 0  # the one that the bank began with
    each_l = 0.0
    if offer is not None:
        fresh = with_one_more(room.with_banks({}), name, offer)
        (full,) = (s.bank for s in fresh.sources if s.name == name)
        each_l = 0.0 if full is None else free_litres(pure, full.cylinders[-1].amount_mol)
    cost = None
    if room.prices is not None and offer is not None:
        cost = room.prices.cost_of_offer(offer, each_l, count)
    return SupplyOrder(
        gas,
        offer if count else None,
        count,
        needed_l,
        each_l * count,
        source.bank.free_l if count or needed_mol else 0.0,
        source.bank.gauges_bar(),
        cost,
    )


def without_each_dive(
    needs: Sequence[Need],
    owned: Sequence[Owned],
    room: Room,
    offers: Sequence[Offer],
    *,
    boosted: bool = True,
) -> tuple[DropOut, ...]:
    """Return how the order moves if one dive drops out, for each dive.

    Parameters
    ----------
    needs, owned, room, offers, boosted
        As for `order_gas`.

    Returns
    -------
    tuple
        One a dive.
    """
    whole = order_gas(needs, owned, room, offers, boosted=boosted)
    found = []
    for dive in sorted({need.dive for need in needs}):
        rest = [need for need in needs if need.dive != dive]
        less = order_gas(rest, owned, room, offers, boosted=boosted)
        saved = None
        if whole.cost is not None and less.cost is not None:
            saved = whole.cost - less.cost
        found.append(
            DropOut(
                dive,
                less,
                whole.helium.needed_free_l - less.helium.needed_free_l,
                whole.oxygen.needed_free_l - less.oxygen.needed_free_l,
                whole.helium.count + whole.oxygen.count - less.helium.count - less.oxygen.count,
                saved,
            )
        )
    return tuple(found)
