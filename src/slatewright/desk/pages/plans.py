"""Plans: begun, brought in, copied, saved as files, put into the trash and taken back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, File, Form, UploadFile
from starlette.responses import Response

from slatewright.desk.blank import blank_plan
from slatewright.desk.exchange import (
    ENDING,
    bring_in,
    bring_in_example,
    file_name,
    zip_of,
)
from slatewright.desk.frame import Page
from slatewright.desk.plan_cards import PlanCard, card_of
from slatewright.desk.visit import OnVisit
from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem
from slatewright.store.plan_order import plan_chain
from slatewright.store.plan_trash import destroy_plan, trash_plan, untrash_plan
from slatewright.store.plans import create_plan, duplicate_plan, get_plan, list_plans

router = APIRouter()
MOST_FILES: Final = 50


@dataclass(frozen=True, slots=True)
class Trash:
    """What is in the trash.

    Parameters
    ----------
    plans
        The plans, the last changed first.
    """

    plans: tuple[PlanCard, ...]


PAGE: Final = Page("trash", "Trash", "trash.html", Trash)
PAGES: Final = (PAGE,)


@router.post("/plans/example")
def from_example(visit: OnVisit, name: Annotated[str, Form()]) -> Response:
    """Begin with an example.

    Parameters
    ----------
    visit
        The request.
    name
        The example.
    """
    with visit.store.write() as session:
        plan = bring_in_example(session, name, now=visit.now)
    return visit.go(f"/bench/{plan.id}")


@router.post("/plans/blank")
def from_blank(visit: OnVisit, units: Annotated[UnitSystem, Form()]) -> Response:
    """Begin with a blank sheet.

    Parameters
    ----------
    visit
        The request.
    units
        The units to write in.
    """
    with visit.store.write() as session:
        plan = create_plan(session, blank_plan(units), now=visit.now)
    return visit.go(f"/bench/{plan.id}")


@router.post("/plans/files")
def from_files(visit: OnVisit, files: Annotated[list[UploadFile], File()]) -> Response:
    """Keep plan files of one's own.

    Parameters
    ----------
    visit
        The request.
    files
        The files.
    """
    if len(files) > MOST_FILES:
        raise InputError(f"{len(files)} files at once", right=f"at most {MOST_FILES}")
    texts = dict(_text(file) for file in files)
    with visit.store.write() as session:
        plans = bring_in(session, texts, now=visit.now)
    return visit.go(f"/bench/{plans[0].id}" if len(plans) == 1 else "/")


@router.post("/plans/{plan_id}/duplicate")
def duplicate(visit: OnVisit, plan_id: int) -> Response:
    """Keep a second plan with the same text.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    """
    with visit.store.write() as session:
        plan = duplicate_plan(session, plan_id, now=visit.now)
    return visit.go(f"/bench/{plan.id}")


@router.get("/plans/{plan_id}/file")
def as_file(visit: OnVisit, plan_id: int) -> Response:
    """Hand out the text of a plan, to the letter.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    """
    with visit.store.read() as session:
        plan = get_plan(session, plan_id)
    return _download(plan.text.encode(), file_name(plan), "application/toml")


@router.get("/plans/{plan_id}/chain")
def as_chain(visit: OnVisit, plan_id: int) -> Response:
    """Hand out a plan and those before it, named as they name each other.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    """
    with visit.store.read() as session:
        chain = plan_chain(session, plan_id)
    name = file_name(chain[-1]).removesuffix(ENDING)
    return _download(zip_of(chain), f"{name}.zip", "application/zip")


@router.post("/plans/{plan_id}/trash")
def into_trash(visit: OnVisit, plan_id: int, version: Annotated[int, Form()]) -> Response:
    """Put a plan into the trash.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    version
        The version that the person has seen.
    """
    with visit.store.write() as session:
        trash_plan(session, plan_id, version, now=visit.now)
    return visit.go("/")


@router.get("/trash")
def trash(visit: OnVisit) -> Response:
    """Show what is in the trash.

    Parameters
    ----------
    visit
        The request.
    """
    with visit.store.read() as session:
        cards = tuple(
            card_of(get_plan(session, entry.id)) for entry in list_plans(session, trashed=True)
        )
    return visit.show(PAGE, Trash(cards))


@router.post("/plans/{plan_id}/take-back")
def take_back(visit: OnVisit, plan_id: int) -> Response:
    """Take a plan out of the trash.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    """
    with visit.store.write() as session:
        untrash_plan(session, plan_id)
    return visit.go("/trash")


@router.post("/plans/{plan_id}/destroy")
def destroy(visit: OnVisit, plan_id: int) -> Response:
    """Delete a plan that is in the trash for good.

    Parameters
    ----------
    visit
        The request.
    plan_id
        The plan.
    """
    with visit.store.write() as session:
        destroy_plan(session, plan_id)
    return visit.go("/trash")


def _text(file: UploadFile) -> tuple[str, str]:
    name = (file.filename or "").replace("\\", "/").rpartition("/")[2]
    try:
        return name, file.file.read().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("is not UTF-8", where=name, right="a plan file saved as UTF-8") from None


def _download(content: bytes, name: str, kind: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)
