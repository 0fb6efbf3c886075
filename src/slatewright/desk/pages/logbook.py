"""Cards and logbooks: what a person holds and has dived, added, corrected, removed, handed out."""

from __future__ import annotations

import re
import unicodedata
from datetime import date
from typing import Annotated, Final, Literal

from fastapi import APIRouter, Depends, Form, Query
from starlette.requests import Request
from starlette.responses import Response

from slatewright.course.candidates import Certificate
from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.roster.by_hand import Typed, dive_by_hand
from slatewright.desk.roster.keeping import twin_of
from slatewright.desk.roster.logbook_view import LogbookPage, Refused, Retried, logbook_page
from slatewright.desk.roster.remembering import mapping_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.logs.aside import Doubt, SetAside
from slatewright.logs.csv_out import write_csv
from slatewright.logs.joining import joined
from slatewright.logs.logged import LoggedDive
from slatewright.logs.reading import reread
from slatewright.logs.uddf_out import write_uddf
from slatewright.store.certificates import add_certificate, list_certificates, remove_certificate
from slatewright.store.faults import NoSuchRecord
from slatewright.store.logbooks import (
    KeptDive,
    KeptRow,
    add_logged_dive,
    get_logbook,
    list_logged_dives,
    list_set_aside,
    remove_logbook,
    remove_logged_dive,
    replace_logged_dive,
    settle_row,
)
from slatewright.store.people import get_person
from slatewright.store.session import Session

router = APIRouter()

PAGE: Final = Page(
    "logbook", "Cards and logbooks", "logbook.html", LogbookPage, scripts=("roster.js",)
)
PAGES: Final = (PAGE,)
Decided = Literal["", "both", "once"]
"""Whether both of two entries are kept, or the fuller one; empty: not decided."""
_MOST_START: Final = 1_000_000


@router.get("/people/{person_id}/logbook")
def logbook(
    visit: OnVisit, person_id: int, start: Annotated[int, Query(ge=0, le=_MOST_START)] = 0
) -> Response:
    """Show cards and logbooks.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose.
    start
        How many dives are passed over.
    """
    return shown(visit, person_id, start=start)


@router.get("/people/{person_id}/logbook.csv")
def as_csv(visit: OnVisit, person_id: int) -> Response:
    """Hand out all dives as CSV.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose.
    """
    name, dives = _all(visit, person_id)
    return _download(write_csv(dives), f"{name}.csv", "text/csv; charset=utf-8")


@router.get("/people/{person_id}/logbook.uddf")
def as_uddf(visit: OnVisit, person_id: int) -> Response:
    """Hand out all dives as UDDF.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose.
    """
    name, dives = _all(visit, person_id)
    return _download(write_uddf(dives), f"{name}.uddf", "application/xml; charset=utf-8")


@router.post("/people/{person_id}/logbook/cards")
def add_card(
    visit: OnVisit,
    person_id: int,
    title: Annotated[str, Form()] = "",
    level: Annotated[str, Form()] = "",
    allows: Annotated[str, Form()] = "",
    issued_on: Annotated[str, Form()] = "",
    number: Annotated[str, Form()] = "",
) -> Response:
    """Add a card.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose it is.
    title, level, allows, issued_on, number
        What stands on it; what it allows, separated by commas.
    """
    try:
        card = Certificate(
            title=title,
            level=level,
            kinds=frozenset(word for part in allows.split(",") if (word := part.strip())),
            issued_on=_day(issued_on),
            number=number,
        )
        with visit.store.write() as session:
            add_certificate(session, person_id, card, now=visit.now)
    except NoSuchRecord:
        raise
    except InputError as error:
        return shown(visit, person_id, Refused("card", problem_of(error).faults))
    return visit.go(f"/people/{person_id}/logbook#cards")


@router.post("/people/{person_id}/logbook/cards/{card_id}/remove")
def drop_card(visit: OnVisit, person_id: int, card_id: int) -> Response:
    """Remove a card that was entered by mistake.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose it is.
    card_id
        Its number.
    """
    with visit.store.write() as session:
        if card_id not in {card.id for card in list_certificates(session, person_id)}:
            raise NoSuchRecord("certificate", card_id)
        remove_certificate(session, card_id)
    return visit.go(f"/people/{person_id}/logbook#cards")


async def _typed(request: Request) -> Typed:
    """Return a dive as typed: each field of the form, as far as it is there."""
    form = await request.form()
    found = {name: form.get(name) for name in Typed.__dataclass_fields__}
    return Typed(**{name: value for name, value in found.items() if isinstance(value, str)})


@router.post("/people/{person_id}/logbook/dives")
def add_by_hand(
    visit: OnVisit,
    person_id: int,
    typed: Annotated[Typed, Depends(_typed)],
    decided: Annotated[Decided, Form()] = "",
) -> Response:
    """Add a dive by hand.

    Parameters
    ----------
    visit
        The request.
    person_id
        Who dived it.
    typed
        The dive as typed.
    decided
        What to do if it is kept already.
    """
    dive = dive_by_hand(typed)
    if not isinstance(dive, LoggedDive):
        return shown(visit, person_id, Refused("hand", dive, typed))
    try:
        with visit.store.write() as session:
            twin = _add(session, person_id, dive, decided)
    except NoSuchRecord:
        raise
    except InputError as error:
        return shown(visit, person_id, Refused("hand", problem_of(error).faults, typed))
    if twin:
        return shown(visit, person_id, Refused("hand", (), typed, twin))
    return visit.go(f"/people/{person_id}/logbook#dives")


