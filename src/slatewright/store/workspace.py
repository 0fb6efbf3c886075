"""The workspace: a folder with a database, its backups, and who has it open."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Final

from sqlalchemy import Engine

from slatewright.errors import InputError
from slatewright.store import migration
from slatewright.store.backups import (
    Backup,
    copy_database,
    faults_in,
    faults_of,
    last_good,
    list_backups,
    make_backup,
    open_to_read,
    stamp,
    sync_folder,
)
from slatewright.store.database import Store
from slatewright.store.engines import PATIENCE_S, WRITING, in_plain_words, sqlite_engine
from slatewright.store.faults import StoreBusy, StoreDamaged, StoreError, StoreUnavailable
from slatewright.store.locks import Held, hold

DATABASE: Final = "slatewright.sqlite3"
BACKUPS: Final = "backups"
SET_ASIDE: Final = "set-aside"
_OPENING: Final = "opening.lock"
_IN_USE: Final = "in-use.lock"
_BESIDE: Final = ("-wal", "-shm", "-journal")


class Workspace(Store):
    """An open workspace; made by `open_workspace`.

    Parameters
    ----------
    engine
        Its connections.
    folder
        The folder.
    in_use
        The lock that tells other processes that it is open.
    revision
        The revision of its tables.
    patience_s
        How long a writer waits for its turn [s].
    """

    def __init__(
        self, engine: Engine, folder: Path, in_use: Held, revision: str, *, patience_s: float
    ) -> None:
        super().__init__(engine, str(folder), patience_s=patience_s)
        self.folder = folder
        self.backup_failure: str = ""
        """Why no backup could be made on opening; empty if one was made. To be shown."""
        self._in_use = in_use
        self._revision = revision

    @property
    def backups(self) -> tuple[Backup, ...]:
        """The backups, the newest first."""
        return list_backups(self.folder / BACKUPS)

    @property
    def set_aside(self) -> tuple[Path, ...]:
        """What restoring has set aside: each a folder with a database that was replaced."""
        kept = self.folder / SET_ASIDE
        return tuple(sorted(kept.iterdir())) if kept.is_dir() else ()

    def back_up(self, *, now: datetime) -> Backup:
        """Make a backup; others may go on working.

        Parameters
        ----------
        now
            The moment.

        Returns
        -------
        Backup
            The new one; the newest that was there if nothing has changed since.

        Raises
        ------
        StoreError
            If none could be made.
        """
        with in_plain_words(self.where), closing(self._engine.raw_connection()) as borrowed:
            source = borrowed.driver_connection
            if not isinstance(source, sqlite3.Connection):
                raise TypeError("a workspace is kept in SQLite")
            return make_backup(source, self.folder / BACKUPS, now=now, revision=self._revision)

    def clear_log(self) -> None:
        """Move all that is in the write-ahead log into the database, and empty the log.

        What was deleted stands in the log for a while; after this it stands nowhere. If another
        process is reading at this moment, it is left to the next time.
        """
        with in_plain_words(self.where), closing(self._engine.raw_connection()) as borrowed:
            cursor = borrowed.cursor()
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            cursor.fetchall()
            cursor.close()

    def close(self) -> None:
        """Close it, and let other processes know."""
        super().close()
        self._in_use.let_go()


def open_workspace(
    folder: str | Path, *, now: datetime, patience_s: float = PATIENCE_S
) -> Workspace:
    """Open a workspace, creating it on first use: checked, backed up, tables up to date.

    Two processes may have one workspace open. Bringing old tables up to date needs it alone.

    Parameters
    ----------
    folder
        The folder; made if need be.
    now
        The moment, for the name of the backup.
    patience_s
        How long to wait for others: while they open it, or write [s].

    Returns
    -------
    Workspace
        To be closed in the end; if the process is killed instead, nothing acknowledged is lost.

    Raises
    ------
    InputError
        If it is no folder, cannot be written, or holds another program's database.
    StoreDamaged
        If the database is damaged or gone; nothing is changed then.
    StoreNewer
        If a newer program has changed its tables.
    StoreBusy
        If another process holds it.
    """
    folder = Path(folder).expanduser().absolute()
    _make_folder(folder)
    with (
        _naming_a_backup(folder),
        in_plain_words(str(folder)),
        _reachable(folder),
        ExitStack() as undo,
    ):
        opening = _hold(folder, _OPENING, alone=True, patience_s=patience_s)
        undo.callback(opening.let_go)
        fresh = _make_file(folder)
        engine = sqlite_engine(folder / DATABASE, patience_s=patience_s)
        undo.callback(engine.dispose)
        before = _look(engine, folder, fresh=fresh)
        failure = ""
        if not before.current:
            _bring_up_to_date(folder, before, now=now)
        in_use = _hold(folder, _IN_USE, alone=False, patience_s=patience_s)
        undo.callback(in_use.let_go)
        opened = Workspace(engine, folder, in_use, before.head, patience_s=patience_s)
        if before.current:
            try:
                opened.back_up(now=now)
            except StoreError as error:  # a full disk must not keep anyone from reading a plan
                failure = error.message()
        opened.backup_failure = failure
        opening.let_go()
        undo.pop_all()
        return opened


def restore(folder: str | Path, backup: str | Path, *, now: datetime) -> Path:
    """Put a backup in the place of a workspace's database, which is kept, set aside.

    Parameters
    ----------
    folder
        The workspace, closed in all processes.
    backup
        The backup, from the workspace's own folder or from anywhere.
    now
        The moment, for the name of what is set aside.

    Returns
    -------
    Path
        The folder into which the replaced database went, with all that belongs to it.

    Raises
    ------
    InputError
        If the backup is not there, or is not whole.
    StoreBusy
        If the workspace is open.
    StoreNewer
        If the backup was made by a newer program.
    """
    folder = Path(folder).expanduser().absolute()
    backup = Path(backup).expanduser().absolute()
    if not folder.is_dir():
        raise InputError("is no folder", where=str(folder), right="the folder of a workspace")
    if not backup.is_file():
        raise InputError("is no file", where=str(backup), right="one of the workspace's backups")
    if backup == folder / DATABASE:
        raise InputError("is the database itself", where=str(backup), right="a backup of it")
    with _reachable(folder), ExitStack() as held:
        held.callback(_hold(folder, _OPENING, alone=True, patience_s=PATIENCE_S).let_go)
        held.callback(_hold(folder, _IN_USE, alone=True, patience_s=0.0).let_go)
        draft = folder / f".{DATABASE}-restoring"
        held.callback(draft.unlink, missing_ok=True)
        try:
            with closing(open_to_read(backup)) as source:
                copy_database(source, draft)
        except sqlite3.DatabaseError as error:
            raise _no_backup(backup, str(error)) from error
        _refuse_bad_backup(draft, backup)
        aside = folder / SET_ASIDE / stamp(now)
        aside.mkdir(parents=True, mode=0o700)
        for ending in ("", *_BESIDE):  # a log beside another database would be read into it
            with suppress(FileNotFoundError):
                (folder / f"{DATABASE}{ending}").rename(aside / f"{DATABASE}{ending}")
        draft.rename(folder / DATABASE)
        sync_folder(folder)
        return aside


def _make_folder(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise InputError("is a file", where=str(folder), right="a folder for the workspace")
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            f"cannot be made: {(error.strerror or str(error)).lower()}",
            where=str(folder),
            right="a folder in a place that you may write to",
        ) from None


@contextmanager
def _reachable(folder: Path) -> Iterator[None]:
    """Say plainly that a folder cannot be written: nothing in it can be locked, or made."""
    try:
        yield
    except (OSError, sqlite3.OperationalError) as error:
        if getattr(error, "sqlite_errorname", "").startswith("SQLITE_BUSY"):
            raise
        raise InputError(
            f"cannot be written: {(getattr(error, 'strerror', None) or str(error)).lower()}",
            where=str(folder),
            right="a folder that you may write to, on a disk with some room",
        ) from error


@contextmanager
def _naming_a_backup(folder: Path) -> Iterator[None]:
    """Let every word of damage name the last good backup."""
    try:
        yield
    except StoreDamaged as error:
        if error.last_good is not None:
            raise
        raise _damaged(folder, error.what) from error


def _hold(folder: Path, name: str, *, alone: bool, patience_s: float) -> Held:
    if name == _OPENING:
        what, right = "another process is just opening it", "try again in a moment"
    else:
        what = "is open in another window or program"
        right = "close it there first; this has to be done alone"
    busy = StoreBusy(what, where=str(folder), right=right)
    return hold(folder / name, alone=alone, patience_s=patience_s, busy=busy)


def _make_file(folder: Path) -> bool:
    """Make the database's file if this is the first use; return whether there is nothing in it."""
    path = folder / DATABASE
    try:
        # not opened to look: closing it again would drop this process's locks on it
        size = path.stat().st_size
    except FileNotFoundError:
        size = -1
    log = folder / f"{DATABASE}-wal"
    logged = log.exists() and log.stat().st_size > 0
    if size <= 0 and (logged or list_backups(folder / BACKUPS)):
        raise _damaged(folder, "the database is gone" if size < 0 else "the database is empty")
    if size < 0:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    return size <= 0


