"""Bring a database to the tables of this program, in one transaction or not at all."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, inspect, text

from slatewright.store.faults import StoreDamaged, StoreNewer

SCRIPTS: Final = Path(__file__).parent / "migrations"
_TABLE: Final = "alembic_version"


@dataclass(frozen=True, slots=True)
class Standing:
    """How a database stands to this program.

    Parameters
    ----------
    revision
        The revision of its tables; empty if it has none.
    head
        The revision that this program needs.
    foreign
        True if it has tables, and they are not ours.
    newer
        True if its revision is unknown to this program.
    """

    revision: str
    head: str
    foreign: bool = False
    newer: bool = False

    @property
    def current(self) -> bool:
        """Whether nothing is to be done."""
        return self.revision == self.head


def standing(connection: Connection) -> Standing:
    """Return how a database stands to this program.

    Parameters
    ----------
    connection
        A connection to it.
    """
    known, head = revisions()
    tables = set(inspect(connection).get_table_names())
    if _TABLE not in tables:
        return Standing("", head, foreign=bool(tables))
    revision = connection.execute(text(f"SELECT version_num FROM {_TABLE}")).scalar() or ""  # noqa: S608 - a constant
    if revision in known:
        return Standing(revision, head)
    ours = not revision or "plan_text" in tables
    return Standing(revision, head, foreign=not ours, newer=ours)


def refuse_newer(state: Standing, where: str) -> None:
    """Refuse a database of a newer program.

    Parameters
    ----------
    state
        How it stands.
    where
        What to call it in the message.

    Raises
    ------
    StoreNewer
        If this program does not know its tables.
    """
    if state.newer:
        raise StoreNewer(
            f"was last opened by a newer Slatewright (tables {state.revision or 'unnamed'}; this "
            f"one knows them up to {state.head}); nothing was changed",
            where=where,
            right="the newer program; or restore a backup that is as old as this one",
        )


def upgrade(connection: Connection) -> None:
    """Bring the tables to the newest revision, inside the caller's transaction.

    Parameters
    ----------
    connection
        A connection in a transaction that writes; on SQLite without foreign keys.

    Raises
    ------
    StoreDamaged
        If a record would refer to nothing afterwards; the caller's transaction must not commit.
    """
    from alembic import command  # noqa: PLC0415 - takes time, and most openings need none of it
    from alembic.config import Config  # noqa: PLC0415 - same

    config = Config(stdout=io.StringIO(), output_buffer=io.StringIO())
    config.set_main_option("script_location", str(SCRIPTS).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
    if connection.dialect.name == "sqlite":
        broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if broken:
            raise StoreDamaged(
                f"{len(broken)} records of {broken[0][0]} would refer to nothing after bringing "
                "the tables up to date; nothing was changed",
                right="keep the file, and use the program that it was made with",
            )


def revisions() -> tuple[tuple[str, ...], str]:
    """Return the revisions that this program knows, in order, and the newest.

    Notes
    -----
    They are read off the names of the files: running them through Alembic would cost every start
    a third of a second. A test holds the names against Alembic's own reading.
    """
    names = sorted(path.name for path in (SCRIPTS / "versions").glob("[0-9]*_*.py"))
    known = tuple(name.partition("_")[0] for name in names)
    return known, known[-1]
