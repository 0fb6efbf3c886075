"""People as JSON: who is in the roster, and how they stand to the standards."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Annotated, Any

from fastapi import APIRouter, Path
from pydantic import BaseModel
from starlette.requests import Request

from slatewright.course.readiness import readiness
from slatewright.course.readiness_document import readiness_document
from slatewright.course.standard import Standard
from slatewright.desk.api.routes import DescribedRoute
from slatewright.desk.api.shapes import Key, refusals
from slatewright.desk.course.naming import OnNamed
from slatewright.desk.course.standards import workspace_standards
from slatewright.desk.visit import Visit
from slatewright.errors import InputError
from slatewright.store.logbooks import candidate_of
from slatewright.store.people import list_people
from slatewright.store.session import Session
from slatewright.store.waivers import list_waivers

router = APIRouter(tags=["people"], route_class=DescribedRoute)

PersonId = Annotated[Key, Path(description="The person.")]


class PersonEntry(BaseModel):
    """A person in the list."""

    id: int
    name: str


class People(BaseModel):
    """All people, by name."""

    people: list[PersonEntry]


def _inlined(part: Any, shared: dict[str, Any]) -> Any:  # noqa: ANN401 - any part of a JSON schema
    """Return a schema with what it refers to in its place, as it stands inside another document."""
    if isinstance(part, list):
        return [_inlined(one, shared) for one in part]
    if not isinstance(part, dict):
        return part
    target = part.get("$ref")
    if isinstance(target, str):
        rest = {name: value for name, value in part.items() if name != "$ref"}
        return {**_inlined(shared[target.rpartition("/")[2]], shared), **rest}
    return {name: _inlined(value, shared) for name, value in part.items()}


def _schema(name: str) -> dict[str, Any]:
    text = files("slatewright.data").joinpath(f"{name}-1.schema.json").read_text("utf-8")
    whole = json.loads(text)
    kept = {key: value for key, value in whole.items() if key not in {"$schema", "$id", "$defs"}}
    inlined: dict[str, Any] = _inlined(kept, whole.get("$defs", {}))
    return inlined


@router.get("/people", response_model=People, responses=refusals())
def people_list(request: Request) -> dict[str, Any]:
    """List the people of the workspace.

    Parameters
    ----------
    request
        The request.
    """
    with Visit(request).store.read() as session:
        return {"people": [{"id": one.id, "name": one.name} for one in list_people(session)]}


@router.get(
    "/people/{person_id}/readiness",
    responses={
        **refusals(404),
        200: {
            "description": "The document `slatewright/readiness/1`.",
            "content": {"application/json": {"schema": _schema("readiness")}},
        },
    },
)
def people_readiness(request: Request, person_id: PersonId, named: OnNamed) -> dict[str, Any]:
    """Hold a person against the standards of the workspace: the document `slatewright/readiness/1`.

    Parameters
    ----------
    request
        The request.
    person_id
        The person.
    named
        How logs name who teaches the course, and who takes it too.
    """
    visit = Visit(request)
    with visit.store.read() as session:
        candidate = candidate_of(session, person_id)
        standards = _standards(session)
        waivers = [w.waiver for w in list_waivers(session, person_id) if w.withdrawn_at is None]
    done = readiness(
        candidate,
        standards,
        visit.today,
        waivers,
        instructors=named.instructors,
        partners=named.partners,
    )
    return readiness_document(done)


def _standards(session: Session) -> list[Standard]:
    """Return the standards of the workspace; one with faults is told, and not passed over."""
    found = []
    for one in workspace_standards(session):
        if one.standard is None:
            raise InputError(
                f"the standard '{one.title}' has faults", where="standards", right="mend it first"
            )
        found.append(one.standard)
    return found
