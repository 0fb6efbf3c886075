"""The sign-off book of a course: entries are appended, never changed; texts can be forgotten."""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from slatewright.course.signoff import SALT_BYTES, Entry, Outcome, Sealed, Signing, signed
from slatewright.errors import InputError
from slatewright.store.columns import checked_line, checked_text
from slatewright.store.records import row_of
from slatewright.store.schema import PersonRow
from slatewright.store.schema_course import CourseRow, SealedRow, SignOffRow
from slatewright.store.vouching import Who


@dataclass(frozen=True, slots=True)
class Book:
    """The sign-off book of a course.

    Parameters
    ----------
    course
        The name by which its entries know the course.
    entries
        Its entries, in order.
    texts
        Names and remarks by their digests; what was forgotten is not there.
    people
        Digest of a name to the number of that person in the roster, where there is one.
    """

    course: str
    entries: tuple[Entry, ...]
    texts: Mapping[str, Sealed]
    people: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Shown:
    """What is to be signed off.

    Parameters
    ----------
    diver
        Whose skill.
    skill, dive
        Their ids.
    outcome
        What became of it.
    remark
        A remark; empty for none.
    corrects
        The number of the entry that it replaces; None if none.
    """

    diver: Who
    skill: str
    dive: str
    outcome: Outcome
    remark: str = ""
    corrects: int | None = None


def book_of(session: Session, course_id: int) -> Book:
    """Return the sign-off book of a course.

    Parameters
    ----------
    session
        A session.
    course_id
        The course.

    Raises
    ------
    NoSuchRecord
        If there is no such course.
    """
    row_of(session, CourseRow, course_id, "course")
    rows = session.scalars(
        select(SignOffRow).where(SignOffRow.course_id == course_id).order_by(SignOffRow.number)
    )
    sealed = session.scalars(select(SealedRow).where(SealedRow.course_id == course_id)).all()
    return Book(
        course=name_of(course_id),
        entries=tuple(Entry.of(json.loads(row.text)) for row in rows),
        texts={row.digest: Sealed(row.text, bytes.fromhex(row.salt)) for row in sealed},
        people={
            row.digest: row.about_person_id for row in sealed if row.about_person_id is not None
        },
    )


def name_of(course_id: int) -> str:
    """Return the name by which the entries of a book know their course.

    Parameters
    ----------
    course_id
        Its number.
    """
    return f"course {course_id}"


def sign_off(session: Session, course_id: int, shown: Shown, by: Who, *, now: datetime) -> Entry:
    """Append an entry.

    Parameters
    ----------
    session
        A session that writes.
    course_id
        The course.
    shown
        What is signed off.
    by
        Who signs.
    now
        The moment, with its time zone.

    Raises
    ------
    InputError
        If a person is not there, a text cannot be kept, or the entry to be corrected is not there.
    """
    book = book_of(session, course_id)
    diver, signer = (
        _name(session, course_id, who, where) for who, where in ((shown.diver, "diver"), (by, "by"))
    )
    remark = None
    if shown.remark.strip():
        remark = Sealed(
            checked_text(shown.remark.strip(), "remark"), secrets.token_bytes(SALT_BYTES)
        )
        _keep(session, course_id, remark, shown.diver.person_id, by.person_id)
    entry = signed(
        book.entries,
        book.course,
        Signing(
            diver=diver,
            skill=shown.skill,
            dive=shown.dive,
            outcome=shown.outcome,
            by=signer,
            at=now,
            remark=remark,
            corrects=shown.corrects,
        ),
    )
    text = json.dumps(entry.data(), ensure_ascii=False, sort_keys=True)
    session.add(SignOffRow(course_id=course_id, number=entry.number, text=text))
    session.flush()
    return entry


def _name(session: Session, course_id: int, who: Who, where: str) -> Sealed:
    """Return the sealed name of a person: one salt for a person throughout a course."""
    name = checked_line(who.name, where)
    if who.person_id is not None:
        person = row_of(session, PersonRow, who.person_id, "person")
        if person.name != name:
            raise InputError(
                f"'{name}' is not the name of person {who.person_id} in the roster",
                where=where,
                right=person.name,
            )
    same = (SealedRow.course_id == course_id) & (SealedRow.text == name)
    same &= SealedRow.by_person_id.is_(None)
    same &= SealedRow.about_person_id == who.person_id if who.person_id is not None else (
        SealedRow.about_person_id.is_(None)
    )  # fmt: skip
    row = session.scalars(select(SealedRow).where(same)).first()
    if row is not None:
        return Sealed(row.text, bytes.fromhex(row.salt))
    sealed = Sealed(name, secrets.token_bytes(SALT_BYTES))
    _keep(session, course_id, sealed, who.person_id, None)
    return sealed


def _keep(
    session: Session, course_id: int, sealed: Sealed, about: int | None, by: int | None
) -> None:
    session.add(
        SealedRow(
            course_id=course_id,
            digest=sealed.digest,
            text=sealed.text,
            salt=sealed.salt.hex(),
            about_person_id=about,
            by_person_id=by,
        )
    )
    session.flush()
