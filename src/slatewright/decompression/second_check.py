"""The second check: finished legs are judged again from the beginning, by another way.

It takes nothing from the solver but the legs and the first stop that it claims. Tensions come from
plain numerical integration (`slatewright.decompression.integration`), the tolerated line is written
down here once more, on purpose, and the first stop is derived again. What it confirms:

- the legs join in time and depth, lead from the surface to the surface, and go where their kind
  says (`slatewright.decompression.leg_checks`);
- from leaving the bottom on no compartment passes the line: at every level reached, at the
  surface, and at least once a minute in between;
- nothing unbreathable is breathed at either end of any leg, the way down included;
- stops stand on levels, no ascent is faster than its zone allows;
- the first stop is the deepest level from which the next could not be reached on or under the low
  line, on the gas and at the rate of the ascent.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.integration import track
from slatewright.decompression.leg import LegKind
from slatewright.decompression.leg_checks import (
    broken_joints,
    broken_numbers,
    last_down,
    last_stop_m,
    leg_name,
    unbreathable,
    wrong_levels,
)
from slatewright.decompression.settings import WholeMinutes
from slatewright.decompression.tissues import COMPARTMENTS, Tissues, air_saturated

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    import numpy.typing as npt

    from slatewright.decompression.integration import F64, I64, Track
    from slatewright.decompression.leg import Leg
    from slatewright.decompression.settings import AscentSettings
    from slatewright.physics.water import Water

LINE_TOLERANCE_BAR: Final = 1e-6
"""What a tension may pass its line by: a thousand times the error of the integration [bar]."""
METHOD: Final = (
    "fourth-order Runge-Kutta at steps of at most 1/64 minute, apart from the solver; "
    "line within 0.000001 bar"
)
_SAME_MIN: Final = 1e-6
_SAME_M: Final = 1e-6
_SAME_BAR: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the second check found.

    Parameters
    ----------
    passed
        True if nothing was found.
    findings
        A sentence for each thing that is wrong.
    largest_excess_bar
        The most by which any compartment passed its line from leaving the bottom on; negative if
        none reached it, infinite if the legs could not be integrated [bar].
    checked_levels
        Number of arrivals at a level or the surface that were held against the line.
    method
        How the tensions were derived, for print.
    """

    passed: bool
    findings: tuple[str, ...]
    largest_excess_bar: float
    checked_levels: int
    method: str = METHOD


def second_check(
    legs: Sequence[Leg],
    water: Water,
    settings: AscentSettings,
    *,
    first_stop_m: float | None,
    ppo2_max_bar: Callable[[Leg], float],
    start: Tissues | None = None,
    floor_bar: float = 0.18,
    tolerance_bar: float = 0.03,
) -> Verdict:
    """Judge the finished legs of one dive.

    Parameters
    ----------
    legs
        The dive from the surface to the surface; a stay at the surface may follow it.
    water
        Surface pressure and weight of the water.
    settings
        Model, gradient factors, levels and rates.
    first_stop_m
        The first stop that the solver claims, None if it claims that none is needed [m].
    ppo2_max_bar
        The highest ppO2 allowed on a leg [bar].
    start
        Tensions at the start; None for a person saturated with air at the surface.
    floor_bar
        The lowest ppO2 that may be breathed [bar].
    tolerance_bar
        What a ppO2 may exceed its limit by [bar].

    Returns
    -------
    Verdict
        Passed, or what was found.

    Notes
    -----
    Tolerated tension p + g (a + p / b - p), a and b weighted by tension [BUEHLMANN2002]; g as in
    [BAKER1998b]. Without a first stop g is low throughout.
    """
    findings = [*broken_numbers(legs)]
    if findings:
        return Verdict(False, tuple(findings), math.inf, 0)
    findings += broken_joints(legs)
    findings += unbreathable(legs, water, ppo2_max_bar, floor_bar, tolerance_bar)
    findings += wrong_levels(legs, settings, first_stop_m)
    dive = _Dive(legs, water, settings, first_stop_m, start)
    excess_bar = dive.excess_bar()
    marks = dive.marks_to_check()
    findings += dive.line_passed(excess_bar, marks)
    findings += dive.first_stop_wrong()
    levels = dive.path.depth_m[marks] / settings.stop_step_m
    arrivals = (np.abs(levels - np.round(levels)) < _SAME_M) & dive.rising(marks)
    return Verdict(
        passed=not findings,
        findings=tuple(findings),
        largest_excess_bar=float(excess_bar[marks].max(initial=-math.inf)),
        checked_levels=int(arrivals.sum()),
    )