@router.post("/people/{person_id}/logbook/dives/remove")
def drop_dive(visit: OnVisit, person_id: int, dive_id: Annotated[int, Form()]) -> Response:
    """Remove a dive.

    Parameters
    ----------
    visit
        The request.
    person_id
        Who dived it.
    dive_id
        Its number.
    """
    with visit.store.write() as session:
        if dive_id not in {one.id for one in list_logged_dives(session, person_id)}:
            raise NoSuchRecord("logged dive", dive_id)
        remove_logged_dive(session, dive_id)
    return visit.go(f"/people/{person_id}/logbook#dives")


@router.post("/people/{person_id}/logbook/aside/{row_id}")
def settle(
    visit: OnVisit,
    person_id: int,
    row_id: int,
    do: Annotated[Literal["read", "drop"], Form()],
    text: Annotated[str, Form()] = "",
    decided: Annotated[Decided, Form()] = "",
) -> Response:
    """Read a corrected row again, or drop it.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose logbook it is of.
    row_id
        The row.
    do
        Whether to read it again or to drop it.
    text
        The row as corrected.
    decided
        What to do if its dive is kept already.
    """
    plain = text.replace("\r\n", "\n")
    with visit.store.write() as session:
        row = _row(session, person_id, row_id)
        retried = None if do == "drop" else _read_again(session, person_id, row, plain, decided)
        if do == "drop":
            settle_row(session, row_id, None)
    if retried is not None:
        return shown(visit, person_id, Refused("aside", retried={row_id: retried}))
    return visit.go(f"/people/{person_id}/logbook#aside")


@router.post("/people/{person_id}/logbook/{logbook_id}/remove")
def drop_logbook(visit: OnVisit, person_id: int, logbook_id: int) -> Response:
    """Remove a logbook with all that came from it.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose it is.
    logbook_id
        Its number.
    """
    with visit.store.write() as session:
        if get_logbook(session, logbook_id).person_id != person_id:
            raise NoSuchRecord("logbook", logbook_id)
        remove_logbook(session, logbook_id)
    return visit.go(f"/people/{person_id}/logbook#books")


def shown(
    visit: Visit, person_id: int, refused: Refused | None = None, *, start: int = 0
) -> Response:
    """Show the page; with what was not taken, if something was not.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose.
    refused
        What was not taken.
    start
        How many dives are passed over.
    """
    with visit.store.read() as session:
        page = logbook_page(session, person_id, visit.today, start, refused)
    return visit.show(PAGE, page, status=200 if refused is None else 422)


def _add(session: Session, person_id: int, dive: LoggedDive, decided: Decided) -> str:
    """Add a dive; if it may be kept already and nobody has decided, return why, and add none."""
    kept = list_logged_dives(session, person_id)
    twin = twin_of([one.dive for one in kept], dive)
    if twin is None or twin.kept is None or decided == "both":
        add_logged_dive(session, person_id, dive)
        return ""
    if not decided:
        return twin.why
    _join(session, kept[twin.kept], dive)
    return ""


def _read_again(
    session: Session, person_id: int, row: KeptRow, text: str, decided: Decided
) -> Retried | None:
    """Settle a row with its corrected text; if that cannot be done yet, return why not."""
    aside = SetAside(row.line, row.text, tuple(Doubt(why) for why in row.reasons))
    book = get_logbook(session, row.logbook_id)
    try:
        found = reread(aside, text, book.name, mapping_of(session, book.id))
    except InputError as error:
        return Retried(text, (str(Doubt.of(error)),))
    if isinstance(found, SetAside):
        return Retried(text, tuple(str(why) for why in found.reasons))
    kept = list_logged_dives(session, person_id)
    twin = twin_of([one.dive for one in kept], found)
    if twin is None or twin.kept is None or decided == "both":
        settle_row(session, row.id, found)
        return None
    if not decided:
        return Retried(text, (), twin.why)
    _join(session, kept[twin.kept], found)
    settle_row(session, row.id, None)
    return None


def _join(session: Session, kept: KeptDive, dive: LoggedDive) -> None:
    fuller = joined(kept.dive, dive)
    if fuller != kept.dive:
        replace_logged_dive(session, kept.id, fuller)


def _row(session: Session, person_id: int, row_id: int) -> KeptRow:
    for row in list_set_aside(session, person_id):
        if row.id == row_id:
            return row
    raise NoSuchRecord("row", row_id)


def _all(visit: Visit, person_id: int) -> tuple[str, list[LoggedDive]]:
    with visit.store.read() as session:
        person = get_person(session, person_id)
        dives = [one.dive for one in list_logged_dives(session, person_id)]
    plain = unicodedata.normalize("NFKD", person.name).encode("ascii", "ignore").decode().lower()
    words = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-")
    return f"{words or f'person-{person_id}'}-logbook", dives[::-1]


def _download(text: str, name: str, kind: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(text.encode(), media_type=kind, headers=headers)


def _day(text: str) -> date | None:
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(f"'{text}' is no day", where="issued on", right="2031-05-04") from None


def refused_file(error: InputError) -> Refused:
    """Return why a file was not taken.

    Parameters
    ----------
    error
        What is wrong with it.
    """
    faults: tuple[Fault, ...] = problem_of(error).faults
    return Refused("file", faults)
