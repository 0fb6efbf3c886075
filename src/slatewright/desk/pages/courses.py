"""Courses: the list, and one of them built up, its dives moved, mended, proposed."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, time
from functools import cache
from importlib.resources import files
from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.course.buildup import BuildUp, GasWanted, build_up
from slatewright.course.buildup_course import course_of
from slatewright.course.buildup_timeline import Solver
from slatewright.course.coursefile import CourseFile, moved, read_course_text, rescheduled
from slatewright.course.proposal import propose
from slatewright.desk.course.course_view import CourseView, answer_of, people_of
from slatewright.desk.course.plans import plans_of
from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.dive.house_rules import HouseRules
from slatewright.errors import InputError, PlanFileError, SlatewrightError
from slatewright.store.courses import (
    KeptCourse,
    course_texts,
    create_course,
    get_course,
    list_courses,
    save_course,
)
from slatewright.store.faults import StaleRecord
from slatewright.store.people import list_people
from slatewright.store.session import Session

router = APIRouter()
_KEPT: Final = 12
_BUILT: Final[OrderedDict[object, BuildUp]] = OrderedDict()
BLANK: Final = """schema = "slatewright/course/1"
title = "A new course"
units = "metric"

[[instructor]]
name = "Your name"

[[student]]
name = "A student"

# A dive for each [[dive]]: its plan by number in this workspace, day and hour.
[[dive]]
plan = "../build-up-week/1-the-shelf.toml"
on = 2031-05-05
at = "10:00"
"""


@dataclass(frozen=True, slots=True)
class Courses:
    """The list of courses.

    Parameters
    ----------
    courses
        The last changed first.
    """

    courses: tuple[KeptCourse, ...]


LIST_PAGE: Final = Page(
    "courses", "Courses", "courses.html", Courses, path="/courses", label="Courses", order=50
)
PAGE: Final = Page("course", "A course", "course.html", CourseView)
PAGES: Final = (LIST_PAGE, PAGE)


@router.get("/courses")
def courses(visit: OnVisit) -> Response:
    """Show all courses.

    Parameters
    ----------
    visit
        The request.
    """
    with visit.store.read() as session:
        return visit.show(LIST_PAGE, Courses(list_courses(session)))


@router.post("/courses")
def begin(
    visit: OnVisit, start: Annotated[str, Form()], text: Annotated[str, Form()] = ""
) -> Response:
    """Begin a course: from the example, a blank sheet, or a text.

    Parameters
    ----------
    visit
        The request.
    start
        ``example``, ``blank`` or ``text``.
    text
        The text of a course file.
    """
    texts = {"example": _example(), "blank": BLANK, "text": text.replace("\r\n", "\n")}
    if start not in texts:
        raise InputError(f"'{start}' is no beginning", where="start", right=", ".join(texts))
    with visit.store.write() as session:
        course = create_course(session, texts[start], now=visit.now)
    return visit.go(f"/courses/{course.id}")


@router.get("/courses/{course_id}")
def course(visit: OnVisit, course_id: int) -> Response:
    """Show a course, built up.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    return _shown(visit, course_id)


@router.post("/courses/{course_id}/text")
def save_text(
    visit: OnVisit,
    course_id: int,
    version: Annotated[int, Form()],
    text: Annotated[str, Form()],
) -> Response:
    """Save the text of a course; with faults it is kept all the same, and shown with them.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version that the person has seen.
    text
        The new text.
    """
    plain = text.replace("\r\n", "\n")
    with visit.store.write() as session:
        save_course(session, course_id, version, plain, now=visit.now)
    try:
        read_course_text(plain)
    except PlanFileError:
        return _shown(visit, course_id, status=422)
    return visit.go(f"/courses/{course_id}")


