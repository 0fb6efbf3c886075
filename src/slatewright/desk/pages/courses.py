"""Courses: the list, and one of them built up; its text, kept with all its faults; its files."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Annotated, Final, Literal

from fastapi import APIRouter, File, Form, UploadFile
from starlette.responses import Response

from slatewright.course.coursefile import read_course_text
from slatewright.desk.course.course_showing import PAGE, path_of, show_course
from slatewright.desk.course.course_work import Work, gas_at, skills_at, work_of
from slatewright.desk.frame import Page
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError, PlanFileError
from slatewright.store.courses import (
    KeptCourse,
    course_texts,
    create_course,
    get_course,
    list_courses,
    save_course,
)
from slatewright.store.faults import StaleRecord

router = APIRouter()
ANSWER_PART: Final = "_course_result.html"
BLANK: Final = """schema = "slatewright/course/1"
title = "A new course"
units = "metric"

[[instructor]]
name = "Your name"

[[student]]
name = "A student"

# A [[dive]] for each dive: its plan by number in this workspace, such as "#12", day and hour.
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
    return _begun(visit, texts[start])


@router.post("/courses/files")
def begin_with_file(visit: OnVisit, file: Annotated[UploadFile, File()]) -> Response:
    """Begin a course with a file.

    Parameters
    ----------
    visit
        The request.
    file
        A course file.
    """
    try:
        text = file.file.read().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("is not UTF-8", where="file", right="a TOML file saved as UTF-8") from None
    return _begun(visit, text.replace("\r\n", "\n"))


def _begun(visit: Visit, text: str) -> Response:
    with visit.store.write() as session:
        course = create_course(session, text, now=visit.now)
    return visit.go(path_of(course.id))


@router.get("/courses/{course_id}")
def course(visit: OnVisit, course_id: int) -> Response:
    """Show a course, built up; one that takes its time comes with a page that asks for it.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    return show_course(visit, course_id, may_wait=True)


@router.get("/courses/{course_id}/answer")
def answer(visit: OnVisit, course_id: int) -> Response:
    """Show a course, built up, however long it takes.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    return show_course(visit, course_id, fragment=ANSWER_PART)


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
    try:
        with visit.store.write() as session:
            save_course(session, course_id, version, plain, now=visit.now)
    except StaleRecord:
        return show_course(visit, course_id, mine=plain, status=409)
    try:
        read_course_text(plain)
    except PlanFileError:
        return show_course(visit, course_id, status=422)
    return visit.go(path_of(course_id))


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
    return visit.go(path_of(course_id))


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

    kept, work = _work(visit, course_id)
    dates = calendar_of(work.built, work.file, f"course {course_id}", kept.version)
    return _download(calendar_ics(dates, visit.now), "text/calendar", "course.ics")


@router.get("/courses/{course_id}/tables")
def table_file(visit: OnVisit, course_id: int) -> Response:
    """Download dives, skills and gas of a course for a spreadsheet, a sheet each.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    from slatewright.desk.course.course_sheets import sheets_of  # noqa: PLC0415 - as above
    from slatewright.paper.tables import tables_xlsx  # noqa: PLC0415 - as above

    kept, work = _work(visit, course_id)
    with visit.store.read() as session:
        skills = skills_at(session, kept, work)
    sheets = tuple(sheets_of(work, skills, gas_at(work, None)).values())
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    return _download(tables_xlsx(sheets), kind, "course.xlsx")


@router.get("/courses/{course_id}/tables/{name}")
def csv_file(
    visit: OnVisit, course_id: int, name: Literal["dives.csv", "skills.csv", "gas.csv"]
) -> Response:
    """Download one table of a course as CSV.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    name
        Which table.
    """
    from slatewright.desk.course.course_sheets import sheets_of  # noqa: PLC0415 - as above
    from slatewright.paper.tables import table_csv  # noqa: PLC0415 - as above

    kept, work = _work(visit, course_id)
    with visit.store.read() as session:
        skills = skills_at(session, kept, work)
    sheet = sheets_of(work, skills, gas_at(work, None))[name.removesuffix(".csv")]
    return _download(table_csv(sheet), "text/csv; charset=utf-8", f"course-{name}")


def _work(visit: Visit, course_id: int) -> tuple[KeptCourse, Work]:
    rules = visit.house_rules()
    with visit.store.read() as session:
        kept = get_course(session, course_id)
        return kept, work_of(session, kept.text, rules)


def _download(content: bytes, media_type: str, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=media_type, headers=headers)


@cache
def _example() -> str:
    here = files("slatewright.data") / "examples" / "stair-week" / "course.toml"
    return here.read_text("utf-8")
