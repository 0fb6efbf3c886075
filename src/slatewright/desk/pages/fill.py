"""The fill room: fill files on a shelf, and one of them at the bench with its steps to tick off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Depends, Form
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from slatewright.desk.fill.entering import Entry
from slatewright.desk.fill.entry import enter
from slatewright.desk.fill.examples import FillExample, fill_examples
from slatewright.desk.fill.keeping import (
    FillText,
    KeptFill,
    get_fill,
    list_fills,
    plain,
    remove_fill,
    save_fill,
    written_of,
)
from slatewright.desk.fill.ticks import mark_of, tick
from slatewright.desk.fill.view import CardView, FillView, Typed, view_of
from slatewright.desk.fill.work import work_of
from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.store.faults import StaleRecord

router = APIRouter()
RESULT_PART: Final = "_fill_result.html"
CARD_PART: Final = "_fill_card_alone.html"
_MOST_FIGURES: Final = 9


@dataclass(frozen=True, slots=True)
class FillShelf:
    """The fill files that are kept, and what a new one can begin as.

    Parameters
    ----------
    files
        The newest first.
    examples
        Those that come with the program.
    """

    files: tuple[KeptFill, ...]
    examples: tuple[FillExample, ...]


@dataclass(frozen=True, slots=True)
class FillRoom:
    """A fill file.

    Parameters
    ----------
    number, title, path, version
        The file as it is kept.
    view
        What is shown of it.
    said
        What was done, in a few words; empty if there is nothing to say.
    theirs
        What another window has saved meanwhile; empty if none has.
    """

    number: int
    title: str
    path: str
    version: int
    view: FillView
    said: str = ""
    theirs: str = ""


SHELF: Final = Page(
    "fills", "Fill room", "fill_shelf.html", FillShelf, path="/fill", label="Fill room", order=30
)
PAGE: Final = Page("fill", "Fill room", "fill.html", FillRoom, scripts=("fill.js",))
CARD: Final = Page("fill-card", "A fill", "fill_card.html", CardView)
PAGES: Final = (SHELF, PAGE, CARD)


async def _fields(request: Request) -> FormData:
    return await request.form()


OnForm = Annotated[FormData, Depends(_fields)]


@router.get("/fill")
def shelf(visit: OnVisit) -> Response:
    """Show the fill files.

    Parameters
    ----------
    visit
        The request.
    """
    with visit.store.read() as session:
        files = list_fills(session)
    return visit.show(SHELF, FillShelf(files, fill_examples()))


@router.get("/fill/{number}")
def room(visit: OnVisit, number: int) -> Response:
    """Show a fill file as it is kept.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    """
    return _shown(visit, number)


@router.post("/fill/{number}/try")
def tried(visit: OnVisit, number: int, form: OnForm) -> Response:
    """Show what follows from a text as it was typed; nothing is saved by it.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    form
        What was typed.
    """
    return _shown(visit, number, written=_written(form))


@router.post("/fill/{number}/save")
def saved(visit: OnVisit, number: int, form: OnForm) -> Response:
    """Keep what was typed; if another window has saved meanwhile, both texts are shown.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    form
        What was typed, and the version that it began from.
    """
    said = str(form.get("version", ""))
    version = int(said) if said.isdecimal() and len(said) <= _MOST_FIGURES else 0
    written = _written(form)
    try:
        with visit.store.write() as session:
            save_fill(session, number, version, written, now=visit.now)
    except StaleRecord as stale:
        return _shown(visit, number, written=written, theirs=written_of(stale.text).text)
    return visit.go(f"/fill/{number}")


@router.post("/fill/{number}/tick")
def ticked(
    visit: OnVisit,
    number: int,
    mark: Annotated[str, Form(max_length=40)],
    done: Annotated[int, Form(ge=0, le=100)],
) -> Response:
    """Tick a step off, or take the last tick back.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    mark
        The fill.
    done
        How many of its steps are done.
    """
    with visit.store.write() as session:
        work = work_of(get_fill(session, number).written)
        fills = () if work.session is None else work.session.fills
        place = next((i for i, fill in enumerate(fills) if mark_of(fill) == mark), None)
        if place is None or not 0 <= done <= len(fills[place].blend.steps) + 1:
            raise InputError(
                "this step is not in the file any more", right="load the page anew and go on"
            )
        tick(session, number, mark, done, now=visit.now)
    if not visit.is_fragment:
        return visit.go(f"/fill/{number}#fill-{place + 1}")
    return visit.show(CARD, _view(visit, number).views[place], fragment=CARD_PART)


@router.post("/fill/{number}/analysis")
def analysed(  # noqa: PLR0913 - one a field of the form
    visit: OnVisit,
    number: int,
    cylinder: Annotated[str, Form(max_length=60)],
    seen: Annotated[str, Form(max_length=60)] = "",
    o2: Annotated[str, Form(max_length=20)] = "",
    he: Annotated[str, Form(max_length=20)] = "",
    gauge: Annotated[str, Form(max_length=20)] = "",
    temperature: Annotated[str, Form(max_length=20)] = "",
    by: Annotated[str, Form(max_length=60)] = "",
    at: Annotated[str, Form(max_length=40)] = "",
) -> Response:
    """Enter what the analyser said of a cylinder; it goes into the text of the file.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    cylinder
        The cylinder.
    seen
        The moment of the analysis that the page showed; empty if it showed none.
    o2, he
        Oxygen and helium [%].
    gauge, temperature
        Pressure and temperature, in the units of the file.
    by, at
        Who read it, and when.
    """
    entry = Entry(cylinder, o2, he, gauge, temperature, by, at)
    try:
        with visit.store.write() as session:
            version, place = enter(session, number, entry, seen, now=visit.now)
    except InputError as error:
        typed = Typed(entry, problem_of(error).faults)
        views = _view(visit, number, typed=typed).views
        at_card = [view for view in views if view.card.name == cylinder]
        if visit.is_fragment and at_card:
            return visit.show(CARD, at_card[0], fragment=CARD_PART, status=422)
        return _shown(visit, number, typed=typed)
    # a browser sent to a place of the page at hand would only scroll: the version reloads it
    return visit.go(f"/fill/{number}?version={version}#analysis-{place}")


@router.post("/fill/{number}/remove")
def removed(visit: OnVisit, number: int, version: Annotated[int, Form()]) -> Response:
    """Remove a fill file with what was ticked off in it.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    version
        The version that was seen.
    """
    with visit.store.write() as session:
        remove_fill(session, number, version, now=visit.now)
    return visit.go("/fill")


def _written(form: FormData) -> FillText:
    plan = str(form.get("plan_id", ""))
    chosen = int(plan) if plan.isdecimal() and len(plan) <= _MOST_FIGURES else None
    text, prices = (plain(str(form.get(name, ""))) for name in ("text", "prices"))
    return FillText(text, prices, chosen)


def _view(
    visit: Visit, number: int, *, written: FillText | None = None, typed: Typed | None = None
) -> FillView:
    moment = f"{visit.now.astimezone():%Y-%m-%dT%H:%M}"
    rules = visit.house_rules()
    with visit.store.read() as session:
        kept = get_fill(session, number)
        return view_of(session, kept, rules, moment, written=written, typed=typed)


def _shown(
    visit: Visit,
    number: int,
    *,
    written: FillText | None = None,
    typed: Typed | None = None,
    theirs: str = "",
) -> Response:
    view = _view(visit, number, written=written, typed=typed)
    with visit.store.read() as session:
        kept = get_fill(session, number)
    context = FillRoom(
        number=number,
        title=kept.title,
        path=f"/fill/{number}",
        version=kept.version,
        view=view,
        said=_said(theirs, typed),
        theirs=theirs,
    )
    wrong: tuple[Fault, ...] = (*view.faults, *view.price_faults, *(typed.faults if typed else ()))
    status = 409 if theirs else 422 if wrong and (written is not None or typed) else 200
    return visit.show(PAGE, context, fragment=RESULT_PART, status=status)


def _said(theirs: str, typed: Typed | None) -> str:
    if theirs:
        return "Not saved: another window has saved this file meanwhile."
    if typed is not None:
        fault = typed.faults[0]
        return f"The analysis of {typed.entry.cylinder} was not taken: {fault.where} {fault.what}."
    return ""