@router.post("/courses/{course_id}/move")
def move(
    visit: OnVisit,
    course_id: int,
    version: Annotated[int, Form()],
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
    return _changed(visit, course_id, version, lambda text, _: moved(text, dive, on, at))


@router.post("/courses/{course_id}/mend")
def mend(
    visit: OnVisit,
    course_id: int,
    version: Annotated[int, Form()],
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

    def mended(text: str, built: BuildUp) -> str:
        found = built.findings[finding - 1 : finding] if finding > 0 else ()
        for one in found:
            for cure in one.mends:
                if cure.words == words:
                    return rescheduled(text, cure.moves)
        raise InputError("this cure is not there any more", right="one of those on the page")

    return _changed(visit, course_id, version, mended)


@router.post("/courses/{course_id}/propose")
def proposed(visit: OnVisit, course_id: int, version: Annotated[int, Form()]) -> Response:
    """Write a better order, days and hours into the text, if there is one.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version that the person has seen.
    """

    def better(text: str, built: BuildUp) -> str:
        found = propose(built.course, Solver(visit.house_rules()))
        return rescheduled(text, found.moves) if found.moves else text

    return _changed(visit, course_id, version, better)


@router.post("/courses/{course_id}/back")
def back(visit: OnVisit, course_id: int, version: Annotated[int, Form()]) -> Response:
    """Go back to the text before.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    version
        The version that the person has seen.
    """
    with visit.store.write() as session:
        texts = course_texts(session, course_id)
        if len(texts) < 2:
            raise InputError("there is no text before this one", right="a change first")
        save_course(session, course_id, version, texts[1][1], now=visit.now)
    return visit.go(f"/courses/{course_id}")


@router.get("/courses/{course_id}/file")
def text_file(visit: OnVisit, course_id: int) -> Response:
    """Download the text of a course.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    with visit.store.read() as session:
        text = get_course(session, course_id).text
    return _download(text.encode(), "application/toml", "course.toml")


@router.get("/courses/{course_id}/calendar")
def calendar_file(visit: OnVisit, course_id: int) -> Response:
    """Download the dates of a course for a calendar.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    from slatewright.paper.calendar import calendar_ics  # noqa: PLC0415 - takes its time to import
    from slatewright.paper.course_dates import calendar_of  # noqa: PLC0415 - as above

    kept, file, built = _need_built(visit, course_id)
    dates = calendar_of(built, file, f"course {course_id}", kept.version)
    return _download(calendar_ics(dates, visit.now), "text/calendar", "course.ics")


@router.get("/courses/{course_id}/tables")
def table_file(visit: OnVisit, course_id: int) -> Response:
    """Download dives and gas of a course for a spreadsheet.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    from slatewright.paper.course_dates import gas_totals, rows_of  # noqa: PLC0415 - as above
    from slatewright.paper.tables import tables_xlsx  # noqa: PLC0415 - as above
    from slatewright.paper.tables_course import (  # noqa: PLC0415 - as above
        buildup_sheet,
        gas_totals_sheet,
    )

    _, file, built = _need_built(visit, course_id)
    sheets = [buildup_sheet(rows_of(built), units=file.units)]
    sheets.append(gas_totals_sheet(gas_totals(built), units=file.units))
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    return _download(tables_xlsx(sheets), kind, "course.xlsx")


def _download(content: bytes, media_type: str, name: str) -> Response:
    return Response(
        content,
        media_type=media_type,
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def _changed(
    visit: Visit, course_id: int, version: int, change: Callable[[str, BuildUp], str]
) -> Response:
    """Change the text that the person has seen, and go back to the course, or say why not."""
    try:
        kept, _, built = _need_built(visit, course_id)
        text = change(kept.text, built)
        with visit.store.write() as session:
            save_course(session, course_id, version, text, now=visit.now)
    except StaleRecord:
        raise
    except SlatewrightError as error:
        problem = problem_of(error)
        return _shown(visit, course_id, faults=problem.faults, status=problem.status)
    return visit.go(f"/courses/{course_id}")


def _built(session: Session, text: str, rules: HouseRules) -> tuple[CourseFile, BuildUp]:
    """Return a course built up; the same text with the same plans is computed once."""
    file = read_course_text(text)
    resolve = plans_of(session)
    words = [*(dive.plan for dive in file.dive), *(dive.plan for dive in file.elsewhere)]
    key = (text, rules, tuple((word, resolve(word)) for word in words))
    if key in _BUILT:
        _BUILT.move_to_end(key)
        return file, _BUILT[key]
    built = build_up(course_of(file, resolve, text=text), rules, gas=GasWanted())
    _BUILT[key] = built
    while len(_BUILT) > _KEPT:
        _BUILT.popitem(last=False)
    return file, built


def _need_built(visit: Visit, course_id: int) -> tuple[KeptCourse, CourseFile, BuildUp]:
    rules = visit.house_rules()
    with visit.store.read() as session:
        kept = get_course(session, course_id)
        return (kept, *_built(session, kept.text, rules))


def _shown(
    visit: Visit, course_id: int, *, faults: tuple[Fault, ...] = (), status: int = 200
) -> Response:
    rules = visit.house_rules()
    with visit.store.read() as session:
        kept = get_course(session, course_id)
        roster = {person.name: person.id for person in list_people(session)}
        texts = course_texts(session, course_id)
        file, answer, wrong = None, None, faults
        try:
            file, built = _built(session, kept.text, rules)
            answer = answer_of(built)
        except SlatewrightError as error:
            wrong = (*problem_of(error).faults, *faults)
    students, instructors = people_of(file, roster)
    earlier = texts[1][0] if len(texts) > 1 else 0
    context = CourseView(kept, answer, students, instructors, wrong, back=earlier)
    return visit.show(PAGE, context, status=status)


@cache
def _example() -> str:
    here = files("slatewright.data") / "examples" / "stair-week" / "course.toml"
    return here.read_text("utf-8")
