"""The address of the desk, for a phone: a QR code if others are served."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import segno
from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.visit import OnVisit

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Phone:
    """How to open the desk on another device.

    Parameters
    ----------
    address
        The address; empty if nobody else is served.
    rows
        The modules of its QR code, row by row, True for a dark one.
    """

    address: str
    rows: tuple[tuple[bool, ...], ...]


PAGE: Final = Page(
    "phone", "On a phone", "phone.html", Phone, path="/phone", label="On a phone", order=95
)
PAGES: Final = (PAGE,)
_QUIET: Final = 4
"""Modules of empty border that readers of such codes need (common practice)."""


@router.get("/phone")
def phone(visit: OnVisit) -> Response:
    """Show the address.

    Parameters
    ----------
    visit
        The request.
    """
    settings = visit.desk.settings
    if not settings.serving_others:
        return visit.show(PAGE, Phone("", ()))
    code = segno.make(settings.address, error="m", micro=False)
    rows = tuple(
        tuple(bool(module) for module in row) for row in code.matrix_iter(scale=1, border=_QUIET)
    )
    return visit.show(PAGE, Phone(settings.address, rows))
