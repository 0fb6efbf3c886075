"""Logged dives: the logbooks that were read, their rows that were set aside, dives by hand."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, func, insert, select
from sqlalchemy.orm import Session

from slatewright.course.candidates import Candidate
from slatewright.logs.logged import LoggedDive
from slatewright.store._logged_text import dive_of, text_of
from slatewright.store.certificates import list_certificates
from slatewright.store.columns import checked_line, checked_text
from slatewright.store.people import get_person
from slatewright.store.records import row_of
from slatewright.store.schema import PersonRow
from slatewright.store.schema_course import LogbookRow, LoggedDiveRow, SetAsideRow

_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Logbook:
    """A logbook that was read.

    Parameters
    ----------
    id
        Its number.
    person_id
        Whose it is.
    name
        The name of the file.
    file_sha256
        The hash of the file: the same file is not read twice.
    read_at
        When.
    dives, set_aside
        How many dives came from it, and how many of its rows wait for a decision.
    """

    id: int
    person_id: int
    name: str
    file_sha256: str
    read_at: datetime
    dives: int
    set_aside: int


@dataclass(frozen=True, slots=True)
class KeptDive:
    """A logged dive in the records.

    Parameters
    ----------
    id
        Its number here.
    logbook_id
        The logbook that it came from; None if it was written by hand.
    dive
        The dive.
    """

    id: int
    logbook_id: int | None
    dive: LoggedDive


@dataclass(frozen=True, slots=True)
class KeptRow:
    """A row that was set aside.

    Parameters
    ----------
    id
        Its number here.
    logbook_id
        The logbook.
    line
        Its line in the file.
    text
        The row as it stands there.
    reasons
        Why it could not be read.
    """

    id: int
    logbook_id: int
    line: int
    text: str
    reasons: tuple[str, ...]


def keep_logbook(
    session: Session,
    person_id: int,
    name: str,
    file_sha256: str,
    dives: Sequence[LoggedDive],
    set_aside: Iterable[tuple[int, str, Sequence[str]]],
    *,
    now: datetime,
) -> Logbook:
    """Keep what was read from a logbook.

    Parameters
    ----------
    session
        A session that writes.
    person_id
        Whose it is.
    name
        The name of the file.
    file_sha256
        Its hash.
    dives
        The dives to be kept.
    set_aside
        Line, text and reasons of each row that could not be read.
    now
        The moment.

    Raises
    ------
    InputError
        If something cannot be kept, or there is no such person.
    """
    row_of(session, PersonRow, person_id, "person")
    row = LogbookRow(
        person_id=person_id, name=checked_line(name, "name"), file_sha256=file_sha256, read_at=now
    )
    session.add(row)
    session.flush()
    _insert(session, person_id, row.id, dives)
    aside = [
        {
            "logbook_id": row.id,
            "line": line,
            "text": checked_text(text, f"line {line}"),
            "reasons": json.dumps(list(reasons), ensure_ascii=False),
        }
        for line, text, reasons in set_aside
    ]
    if aside:
        session.execute(insert(SetAsideRow), aside)
    return get_logbook(session, row.id)


def add_logged_dive(session: Session, person_id: int, dive: LoggedDive) -> KeptDive:
    """Add a dive by hand.

    Parameters
    ----------
    session
        A session that writes.
    person_id
        Who dived it.
    dive
        The dive.

    Raises
    ------
    NoSuchRecord
        If there is no such person.
    """
    row_of(session, PersonRow, person_id, "person")
    row = LoggedDiveRow(
        person_id=person_id,
        logbook_id=None,
        on_date=dive.on_date,
        text=checked_text(text_of(dive), "dive"),
    )
    session.add(row)
    session.flush()
    return KeptDive(row.id, None, dive)


def settle_row(session: Session, row_id: int, dive: LoggedDive | None) -> None:
    """Decide about a row that was set aside.

    Parameters
    ----------
    session
        A session that writes.
    row_id
        Its number here.
    dive
        What it means; None if it is no dive, and is to be dropped.

    Raises
    ------
    NoSuchRecord
        If it is not there any more.
    """
    row = row_of(session, SetAsideRow, row_id, "row")
    if dive is not None:
        book = row_of(session, LogbookRow, row.logbook_id, "logbook")
        _insert(session, book.person_id, book.id, [dive])
    session.execute(delete(SetAsideRow).where(SetAsideRow.id == row_id))
    session.expire_all()


def replace_logged_dive(session: Session, dive_id: int, dive: LoggedDive) -> KeptDive:
    """Put another entry in the place of one, such as the fuller of two of the same dive.

    Parameters
    ----------
    session
        A session that writes.
    dive_id
        Its number here.
    dive
        The dive.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    row = row_of(session, LoggedDiveRow, dive_id, "logged dive")
    row.on_date, row.text = dive.on_date, checked_text(text_of(dive), "dive")
    session.flush()
    return KeptDive(row.id, row.logbook_id, dive)


