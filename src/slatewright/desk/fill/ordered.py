"""The order of helium and oxygen, as the page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from slatewright.desk.workings import Shown
from slatewright.errors import Reason
from slatewright.fill.order import GasOrder, SupplyOrder
from slatewright.fill.session import Session
from slatewright.paper.fill_words import money
from slatewright.paper.order_sheet import kinds_words, order_data, proof_words
from slatewright.paper.reading import free_text


@dataclass(frozen=True, slots=True)
class SupplySeen:
    """What is ordered of one gas.

    Parameters
    ----------
    gas
        The gas.
    kinds
        Which supply cylinders, and how many.
    proof
        How good that is known to be; empty if nothing is ordered.
    needed, left
        Free gas that goes into the fills, and that stays behind.
    cost
        Its cost; None without prices.
    """

    gas: str
    kinds: str
    proof: str
    needed: Shown
    left: Shown
    cost: Shown | None


@dataclass(frozen=True, slots=True)
class WaySeen:
    """One way to order.

    Parameters
    ----------
    words
        With or without the booster.
    supplies
        Helium and oxygen.
    cost
        All together; empty without prices.
    """

    words: str
    supplies: tuple[SupplySeen, ...]
    cost: str


@dataclass(frozen=True, slots=True)
class OrderSeen:
    """An order.

    Parameters
    ----------
    title
        The title of the file.
    path
        The path of the file's page.
    pdf
        Where the order is printed.
    ways
        With the booster, and without.
    drops
        What is needed less if a dive drops out; each a row of words.
    fewer
        Whether some dive less asks for more cylinders, smaller ones.
    fills
        The fills in their order; each a row of words.
    reasons
        Why there is no order; empty if there is one.
    """

    title: str
    path: str
    pdf: str
    ways: tuple[WaySeen, ...]
    drops: tuple[dict[str, str], ...]
    fewer: bool
    fills: tuple[dict[str, str], ...]
    reasons: tuple[Reason, ...] = ()


def order_seen(session: Session, path: str, how: str) -> OrderSeen:
    """Return the order of a file.

    Parameters
    ----------
    session
        The fills with the order.
    path
        The path of the file's page.
    how
        The path under which its accounts are served.
    """
    told: dict[str, Any] = order_data(session) or {"drops": (), "fills": ()}
    ways = [] if session.order is None else [("booster", session.order)]
    if session.order_unboosted is not None:
        ways.append(("unboosted", session.order_unboosted))
    return OrderSeen(
        title=session.file.title,
        path=path,
        pdf=f"{path}/order.pdf",
        ways=tuple(_way(order, session, f"{how}/order/{name}") for name, order in ways),
        drops=tuple(told["drops"]),
        fewer=any(drop.helium_cylinders_less < 0 for drop in session.drop_outs),
        fills=tuple(told["fills"]),
    )


def _way(order: GasOrder, session: Session, account: str) -> WaySeen:
    currency = "" if session.room.prices is None else session.room.prices.currency
    words = "With the booster" if order.boosted else "Without a booster"
    return WaySeen(
        words=words,
        supplies=tuple(
            _supply(one, session, currency, f"{account}/{one.gas}")
            for one in (order.helium, order.oxygen)
        ),
        cost="" if order.cost is None else money(order.cost, currency),
    )


def _supply(one: SupplyOrder, session: Session, currency: str, account: str) -> SupplySeen:
    units = session.file.units
    return SupplySeen(
        gas=one.gas,
        kinds=kinds_words(one),
        proof=proof_words(one, currency),
        needed=Shown(free_text(one.needed_free_l, units), account=account),
        left=Shown(free_text(one.left_free_l, units), account=account),
        cost=None if one.cost is None else Shown(f"{one.cost:,.2f}", currency, account=account),
    )


def no_order(path: str, reasons: tuple[Reason, ...]) -> OrderSeen:
    """Return why there is no order.

    Parameters
    ----------
    path
        The path of the file's page.
    reasons
        Why.
    """
    return OrderSeen("", path, "", (), (), fewer=False, fills=(), reasons=reasons)
