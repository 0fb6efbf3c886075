"""The fill room as JSON: a fill file done, and its analyses judged."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import Field

from slatewright.desk.api.routes import DescribedRoute
from slatewright.desk.api.shapes import LONGEST_TEXT, Shape, refusals
from slatewright.errors import InputError
from slatewright.fill.checked import check_analyses
from slatewright.fill.document import checked_document, session_document
from slatewright.fill.fillfile import read_fill_text
from slatewright.fill.pricefile import read_price_text
from slatewright.fill.session import Session, do_fills, with_orders

router = APIRouter(tags=["fill room"], route_class=DescribedRoute)


class GivenFills(Shape):
    """A fill file that is not kept."""

    text: Annotated[
        str,
        Field(
            max_length=LONGEST_TEXT,
            description="The text of a fill file in TOML, as docs/fill-file.md describes it.",
        ),
    ]
    prices: Annotated[
        str, Field(max_length=LONGEST_TEXT, description="Its price list; empty for none.")
    ] = ""


@router.post("/fill", responses=refusals())
def fill_text(given: GivenFills) -> dict[str, Any]:
    """Do a fill file, with the order if it asks for one: the document `slatewright/filled/1`.

    Parameters
    ----------
    given
        What is put in.
    """
    return session_document(_done(given))


@router.post("/analyse", responses=refusals())
def analyse_text(given: GivenFills) -> dict[str, Any]:
    """Judge the analyses of a fill file by themselves: the document `slatewright/analysed/1`.

    Parameters
    ----------
    given
        What is put in.
    """
    session = _done(given, order=False)
    if not session.file.analysis:
        raise InputError(
            "nothing in it was analysed",
            where="analysis",
            right="[[analysis]] with cylinder, o2_percent, he_percent, by, at and its pressure",
        )
    return checked_document(check_analyses(session))


def _done(given: GivenFills, *, order: bool = True) -> Session:
    prices = read_price_text(given.prices) if given.prices.strip() else None
    session = do_fills(read_fill_text(given.text), prices)
    return with_orders(session) if order else session
