"""What takes its time in the fill room: the order, the dive as analysed; and workings."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.fill.accounts import account_of
from slatewright.desk.fill.analysed import chain_for, dived
from slatewright.desk.fill.judged import JudgedSeen, judged_seen, not_judged
from slatewright.desk.fill.keeping import get_fill
from slatewright.desk.fill.ordered import OrderSeen, no_order, order_seen
from slatewright.desk.fill.seen import how_path
from slatewright.desk.fill.work import Work, known_work, order_of, work_of
from slatewright.desk.frame import Page
from slatewright.desk.pages.working import ACCOUNT_PAGE, ACCOUNT_PART
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError, NoSafeAnswer, Reason

router = APIRouter()
ORDER: Final = Page("fill-order", "Gas to order", "fill_order.html", OrderSeen)
DIVE: Final = Page("fill-dive", "The dive with what was analysed", "fill_dive.html", JudgedSeen)
PAGES: Final = (ORDER, DIVE)


@router.get("/fill/{number}/order/{key}")
def order(visit: OnVisit, number: int, key: str) -> Response:
    """Show the order of helium and oxygen.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    key
        What the result is kept under.
    """
    path = f"/fill/{number}"
    work = _work(visit, number, key)
    try:
        seen = order_seen(order_of(work), path, how_path(path, work))
    except NoSafeAnswer as refusal:
        seen = no_order(path, refusal.reasons)
    except InputError as error:
        seen = no_order(path, (Reason(error.what, error.right),))
    return visit.show(ORDER, seen, fragment="_fill_order.html")


@router.get("/fill/{number}/dive")
def dive(visit: OnVisit, number: int) -> Response:
    """Show the dive of the chosen plan with what was analysed.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    """
    path, rules = f"/fill/{number}", visit.house_rules()
    with visit.store.read() as session:
        kept = get_fill(session, number)
        chain = chain_for(session, kept.written.plan_id)
    if chain is None:
        raise InputError("no plan is chosen", right="the plan of the dive, beside the text")
    title = chain[-1].title
    try:
        seen = judged_seen(dived(work_of(kept.written), chain, rules), rules, path)
    except NoSafeAnswer as refusal:
        seen = not_judged(title, path, refusal.reasons)
    except InputError as error:
        seen = not_judged(title, path, (Reason(error.what, error.right),))
    return visit.show(DIVE, seen, fragment="_fill_dive.html")


@router.get("/fill/{number}/how/{key}/{what:path}")
def how(visit: OnVisit, number: int, key: str, what: str) -> Response:
    """Show how a number came about.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    key
        What the result is kept under.
    what
        Which number.
    """
    account = account_of(_work(visit, number, key), what)
    return visit.show(ACCOUNT_PAGE, account, fragment=ACCOUNT_PART)


def _work(visit: Visit, number: int, key: str) -> Work:
    """Return a result; one that is not kept any more is made again if the file is still so."""
    known = known_work(key)
    if known is not None:
        return known
    with visit.store.read() as session:
        again = work_of(get_fill(session, number).written)
    if again.key != key:
        raise InputError(
            "this belongs to a text that has changed since", right="open it anew from the fill room"
        )
    return again
