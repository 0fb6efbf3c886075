"""Dated copies of a workspace's database: made whole, checked, and thinned out with age."""

from __future__ import annotations

import hashlib
import os
import re
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

from slatewright.store.faults import StoreDamaged, StoreUnavailable

KEPT_NEWEST: Final = 10
"""This many of the newest are kept, however close together they were made."""
KEPT_DAYS: Final = 30
"""Of this many earlier days on which there are any, the last one is kept."""
_STAMP: Final = "%Y-%m-%dT%H-%M-%S.%fZ"
_NAME: Final = re.compile(
    r"(?P<at>\d{4}-\d\d-\d\dT\d\d-\d\d-\d\d\.\d{6}Z)_(?P<revision>\w+)\.sqlite3"
)


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup.

    Parameters
    ----------
    path
        The file, an SQLite database like any other.
    at
        When it was made.
    revision
        The revision of its tables.
    """

    path: Path
    at: datetime
    revision: str


def list_backups(folder: Path) -> tuple[Backup, ...]:
    """Return the backups in a folder, the newest first; other files are passed over.

    Parameters
    ----------
    folder
        The folder, there or not.
    """
    found = []
    for path in folder.iterdir() if folder.is_dir() else ():
        if match := _NAME.fullmatch(path.name):
            at = datetime.strptime(match["at"], _STAMP).replace(tzinfo=UTC)
            found.append(Backup(path, at, match["revision"]))
    return tuple(sorted(found, key=lambda backup: backup.at, reverse=True))


def faults_in(path: Path) -> tuple[str, ...]:
    """Return what is wrong with a database file that nobody writes to; nothing if it is whole.

    Parameters
    ----------
    path
        The file.
    """
    try:
        with closing(open_to_read(path)) as connection:
            (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
            return faults_of(connection) if tables else ("it is empty",)
    except sqlite3.Error as error:
        return (str(error),)


def open_to_read(path: Path) -> sqlite3.Connection:
    """Open a database file that is there, without a right to change it.

    Parameters
    ----------
    path
        The file.
    """
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)


def copy_database(source: sqlite3.Connection, target: Path) -> None:
    """Copy an open database, log and all, into one plain file that is on the disk afterwards.

    Parameters
    ----------
    source
        A connection to it; others may go on reading and writing.
    target
        The file; replaced if it is there.
    """
    target.unlink(missing_ok=True)
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    with closing(sqlite3.connect(target, isolation_level=None)) as copy:
        source.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")  # nothing is left beside it
    with target.open("rb+") as file:
        os.fsync(file.fileno())


def faults_of(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Return what is wrong with an open database: torn pages, records that refer to nothing.

    Parameters
    ----------
    connection
        A connection to it.
    """
    try:
        rows = [str(row[0]) for row in connection.execute("PRAGMA integrity_check(20)")]
        if rows != ["ok"]:
            return tuple(rows)
        return tuple(
            f"a record of {table} refers to a missing one of {parent}"
            for table, _row, parent, _key in connection.execute("PRAGMA foreign_key_check")
        )
    except sqlite3.DatabaseError as error:
        return (str(error),)


def last_good(folder: Path) -> Backup | None:
    """Return the newest backup that is whole.

    Parameters
    ----------
    folder
        The folder of backups.
    """
    return next((b for b in list_backups(folder) if not faults_in(b.path)), None)


def make_backup(
    connection: sqlite3.Connection, folder: Path, *, now: datetime, revision: str
) -> Backup:
    """Copy an open database into a folder of backups, and thin the folder out.

    Parameters
    ----------
    connection
        A connection to it; others may go on reading and writing.
    folder
        The folder; made if need be.
    now
        The moment, for the name.
    revision
        The revision of its tables, for the name.

    Returns
    -------
    Backup
        The new one; the newest that was there if nothing has changed since.

    Raises
    ------
    StoreUnavailable
        If it cannot be written.
    StoreDamaged
        If the copy is not whole.
    """
    draft = folder / f".draft-{os.getpid()}"
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
        copy_database(connection, draft)
        if faults := faults_in(draft):
            raise StoreDamaged(f"the copy is not whole: {faults[0]}", where=str(folder))
        before = list_backups(folder)
        if before and before[0].revision == revision and _same(before[0].path, draft):
            return before[0]
        made = _place(draft, folder, now, revision)
    except (OSError, sqlite3.Error) as error:
        raise StoreUnavailable(
            f"no backup could be made: {error}",
            where=str(folder),
            right="free some space, or see that the folder is yours to write to",
        ) from error
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)
    thin_out(folder)
    return made


def thin_out(folder: Path) -> None:
    """Delete backups that are not kept: all but the newest few, and one for each of some days.

    Parameters
    ----------
    folder
        The folder of backups.
    """
    backups = list_backups(folder)
    kept = set(backups[:KEPT_NEWEST])
    days: dict[object, Backup] = {}
    for backup in backups[KEPT_NEWEST:]:  # newest first: the first of a day is its last
        days.setdefault(backup.at.date(), backup)
    kept.update(list(days.values())[:KEPT_DAYS])
    for backup in backups:
        if backup not in kept:
            with suppress(OSError):  # it will be tried again after the next
                backup.path.unlink()


def sync_folder(folder: Path) -> None:
    """Make the names in a folder as durable as the files; does nothing where that is not needed.

    Parameters
    ----------
    folder
        The folder.
    """
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def stamp(moment: datetime) -> str:
    """Return a moment as it stands in the name of a file.

    Parameters
    ----------
    moment
        The moment, with its time zone.
    """
    return moment.astimezone(UTC).strftime(_STAMP)


def _place(draft: Path, folder: Path, now: datetime, revision: str) -> Backup:
    while (path := folder / f"{stamp(now)}_{revision}.sqlite3").exists():
        now += timedelta(microseconds=1)
    draft.rename(path)
    sync_folder(folder)
    return Backup(path, now, revision)


def _same(one: Path, other: Path) -> bool:
    digests = []
    for path in (one, other):
        with path.open("rb") as file:
            digests.append(hashlib.file_digest(file, "sha256").digest())
    return digests[0] == digests[1]
