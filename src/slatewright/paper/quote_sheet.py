"""The quote of a course on paper: each line with who pays it, and how long it holds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from slatewright.ledger.money import ROUNDING, rounded
from slatewright.ledger.quote import Payer
from slatewright.paper.fill_words import money
from slatewright.paper.slate_extras import one_line
from slatewright.paper.theme import CAUTION, CONTOUR, DEPTH_TINTS, FONT, INK, SECOND_FONT, SOFT_INK
from slatewright.paper.typeset import typeset

if TYPE_CHECKING:
    from slatewright.ledger.quote import Quote

TEMPLATE = "quote.typ"
PLAIN = (
    "Gas is what the fill room would order for all dives, in whole supply cylinders with what "
    "stays behind in them. Prices of gas change; after the last day of validity ask again. Fees "
    "buy tuition and not a card."
)


def quote_pdf(quote: Quote, paper: Literal["a4", "us-letter"] = "a4") -> bytes:
    """Print a quote.

    Parameters
    ----------
    quote
        The quote.
    paper
        The size of the sheet.

    Returns
    -------
    bytes
        A PDF; the same quote gives the same bytes.
    """
    (pdf,) = typeset(TEMPLATE, quote_data(quote) | {"paper": paper})
    return pdf


def quote_data(quote: Quote) -> dict[str, Any]:
    """Return a quote as words.

    Parameters
    ----------
    quote
        The quote.
    """
    party, order = quote.asked.party, quote.gas.order
    bought = [*order.helium.kinds, *order.oxygen.kinds]
    each = sorted(set(quote.per_student), reverse=True)
    return {
        "look": {
            "ink": INK,
            "soft": SOFT_INK,
            "caution": CAUTION,
            "contour": CONTOUR,
            "tint": DEPTH_TINTS[0],
            "font": FONT,
            "second_font": SECOND_FONT,
        },
        "title": one_line(quote.asked.title, 90),
        "who": f"{_count(party.students, 'student')}, {party.staff} staff, "
        f"{_count(quote.asked.teaching_days, 'day')}",
        "on": quote.on.isoformat(),
        "valid_until": quote.valid_until.isoformat(),
        "currency": quote.currency,
        "payments": [
            {
                "payer": f"Paid by {payer}",
                "lines": [
                    {
                        "what": one_line(str(line.what), 60),
                        "count": line.count,
                        "price": "" if line.price == line.total else f"{rounded(line.price):,.2f}",
                        "total": f"{line.total:,.2f}",
                    }
                    for line in quote.lines
                    if line.payer is payer
                ],
                "total": f"{quote.paid_by(payer):,.2f}",
            }
            for payer in Payer
            if any(line.payer is payer for line in quote.lines)
        ],
        "each": " or ".join(money(share, quote.currency) for share in each),
        "total": money(quote.total, quote.currency),
        "gas": ", ".join(f"{count} x {offer.name}" for offer, count in bought) or "nothing",
        "notes": [PLAIN, f"{ROUNDING.capitalize()}."],
    }


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
