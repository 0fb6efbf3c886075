"""A fill file as a page shows it: what is written, what is wrong with it, what follows."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.desk.fill.analysed import chain_for
from slatewright.desk.fill.card import FillCard
from slatewright.desk.fill.entering import Entry
from slatewright.desk.fill.keeping import FillText, KeptFill
from slatewright.desk.fill.seen import FillSeen, seen_of
from slatewright.desk.fill.ticks import ticks_of
from slatewright.desk.fill.work import Work, work_of
from slatewright.desk.problem import Fault
from slatewright.dive.house_rules import HouseRules
from slatewright.physics.units import UnitSystem
from slatewright.store.plans import list_plans
from slatewright.store.session import Session


@dataclass(frozen=True, slots=True)
class LineNumber:
    """A line of the text, as the gutter beside it shows it.

    Parameters
    ----------
    number
        Counted from 1.
    words
        What is wrong in it; empty if nothing is.
    """

    number: int
    words: str


@dataclass(frozen=True, slots=True)
class PlanChoice:
    """A plan that may be chosen.

    Parameters
    ----------
    id, title
        The plan.
    chosen
        Whether it is.
    """

    id: int
    title: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Typed:
    """An analysis that was typed and could not be taken.

    Parameters
    ----------
    entry
        As it was typed.
    faults
        Why not.
    """

    entry: Entry
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class CardView:
    """A card with what its forms need.

    Parameters
    ----------
    path
        The path of the file's page.
    card
        The card.
    live
        Whether steps may be ticked and analyses entered: what is shown is what is saved.
    units
        The units of the room.
    entry
        What stands in the fields of the analysis.
    faults
        Why the last analysis was not taken.
    planned
        Whether a plan is chosen, whose limits count.
    """

    path: str
    card: FillCard
    live: bool
    units: UnitSystem
    entry: Entry
    faults: tuple[Fault, ...]
    planned: bool


@dataclass(frozen=True, slots=True)
class FillView:
    """What a page shows of a fill file.

    Parameters
    ----------
    written
        What is written, saved or not.
    saved
        Whether that is what is kept.
    faults, price_faults
        What is wrong with the text, and with the price list.
    lines
        The lines of the text.
    plans
        The plans that may be chosen.
    notes
        What is missing, a sentence each.
    seen
        What follows; None if nothing can be shown.
    views
        The cards.
    old
        Whether what is shown belongs to the file as it was last saved.
    """

    written: FillText
    saved: bool
    faults: tuple[Fault, ...]
    price_faults: tuple[Fault, ...]
    lines: tuple[LineNumber, ...]
    plans: tuple[PlanChoice, ...]
    notes: tuple[str, ...]
    seen: FillSeen | None
    views: tuple[CardView, ...]
    old: bool


def view_of(
    session: Session,
    kept: KeptFill,
    rules: HouseRules,
    moment: str,
    *,
    written: FillText | None = None,
    typed: Typed | None = None,
) -> FillView:
    """Return what a page shows of a fill file.

    Parameters
    ----------
    session
        A session of the store.
    kept
        The file as it is kept.
    rules
        The house rules.
    moment
        The moment, as a field for day and hour takes it.
    written
        What is typed and not saved; None to show what is kept.
    typed
        An analysis that could not be taken; None if there is none.
    """
    path = f"/fill/{kept.number}"
    now = kept.written if written is None else written
    saved = now == kept.written
    work = work_of(now)
    faults, price_faults = work.faults, work.price_faults
    old = work.session is None
    shown = work_of(kept.written) if old else work
    planned = chain_for(session, now.plan_id) is not None
    ticks = ticks_of(session, kept.number)
    seen = seen_of(shown, ticks, path, rules, planned=planned)
    live = saved and not old
    views = (
        ()
        if seen is None
        else tuple(
            _view(path, card, seen.units, moment, typed, live=live, planned=planned)
            for card in seen.cards
        )
    )
    return FillView(
        written=now,
        saved=saved,
        faults=faults,
        price_faults=price_faults,
        lines=_lines(now.text, faults),
        plans=_plans(session, now.plan_id),
        notes=_notes(work, now, planned=planned),
        seen=seen,
        views=views,
        old=old and seen is not None,
    )


def _view(
    path: str,
    card: FillCard,
    units: UnitSystem,
    moment: str,
    typed: Typed | None,
    *,
    live: bool,
    planned: bool,
) -> CardView:
    entry = Entry(card.name, "", "", card.gauge_asked, "", "", moment)
    faults: tuple[Fault, ...] = ()
    if typed is not None and typed.entry.cylinder == card.name:
        entry, faults = typed.entry, typed.faults
    return CardView(path, card, live, units, entry, faults, planned)


def _lines(text: str, faults: tuple[Fault, ...]) -> tuple[LineNumber, ...]:
    words: dict[int, list[str]] = {}
    for fault in faults:
        words.setdefault(fault.line, []).append(f"{fault.where} {fault.what}".strip())
    return tuple(
        LineNumber(number, "; ".join(words.get(number, ())))
        for number in range(1, text.count("\n") + 2)
    )


def _plans(session: Session, chosen: int | None) -> tuple[PlanChoice, ...]:
    return tuple(
        PlanChoice(entry.id, entry.title, entry.id == chosen) for entry in list_plans(session)
    )


def _notes(work: Work, written: FillText, *, planned: bool) -> tuple[str, ...]:
    session, notes = work.session, []
    if session is None:
        return ()
    file = session.file
    if file.room.prices and not written.prices.strip():
        notes.append(
            f"The file names a price list, {file.room.prices}, and none is laid on: nothing is "
            "costed. Put it in beside the text."
        )
    if file.plan and not planned:
        notes.append(
            f"The file names a plan, {file.plan}: choose it beside the text, so that its limits "
            "count and its dive is computed again with what was analysed."
        )
    return tuple(notes)
