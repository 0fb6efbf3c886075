"""The way home of a dive, which takes longer than the rest: begun before a page asks for it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from typing import Final

from slatewright.desk.bench.result import Result
from slatewright.supply.wayhome import Grid, way_home

_KEPT: Final = 32
_AT_ONCE: Final = 2


class Grids:
    """The last ways home, by the keys of their results; none is computed twice at a time.

    Parameters
    ----------
    compute
        What computes one.
    """

    def __init__(self, compute: Callable[[Result], Grid]) -> None:
        self._compute = compute
        self._known: OrderedDict[str, Future[Grid]] = OrderedDict()
        self._lock = threading.Lock()
        self._pool = ThreadPoolExecutor(_AT_ONCE, "way-home")

    def begin(self, result: Result) -> None:
        """Begin to compute one; those that nobody has begun yet are put off, and wait to be asked.

        Parameters
        ----------
        result
            The dive.
        """
        if result.has_way:
            with self._lock:
                for key, other in list(self._known.items()):
                    if other.cancel():  # typed over before it was begun
                        del self._known[key]
            self._future(result)

    def of(self, result: Result) -> Grid | None:
        """Return the way home from every minute of a dive; None if nobody knows its gas.

        Parameters
        ----------
        result
            The dive.

        Raises
        ------
        InputError
            If a diver has no cylinder of a gas that the dive breathes.
        """
        if result.team is None:
            return None
        try:
            return self._future(result).result()
        except CancelledError:  # put off in favour of a later one, and wanted all the same
            return self._compute(result)

    def _future(self, result: Result) -> Future[Grid]:
        with self._lock:
            future = self._known.get(result.key)
            if future is None or future.cancelled():
                future = self._known[result.key] = self._pool.submit(self._compute, result)
            self._known.move_to_end(result.key)
            while len(self._known) > _KEPT:
                self._known.popitem(last=False)
            return future


def _grid(result: Result) -> Grid:
    if result.team is None:
        raise ValueError("a dive without cylinders has no way home to be judged")
    return way_home(result.dive, result.team)


GRIDS: Final = Grids(_grid)
