"""Ascents, solved once each however many cells they serve, and many at a time.

A course is told by the moment, by minutes held there, by the ladder climbed, by how far gradient
factors are raised, by how much deeper the stays were, and by the ascent rates.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression.batch import Batch, BatchSolution
from slatewright.decompression.draw import Tracks
from slatewright.decompression.outcome import Outcome
from slatewright.supply.wayhome.charging import (
    FROM,
    GAS,
    KIND,
    MINUTES,
    START,
    TO,
    gas_of_others,
    rows_of,
)
from slatewright.supply.wayhome.ladders import NO_GAS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from slatewright.decompression.settings import AscentSettings
    from slatewright.dive.gases import Locker
    from slatewright.physics.water import Water
    from slatewright.supply.wayhome.ladders import LadderBook
    from slatewright.supply.wayhome.profile import Profile

NOT_SOLVED: Final = -1
NO_SCHEDULE: Final = -2
_BOTTOM: Final = 1.0
_STOP: Final = 3.0
_FEW: Final = 150
"""So many ascents take no longer on one core than a second thread to start."""


@dataclass(frozen=True, slots=True)
class CourseKind:
    """What a set of ascents, one from each minute, has in common.

    Parameters
    ----------
    ladder
        The ladder climbed.
    start
        Whose gas is in the mouth: the number of a row of gases.
    hold_min
        Minutes held at depth before [min].
    raised
        How far gradient factors are raised to 100/100, 0 to 1 [-].
    deeper
        By how many levels the stays were deeper.
    slow
        True if the ascent is slow.
    """

    ladder: int
    start: int
    hold_min: float
    raised: float = 0.0
    deeper: int = 0
    slow: bool = False


@dataclass(frozen=True, eq=False)
class Request:
    """Ascents that are wanted: one kind, from some minutes, with the gas in the mouth."""

    kind: CourseKind
    at: NDArray[np.int64]
    gas: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Onward:
    """How ascents go on after a gas was left.

    Parameters
    ----------
    ladder
        Shape (n,): the ladders from there on.
    tension_bar
        Shape (n, 32): tensions when they began [bar].
    began_min
        Shape (n,): when they began [min].
    raised
        Shape (n,): how far gradient factors are raised [-].
    first_stop
        Shape (n,): level of the first stop so far, 0 if there was none.
    slow
        Shape (n,): True if the ascent is slow.
    mouth
        Shape (n,): the gas that the plan put into the mouth when they began.
    """

    ladder: NDArray[np.int64]
    tension_bar: NDArray[np.float64]
    began_min: NDArray[np.float64]
    raised: NDArray[np.float64]
    first_stop: NDArray[np.int64]
    slow: NDArray[np.bool_]
    mouth: NDArray[np.int64]


class Courses:
    """All ascents of a grid.

    Parameters
    ----------
    profiles
        The dive by how many levels it was deeper; 0 as planned.
    gases, book
        The gases, and the ladders.
    settings, slow_settings
        The ascent as planned, and a slow one.
    water
        Pressure under water.
    deepest_m
        No ascent begins deeper [m].
    """

    def __init__(
        self,
        profiles: Mapping[int, Profile],
        gases: Locker,
        book: LadderBook,
        settings: AscentSettings,
        slow_settings: AscentSettings,
        water: Water,
        deepest_m: float,
    ) -> None:
        self._profiles = profiles
        self._gases = gases
        self._book = book
        self._settings = {False: settings, True: slow_settings}
        self._water = water
        self._deepest_m = deepest_m
        self._batches: dict[tuple[bool, bool], Batch] = {}
        self._known: dict[CourseKind, NDArray[np.int64]] = {}
        self._legs = np.zeros((0, 1, 6))
        self.count = np.zeros(0, np.int64)
        self.held = np.zeros(0, np.int64)
        self.mouth = np.zeros(0, np.int64)
        self.surfaced_min = np.zeros(0)
        self.first_stop = np.zeros(0, np.int64)

    def numbers(self, kind: CourseKind, at: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return the numbers of courses that were solved.

        Parameters
        ----------
        kind
            Their kind.
        at
            Shape (n,): from which minutes.

        Returns
        -------
        ndarray
            Shape (n,): numbers, or `NO_SCHEDULE` where there is no schedule.
        """
        return self._known[kind][at]

    def tracks(self, course: NDArray[np.int64], others: NDArray[np.int64]) -> Tracks:
        """Return courses as they are breathed.

        Parameters
        ----------
        course
            Shape (n,): numbers of courses.
        others
            Shape (n,): places in the book of the gases of those alongside. While minutes are held
            they go on breathing what the plan put into their mouths, if they have it.
        """
        count = self.count[course]
        legs = self._legs[course, : max(1, int(count.max(initial=1)))]
        step_m = self._settings[False].stop_step_m
        places, back = np.unique(others, return_inverse=True)
        sets = [self._book.every[place] for place in places.tolist()]
        ladder = np.array([rungs.number for rungs in sets], dtype=np.int64)[back.reshape(-1)]
        mouth, held = self.mouth[course], self.held[course]
        has = np.array([[i in s.gases for i in range(len(self._book.mixes))] for s in sets])
        kept = has.reshape(places.size, -1)[back.reshape(-1), mouth]
        first = np.where(kept, mouth, NO_GAS)
        theirs = gas_of_others(legs, self._book.gas_at_level[ladder], first, held, step_m)
        return Tracks(legs, count, theirs, held)

    def solve(self, requests: list[Request]) -> None:
        """Solve what is wanted and not known yet.

        Parameters
        ----------
        requests
            What is wanted; the same may be wanted twice.
        """
        for slow in (False, True):
            for held in (False, True):
                wanted = [self._unknown(r) for r in requests
                          if r.kind.slow is slow and (r.kind.hold_min > 0.0) is held]  # fmt: skip
                wanted = [request for request in wanted if request.at.size]
                if wanted:
                    self._solve(wanted, slow=slow, held=held)

    def _unknown(self, request: Request) -> Request:
        size = self._profiles[request.kind.deeper].moments.minutes.size
        known = self._known.setdefault(request.kind, np.full(size, NOT_SOLVED))
        new = known[request.at] == NOT_SOLVED
        known[request.at[new]] = NO_SCHEDULE  # until it is solved: asked for once
        return Request(request.kind, request.at[new], request.gas[new])

    def _solve(self, wanted: list[Request], *, slow: bool, held: bool) -> None:
        many = sum(request.at.size for request in wanted) > _FEW
        batch = self._batch(slow=slow, many=many)
        settings = self._settings[slow]
        starts, gradients = [], []
        for request in wanted:
            kind, at = request.kind, request.at
            profile = self._profiles[kind.deeper]
            low, high = raised_factors(settings, kind.raised)
            gradients.append(profile.gradients(at, low, high))
            starts.append((profile, at))
        depth_m = np.concatenate([profile.moments.depth_m[at] for profile, at in starts])
        minute = np.concatenate([profile.moments.minutes[at] for profile, at in starts]) * 1.0
        tension = np.concatenate([profile.tension_bar[at] for profile, at in starts])
        gas = np.concatenate([request.gas for request in wanted])
        ladder = np.concatenate([np.full(r.at.size, r.kind.ladder) for r in wanted])
        lows, highs = zip(*gradients, strict=True)
        factors = (np.concatenate(lows), np.concatenate(highs))
        if held:
            staying = np.concatenate([p.moments.at_depth[at] for p, at in starts])
            hold = np.concatenate([np.full(r.at.size, r.kind.hold_min) for r in wanted])
            kind_of_hold = np.where(staying, _BOTTOM, _STOP)
            rows = np.stack([kind_of_hold, depth_m, depth_m, hold, gas * 1.0], axis=1)
            solved = batch.solve_dives(
                rows[:, np.newaxis], tension, ladder=ladder, gradients=factors, keep_legs=True
            )
        else:
            solved = batch.solve_ascents(
                depth_m, minute, gas, tension, ladder=ladder, gradients=factors, keep_legs=True
            )
        is_held = np.full(depth_m.size, int(held))
        mouth = np.concatenate([profile.moments.gas[at] for profile, at in starts])
        number = self._keep(solved, minute if held else None, held=is_held, mouth=mouth)
        done = 0
        for request in wanted:
            self._known[request.kind][request.at] = number[done : done + request.at.size]
            done += request.at.size

    def onward(self, tracks: Tracks, onward: Onward) -> NDArray[np.int64]:
        """Go on from the ends of tracks on other ladders.

        Parameters
        ----------
        tracks
            Ascents, cut where a gas is left.
        onward
            How each goes on.

        Returns
        -------
        ndarray
            Shape (n,): numbers of courses, the tracks included, or `NO_SCHEDULE`.
        """
        number = np.full(tracks.count.size, NO_SCHEDULE)
        for slow in (False, True):
            which = np.flatnonzero(onward.slow == slow)
            if which.size:
                part = Onward(*(getattr(onward, f.name)[which] for f in fields(Onward)))
                number[which] = self._onward(rows_of(tracks, which), part, slow=slow)
        return number

    def _onward(self, tracks: Tracks, onward: Onward, *, slow: bool) -> NDArray[np.int64]:
        settings = self._settings[slow]
        rows = tracks.legs[:, : int(tracks.count.max()), [KIND, FROM, TO, MINUTES, GAS]]
        ends = tracks.legs[np.arange(tracks.count.size), tracks.count - 1, TO]
        level = np.floor(ends / settings.stop_step_m + 1e-6)
        low = settings.gradient_low + onward.raised * (1.0 - settings.gradient_low)
        high = settings.gradient_high + onward.raised * (1.0 - settings.gradient_high)
        first = np.maximum(onward.first_stop, 1)
        share = np.where(onward.first_stop > 0, np.minimum(1.0, level / first), 1.0)
        solved = self._batch(slow=slow, many=level.size > _FEW).solve_dives(
            rows,
            onward.tension_bar,
            ladder=onward.ladder,
            gradients=(high + (low - high) * share, high),
            keep_legs=True,
        )
        return self._keep(solved, onward.began_min, held=tracks.held, mouth=onward.mouth)

    def _keep(
        self,
        solved: BatchSolution,
        began_min: NDArray[np.float64] | None,
        *,
        held: NDArray[np.int64],
        mouth: NDArray[np.int64],
    ) -> NDArray[np.int64]:
        """Keep what was solved and return its numbers; planned legs count from their own start."""
        if solved.leg_rows is None or solved.leg_count is None:
            raise ValueError("the legs were not kept")
        good = np.flatnonzero(solved.outcome == Outcome.SOLVED)
        count = solved.leg_count[good]
        width = int(count.max(initial=1))
        legs = np.where(
            np.arange(width)[:, np.newaxis] < count[:, np.newaxis, np.newaxis],
            solved.leg_rows[good, :width],
            0.0,
        )
        surfaced_min = solved.runtime_min[good]
        if began_min is not None:
            legs[:, :, START] += began_min[good, np.newaxis]
            surfaced_min = surfaced_min + began_min[good]
        number = np.full(solved.outcome.shape, NO_SCHEDULE)
        number[good] = self.count.size + np.arange(good.size)
        self._room_for(good.size, width)
        step_m = self._settings[False].stop_step_m
        first = np.round(solved.first_stop_m[good] / step_m).astype(np.int64)
        self._legs[self.count.size : self.count.size + good.size, :width] = legs
        self.count = np.concatenate([self.count, count])
        self.held = np.concatenate([self.held, held[good]])
        self.mouth = np.concatenate([self.mouth, mouth[good]])
        self.surfaced_min = np.concatenate([self.surfaced_min, surfaced_min])
        self.first_stop = np.concatenate([self.first_stop, first])
        return number

    def _room_for(self, more: int, width: int) -> None:
        """Make the sheet of legs larger, by half at least, so that it is copied seldom."""
        have, wide = self._legs.shape[:2]
        need = self.count.size + more
        if need > have or width > wide:
            rows = max(need, have + have // 2) if need > have else have
            every = np.zeros((rows, max(wide, width), 6))
            every[: self.count.size, :wide] = self._legs[: self.count.size]
            self._legs = every

    def _batch(self, *, slow: bool, many: bool) -> Batch:
        key = (slow, many)
        known = self._batches.get(key)
        if known is None or len(known.ladders) < len(self._book.ladders):
            known = Batch(
                self._gases.rising,
                self._book.ladders,
                self._settings[slow],
                self._water,
                self._deepest_m,
                threads=None if many else 1,
            )
            self._batches[key] = known
        return known


def raised_factors(settings: AscentSettings, raised: float) -> tuple[float, float]:
    """Return gradient factors raised towards 100/100.

    Parameters
    ----------
    settings
        The factors of the plan.
    raised
        How far, 0 to 1 [-].

    Returns
    -------
    tuple
        Low and high [-].
    """
    low, high = settings.gradient_low, settings.gradient_high
    return low + raised * (1.0 - low), high + raised * (1.0 - high)


def slow_settings(settings: AscentSettings, share: float) -> AscentSettings:
    """Return settings with slower ascents.

    Parameters
    ----------
    settings
        The planned ones.
    share
        The rates, as a share of the planned ones [-].
    """
    return replace(
        settings,
        to_first_stop_m_per_min=settings.to_first_stop_m_per_min * share,
        between_stops_m_per_min=settings.between_stops_m_per_min * share,
        to_surface_m_per_min=settings.to_surface_m_per_min * share,
    )