def _look(engine: Engine, folder: Path, *, fresh: bool) -> migration.Standing:
    """Check the database, set it to keep a log, and say how it stands."""
    with closing(engine.raw_connection()) as borrowed:
        source = borrowed.driver_connection
        if not isinstance(source, sqlite3.Connection):
            raise TypeError("a workspace is kept in SQLite")
        if not fresh and (faults := faults_of(source)):
            raise _damaged(folder, f"the database is damaged: {faults[0]}")
    with engine.connect() as connection:
        state = migration.standing(connection)
    if state.foreign:
        raise InputError(
            f"{DATABASE} is another program's database",
            where=str(folder),
            right="a folder for Slatewright's own",
        )
    migration.refuse_newer(state, str(folder))
    if not state.revision and list_backups(folder / BACKUPS):
        raise _damaged(folder, "the database is empty")
    with closing(engine.raw_connection()) as borrowed:
        cursor = borrowed.cursor()
        mode = cursor.execute("PRAGMA journal_mode = WAL").fetchone()[0]
        cursor.close()
    if mode != "wal":
        raise StoreUnavailable(
            "this disk cannot hold a database that several programs write to",
            where=str(folder),
            right="a folder on a disk of this machine, not on a network",
        )
    return state


def _bring_up_to_date(folder: Path, before: migration.Standing, *, now: datetime) -> None:
    database = folder / DATABASE
    alone = _hold(folder, _IN_USE, alone=True, patience_s=0.0)
    try:
        if before.revision:
            with closing(sqlite3.connect(database, timeout=PATIENCE_S)) as source:
                make_backup(source, folder / BACKUPS, now=now, revision=before.revision)
        engine = sqlite_engine(database, migrating=True)
        try:
            with engine.execution_options(**{WRITING: True}).begin() as connection:
                migration.upgrade(connection)
        finally:
            engine.dispose()
    finally:
        alone.let_go()


def _damaged(folder: Path, what: str) -> StoreDamaged:
    good = last_good(folder / BACKUPS)
    if good is None:
        right = "there is no whole backup in it; copy the folder before you try to mend anything"
    else:
        right = (
            f"restore the last good backup, {BACKUPS}/{good.path.name}, made "
            f"{good.at:%Y-%m-%d %H:%M} UTC; the damaged file will be kept, set aside"
        )
    return StoreDamaged(
        f"{what}; nothing was changed",
        where=str(folder / DATABASE),
        right=right,
        last_good=good.path if good else None,
    )


def _no_backup(backup: Path, why: str) -> InputError:
    return InputError(
        f"is no whole backup: {why}", where=str(backup), right="another, older backup"
    )


def _refuse_bad_backup(copy: Path, backup: Path) -> None:
    if faults := faults_in(copy):
        raise _no_backup(backup, faults[0])
    engine = sqlite_engine(copy)
    try:
        with engine.connect() as connection:
            state = migration.standing(connection)
    finally:
        engine.dispose()
    if state.foreign:
        raise InputError(
            "is another program's database", where=str(backup), right="a backup of a workspace"
        )
    migration.refuse_newer(state, str(backup))
