"""What the tests start and kill: a process that works on a store and says what it was promised.

Called with a task and its words; prints one line for each save that was acknowledged.
"""

from __future__ import annotations

import random
import sys
import threading
from datetime import UTC, datetime

from slatewright.store import open_store
from slatewright.store.faults import StaleRecord, StoreError
from slatewright.store.plans import create_plan, get_plan, save_plan

NOW = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
_OUTPUT = threading.Lock()


def say(*words: object) -> None:
    line = " ".join(str(word) for word in words) + "\n"
    with _OUTPUT:
        sys.stdout.write(line)
        sys.stdout.flush()


def text_of(seed: int, length: int) -> str:
    """Return a text that the test can make again: every part of it depends on the seed."""
    noise = random.Random(seed)  # noqa: S311 - no secret, and to be made again
    return f"title = '{seed}'\n# {noise.randbytes(length // 2).hex()}\n"


def keep_writing(address: str, first: int) -> None:
    """Write new plans, and new texts of them, until killed; some longer than many pages."""
    with open_store(address, now=NOW) as store:
        say("open")
        for seed in range(first, first + 100_000):
            length = (40, 900, 9_000, 60_000)[seed % 4]
            with store.write() as session:
                plan = create_plan(session, text_of(seed, length), now=NOW)
            say("saved", plan.id, plan.version, seed, length)
            with store.write() as session:
                plan = save_plan(session, plan.id, 1, text_of(-seed, length), now=NOW)
            say("saved", plan.id, plan.version, -seed, length)


def count_up(address: str, plan_id: int, clients: int, each: int) -> None:
    """Let clients add one to the number in a plan, each as often, reading again when told."""
    with open_store(address, now=NOW) as store:
        say("open")
        sys.stdin.readline()

        def client() -> None:
            for _ in range(each):
                while True:
                    with store.read() as session:
                        plan = get_plan(session, plan_id)
                    number = int(plan.text.removeprefix("title = ")) + 1
                    try:
                        with store.write() as session:
                            save_plan(session, plan_id, plan.version, f"title = {number}", now=NOW)
                    except StaleRecord:
                        continue
                    say("counted", number)
                    break

        threads = [threading.Thread(target=client) for _ in range(clients)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()


def open_it(address: str) -> None:
    """Open the store, and close it."""
    open_store(address, now=NOW).close()
    say("opened")


def hold(address: str) -> None:
    """Open the store, and keep it until told."""
    with open_store(address, now=NOW):
        say("open")
        sys.stdin.readline()


if __name__ == "__main__":
    say("ready")
    task, *words = sys.argv[1:]
    try:
        match task:
            case "write":
                keep_writing(words[0], int(words[1]))
            case "count":
                count_up(words[0], int(words[1]), int(words[2]), int(words[3]))
            case "open":
                open_it(words[0])
            case "hold":
                hold(words[0])
    except StoreError as error:
        say("refused", type(error).__name__, error.what)
