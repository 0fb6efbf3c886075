"""Twenty clients edit at once: whatever was acknowledged is there, and nothing else."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor

from slatewright.store.plans import get_plan

from .calling import Caller

CLIENTS = 20
EDITS = 3
PATIENCE_S = 60
TEXT = """schema = "slatewright/plan/1"
title = "Shared"
units = "metric"
[[gas]]
mix = "18/45"
use = "bottom"
[[level]]
depth_m = 50
leave_at_min = 20
"""


def test_twenty_clients_on_one_plan_lose_nothing(app, store):
    """Each adds lines of its own to one text, saves over what it read, and reads anew if told."""
    with Caller(app) as first:
        plan_id = first.post("/api/plans", json={"text": TEXT}).json()["id"]
    at_once = threading.Barrier(CLIENTS)
    ends = time.monotonic() + PATIENCE_S
    told_stale = []

    def client(number):
        with Caller(app) as caller:
            at_once.wait()
            for edit in range(EDITS):
                line = f"# client {number}, edit {edit}\n"
                while True:
                    assert time.monotonic() < ends
                    plan = caller.get(f"/api/plans/{plan_id}").json()
                    mine = {"version": plan["version"], "text": plan["text"] + line}
                    saved = caller.put(f"/api/plans/{plan_id}", json=mine)
                    if saved.status_code == 200:
                        break
                    assert saved.status_code == 409, saved.text
                    told_stale.append(number)

    with ThreadPoolExecutor(CLIENTS) as pool:
        for done in [pool.submit(client, number) for number in range(CLIENTS)]:
            done.result()
    with store.read() as session:
        plan = get_plan(session, plan_id)
    lines = plan.text.removeprefix(TEXT).splitlines()
    assert sorted(lines) == sorted(
        f"# client {number}, edit {edit}" for number in range(CLIENTS) for edit in range(EDITS)
    )
    assert plan.version == 1 + CLIENTS * EDITS
    assert told_stale  # they did get in each other's way


def test_twenty_clients_on_twenty_benches_each_find_their_own(app, store):
    """Each types into a plan of its own and saves it through the page, all at the same time."""
    with Caller(app) as first:
        plans = [first.post("/api/plans", json={"text": TEXT}).json()["id"] for _ in range(CLIENTS)]
    at_once = threading.Barrier(CLIENTS)

    def client(number):
        with Caller(app) as caller:
            token = caller.token
            at_once.wait()
            for edit in range(2):
                form = {"token": token, "version": edit + 1, "text": TEXT, "rows": "level",
                        "level.0.was": "0", "level.0.depth_m": str(30 + number),
                        "level.0.leave_at_min": str(10 + edit)}  # fmt: skip
                typed = caller.post(f"/bench/{plans[number]}/sheet", data=form)
                assert typed.status_code in {200, 422}
                saved = caller.post(f"/bench/{plans[number]}/save", data=form)
                assert saved.status_code == 303, saved.text

    with ThreadPoolExecutor(CLIENTS) as pool:
        for done in [pool.submit(client, number) for number in range(CLIENTS)]:
            done.result(PATIENCE_S)
    with store.read() as session:
        for number, plan_id in enumerate(plans):
            plan = get_plan(session, plan_id)
            assert plan.version == 3
            assert f"depth_m = {30 + number}\n" in plan.text
            assert "leave_at_min = 11\n" in plan.text