def remove_logged_dive(session: Session, dive_id: int) -> None:
    """Remove a logged dive.

    Parameters
    ----------
    session
        A session that writes.
    dive_id
        Its number here.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    row_of(session, LoggedDiveRow, dive_id, "logged dive")
    session.execute(delete(LoggedDiveRow).where(LoggedDiveRow.id == dive_id))
    session.expire_all()


def remove_logbook(session: Session, logbook_id: int) -> None:
    """Remove a logbook with all that came from it.

    Parameters
    ----------
    session
        A session that writes.
    logbook_id
        Its number.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    row_of(session, LogbookRow, logbook_id, "logbook")
    session.execute(delete(LogbookRow).where(LogbookRow.id == logbook_id))
    session.expire_all()


def get_logbook(session: Session, logbook_id: int) -> Logbook:
    """Return a logbook.

    Parameters
    ----------
    session
        A session.
    logbook_id
        Its number.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    row = row_of(session, LogbookRow, logbook_id, "logbook")
    counts = [
        session.scalar(select(func.count()).where(table.logbook_id == logbook_id)) or 0
        for table in (LoggedDiveRow, SetAsideRow)
    ]
    return Logbook(row.id, row.person_id, row.name, row.file_sha256, row.read_at, *counts)


def list_logbooks(session: Session, person_id: int) -> tuple[Logbook, ...]:
    """Return the logbooks of a person, the first read first.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose.
    """
    ids = session.scalars(
        select(LogbookRow.id).where(LogbookRow.person_id == person_id).order_by(LogbookRow.id)
    ).all()
    return tuple(get_logbook(session, logbook_id) for logbook_id in ids)


def list_set_aside(session: Session, person_id: int) -> tuple[KeptRow, ...]:
    """Return the rows of a person's logbooks that wait for a decision.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose.
    """
    rows = session.scalars(
        select(SetAsideRow)
        .join(LogbookRow, LogbookRow.id == SetAsideRow.logbook_id)
        .where(LogbookRow.person_id == person_id)
        .order_by(SetAsideRow.logbook_id, SetAsideRow.line, SetAsideRow.id)
    )
    return tuple(
        KeptRow(row.id, row.logbook_id, row.line, row.text, tuple(json.loads(row.reasons)))
        for row in rows
    )


def list_logged_dives(session: Session, person_id: int) -> tuple[KeptDive, ...]:
    """Return the logged dives of a person, the last first.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose.
    """
    rows = session.execute(
        select(LoggedDiveRow.id, LoggedDiveRow.logbook_id, LoggedDiveRow.text)
        .where(LoggedDiveRow.person_id == person_id)
        .order_by(LoggedDiveRow.on_date.desc(), LoggedDiveRow.id.desc())
    )
    return tuple(KeptDive(number, book, dive_of(text)) for number, book, text in rows)


def candidate_of(session: Session, person_id: int) -> Candidate:
    """Return a person as a candidate: birthday, cards, clearance, all logged dives.

    Parameters
    ----------
    session
        A session.
    person_id
        Who.

    Raises
    ------
    NoSuchRecord
        If there is none.
    """
    person = get_person(session, person_id)
    return Candidate(
        name=person.name,
        born_on=person.born_on,
        certificates=tuple(kept.certificate for kept in list_certificates(session, person_id)),
        medical_until=person.medical_until,
        dives=tuple(kept.dive for kept in list_logged_dives(session, person_id)),
    )


def _insert(session: Session, person_id: int, logbook_id: int, dives: Sequence[LoggedDive]) -> None:
    rows = [
        {
            "person_id": person_id,
            "logbook_id": logbook_id,
            "on_date": dive.on_date,
            "text": checked_text(text_of(dive), "dive"),
        }
        for dive in dives
    ]
    for start in range(0, len(rows), _AT_ONCE):
        session.execute(insert(LoggedDiveRow), rows[start : start + _AT_ONCE])
