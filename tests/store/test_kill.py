"""Killed at any moment, nothing that was acknowledged is lost."""

from __future__ import annotations

import random
import shutil
import signal
import sqlite3
import subprocess
import threading
import time
from pathlib import Path

import pytest
from sqlalchemy import text

from slatewright.store import open_store, open_workspace
from slatewright.store.backups import faults_in
from slatewright.store.plans import create_plan, get_plan, list_plans, plan_texts
from slatewright.store.workspace import DATABASE

from .child import text_of
from .conftest import NOON

CHILD = str(Path(__file__).with_name("child.py"))


class Writer:
    """A child that writes until it is killed, and what it was promised."""

    def __init__(self, python, address, first):
        self.promised: dict[tuple[int, int], str] = {}
        self.refused: list[str] = []
        self._child = subprocess.Popen(
            [*python, CHILD, "write", address, str(first)], stdout=subprocess.PIPE, text=True
        )
        assert self._child.stdout.readline() == "ready\n"
        assert self._child.stdout.readline() == "open\n"
        self._reader = threading.Thread(target=self._read)
        self._reader.start()

    def _read(self):
        for line in self._child.stdout:
            if not line.endswith("\n"):
                return  # cut off by the kill: not said, so not promised
            word, *rest = line.split()
            if word == "refused":
                self.refused.append(line)
                continue
            plan_id, version, seed, length = (int(part) for part in rest)
            self.promised[plan_id, version] = text_of(seed, length)

    def wait_for(self, saves: int):
        deadline = time.monotonic() + 30
        while len(self.promised) < saves:
            assert time.monotonic() < deadline, "the child does not write"
            assert self._child.poll() is None, "the child has ended"
            time.sleep(0.002)

    def kill(self):
        self._child.kill()
        self.join()
        assert self._child.returncode == -signal.SIGKILL

    def join(self):
        self._child.wait(60)
        self._reader.join(60)
        self._child.stdout.close()


def assert_kept(address, promised):
    """All that was promised is there, with the right text; at most one save more is."""
    with open_store(address, now=NOON) as store, store.read() as session:
        there = {
            (plan.id, kept.version): kept.text
            for plan in list_plans(session)
            for kept in plan_texts(session, plan.id)
        }
    lost = {key for key, kept in promised.items() if there.get(key) != kept}
    assert not lost, f"lost or changed: {sorted(lost)}"
    return there


@pytest.mark.parametrize("seed", range(3))
def test_the_writer_is_killed(address, python, seed):
    chance = random.Random(seed)  # noqa: S311 - no secret, and to be done again
    promised: dict[tuple[int, int], str] = {}
    for turn in (1, 2):
        writer = Writer(python, address, turn * 100_000)
        writer.wait_for(chance.randrange(2, 40))
        time.sleep(chance.uniform(0.0, 0.03))
        writer.kill()
        promised |= writer.promised
        there = assert_kept(address, promised)
        assert len(there) <= len(promised) + turn, "more than what was under way"
    if "://" not in address:
        assert faults_in(Path(address) / DATABASE) == ()


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGQUIT], ids=["kill", "immediate"])
def test_the_server_is_killed(server, tables, python, how):
    writer = Writer(python, tables, 500_000 + how * 100_000)
    writer.wait_for(12)
    server.kill(how)
    try:
        writer.join()
        assert writer.refused, "the writer was not told"
        assert writer.refused[0].startswith("refused StoreUnavailable")
    finally:
        server.start()
    assert_kept(tables, writer.promised)
    server.client("pg_amcheck", "slatewright", "--install-missing", "--heapallindexed")


def test_an_open_store_outlives_its_server(server, tables):
    """The connections in hand are dead then: the next save gets a new one."""
    with open_store(tables, now=NOON) as store:
        with store.write() as session:
            plan = create_plan(session, "title = 'x'", now=NOON)
        server.kill(signal.SIGQUIT)
        server.start()
        with store.read() as session:
            assert get_plan(session, plan.id) == plan
        with store.write() as session:
            create_plan(session, "title = 'y'", now=NOON)


@pytest.mark.parametrize("delay_s", [0.0, 0.03, 0.1, 0.2])
def test_killed_while_it_makes_the_workspace(tmp_path, python, delay_s):
    folder = tmp_path / "workspace"
    with subprocess.Popen(
        [*python, CHILD, "open", str(folder)], stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout.readline() == "ready\n"
        time.sleep(delay_s)
        child.kill()
    with open_workspace(folder, now=NOON) as store, store.write() as session:
        create_plan(session, "title = 'first'", now=NOON)
    assert faults_in(folder / DATABASE) == ()


def test_each_connection_waits_for_the_disk(tmp_path):
    """A kill leaves what the system has in hand; against a power cut only the disk helps."""
    with open_workspace(tmp_path, now=NOON) as store:
        for way in (store.read, store.write, store.read):
            with way() as session:
                asked = ("journal_mode", "synchronous", "fullfsync", "foreign_keys")
                found = [session.execute(text(f"PRAGMA {name}")).scalar() for name in asked]
            assert found == ["wal", 2, 1, 1]


def test_the_server_waits_for_the_disk(server, tables):
    from psycopg import sql  # noqa: PLC0415 - only here

    server.execute(sql.SQL("ALTER DATABASE slatewright SET synchronous_commit TO off"))
    try:
        with open_store(tables, now=NOON) as store, store.write() as session:
            assert session.execute(text("SHOW synchronous_commit")).scalar() == "on"
    finally:
        server.execute(sql.SQL("ALTER DATABASE slatewright RESET synchronous_commit"))


def test_a_log_cut_off_anywhere_loses_only_its_end(tmp_path):
    """As a power cut may leave it on a disk that had not yet got the rest."""
    folder = tmp_path / "workspace"
    open_workspace(folder, now=NOON).close()
    with open_workspace(folder, now=NOON) as store:
        for number in range(12):
            with store.write() as session:
                create_plan(session, text_of(number, 5000), now=NOON)
        database, log = folder / DATABASE, folder / f"{DATABASE}-wal"
        copy = tmp_path / "copy"
        copy.mkdir()
        for path in (database, log):
            shutil.copy(path, copy)
    whole = (copy / log.name).read_bytes()
    assert len(whole) > 50_000
    kept_before = -1
    for share in (0.0, 0.2, 0.45, 0.7, 0.95, 1.0):
        cut = tmp_path / f"cut-{share}"
        shutil.copytree(copy, cut)
        (cut / log.name).write_bytes(whole[: int(len(whole) * share)])
        with open_workspace(cut, now=NOON) as store, store.read() as session:
            titles = sorted(int(plan.title) for plan in list_plans(session))
        assert titles == list(range(len(titles))), "a hole in the middle"
        assert len(titles) >= kept_before
        kept_before = len(titles)
    assert kept_before == 12
    with sqlite3.connect(cut / DATABASE) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
