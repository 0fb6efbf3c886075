"""The search for ways home: all cells at once, way after way, until each has one or none is left.

A cell that has a way home is done; the first way that leads home is its verdict.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.supply.wayhome.attempts import Attempts
from slatewright.supply.wayhome.ladders import NO_GAS, LadderBook
from slatewright.supply.wayhome.tasks import LazyWays, Task
from slatewright.supply.wayhome.tries import SLACK_MOL, Found, Outcome, Try
from slatewright.supply.wayhome.verdicts import Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from slatewright.supply.wayhome.profile import Profile
    from slatewright.supply.wayhome.ways import Way

MOST_CELLS: Final = 3000
"""How many cells are charged at a time, about: what they take of memory [-]."""


class Search:
    """The search of one grid.

    Parameters
    ----------
    tasks
        What is looked at.
    profiles
        The dive by how many levels it was deeper.
    book
        The ladders.
    attempts
        What solves and charges.
    gradient_steps
        In how many steps gradient factors are raised.
    """

    def __init__(
        self,
        tasks: Sequence[Task],
        profiles: dict[int, Profile],
        book: LadderBook,
        attempts: Attempts,
        gradient_steps: int,
    ) -> None:
        minutes = profiles[0].moments.minutes.size
        self.found = [Found(task, minutes, len(book.mixes)) for task in tasks]
        self.ways = [LazyWays(task, book) for task in tasks]
        self._profiles = profiles
        self._book = book
        self._attempts = attempts
        self._steps = gradient_steps

    def run(self, *, ease: bool = True) -> list[Found]:
        """Look for a way home in every cell.

        Parameters
        ----------
        ease
            False to leave hurried ways at 100/100.
        """
        chunk, more = 0, True
        while more:
            tries, more = [], False
            for found, ways in zip(self.found, self.ways, strict=True):
                if (found.verdict == Verdict.NO_WAY).any():
                    numbers = ways.chunk(chunk)
                    more = more or bool(numbers)
                    tries += [(found, number, ways[number]) for number in numbers]
            tries.sort(key=lambda entry: entry[1])
            while tries:
                group: list[Try] = []
                cells = 0
                while tries and cells < MOST_CELLS:
                    part = self._try(*tries.pop(0))
                    if part is not None:
                        group.append(part)
                        cells += part.at.size
                if group:
                    self._take(group)
            chunk += 1
        if ease:
            self._ease()
        return self.found

    def _try(self, found: Found, number: int, way: Way) -> Try | None:
        """Return the minutes that need a way and have this one, with what is breathed first."""
        at = np.flatnonzero(found.verdict == Verdict.NO_WAY)
        if way.untouched:
            # to leave gases that were neither too little nor shared makes the others less; only
            # the minutes of one change may be saved by it
            tight = found.tight[at][:, sorted(way.untouched)].sum(axis=1)
            at = at[tight >= len(way.untouched) - 1]
        moments = self._profiles[found.task.failure.levels_deeper].moments
        at = at[way.own.leads_up[moments.level[at]]]
        if not at.size:
            return None
        gas = self._attempts.start_gas(found.task, way.own)[at]
        at, gas = at[gas != NO_GAS], gas[gas != NO_GAS]
        level = moments.level[at]
        over = np.maximum(
            self._book.over_limit_bar(gas, moments.depth_m[at]),
            np.maximum(way.own.over_bar, way.others.over_bar)[level],
        )
        under = np.maximum(
            self._book.under_floor_bar(gas, moments.reach_m[at]),
            np.maximum(way.own.under_bar, way.others.under_bar)[level],
        )
        if not way.beyond:
            within = (over == 0.0) & (under == 0.0)
            at, gas, over, under = at[within], gas[within], over[within], under[within]
        return Try(found, number, way, at, gas, over, under) if at.size else None

    def _take(self, tries: Sequence[Try]) -> None:
        """Try ways, hurried ones at 100/100; note where they lead home, or what they lack."""
        asked = [(part, np.full(part.at.size, 1.0 * part.way.hurried)) for part in tries]
        outcomes = self._attempts.charged(asked)
        for outcome in sorted(outcomes, key=lambda outcome: outcome.part.number):
            found, way = outcome.part.found, outcome.part.way
            self._note(outcome, outcome.enough & (found.verdict[outcome.at] == Verdict.NO_WAY))
            found.tight[outcome.at] |= outcome.tight
            if way.beyond or way.hurried:
                continue
            lacking = outcome.lacking_mol
            total = lacking.sum(axis=1)
            less = ~outcome.enough & (total < found.lacking_total_mol[outcome.at])
            less &= found.verdict[outcome.at] == Verdict.NO_WAY
            at = outcome.at[less]
            found.lacking_total_mol[at] = total[less]
            found.lacking_mol[at] = lacking[less]
            found.way[at] = outcome.part.number

    def _ease(self) -> None:
        """Where a hurried way leads home, look for the lowest gradient factors that are enough."""
        tries: list[Try] = []
        for found, ways in zip(self.found, self.ways, strict=True):
            hurried = (found.verdict == Verdict.HURRIED) | (
                found.verdict == Verdict.HURRIED_BEYOND_LIMITS
            )
            for number in np.unique(found.way[hurried]).tolist():
                at = np.flatnonzero(hurried & (found.way == number))
                gas = self._attempts.start_gas(found.task, ways[number].own)[at]
                over, under = found.over_bar[at], found.under_bar[at]
                tries.append(Try(found, number, ways[number], at, gas, over, under))
        if not tries:
            return
        least = [np.zeros(part.at.size, dtype=np.int64) for part in tries]
        most = [np.full(part.at.size, self._steps) for part in tries]
        place = {id(part): i for i, part in enumerate(tries)}
        while any((high - low > 1).any() for low, high in zip(least, most, strict=True)):
            middle = [(low + high) // 2 for low, high in zip(least, most, strict=True)]
            asked = [
                (part, np.where(high - low > 1, mid / self._steps, np.nan))
                for part, low, mid, high in zip(tries, least, middle, most, strict=True)
            ]
            works = [np.zeros(part.at.size, dtype=np.bool_) for part in tries]
            for outcome in self._attempts.charged(asked):
                i = place[id(outcome.part)]
                works[i][outcome.inside] = outcome.enough
                self._note(outcome, outcome.enough)
            for i, (_, raised) in enumerate(asked):
                most[i] = np.where(~np.isnan(raised) & works[i], middle[i], most[i])
                least[i] = np.where(~np.isnan(raised) & ~works[i], middle[i], least[i])
        self._note_omitted(tries)

    def _note(self, outcome: Outcome, home: NDArray[np.bool_]) -> None:
        """Note the minutes from which a try leads home."""
        part, found = outcome.part, outcome.part.found
        at = outcome.at[home]
        if not at.size:
            return
        task, charged = found.task, outcome.charged
        left = charged.left_mol[outcome.rows][home]
        last = charged.last_min[outcome.rows][home]
        breathed = charged.breathed_mol[outcome.rows][home]
        drawn = task.available_mol[at] - left
        full = np.where(task.full_mol > 0.0, task.full_mol, 1.0)
        share = np.where(last >= 0.0, left / full, np.inf).reshape(at.size, -1)
        scarce = np.argmin(share, axis=1)
        cell = np.arange(at.size)
        touched = np.isfinite(share[cell, scarce])
        gases = task.full_mol.shape[1]
        over, under = outcome.over_bar[home], outcome.under_bar[home]
        beyond = (over > 0.0) | (under > 0.0)
        hurried = np.full(at.shape, part.way.hurried)
        found.verdict[at] = np.where(
            beyond,
            np.where(hurried, Verdict.HURRIED_BEYOND_LIMITS, Verdict.BEYOND_LIMITS),
            np.where(hurried, Verdict.HURRIED, Verdict.HOME),
        )
        found.surfaced_min[at] = self._attempts.courses.surfaced_min[outcome.course[home]]
        found.share[at] = np.where(touched, share[cell, scarce], np.nan)
        found.scarce_diver[at] = np.where(touched, np.array(task.order)[scarce // gases], -1)
        found.scarce_gas[at] = np.where(touched, scarce % gases, -1)
        last = last.reshape(at.size, -1)[cell, scarce]
        found.scarce_until_min[at] = np.where(touched, last, np.nan)
        found.over_bar[at] = over
        found.under_bar[at] = under
        found.raised[at] = outcome.raised
        found.way[at] = part.number
        found.course[at] = outcome.course[home]
        found.breathed[at] = breathed[:, 0] > 0.0
        found.shared[at] = breathed[:, 0] - drawn[:, 0] > SLACK_MOL
        found.lacking_mol[at] = 0.0

    def _note_omitted(self, tries: Sequence[Try]) -> None:
        """Note by how many minutes stops are cut short: against the same way with all stops.

        Gas that is too little for these stops is breathed there as if it were enough where nothing
        else is left: the minutes are the least that were cut.
        """
        for outcome in self._attempts.charged([(part, np.zeros(part.at.size)) for part in tries]):
            found, at = outcome.part.found, outcome.at
            omitted = self._attempts.courses.surfaced_min[outcome.course] - found.surfaced_min[at]
            found.omitted_min[at] = np.where(omitted > 0.0, omitted, np.nan)
