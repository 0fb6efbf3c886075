"""Logbooks into the workspace: new dives added, twins joined where a person has said so."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from slatewright.course.candidatefile import CandidateFile
from slatewright.desk.roster.remembering import remember
from slatewright.errors import InputError
from slatewright.logs.duplicates import Sameness
from slatewright.logs.logged import LoggedDive
from slatewright.logs.meeting import Twin, merged, twins
from slatewright.logs.reading import Reading
from slatewright.store.certificates import add_certificate, list_certificates
from slatewright.store.logbooks import (
    KeptDive,
    Logbook,
    keep_logbook,
    list_logbooks,
    list_logged_dives,
    replace_logged_dive,
)
from slatewright.store.people import Particulars, Person, add_person, list_people, save_person
from slatewright.store.session import Session
from slatewright.store.vouching import Who
from slatewright.store.waivers import add_waiver, list_waivers


@dataclass(frozen=True, slots=True)
class Incoming:
    """A logbook that was read and is to be kept.

    Parameters
    ----------
    name
        The name of the file.
    sha256
        Its hash.
    reading
        What was read.
    """

    name: str
    sha256: str
    reading: Reading


@dataclass(frozen=True, slots=True)
class KeptBook:
    """What came of keeping a logbook.

    Parameters
    ----------
    logbook
        Its record.
    added
        How many dives were added.
    joined
        How many of its dives were one with another entry.
    """

    logbook: Logbook
    added: int
    joined: int


def same_file(session: Session, person_id: int, sha256: str) -> Logbook | None:
    """Return the logbook that was read from the very same file; None if there is none.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose.
    sha256
        The hash of the file.
    """
    books = list_logbooks(session, person_id)
    return next((book for book in books if book.file_sha256 == sha256), None)


def keep_book(
    session: Session,
    person_id: int,
    book: Incoming,
    kept: Sequence[KeptDive],
    found: Sequence[Twin],
    join: Collection[int],
    *,
    now: datetime,
) -> KeptBook:
    """Keep a logbook, its twins joined or both kept as was decided.

    Parameters
    ----------
    session
        A session that writes.
    person_id
        Whose it is.
    book
        The logbook.
    kept
        The dives in the records.
    found
        The twins among both.
    join
        The positions in it of those that are one dive.
    now
        The moment.

    Raises
    ------
    InputError
        If something cannot be kept, or there is no such person.
    """
    reading = book.reading
    outcome = merged(reading.dives, [one.dive for one in kept], found, join)
    for position, dive in outcome.replaced.items():
        replace_logged_dive(session, kept[position].id, dive)
    aside = [(row.line, row.text, [str(why) for why in row.reasons]) for row in reading.set_aside]
    logbook = keep_logbook(
        session, person_id, book.name, book.sha256, outcome.added, aside, now=now
    )
    if reading.mapping is not None:
        remember(session, reading.mapping, logbook.id, now=now)
    return KeptBook(logbook, len(outcome.added), len(reading.dives) - len(outcome.added))


def keep_candidate(
    session: Session,
    file: CandidateFile,
    books: Sequence[Incoming],
    *,
    both: bool,
    now: datetime,
) -> tuple[Person, tuple[KeptBook, ...]]:
    """Keep a candidate file with its logbooks, as a new person or for one of that name.

    Parameters
    ----------
    session
        A session that writes.
    file
        The file.
    books
        The logbooks that it names; one that is kept already is left out.
    both
        True to keep both entries where it is only likely that they tell of one dive.
    now
        The moment.

    Raises
    ------
    InputError
        If it is not clear which person is meant, or something cannot be kept.
    """
    person = _person(session, file, now=now)
    held = {kept.certificate for kept in list_certificates(session, person.id)}
    for table in file.certificate:
        if (card := table.certificate()) not in held:
            add_certificate(session, person.id, card, now=now)
    known = {one.waiver for one in list_waivers(session, person.id)}
    for waiver in file.waivers():
        if waiver not in known:
            add_waiver(session, person.id, waiver, Who(waiver.by), now=now)
    done = []
    for book in books:
        if same_file(session, person.id, book.sha256) is not None:
            continue
        kept = list_logged_dives(session, person.id)
        found = twins(book.reading.dives, [one.dive for one in kept])
        join = {i for i, one in enumerate(found) if one.sameness is Sameness.EXACT or not both}
        done.append(keep_book(session, person.id, book, kept, found, join, now=now))
    return person, tuple(done)


def _person(session: Session, file: CandidateFile, *, now: datetime) -> Person:
    named = [one for one in list_people(session) if one.name.casefold() == file.name.casefold()]
    given = Particulars(
        name=file.name,
        contact=file.contact or "",
        emergency_contact=file.emergency_contact or "",
        medical_on=file.medical_on,
        medical_until=file.medical_until,
        born_on=file.born_on,
    )
    if not named:
        return add_person(session, given, now=now)
    person = named[0]
    other_day = person.born_on and file.born_on and person.born_on != file.born_on
    if len(named) > 1 or other_day:
        raise InputError(
            f"{file.name} is in the workspace already, and it is not clear whether it is the same",
            where="name",
            right="the name and the birthday of one person",
        )
    clearance = person if given.medical_until is None else given
    newest = Particulars(
        name=person.name,
        contact=given.contact or person.contact,
        emergency_contact=given.emergency_contact or person.emergency_contact,
        medical_on=clearance.medical_on,
        medical_until=clearance.medical_until,
        born_on=given.born_on or person.born_on,
    )
    return save_person(session, person.id, person.version, newest, now=now)


def twin_of(kept: Sequence[LoggedDive], dive: LoggedDive) -> Twin | None:
    """Return the kept dive that one more entry tells of too; None if there is none.

    Parameters
    ----------
    kept
        What is kept.
    dive
        The entry.
    """
    return next(iter(twins([dive], kept)), None)
