"""The order of helium and oxygen as the fill sheet prints it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from slatewright.paper.fill_words import money, target_words
from slatewright.paper.reading import free_text
from slatewright.paper.slate_extras import one_line

if TYPE_CHECKING:
    from slatewright.fill.order import GasOrder, SupplyOrder
    from slatewright.fill.session import Session
    from slatewright.physics.units import UnitSystem


def order_data(session: Session) -> dict[str, Any] | None:
    """Return the order as words and numbers; None if the file asks for none.

    Parameters
    ----------
    session
        The fills and the order.
    """
    order = session.order
    if order is None:
        return None
    ways = [("with the booster" if order.boosted else "without a booster", order)]
    if session.order_unboosted is not None:
        ways.append(("without the booster", session.order_unboosted))
    return {
        "ways": [_way(words, way, session) for words, way in ways],
        "drops": _drops(session),
        "fills": _fills(order, session.file.units),
    }


def _way(words: str, order: GasOrder, session: Session) -> dict[str, Any]:
    currency = "" if session.room.prices is None else session.room.prices.currency
    return {
        "words": words,
        "supplies": [
            _supply(one, currency, session.file.units) for one in (order.helium, order.oxygen)
        ],
        "cost": "" if order.cost is None else money(order.cost, currency),
    }


def _supply(one: SupplyOrder, currency: str, units: UnitSystem) -> dict[str, str]:
    return {
        "gas": one.gas,
        "kinds": kinds_words(one),
        "proof": proof_words(one, currency),
        "needed": free_text(one.needed_free_l, units),
        "left": free_text(one.left_free_l, units),
        "cost": "" if one.cost is None else money(one.cost, currency),
    }


def kinds_words(supply: SupplyOrder) -> str:
    """Return which supply cylinders are ordered, such as ``4 x helium 50``.

    Parameters
    ----------
    supply
        What is ordered of one gas.
    """
    return " and ".join(f"{count} x {offer.name}" for offer, count in supply.kinds) or "nothing"


def proof_words(supply: SupplyOrder, currency: str = "") -> str:
    """Return how good an order is known to be; empty if nothing is ordered.

    Parameters
    ----------
    supply
        What is ordered of one gas.
    currency
        The currency, where there are prices.
    """
    if not supply.count:
        return ""
    if supply.cheapest:
        return "nothing cheaper would do, in any order of these fills"
    if supply.count <= supply.at_least:
        return "fewer would not do, in any order of these fills"
    if supply.cost_at_least is not None and currency:
        least = money(supply.cost_at_least, currency)
        return f"the best found; no order of these fills costs less than {least}"
    return f"the best found; no order of these fills gets below {supply.at_least}"


def _drops(session: Session) -> list[dict[str, str]]:
    units = session.file.units
    return [
        {
            "dive": str(drop.dive),
            "helium": free_text(drop.helium_less_free_l, units),
            "helium_cylinders": str(drop.helium_cylinders_less),
            "oxygen": free_text(drop.oxygen_less_free_l, units),
            "oxygen_cylinders": str(drop.oxygen_cylinders_less),
            "cost": "" if drop.cost_less is None else f"{drop.cost_less:,.2f}",
        }
        for drop in session.drop_outs
    ]


def _fills(order: GasOrder, units: UnitSystem) -> list[dict[str, str]]:
    rows = []
    for planned, blend in zip(order.fills, order.done.blends, strict=True):
        inside, need = planned.receiver.contents, planned.need
        rows.append(
            {
                "dive": str(need.dive),
                "cylinder": one_line(planned.receiver.label, 60),
                "on": "vacuum" if inside is None else str(inside.mixture()),
                "after": f"left of dive {planned.after_dive}" if planned.after_dive else "",
                "to": target_words(need.mix, need.gauge_bar, units),
                "helium": _added(blend.added_free_l("helium"), units),
                "oxygen": _added(blend.added_free_l("oxygen"), units),
            }
        )
    return rows


def _added(free_l: float, units: UnitSystem) -> str:
    return free_text(free_l, units) if free_l > 0.0 else "-"
