"""The solver for one dive: planned legs in, all legs to the surface out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.solve import solve
from slatewright.decompression._tables import flat, make_scratch, make_tables, tissues_of
from slatewright.decompression.ladder import NEAR_M, AscentGas, Ladder, last_level_from
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.settings import LONGEST_ASCENT_MIN, AscentSettings
from slatewright.decompression.tissues import Tissues
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.water import Water

_MOST_LEGS: Final = 2048
_KINDS: Final = {
    kernel.DESCENT: LegKind.DESCENT,
    kernel.BOTTOM: LegKind.BOTTOM,
    kernel.ASCENT: LegKind.ASCENT,
    kernel.STOP: LegKind.STOP,
    kernel.SWITCH: LegKind.STOP,
    kernel.PAUSE: LegKind.STOP,
}
_CODES: Final = {LegKind.DESCENT: 0.0, LegKind.BOTTOM: 1.0, LegKind.ASCENT: 2.0, LegKind.STOP: 3.0}


@dataclass(frozen=True, slots=True)
class PlannedLeg:
    """A leg that the person asked for.

    Parameters
    ----------
    kind
        Descent, bottom, ascent, or stop (for the minutes of a change of gas).
    from_m, to_m
        Depth at its start and end [m].
    minutes
        Its length, above zero [min].
    gas
        Index of the gas breathed.
    switching
        True for the minutes of a change of gas.
    """

    kind: LegKind
    from_m: float
    to_m: float
    minutes: float
    gas: int
    switching: bool = False


@dataclass(frozen=True, slots=True)
class Solution:
    """A solved dive.

    Parameters
    ----------
    legs
        From the start to the surface, contiguous.
    first_stop_m
        The first stop [m], None if there is none.
    end
        Tensions on surfacing.
    """

    legs: tuple[Leg, ...]
    first_stop_m: float | None
    end: Tissues

    @property
    def runtime_min(self) -> float:
        """Run time at the surface [min]."""
        return self.legs[-1].end_min if self.legs else 0.0


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
    """
    rows = np.array(
        [
            [_CODES[leg.kind] if not leg.switching else float(kernel.SWITCH),
             leg.from_m / settings.stop_step_m, leg.to_m / settings.stop_step_m,
             leg.minutes, float(leg.gas)]
            for leg in planned
        ]
    )  # fmt: skip
    last = planned[-1]
    return _solve(rows, last.to_m, 0.0, last.gas, gases, rungs, settings, water, start)


def solve_ascent(
    from_m: float,
    start_min: float,
    gas: int,
    gases: Sequence[AscentGas],
    rungs: Ladder,
    settings: AscentSettings,
    water: Water,
    tissues: Tissues,
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

    Returns
    -------
    Solution
        The legs of the ascent alone.

    Raises
    ------
    NoSafeAnswer
        As for `solve_dive`.
    """
    none = np.zeros((0, 5))
    return _solve(none, from_m, start_min, gas, gases, rungs, settings, water, tissues)


def _solve(  # noqa: PLR0913 - the joint to the kernel, one argument each
    rows: kernel.F64,
    from_m: float,
    start_min: float,
    gas: int,
    gases: Sequence[AscentGas],
    rungs: Ladder,
    settings: AscentSettings,
    water: Water,
    start: Tissues,
) -> Solution:
    last_level = last_level_from(from_m, settings)
    tables = make_tables(gases, [rungs], settings, water, last_level)
    scratch = make_scratch(_MOST_LEGS)
    scratch.work[kernel.TENSION] = flat(start)
    status, first_stop, _ = solve(
        rows,
        from_m / settings.stop_step_m,
        float(start_min),
        gas,
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
        raise NoSafeAnswer(_reason(status, settings))
    step_m = settings.stop_step_m
    count = int(scratch.clock[kernel.LEG_COUNT])
    legs = tuple(_leg(row, gases, step_m) for row in scratch.legs[:count].tolist())
    return Solution(
        legs, first_stop * step_m if first_stop else None, tissues_of(scratch.work[kernel.TENSION])
    )


def _leg(row: list[float], gases: Sequence[AscentGas], step_m: float) -> Leg:
    code, from_level, to_level, start_min, minutes, index = row
    gas = gases[int(index)]
    return Leg(
        kind=_KINDS[int(code)],
        from_m=_tidy(from_level * step_m),
        to_m=_tidy(to_level * step_m),
        start_min=start_min,
        minutes=minutes,
        gas=gas.mix,
        setpoint_bar=gas.setpoint_bar,
        switching=int(code) == kernel.SWITCH,
        pause=int(code) == kernel.PAUSE,
    )


def _tidy(depth_m: float) -> float:
    """Return a depth without the last digits that counting in steps has cost."""
    near = round(depth_m, 6)
    return near if math.isclose(near, depth_m, abs_tol=NEAR_M) else depth_m


def _reason(status: int, settings: AscentSettings) -> Reason:
    if status == kernel.TOO_LONG:
        return Reason(
            f"the obligation does not end within {LONGEST_ASCENT_MIN / 60:.0f} h of ascent",
            "less time at depth, a richer decompression gas, or a wider gradient "
            f"than {settings.gradient_low * 100:.0f}/{settings.gradient_high * 100:.0f}",
        )
    if status == kernel.CEILING:
        return Reason(
            "the ceiling lies below the first level that can be reached from the last depth",
            "end the bottom phase deeper, or earlier",
        )
    return Reason(
        f"the schedule has more than {_MOST_LEGS} legs",
        "longer spells between breaks from oxygen, or a larger stop step",
    )
