"""Who has a workspace open: locks that the system lets go of when a process ends, however it ends.

A lock is held by a transaction on an empty database file: SQLite shares and excludes alike on all
systems, and nothing stays behind when a process is killed. Never open such a file, or the database
itself, by other means while it is in use: on POSIX, closing any handle of a file drops the
process's locks on it.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

from slatewright.store.faults import StoreBusy


class Held:
    """A lock that is held until it is let go, or the process ends.

    Parameters
    ----------
    connection
        The transaction that holds it.
    """

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def let_go(self) -> None:
        """Let go; a second time does nothing."""
        self._connection.close()


def hold(path: Path, *, alone: bool, patience_s: float, busy: StoreBusy) -> Held:
    """Take a lock.

    Parameters
    ----------
    path
        The lock's file; made if need be, and always empty.
    alone
        True to exclude all others, False to share it with all who share it.
    patience_s
        How long to wait for it [s].
    busy
        What to raise if it is not had in that time.

    Raises
    ------
    StoreBusy
        If others hold it.
    sqlite3.OperationalError
        If the file cannot be made.
    """
    connection = sqlite3.connect(
        path, timeout=patience_s, isolation_level=None, check_same_thread=False
    )
    try:
        connection.execute("BEGIN EXCLUSIVE" if alone else "BEGIN")
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.OperationalError as error:
        connection.close()
        if error.sqlite_errorname.startswith("SQLITE_BUSY"):
            raise busy from None
        raise
    except BaseException:
        connection.close()
        raise
    return Held(connection)
