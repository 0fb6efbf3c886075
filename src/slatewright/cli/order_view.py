"""The order of helium and oxygen on the terminal: what to buy, what stays behind, what moves it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from slatewright.cli.console import HEAD, SOFT, entries, heading
from slatewright.paper.fill_words import money, target_words
from slatewright.paper.order_sheet import kinds_words, proof_words
from slatewright.paper.reading import free_text

if TYPE_CHECKING:
    from slatewright.fill.order import GasOrder
    from slatewright.fill.session import Session
    from slatewright.physics.units import UnitSystem

Lines = list[Text]


def order_lines(session: Session, width: int) -> Lines:
    """Return the order of a fill file; nothing if it asks for none.

    Parameters
    ----------
    session
        The fills and the order.
    width
        Columns.
    """
    order = session.order
    if order is None:
        return []
    pump = "with the booster" if order.boosted else "without a booster"
    lines = [heading("Gas to order").append(f"  {len(order.fills)} fills, {pump}", "not bold")]
    lines += _supplies(order, session, width)
    if session.order_unboosted is not None:
        lines += [Text(), heading("The same without the booster")]
        lines += _supplies(session.order_unboosted, session, width)
    if session.drop_outs:
        lines += [Text(), *_drops(session)]
    return [*lines, Text(), *_fills(order, session)]


def _supplies(order: GasOrder, session: Session, width: int) -> Lines:
    currency = "" if session.room.prices is None else session.room.prices.currency
    lines = []
    for supply in (order.helium, order.oxygen):
        proof = proof_words(supply, currency)
        kinds = Text(kinds_words(supply), HEAD).append(f"; {proof}" if proof else "", "not bold")
        rows = [("order", kinds)]
        goes, left = (
            free_text(free_l, session.file.units)
            for free_l in (supply.needed_free_l, supply.left_free_l)
        )
        rows.append(("gas", Text(f"{goes} go into the fills, {left} stay behind")))
        if supply.cost is not None and supply.count:
            rows.append(("cost", Text(money(supply.cost, currency))))
        lines += [Text(f"  {supply.gas}", HEAD), *entries(rows, width, indent=4)]
    if order.cost is not None:
        lines.append(Text(f"  together {money(order.cost, currency)}", HEAD))
    return lines


def _drops(session: Session) -> Lines:
    units = session.file.units
    head = (
        f"  {'dive':<6}{'helium':>14}{'cylinders':>11}{'oxygen':>14}{'cylinders':>11}{'cost':>12}"
    )
    lines = [heading("If a dive drops out").append("  what is needed less", "not bold")]
    lines.append(Text(head, SOFT))
    for drop in session.drop_outs:
        cost = "" if drop.cost_less is None else f"{drop.cost_less:,.2f}"
        lines.append(
            Text(
                f"  {drop.dive:<6}{free_text(drop.helium_less_free_l, units):>14}"
                f"{drop.helium_cylinders_less:>11}{free_text(drop.oxygen_less_free_l, units):>14}"
                f"{drop.oxygen_cylinders_less:>11}{cost:>12}"
            )
        )
    if any(drop.helium_cylinders_less < 0 for drop in session.drop_outs):
        lines.append(Text("  below zero: more cylinders, smaller ones", SOFT))
    return lines


def _fills(order: GasOrder, session: Session) -> Lines:
    units = session.file.units
    lines = [heading("The fills").append("  in the order in which they are done", "not bold")]
    lines.append(
        Text(f"  {'dive':<5}{'cylinder':<17}{'on':<14}{'to':<22}{'helium':>10}{'oxygen':>10}", SOFT)
    )
    for planned, blend in zip(order.fills, order.done.blends, strict=True):
        inside = planned.receiver.contents
        on = "vacuum" if inside is None else str(inside.mixture())
        if planned.after_dive:
            on += f", dive {planned.after_dive}"
        need = planned.need
        lines.append(
            Text(
                f"  {need.dive:<5}{planned.receiver.label[:16]:<17}{on:<14}"
                f"{target_words(need.mix, need.gauge_bar, units):<22}"
                f"{_added(blend.added_free_l('helium'), units):>10}"
                f"{_added(blend.added_free_l('oxygen'), units):>10}"
            )
        )
    return lines


def _added(free_l: float, units: UnitSystem) -> str:
    return free_text(free_l, units) if free_l > 0.0 else "-"
