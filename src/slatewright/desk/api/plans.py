"""Plans as JSON: listed, kept, saved against a version, copied, deleted, computed."""

from __future__ import annotations

from typing import Annotated, Any, Final

from fastapi import APIRouter, Path, Query
from starlette.requests import Request

from slatewright.cautions import NO_CYLINDERS
from slatewright.desk.api import shapes
from slatewright.desk.api.routes import DescribedRoute
from slatewright.desk.api.shapes import Key, refusals
from slatewright.desk.computing import Link, chain_of, computed
from slatewright.desk.visit import Visit
from slatewright.dive.document import document
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan_text import outline_of, read_plan_text
from slatewright.store.plan_order import set_earlier_plan
from slatewright.store.plan_records import PlanEntry, SavedPlan
from slatewright.store.plan_trash import destroy_plan, trash_plan, untrash_plan
from slatewright.store.plans import create_plan, duplicate_plan, get_plan, list_plans, save_plan
from slatewright.supply.full_document import full_document
from slatewright.supply.judged import judge
from slatewright.supply.loop_document import loop_document
from slatewright.supply.loop_supply import loop_supply

router = APIRouter(tags=["plans"], route_class=DescribedRoute)

PlanId = Annotated[Key, Path(description="The plan.")]
_NOT_ASKED: Final = "gas supply and way home were not asked for, and not judged"
Gas = Annotated[
    bool,
    Query(description="True for the gas of the dive too; takes a second or two."),
]


@router.get("/plans", response_model=shapes.Plans, responses=refusals())
def plan_list(
    request: Request, *, trashed: Annotated[bool, Query(description="Those in the trash.")] = False
) -> dict[str, tuple[PlanEntry, ...]]:
    """List the plans, the last changed first.

    Parameters
    ----------
    request
        The request.
    trashed
        True for those in the trash.
    """
    with Visit(request).store.read() as session:
        return {"plans": list_plans(session, trashed=trashed)}


@router.post("/plans", status_code=201, response_model=shapes.Plan, responses=refusals(404))
def plan_create(request: Request, new: shapes.NewPlan) -> SavedPlan:
    """Keep a new plan.

    Parameters
    ----------
    request
        The request.
    new
        What is to be kept.
    """
    visit = Visit(request)
    with visit.store.write() as session:
        return create_plan(session, new.text, now=visit.now, earlier_plan_id=new.earlier_plan_id)


@router.get("/plans/{plan_id}", response_model=shapes.Plan, responses=refusals(404))
def plan_read(request: Request, plan_id: PlanId) -> SavedPlan:
    """Return a plan with its text.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    """
    with Visit(request).store.read() as session:
        return get_plan(session, plan_id)


@router.put("/plans/{plan_id}", response_model=shapes.Plan, responses=refusals(404, 409))
def plan_save(request: Request, plan_id: PlanId, saved: shapes.SavePlan) -> SavedPlan:
    """Save a new text of a plan, if nobody else has since the version that it was made from.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    saved
        The text, and the version that it was made from.
    """
    visit = Visit(request)
    with visit.store.write() as session:
        return save_plan(session, plan_id, saved.version, saved.text, now=visit.now)


@router.put("/plans/{plan_id}/earlier", response_model=shapes.Plan, responses=refusals(404, 409))
def plan_earlier(request: Request, plan_id: PlanId, given: shapes.EarlierPlan) -> SavedPlan:
    """Say which dive comes before.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    given
        What is put in.
    """
    visit = Visit(request)
    with visit.store.write() as session:
        return set_earlier_plan(
            session, plan_id, given.version, given.earlier_plan_id, now=visit.now
        )


@router.post(
    "/plans/{plan_id}/copy", status_code=201, response_model=shapes.Plan, responses=refusals(404)
)
def plan_copy(request: Request, plan_id: PlanId) -> SavedPlan:
    """Keep a second plan with the same text.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    """
    visit = Visit(request)
    with visit.store.write() as session:
        return duplicate_plan(session, plan_id, now=visit.now)


@router.delete("/plans/{plan_id}", response_model=shapes.Plan, responses=refusals(404, 409))
def plan_delete(
    request: Request,
    plan_id: PlanId,
    version: Annotated[int, Query(ge=1, le=shapes.MOST, description="The version that was seen.")],
) -> SavedPlan:
    """Put a plan into the trash, from which it can be taken back.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    version
        The version that was seen.
    """
    visit = Visit(request)
    with visit.store.write() as session:
        return trash_plan(session, plan_id, version, now=visit.now)


@router.post("/trash/{plan_id}/back", response_model=shapes.Plan, responses=refusals(404))
def plan_back(request: Request, plan_id: PlanId) -> SavedPlan:
    """Take a plan out of the trash.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    """
    with Visit(request).store.write() as session:
        return untrash_plan(session, plan_id)


@router.delete("/trash/{plan_id}", status_code=204, responses=refusals(404))
def plan_destroy(request: Request, plan_id: PlanId) -> None:
    """Delete a plan that is in the trash for good, with its earlier texts and signatures.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    """
    with Visit(request).store.write() as session:
        destroy_plan(session, plan_id)


@router.get("/plans/{plan_id}/dive", responses=refusals(404))
def plan_dive(request: Request, plan_id: PlanId, *, gas: Gas = False) -> dict[str, Any]:
    """Compute a plan after those before it: the document `slatewright/dive/1`.

    Parameters
    ----------
    request
        The request.
    plan_id
        The plan.
    gas
        True for the gas of the dive too.
    """
    visit = Visit(request)
    with visit.store.read() as session:
        chain = chain_of(session, plan_id)
    return _document(chain, visit.house_rules(), gas=gas)


@router.post("/dive", responses=refusals())
def text_dive(request: Request, given: shapes.GivenText, *, gas: Gas = False) -> dict[str, Any]:
    """Compute a text that is not kept: the document `slatewright/dive/1`.

    Parameters
    ----------
    request
        The request.
    given
        What is put in.
    gas
        True for the gas of the dive too.
    """
    return _document((Link("the plan", given.text),), Visit(request).house_rules(), gas=gas)


@router.post("/check", response_model=shapes.Valid, responses=refusals())
def text_check(request: Request, given: shapes.GivenText) -> dict[str, Any]:
    """Look for the faults of a text: each with its line, and what would be right.

    Parameters
    ----------
    request
        The request.
    given
        What is put in.
    """
    rules: HouseRules = Visit(request).house_rules()
    outline = outline_of(
        read_plan_text(given.text), whole_minutes=rules.whole_minutes == "run time"
    )
    return {
        "title": outline.title,
        "units": outline.units,
        "deepest_m": outline.deepest_m,
        "bottom_min": outline.bottom_min,
        "gases": [str(mix) for mix in outline.gases],
    }


def _document(chain: tuple[Link, ...], rules: HouseRules, *, gas: bool) -> dict[str, Any]:
    found = computed(chain, rules)
    if found.team is None:
        return document(found.dive, not_judged=NO_CYLINDERS)
    if not gas:
        return document(found.dive, not_judged=_NOT_ASKED)
    if found.dive.plan.loop is not None:
        return loop_document(loop_supply(found.dive, found.team))
    return full_document(judge(found.dive, found.team))
