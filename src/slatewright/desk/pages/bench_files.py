"""What is done with a plan on the bench: saved, kept as a new one or as a file."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Final

from fastapi import APIRouter, File, UploadFile
from starlette.responses import Response

from slatewright.desk.bench.answers import work_typed
from slatewright.desk.bench.asked import Asked, last, lines
from slatewright.desk.bench.saving import Conflict, conflict_of, keep_as_new, save_sheet
from slatewright.desk.bench.stand import stand_of_text, stand_typed
from slatewright.desk.exchange import file_name
from slatewright.desk.frame import Page
from slatewright.desk.pages.bench import Typed, shown
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.store.faults import StaleRecord
from slatewright.store.plan_records import SavedPlan
from slatewright.store.plans import get_plan

router = APIRouter()
CONFLICT: Final = Page("conflict", "Two texts of one plan", "conflict.html", Conflict)
PAGES: Final = (CONFLICT,)
_CONFLICT_PART: Final = "_conflict.html"


@router.post("/bench/{plan_id}/save")
def save(visit: OnVisit, plan_id: int, form: Typed) -> Response:
    """Keep the sheet; if another window has saved meanwhile, both texts are shown.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    form
        The sheet.
    """
    with visit.store.read() as session:
        work, chosen = work_typed(session, form)
        if not work.text and work.data is not None:
            stand = stand_typed(session, plan_id, visit.house_rules(), form)
            told = replace(stand, said="not saved: mend the faults first")
            return shown(visit, told)
    saved = _saved(visit, plan_id, form, work.text or work.typed, chosen)
    if isinstance(saved, Response):
        return saved
    if not visit.is_fragment:
        return visit.go(f"/bench/{plan_id}")
    with visit.store.read() as session:
        stand = stand_typed(session, plan_id, visit.house_rules(), form)
    told = replace(
        stand, version=saved.version, saved=True, said=f"saved as version {saved.version}"
    )
    return shown(visit, told)


@router.post("/bench/{plan_id}/settle")
def settle(visit: OnVisit, plan_id: int, form: Typed) -> Response:
    """Let one of two texts stand: mine over theirs, theirs, or mine as a new plan.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    form
        Which, the texts, and the version over which mine is to stand.
    """
    which, mine = last(form, "which"), lines(last(form, "mine"))
    chosen = last(form, "earlier")
    if which == "theirs":
        return visit.go(f"/bench/{plan_id}")
    if which == "new":
        with visit.store.write() as session:
            kept = keep_as_new(session, mine, chosen, now=visit.now)
        return visit.go(f"/bench/{kept.id}")
    saved = _saved(visit, plan_id, form, mine, chosen)
    return saved if isinstance(saved, Response) else visit.go(f"/bench/{plan_id}")


@router.post("/bench/{plan_id}/duplicate")
def duplicate(visit: OnVisit, plan_id: int, form: Typed) -> Response:
    """Keep the sheet as a new plan.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan that it began from.
    form
        The sheet.
    """
    with visit.store.read() as session:
        work, chosen = work_typed(session, form)
        get_plan(session, plan_id)
    with visit.store.write() as session:
        kept = keep_as_new(session, work.text or Asked.by(form).base, chosen, now=visit.now)
    return visit.go(f"/bench/{kept.id}")


@router.post("/bench/{plan_id}/file")
def as_file(visit: OnVisit, plan_id: int, form: Typed) -> Response:
    """Hand out the text of the sheet as a file.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    form
        The sheet.
    """
    with visit.store.read() as session:
        work, _ = work_typed(session, form)
        plan = get_plan(session, plan_id)
    title = str((work.data or {}).get("title", plan.title))
    name = file_name(replace(plan, title=title))
    return download((work.text or Asked.by(form).base).encode(), name, "application/toml")


@router.post("/bench/{plan_id}/bring-in")
def bring_in(visit: OnVisit, plan_id: int, file: Annotated[UploadFile, File()]) -> Response:
    """Lay the text of a file on the sheet; nothing is saved by it.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    file
        The file.
    """
    try:
        text = file.file.read().decode("utf-8-sig")
    except UnicodeDecodeError:
        name = (file.filename or "the file").replace("\\", "/").rpartition("/")[2]
        raise InputError("is not UTF-8", where=name, right="a plan file saved as UTF-8") from None
    with visit.store.read() as session:
        rules, plain = visit.house_rules(), lines(text)
        stand = stand_of_text(session, plan_id, rules, plain, visit.room)
    return shown(visit, stand)


def _saved(visit: Visit, plan_id: int, form: Typed, text: str, chosen: str) -> SavedPlan | Response:
    """Keep a text over the version that the form names; if a window was quicker, show both."""
    version = Asked.by(form).version
    try:
        with visit.store.write() as session:
            return save_sheet(session, plan_id, version, text, chosen, now=visit.now)
    except StaleRecord as stale:
        with visit.store.read() as session:
            title = get_plan(session, plan_id).title
        conflict = conflict_of(plan_id, title, stale, text, chosen)
        return visit.show(CONFLICT, conflict, fragment=_CONFLICT_PART, status=409)


def download(content: bytes, name: str, kind: str) -> Response:
    """Answer with a file.

    Parameters
    ----------
    content
        What is in it.
    name
        What it is called.
    kind
        Its media type.
    """
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)
