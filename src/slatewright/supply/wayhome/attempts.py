"""Tries solved and charged: each way from each minute, and gases left when they run out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.supply.wayhome.charging import TO, Charged, Load, Tracks, charge, cut
from slatewright.supply.wayhome.courses import CourseKind, Courses, Request
from slatewright.supply.wayhome.ladders import LadderBook, Rungs
from slatewright.supply.wayhome.tasks import Task
from slatewright.supply.wayhome.tries import SLACK_MOL, Outcome, Try

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from slatewright.physics.water import Water
    from slatewright.supply.wayhome.profile import Profile
    from slatewright.supply.wayhome.ways import Way

SAME_MIN: Final = 1e-9


class Attempts:
    """What solves and charges the tries of one grid.

    Parameters
    ----------
    profiles
        The dive by how many levels it was deeper.
    book, courses
        Ladders and ascents.
    water
        Pressure under water.
    temperature_k
        Temperature at which gas is breathed [K].
    """

    def __init__(
        self,
        profiles: dict[int, Profile],
        book: LadderBook,
        courses: Courses,
        water: Water,
        temperature_k: float,
    ) -> None:
        self._profiles = profiles
        self._book = book
        self.courses = courses
        self._water = water
        self._temperature_k = temperature_k
        self._starts: dict[tuple[int, frozenset[int], int], NDArray[np.int64]] = {}
        self._start_numbers: dict[bytes, int] = {}
        self.largest_imbalance_mol = 0.0

    def start_gas(self, task: Task, rungs: Rungs) -> NDArray[np.int64]:
        """Return what is breathed at the start of each ascent; see `LadderBook.start_gas`.

        Parameters
        ----------
        task
            The failure.
        rungs
            The gases at hand.
        """
        deeper = task.failure.levels_deeper
        key = (deeper, rungs.gases, int(rungs.reading))
        if key not in self._starts:
            moments = self._profiles[deeper].moments
            self._starts[key] = self._book.start_gas(
                rungs, moments.gas, moments.depth_m, moments.reach_m
            )
        return self._starts[key]

    def _kind(self, part: Try, raised: float) -> CourseKind:
        failure = part.found.task.failure
        start = self.start_gas(part.found.task, part.way.own)
        return CourseKind(
            ladder=part.way.own.number,
            start=self._start_numbers.setdefault(start.tobytes(), len(self._start_numbers)),
            hold_min=failure.hold_min,
            raised=raised,
            deeper=failure.levels_deeper,
            slow=failure.slow,
        )

    def charged(self, asked: Sequence[tuple[Try, NDArray[np.float64]]]) -> list[Outcome]:
        """Solve and charge tries, each at its own gradient factors; NaN for those left out."""
        pieces = []
        for part, raised in asked:
            for value in np.unique(raised[~np.isnan(raised)]).tolist():
                inside = np.flatnonzero(raised == value)
                pieces.append((part, value, inside, self._kind(part, value)))
        self.courses.solve(
            [Request(kind, part.at[inside], part.gas[inside]) for part, _, inside, kind in pieces]
        )
        outcomes = []
        for divers in sorted({len(part.found.task.order) for part, _, _, _ in pieces}):
            group = [piece for piece in pieces if len(piece[0].found.task.order) == divers]
            outcomes += self._charged_group(group)
        return outcomes

    def _charged_group(
        self, pieces: Sequence[tuple[Try, float, NDArray[np.int64], CourseKind]]
    ) -> list[Outcome]:
        solved = []
        for part, value, inside, kind in pieces:
            course = self.courses.numbers(kind, part.at[inside])
            have = course >= 0
            solved.append((part, value, kind, inside[have], course[have]))
        if not solved:
            return []
        every = np.concatenate([course for *_, course in solved])
        ladder = np.concatenate(
            [np.full(course.size, part.way.others.number) for part, *_, course in solved]
        )
        pairs, track = np.unique(np.stack([every, ladder]), axis=1, return_inverse=True)
        loads = [(part, part.at[inside]) for part, _, _, inside, _ in solved]
        tracks = self.courses.tracks(pairs[0], pairs[1])
        charged = self._charge(loads, track, tracks)
        outcomes, first = [], 0
        for part, value, kind, inside, course in solved:
            rows = slice(first, first + course.size)
            outcome = Outcome(
                part=part,
                raised=value,
                inside=inside,
                at=part.at[inside],
                course=course,
                over_bar=part.over_bar[inside],
                under_bar=part.under_bar[inside],
                charged=charged,
                rows=rows,
            )
            first += course.size
            if part.way.in_turn:
                outcome = self._in_turn(outcome, kind, _rows(tracks, track[rows]))
            outcomes.append(outcome)
        return outcomes

    def _charge(
        self,
        loads: Sequence[tuple[Try, NDArray[np.int64]]],
        track: NDArray[np.int64],
        tracks: Tracks,
    ) -> Charged:
        tasks = [(part.found.task, at) for part, at in loads]
        load = Load(
            track=track,
            available_mol=np.concatenate([task.available_mol[at] for task, at in tasks]),
            rmv_l_per_min=np.concatenate([_each(t.rmv_l_per_min, at.size) for t, at in tasks]),
            stressed_l_per_min=np.concatenate(
                [_each(t.stressed_l_per_min, at.size) for t, at in tasks]
            ),
        )
        charged = charge(load, tracks, self._water, temperature_k=self._temperature_k)
        used = charged.breathed_mol.sum(axis=1) - charged.lacking_mol
        drawn = (load.available_mol - charged.left_mol).sum(axis=1)
        imbalance = float(np.abs(used - drawn).max(initial=0.0))
        self.largest_imbalance_mol = max(self.largest_imbalance_mol, imbalance)
        return charged

    def _in_turn(self, outcome: Outcome, kind: CourseKind, tracks: Tracks) -> Outcome:
        """Leave each gas that runs out, a change before it does, for the next one at hand."""
        part = outcome.part
        course, charged = outcome.course.copy(), _cells(outcome.charged, outcome.rows)
        over, under = outcome.over_bar.copy(), outcome.under_bar.copy()
        used = Used(part.way, course.size)
        for _ in range(1 + len(part.way.own.gases | part.way.others.gases)):
            short = np.flatnonzero(charged.lacking_mol.sum(axis=1) > SLACK_MOL)
            if not short.size:
                break
            onward = self._leave(outcome, kind, tracks, charged, short, used)
            if onward is None:
                break
            cell, number, later, beyond = onward
            course[cell] = number
            over[cell] = np.maximum(over[cell], beyond[0])
            under[cell] = np.maximum(under[cell], beyond[1])
            tracks = _with_rows(tracks, cell, later)
            again = self._charge([(part, outcome.at[cell])], np.arange(cell.size), later)
            for name in Charged.__dataclass_fields__:
                getattr(charged, name)[cell] = getattr(again, name)
        rows = slice(0, course.size)
        return replace(
            outcome, course=course, over_bar=over, under_bar=under, charged=charged, rows=rows
        )

    def _leave(
        self,
        outcome: Outcome,
        kind: CourseKind,
        tracks: Tracks,
        charged: Charged,
        short: NDArray[np.int64],
        used: Used,
    ) -> tuple[NDArray[np.int64], NDArray[np.int64], Tracks, NDArray[np.float64]] | None:
        """Solve the rest of ascents anew from where a gas is left, on ladders without it.

        Returns which cells, their courses and tracks, and shape (2, n): by how much these go over
        the ppO2 limit and below the floor; None if no cell can go on.
        """
        settings = self._book.plan.settings
        began = self._profiles[kind.deeper].moments.minutes[outcome.at]
        own, others = used.without(short, charged.out_gas[short], self._book)
        leave_min = np.floor(charged.out_min - settings.switch_min - used.early_min + SAME_MIN)
        time = leave_min[short] > began[short]
        if not time.any():
            return None
        short = short[time]
        own = [rungs for rungs, ok in zip(own, time.tolist(), strict=True) if ok]
        others = [rungs for rungs, ok in zip(others, time.tolist(), strict=True) if ok]
        ends = cut(_rows(tracks, short), leave_min[short])
        place = np.arange(short.size)
        depth_m = ends.legs[place, ends.count - 1, TO]
        level = np.floor(depth_m / settings.stop_step_m + 1e-6).astype(np.int64)
        leads = np.array(
            [rungs.leads_up[at] for rungs, at in zip(own, level.tolist(), strict=True)]
        )
        short, ends, level = short[leads], _rows(ends, np.flatnonzero(leads)), level[leads]
        if not short.size:
            return None
        own_ladder = np.array([rungs.number for rungs in own])[leads]
        others_ladder = np.array([rungs.number for rungs in others])[leads]
        beyond = beyond_rules(
            [rungs for rungs, ok in zip(own, leads.tolist(), strict=True) if ok],
            [rungs for rungs, ok in zip(others, leads.tolist(), strict=True) if ok],
            level,
        )
        first = self._profiles[kind.deeper].first_stop[outcome.at[short]]
        solved_first = self.courses.first_stop[outcome.course[short]]
        reached = solved_first >= level
        first = np.where(first > 0, first, np.where(reached, solved_first, 0))
        number = self.courses.onward(ends, kind, outcome.at[short], own_ladder, first)
        good = number >= 0
        if not good.any():
            return None
        short, number = short[good], number[good]
        later = self.courses.tracks(number, others_ladder[good])
        before = _rows(ends, np.flatnonzero(good))
        width = min(before.others.shape[1], later.others.shape[1])
        earlier = np.arange(width) < before.count[:, np.newaxis]
        later.others[:, :width] = np.where(
            earlier, before.others[:, :width], later.others[:, :width]
        )
        return short, number, later, beyond[:, good]


def beyond_rules(
    own: Sequence[Rungs], others: Sequence[Rungs], level: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Return by how much ascents go over the ppO2 limit and below the floor.

    Parameters
    ----------
    own, others
        The ladders of n ascents, of the diver who is struck and of the others.
    level
        Shape (n,): where they begin.

    Returns
    -------
    ndarray
        Shape (2, n) [bar].
    """
    pairs = list(zip(own, others, level.tolist(), strict=True))
    over = [max(a.over_bar[at], b.over_bar[at]) for a, b, at in pairs]
    under = [max(a.under_bar[at], b.under_bar[at]) for a, b, at in pairs]
    return np.array([over, under])


