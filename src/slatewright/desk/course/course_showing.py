"""How the page of a course is answered: built up, still to be built up, or with its faults."""

from __future__ import annotations

from typing import Final

from starlette.responses import Response

from slatewright.desk.course.book_view import course_file
from slatewright.desk.course.course_view import (
    CourseAnswer,
    CourseView,
    answer_of,
    lines_of,
    people_of,
)
from slatewright.desk.course.course_work import is_quick, judged_at, work_of
from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import Visit
from slatewright.errors import SlatewrightError
from slatewright.store.courses import KeptCourse, course_texts, get_course
from slatewright.store.people import list_people
from slatewright.store.session import Session

PAGE: Final = Page("course", "A course", "course.html", CourseView, scripts=("course_sheet.js",))


def path_of(course_id: int) -> str:
    """Return where a course is.

    Parameters
    ----------
    course_id
        The course.
    """
    return f"/courses/{course_id}"


def how_path(course_id: int, version: int) -> str:
    """Return where a course tells how its numbers came about.

    Parameters
    ----------
    course_id
        The course.
    version
        The version of its text that the numbers are of.
    """
    return f"{path_of(course_id)}/{version}/how"


def show_course(
    visit: Visit,
    course_id: int,
    *,
    faults: tuple[Fault, ...] = (),
    mine: str | None = None,
    may_wait: bool = False,
    fragment: str = "",
    status: int = 200,
) -> Response:
    """Answer with the page of a course.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    faults
        Why something was not taken.
    mine
        A text of this window that was not saved, for another window has saved meanwhile.
    may_wait
        True to let the page ask for a course that takes its time.
    fragment
        The part of the page that is asked for.
    status
        The HTTP status.
    """
    with visit.store.read() as session:
        kept = get_course(session, course_id)
        roster = {person.name: person.id for person in list_people(session)}
        texts = course_texts(session, course_id)
        answer, waiting, wrong = _answer(visit, session, kept, may_wait=may_wait)
    text = kept.text if mine is None else mine
    view = CourseView(
        course=kept,
        text=text,
        answer=answer,
        waiting=waiting,
        people=people_of(course_file(kept.text), roster),
        faults=(*wrong, *faults),
        lines=lines_of(text, wrong if mine is None else ()),
        back=texts[1][0] if len(texts) > 1 else 0,
        theirs="" if mine is None else kept.text,
    )
    return visit.show(PAGE, view, fragment=fragment, status=status)


def _answer(
    visit: Visit, session: Session, kept: KeptCourse, *, may_wait: bool
) -> tuple[CourseAnswer | None, bool, tuple[Fault, ...]]:
    rules = visit.house_rules()
    try:
        if may_wait and not is_quick(session, kept.text, rules):
            return None, True, ()
        built = judged_at(session, kept, work_of(session, kept.text, rules))
    except SlatewrightError as error:
        return None, False, problem_of(error).faults
    return answer_of(built, how_path(kept.id, kept.version)), False, ()
