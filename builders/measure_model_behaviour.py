"""Measure what people expect of a schedule and the model does not quite keep; write the page.

Run as ``python builders/measure_model_behaviour.py``; it writes docs/model-behaviour.md. Every dive
of the grid is solved by the batch solver. Dives, gases and depths are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from slatewright.decompression.batch import Batch, BatchSolution
from slatewright.decompression.ladder import AscentGas, ladder
from slatewright.decompression.settings import AscentSettings, OxygenBreaks, WholeMinutes
from slatewright.decompression.tissues import air_saturated
from slatewright.physics.mixture import OXYGEN, Mixture
from slatewright.physics.water import Water

PAGE = Path(__file__).parents[1] / "docs" / "model-behaviour.md"
WATER = Water()
SETTINGS = AscentSettings()
DEPTHS_M = np.arange(30.0, 100.1, 3.0)
BOTTOM_MIN = np.arange(6.0, 61.0)
DESCENT_M_PER_MIN = 20.0
SAME_MIN = 1e-6
ARRIVAL = replace(SETTINGS, whole_minutes=WholeMinutes.ARRIVAL)
GRADIENTS = ((0.2, 0.8), (0.3, 0.8), (0.5, 0.8), (0.8, 0.8))
HALVES, OXYGEN_M = Mixture(0.50), 6.4


@dataclass(frozen=True)
class Grid:
    """Solved dives, depths by bottom times.

    Parameters
    ----------
    runtime_min, first_stop_m
        Shape (depths, times) [min], [m].
    stop_min
        Shape (depths, times, levels) [min].
    """

    runtime_min: np.ndarray
    first_stop_m: np.ndarray
    stop_min: np.ndarray


@dataclass(frozen=True)
class Finding:
    """What a comparison of neighbours came to.

    Parameters
    ----------
    expected
        What people expect.
    pairs, against
        How many pairs were compared, and how many are against it.
    worst
        The worst of them, in words; empty if there is none.
    """

    expected: str
    pairs: int
    against: int
    worst: str


def bottom_mix(depth_m: float, *, more_o2: float = 0.0, more_he: float = 0.0) -> Mixture:
    """Return a bottom gas of 1.35 bar of oxygen and the nitrogen of air at 35 m."""
    ambient_bar = WATER.ambient_bar(depth_m)
    o2 = round(min(0.21, 1.35 / ambient_bar), 2)
    n2 = min(1.0 - o2, 0.79 * WATER.ambient_bar(35.0) / ambient_bar)
    return Mixture(round(o2 + more_o2, 2), round(1.0 - o2 - n2 + more_he, 2))


def solve(
    settings: AscentSettings = SETTINGS,
    mix: Callable[[float], Mixture] = bottom_mix,
    *,
    breaks: bool = False,
) -> Grid:
    """Solve the grid."""
    solved = [_solve_depth(depth_m, settings, mix(depth_m), breaks=breaks) for depth_m in DEPTHS_M]
    return Grid(
        np.array([dives.runtime_min for dives in solved]),
        np.array([dives.first_stop_m for dives in solved]),
        np.array([dives.stop_min for dives in solved]),
    )


def _solve_depth(
    depth_m: float, settings: AscentSettings, mix: Mixture, *, breaks: bool
) -> BatchSolution:
    gases = (
        AscentGas(mix, 500.0, 0.0),
        AscentGas(HALVES, 22.0, 0.0),
        AscentGas(OXYGEN, OXYGEN_M, 0.0),
    )
    down_min = depth_m / DESCENT_M_PER_MIN
    planned = np.zeros((BOTTOM_MIN.size, 2, 5))
    planned[:, 0] = 0.0, 0.0, depth_m, down_min, 0.0
    planned[:, 1] = 1.0, depth_m, depth_m, 0.0, 0.0
    planned[:, 1, 3] = BOTTOM_MIN - down_min
    rungs = ladder(gases, 0, depth_m, settings, pause_gas=1 if breaks else None, pause_from=[2])
    batch = Batch(gases, [rungs], settings, WATER, DEPTHS_M[-1])
    return batch.solve_dives(planned, air_saturated(WATER.surface_bar))


def dive(depth: int, time: int) -> str:
    """Return what a sentence calls a dive of the grid."""
    return f"{DEPTHS_M[depth]:g} m, {BOTTOM_MIN[time]:g} min"


def not_shorter(expected: str, less: np.ndarray, more: np.ndarray, unit: str = "min") -> Finding:
    """Compare two grids of numbers of which the second is expected to be at least as great."""
    short = less - more
    against = int((short > SAME_MIN).sum())
    worst = ""
    if against:
        depth, time = np.unravel_index(np.argmax(short), short.shape)
        worst = (
            f"{dive(int(depth), int(time))}: {less[depth, time]:.1f} before, "
            f"{more[depth, time]:.1f} {unit} after"
        )
    return Finding(expected, short.size, against, worst)


def longer_stops(grid: Grid) -> Finding:
    """Look for levels at which a dive longer by a minute stops for less."""
    before, after = grid.stop_min[:, :-1], grid.stop_min[:, 1:]
    short = before - after
    stopped = before > SAME_MIN
    depth, time, level = np.unravel_index(np.argmax(short), short.shape)
    return Finding(
        "A minute more on the bottom shortens no stop",
        int(stopped.sum()),
        int((short > SAME_MIN).sum()),
        f"{dive(int(depth), int(time))}: at {level * SETTINGS.stop_step_m:g} m "
        f"{before[depth, time, level]:.1f} min, a minute longer {after[depth, time, level]:.1f}",
    )


def by_time(expected: str, grid: Grid) -> Finding:
    """Compare ascent times of dives that differ by a minute of bottom time."""
    ascent_min = grid.runtime_min - BOTTOM_MIN
    return not_shorter(expected, ascent_min[:, :-1], ascent_min[:, 1:])


def findings() -> dict[str, list[Finding]]:
    """Return all findings by topic."""
    grid, arrival = solve(), solve(ARRIVAL)
    zones = solve(replace(SETTINGS, to_first_stop_m_per_min=18.0))
    shallow = solve(replace(SETTINGS, last_stop_m=3.0))
    lows = [
        solve(replace(SETTINGS, gradient_low=low, gradient_high=high)) for low, high in GRADIENTS
    ]
    wide = solve(replace(SETTINGS, gradient_high=0.9))
    counted = solve(replace(SETTINGS, breaks=OxygenBreaks(12, 6)), breaks=True)
    idle = solve(replace(SETTINGS, breaks=OxygenBreaks(12, 6, counted=False)), breaks=True)
    rich = solve(mix=lambda depth_m: bottom_mix(depth_m, more_o2=0.02))
    light = solve(mix=lambda depth_m: bottom_mix(depth_m, more_he=0.10))
    at_stops = solve(replace(SETTINGS, model="ZH-L16B")), grid
    return {
        "More exposure": [
            longer_stops(grid),
            replace(longer_stops(arrival), expected="The same, with whole minutes from arrival"),
            by_time("A minute more on the bottom shortens no ascent", grid),
            by_time("The same, with whole minutes from arrival", arrival),
            not_shorter(
                "A minute more on the bottom makes no first stop shallower",
                grid.first_stop_m[:, :-1],
                grid.first_stop_m[:, 1:],
                "m",
            ),
        ],
        "Gradient factors": [
            *(
                not_shorter(
                    f"Low {GRADIENTS[i][0] * 100:.0f} takes at least as long as low "
                    f"{GRADIENTS[i + 1][0] * 100:.0f}, both with high 80",
                    lows[i + 1].runtime_min,
                    lows[i].runtime_min,
                )
                for i in range(len(lows) - 1)
            ),
            not_shorter(
                "High 80 takes at least as long as high 90", wide.runtime_min, grid.runtime_min
            ),
        ],
        "Gases": [
            not_shorter(
                "2 % more oxygen in the bottom gas, for nitrogen, shortens the dive or leaves it",
                rich.runtime_min,
                grid.runtime_min,
            ),
            not_shorter(
                "10 % more helium in the bottom gas, for nitrogen, lengthens the dive or leaves it",
                grid.runtime_min,
                light.runtime_min,
            ),
            not_shorter(
                "Breaks 12/6 that are counted do not shorten the dive",
                grid.runtime_min,
                counted.runtime_min,
            ),
            not_shorter(
                "Breaks that are not counted take at least as long as breaks that are",
                counted.runtime_min,
                idle.runtime_min,
            ),
        ],
        "Rules of the ascent": [
            not_shorter(
                "A last stop at 6 m takes at least as long as one at 3 m",
                shallow.runtime_min,
                grid.runtime_min,
            ),
            not_shorter(
                "Whole minutes of the run time take at least as long as minutes from arrival",
                arrival.runtime_min,
                grid.runtime_min,
            ),
            not_shorter(
                "Twice the rate to the first stop (18 m/min) does not lengthen the dive",
                zones.runtime_min,
                grid.runtime_min,
            ),
            not_shorter(
                "Set C takes at least as long as set B", *(g.runtime_min for g in at_stops)
            ),
        ],
    }


HEAD = """# What the model does that people do not expect

