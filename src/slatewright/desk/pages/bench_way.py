"""The way home of a dive on the bench, what would cure it, and how each number came about."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.bench.accounts import account_of
from slatewright.desk.bench.answers import result_kept
from slatewright.desk.bench.result import RESULTS, Result
from slatewright.desk.bench.seen import width_of
from slatewright.desk.bench.way import Cures, WayHome, cures_for, way_home_of
from slatewright.desk.frame import Page
from slatewright.desk.pages.working import ACCOUNT_PAGE, ACCOUNT_PART
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError

router = APIRouter()
WAY: Final = Page("way", "The way home", "way.html", WayHome)
CURES: Final = Page("cures", "What would cure it", "cures.html", Cures)
PAGES: Final = (WAY, CURES)


@router.get("/bench/{plan_id}/way/{key}")
def way(visit: OnVisit, plan_id: int, key: str, width: str = "") -> Response:
    """Show the way home from every minute.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    key
        What the result is kept under.
    width
        The room for the picture [px].
    """
    result = kept_result(visit, plan_id, key)
    view = way_home_of(result, f"/bench/{plan_id}", width_of(width))
    return visit.show(WAY, view, fragment="_way.html")


@router.get("/bench/{plan_id}/cures/{key}/{row}")
def cures(visit: OnVisit, plan_id: int, key: str, row: int) -> Response:
    """Show what would cure a failure without a way home.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    key
        What the result is kept under.
    row
        The failure, counted from 0.
    """
    result = kept_result(visit, plan_id, key)
    return visit.show(CURES, cures_for(result, f"/bench/{plan_id}", row), fragment="_cures.html")


@router.get("/bench/{plan_id}/how/{key}/{what:path}")
def how(visit: OnVisit, plan_id: int, key: str, what: str) -> Response:
    """Show how a number came about.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    key
        What the result is kept under.
    what
        Which number.
    """
    account = account_of(kept_result(visit, plan_id, key), what)
    return visit.show(ACCOUNT_PAGE, account, fragment=ACCOUNT_PART)


def kept_result(visit: Visit, plan_id: int, key: str) -> Result:
    """Return a result; one that is not kept any more is computed again if the plan is still so.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    key
        What the result is kept under.

    Raises
    ------
    InputError
        If it belongs to a sheet that has changed since.
    """
    known = RESULTS.kept(key)
    if known is not None:
        return known
    with visit.store.read() as session:
        again = result_kept(session, plan_id, visit.house_rules())
    if again is None or again.key != key:
        raise InputError(
            "this number belongs to a sheet that has changed since",
            right="open it anew from the bench",
        )
    return again
