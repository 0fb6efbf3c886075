"""How often a password may be tried: each failure makes the next try wait longer."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Final

FREE_TRIES: Final = 5
FIRST_WAIT_S: Final = 10.0
LONGEST_WAIT_S: Final = 900.0
"""Failures are forgotten after as long."""
_MOST_CLIENTS: Final = 1000
EVERYBODY: Final = ""
"""Counts the failures of all clients together, with ten times as many tries."""
_FACTOR: Final = 10


class Limiter:
    """Counts failures by client, and those of all clients together.

    Parameters
    ----------
    seconds
        Tells seconds that only grow.
    """

    def __init__(self, seconds: Callable[[], float]) -> None:
        self._seconds = seconds
        self._failures: dict[str, tuple[int, float]] = {}
        self._lock = threading.Lock()

    def begin(self, client: str) -> float:
        """Note a try as failed until it succeeds, unless the client must wait.

        Noting it beforehand keeps many tries at once from all counting as the first.

        Parameters
        ----------
        client
            The client's address.

        Returns
        -------
        float
            How long the client must wait; 0 if it may try now [s].
        """
        with self._lock:
            wait_s = max(
                self._wait_s(client, FREE_TRIES), self._wait_s(EVERYBODY, FREE_TRIES * _FACTOR)
            )
            if wait_s > 0.0:
                return wait_s
            now = self._seconds()
            for who in (client, EVERYBODY):
                count, last = self._failures.pop(who, (0, now))
                count = 0 if now - last > LONGEST_WAIT_S else count
                self._failures[who] = (count + 1, now)  # the latest stands last
            while len(self._failures) > _MOST_CLIENTS:
                self._failures.pop(next(iter(self._failures)))
            return 0.0

    def succeeded(self, client: str) -> None:
        """Forget a client's failures.

        Parameters
        ----------
        client
            The client's address.
        """
        with self._lock:
            self._failures.pop(client, None)
            count, last = self._failures.get(EVERYBODY, (1, 0.0))
            self._failures[EVERYBODY] = (max(count - 1, 0), last)

    def _wait_s(self, who: str, free: int) -> float:
        count, last = self._failures.get(who, (0, 0.0))
        if count < free:
            return 0.0
        wait_s = min(FIRST_WAIT_S * 2.0 ** min(count - free, 10), LONGEST_WAIT_S)
        return max(0.0, last + wait_s - self._seconds())
