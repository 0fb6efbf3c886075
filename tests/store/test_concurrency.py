"""Many at once: one writer at a time, nothing lost, nobody kept waiting for ever."""

from __future__ import annotations

import subprocess
import threading
import time
from collections import Counter
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from slatewright.store import open_store
from slatewright.store.faults import StaleRecord, StoreBusy
from slatewright.store.plans import create_plan, get_plan, list_plans, plan_texts, save_plan

from .conftest import NOON

CHILD = str(Path(__file__).with_name("child.py"))


def together(work, count):
    """Run the work in so many threads at once; the first error is raised."""
    gate, errors = threading.Barrier(count), []

    def run(number):
        gate.wait()
        try:
            work(number)
        except BaseException as error:  # noqa: BLE001 - it is raised below
            errors.append(error)

    threads = [threading.Thread(target=run, args=(number,)) for number in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if errors:
        raise errors[0]


def test_twenty_clients_write_their_own_and_lose_nothing(store):
    def client(number):
        for turn in range(3):
            with store.write() as session:
                plan = create_plan(session, f"title = '{number}.{turn}'", now=NOON)
            with store.write() as session:
                save_plan(session, plan.id, 1, f"title = '{number}.{turn} again'", now=NOON)

    together(client, 20)
    with store.read() as session:
        titles = Counter(plan.title for plan in list_plans(session))
    assert titles == Counter(f"{n}.{t} again" for n in range(20) for t in range(3))


def test_twenty_clients_on_one_plan_are_told_and_lose_nothing(store):
    with store.write() as session:
        plan = create_plan(session, "title = ''\n", now=NOON)
    told = []

    def client(number):
        for turn in range(2):
            while True:
                with store.read() as session:
                    seen = get_plan(session, plan.id)
                try:
                    with store.write() as session:
                        mine = f"{seen.text}# {number}.{turn}\n"
                        save_plan(session, plan.id, seen.version, mine, now=NOON)
                except StaleRecord as stale:
                    told.append((seen, stale))
                    continue
                break

    together(client, 20)
    with store.read() as session:
        last = get_plan(session, plan.id)
        texts = plan_texts(session, plan.id)
    lines = last.text.splitlines()[1:]
    assert Counter(lines) == Counter(f"# {n}.{t}" for n in range(20) for t in range(2))
    assert [t.version for t in texts] == list(range(41, 0, -1)), "each save is in the history"
    assert told, "no two clients ever met: the test proves nothing"
    for seen, stale in told:
        assert stale.version > seen.version
        assert stale.text.startswith(seen.text), "it carries the other's text"


def test_twenty_clients_in_four_processes_lose_nothing(address, python):
    with open_store(address, now=NOON) as store, store.write() as session:
        plan = create_plan(session, "title = 0", now=NOON)
    children = [
        subprocess.Popen(
            [*python, CHILD, "count", address, str(plan.id), "5", "1"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for _ in range(4)
    ]  # fmt: skip
    for child in children:
        assert [child.stdout.readline() for _ in range(2)] == ["ready\n", "open\n"]
    for child in children:  # all are open before the first begins
        child.stdin.write("go\n")
        child.stdin.flush()
    counted = []
    for child in children:
        output, _ = child.communicate(timeout=60)
        assert child.returncode == 0
        counted += [int(line.split()[1]) for line in output.splitlines()]
    assert sorted(counted) == list(range(1, 21)), "each number was acknowledged once"
    with open_store(address, now=NOON) as store, store.read() as session:
        assert get_plan(session, plan.id).text == "title = 20"
        assert len(plan_texts(session, plan.id)) == 21


def test_a_reader_sees_one_moment_while_another_writes(store):
    with store.write() as session:
        plan = create_plan(session, "title = 'before'", now=NOON)
    with store.read() as reader:
        assert len(list_plans(reader)) == 1
        with store.write() as writer:
            save_plan(writer, plan.id, 1, "title = 'after'", now=NOON)
        reader.expire_all()
        assert get_plan(reader, plan.id).title == "before"
    with store.read() as reader:
        assert get_plan(reader, plan.id).title == "after"


def test_a_reader_cannot_write(store):
    with pytest.raises(DBAPIError, match=r"readonly|read-only"), store.read() as session:
        session.execute(text("DELETE FROM plan"))
    with store.write() as session:  # and the connection can write again
        create_plan(session, "title = 'x'", now=NOON)


def test_a_write_is_all_or_nothing(store):
    def half():
        with store.write() as session:
            create_plan(session, "title = 'half'", now=NOON)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        half()
    with store.read() as session:
        assert list_plans(session) == ()


def test_a_write_inside_a_write_is_a_fault_of_ours(store):
    with store.write(), pytest.raises(RuntimeError, match="wait for itself"), store.write():
        pass
    with store.write() as session:
        create_plan(session, "title = 'x'", now=NOON)


@pytest.mark.parametrize("other", ["thread", "process"])
def test_whoever_waits_too_long_is_told(address, other):
    """Another process has its own lock, as a second store in this process has."""
    with open_store(address, now=NOON, patience_s=0.2) as store:
        second = store if other == "thread" else open_store(address, now=NOON, patience_s=0.2)
        with store.write() as session:
            create_plan(session, "title = 'slow'", now=NOON)
            refused = []

            def impatient():
                begun = time.monotonic()
                try:
                    with second.write() as late:
                        create_plan(late, "title = 'late'", now=NOON)
                except StoreBusy as busy:
                    refused.append((busy, time.monotonic() - begun))

            together(lambda _: impatient(), 1)
        second.close() if second is not store else None
        ((busy, waited_s),) = refused
        assert "nothing of this save was written" in busy.message()
        assert 0.1 < waited_s < 10
        with store.read() as session:
            assert [p.title for p in list_plans(session)] == ["slow"]
