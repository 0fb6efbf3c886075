"""Gas of dives by the fill room's own order: what is bought for it, and whose it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Final

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.fill.assignment import Need
from slatewright.fill.bank_order import Known
from slatewright.fill.fillfile import read_fill_file
from slatewright.fill.needs import needs_of, needs_of_loop, owned_for
from slatewright.fill.order import GasOrder, order_gas
from slatewright.fill.prices import Prices
from slatewright.fill.room import Room
from slatewright.ledger.money import NOTHING, rounded, shares
from slatewright.supply.kit import Team
from slatewright.supply.loop_supply import LoopSupply, loop_supply
from slatewright.supply.matching import Matched
from slatewright.supply.reading import planned
from slatewright.supply.supply import supply_of

BOUGHT: Final = ("helium", "oxygen")


@dataclass(frozen=True)
class PlannedGas:
    """A dive whose gas is known.

    Parameters
    ----------
    title
        Its plan's title.
    deepest_m
        Its greatest depth [m].
    run_min
        Its run time [min].
    supply
        What each diver of the plan uses of each cylinder.
    """

    title: str
    deepest_m: float
    run_min: float
    supply: Matched | LoopSupply


@dataclass(frozen=True)
class Order:
    """The gas of some dives.

    Parameters
    ----------
    order
        The fills, and what is bought for them.
    bought
        Price of the supply cylinders of helium and oxygen that are bought, whole, with what stays
        behind in them.
    fees
        Fees of fills by the price list, such as that for air from the compressor.
    fills
        How many cylinders are filled.
    by_owner
        Owner to the share of ``bought`` and ``fees``, by what went into that person's cylinders.
    """

    order: GasOrder
    bought: Decimal
    fees: Decimal
    fills: int
    by_owner: Mapping[str, Decimal]

    @property
    def total(self) -> Decimal:
        """What the gas costs."""
        return self.bought + self.fees


def gas_of_plan(path: Path, rules: HouseRules) -> PlannedGas:
    """Return the gas of a plan file.

    Parameters
    ----------
    path
        The file.
    rules
        The house rules.

    Raises
    ------
    PlanFileError
        If the file has faults.
    NoSafeAnswer
        If the dive has no safe answer, or names no cylinders.
    """
    found = planned(path, rules)
    return gas_of_dive(found.dive, found.team, path.name)


def gas_of_dive(dive: Schedule, team: Team | None, name: str) -> PlannedGas:
    """Return the gas of a dive.

    Parameters
    ----------
    dive
        The dive.
    team
        Who makes it; None if its plan names no cylinders.
    name
        What to call the plan in a message.

    Raises
    ------
    NoSafeAnswer
        If the plan names no cylinders.
    """
    if team is None:
        raise NoSafeAnswer(
            Reason(
                f"{name}: the plan names no cylinders, so nobody knows what it uses",
                "[[cylinder]] for each gas",
            )
        )
    deepest_m = max(leg.to_m for leg in dive.legs)
    run_min = max(leg.end_min for leg in dive.legs)
    supply = supply_of(dive, team) if dive.plan.loop is None else loop_supply(dive, team)
    return PlannedGas(dive.plan.title, deepest_m, run_min, supply)


def room_of(fill_room: Path) -> Room:
    """Return the room of a fill file, with the prices that it names.

    Parameters
    ----------
    fill_room
        The fill file.

    Raises
    ------
    PlanFileError
        If one of the files has faults.
    InputError
        If the room names no price list.
    """
    file = read_fill_file(fill_room)
    prices = file.prices_beside(fill_room.parent)
    if prices is None:
        raise InputError(
            f"{fill_room.name} names no price list, so gas has no price",
            where="room.prices",
            right='prices = "prices.toml" under [room]',
        )
    return file.fill_room(prices)


def with_helium(room: Room, factor: Decimal) -> Room:
    """Return the room with another price of helium.

    Parameters
    ----------
    room
        The room, with prices.
    factor
        What today's price is multiplied by.
    """
    prices = room.prices
    if prices is None:
        return room
    gases = {
        name: replace(gas, per_free_l=gas.per_free_l * factor) if name == "helium" else gas
        for name, gas in prices.gases.items()
    }
    offers = tuple(
        replace(offer, price=offer.price * factor)
        if offer.gas == "helium" and offer.price is not None
        else offer
        for offer in prices.offers
    )
    return replace(room, prices=Prices(prices.currency, prices.on, gases, offers))


def needs_for(
    dives: Sequence[PlannedGas], heads: Callable[[PlannedGas], Mapping[str, int]]
) -> tuple[Need, ...]:
    """Return the fills of dives for people who carry what somebody of the plan carries.

    Parameters
    ----------
    dives
        In order of time.
    heads
        What says who dives: the name of each head, to the number of the plan's diver whose kit and
        breathing that head has, counted from 0.
    """
    found: list[Need] = []
    for number, dive in enumerate(dives, 1):
        supply = dive.supply
        if isinstance(supply, LoopSupply):
            needs = needs_of_loop(supply, number)
        else:
            needs = needs_of(supply, number)
        names = [each.diver.name for each in dive.supply.divers]
        for head, diver in heads(dive).items():
            found += [replace(n, owner=head) for n in needs if n.owner == names[diver]]
    return tuple(found)


def order_for(needs: Sequence[Need], room: Room, known: Known | None = None) -> Order:
    """Return the order for fills, and what it costs whom.

    Parameters
    ----------
    needs
        The fills.
    room
        The room, with prices.
    known
        Recipes from an earlier order in the same room; those worked out are added.

    Raises
    ------
    NoSafeAnswer
        If a fill cannot be done.
    """
    prices = room.prices
    if prices is None:
        raise InputError("a room without prices costs nothing that could be told", right="prices")
    order = order_gas(needs, owned_for(needs), room, prices.offers, known=known)
    bought = NOTHING if order.cost is None else order.cost
    fees, used = NOTHING, dict[str, Decimal]()
    for fill, blend in zip(order.fills, order.done.blends, strict=True):
        lines = blend.bill.lines if blend.bill is not None else ()
        fees += sum((line.cost for line in lines if line.gas not in BOUGHT), NOTHING)
        owner = fill.need.owner
        used[owner] = used.get(owner, NOTHING) + sum((line.cost for line in lines), NOTHING)
    total = rounded(bought + fees)
    weights = list(used.values()) if any(used.values()) else [Decimal(1)] * len(used)
    by_owner = dict(zip(used, shares(total, weights), strict=True)) if used else {}
    fills = sum(bool(blend.steps) for blend in order.done.blends)
    return Order(order, bought, fees, fills, by_owner)
