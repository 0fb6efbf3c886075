"""The search for ways home: all cells, way after way, until each has one or none is left.

A cell that has a way home is done; the first way that leads home is its verdict. Ways are made as
they are needed, and the kernel tries them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression.supplied import (
    NO_WAY,
    OVER_BAR,
    SURFACED_MIN,
    UNDER_BAR,
    Outcomes,
    Rules,
    Sets,
    Tries,
    WaysHome,
)
from slatewright.supply.wayhome.arrays import losses_of, moments_of_all, sets_of, tries_of
from slatewright.supply.wayhome.ways import Chunk, LazyWays

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from slatewright.supply.wayhome.ladders import LadderBook
    from slatewright.supply.wayhome.profile import Profile
    from slatewright.supply.wayhome.tasks import Task

_NOTHING: Final = Chunk([], 0)
_LIMITS: Final = np.array([OVER_BAR, UNDER_BAR])


class Search:
    """The search of one grid.

    Parameters
    ----------
    tasks
        What is looked at.
    profiles
        The dive by how many levels it was deeper; the planned one first.
    book
        The ladders.
    rules
        What all ascents have in common.
    """

    def __init__(
        self,
        tasks: Sequence[Task],
        profiles: Mapping[int, Profile],
        book: LadderBook,
        rules: Rules,
    ) -> None:
        self._tasks = tasks
        self._book = book
        self.moments = moments_of_all(profiles, book)
        self.losses = losses_of(tasks, profiles)
        self.rules = rules
        self._ways_home = WaysHome(self.moments, self.losses, rules)
        self._meant = np.array([task.meant for task in tasks])
        self.found: Outcomes = self._ways_home.nothing_found()
        self.omitted_min = np.zeros(self._meant.size)
        self._known: Sets | None = None

    def run(self, steps: int) -> None:
        """Look for a way home in every cell.

        Parameters
        ----------
        steps
            In how many steps gradient factors are raised to 100/100; 1 to raise them at once.
        """
        found = self.found
        ways = {task.hands: LazyWays(task.hands, self._book) for task in self._tasks}
        while True:
            pending = self._meant & (found.home.reshape(self._meant.shape) == NO_WAY)
            some = pending.any(axis=1).tolist()
            needed = {
                task.hands for task, any_left in zip(self._tasks, some, strict=True) if any_left
            }
            chunks = {hands: ways[hands].next_chunk() for hands in needed}
            if not any(chunk.ways for chunk in chunks.values()):
                return
            sets = self._sets(chunks.values())
            of_tasks = [chunks.get(task.hands, _NOTHING) for task in self._tasks]
            tries = tries_of(of_tasks, self._meant.shape[1], len(self._book.mixes))
            before = found.home.copy()
            self._ways_home.search(sets, tries, np.flatnonzero(pending), found)
            if steps > 1:
                hurried = np.flatnonzero((found.home > before) & (found.raised > 0.0))
                self._ease(hurried, sets, tries, steps)

    def _sets(self, chunks: Iterable[Chunk]) -> Sets:
        """Return all sets, those included that are left when gases are left in turn."""
        for way in (way for chunk in chunks for way in chunk.ways if way.in_turn):
            self._book.close(way.own)
            self._book.close(way.others)
        self._known = sets_of(self._book, self.moments, self._known)
        return self._known

    def _ease(self, cells: NDArray[np.int64], sets: Sets, tries: Tries, steps: int) -> None:
        """Look for the lowest gradient factors with which hurried ways lead home, by halving.

        Then the same ways with all stops say by how many minutes they are cut short. Gas that is
        too little for these stops is breathed there as if it were enough where nothing else is
        left: the minutes are the least that were cut.
        """
        if not cells.size:
            return
        found, tries = self.found, _only_taken(tries, cells, self.found)
        limits = found.told[np.ix_(cells, _LIMITS)]
        least, most = np.zeros(cells.size, np.int64), np.full(cells.size, steps)
        while (open_ := most - least > 1).any():
            middle = (least + most) // 2
            tries.raised[cells] = middle / steps
            self._ways_home.search(sets, tries, cells[open_], found)
            works = open_ & (found.raised[cells] == tries.raised[cells])
            most = np.where(works, middle, most)
            least = np.where(open_ & ~works, middle, least)
        told = found.told[np.ix_(cells, _LIMITS)]
        found.told[np.ix_(cells, _LIMITS)] = np.maximum(told, limits)
        whole = self._ways_home.nothing_found()
        tries.raised[cells] = 0.0
        tries.counts[:] = 1
        self._ways_home.search(sets, tries, cells, whole)
        scheduled = whole.way[cells] >= 0
        omitted = whole.told[cells, SURFACED_MIN] - found.told[cells, SURFACED_MIN]
        omitted = np.where(omitted > 0.0, omitted, np.nan)
        self.omitted_min[cells] = np.where(scheduled, omitted, 0.0)


def _only_taken(tries: Tries, cells: NDArray[np.int64], found: Outcomes) -> Tries:
    """Return tries of which each cell has only the way that was taken from it."""
    first = tries.first.copy()
    first[cells] += found.way[cells] - tries.number[tries.first[cells]]
    return tries._replace(
        first=first, last=first + 1, raised=tries.raised.copy(), counts=tries.counts.copy()
    )