def could_leave_earlier(
    legs: Sequence[Leg],
    index: int,
    water: Water,
    settings: AscentSettings,
    *,
    first_stop_m: float | None,
    start: Tissues | None = None,
    minutes: float = 1.0,
) -> bool:
    """Return whether a stop could lose time and the next level still be reached on the line.

    Parameters
    ----------
    legs
        The dive, as for `second_check`.
    index
        Which leg is meant: the last one before an ascent.
    water, settings, first_stop_m, start
        As for `second_check`.
    minutes
        How much earlier the level is left; minutes of a change of gas cannot be saved [min].

    Returns
    -------
    bool
        True if the stop is longer than it must be. False also if the leg is no stop before an
        ascent, or the level has no such minutes to lose.
    """
    rising = index + 1 < len(legs) and legs[index + 1].kind is LegKind.ASCENT
    if legs[index].kind is not LegKind.STOP or not rising:
        return False
    kept, left_min, breathed = list(legs[: index + 1]), minutes, legs[index]
    while left_min > _SAME_MIN:
        breathed = kept.pop()
        if breathed.kind is not LegKind.STOP or breathed.switching or not kept:
            return False
        if breathed.minutes > left_min + _SAME_MIN:
            kept.append(replace(breathed, minutes=breathed.minutes - left_min))
        left_min -= breathed.minutes
    if kept[-1].kind is LegKind.STOP and not kept[-1].switching:
        breathed = kept[-1]
    if breathed.pause and settings.breaks is not None and not settings.breaks.counted:
        return False  # a level is not left during a break that earns nothing
    above_m = _next_level_m(legs, index, settings)
    rise = replace(legs[index + 1], gas=breathed.gas, setpoint_bar=breathed.setpoint_bar)
    dive = _Dive([*kept, _cut_at(rise, above_m)], water, settings, first_stop_m, start)
    # what the integration cannot tell from nothing is not held against the stop
    return bool(dive.excess_bar()[-1] < -_SAME_BAR)


def _next_level_m(legs: Sequence[Leg], index: int, settings: AscentSettings) -> float:
    """Return the level above the one at which a leg ends; above the last stop, the surface."""
    step_m = settings.stop_step_m
    above_m = (math.ceil(legs[index].to_m / step_m - _SAME_M) - 1) * step_m
    return above_m if above_m > last_stop_m(legs, settings) - _SAME_M else 0.0


def _cut_at(leg: Leg, above_m: float) -> Leg:
    """Return an ascent cut off at a level, at its own rate."""
    share = (leg.from_m - above_m) / (leg.from_m - leg.to_m)
    return replace(leg, to_m=above_m, minutes=leg.minutes * share)


