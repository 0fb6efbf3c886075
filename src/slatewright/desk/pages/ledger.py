"""The ledger: open against closed circuit, with sliders that answer at once; and quotes."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal, InvalidOperation
from typing import Annotated, Final

from fastapi import APIRouter, Form, Query
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.ledger.accounts import account_of
from slatewright.desk.ledger.keeping import KeptText, Part, ledger_text, save_ledger_text
from slatewright.desk.ledger.quote_view import QuoteView, WhatIf, quote_answer, what_if_of
from slatewright.desk.ledger.view import LedgerView, TextView, answer_of, sliders_of
from slatewright.desk.ledger.work import (
    Turned,
    compared,
    priced_quote,
    priced_ways,
    quotes_if,
    texts_of,
)
from slatewright.desk.pages.working import ACCOUNT_PAGE, ACCOUNT_PART
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError, SlatewrightError
from slatewright.ledger.quote import Quote
from slatewright.ledger.quotefile import parse_quote
from slatewright.ledger.ratesfile import parse_rates
from slatewright.ledger.ways import Ways
from slatewright.ledger.waysfile import parse_ways
from slatewright.store.faults import StaleRecord

router = APIRouter()
RESULT_PART: Final = "_ledger_result.html"
_LABELS: Final = {
    Part.RATES: "Rates",
    Part.WAYS: "Which dives, which ways",
    Part.QUOTE: "The course to be quoted",
}
_READERS: Final = {Part.RATES: parse_rates, Part.WAYS: parse_ways, Part.QUOTE: parse_quote}
_HELIUM: Final = (Decimal("0.5"), Decimal(1), Decimal("1.5"), Decimal(2))
_BOUNDS: Final = {
    "helium": ("0.25", "5"),
    "cadence": ("0.25", "4"),
    "unit": ("0.25", "2"),
    "keeping": ("0", "3"),
}
_MOST_YEARS: Final = 15

PAGE: Final = Page(
    "ledger", "What it costs", "ledger.html", LedgerView, path="/ledger", label="Ledger", order=60,
    scripts=("ledger.js",),
)  # fmt: skip
QUOTE_PAGE: Final = Page("quote", "A quote", "quote.html", QuoteView, path="/ledger/quote")
IF_PAGE: Final = Page("what-if", "What a student would pay", "what_if.html", WhatIf)
IF_PART: Final = "_what_if.html"
PAGES: Final = (PAGE, QUOTE_PAGE, IF_PAGE)

Factor = Annotated[str, Query(max_length=12)]


def _turned(helium: str, cadence: str, unit: str, keeping: str, years: str) -> Turned:
    """Return where sliders stand; what is no number, or out of range, is refused."""
    one, far = Decimal(1), 0
    if years:
        if not years.isascii() or not years.isdecimal() or not 1 <= int(years) <= _MOST_YEARS:
            raise InputError(f"{years} years", where="years", right=f"1 to {_MOST_YEARS}")
        far = int(years)
    return Turned(
        helium=_factor("helium", helium) if helium else one,
        cadence=_factor("cadence", cadence) if cadence else one,
        unit=_factor("unit", unit) if unit else one,
        keeping=_factor("keeping", keeping) if keeping else one,
        years=far,
    )


def _factor(name: str, text: str) -> Decimal:
    low, high = (Decimal(bound) for bound in _BOUNDS[name])
    try:
        value = Decimal(text)
    except InvalidOperation:
        value = Decimal("NaN")
    if value.is_nan() or not low <= value <= high:
        raise InputError(f"'{text}' is out of range", where=name, right=f"{low} to {high}")
    return value


@router.get("/ledger")
def ledger(
    visit: OnVisit,
    helium: Factor = "",
    cadence: Factor = "",
    unit: Factor = "",
    keeping: Factor = "",
    years: Factor = "",
) -> Response:
    """Compare both ways, with the sliders as they stand.

    Parameters
    ----------
    visit
        The request.
    helium, cadence, unit, keeping, years
        Where the sliders stand; empty for as the text says.
    """
    turned = _turned(helium, cadence, unit, keeping, years)
    return visit.show(PAGE, _ledger(visit, turned), fragment=RESULT_PART)


@router.get("/ledger/account/{what:path}")
def account(
    visit: OnVisit,
    what: str,
    helium: Factor = "",
    cadence: Factor = "",
    unit: Factor = "",
    keeping: Factor = "",
    years: Factor = "",
) -> Response:
    """Show how a number of the comparison came about.

    Parameters
    ----------
    visit
        The request.
    what
        Which number.
    helium, cadence, unit, keeping, years
        Where the sliders stand.
    """
    done = compared(_ways(visit), _turned(helium, cadence, unit, keeping, years))
    return visit.show(ACCOUNT_PAGE, account_of(done, what), fragment=ACCOUNT_PART)


@router.get("/ledger/quote")
def quoted(visit: OnVisit) -> Response:
    """Show the quote.

    Parameters
    ----------
    visit
        The request.
    """
    return visit.show(QUOTE_PAGE, _quoted(visit))


@router.get("/ledger/quote/if")
def quoted_if(visit: OnVisit) -> Response:
    """Show what a student would pay if more came, or if helium cost more; it takes its time.

    Parameters
    ----------
    visit
        The request.
    """
    with visit.store.read() as session:
        rates, text = texts_of(session, Part.RATES, Part.QUOTE)
        ifs = quotes_if(session, rates.text, text.text, visit.house_rules(), _HELIUM)
    return visit.show(IF_PAGE, what_if_of(ifs, _HELIUM), fragment=IF_PART)


@router.get("/ledger/quote/file")
def quote_file(visit: OnVisit) -> Response:
    """Download the quote as PDF.

    Parameters
    ----------
    visit
        The request.
    """
    from slatewright.paper.quote_sheet import quote_pdf  # noqa: PLC0415 - printing takes its time

    return Response(
        quote_pdf(_quote(visit)),
        media_type="application/pdf",
        headers={"Content-Disposition": 'attachment; filename="quote.pdf"'},
    )


@router.post("/ledger/text/{part}")
def save_text(
    visit: OnVisit,
    part: Part,
    version: Annotated[int, Form()],
    text: Annotated[str, Form()],
    back: Annotated[str, Form()] = "/ledger",
) -> Response:
    """Save one of the texts; with faults it is shown again, and kept all the same.

    Parameters
    ----------
    visit
        The request.
    part
        Which text.
    version
        The version that the person has seen.
    text
        What it is to say.
    back
        The page that it was edited on.
    """
    plain = text.replace("\r\n", "\n")
    on_quote = back == QUOTE_PAGE.path
    try:
        with visit.store.write() as session:
            save_ledger_text(session, part, version, plain, now=visit.now)
        _READERS[part](plain)
    except StaleRecord:
        raise
    except InputError as error:
        faults = problem_of(error).faults
        page, view = (QUOTE_PAGE, _quoted(visit)) if on_quote else (PAGE, _ledger(visit, Turned()))
        texts = tuple(
            replace(one, text=plain, faults=faults) if one.part == part else one
            for one in view.texts
        )
        return visit.show(page, replace(view, texts=texts), status=422)
    return visit.go(QUOTE_PAGE.path if on_quote else PAGE.path)


def _ways(visit: Visit) -> Ways:
    with visit.store.read() as session:
        rates, ways = texts_of(session, Part.RATES, Part.WAYS)
        return priced_ways(session, rates.text, ways.text, visit.house_rules())


def _ledger(visit: Visit, turned: Turned) -> LedgerView:
    with visit.store.read() as session:
        rates, ways = texts_of(session, Part.RATES, Part.WAYS)
    kept = (rates, ways)
    try:
        said = _ways(visit)
    except SlatewrightError as error:
        return LedgerView(
            title="What it costs",
            sliders=(),
            answer=None,
            faults=problem_of(error).faults,
            texts=_texts(kept),
        )
    done = compared(said, turned)
    query = visit.request.url.query
    return LedgerView(
        title=said.title,
        sliders=sliders_of(turned, said.years),
        answer=answer_of(done, f"?{query}" if query else ""),
        faults=(),
        texts=_texts(kept),
        example=not any(text.version for text in kept),
    )


def _quote(visit: Visit) -> Quote:
    with visit.store.read() as session:
        rates, text = texts_of(session, Part.RATES, Part.QUOTE)
        return priced_quote(session, rates.text, text.text, visit.house_rules())


def _quoted(visit: Visit) -> QuoteView:
    with visit.store.read() as session:
        kept = (ledger_text(session, Part.QUOTE), ledger_text(session, Part.RATES))
    try:
        quote = _quote(visit)
    except SlatewrightError as error:
        return QuoteView(None, problem_of(error).faults, _texts(kept))
    return QuoteView(
        answer=quote_answer(quote),
        faults=(),
        texts=_texts(kept),
        example=not any(text.version for text in kept),
    )


def _texts(kept: tuple[KeptText, ...]) -> tuple[TextView, ...]:
    return tuple(
        TextView(one.part, _LABELS[one.part], one.text, one.version, _faults(one)) for one in kept
    )


def _faults(kept: KeptText) -> tuple[Fault, ...]:
    try:
        _READERS[kept.part](kept.text)
    except InputError as error:
        return problem_of(error).faults
    return ()
