"""The solver for one dive: planned legs in, all legs to the surface out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slatewright.decompression import _checks as checks
from slatewright.decompression._checks import DEEPEST_M
from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.solve import solve
from slatewright.decompression._legs import MOST_LEGS, leg_of
from slatewright.decompression._tables import flat, make_scratch, make_tables, tissues_of
from slatewright.decompression.ladder import AscentGas, Ladder, last_level_from
from slatewright.decompression.leg import Leg
from slatewright.decompression.outcome import Outcome, refusal
from slatewright.decompression.planned import PlannedLeg, planned_rows
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import Tissues
from slatewright.errors import NoSafeAnswer
from slatewright.physics.water import Water

__all__ = ["PlannedLeg", "Solution", "solve_ascent", "solve_dive"]


@dataclass(frozen=True, slots=True)
class Solution:
    """A solved dive.

    Parameters
    ----------
    legs
        From the start to the surface, contiguous.
    first_stop_m
        The first stop [m], None if there is none.
    runtime_min
        Run time at the surface [min].
    end
        Tensions on surfacing.
    """

    legs: tuple[Leg, ...]
    first_stop_m: float | None
    runtime_min: float
    end: Tissues


def solve_dive(
    planned: Sequence[PlannedLeg],
    gases: Sequence[AscentGas],
    rungs: Ladder,
    settings: AscentSettings,
    water: Water,
    start: Tissues,
) -> Solution:
    """Solve a dive from its planned legs.

    Parameters
    ----------
    planned
        From the surface to the end of the bottom, contiguous, at least one.
    gases
        All gases, as the legs and the ladder number them.
    rungs
        Which gas is breathed at which level on the way up.
    settings, water
        Model, ascent, pressure.
    start
        Tensions at the start of the dive.

    Returns
    -------
    Solution
        The planned legs followed by those of the ascent.

    Raises
    ------
    NoSafeAnswer
        If the obligation does not end within 24 h, or a ceiling lies below the first level.
    InputError
        If a number is out of range, or the ladder has no gas somewhere on the way.
    """
    rows = planned_rows(planned)
    checks.check_planned(rows[np.newaxis], DEEPEST_M, len(gases))
    last = planned[-1]
    return _solve(rows, last.to_m, 0.0, last.gas, 0, gases, rungs, settings, water, start)


def solve_ascent(  # noqa: PLR0913 - a moment, what is at hand, and how to go up
    from_m: float,
    start_min: float,
    gas: int,
    gases: Sequence[AscentGas],
    rungs: Ladder,
    settings: AscentSettings,
    water: Water,
    tissues: Tissues,
    *,
    first_stop_m: float | None = None,
) -> Solution:
    """Solve the ascent from a moment of a dive.

    Parameters
    ----------
    from_m, start_min
        Depth and run time of the moment [m], [min].
    gas
        Index of the gas in the mouth.
    gases, rungs, settings, water
        As for `solve_dive`.
    tissues
        Tensions at that moment.
    first_stop_m
        The first stop where it has been reached already: its gradient line is kept [m]; else None.

    Returns
    -------
    Solution
        The legs of the ascent alone.

    Raises
    ------
    NoSafeAnswer, InputError
        As for `solve_dive`.
    """
    checks.check_moments(np.array([from_m]), np.array([start_min]), DEEPEST_M)
    checks.check_index("a gas", np.array([gas], np.float64), len(gases))
    none = np.zeros((0, 5))
    level = round((first_stop_m or 0.0) / settings.stop_step_m)
    return _solve(none, from_m, start_min, gas, level, gases, rungs, settings, water, tissues)


def _solve(  # noqa: PLR0913 - the joint to the kernel, one argument each
    rows: kernel.F64,
    from_m: float,
    start_min: float,
    gas: int,
    first_stop: int,
    gases: Sequence[AscentGas],
    rungs: Ladder,
    settings: AscentSettings,
    water: Water,
    start: Tissues,
) -> Solution:
    tables = make_tables(gases, [rungs], settings, water, last_level_from(from_m, settings))
    scratch = make_scratch(MOST_LEGS)
    scratch.work[kernel.TENSION] = flat(start)
    checks.check_gases(gases, tables.rungs)
    checks.check_start(scratch.work[[kernel.TENSION]])
    checks.check_ladders(np.array([from_m]), np.zeros(1, np.int64), tables.rungs, settings)
    status, stop, runtime_min = solve(
        rows,
        from_m / settings.stop_step_m,
        float(start_min),
        gas,
        first_stop,
        settings.gradient_low,
        settings.gradient_high,
        tables.rungs[0],
        tables.table,
        tables.setup,
        scratch.work,
        scratch.clock,
        scratch.legs,
    )
    if status != kernel.OK:
        raise NoSafeAnswer(refusal(Outcome(status), settings, MOST_LEGS))
    step_m = settings.stop_step_m
    rows = scratch.legs[: int(scratch.clock[kernel.LEG_COUNT])]
    rows[:, 1:3] *= step_m
    legs = tuple(leg_of(row, gases) for row in rows.tolist())
    return Solution(
        legs=legs,
        first_stop_m=stop * step_m if stop else None,
        runtime_min=runtime_min,
        end=tissues_of(scratch.work[kernel.TENSION]),
    )
