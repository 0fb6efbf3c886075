"""Quotes and comparisons on the terminal."""

from __future__ import annotations

from decimal import Decimal
from itertools import groupby
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import HEAD, SOFT, entries, heading, wrapped
from slatewright.ledger.money import ROUNDING, rounded
from slatewright.ledger.months import Way
from slatewright.ledger.quote import Payer
from slatewright.ledger.safety import DIFFERENCES, SOURCE
from slatewright.ledger.sensitivity import table
from slatewright.paper.fill_words import money

if TYPE_CHECKING:
    from rich.console import Console

    from slatewright.ledger.quote import Quote
    from slatewright.ledger.verdict import Comparison
    from slatewright.ledger.ways import DiveCost

Lines = list[Text]
_FACTORS: Final = (Decimal("0.5"), Decimal(1), Decimal("1.5"), Decimal(2), Decimal(3))
_YEAR: Final = 12


def show_quote(console: Console, quote: Quote) -> None:
    """Print a quote.

    Parameters
    ----------
    console
        The terminal.
    quote
        The quote.
    """
    party, width = quote.asked.party, console.width
    who = f"{party.students} students, {party.staff} staff, {quote.asked.teaching_days} days"
    lines = [Text(quote.asked.title, HEAD), Text(f"{who}; rates of {quote.on}", SOFT), Text()]
    for payer, group in groupby(sorted(quote.lines, key=lambda one: list(Payer).index(one.payer)),
                                key=lambda one: one.payer):  # fmt: skip
        lines.append(heading(f"Paid by {payer}"))
        for line in group:
            price = "" if line.price == line.total else f"{rounded(line.price):,.2f}"
            name = f"  {line.what}, {line.count}" if line.count else f"  {line.what}"
            lines.append(Text(f"{name[:56]:<58}{price:>10}{line.total:>14,.2f}"))
        lines.append(Text(f"{'':<68}{quote.paid_by(payer):>14,.2f}", HEAD))
        lines.append(Text())
    each = quote.per_student
    shares = " and ".join(sorted({money(share, quote.currency) for share in each}, reverse=True))
    order = quote.gas.order
    bought = [*order.helium.kinds, *order.oxygen.kinds]
    rows: list[tuple[str, str | Text]] = [
        ("in all", Text(money(quote.total, quote.currency), HEAD)),
        ("a student", Text(shares, HEAD)),
        ("gas", ", ".join(f"{count} x {offer.name}" for offer, count in bought) or "none bought"),
        ("holds until", quote.valid_until.isoformat()),
        ("rounding", ROUNDING),
    ]
    lines += entries(rows, width)
    _print(console, lines)


def show_comparison(console: Console, done: Comparison) -> None:
    """Print a comparison.

    Parameters
    ----------
    console
        The terminal.
    done
        The comparison.
    """
    ways, width = done.ways, console.width
    lines: Lines = [Text(ways.title, HEAD), Text()]
    for sentence in done.sentences:
        lines += wrapped(Text(sentence), width)
    lines += [Text(), *_dives(done), Text(), *_months(done), Text(), *_swings(done), Text()]
    lines += [*_table(done), Text()]
    lines.append(heading("Besides money").append(f"  not priced; {SOURCE}", "not bold"))
    for one in DIFFERENCES:
        lines.append(Text(f"  {one.topic}", HEAD))
        lines += entries([("open", one.open), ("closed", one.closed)], width, indent=4)
    lines += [Text(), *wrapped(Text(ROUNDING.capitalize() + ".", SOFT), width)]
    _print(console, lines)


def _dives(done: Comparison) -> Lines:
    ways = done.ways
    head = f"  {'':<34}{'a year':>8}{'open':>11}{'closed':>11}"
    lines = [heading("A dive").append(f"  in {ways.currency}, gas by the fill room", "not bold")]
    lines.append(Text(head, SOFT))
    for kind in ways.kinds:
        lines.append(
            Text(
                f"  {kind.name[:33]:<34}{kind.per_year:>8g}"
                f"{kind.open.total:>11,.2f}{kind.closed.total:>11,.2f}"
            )
        )
        lines.append(
            Text(
                f"  {'  of this helium':<34}{'':>8}"
                f"{_helium(kind.open):>11}{_helium(kind.closed):>11}",
                SOFT,
            )
        )
    return lines


def _helium(cost: DiveCost) -> str:
    return f"{cost.helium:,.2f}"


def _months(done: Comparison) -> Lines:
    ways = [way for way in Way if way in done.months]
    names = {Way.OPEN: "open", Way.CLOSED: "closed now", Way.LATER: "closed later"}
    lines = [heading("What it has cost").append("  with the gear sold, as expected", "not bold")]
    lines.append(Text(f"  {'after':<14}" + "".join(f"{names[way]:>16}" for way in ways), SOFT))
    for month in range(0, done.ways.months + 1, _YEAR):
        after = "the first day" if not month else f"{month // _YEAR} y"
        costs = "".join(f"{done.months[way][month].net:>16,.0f}" for way in ways)
        lines.append(Text(f"  {after:<14}{costs}"))
    low, middle, high = (
        {way: done.futures.band_cents(way)[q][-1] / 100 for way in ways} for q in range(3)
    )
    for words, band in (("1 in 10 below", low), ("half below", middle), ("9 in 10 below", high)):
        lines.append(Text(f"  {words:<14}" + "".join(f"{band[w]:>16,.0f}" for w in ways), SOFT))
    return lines


def _swings(done: Comparison) -> Lines:
    lines = [heading("On what it depends").append("  month of break-even", "not bold")]
    for swing in done.swings:
        words = f"{swing.low}: {_month(swing.low_month)}; {swing.high}: {_month(swing.high_month)}"
        lines.append(Text(f"  {swing.what:<20}{words}"))
    return lines


def _table(done: Comparison) -> Lines:
    lines = [heading("Month of break-even").append("  dives down, price of helium across", "")]
    head = "".join(f"{f'x {factor}':>9}" for factor in _FACTORS)
    lines.append(Text(f"  {'dives a year':<14}{head}", SOFT))
    for factor, row in zip(_FACTORS, table(done.ways, _FACTORS, _FACTORS), strict=True):
        many = f"{done.ways.dives_per_year * float(factor):g}"
        lines.append(Text(f"  {many:<14}" + "".join(f"{_month(month):>9}" for month in row)))
    return lines


def _month(month: int | None) -> str:
    return "never" if month is None else str(month)


def _print(console: Console, lines: Lines) -> None:
    for line in lines:
        console.print(line, overflow="ignore", no_wrap=True, crop=False)
