"""A logbook between upload and confirmation: how it is read, what stands twice, the keeping."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Annotated, Final

from fastapi import APIRouter, Depends, File, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.pages.logbook import refused_file, shown
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.roster.draft_view import DraftPage, draft_page, seen
from slatewright.desk.roster.drafting import new_draft, read_otherwise
from slatewright.desk.roster.drafts import Draft, drafts_of
from slatewright.desk.roster.keeping import Incoming, keep_book, same_file
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.logs.duplicates import Sameness
from slatewright.logs.meeting import Twin, twins
from slatewright.store.faults import NoSuchRecord
from slatewright.store.logbooks import KeptDive, list_logged_dives
from slatewright.store.people import get_person

router = APIRouter()

PAGE: Final = Page(
    "reading", "A logbook to be read", "logbook_reading.html", DraftPage, scripts=("roster.js",)
)
PAGES: Final = (PAGE,)
_CHANGED: Final = Fault(
    "the records have changed since this page was loaded; nothing was kept",
    right="look at what stands twice once more, and keep it then",
)
_EXAMPLE: Final = "tove.csv"
_LONGEST_NAME: Final = 120


async def _fields(request: Request) -> dict[str, str]:
    """Return the fields of a form, as far as they are texts."""
    form = await request.form()
    return {name: value for name, value in form.items() if isinstance(value, str)}


Fields = Annotated[dict[str, str], Depends(_fields)]


@router.post("/people/{person_id}/logbook/files")
def upload(visit: OnVisit, person_id: int, file: Annotated[UploadFile, File()]) -> Response:
    """Take a file to be read; nothing is kept yet.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose logbook it is.
    file
        The file.
    """
    named = (file.filename or "").replace("\\", "/").rpartition("/")[2]
    name = "".join(sign for sign in named if sign.isprintable()).strip()[-_LONGEST_NAME:]
    return _begun(visit, person_id, name, file.file.read())


@router.post("/people/{person_id}/logbook/example")
def from_example(visit: OnVisit, person_id: int) -> Response:
    """Take the example that comes with the program, to see how it is done.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose logbook it is to be.
    """
    data = (files("slatewright.data") / "examples" / "roster" / _EXAMPLE).read_bytes()
    return _begun(visit, person_id, _EXAMPLE, data)


@router.get("/people/{person_id}/logbook/reading/{key}")
def reading(visit: OnVisit, person_id: int, key: str) -> Response:
    """Show how a file is read.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose it is.
    key
        The draft.
    """
    return _show(visit, _found(visit, person_id, key))


@router.post("/people/{person_id}/logbook/reading/{key}/columns")
def columns(visit: OnVisit, person_id: int, key: str, said: Fields) -> Response:
    """Read a file as a person says.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose it is.
    key
        The draft.
    said
        The fields of the form.
    """
    draft = _found(visit, person_id, key)
    try:
        draft = read_otherwise(draft, said)
    except InputError as error:
        return _show(visit, draft, problem_of(error).faults)
    drafts_of(visit).change(draft)
    return visit.go(f"/people/{person_id}/logbook/reading/{key}")


@router.post("/people/{person_id}/logbook/reading/{key}/keep")
def keep(visit: OnVisit, person_id: int, key: str, said: Fields) -> Response:
    """Keep what was read, as was decided about what stands twice.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose it is.
    key
        The draft.
    said
        The fields of the form.
    """
    draft = _found(visit, person_id, key)
    met = _meeting(visit, draft)
    fault = _undecided(draft, met, said)
    if fault is not None:
        return _show(visit, draft, (fault,))
    book = Incoming(draft.name, draft.sha256, draft.reading)
    join = {i for i, twin in enumerate(met.found) if _choice(i, twin, said) == "once"}
    with visit.store.write() as session:
        again = same_file(session, person_id, draft.sha256) is not None
        changed = again or list_logged_dives(session, person_id) != met.kept
        if not changed:
            keep_book(session, person_id, book, met.kept, met.found, join, now=visit.now)
    if changed:
        return _show(visit, draft, (_CHANGED,))
    drafts_of(visit).drop(key)
    return visit.go(f"/people/{person_id}/logbook#books")


@router.post("/people/{person_id}/logbook/reading/{key}/drop")
def drop(visit: OnVisit, person_id: int, key: str) -> Response:
    """Let go of a file; nothing of it is kept.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whose it is.
    key
        The draft.
    """
    drafts_of(visit).drop(_found(visit, person_id, key).key)
    return visit.go(f"/people/{person_id}/logbook")


@dataclass(frozen=True, slots=True)
class _Meeting:
    """A draft beside what is kept."""

    name: str
    kept: tuple[KeptDive, ...]
    found: tuple[Twin, ...]


def _begun(visit: Visit, person_id: int, name: str, data: bytes) -> Response:
    if not name:
        nothing = InputError("no file was chosen", right="a logbook in CSV or UDDF")
        return shown(visit, person_id, refused_file(nothing))
    try:
        with visit.store.read() as session:
            get_person(session, person_id)
            draft = new_draft(session, person_id, name, data)
    except NoSuchRecord:
        raise
    except InputError as error:
        return shown(visit, person_id, refused_file(error))
    held = drafts_of(visit).hold(draft)
    return visit.go(f"/people/{person_id}/logbook/reading/{held.key}")


def _found(visit: Visit, person_id: int, key: str) -> Draft:
    return drafts_of(visit).find(key, person_id)


def _meeting(visit: Visit, draft: Draft) -> _Meeting:
    with visit.store.read() as session:
        name = get_person(session, draft.person_id).name
        kept = list_logged_dives(session, draft.person_id)
    return _Meeting(name, kept, twins(draft.reading.dives, [one.dive for one in kept]))


def _show(visit: Visit, draft: Draft, faults: tuple[Fault, ...] = ()) -> Response:
    met = _meeting(visit, draft)
    page = draft_page(draft, met.name, met.kept, met.found, faults)
    return visit.show(PAGE, page, status=422 if faults else 200)


def _undecided(draft: Draft, met: _Meeting, said: Mapping[str, str]) -> Fault | None:
    """Return why a draft cannot be kept yet; None if it can."""
    if draft.reading.questions:
        return Fault("a question is not answered yet", right="an answer to each")
    if not draft.reading.dives and not draft.reading.set_aside:
        return Fault("there is no dive in the file", right="another file")
    if said.get("seen") != seen(met.kept, met.found):
        return _CHANGED
    open_ones = [i for i, twin in enumerate(met.found) if not _choice(i, twin, said)]
    if open_ones:
        return Fault(
            f"{len(open_ones)} dives that likely stand twice are not decided",
            right="one dive, or two, for each",
        )
    return None


def _choice(position: int, twin: Twin, said: Mapping[str, str]) -> str:
    """Return what was decided of a twin: ``both`` or ``once``; empty if nothing."""
    group = said.get("exact" if twin.sameness is Sameness.EXACT else "likely", "")
    choice = said.get(f"twin-{position}") or group
    return choice if choice in {"both", "once"} else ""
