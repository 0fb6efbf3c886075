"""The store on both of its databases: each test that takes `address` or `store` runs twice."""

from __future__ import annotations

import itertools
import sys
from datetime import UTC, datetime

import pytest
from psycopg import sql

from slatewright.store import open_store
from slatewright.store.schema import Base

from .cluster import Cluster

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
_NUMBERS = itertools.count(1)


@pytest.fixture(scope="session")
def server():
    """A PostgreSQL server of our own; without one the tests fail, and say what to install."""
    try:
        cluster = Cluster()
    except FileNotFoundError as error:
        pytest.fail(str(error))
    try:
        cluster.start()
        yield cluster
    finally:
        cluster.remove()


@pytest.fixture(scope="session")
def tables(server):
    """The address of a database with our tables: emptying it is quicker than making one each."""
    address = server.make_database("slatewright")
    open_store(address, now=NOON).close()
    return address


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request, tmp_path):
    """The address of an empty store: a folder, or a database on the server."""
    if request.param == "sqlite":
        return str(tmp_path / "workspace")
    address = request.getfixturevalue("tables")
    request.getfixturevalue("server").execute(
        sql.SQL("; ").join(
            [
                # what was signed cannot be deleted: here alone it has to be
                sql.SQL("ALTER TABLE sign_off DISABLE TRIGGER sign_off_stands"),
                *(
                    sql.SQL("DELETE FROM {}").format(sql.Identifier(table.name))
                    for table in reversed(Base.metadata.sorted_tables)
                ),
                sql.SQL("ALTER TABLE sign_off ENABLE TRIGGER sign_off_stands"),
            ]
        ),
        "slatewright",
    )
    return address


@pytest.fixture
def store(address):
    with open_store(address, now=NOON) as opened:
        yield opened


@pytest.fixture
def empty_database(server):
    """The address of a database on the server with nothing in it."""
    name = f"empty_{next(_NUMBERS)}"
    yield server.make_database(name)
    server.drop_database(name)


@pytest.fixture
def python():
    """How to start a child that uses the store."""
    return [sys.executable, "-W", "error"]
