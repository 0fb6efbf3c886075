"""What the template of the quote is given."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from slatewright.desk.ledger.view import TextView
from slatewright.desk.problem import Fault
from slatewright.ledger.quote import Payer, Quote, QuoteLine


@dataclass(frozen=True, slots=True)
class Payment:
    """The lines that somebody pays.

    Parameters
    ----------
    payer
        Who.
    lines
        The lines.
    total
        Their sum.
    """

    payer: str
    lines: tuple[QuoteLine, ...]
    total: Decimal


@dataclass(frozen=True, slots=True)
class QuoteAnswer:
    """A quote, done.

    Parameters
    ----------
    title, currency, on, valid_until
        Of the quote.
    who
        Who comes, and for how long.
    payments
        The lines by who pays.
    total
        All of them.
    each
        What a student pays; two sums where a cent is over.
    gas
        What is bought.
    """

    title: str
    currency: str
    on: str
    valid_until: str
    who: str
    payments: tuple[Payment, ...]
    total: Decimal
    each: tuple[Decimal, ...]
    gas: str


@dataclass(frozen=True, slots=True)
class WhatIf:
    """What a student would pay if more came, or if helium cost more.

    Parameters
    ----------
    currency
        Its three letters.
    factors
        Across: the price of helium.
    rows
        How many students, and what each then pays.
    """

    currency: str
    factors: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class QuoteView:
    """The quote page.

    Parameters
    ----------
    answer
        The quote; None if something is wrong.
    faults
        What is wrong.
    texts
        Quote and rates, to be edited.
    example
        Whether what is shown is the example that comes with the program.
    said
        What was done, in a few words.
    """

    answer: QuoteAnswer | None
    faults: tuple[Fault, ...]
    texts: tuple[TextView, ...]
    example: bool = False
    said: str = ""


def what_if_of(ifs: dict[tuple[int, Decimal], Quote], factors: tuple[Decimal, ...]) -> WhatIf:
    """Return what a student would pay, as it is shown.

    Parameters
    ----------
    ifs
        Number of students and price of helium, to the quote that this would be.
    factors
        The prices of helium, as factors.
    """
    counts = sorted({count for count, _ in ifs})
    return WhatIf(
        currency=next(iter(ifs.values())).currency,
        factors=tuple(f"x {factor.normalize():f}" for factor in factors),
        rows=tuple(
            (str(count), *(f"{max(ifs[count, f].per_student):,.2f}" for f in factors))
            for count in counts
        ),
    )


def quote_answer(quote: Quote) -> QuoteAnswer:
    """Return a quote as it is shown.

    Parameters
    ----------
    quote
        The quote.
    """
    party, order = quote.asked.party, quote.gas.order
    bought = [*order.helium.kinds, *order.oxygen.kinds]
    return QuoteAnswer(
        title=quote.asked.title,
        currency=quote.currency,
        on=quote.on.isoformat(),
        valid_until=quote.valid_until.isoformat(),
        who=f"{party.students} students, {party.staff} staff, {quote.asked.teaching_days} days",
        payments=tuple(
            Payment(payer, lines, quote.paid_by(payer))
            for payer in Payer
            if (lines := tuple(line for line in quote.lines if line.payer is payer))
        ),
        total=quote.total,
        each=tuple(sorted(set(quote.per_student), reverse=True)),
        gas=", ".join(f"{count} x {offer.name}" for offer, count in bought) or "nothing",
    )
