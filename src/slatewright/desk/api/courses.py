"""Courses as JSON: listed, kept, saved against a version, built up, ordered anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Path
from pydantic import BaseModel, Field
from starlette.requests import Request

from slatewright.course.course_document import buildup_document
from slatewright.desk.api.routes import DescribedRoute
from slatewright.desk.api.shapes import LONGEST_TEXT, MOST, Key, Shape, refusals
from slatewright.desk.course.course_work import Work, gas_at, judged_at, order_of, work_of
from slatewright.desk.visit import Visit
from slatewright.store.courses import (
    CourseStatus,
    KeptCourse,
    create_course,
    get_course,
    list_courses,
    save_course,
)

router = APIRouter(tags=["courses"], route_class=DescribedRoute)

CourseId = Annotated[Key, Path(description="The course.")]
Text = Annotated[
    str,
    Field(
        max_length=LONGEST_TEXT,
        description="The text of a course file in TOML, `slatewright/course/1`.",
    ),
]


class NewCourse(Shape):
    """A course to be kept. Its text may still have faults."""

    text: Text


class SaveCourse(Shape):
    """A new text of a course."""

    version: Annotated[
        int, Field(ge=1, le=MOST, description="The version from which the text was made.")
    ]
    text: Text


class CourseEntry(BaseModel):
    """A course in the list."""

    id: int
    title: str
    status: CourseStatus
    version: int
    created_at: datetime
    changed_at: datetime


class Course(CourseEntry):
    """A course with its text."""

    text: str


class Courses(BaseModel):
    """All courses, the last changed first."""

    courses: list[CourseEntry]


class Moved(BaseModel):
    """A dive that is proposed for another time."""

    dive: Annotated[int, Field(description="Its number in the text, counted from 1.")]
    to: Annotated[datetime, Field(description="When it begins then, local time.")]


class Order(BaseModel):
    """The order, days and hours that are proposed."""

    moves: list[Moved]
    findings_before: Annotated[int, Field(description="Findings against the course as it stands.")]
    findings_after: Annotated[int, Field(description="Findings against it as proposed.")]
    least: Annotated[
        bool, Field(description="Whether it is known that no order on these days is better.")
    ]


@router.get("/courses", response_model=Courses, responses=refusals())
def course_list(request: Request) -> dict[str, tuple[KeptCourse, ...]]:
    """List the courses, the last changed first.

    Parameters
    ----------
    request
        The request.
    """
    with Visit(request).store.read() as session:
        return {"courses": list_courses(session)}


@router.post("/courses", status_code=201, response_model=Course, responses=refusals())
def course_create(request: Request, new: NewCourse) -> KeptCourse:
    """Keep a new course.

    Parameters
    ----------
    request
        The request.
    new
        What is to be kept.
    """
    visit = Visit(request)
    with visit.store.write() as session:
        return create_course(session, new.text, now=visit.now)


@router.get("/courses/{course_id}", response_model=Course, responses=refusals(404))
def course_read(request: Request, course_id: CourseId) -> KeptCourse:
    """Return a course with its text.

    Parameters
    ----------
    request
        The request.
    course_id
        The course.
    """
    with Visit(request).store.read() as session:
        return get_course(session, course_id)


@router.put("/courses/{course_id}", response_model=Course, responses=refusals(404, 409))
def course_save(request: Request, course_id: CourseId, saved: SaveCourse) -> KeptCourse:
    """Save a new text of a course, if nobody else has since the version that it was made from.

    Parameters
    ----------
    request
        The request.
    course_id
        The course.
    saved
        The text, and the version that it was made from.
    """
    visit = Visit(request)
    with visit.store.write() as session:
        return save_course(session, course_id, saved.version, saved.text, now=visit.now)


@router.get("/courses/{course_id}/build-up", responses=refusals(404))
def course_build_up(request: Request, course_id: CourseId) -> dict[str, Any]:
    """Build a course up, dive after dive, with its gas: the document `slatewright/build-up/1`.

    Parameters
    ----------
    request
        The request.
    course_id
        The course.
    """
    visit = Visit(request)
    rules = visit.house_rules()
    with visit.store.read() as session:
        kept = get_course(session, course_id)
        work = work_of(session, kept.text, rules)
        built = judged_at(session, kept, work)
    return buildup_document(replace(built, gas=gas_at(work, None)))


@router.get("/courses/{course_id}/order", response_model=Order, responses=refusals(404))
def course_order(request: Request, course_id: CourseId) -> dict[str, Any]:
    """Propose an order, days and hours for the dives of a course; nothing is written.

    Parameters
    ----------
    request
        The request.
    course_id
        The course.
    """
    found = order_of(_work(request, course_id))
    return {
        "moves": [{"dive": move.dive, "to": move.to} for move in found.moves],
        "findings_before": sum(one.violates for one in found.before.findings),
        "findings_after": sum(one.violates for one in found.judged.findings),
        "least": found.least,
    }


def _work(request: Request, course_id: int) -> Work:
    visit = Visit(request)
    rules = visit.house_rules()
    with visit.store.read() as session:
        return work_of(session, get_course(session, course_id).text, rules)
