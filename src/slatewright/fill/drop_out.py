"""How an order of helium and oxygen moves if a dive drops out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from slatewright.fill.assignment import Need, Owned
from slatewright.fill.bank_order import Known
from slatewright.fill.order import GasOrder, order_gas
from slatewright.fill.prices import Offer
from slatewright.fill.room import Room


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
    helium_cylinders_less, oxygen_cylinders_less
        Supply cylinders fewer, of any size.
    cost_less
        Money less; None without prices.
    """

    dive: int
    order: GasOrder
    helium_less_free_l: float
    oxygen_less_free_l: float
    helium_cylinders_less: int
    oxygen_cylinders_less: int
    cost_less: Decimal | None


def without_each_dive(
    needs: Sequence[Need],
    owned: Sequence[Owned],
    room: Room,
    offers: Sequence[Offer],
    *,
    boosted: bool = True,
    whole: GasOrder | None = None,
    known: Known | None = None,
) -> tuple[DropOut, ...]:
    """Return how the order moves if one dive drops out, for each dive.

    Parameters
    ----------
    needs, owned, room, offers, boosted
        As for `order_gas`.
    whole
        The order with all dives, if it is there already.
    known
        As for `order_gas`.

    Returns
    -------
    tuple
        One a dive.
    """
    known = {} if known is None else known
    if whole is None:
        whole = order_gas(needs, owned, room, offers, boosted=boosted, known=known)
    found = []
    for dive in sorted({need.dive for need in needs}):
        rest = [need for need in needs if need.dive != dive]
        less = order_gas(rest, owned, room, offers, boosted=boosted, known=known)
        saved = None
        if whole.cost is not None and less.cost is not None:
            saved = whole.cost - less.cost
        found.append(
            DropOut(
                dive,
                less,
                whole.helium.needed_free_l - less.helium.needed_free_l,
                whole.oxygen.needed_free_l - less.oxygen.needed_free_l,
                whole.helium.count - less.helium.count,
                whole.oxygen.count - less.oxygen.count,
                saved,
            )
        )
    return tuple(found)