class Used:
    """Which ladders each cell of a try climbs, while gases run out.

    Parameters
    ----------
    way
        The way at its beginning.
    cells
        How many there are.

    Attributes
    ----------
    early_min
        Shape (cells,): minutes by which a gas is left earlier than it seemed to be enough [min].
    """

    def __init__(self, way: Way, cells: int) -> None:
        self._own = [way.own] * cells
        self._others = [way.others] * cells
        self.early_min = np.zeros(cells)

    def without(
        self, cell: NDArray[np.int64], gas: NDArray[np.int64], book: LadderBook
    ) -> tuple[list[Rungs], list[Rungs]]:
        """Return the ladders of some cells without a gas each, and go on with them.

        Parameters
        ----------
        cell, gas
            Shape (n,): which cells, and which gas runs out.
        book
            The ladders.
        """
        for i, out in zip(cell.tolist(), gas.tolist(), strict=True):
            own, others = self._own[i], self._others[i]
            if out not in own.gases and out not in others.gases:
                self.early_min[i] += 1.0  # it ran out although it was left: leave it earlier
            self._own[i] = book.rungs(own.gases - {out}, own.reading)
            self._others[i] = book.rungs(others.gases - {out}, others.reading)
        return [self._own[i] for i in cell.tolist()], [self._others[i] for i in cell.tolist()]


