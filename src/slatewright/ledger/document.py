"""Quotes and comparisons as data for JSON; money is text, so that no reader makes floats of it."""

from __future__ import annotations

import math
from typing import Any, Final

from slatewright.ledger.money import ROUNDING
from slatewright.ledger.months import Month, Way
from slatewright.ledger.quote import Payer, Quote
from slatewright.ledger.safety import DIFFERENCES, SOURCE
from slatewright.ledger.verdict import Comparison
from slatewright.ledger.ways import DiveCost, Kind

QUOTED: Final = "slatewright/quoted/1"
COMPARED: Final = "slatewright/compared/1"


def quote_document(quote: Quote) -> dict[str, Any]:
    """Return a quote as data.

    Parameters
    ----------
    quote
        The quote.
    """
    order = quote.gas.order
    return {
        "schema": QUOTED,
        "title": quote.asked.title,
        "currency": quote.currency,
        "on": quote.on.isoformat(),
        "valid_until": quote.valid_until.isoformat(),
        "students": quote.asked.party.students,
        "staff": quote.asked.party.staff,
        "lines": [
            {
                "what": str(line.what),
                "count": line.count,
                "price": str(line.price),
                "total": str(line.total),
                "paid_by": str(line.payer),
            }
            for line in quote.lines
        ],
        "total": str(quote.total),
        "per_student": [str(share) for share in quote.per_student],
        "paid_by": {str(payer): str(quote.paid_by(payer)) for payer in Payer},
        "gas": {
            "bought": str(quote.gas.bought),
            "fees": str(quote.gas.fees),
            "fills": quote.gas.fills,
            "helium_free_l": order.helium.needed_free_l,
            "oxygen_free_l": order.oxygen.needed_free_l,
            "cylinders": [
                {"name": offer.name, "gas": offer.gas, "count": count}
                for supply in (order.helium, order.oxygen)
                for offer, count in supply.kinds
            ],
        },
        "rounding": ROUNDING,
    }


def comparison_document(done: Comparison) -> dict[str, Any]:
    """Return a comparison as data.

    Parameters
    ----------
    done
        The comparison.
    """
    futures, dives = done.futures, done.break_even_dives
    return {
        "schema": COMPARED,
        "title": done.ways.title,
        "currency": done.ways.currency,
        "years": done.ways.years,
        "dives_per_year": done.ways.dives_per_year,
        "kinds": [_kind(kind) for kind in done.ways.kinds],
        "months": {str(way): [_month(month) for month in done.months[way]] for way in done.months},
        "break_even": {
            "month": done.break_even_month,
            "dives": None if math.isinf(dives) else dives,
        },
        "futures": {
            "count": futures.count,
            "never_pct": futures.never_pct,
            "break_even_month_range": list(futures.break_even_range()),
            "net_at_end": {
                str(way): [f"{cents / 100:.2f}" for cents in futures.band_cents(way)[:, -1]]
                for way in Way
                if way in futures.net_cents
            },
        },
        "sensitivity": [
            {
                "what": swing.what,
                "low": swing.low,
                "high": swing.high,
                "low_month": swing.low_month,
                "high_month": swing.high_month,
            }
            for swing in done.swings
        ],
        "sentences": list(done.sentences),
        "safety": {
            "source": SOURCE,
            "differences": [
                {"topic": one.topic, "open": one.open, "closed": one.closed} for one in DIFFERENCES
            ],
        },
        "rounding": ROUNDING,
    }


def _kind(kind: Kind) -> dict[str, Any]:
    return {
        "name": kind.name,
        "deepest_m": kind.deepest_m,
        "per_year": kind.per_year,
        "open": _cost(kind.open),
        "closed": _cost(kind.closed),
    }


def _cost(cost: DiveCost) -> dict[str, str]:
    return {
        "helium": str(cost.helium),
        "other": str(cost.other),
        "first_helium": str(cost.first_helium),
        "first_other": str(cost.first_other),
    }


def _month(month: Month) -> dict[str, Any]:
    return {
        "month": month.month,
        "dives": month.dives,
        "spent": str(month.spent),
        "resale": str(month.resale),
    }
