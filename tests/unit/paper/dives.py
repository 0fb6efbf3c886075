"""Dives of our own invention for the tests of paper: legs written by hand, not solved."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.second_check import Verdict
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import Tissues
from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import METRES_PER_FOOT, UnitSystem
from slatewright.physics.water import Water

OXYGEN = Mixture(1.0)
EAN50 = Mixture(0.5)
TRIMIX_21_35 = Mixture(0.21, 0.35)
TRIMIX_10_70 = Mixture(0.10, 0.70)


PASSED = Verdict(passed=True, findings=(), largest_excess_bar=-0.01, checked_levels=19)


@dataclass(frozen=True)
class Dive:
    """What paper reads of a schedule."""

    plan: Plan
    legs: tuple[Leg, ...]
    ceiling: tuple[tuple[float, float], ...] = ()
    hazards: tuple[Hazard, ...] = ()
    verdict: Verdict = PASSED
    first_stop_m: float | None = 57.0
    start: Tissues | None = None

    @property
    def runtime_min(self) -> float:
        return self.legs[-1].end_min


class Writer:
    """Writes legs one after the other."""

    def __init__(self, gas: Mixture) -> None:
        self.legs: list[Leg] = []
        self.gas = gas

    @property
    def now_min(self) -> float:
        return self.legs[-1].end_min if self.legs else 0.0

    @property
    def depth_m(self) -> float:
        return self.legs[-1].to_m if self.legs else 0.0

    def go(self, to_m: float, rate_m_per_min: float = 9.0) -> None:
        kind = LegKind.DESCENT if to_m > self.depth_m else LegKind.ASCENT
        minutes = abs(to_m - self.depth_m) / rate_m_per_min
        self.legs.append(Leg(kind, self.depth_m, to_m, self.now_min, minutes, self.gas))

    def stay(self, until_min: float, kind: LegKind = LegKind.STOP, *, pause: bool = False) -> None:
        self.legs.append(
            Leg(
                kind,
                self.depth_m,
                self.depth_m,
                self.now_min,
                until_min - self.now_min,
                self.gas,
                pause=pause,
            )
        )

    def change(self, gas: Mixture, minutes: float = 1.0, kind: LegKind = LegKind.STOP) -> None:
        if minutes:
            self.legs.append(
                Leg(
                    kind,
                    self.depth_m,
                    self.depth_m,
                    self.now_min,
                    minutes,
                    self.gas,
                    switching=True,
                )
            )
        self.gas = gas


def deep_dive(  # a stay at 96 m (310 ft) with a travel gas and three gases on the way up
    *, title: str = "The drowned quarry, day 6", units: UnitSystem = UnitSystem.METRIC
) -> Dive:
    step_m = 3.0 if units is UnitSystem.METRIC else 10.0 * METRES_PER_FOOT
    writer = Writer(EAN50)
    writer.go(7 * step_m, 20.0)
    writer.change(TRIMIX_10_70, kind=LegKind.DESCENT)
    writer.go(32 * step_m, 20.0)
    writer.stay(20.0, LegKind.BOTTOM)
    minutes = {
        19: 1,
        18: 1,
        17: 1,
        16: 1,
        15: 1,
        14: 2,
        13: 2,
        12: 2,
        11: 2,
        10: 3,
        9: 4,
        8: 5,
        7: 4,
        6: 5,
        5: 7,
        4: 9,
        3: 12,
        2: 48,
    }
    changes = {19: TRIMIX_21_35, 7: EAN50, 2: OXYGEN}
    for level, stop_min in minutes.items():
        writer.go(level * step_m)
        leave_min = float(int(writer.now_min) + stop_min + 1)
        if level in changes:
            writer.change(changes[level])
        writer.stay(max(leave_min, writer.now_min))
    writer.go(0.0)
    gases = (
        CarriedGas(EAN50, Use.TRAVEL, 1.6, 7 * step_m),
        CarriedGas(TRIMIX_10_70, Use.BOTTOM, 1.4),
        CarriedGas(TRIMIX_21_35, Use.DECOMPRESSION, 1.6),
        CarriedGas(OXYGEN, Use.DECOMPRESSION, 1.6),
    )
    plan = Plan(
        title,
        units,
        Water(),
        AscentSettings(stop_step_m=step_m, last_stop_m=2 * step_m),
        gases,
        (Level(32 * step_m, 20.0),),
    )
    ceiling = _ceiling(writer.legs, step_m)
    hazards = (
        Hazard(
            "counterdiffusion",
            Severity.WARNING,
            _when(writer.legs, EAN50),
            7 * step_m,
            "Nitrogen rises by 0.29 at the change to EAN50.",
            "",
            "",
            ("whole_minutes",),
        ),
        Hazard("dense gas", Severity.NOTE, 10.0, 32 * step_m, "5.4 g/L.", ""),
        Hazard(
            "oxygen load",
            Severity.DANGER,
            writer.now_min - 1.0,
            2 * step_m,
            "CNS 104 %.",
            "",
            "",
            ("oxygen_table", "cns_half_time_min"),
        ),
    )
    return Dive(plan, tuple(writer.legs), ceiling, hazards)


def _when(legs: list[Leg], gas: Mixture) -> float:
    return next(leg.start_min for leg in legs if leg.gas == gas and leg.start_min > 20.0)


def _ceiling(legs: list[Leg], step_m: float) -> tuple[tuple[float, float], ...]:
    """Draw a line that lies one step above each stop's end: a picture, no computed ceiling."""
    points = [(0.0, 0.0), (8.0, 0.0), (20.0, 15 * step_m)]
    points += [
        (leg.end_min, max(0.0, leg.to_m - 1.3 * step_m)) for leg in legs if leg.kind is LegKind.STOP
    ]
    return (*points, (legs[-1].end_min, 0.0))
