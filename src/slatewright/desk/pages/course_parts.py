"""Parts of the page of a course that take their time, and how its numbers came about."""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.course.course_accounts import account_of
from slatewright.desk.course.course_later import (
    GasView,
    OrderView,
    SkillsView,
    gas_account,
    gas_view,
    order_view,
    skills_view,
)
from slatewright.desk.course.course_showing import how_path, path_of
from slatewright.desk.course.course_work import (
    Work,
    gas_at,
    order_of,
    priced_room,
    skills_at,
    spread_of,
    work_of,
)
from slatewright.desk.frame import Page
from slatewright.desk.pages.working import ACCOUNT_PAGE, ACCOUNT_PART
from slatewright.desk.problem import problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError, SlatewrightError
from slatewright.store.courses import KeptCourse, course_texts, get_course

router = APIRouter()
GAS: Final = Page("course-gas", "Gas and cost of a course", "course_gas.html", GasView)
SKILLS: Final = Page("course-skills", "Skills of a course", "course_skills.html", SkillsView)
ORDER: Final = Page("course-order", "The proposed order", "course_order.html", OrderView)
PAGES: Final = (GAS, SKILLS, ORDER)


@router.get("/courses/{course_id}/gas")
def gas(visit: OnVisit, course_id: int) -> Response:
    """Show gas and cost.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    kept, work = _work(visit, course_id)
    room, name = None, ""
    notes: tuple[str, ...] = ()
    with visit.store.read() as session:
        try:
            name, room = priced_room(session)
        except SlatewrightError as error:
            notes = tuple(f"not priced: {fault.what}" for fault in problem_of(error).faults)
    how = how_path(course_id, kept.version)
    view = gas_view(work, gas_at(work, room), name, notes, how)
    return visit.show(GAS, view, fragment="_course_gas.html")


@router.get("/courses/{course_id}/skills")
def skills(visit: OnVisit, course_id: int, everything: str = "") -> Response:
    """Show the skills as they stand, and as they are proposed.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    everything
        Not empty for the whole list of skills.
    """
    kept, work = _work(visit, course_id)
    with visit.store.read() as session:
        own = skills_at(session, kept, work)
    whole = bool(everything)
    try:
        view = skills_view(
            work, own, spread_of(work, own, everything=whole), path_of(course_id), kept.version,
            everything=whole,
        )  # fmt: skip
    except SlatewrightError as error:
        faults = problem_of(error).faults
        view = SkillsView(
            path_of(course_id), kept.version, whole, (), (), (), (), (), can_accept=False,
            faults=faults,
        )  # fmt: skip
    return visit.show(SKILLS, view, fragment="_course_skills.html")


@router.get("/courses/{course_id}/order")
def order(visit: OnVisit, course_id: int) -> Response:
    """Show the order, days and hours that are proposed.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    kept, work = _work(visit, course_id)
    path = path_of(course_id)
    try:
        view = order_view(work, order_of(work), path, kept.version)
    except SlatewrightError as error:
        view = OrderView(path, kept.version, faults=problem_of(error).faults)
    return visit.show(ORDER, view, fragment="_course_order.html")


@router.get("/courses/{course_id}/{version}/how/{what:path}")
def how(visit: OnVisit, course_id: int, version: int, what: str) -> Response:
    """Show how a number came about.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version of its text that the number is of.
    what
        Which number.
    """
    rules = visit.house_rules()
    with visit.store.read() as session:
        text = dict(course_texts(session, course_id)).get(version)
        if text is None:
            raise InputError(f"there is no version {version}", right="open it from the course")
        work = work_of(session, text, rules)
        if what.split("/", maxsplit=1)[0] in {"cost", "fills"}:
            try:
                _, room = priced_room(session)
            except SlatewrightError:
                room = None
            account = gas_account(work, gas_at(work, room), what)
        else:
            account = account_of(work, what)
    return visit.show(ACCOUNT_PAGE, account, fragment=ACCOUNT_PART)


def _work(visit: Visit, course_id: int) -> tuple[KeptCourse, Work]:
    rules = visit.house_rules()
    with visit.store.read() as session:
        kept = get_course(session, course_id)
        return kept, work_of(session, kept.text, rules)
