"""The fill sheet: a page for each cylinder, ticked off at the bench; banks, cost, the order."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from slatewright.errors import InputError
from slatewright.paper.fill_words import (
    bill_words,
    body_words,
    holds_words,
    room_words,
    spread_words,
    step_words,
)
from slatewright.paper.order_sheet import order_data
from slatewright.paper.reading import free_text, gauge_text, temperature_text
from slatewright.paper.slate_extras import one_line
from slatewright.paper.theme import (
    CAUTION,
    CONTOUR,
    DEPTH_TINTS,
    FONT,
    INK,
    PAPER,
    SECOND_FONT,
    SOFT_INK,
    mixture_name,
)
from slatewright.paper.typeset import typeset

if TYPE_CHECKING:
    from slatewright.fill.receiver import Receiver
    from slatewright.fill.session import DoneFill, RefusedFill, Session
    from slatewright.physics.amount import Amount
    from slatewright.physics.units import UnitSystem

TEMPLATE = "fill_sheet.typ"


def fill_sheet_pdf(session: Session) -> bytes:
    """Print the fill sheet of a fill file.

    Parameters
    ----------
    session
        The fills.

    Returns
    -------
    bytes
        A PDF of A4 pages; the same fills give the same bytes.
    """
    (pdf,) = typeset(TEMPLATE, fill_sheet_data(session))
    return pdf


def order_pdf(session: Session) -> bytes:
    """Print the order of helium and oxygen alone.

    Parameters
    ----------
    session
        The fills with the order.

    Returns
    -------
    bytes
        A PDF of A4 pages; the same order gives the same bytes.

    Raises
    ------
    InputError
        If no order is asked for.
    """
    if session.order is None:
        raise InputError("no order is asked for", where="need", right="[[need]] for each dive")
    nothing: dict[str, Any] = {"fills": [], "refused": [], "banks": [], "cost": ""}
    (pdf,) = typeset(TEMPLATE, fill_sheet_data(session) | nothing)
    return pdf


def fill_sheet_png(session: Session, *, pixels_per_inch: float = 110.0) -> tuple[bytes, ...]:
    """Draw the pages of the fill sheet as pictures, for the screen.

    Parameters
    ----------
    session
        The fills.
    pixels_per_inch
        Fineness of the picture [1/inch].

    Returns
    -------
    tuple[bytes, ...]
        A PNG for each page.
    """
    return typeset(TEMPLATE, fill_sheet_data(session), form="png", pixels_per_inch=pixels_per_inch)


def fill_sheet_data(session: Session) -> dict[str, Any]:
    """Put together what the template prints: words and numbers, ready to set.

    Parameters
    ----------
    session
        The fills.

    Returns
    -------
    dict[str, Any]
        Plain data that goes to the template as JSON; nothing in it is read as markup.
    """
    units = session.file.units
    return {
        "title": one_line(session.file.title),
        "date": str(session.file.date),
        "room": room_words(session),
        "unit": units.pressure_unit,
        "fills": [_fill(fill, session) for fill in session.fills],
        "refused": [_refused(one, units) for one in session.refused],
        "banks": _banks(session),
        "cost": "" if session.bill is None else bill_words(session.bill),
        "order": order_data(session),
        "cautions": list(session.cautions),
        "look": look(),
    }


def look() -> dict[str, Any]:
    """Return colours and typefaces as a template takes them."""
    return {
        "font": FONT,
        "second_font": SECOND_FONT,
        "ink": INK,
        "soft": SOFT_INK,
        "paper": PAPER,
        "contour": CONTOUR,
        "caution": CAUTION,
        "tints": list(DEPTH_TINTS),
    }


def _fill(fill: DoneFill, session: Session) -> dict[str, Any]:
    blend, units = fill.blend, session.file.units
    label, room = blend.receiver.label, session.room
    low, high = room.tolerance.around(blend.target)
    steps = zip(blend.steps, step_words(blend, units), strict=True)
    return {
        "name": one_line(label),
        "target": mixture_name(blend.target),
        "to": gauge_text(fill.gauge_bar, units),
        "body": body_words(blend.receiver, session),
        "holds": holds_words(fill, units),
        "test": str(blend.receiver.test_due or "not known"),
        "clean": {True: "yes", False: "no", None: "not known"}[blend.receiver.oxygen_clean],
        "cautions": [one_line(c.removeprefix(f"{label}: "), 300) for c in fill.cautions],
        "before": _drawn(
            blend.receiver, blend.receiver.contents, blend.start_settled_gauge_bar, units
        ),
        "after": _drawn(blend.receiver, blend.contents, blend.settled_gauge_bar, units),
        "count": blend.receiver.cylinder.count,
        "start": gauge_text(blend.start_gauge_bar, units) if blend.receiver.contents else "vacuum",
        "warm": temperature_text(blend.fill_temperature_k, units),
        "cool": temperature_text(blend.reference_temperature_k, units),
        "steps": [
            {
                "act": one_line(said.act),
                "reading": said.reading,
                "amount": free_text(step.free_l, units),
                "valves": list(said.valves),
            }
            for step, said in steps
        ],
        "settled": gauge_text(blend.settled_gauge_bar, units),
        "expected": [f"{share * 100.0:.1f}" for share in (blend.mix.o2, blend.mix.he)],
        "accepted": [
            f"{min_share * 100.0:.1f} to {max_share * 100.0:.1f}"
            for min_share, max_share in zip(low, high, strict=True)
        ],
        "certain": "" if fill.spread is None else spread_words(fill.spread, blend),
        "sure": fill.spread is not None and fill.spread.stays_inside,
        "cost": "" if blend.bill is None else bill_words(blend.bill),
    }


def _drawn(
    receiver: Receiver, inside: Amount | None, gauge_bar: float, units: UnitSystem
) -> dict[str, Any]:
    """Return how full a cylinder is drawn, and with what; bands from the bottom up."""
    if inside is None:
        return {"full": 0.0, "bands": [], "mix": "vacuum", "gauge": "", "unit": ""}
    shares = (("O2", inside.o2), ("N2", inside.mixture().n2), ("He", inside.he))
    return {
        "full": min(1.0, max(0.0, gauge_bar / receiver.cylinder.working_gauge_bar)),
        "bands": [
            {"gas": gas, "share": share, "words": f"{gas} {share * 100.0:.0f}"}
            for gas, share in shares
            if share > 0.0005
        ],
        "mix": mixture_name(inside.mixture()),
        "gauge": gauge_text(gauge_bar, units),
        "unit": units.pressure_unit,
    }


def _refused(one: RefusedFill, units: UnitSystem) -> dict[str, Any]:
    label = one.job.receiver.label
    return {
        "name": one_line(label),
        "target": f"{mixture_name(one.job.mix)} to {gauge_text(one.job.gauge_bar, units)}",
        "reasons": [
            {
                "what": one_line(r.what.removeprefix(f"{label}: "), 300),
                "cure": one_line(r.cure, 400),
            }
            for r in one.refusal.reasons
        ],
    }


def _banks(session: Session) -> list[dict[str, str]]:
    units, rows = session.file.units, []
    for before, after in zip(session.before.sources, session.room.sources, strict=True):
        if before.bank is None or after.bank is None or not session.fills:
            continue
        shown = zip(
            before.bank.cylinders, before.bank.gauges_bar(), after.bank.gauges_bar(), strict=True
        )
        rows += [
            {
                "source": one_line(before.name),
                "cylinder": one_line(one.label),
                "size": f"{one.water_volume_l:g} L",
                "before": gauge_text(was_bar, units),
                "after": gauge_text(is_bar, units),
            }
            for one, was_bar, is_bar in shown
        ]
    return rows
