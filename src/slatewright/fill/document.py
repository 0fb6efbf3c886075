"""What a fill file comes to, as plain data: JSON that anyone can re-check.

Two documents: ``slatewright/filled/1`` for the fills and the order, ``slatewright/analysed/1`` for
the analyses. Pressures are bar on the gauge, amounts moles and free litres at 1.01325 bar and
20 degC, temperatures kelvin, shares mole fractions, whatever the units of the file.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from slatewright.errors import NoSafeAnswer, Reason

if TYPE_CHECKING:
    from collections.abc import Iterable

    from slatewright.fill.checked import Checked, CheckedCylinder, Replan
    from slatewright.fill.leftovers import Leftover
    from slatewright.fill.order import GasOrder, SupplyOrder
    from slatewright.fill.prices import Bill
    from slatewright.fill.replan import Difference
    from slatewright.fill.room import Room
    from slatewright.fill.session import DoneFill, Session
    from slatewright.fill.steps import Blend, Step
    from slatewright.fill.uncertainty import Spread
    from slatewright.physics.amount import Amount
    from slatewright.physics.mixture import Mixture

FILLED: Final = "slatewright/filled/1"
ANALYSED: Final = "slatewright/analysed/1"


def session_document(session: Session) -> dict[str, Any]:
    """Return fills and order as plain data.

    Parameters
    ----------
    session
        The fills.

    Returns
    -------
    dict
        Ready for JSON; money as text, so that no cent is lost.
    """
    room = session.before
    return {
        "schema": FILLED,
        "title": session.file.title,
        "date": str(session.file.date),
        "units": str(session.file.units),
        "room": {
            "fill_temperature_k": room.fill_temperature_k,
            "reference_temperature_k": room.reference_temperature_k,
            "surface_bar": room.surface_bar,
            "choose": str(room.choice),
            "first": str(room.first),
            "tolerance": {"o2": room.tolerance.o2, "he": room.tolerance.he},
        },
        "reordered": session.reordered,
        "fills": [_fill(fill) for fill in session.fills],
        "refused": [
            {
                "cylinder": one.job.receiver.label,
                "mix": str(one.job.mix),
                "gauge_bar": one.job.gauge_bar,
                "reasons": _reasons(one.refusal),
            }
            for one in session.refused
        ],
        "banks": _banks(session.before, session.room),
        "bill": _bill(session.bill),
        "leftovers": [_leftover(one) for one in session.leftovers],
        "order": _order(session.order),
        "order_unboosted": _order(session.order_unboosted),
        "drop_outs": [
            {
                "dive": drop.dive,
                "helium_less_free_l": drop.helium_less_free_l,
                "oxygen_less_free_l": drop.oxygen_less_free_l,
                "helium_cylinders_less": drop.helium_cylinders_less,
                "oxygen_cylinders_less": drop.oxygen_cylinders_less,
                "cost_less": _money(drop.cost_less),
            }
            for drop in session.drop_outs
        ],
        "cautions": list(session.cautions),
    }


def checked_document(checked: Checked) -> dict[str, Any]:
    """Return analyses as plain data.

    Parameters
    ----------
    checked
        The analyses.

    Returns
    -------
    dict
        Ready for JSON.
    """
    return {
        "schema": ANALYSED,
        "title": checked.session.file.title,
        "fit": checked.fit,
        "cylinders": [_cylinder(one) for one in checked.cylinders],
        "not_analysed": list(checked.missing),
        "no_gas_of_the_plan": list(checked.no_gas_of_the_plan),
        "gas_judged": checked.gas_judged,
        "dives": [_replan(one) for one in checked.replans],
    }


def _fill(fill: DoneFill) -> dict[str, Any]:
    return {
        **_blend(fill.blend),
        "known": str(fill.known),
        "spread": _spread(fill.spread),
        "cautions": list(fill.cautions),
    }


def _blend(blend: Blend) -> dict[str, Any]:
    return {
        "cylinder": blend.receiver.label,
        "water_volume_l": blend.receiver.water_volume_l,
        "working_gauge_bar": blend.receiver.cylinder.working_gauge_bar,
        "target": _mix(blend.target),
        "before": _contents(blend.receiver.contents),
        "start_gauge_bar": blend.start_gauge_bar,
        "steps": [_step(step, blend.surface_bar) for step in blend.steps],
        "after": _contents(blend.contents),
        "fill_gauge_bar": blend.fill_gauge_bar,
        "settled_gauge_bar": blend.settled_gauge_bar,
        "bill": _bill(blend.bill),
    }


def _step(step: Step, surface_bar: float) -> dict[str, Any]:
    return {
        "kind": str(step.kind),
        "source": step.source,
        "o2": step.gas.o2,
        "he": step.gas.he,
        "amount_mol": step.amount_mol,
        "free_l": step.free_l,
        "gauge_bar": step.gauge_bar,
        "moves": [
            {
                "cylinder": move.cylinder,
                "boosted": move.boosted,
                "amount_mol": move.amount_mol,
                "gauge_bar": move.receiver_pressure_bar - surface_bar,
                "left_gauge_bar": move.cylinder_pressure_bar - surface_bar,
            }
            for move in step.moves
        ],
    }


def _mix(mix: Mixture) -> dict[str, Any]:
    return {"name": str(mix), "o2": mix.o2, "he": mix.he}


def _contents(inside: Amount | None) -> dict[str, float] | None:
    if inside is None:
        return None
    return {"o2_mol": inside.o2_mol, "he_mol": inside.he_mol, "n2_mol": inside.n2_mol}


def _spread(spread: Spread | None) -> dict[str, Any] | None:
    if spread is None:
        return None
    return {
        "o2_sd": spread.o2,
        "he_sd": spread.he,
        "inside": spread.inside,
        "stays_inside": spread.stays_inside,
        "worst_step": spread.worst_step,
        "errors": [
            {"error": one.error, "step": one.step, "o2_sd": one.o2, "he_sd": one.he}
            for one in spread.shares
        ],
    }


def _bill(bill: Bill | None) -> dict[str, Any] | None:
    if bill is None:
        return None
    return {
        "currency": bill.currency,
        "total": str(bill.total),
        "lines": [
            {
                "gas": line.gas,
                "free_l": str(line.free_l),
                "fills": line.fills,
                "cost": str(line.cost),
            }
            for line in bill.lines
        ],
    }


def _money(amount: Decimal | None) -> str | None:
    return None if amount is None else str(amount)


def _banks(before: Room, after: Room) -> list[dict[str, Any]]:
    rows = []
    for old, new in zip(before.sources, after.sources, strict=True):
        if old.bank is None or new.bank is None:
            continue
        shown = zip(old.bank.cylinders, old.bank.gauges_bar(), new.bank.gauges_bar(), strict=True)
        rows += [
            {
                "source": old.name,
                "cylinder": one.label,
                "water_volume_l": one.water_volume_l,
                "gauge_bar_before": was_bar,
                "gauge_bar_after": is_bar,
            }
            for one, was_bar, is_bar in shown
        ]
    return rows


def _leftover(one: Leftover) -> dict[str, Any]:
    return {
        "cylinder": one.receiver.label,
        "gauge_bar": one.gauge_bar,
        "contents": _contents(one.receiver.contents),
        "known": str(one.known),
        "he_lowest": one.helium[0],
        "he_highest": one.helium[1],
        "uses": [
            {
                "kind": str(use.kind),
                "text": use.text,
                "helium_saved_free_l": use.helium_saved_free_l,
                "saved": _money(use.saved),
                "needs_analysis": use.needs_analysis,
            }
            for use in one.uses
        ],
    }


def _order(order: GasOrder | None) -> dict[str, Any] | None:
    if order is None:
        return None
    return {
        "boosted": order.boosted,
        "helium": _supply(order.helium),
        "oxygen": _supply(order.oxygen),
        "cost": _money(order.cost),
        "fills": [
            {
                "dive": planned.need.dive,
                "owner": planned.need.owner,
                "after_dive": planned.after_dive,
                **_blend(blend),
            }
            for planned, blend in zip(order.fills, order.done.blends, strict=True)
        ],
    }


def _supply(supply: SupplyOrder) -> dict[str, Any]:
    return {
        "order": [{"name": offer.name, "count": count} for offer, count in supply.kinds],
        "count": supply.count,
        "at_least": supply.at_least,
        "cheapest": supply.cheapest,
        "needed_free_l": supply.needed_free_l,
        "ordered_free_l": supply.ordered_free_l,
        "left_free_l": supply.left_free_l,
        "left_gauges_bar": list(supply.left_gauges_bar),
        "cost": _money(supply.cost),
        "cost_at_least": _money(supply.cost_at_least),
    }


def _reasons(refusal: NoSafeAnswer | Iterable[Reason]) -> list[dict[str, str]]:
    reasons = refusal.reasons if isinstance(refusal, NoSafeAnswer) else refusal
    return [{"what": reason.what, "cure": reason.cure} for reason in reasons]


def _cylinder(one: CheckedCylinder) -> dict[str, Any]:
    analysis, judgement = one.analysis, one.judgement
    told: dict[str, Any] = {
        "cylinder": one.label,
        "owner": one.owner,
        "planned": _mix(one.planned),
        "o2": analysis.o2,
        "he": analysis.he,
        "by": analysis.by,
        "at": analysis.at.isoformat(),
        "gauge_bar": analysis.gauge_bar,
        "temperature_k": analysis.temperature_k,
        "accepted": one.accepted,
        "reasons": _reasons(one.reasons),
    }
    if judgement is not None:
        told |= {
            "o2_off": judgement.o2_off,
            "he_off": judgement.he_off,
            "settled_gauge_bar": judgement.settled_gauge_bar,
            "planned_gauge_bar": judgement.planned_gauge_bar,
            "fix": None if judgement.fix is None else _blend(judgement.fix),
            "fix_refused": judgement.fix_refused,
        }
    return told


def _replan(one: Replan) -> dict[str, Any]:
    after = one.outcome.after
    return {
        "who": list(one.who),
        "analysed": [
            {"planned": _mix(planned), "analysed": _mix(mix)}
            for planned, mix in one.analysed.items()
        ],
        "runtime_min_before": one.outcome.before.runtime_min,
        "runtime_min": None if after is None else after.runtime_min,
        "refused": _reasons(one.refused),
        "differences": [_difference(d) for d in (*one.outcome.changes, *one.gas_changes)],
    }


def _difference(one: Difference) -> dict[str, Any]:
    return {
        "what": one.what,
        "where": one.where,
        "before": one.before,
        "after": one.after,
        "worse": one.worse,
    }
