"""The solver for many dives at once: arrays in, arrays out, on all cores.

Each dive is solved by the kernel that solves a single one, so results agree to the last digit with
those of `slatewright.decompression.ascent`, in any number of threads.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from slatewright.decompression import _checks as checks
from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.solve import solve_many
from slatewright.decompression._legs import MOST_LEGS, leg_of
from slatewright.decompression._machine import cores
from slatewright.decompression._tables import Tables, flat, make_scratch, make_tables
from slatewright.decompression._ways import Ways, float_array, index_array
from slatewright.decompression.ladder import NEAR_M, AscentGas, Ladder
from slatewright.decompression.leg import Leg
from slatewright.decompression.outcome import Outcome
from slatewright.decompression.settings import LONGEST_ASCENT_MIN, AscentSettings
from slatewright.decompression.tissues import Tissues
from slatewright.physics.water import Water

CHUNK: Final = 8192
"""How many dives a thread takes at a time, at most."""
_FEW: Final = 150
"""So many ascents take no longer on one core than a second thread to start."""


@dataclass(frozen=True, slots=True)
class BatchSolution:
    """Many solved dives. Numbers of a dive that has no schedule are NaN.

    Parameters
    ----------
    stop_min
        Shape (n, levels): minutes spent on the way up at each level, counted in steps from the
        surface; changes of gas and breaks included [min].
    first_stop_m
        Shape (n,): the first stop, 0 where there is none [m].
    runtime_min
        Shape (n,): run time at the surface [min].
    outcome
        Shape (n,): an `Outcome` each, as a number.
    end_bar
        Shape (n, 32): tensions on surfacing, nitrogen first [bar]; None unless asked for.
    leg_count
        Shape (n,): how many legs each dive has; None unless asked for.
    leg_rows
        Shape (n, most, 6): of each leg the kind (0 descent, 1 bottom, 2 ascent, 3 stop, 4 change
        of gas, 5 break), from and to [m], start and minutes [min], gas. Rows beyond a dive's own
        count mean nothing. None unless asked for.
    gases
        What the rows number.
    """

    stop_min: kernel.F64
    first_stop_m: kernel.F64
    runtime_min: kernel.F64
    outcome: kernel.I64
    end_bar: kernel.F64 | None
    leg_count: kernel.I64 | None
    leg_rows: kernel.F64 | None
    gases: tuple[AscentGas, ...]

    def __len__(self) -> int:
        return int(self.outcome.size)

    def outcome_of(self, dive: int) -> Outcome:
        """Return how the work on a dive ended.

        Parameters
        ----------
        dive
            Its number, from 0.
        """
        return Outcome(int(self.outcome[dive]))

    def legs_of(self, dive: int) -> tuple[Leg, ...]:
        """Return the legs of a dive, as the solver for single dives returns them.

        Parameters
        ----------
        dive
            Its number, from 0.

        Raises
        ------
        ValueError
            If the legs were not kept, or the dive has no schedule.
        """
        if self.leg_rows is None or self.leg_count is None:
            raise ValueError("the legs were not kept: solve with keep_legs=True")
        if self.outcome[dive] != Outcome.SOLVED:
            raise ValueError(f"dive {dive} has no schedule: {self.outcome_of(dive).name}")
        rows = self.leg_rows[dive, : self.leg_count[dive]].tolist()
        return tuple(leg_of(row, self.gases) for row in rows)


class Batch:
    """A solver prepared for many dives of one kind.

    Parameters
    ----------
    gases
        All gases, as legs and ladders number them.
    ladders
        Which gas is breathed at which level: one ladder for each set of gases at hand and each gas
        in the mouth. A ladder serves ascents from its foot and from anywhere above it.
    settings, water
        Model, ascent, pressure; the gradient factors serve where a call gives none.
    deepest_m
        No dive goes deeper [m].
    threads
        How many; None for one on each core. No result depends on it.

    Raises
    ------
    InputError
        If a ladder names a gas that is not there, there are too many gases, or a number is out of
        range.
    """

    def __init__(
        self,
        gases: Sequence[AscentGas],
        ladders: Sequence[Ladder],
        settings: AscentSettings,
        water: Water,
        deepest_m: float,
        *,
        threads: int | None = None,
    ) -> None:
        checks.check_numbers("a deepest depth", np.array([deepest_m]), 0.0, checks.DEEPEST_M, "m")
        self.gases = tuple(gases)
        self.ladders = tuple(ladders)
        self.settings = settings
        self.water = water
        self.deepest_m = float(deepest_m)
        self.threads = max(1, cores() if threads is None else threads)
        self._tables: dict[int, Tables] = {}
        checks.check_gases(self.gases, self._tables_for(settings.last_level).rungs)

    def solve_dives(
        self,
        planned: npt.ArrayLike,
        start: Tissues | npt.ArrayLike,
        *,
        ladder: npt.ArrayLike = 0,
        gradients: tuple[npt.ArrayLike, npt.ArrayLike] | None = None,
        keep_ends: bool = False,
        keep_legs: bool = False,
    ) -> BatchSolution:
        """Solve dives from their planned legs.

        Parameters
        ----------
        planned
            Shape (legs, 5) or (n or 1, legs, 5): kind, from and to [m], minutes [min], gas, as
            `slatewright.decompression.planned.planned_rows` makes them; 0 minutes are padding.
        start
            Tensions at the start, one person's, or shape (n or 1, 32), nitrogen first [bar].
        ladder
            Which ladder is climbed, n or one.
        gradients
            Low and high gradient factors, n or one each; None for those of the settings [-].
        keep_ends, keep_legs
            True to have the tensions on surfacing, and the legs.

        Returns
        -------
        BatchSolution
            A dive that has no schedule is no error here: see its outcome.

        Raises
        ------
        InputError
            If shapes do not fit, a number is out of range, or a ladder has no gas on the way.
        """
        rows = float_array(planned)
        rows = rows[np.newaxis] if rows.ndim == 2 else rows
        checks.check_planned(rows, self.deepest_m, len(self.gases))
        last = rows.shape[1] - 1 - np.argmax(rows[:, ::-1, 3] > 0.0, axis=1)
        ends = rows[np.arange(rows.shape[0]), last]
        ways = self._ways(
            rows, ends[:, 2], 0.0, ends[:, 4], start, ladder=ladder, gradients=gradients
        )
        return self._solve(ways, keep_ends=keep_ends, keep_legs=keep_legs)

    def solve_ascents(
        self,
        from_m: npt.ArrayLike,
        start_min: npt.ArrayLike,
        gas: npt.ArrayLike,
        start: Tissues | npt.ArrayLike,
        *,
        ladder: npt.ArrayLike = 0,
        gradients: tuple[npt.ArrayLike, npt.ArrayLike] | None = None,
        keep_ends: bool = False,
        keep_legs: bool = False,
    ) -> BatchSolution:
        """Solve the ascents from many moments.

        Parameters
        ----------
        from_m, start_min
            Depth and run time of the moments, n or one [m], [min].
        gas
            What is in the mouth, n or one.
        start
            Tensions at those moments, as for `solve_dives`.
        ladder, gradients, keep_ends, keep_legs
            As for `solve_dives`.

        Returns
        -------
        BatchSolution
            Run times count on from `start_min`; the legs are those of the ascent alone.

        Raises
        ------
        InputError
            As for `solve_dives`.
        """
        no_legs = np.zeros((1, 0, 5))
        ways = self._ways(
            no_legs, from_m, start_min, gas, start, ladder=ladder, gradients=gradients
        )
        checks.check_moments(ways.from_m, ways.start_min, self.deepest_m)
        return self._solve(ways, keep_ends=keep_ends, keep_legs=keep_legs)

    def _ways(
        self,
        planned: kernel.F64,
        from_m: npt.ArrayLike,
        start_min: npt.ArrayLike,
        gas: npt.ArrayLike,
        start: Tissues | npt.ArrayLike,
        *,
        ladder: npt.ArrayLike,
        gradients: tuple[npt.ArrayLike, npt.ArrayLike] | None,
    ) -> Ways:
        settings = self.settings
        low, high = gradients or (settings.gradient_low, settings.gradient_high)
        ways = Ways(
            planned=planned,
            from_m=float_array(from_m, 1),
            start_min=float_array(start_min, 1),
            gas=index_array("a gas", gas, len(self.gases)),
            ladder=index_array("a ladder", ladder, len(self.ladders)),
            start_bar=float_array(flat(start) if isinstance(start, Tissues) else start, 2),
            low=float_array(low, 1),
            high=float_array(high, 1),
        )
        ways.count()
        checks.check_start(ways.start_bar)
        checks.check_gradients(ways.low, ways.high)
        return ways

    def _solve(self, ways: Ways, *, keep_ends: bool, keep_legs: bool) -> BatchSolution:
        count = ways.count()
        rungs = self._tables_for(self.settings.last_level).rungs
        checks.check_ladders(ways.from_m, ways.ladder, rungs, self.settings)
        levels = int(self.deepest_m / self.settings.stop_step_m + NEAR_M) + 1
        ends, kept = count if keep_ends else 0, count if keep_legs else 0
        found = _Found(
            stop_min=np.zeros((count, levels)),
            first_stop=np.zeros(count, np.int64),
            runtime_min=np.zeros(count),
            outcome=np.zeros(count, np.int64),
            end_bar=np.empty((ends, kernel.WIDE)),
            leg_count=np.zeros(kept, np.int64),
            leg_rows=np.empty((kept, self._most_legs(ways.planned.shape[1]), 6)),
        )
        threads = self.threads if count > _FEW else 1
        jobs = list(self._jobs(ways, count, threads))
        if threads == 1:
            for job in jobs:
                self._run(ways, found, *job)
        else:
            with ThreadPoolExecutor(threads) as pool:
                for done in [pool.submit(self._run, ways, found, *job) for job in jobs]:
                    done.result()
        return self._told(found, keep_ends=keep_ends, keep_legs=keep_legs)

    def _told(self, found: _Found, *, keep_ends: bool, keep_legs: bool) -> BatchSolution:
        """Return what was found, without the halves of schedules that came to no end."""
        first_stop_m = np.asarray(found.first_stop * self.settings.stop_step_m, np.float64)
        refused = np.flatnonzero(found.outcome != Outcome.SOLVED)
        for numbers in (found.stop_min, first_stop_m, found.runtime_min):
            numbers[refused] = np.nan
        if keep_ends:
            found.end_bar[refused] = np.nan
        if keep_legs:
            found.leg_count[refused] = 0
        return BatchSolution(
            stop_min=found.stop_min,
            first_stop_m=first_stop_m,
            runtime_min=found.runtime_min,
            outcome=found.outcome,
            end_bar=found.end_bar if keep_ends else None,
            leg_count=found.leg_count if keep_legs else None,
            leg_rows=found.leg_rows if keep_legs else None,
            gases=self.gases,
        )

    def _jobs(self, ways: Ways, count: int, threads: int) -> Iterator[tuple[Tables, kernel.I64]]:
        """Yield the work in chunks of dives that have the same last stop.

        Ascents from above the last stop of the settings have a last stop of their own.
        """
        last = checks.last_levels(ways.from_m, self.settings)
        for last_level in np.unique(last).tolist():
            here = np.flatnonzero(last == last_level) if last.size > 1 else np.arange(count)
            size = max(1, min(CHUNK, -(-here.size // threads)))
            for first in range(0, here.size, size):
                yield self._tables_for(last_level), here[first : first + size]

    def _tables_for(self, last_level: int) -> Tables:
        if last_level not in self._tables:
            self._tables[last_level] = make_tables(
                self.gases, self.ladders, self.settings, self.water, last_level
            )
        return self._tables[last_level]

    def _most_legs(self, planned: int) -> int:
        """Return how many legs a dive can have: at most five at each level, and the breaks."""
        breaks = self.settings.breaks
        levels = int(self.deepest_m / self.settings.stop_step_m) + 2
        turns = LONGEST_ASCENT_MIN / (breaks.on_min + breaks.off_min) + 1.0 if breaks else 0.0
        return min(MOST_LEGS, planned + 5 * levels + 2 * int(turns))

    def _run(self, ways: Ways, found: _Found, tables: Tables, dives: kernel.I64) -> None:
        scratch = make_scratch(MOST_LEGS)
        solve_many(
            ways.start_bar,
            ways.planned,
            ways.from_m / self.settings.stop_step_m,
            ways.start_min,
            ways.gas,
            ways.ladder,
            ways.low,
            ways.high,
            tables.rungs,
            tables.table,
            tables.setup,
            scratch.work,
            scratch.clock,
            scratch.legs,
            found.stop_min,
            found.first_stop,
            found.runtime_min,
            found.outcome,
            found.end_bar,
            found.leg_count,
            found.leg_rows,
            dives,
        )


@dataclass(frozen=True, slots=True)
class _Found:
    """What the kernel writes to; see `solve_many`."""

    stop_min: kernel.F64
    first_stop: kernel.I64
    runtime_min: kernel.F64
    outcome: kernel.I64
    end_bar: kernel.F64
    leg_count: kernel.I64
    leg_rows: kernel.F64
