"""A person's data: all of it handed over, or all of it deleted, backups included."""

from __future__ import annotations

from contextlib import closing
from dataclasses import asdict, dataclass
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any, Final

from sqlalchemy import delete, inspect, select, update
from sqlalchemy.orm import Session

from slatewright.store.backups import faults_in
from slatewright.store.database import Store
from slatewright.store.engines import WRITING, in_plain_words, sqlite_engine
from slatewright.store.faults import StaleRecord, StoreDamaged
from slatewright.store.naming import NamedIn, named_in
from slatewright.store.people import Person, get_person
from slatewright.store.person_papers import about_the_course
from slatewright.store.records import record_of
from slatewright.store.schema import AnalysisRow, PersonRow, SignatureRow
from slatewright.store.schema_course import CourseNoteRow, DebriefRow, WaiverRow
from slatewright.store.vouching import Analysis
from slatewright.store.workspace import Workspace

_VOUCHING: Final = (AnalysisRow, SignatureRow, WaiverRow, CourseNoteRow, DebriefRow)
"""Where somebody stands as the one who says so."""
SOMEBODY: Final = "(a deleted person)"
"""What stands in a record in the place of the name: that it was analysed stays true."""


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What deleting a person has done, and what is left to a human.

    Parameters
    ----------
    records
        In how many analyses, signatures, waivers, notes and debriefs the name was replaced. Cards
        and logbooks are gone; a sign-off book keeps its entries, and nobody's name in them.
    backups
        From how many backups the person was deleted.
    named
        Which texts have the name in them: they are the author's own words, and stay.
    elsewhere
        Files that this program does not change: databases that were set aside on restoring, and
        backups that are not whole. Delete them yourself if you no longer need them.
    """

    records: int
    backups: int
    named: NamedIn
    elsewhere: tuple[Path, ...]


def export_person(session: Session, person_id: int) -> dict[str, Any]:
    """Return all that is kept about a person, ready for JSON.

    Parameters
    ----------
    session
        A session.
    person_id
        Their number.

    Raises
    ------
    NoSuchRecord
        If there is none.
    """
    person = get_person(session, person_id)
    named = named_in(session, person.name)
    analyses = session.scalars(
        select(AnalysisRow).where(AnalysisRow.by_person_id == person_id).order_by(AnalysisRow.id)
    )
    signatures = session.scalars(
        select(SignatureRow).where(SignatureRow.by_person_id == person_id).order_by(SignatureRow.id)
    )
    return {
        "schema": "slatewright/person/1",
        "person": _plain(asdict(person)),
        "analyses": [_plain(asdict(record_of(Analysis, row))) for row in analyses],
        "signatures": [
            {
                "plan_id": row.plan_id,
                "kind": row.kind,
                "text_sha256": row.text_sha256,
                "by_name": row.by_name,
                "signed_at": row.signed_at.isoformat(),
            }
            for row in signatures
        ],
        **about_the_course(session, person_id),
        **{f"named_in_{where}": list(found) for where, found in asdict(named).items()},
    }


def forget_person(store: Store, person_id: int, version: int) -> Forgotten:
    """Delete a person from the store, and from the backups of a workspace.

    Parameters
    ----------
    store
        The store; not inside a session of it.
    person_id
        Their number.
    version
        The version of the record that was looked at.

    Raises
    ------
    StaleRecord
        If another window has saved the record since.
    NoSuchRecord
        If there is no such person.
    StoreError
        If it cannot be written; then it can be done again.
    """
    with store.write() as session:
        person = get_person(session, person_id)
        if person.version != version:
            raise StaleRecord(
                "person", given=version, version=person.version, text="", theirs=person
            )
        named = named_in(session, person.name)
        records = sum(
            len(
                session.scalars(
                    update(table)
                    .where(table.by_person_id == person_id)
                    .values(by_name=SOMEBODY, by_person_id=None)
                    .returning(table.id)
                ).all()
            )
            for table in _VOUCHING
        )
        if isinstance(store, Workspace):  # before the commit: if it fails, all can be done again
            scrubbed, _ = _scrub_backups(store, person)
        else:
            scrubbed = 0
        session.execute(delete(PersonRow).where(PersonRow.id == person_id))
        session.expire_all()
    elsewhere: tuple[Path, ...] = ()
    if isinstance(store, Workspace):
        again, elsewhere = _scrub_backups(store, person)  # one may have been made meanwhile
        scrubbed += again
        store.clear_log()
    return Forgotten(records, scrubbed, named, elsewhere)


def _scrub_backups(workspace: Workspace, person: Person) -> tuple[int, tuple[Path, ...]]:
    scrubbed, elsewhere = 0, list(workspace.set_aside)
    for backup in workspace.backups:
        try:
            scrubbed += _scrub(backup.path, person)
        except StoreDamaged:
            elsewhere.append(backup.path)
    return scrubbed, tuple(elsewhere)


def _scrub(path: Path, person: Person) -> bool:
    """Delete a person from a backup of any revision; return whether they were in it."""
    if faults_in(path):
        raise StoreDamaged("the backup is not whole", where=str(path))
    engine = sqlite_engine(path)
    try:
        with (
            in_plain_words(str(path)),
            engine.execution_options(**{WRITING: True}).begin() as connection,
        ):
            tables = set(inspect(connection).get_table_names())
            # after a restore a number may have been given anew: the moment tells people apart
            same = (PersonRow.id == person.id) & (PersonRow.created_at == person.created_at)
            found = (
                PersonRow.__tablename__ in tables
                and connection.execute(select(PersonRow.id).where(same)).first() is not None
            )
            if not found:
                return False
            for table in _VOUCHING:
                if table.__tablename__ in tables:
                    connection.execute(
                        update(table)
                        .where(table.by_person_id == person.id)
                        .values(by_name=SOMEBODY, by_person_id=None)
                    )
            connection.execute(delete(PersonRow).where(same))
        with closing(engine.raw_connection()) as borrowed:
            cursor = borrowed.cursor()
            cursor.execute("PRAGMA query_only = OFF")
            cursor.execute("VACUUM")  # and nothing lingers in pages that are half full
            cursor.close()
    finally:
        engine.dispose()
    return True


def _plain(values: dict[str, Any]) -> dict[str, Any]:
    return {
        key: value.isoformat()
        if isinstance(value, date | datetime)
        else str(value)
        if isinstance(value, StrEnum)
        else value
        for key, value in values.items()
    }
