"""The sign-off book of a course: who has shown what, on which dive, by whom; never changed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Final

from fastapi import APIRouter, Form, Query
from starlette.responses import Response

from slatewright.course.coursefile import CourseFile
from slatewright.course.signoff import Outcome
from slatewright.course.signoff_head import LONGEST, read_head
from slatewright.desk.course.book_view import BookView, KeptHead, book_view, course_file
from slatewright.desk.course.papers import Asked, achieved_text, agreement_of, record_of
from slatewright.desk.frame import Page
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.logs.logged import DepthUnit, LoggedDepth
from slatewright.store.courses import (
    KeptCourse,
    NoteKind,
    add_course_note,
    get_course,
    list_course_notes,
)
from slatewright.store.people import list_people
from slatewright.store.session import Session
from slatewright.store.sign_offs import Shown, book_of, sign_off
from slatewright.store.vouching import Who

router = APIRouter()

PAGE: Final = Page("book", "Sign-off book", "book.html", BookView)
PAGES: Final = (PAGE,)


@router.get("/courses/{course_id}/book")
def book(
    visit: OnVisit, course_id: int, head: Annotated[str, Query(max_length=LONGEST)] = ""
) -> Response:
    """Show the sign-off book of a course; hold it against a head that was kept.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    head
        A head that was kept elsewhere, as it was typed or pasted; empty for none.
    """
    try:
        kept = read_head(head)
    except InputError as error:
        problem = problem_of(error)
        return _shown(visit, course_id, faults=problem.faults, status=problem.status, typed=head)
    return _shown(visit, course_id, kept=kept, typed=head)


@router.post("/courses/{course_id}/book")
def sign(  # noqa: PLR0913 - one argument a field of the form
    visit: OnVisit,
    course_id: int,
    diver: Annotated[str, Form()],
    skill: Annotated[str, Form()],
    dive: Annotated[str, Form()],
    outcome: Annotated[Outcome, Form()],
    by: Annotated[str, Form()],
    remark: Annotated[str, Form()] = "",
    corrects: Annotated[str, Form()] = "",
) -> Response:
    """Append an entry to the book.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    diver
        Whose skill.
    skill, dive
        Their ids.
    outcome
        What became of it.
    by
        Who signs.
    remark
        A remark; empty for none.
    corrects
        The number of the entry that it replaces; empty for none.
    """

    def append(session: Session) -> None:
        _need_on_course(session, course_id, diver, dive)
        shown = Shown(
            diver=_who(session, diver),
            skill=skill,
            dive=dive,
            outcome=outcome,
            remark=remark.replace("\r\n", "\n"),
            corrects=_number(corrects),
        )
        sign_off(session, course_id, shown, _who(session, by), now=visit.now)

    return _done(visit, course_id, append)


@router.post("/courses/{course_id}/achieved")
def achieved(  # noqa: PLR0913 - one argument a field of the form
    visit: OnVisit,
    course_id: int,
    dive: Annotated[str, Form()],
    diver: Annotated[str, Form()],
    depth: Annotated[float, Form()],
    unit: Annotated[DepthUnit, Form()],
    minutes: Annotated[float, Form()],
    by: Annotated[str, Form()],
    remark: Annotated[str, Form()] = "",
) -> Response:
    """Note what a diver did on a dive.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    dive
        The id of the dive.
    diver
        Who dived.
    depth
        The greatest depth, as the log has it [m or ft].
    unit
        Its unit.
    minutes
        From leaving the surface to reaching it again [min].
    by
        Who says so.
    remark
        What ended the dive, or what else is to be known.
    """

    def append(session: Session) -> None:
        _need_on_course(session, course_id, diver, dive)
        text = achieved_text(diver, LoggedDepth(depth, unit), minutes, remark)
        kind, who = NoteKind.ACHIEVED, _who(session, by)
        add_course_note(session, course_id, dive, kind, text, who, now=visit.now)

    return _done(visit, course_id, append)


@router.get("/courses/{course_id}/record")
def record(visit: OnVisit, course_id: int) -> Response:
    """Download the record of a course as PDF.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    """
    from slatewright.paper.course_record import (  # noqa: PLC0415 - printing takes its time
        course_record_pdf,
    )

    rules = visit.house_rules()
    with visit.store.read() as session:
        course = get_course(session, course_id)
        found = record_of(
            session,
            course,
            _file_of(course),
            book_of(session, course_id),
            list_course_notes(session, course_id),
            rules,
        )
    return _pdf(course_record_pdf(found), "course-record")


@router.get("/courses/{course_id}/agreement")
def agreement(  # noqa: PLR0913 - one argument a field of the form
    visit: OnVisit,
    course_id: int,
    diver: str,
    school: str,
    place: str = "",
    currency: str = "EUR",
    fee: str = "",
    lost_day: str = "",
    remedial_day: str = "",
) -> Response:
    """Download the agreement of a diver about a course as PDF.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    diver, school, place
        Who learns, who teaches as a party, and where.
    currency, fee, lost_day, remedial_day
        Prices; empty if they are agreed elsewhere.
    """
    from slatewright.paper.agreement import agreement_pdf  # noqa: PLC0415 - as above

    asked = Asked(diver, school, place, currency, fee, lost_day, remedial_day)
    with visit.store.read() as session:
        course = get_course(session, course_id)
    return _pdf(agreement_pdf(agreement_of(course, _file_of(course), asked)), "agreement")


def _file_of(course: KeptCourse) -> CourseFile:
    file = course_file(course.text)
    if file is None:
        raise InputError("the text of the course has faults", where="course", right="mend it first")
    return file


def _pdf(content: bytes, name: str) -> Response:
    return Response(
        content,
        media_type="application/pdf",
        headers={"Content-Disposition": f'attachment; filename="{name}.pdf"'},
    )


@router.post("/courses/{course_id}/notes")
def note(
    visit: OnVisit,
    course_id: int,
    dive: Annotated[str, Form()],
    kind: Annotated[NoteKind, Form()],
    by: Annotated[str, Form()],
    text: Annotated[str, Form()] = "",
) -> Response:
    """Note that a dive was briefed, or that its day was lost.

    Parameters
    ----------
    visit
        The request.
    course_id
        The course.
    dive
        The id of the dive.
    kind
        What the note says.
    by
        Who says so.
    text
        In words.
    """

    def append(session: Session) -> None:
        _need_on_course(session, course_id, None, dive)
        if kind is NoteKind.ACHIEVED:
            raise InputError("has a form of its own", where="kind", right="briefed, or lost day")
        if kind is NoteKind.LOST_DAY and not text.strip():
            raise InputError("is empty", where="text", right="why nobody dived")
        who = _who(session, by)
        add_course_note(session, course_id, dive, kind, text, who, now=visit.now)

    return _done(visit, course_id, append)


def _need_on_course(session: Session, course_id: int, diver: str | None, dive: str) -> None:
    file = _file_of(get_course(session, course_id))
    names = [one.name for one in file.student]
    if diver is not None and diver not in names:
        raise InputError(
            f"'{diver}' is no student of this course", where="diver", right=", ".join(names)
        )
    places = [str(place) for place in range(1, len(file.dive) + 1)]
    if dive not in places:
        raise InputError(f"there is no dive {dive}", where="dive", right=", ".join(places))


def _who(session: Session, name: str) -> Who:
    """Return a name as the person of the roster who bears it, if there is exactly one."""
    same = [person for person in list_people(session) if person.name == name.strip()]
    return Who(name, same[0].id if len(same) == 1 else None)


def _number(text: str) -> int | None:
    if not text.strip():
        return None
    if not (text.isascii() and text.strip().isdecimal()):
        raise InputError(f"'{text}' is no number of an entry", where="corrects", right="such as 3")
    return int(text)


def _done(visit: Visit, course_id: int, do: Callable[[Session], None]) -> Response:
    try:
        with visit.store.write() as session:
            do(session)
    except InputError as error:
        problem = problem_of(error)
        return _shown(visit, course_id, faults=problem.faults, status=problem.status)
    return visit.go(f"/courses/{course_id}/book")


def _shown(
    visit: Visit,
    course_id: int,
    *,
    faults: tuple[Fault, ...] = (),
    status: int = 200,
    kept: str | None = None,
    typed: str = "",
) -> Response:
    with visit.store.read() as session:
        view = book_view(
            get_course(session, course_id),
            book_of(session, course_id),
            list_course_notes(session, course_id),
            list_people(session),
            faults=faults,
            head=KeptHead(kept, typed),
        )
    return visit.show(PAGE, view, status=status)
