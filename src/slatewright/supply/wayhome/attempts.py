"""Tries solved and charged: each way from each minute, and gases left when they run out."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression.draw import Drawn, Tracks, draw
from slatewright.supply.breathing import breathed_amount_mol
from slatewright.supply.wayhome.charging import TO, cut, joined, out_min, rows_of
from slatewright.supply.wayhome.courses import CourseKind, Courses, Onward, Request
from slatewright.supply.wayhome.ladders import LadderBook, Rungs
from slatewright.supply.wayhome.tasks import Task
from slatewright.supply.wayhome.tries import SLACK_MOL, Outcome, Try

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from slatewright.physics.water import Water
    from slatewright.supply.wayhome.profile import Profile

_SAME_MIN: Final = 1e-9


@dataclass(frozen=True, eq=False)
class _Piece:
    """Some minutes of a try at the same gradient factors."""

    part: Try
    raised: float
    inside: NDArray[np.int64]
    kind: CourseKind


@dataclass(frozen=True, eq=False)
class _Cells:
    """All minutes of some pieces that have a schedule, one entry each; some change in place."""

    piece: NDArray[np.int64]
    inside: NDArray[np.int64]
    at: NDArray[np.int64]
    course: NDArray[np.int64]
    own: NDArray[np.int64]
    others: NDArray[np.int64]
    over_bar: NDArray[np.float64]
    under_bar: NDArray[np.float64]
    in_turn: NDArray[np.bool_]


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
        self._mol_per_l_bar = breathed_amount_mol(1.0, 1.0, 1.0, temperature_k)
        self._starts: dict[tuple[int, frozenset[int], int], NDArray[np.int64]] = {}
        self._start_numbers: dict[tuple[int, frozenset[int], int], int] = {}
        self._alike: dict[bytes, int] = {}
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

    def charged(self, asked: Sequence[tuple[Try, NDArray[np.float64]]]) -> list[Outcome]:
        """Solve and charge tries.

        Parameters
        ----------
        asked
            Tries, each with how far gradient factors are raised from each of its minutes; not a
            number for those left out.

        Returns
        -------
        list
            One outcome for each try and each value of its gradient factors.
        """
        pieces = [
            _Piece(part, value, np.flatnonzero(raised == value), self._kind(part, value))
            for part, raised in asked
            for value in np.unique(raised[~np.isnan(raised)]).tolist()
        ]
        self.courses.solve(
            [Request(p.kind, p.part.at[p.inside], p.part.gas[p.inside]) for p in pieces]
        )
        return self._charged_together(pieces) if pieces else []

    def _kind(self, part: Try, raised: float) -> CourseKind:
        failure = part.found.task.failure
        own = part.way.own
        key = (failure.levels_deeper, own.gases, int(own.reading))
        if key not in self._start_numbers:  # sets that begin alike share their ascents
            start = self.start_gas(part.found.task, own).tobytes()
            self._start_numbers[key] = self._alike.setdefault(start, len(self._alike))
        return CourseKind(
            ladder=own.number,
            start=self._start_numbers[key],
            hold_min=failure.hold_min,
            raised=raised,
            deeper=failure.levels_deeper,
            slow=failure.slow,
        )

    def _charged_together(self, pieces: Sequence[_Piece]) -> list[Outcome]:
        cells = self._cells(pieces)
        pairs, track = np.unique(
            np.stack([cells.course, cells.others]), axis=1, return_inverse=True
        )
        tracks, track = self.courses.tracks(pairs[0], pairs[1]), track.reshape(-1)
        everything = np.arange(cells.at.size)
        drawn = self._draw(pieces, cells, everything, tracks, track)
        self._leave_in_turn(pieces, cells, tracks, track, drawn)
        outcomes = []
        for number, piece in enumerate(pieces):
            rows = slice(*np.searchsorted(cells.piece, [number, number + 1]).tolist())
            outcomes.append(
                Outcome(
                    part=piece.part,
                    raised=piece.raised,
                    inside=cells.inside[rows],
                    at=cells.at[rows],
                    course=cells.course[rows],
                    over_bar=cells.over_bar[rows],
                    under_bar=cells.under_bar[rows],
                    charged=drawn,
                    rows=rows,
                )
            )
        return outcomes

    def _cells(self, pieces: Sequence[_Piece]) -> _Cells:
        parts = []
        for number, piece in enumerate(pieces):
            part, inside = piece.part, piece.inside
            course = self.courses.numbers(piece.kind, part.at[inside])
            inside, course = inside[course >= 0], course[course >= 0]
            size = course.size
            parts.append(
                _Cells(
                    piece=np.full(size, number),
                    inside=inside,
                    at=part.at[inside],
                    course=course,
                    own=np.full(size, part.way.own.index),
                    others=np.full(size, part.way.others.index),
                    over_bar=part.over_bar[inside],
                    under_bar=part.under_bar[inside],
                    in_turn=np.full(size, part.way.in_turn),
                )
            )
        return _Cells(
            *(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(_Cells))
        )

    def _draw(
        self,
        pieces: Sequence[_Piece],
        cells: _Cells,
        which: NDArray[np.int64],
        tracks: Tracks,
        track: NDArray[np.int64],
    ) -> Drawn:
        tasks = [piece.part.found.task for piece in pieces]
        piece, at = cells.piece[which], cells.at[which]
        bounds = np.searchsorted(piece, np.arange(len(tasks) + 1)).tolist()
        available = np.empty((which.size, *tasks[0].available_mol.shape[1:]))
        for task, first, last in zip(tasks, bounds, bounds[1:], strict=False):
            available[first:last] = task.available_mol[at[first:last]]
        drawn = draw(
            tracks,
            track,
            available,
            np.array([task.rmv_l_per_min for task in tasks])[piece],
            np.array([task.stressed_l_per_min for task in tasks])[piece],
            self._water,
            mol_per_l_bar=self._mol_per_l_bar,
        )
        used = drawn.breathed_mol.sum(axis=1) - drawn.lacking_mol
        imbalance = np.abs(used - (available - drawn.left_mol).sum(axis=1))
        self.largest_imbalance_mol = max(
            self.largest_imbalance_mol, float(imbalance.max(initial=0.0))
        )
        return drawn

    def _leave_in_turn(
        self,
        pieces: Sequence[_Piece],
        cells: _Cells,
        tracks: Tracks,
        track: NDArray[np.int64],
        drawn: Drawn,
    ) -> None:
        """Leave each gas that runs out, a change before it does, for the next one; in place."""
        may = cells.in_turn.copy()
        early_min = np.zeros(may.size)
        ends_min = out_min(drawn, tracks, track, self._water)
        for _ in range(1 + len(self._book.mixes)):
            short = np.flatnonzero(may & (drawn.lacking_mol.sum(axis=1) > SLACK_MOL))
            may[short] = False  # only those that can go on may once more
            own, was_own = self._book.without(cells.own[short], drawn.out_gas[short])
            others, was_theirs = self._book.without(cells.others[short], drawn.out_gas[short])
            # a gas that ran out although it was left already is left earlier
            early_min[short] += ~(was_own | was_theirs)
            leave_min = self._leave_min(ends_min[short] - early_min[short])
            began_min = self._of_moments(pieces, cells, short, "minutes")
            ready = leave_min > began_min
            short, own, others = short[ready], own[ready], others[ready]
            if not short.size:
                return
            ended = cut(rows_of(tracks, track[short]), leave_min[ready])
            depth_m = ended.legs[np.arange(short.size), ended.count - 1, TO]
            level = self._level(depth_m)
            ready = np.asarray(self._book.at_level("leads_up", own, level))
            short, own, others, level = (a[ready] for a in (short, own, others, level))
            if not short.size:
                return
            ended = rows_of(ended, np.flatnonzero(ready))
            number = self.courses.onward(ended, self._onward(pieces, cells, short, own, level))
            good = number >= 0
            if not good.any():
                return
            short, own, others, level = (a[good] for a in (short, own, others, level))
            later = self._spliced(rows_of(ended, np.flatnonzero(good)), number[good], others)
            again = self._draw(pieces, cells, short, later, np.arange(short.size))
            for field in fields(Drawn):
                getattr(drawn, field.name)[short] = getattr(again, field.name)
            ends_min[short] = out_min(again, later, np.arange(short.size), self._water)
            track[short] = tracks.count.size + np.arange(short.size)
            tracks = joined(tracks, later)
            cells.course[short], cells.own[short], cells.others[short] = number[good], own, others
            for name, values in (("over_bar", cells.over_bar), ("under_bar", cells.under_bar)):
                for ladder in (own, others):
                    beyond = self._book.at_level(name, ladder, level)
                    values[short] = np.maximum(values[short], beyond)
            may[short] = True

    def _leave_min(self, ends_min: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the whole minute from which there is still time to change gas."""
        return np.floor(ends_min - self._book.plan.settings.switch_min + _SAME_MIN)

    def _level(self, depth_m: NDArray[np.float64]) -> NDArray[np.int64]:
        step_m = self._book.plan.settings.stop_step_m
        return np.floor(depth_m / step_m + 1e-6).astype(np.int64)

    def _of_moments(
        self, pieces: Sequence[_Piece], cells: _Cells, which: NDArray[np.int64], name: str
    ) -> NDArray[np.int64]:
        """Return something of the minutes at which cells begin."""
        deeper = np.array([piece.kind.deeper for piece in pieces])[cells.piece[which]]
        found = np.empty(which.size, dtype=np.int64)
        for levels, profile in self._profiles.items():
            here = deeper == levels
            found[here] = getattr(profile.moments, name)[cells.at[which[here]]]
        return found

    def _onward(
        self,
        pieces: Sequence[_Piece],
        cells: _Cells,
        which: NDArray[np.int64],
        own: NDArray[np.int64],
        level: NDArray[np.int64],
    ) -> Onward:
        piece, at = cells.piece[which], cells.at[which]
        deeper = np.array([piece.kind.deeper for piece in pieces])[piece]
        tension = np.empty((which.size, 32))
        first = np.empty(which.size, dtype=np.int64)
        for levels, profile in self._profiles.items():
            here = deeper == levels
            tension[here] = profile.tension_bar[at[here]]
            first[here] = profile.first_stop[at[here]]
        solved = self.courses.first_stop[cells.course[which]]
        return Onward(
            ladder=np.array([rungs.number for rungs in self._book.every])[own],
            tension_bar=tension,
            began_min=self._of_moments(pieces, cells, which, "minutes").astype(np.float64),
            raised=np.array([piece.raised for piece in pieces])[piece],
            # the stop of this ascent counts once it has been reached
            first_stop=np.where(first > 0, first, np.where(solved >= level, solved, 0)),
            slow=np.array([piece.kind.slow for piece in pieces])[piece],
            mouth=self._of_moments(pieces, cells, which, "gas"),
        )

    def _spliced(
        self, ended: Tracks, number: NDArray[np.int64], others: NDArray[np.int64]
    ) -> Tracks:
        """Return tracks that go on: up to the change the others breathe what they did."""
        later = self.courses.tracks(number, others)
        width = min(ended.others.shape[1], later.others.shape[1])
        before = np.arange(width) < ended.count[:, np.newaxis]
        later.others[:, :width] = np.where(before, ended.others[:, :width], later.others[:, :width])
        return later
