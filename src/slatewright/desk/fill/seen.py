"""What follows from a fill file, as one page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from slatewright.desk.fill.around import (
    BankRow,
    LeftoverSeen,
    RefusedSeen,
    banks_of,
    leftovers_of,
    refused_of,
)
from slatewright.desk.fill.card import FillCard, cards_of
from slatewright.desk.fill.drawing import LAYERS, layer_mark
from slatewright.desk.fill.ticks import Ticks
from slatewright.desk.fill.work import Work
from slatewright.desk.workings import Shown
from slatewright.dive.house_rules import HouseRules
from slatewright.fill.room import FillOrder
from slatewright.fill.session import Session
from slatewright.paper.fill_words import room_words
from slatewright.physics.units import UnitSystem


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """An entry of the key to the drawings.

    Parameters
    ----------
    mark
        The letter in its shape, as SVG.
    name
        The gas.
    """

    mark: Markup
    name: str


@dataclass(frozen=True, slots=True)
class FillSeen:
    """What follows from a fill file.

    Parameters
    ----------
    key
        What the result is kept under.
    units
        The units of the room.
    date
        The day of the fills.
    room
        Temperatures and habits, in words.
    sequence
        In which order the fills stand, in words; empty if as written.
    prices
        The day of the price list; empty without one.
    legend
        The gases in the drawings.
    cards
        The fills that can be done, in the order in which they are to be done.
    ticked, steps
        How many steps of all are done, and how many there are.
    refused
        Those that cannot.
    banks
        The banks before and after.
    bill
        The cost of all; None without prices.
    leftovers
        Cylinders with gas in them that the file does not fill.
    wants_order
        Whether the file asks for an order.
    analysed
        How many of the filled cylinders were analysed.
    fit
        How many of these may be used.
    cautions
        Those that go with every fill.
    """

    key: str
    units: UnitSystem
    date: str
    room: str
    sequence: str
    prices: str
    legend: tuple[KeyEntry, ...]
    cards: tuple[FillCard, ...]
    ticked: int
    steps: int
    refused: tuple[RefusedSeen, ...]
    banks: tuple[BankRow, ...]
    bill: Shown | None
    leftovers: tuple[LeftoverSeen, ...]
    wants_order: bool
    analysed: int
    fit: int
    cautions: tuple[str, ...]


def seen_of(
    work: Work, ticks: Ticks, path: str, rules: HouseRules, *, planned: bool
) -> FillSeen | None:
    """Return what a page shows of a fill file; None if its text has faults.

    Parameters
    ----------
    work
        The fills.
    ticks
        What was ticked off.
    path
        The path of the file's page.
    rules
        The house rules.
    planned
        Whether a plan is chosen.
    """
    session = work.session
    if session is None:
        return None
    how = how_path(path, work)
    cards = cards_of(work, ticks, how, rules, planned=planned)
    bill = session.bill
    verdicts = [card.verdict for card in cards if card.verdict is not None]
    prices = session.before.prices
    return FillSeen(
        key=work.key,
        units=session.file.units,
        date=str(session.file.date),
        room=room_words(session),
        sequence=_sequence(session),
        prices="" if prices is None else str(prices.on),
        legend=tuple(KeyEntry(layer_mark(layer), layer.name) for layer in LAYERS),
        cards=cards,
        ticked=sum(card.done for card in cards),
        steps=sum(len(card.steps) for card in cards),
        refused=refused_of(session),
        banks=banks_of(session, how) if session.fills else (),
        bill=None
        if bill is None
        else Shown(f"{bill.total:,.2f}", bill.currency, account=f"{how}/bill"),
        leftovers=leftovers_of(session),
        wants_order=bool(session.file.need),
        analysed=len(verdicts),
        fit=sum(verdict.accepted for verdict in verdicts),
        cautions=session.cautions,
    )


def how_path(path: str, work: Work) -> str:
    """Return the path under which the accounts of a result are served.

    Parameters
    ----------
    path
        The path of the file's page.
    work
        The fills.
    """
    return f"{path}/how/{work.key}"


def _sequence(session: Session) -> str:
    if session.file.room.order is not FillOrder.LEAST_BOUGHT or not session.fills:
        return ""
    if session.reordered:
        return "In another order than written, so that the banks go further."
    return "In the order written: no other makes the banks go further."
