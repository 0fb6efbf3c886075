"""Connections, set up so that what is acknowledged is kept and one writer writes at a time."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from sqlalchemy import URL, Connection, Engine, NullPool, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolExhausted

from slatewright.store.faults import StoreBusy, StoreDamaged, StoreError, StoreUnavailable

PATIENCE_S: Final = 30.0
"""How long a writer waits for its turn before it says so."""
WRITING: Final = "slatewright_writing"
"""Option of a connection whose transactions write."""
_ONE_WRITER: Final = 0x51A7E
"""The number of the server's advisory lock that stands for the one writer."""


def sqlite_engine(path: Path, *, migrating: bool = False, patience_s: float = PATIENCE_S) -> Engine:
    """Return an engine for a database file; nothing is opened yet.

    Parameters
    ----------
    path
        The file.
    migrating
        True for an engine that rebuilds tables: it makes one connection at a time, and does not
        act on foreign keys, because dropping the old table would delete what refers to it.
    patience_s
        How long to wait for another process's transaction [s].
    """
    engine = create_engine(
        URL.create("sqlite+pysqlite", database=str(path)),
        connect_args={"timeout": patience_s, "isolation_level": None, "check_same_thread": False},
        **({"poolclass": NullPool} if migrating else {"pool_size": 8, "max_overflow": 24}),
    )
    pragmas = (
        f"PRAGMA foreign_keys = {'OFF' if migrating else 'ON'}",
        "PRAGMA synchronous = FULL",  # a commit returns when the disk has it
        "PRAGMA fullfsync = ON",  # and on a Mac, where the disk would only promise it
        "PRAGMA secure_delete = ON",  # a deleted person's name does not linger in free pages
    )

    @event.listens_for(engine, "connect")
    def _set_up(connection: Any, _record: object) -> None:  # noqa: ANN401 - the driver's own type
        for pragma in pragmas:
            connection.execute(pragma)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # the driver would begin late and without the lock: two that have read cannot both write
        writing = migrating or connection.get_execution_options().get(WRITING, False)
        connection.exec_driver_sql(f"PRAGMA query_only = {'OFF' if writing else 'ON'}")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine


def server_engine(url: URL, *, patience_s: float = PATIENCE_S) -> Engine:
    """Return an engine for a PostgreSQL server; nothing is opened yet.

    Parameters
    ----------
    url
        Its address, driver psycopg.
    patience_s
        How long a writer waits for its turn [s].
    """
    engine = create_engine(
        url, pool_pre_ping=True, pool_size=8, max_overflow=24, connect_args={"connect_timeout": 10}
    )

    @event.listens_for(engine, "connect")
    def _set_up(connection: Any, _record: object) -> None:  # noqa: ANN401 - the driver's own type
        (level,) = connection.execute("SHOW synchronous_commit").fetchone()
        if level == "off":  # a commit would return before the disk has it
            connection.execute("SET synchronous_commit TO on")
        connection.commit()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        if connection.get_execution_options().get(WRITING, False):
            connection.exec_driver_sql(f"SET LOCAL lock_timeout = {round(patience_s * 1000)}")
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_ONE_WRITER})")

    return engine


@contextmanager
def in_plain_words(where: str, *, reading: bool = False) -> Iterator[None]:
    """Turn what goes wrong in file, disk or network into the store's own errors.

    Parameters
    ----------
    where
        Which workspace or server.
    reading
        True if nothing is to be written: an attempt is a fault of our own code then.

    Raises
    ------
    StoreError
        In place of the driver's error. A fault of our own code, such as a broken constraint,
        passes as it is.
    """
    try:
        yield
    except PoolExhausted:
        raise busy(where) from None
    except (DBAPIError, sqlite3.Error) as error:
        cause = error.orig if isinstance(error, DBAPIError) else error
        own_fault = reading and getattr(cause, "sqlite_errorname", "") == "SQLITE_READONLY"
        translated = None if own_fault else _translated(cause, where)
        if translated is None:
            raise
        raise translated from error


def _translated(cause: BaseException | None, where: str) -> StoreError | None:
    name = getattr(cause, "sqlite_errorname", None)
    if name is not None:
        return _of_file(str(name), where)
    state = getattr(cause, "sqlstate", None)
    if state is None and type(cause).__name__ != "OperationalError":  # psycopg is not imported
        return None
    return _of_server(state, str(cause).strip().partition("\n")[0], where)


def _of_file(name: str, where: str) -> StoreError | None:
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return busy(where)
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return StoreDamaged(
            "the database is damaged",
            where=where,
            right="close the workspace and open it again: it will name the last good backup",
        )
    if name.startswith("SQLITE_FULL"):
        return _full(where)
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_IOERR")):
        return StoreUnavailable(
            "the database cannot be opened or written",
            where=where,
            right="look whether the disk is there and the folder is yours to write to; what was "
            "acknowledged is kept",
        )
    return None


def _of_server(state: str | None, says: str, where: str) -> StoreError | None:
    if state == "55P03":  # lock_not_available
        return busy(where)
    if state in {"53100", "53200"}:  # disk_full, out_of_memory
        return _full(where)
    if state in {"XX001", "XX002"}:  # data_corrupted, index_corrupted
        return StoreDamaged(
            "the server says that its data are damaged",
            where=where,
            right="restore the database from the server's own backup",
        )
    # connection exceptions, shut down, wrong password, no such database, or no answer at all
    if state is None or state.startswith(("08", "57P", "28", "3D")):
        return StoreUnavailable(
            f"the server cannot be reached: {says}",
            where=where,
            right="see that it runs and the address is right; what was acknowledged is kept, the "
            "last save may or may not be: look before saving again",
        )
    return None


def busy(where: str) -> StoreBusy:
    """Return the error of a writer whose turn did not come.

    Parameters
    ----------
    where
        Which workspace or server.
    """
    return StoreBusy(
        "another process is writing and does not finish",
        where=where,
        right="try again; nothing of this save was written",
    )


def _full(where: str) -> StoreUnavailable:
    return StoreUnavailable(
        "there is no room left",
        where=where,
        right="free some disk space and save again; what was acknowledged is kept",
    )