class _Dive:
    """One dive with its integrated tensions."""

    def __init__(
        self,
        legs: Sequence[Leg],
        water: Water,
        settings: AscentSettings,
        first_stop_m: float | None,
        start: Tissues | None,
    ) -> None:
        self.legs = legs
        self.water = water
        self.settings = settings
        self.first_stop_m = first_stop_m
        self.model = coefficients(settings.model)
        self.path = self._track(legs, start or air_saturated(water.surface_bar))

    def _track(self, legs: Sequence[Leg], start: Tissues) -> Track:
        breaks = self.settings.breaks
        return track(
            legs,
            self.water,
            start,
            self.model,
            step_m=self.settings.stop_step_m,
            breaks_count=breaks is None or breaks.counted,
        )

    def excess_bar(self) -> F64:
        """Return by how much the worst compartment passes its line, at each mark."""
        gradient = self._gradient(self.path.depth_m)
        passes_by = self._passes_by(self.path.tension_bar, self.path.depth_m, gradient)
        worst: F64 = passes_by.max(axis=1)
        return worst

    def _gradient(self, depth_m: F64) -> F64:
        low, high = self.settings.gradient_low, self.settings.gradient_high
        if self.first_stop_m is None:
            return np.full_like(depth_m, low)
        return high + (low - high) * np.clip(depth_m / self.first_stop_m, 0.0, 1.0)

    def _passes_by(self, tension_bar: F64, depth_m: F64, gradient: F64) -> F64:
        """Return tension less tolerated tension, shape (marks, 16)."""
        n2_bar, he_bar = tension_bar[:, :COMPARTMENTS], tension_bar[:, COMPARTMENTS:]
        total_bar = n2_bar + he_bar
        share = np.divide(he_bar, total_bar, out=np.zeros_like(he_bar), where=total_bar > 0.0)
        model = self.model
        a_bar = np.array(model.n2_a_bar) * (1.0 - share) + np.array(model.he_a_bar) * share
        b = np.array(model.n2_b) * (1.0 - share) + np.array(model.he_b) * share
        p_bar = (self.water.surface_bar + self.water.bar_per_m * depth_m)[:, None]
        excess: F64 = total_bar - (p_bar + gradient[:, None] * (a_bar + p_bar / b - p_bar))
        return excess

    def marks_to_check(self) -> I64:
        """Return the marks from leaving the bottom on, and those of all earlier ascents."""
        left_bottom = self.path.leg_end[last_down(self.legs)]
        marks = np.arange(self.path.leg.size)
        return np.flatnonzero((marks >= left_bottom) | self.rising(marks))

    def rising(self, marks: I64) -> npt.NDArray[np.bool_]:
        """Return for each mark whether it is reached by an ascent."""
        ascents = np.array([leg.kind is LegKind.ASCENT for leg in self.legs])
        result: npt.NDArray[np.bool_] = ascents[self.path.leg[marks]] & (marks > 0)
        return result

    def line_passed(self, excess_bar: F64, marks: I64) -> Iterator[str]:
        """Yield the worst place of each leg on which the line is passed."""
        passed = [m for m in marks if not excess_bar[m] <= LINE_TOLERANCE_BAR]
        for number in sorted({int(self.path.leg[m]) for m in passed}):
            on_leg = [m for m in passed if self.path.leg[m] == number]
            worst = max(on_leg, key=lambda m: excess_bar[m])
            depth_m = self.path.depth_m[worst]
            place = f"{depth_m:.1f} m" if depth_m > _SAME_M else "the surface"
            minute = self.legs[0].start_min + self.path.time_min[worst]
            yield (
                f"{leg_name(self.legs, number)}: at {place}, minute {minute:.1f}, a compartment "
                f"passes its line by {excess_bar[worst]:.6f} bar: a level was left too early"
            )

    def first_stop_wrong(self) -> Iterator[str]:
        """Yield a finding if the first stop is claimed deeper than the low line asks for.

        One claimed too shallow shows itself: levels below it are held against the low line.
        """
        stop_m, path = self.first_stop_m, self.path
        if stop_m is None:
            return
        after = np.flatnonzero(
            (np.arange(path.leg.size) >= path.leg_end[last_down(self.legs)])
            & (np.abs(path.depth_m - stop_m) < _SAME_M)
        )
        if after.size == 0:
            yield f"the first stop at {stop_m:g} m does not lie on the way up"
            return
        mark = int(after[0])
        number = int(path.leg[mark])
        if mark == path.leg_end[number]:
            number += 1
        changed_min = 0.0
        while number < len(self.legs) and self.legs[number].switching:
            mark, changed_min = int(path.leg_end[number]), self.legs[number].minutes
            number += 1
        if number == len(self.legs):
            yield f"the dive ends at its first stop at {stop_m:g} m"
            return
        trial = self._ascent_from(stop_m, self.legs[number], mark, changed_min)
        low = np.array([self.settings.gradient_low])
        end = trial.tension_bar[-1:]
        if self._passes_by(end, trial.depth_m[-1:], low).max() < -LINE_TOLERANCE_BAR:
            yield (
                f"the first stop is claimed at {stop_m:g} m, but from there the next level could "
                "be reached under the low line: it lies shallower"
            )

    def _ascent_from(self, stop_m: float, leg: Leg, mark: int, changed_min: float) -> Track:
        """Integrate an ascent from the first stop to the next level, as if it were no stop."""
        settings, path = self.settings, self.path
        held = path.tension_bar[mark]
        now_min = self.legs[0].start_min + float(path.time_min[mark])
        above_m = stop_m - settings.stop_step_m
        rate_m_per_min = settings.to_first_stop_m_per_min
        if above_m < last_stop_m(self.legs, settings) - _SAME_M:
            above_m, rate_m_per_min = 0.0, settings.to_surface_m_per_min
        rise = replace(
            leg,
            kind=LegKind.ASCENT,
            from_m=stop_m,
            to_m=above_m,
            minutes=(stop_m - above_m) / rate_m_per_min,
        )
        wait_min = 0.0
        if changed_min:  # after a change of gas a level is left on a whole minute
            since_min = now_min
            if settings.whole_minutes is WholeMinutes.ARRIVAL:
                since_min = changed_min
            wait_min = max(0.0, math.ceil(since_min - _SAME_MIN) - since_min)
        stay = replace(leg, kind=LegKind.STOP, from_m=stop_m, to_m=stop_m, minutes=wait_min)
        tensions = Tissues(tuple(held[:COMPARTMENTS].tolist()), tuple(held[COMPARTMENTS:].tolist()))
        return self._track([stay, rise] if wait_min else [rise], tensions)