A schedule is the answer of a model, and some of what is commonly taken for granted about
schedules is not exactly true of it. Written by `python builders/measure_model_behaviour.py`; do
not edit by hand.

The grid: {depths} depths from {shallow:g} to {deep:g} m, bottom times of {short:g} to {long:g}
min in steps of a minute (descent at {descent:g} m/min included), {dives} dives in all, invented;
bottom gas with 1.35 bar of oxygen (air at most) and the nitrogen of air at 35 m; EAN50 from 21 m
and oxygen from 6 m; gradient factors 30/80, 3 m steps, last stop 6 m, 9 m/min, one minute at each
change of gas, whole minutes of the run time, unless a line says otherwise. Each line compares
pairs of neighbouring dives.

## Why

- The gradient line is anchored at the first stop. When a dive grows and its first stop moves one
  level deeper, the line above it moves too: at each level between it allows a little more. A stop
  there can become shorter although the diver holds more gas.
- Stops end on whole minutes. A level that is left a second too late for one minute costs the next
  one; the level above gets what the rounding gave away. By the run time, each stop also begins
  with the part of a minute that the ascent left over.
- On oxygen nothing but oxygen is breathed at 6 m as at 3 m: inert gas leaves equally fast, and
  where the last stop is hardly matters to the time.
- A compartment that is still loading at a deep stop pays at the shallow ones: more time low down,
  by a low first factor, is not free.

None of this is an error of the solver: random schedules are held against the second check, and
no stop of theirs can lose a minute (tests/properties/test_kernel_schedules.py). It is a reason
not to read minutes off one schedule for another, and to print the schedule of each contingency
instead of guessing it from the planned one.

## Measured
"""


def page() -> str:
    """Return the page."""
    lines = [
        HEAD.format(
            depths=DEPTHS_M.size,
            shallow=DEPTHS_M[0],
            deep=DEPTHS_M[-1],
            short=BOTTOM_MIN[0],
            long=BOTTOM_MIN[-1],
            descent=DESCENT_M_PER_MIN,
            dives=DEPTHS_M.size * BOTTOM_MIN.size,
        )
    ]
    for topic, found in findings().items():
        lines += [f"### {topic}", "", "| expected | pairs | against it | the worst |"]
        lines += ["|---|---:|---:|---|"]
        for finding in found:
            share = f"{finding.against} ({100.0 * finding.against / finding.pairs:.1f} %)"
            told = share if finding.against else "none"
            lines.append(
                f"| {finding.expected} | {finding.pairs} | {told} | {finding.worst or '-'} |"
            )
        lines.append("")
    return "\n".join(lines)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"wrote {PAGE}")
