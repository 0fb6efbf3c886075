"""Dives for the tests of the solver: one plan as an object, and random ones. All invented."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hypothesis import strategies as st

from slatewright.decompression.ascent import PlannedLeg, Solution, solve_dive
from slatewright.decompression.batch import Batch
from slatewright.decompression.ladder import AscentGas, Ladder, ladder
from slatewright.decompression.leg import LegKind
from slatewright.decompression.planned import planned_rows
from slatewright.decompression.settings import AscentSettings, OxygenBreaks, WholeMinutes
from slatewright.decompression.tissues import Tissues, air_saturated
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.water import Water

DEEP_MIX = Mixture(0.12, 0.65)
LEAN = Mixture(0.50)
EVERYWHERE_M = 500.0
WATER = Water()


@dataclass(frozen=True)
class Case:
    """All that one call of the solver takes."""

    planned: tuple[PlannedLeg, ...]
    gases: tuple[AscentGas, ...]
    settings: AscentSettings
    water: Water = WATER
    start: Tissues | None = None
    breaks_on: int | None = None

    @property
    def tissues(self) -> Tissues:
        return self.start or air_saturated(self.water.surface_bar)

    @property
    def from_m(self) -> float:
        return self.planned[-1].to_m

    @property
    def bottom_min(self) -> float:
        return sum(leg.minutes for leg in self.planned)

    @property
    def rungs(self) -> Ladder:
        return ladder(
            self.gases,
            self.planned[-1].gas,
            self.from_m,
            self.settings,
            pause_gas=self.breaks_on if self.settings.breaks else None,
            pause_from=[i for i, gas in enumerate(self.gases) if gas.mix == OXYGEN],
        )

    def solve(self) -> Solution:
        return solve_dive(
            self.planned, self.gases, self.rungs, self.settings, self.water, self.tissues
        )

    def having(self, **settings) -> Case:
        """Return the same dive with other settings."""
        return replace(self, settings=replace(self.settings, **settings))


def deep_case(run_min: float = 20.0, **settings) -> Case:
    """Return the dive of the benchmark: 90 m, left at a run time, descent at 30 m/min."""
    gases = (
        AscentGas(DEEP_MIX, EVERYWHERE_M, 5.0),
        AscentGas(LEAN, 22.0, 0.0),
        AscentGas(OXYGEN, 6.4, 0.0),
    )
    down_min = 90.0 / 30.0 + 1.0
    planned = (
        PlannedLeg(LegKind.DESCENT, 0.0, 21.0, 0.7, 1),
        PlannedLeg(LegKind.STOP, 21.0, 21.0, 1.0, 1, switching=True),
        PlannedLeg(LegKind.DESCENT, 21.0, 90.0, 2.3, 0),
        PlannedLeg(LegKind.BOTTOM, 90.0, 90.0, run_min - down_min, 0),
    )
    return Case(planned, gases, AscentSettings(**settings), breaks_on=1)


def air_case(depth_m: float, bottom_min: float, descent_m_per_min: float = 20.0, **settings):
    """Return a dive on air to one depth; the time counts from leaving the surface."""
    down_min = depth_m / descent_m_per_min
    planned = (
        PlannedLeg(LegKind.DESCENT, 0.0, depth_m, down_min, 0),
        PlannedLeg(LegKind.BOTTOM, depth_m, depth_m, bottom_min - down_min, 0),
    )
    return Case(planned, (AscentGas(AIR, EVERYWHERE_M, 0.0),), AscentSettings(**settings))


def warm() -> None:
    """Have everything compiled that the tests call."""
    case = deep_case()
    case.solve()
    Batch(case.gases, [case.rungs], case.settings, case.water, 90.0).solve_dives(
        planned_rows(case.planned), case.tissues
    )


@st.composite
def ascent_settings(draw, step_m=None, *, breaks=None):
    low = draw(st.floats(0.1, 0.9))
    step_m = step_m or draw(st.sampled_from([3.0, 3.0, 3.048, 2.0]))
    rates = st.sampled_from([3.0, 6.0, 9.0, 9.144, 10.0])
    if breaks is None:
        breaks = draw(st.booleans())
    return AscentSettings(
        model=draw(st.sampled_from(["ZH-L16C", "ZH-L16C", "ZH-L16B", "ZH-L16A"])),
        gradient_low=low,
        gradient_high=draw(st.floats(low, 1.0)),
        stop_step_m=step_m,
        last_stop_m=step_m * draw(st.integers(1, 2)),
        to_first_stop_m_per_min=draw(rates),
        between_stops_m_per_min=draw(rates),
        to_surface_m_per_min=draw(st.sampled_from([1.0, 3.0, 9.0])),
        switch_min=draw(st.sampled_from([0.0, 1.0, 1.5, 3.0])),
        whole_minutes=draw(st.sampled_from(list(WholeMinutes))),
        breaks=OxygenBreaks(
            draw(st.integers(1, 20)), draw(st.integers(1, 8)), counted=draw(st.booleans())
        )
        if breaks
        else None,
    )


@st.composite
def cases(draw, step_m=None, *, loops=True, breaks=None):
    """Return a random dive: one to three depths, one to three gases, any settings."""
    settings = draw(ascent_settings(step_m, breaks=breaks))
    water = Water(
        surface_bar=draw(st.sampled_from([1.01325, 0.985, 0.8])),
        bar_per_m=draw(st.sampled_from([0.0980665, 0.1, 0.10052])),
    )
    depths_m = draw(st.lists(st.floats(2.0, 95.0), min_size=1, max_size=3))
    setpoint_bar = draw(st.sampled_from([None, None, 0.7, 1.2, 1.3])) if loops else None
    bottom = draw(
        st.sampled_from([AIR, Mixture(0.32), Mixture(0.18, 0.45), Mixture(0.15, 0.55), DEEP_MIX])
    )
    change_min = settings.switch_min
    gases = [AscentGas(bottom, EVERYWHERE_M, 0.0, change_min, setpoint_bar)]
    if setpoint_bar is None:
        if draw(st.booleans()):
            gases.append(AscentGas(LEAN, 22.0, 0.0, change_min))
        if draw(st.booleans()):
            gases.append(AscentGas(OXYGEN, 6.8, 0.0, change_min))
    planned, now_m = [], 0.0
    # deeper each time: a planned rise may break a ceiling, which is not the solver's to mend
    depths_m.sort()
    minutes = st.one_of(st.integers(1, 40).map(float), st.floats(0.5, 40.0))
    for depth_m in depths_m:
        if depth_m > now_m:
            down_min = (depth_m - now_m) / draw(st.sampled_from([15.0, 20.0, 30.0]))
            planned.append(PlannedLeg(LegKind.DESCENT, now_m, depth_m, down_min, 0))
        planned.append(PlannedLeg(LegKind.BOTTOM, depth_m, depth_m, draw(minutes) / 2.0, 0))
        now_m = depth_m
    return Case(
        tuple(planned), tuple(gases), settings, water, breaks_on=0 if setpoint_bar is None else None
    )


def stops(solution: Solution) -> dict[float, float]:
    """Return minutes at each depth on the way up."""
    last_down = max(
        i for i, leg in enumerate(solution.legs) if leg.kind in (LegKind.BOTTOM, LegKind.DESCENT)
    )
    found: dict[float, float] = {}
    for leg in solution.legs[last_down + 1 :]:
        if leg.kind is LegKind.STOP:
            found[leg.to_m] = found.get(leg.to_m, 0.0) + leg.minutes
    return found