def _rows(tracks: Tracks, which: NDArray[np.int64]) -> Tracks:
    return Tracks(tracks.legs[which], tracks.count[which], tracks.others[which], tracks.held[which])


def _with_rows(tracks: Tracks, which: NDArray[np.int64], new: Tracks) -> Tracks:
    """Return tracks with some of them replaced."""
    width = max(tracks.legs.shape[1], new.legs.shape[1])
    legs = np.zeros((tracks.count.size, width, tracks.legs.shape[2]))
    others = np.zeros((tracks.count.size, width), dtype=np.int64)
    legs[:, : tracks.legs.shape[1]] = tracks.legs
    others[:, : tracks.others.shape[1]] = tracks.others
    legs[which] = 0.0
    legs[which, : new.legs.shape[1]] = new.legs
    others[which, : new.others.shape[1]] = new.others
    count = tracks.count.copy()
    count[which] = new.count
    return Tracks(legs, count, others, tracks.held)


def _cells(charged: Charged, rows: slice) -> Charged:
    """Return some cells, to be written to."""
    return Charged(*(getattr(charged, name)[rows].copy() for name in Charged.__dataclass_fields__))


def _each(values: NDArray[np.float64], cells: int) -> NDArray[np.float64]:
    return np.broadcast_to(values, (cells, *values.shape))
