"""What is changed on the page of a course by a click: moves, cures, the proposals."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time
from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.course.buildup_skills import with_skills
from slatewright.course.coursefile import moved, rescheduled
from slatewright.desk.course.course_showing import path_of, show_course
from slatewright.desk.course.course_work import Work, order_of, skills_at, spread_of, work_of
from slatewright.desk.frame import Page
from slatewright.desk.problem import problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError, SlatewrightError
from slatewright.store.courses import get_course, save_course
from slatewright.store.faults import StaleRecord
from slatewright.store.session import Session

router = APIRouter()
PAGES: Final[tuple[Page, ...]] = ()
Version = Annotated[int, Form()]


@router.post("/courses/{course_id}/move")
def move(
    visit: OnVisit,
    course_id: int,
    version: Version,
    dive: Annotated[int, Form()],
    on: Annotated[date, Form()],
    at: Annotated[time, Form()],
) -> Response:
    """Move a dive to another day or hour.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version that the person has seen.
    dive
        The number of the dive.
    on, at
        When it begins then.
    """
    return _changed(visit, course_id, version, lambda work, _: moved(work.text, dive, on, at))


@router.post("/courses/{course_id}/mend")
def mend(
    visit: OnVisit,
    course_id: int,
    version: Version,
    finding: Annotated[int, Form()],
    words: Annotated[str, Form()],
) -> Response:
    """Write a cure into the text.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version that the person has seen.
    finding
        The number of the finding.
    words
        What the button said.
    """

    def mended(work: Work, _: Session) -> str:
        findings = work.built.findings
        for one in findings[finding - 1 : finding] if finding > 0 else ():
            for cure in one.mends:
                if cure.words == words:
                    return rescheduled(work.text, cure.moves)
        raise InputError("this cure is not there any more", right="one of those on the page")

    return _changed(visit, course_id, version, mended)


@router.post("/courses/{course_id}/propose")
def take_order(visit: OnVisit, course_id: int, version: Version) -> Response:
    """Write the proposed order, days and hours into the text, if there is a better one.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version that the person has seen.
    """

    def better(work: Work, _: Session) -> str:
        moves = order_of(work).moves
        return rescheduled(work.text, moves) if moves else work.text

    return _changed(visit, course_id, version, better)


@router.post("/courses/{course_id}/skills")
def take_skills(
    visit: OnVisit, course_id: int, version: Version, everything: Annotated[str, Form()] = ""
) -> Response:
    """Write the proposed spread of skills into the text.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version that the person has seen.
    everything
        Not empty for the whole list of skills.
    """

    def spread(work: Work, session: Session) -> str:
        skills = skills_at(session, get_course(session, course_id), work)
        return with_skills(work.text, spread_of(work, skills, everything=bool(everything)).dives)

    return _changed(visit, course_id, version, spread)


def _changed(
    visit: Visit,
    course_id: int,
    version: int,
    change: Callable[[Work, Session], str],
) -> Response:
    """Change the text that the person has seen, and go back to the course, or say why not."""
    rules = visit.house_rules()
    try:
        with visit.store.read() as session:
            kept = get_course(session, course_id)
            if kept.version != version:
                raise StaleRecord(  # noqa: TRY301 - as the store would say a moment later
                    "course", given=version, version=kept.version, text=kept.text, theirs=kept
                )
            text = change(work_of(session, kept.text, rules), session)
        with visit.store.write() as session:
            save_course(session, course_id, version, text, now=visit.now)
    except StaleRecord:
        raise
    except SlatewrightError as error:
        problem = problem_of(error)
        return show_course(visit, course_id, faults=problem.faults, status=problem.status)
    return visit.go(path_of(course_id))
