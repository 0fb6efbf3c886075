"""How the state of a bank and the size of an order came about."""

from __future__ import annotations

from typing import Final

from slatewright.desk.fill.work import Work, order_of
from slatewright.desk.workings import Account, Row, Shown, references_of
from slatewright.errors import NoSafeAnswer
from slatewright.fill.order import GasOrder
from slatewright.fill.session import Session
from slatewright.paper.order_sheet import kinds_words, proof_words
from slatewright.paper.reading import free_text, gauge_text, temperature_text

_SOURCES: Final = ("[GERG2008]", "[ISO20765-2]")
_DRAWN: Final = (
    "What a fill takes out of a cylinder is subtracted in moles; the pressure of what is left "
    "follows by the equation of state of the real gas."
)
_EACH: Final = (
    "Each fill is worked out on what the cylinder then holds, the leftover of an earlier dive "
    "where that is cheaper, out of supply cylinders that grow emptier; what cannot be brought over "
    "any more stays behind and is paid for too."
)


def bank_account(session: Session, source: int, place: int) -> Account | None:
    """Return how the pressure of a bank's cylinder after the fills came about.

    Parameters
    ----------
    session
        The fills.
    source, place
        Which source of the room, and which cylinder of its bank, counted from 0.

    Returns
    -------
    Account or None
        None if there is no such cylinder.
    """
    if not 0 <= source < len(session.before.sources) or place < 0:
        return None
    old, new = session.before.sources[source], session.room.sources[source]
    if old.bank is None or new.bank is None or place >= len(old.bank.cylinders):
        return None
    units, label = session.file.units, old.bank.cylinders[place].label
    rows = [
        Row("before the fills", Shown(f"{old.bank.cylinders[place].amount_mol:.2f}", "mol")),
    ]
    for fill in session.fills:
        for number, step in enumerate(fill.blend.steps, 1):
            for move in step.moves:
                if step.source == old.name and move.cylinder == label:
                    pump = ", boosted" if move.boosted else ""
                    what = f"into {fill.blend.receiver.label}, step {number}{pump}"
                    rows.append(Row(what, Shown(f"-{move.amount_mol:.2f}", "mol")))
    left = new.bank.cylinders[place]
    rows.append(Row("left", Shown(f"{left.amount_mol:.2f}", "mol")))
    rows.append(Row("water volume", Shown(f"{left.water_volume_l:g}", "L")))
    rows.append(Row("temperature", Shown(temperature_text(new.bank.temperature_k, units))))
    return Account(
        title=f"{label} after the fills",
        number=Shown(gauge_text(new.bank.gauges_bar()[place], units), units.pressure_unit),
        sentences=(_DRAWN,),
        rows=tuple(rows),
        sources=_SOURCES,
        references=references_of(_SOURCES),
    )


def order_account(work: Work, way: str, gas: str) -> Account | None:
    """Return how the order of a gas came about.

    Parameters
    ----------
    work
        The fills.
    way
        ``booster`` or ``unboosted``.
    gas
        ``helium`` or ``oxygen``.

    Returns
    -------
    Account or None
        None if there is no such order.
    """
    try:
        session = order_of(work)
    except NoSafeAnswer:
        return None
    order = {"booster": session.order, "unboosted": session.order_unboosted}.get(way)
    if order is None or gas not in {"helium", "oxygen"}:
        return None
    return _order(session, order, gas)


def _order(session: Session, order: GasOrder, gas: str) -> Account:
    units = session.file.units
    supply = order.helium if gas == "helium" else order.oxygen
    rows: dict[int, float] = {}
    for planned, blend in zip(order.fills, order.done.blends, strict=True):
        dive = planned.need.dive
        rows[dive] = rows.get(dive, 0.0) + blend.added_free_l(gas)
    currency = "" if session.room.prices is None else session.room.prices.currency
    said = [
        _EACH,
    ]
    if proof := proof_words(supply, currency):
        said.append(
            f"{proof[:1].upper()}{proof[1:]}: gas that goes in above a pressure has to come out of "
            "a supply that stands above the pressure that goes with it, and that many cylinders at "
            "least meet this for all pressures at once."
        )
    told = [
        Row(f"into the fills of dive {dive}", Shown(free_text(rows[dive], units))) for dive in rows
    ]
    told += [
        Row("into all fills", Shown(free_text(supply.needed_free_l, units))),
        Row("in the cylinders ordered", Shown(free_text(supply.ordered_free_l, units))),
        Row("stays behind", Shown(free_text(supply.left_free_l, units))),
        Row("no order of these fills gets below", Shown(str(supply.at_least), "cylinders")),
    ]
    if supply.cost_at_least is not None:
        least = Shown(f"{supply.cost_at_least:,.2f}", currency)
        told.append(Row("nothing that would do costs less than", least))
    if supply.cost is not None:
        told.append(Row("cost with hire", Shown(f"{supply.cost:,.2f}", currency)))
    return Account(
        title=f"{gas.capitalize()} to order",
        number=Shown(kinds_words(supply)),
        sentences=tuple(said),
        rows=tuple(told),
    )
