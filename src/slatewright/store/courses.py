"""Courses: kept as the text of their files, each save beside the ones before; and their notes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from sqlalchemy import select
from sqlalchemy.orm import Session

from slatewright.store._plan_rows import headline
from slatewright.store.columns import checked_line, checked_text
from slatewright.store.faults import StaleRecord
from slatewright.store.records import record_of, row_of
from slatewright.store.schema import PersonRow
from slatewright.store.schema_course import CourseNoteRow, CourseRow, CourseTextRow
from slatewright.store.vouching import Who

UNTITLED = "Untitled"


class CourseStatus(StrEnum):
    """How far a course is."""

    PLANNED = "planned"
    RUNNING = "running"
    DONE = "done"


class NoteKind(StrEnum):
    """What a note about a dive of a course says."""

    BRIEFED = "briefed"
    ACHIEVED = "achieved"
    LOST_DAY = "lost day"


@dataclass(frozen=True, slots=True)
class KeptCourse:
    """A course in the records.

    Parameters
    ----------
    id
        Its number.
    title
        Its title, read out of the text.
    text
        Its text; it may have faults.
    status
        How far it is.
    version
        How often it has been saved, counted from 1.
    created_at, changed_at
        When it was first and last saved.
    """

    id: int
    title: str
    text: str
    status: CourseStatus
    version: int
    created_at: datetime
    changed_at: datetime


@dataclass(frozen=True, slots=True)
class CourseNote:
    """A note about a dive of a course.

    Parameters
    ----------
    id
        Its number.
    course_id
        The course.
    dive
        The id of the dive.
    kind
        What it says.
    text
        In words; may be empty for a briefing.
    by_name, by_person_id
        Who says so.
    made_at
        When.
    """

    id: int
    course_id: int
    dive: str
    kind: NoteKind
    text: str
    by_name: str
    by_person_id: int | None
    made_at: datetime


def create_course(session: Session, text: str, *, now: datetime) -> KeptCourse:
    """Keep a new course.

    Parameters
    ----------
    session
        A session that writes.
    text
        The text of its file; it may still have faults.
    now
        The moment.

    Raises
    ------
    InputError
        If the text cannot be kept.
    """
    checked_text(text, "course")
    row = CourseRow(
        title=headline(text)[0] or UNTITLED,
        text=text,
        status=CourseStatus.PLANNED,
        created_at=now,
        changed_at=now,
    )
    session.add(row)
    session.flush()
    session.add(CourseTextRow(course_id=row.id, version=row.version, text=text, saved_at=now))
    session.flush()
    return _kept(row)


def get_course(session: Session, course_id: int) -> KeptCourse:
    """Return a course.

    Parameters
    ----------
    session
        A session.
    course_id
        Its number.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    return _kept(row_of(session, CourseRow, course_id, "course"))


def list_courses(session: Session) -> tuple[KeptCourse, ...]:
    """Return all courses, the last changed first.

    Parameters
    ----------
    session
        A session.
    """
    rows = session.scalars(select(CourseRow).order_by(CourseRow.changed_at.desc(), CourseRow.id))
    return tuple(_kept(row) for row in rows)


def save_course(
    session: Session,
    course_id: int,
    version: int,
    text: str,
    *,
    now: datetime,
    status: CourseStatus | None = None,
) -> KeptCourse:
    """Save a course.

    Parameters
    ----------
    session
        A session that writes.
    course_id
        Its number.
    version
        The version from which the text was made.
    text
        The new text.
    now
        The moment.
    status
        How far it is; None to leave that as it is.

    Raises
    ------
    StaleRecord
        If another window has saved it since; carries that record.
    InputError
        If the text cannot be kept, or there is no such course.
    """
    checked_text(text, "course")
    row = row_of(session, CourseRow, course_id, "course")
    if row.version != version:
        raise StaleRecord(
            "course", given=version, version=row.version, text=row.text, theirs=_kept(row)
        )
    changed = row.text != text
    if changed or (status is not None and row.status != status):
        row.text, row.changed_at = text, now
        row.title = headline(text)[0] or row.title
        row.status = status or row.status
    session.flush()
    if changed:
        session.add(CourseTextRow(course_id=row.id, version=row.version, text=text, saved_at=now))
        session.flush()
    return _kept(row)


def course_texts(session: Session, course_id: int) -> tuple[tuple[int, str], ...]:
    """Return the texts that a course has had, with their versions, the last first.

    Parameters
    ----------
    session
        A session.
    course_id
        Its number.
    """
    rows = session.scalars(
        select(CourseTextRow)
        .where(CourseTextRow.course_id == course_id)
        .order_by(CourseTextRow.version.desc())
    )
    return tuple((row.version, row.text) for row in rows)


def add_course_note(
    session: Session,
    course_id: int,
    dive: str,
    kind: NoteKind,
    text: str,
    who: Who,
    *,
    now: datetime,
) -> CourseNote:
    """Record that a dive was briefed, what was achieved on it, or that a day was lost.

    Parameters
    ----------
    session
        A session that writes.
    course_id
        The course.
    dive
        The id of the dive.
    kind
        What the note says.
    text
        In words.
    who
        Who says so.
    now
        The moment.

    Raises
    ------
    InputError
        If something of it cannot be kept, or course or person are not there.
    """
    row_of(session, CourseRow, course_id, "course")
    if who.person_id is not None:
        row_of(session, PersonRow, who.person_id, "person")
    row = CourseNoteRow(
        course_id=course_id,
        dive=checked_line(dive, "dive"),
        kind=kind,
        text=checked_text(text.strip(), "text"),
        by_name=checked_line(who.name, "by"),
        by_person_id=who.person_id,
        made_at=now,
    )
    session.add(row)
    session.flush()
    return record_of(CourseNote, row, kind=kind)


def list_course_notes(session: Session, course_id: int) -> tuple[CourseNote, ...]:
    """Return the notes of a course, the first first.

    Parameters
    ----------
    session
        A session.
    course_id
        The course.
    """
    rows = session.scalars(
        select(CourseNoteRow).where(CourseNoteRow.course_id == course_id).order_by(CourseNoteRow.id)
    )
    return tuple(record_of(CourseNote, row, kind=NoteKind(row.kind)) for row in rows)


def _kept(row: CourseRow) -> KeptCourse:
    return record_of(KeptCourse, row, status=CourseStatus(row.status))
