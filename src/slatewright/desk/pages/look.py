"""Day or night: the paper that a person wants to read on."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.security import local_path
from slatewright.desk.visit import Look, OnVisit

router = APIRouter()
PAGES: Final[tuple[Page, ...]] = ()
_YEAR_S: Final = 365 * 86400


@router.post("/look")
def choose_look(
    visit: OnVisit, look: Annotated[Look, Form()], back: Annotated[str, Form()] = "/"
) -> Response:
    """Keep the choice, and go back.

    Parameters
    ----------
    visit
        The request.
    look
        ``system``, ``light`` or ``dark``.
    back
        The path to go back to.
    """
    response = visit.go(local_path(back))
    visit.set_cookie(response, "look", look, _YEAR_S)
    return response
