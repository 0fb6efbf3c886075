"""A dive with its gas judged: supply, way home, mix-ups, lift, their hazards beside the others."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final, Protocol

from slatewright.dive import say
from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.schedule import Schedule
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.supply.kit import Team
from slatewright.supply.lift_over_dive import Lift, lift_hazards, lift_over
from slatewright.supply.mixups import MixUps, mixups
from slatewright.supply.supply import Supply, supply_of
from slatewright.supply.wayhome import Cell, Grid, Verdict, cures_of, way_home

_ORDER: Final = {Severity.DANGER: 0, Severity.WARNING: 1, Severity.NOTE: 2}
_NO_WAY: Final = "no-way-home"
_ENDS: Final = "out-of-gas"


class WithWayHome(Protocol):
    """A dive whose way home was looked for, on open or on closed circuit."""

    @property
    def schedule(self) -> Schedule:
        """The dive, with all hazards that were found."""

    @property
    def grid(self) -> Grid:
        """The way home from every minute, whatever fails."""

    @property
    def refusal(self) -> NoSafeAnswer | None:
        """Why nobody may dive this; None if there is no reason."""


@dataclass(frozen=True)
class Judged:
    """A finished dive and what became known of its gas.

    Parameters
    ----------
    schedule
        The dive; its hazards are all that were found, those of the gas among them.
    supply
        Every cylinder, what is kept, when to turn.
    grid
        The way home from every minute, whatever fails.
    mixups
        The wrong cylinder at each moment.
    lifts
        What each diver weighs in water, from full to empty.
    """

    schedule: Schedule
    supply: Supply
    grid: Grid
    mixups: MixUps
    lifts: tuple[Lift, ...]

    @property
    def no_way_home(self) -> tuple[Hazard, ...]:
        """Why nobody may dive this: failures without a way home, gas that ends as planned."""
        return tuple(h for h in self.schedule.hazards if h.code in {_NO_WAY, _ENDS})

    @property
    def refusal(self) -> NoSafeAnswer | None:
        """The refusal of a dive without a way home, with what cures it; None if it has one."""
        reasons = [Reason(hazard.text, hazard.cure) for hazard in self.no_way_home]
        return NoSafeAnswer(*reasons) if reasons else None


def judge(schedule: Schedule, team: Team) -> Judged:
    """Judge the gas of a dive.

    Parameters
    ----------
    schedule
        The dive.
    team
        Who goes, with which cylinders.

    Returns
    -------
    Judged
        A dive without a way home is told of, not refused: see its ``refusal``.

    Raises
    ------
    InputError
        If a gas that is breathed is in no cylinder, or a cylinder is filled above its working
        pressure.
    NoSafeAnswer
        If there is no ascent from the end of a stay, delayed by a problem.
    """
    try:
        supply = supply_of(schedule, team)
    except NoSafeAnswer as refusal:
        late = f"with {team.rules.two_tasks_min:g} min more at the end of a stay, for a problem"
        named = (replace(reason, what=f"{late}: {reason.what}") for reason in refusal.reasons)
        raise NoSafeAnswer(*named) from refusal
    grid = way_home(schedule, team)
    lifts = lift_over(schedule, team)
    hazards = (*schedule.hazards, *supply.hazards, *way_home_hazards(grid), *lift_hazards(lifts))
    merged = sorted(hazards, key=lambda hazard: (_ORDER[hazard.severity], hazard.at_min))
    judged = replace(schedule, hazards=tuple(merged))
    return Judged(judged, supply, grid, mixups(schedule, team), lifts)


def way_home_hazards(grid: Grid) -> Iterator[Hazard]:
    """Yield what a grid finds: each failure without a way home, and one note of compromises.

    Parameters
    ----------
    grid
        The grid.
    """
    for number, row in enumerate(grid.rows):
        if row.first_without_min is None:
            continue
        cell = grid.cell(number, row.first_without_min)
        yield Hazard(
            _NO_WAY,
            Severity.DANGER,
            float(cell.minute),
            cell.depth_m,
            f"from minute {cell.minute} ({say.depth(cell.depth_m, grid.plan.units)}) there is no "
            f"way home with {cell.failure.name}: {_why(cell)}"
            + (f"; so for {row.minutes_without} minutes" if row.minutes_without > 1 else ""),
            "one failure, and somebody is not brought home",
            "; or ".join(cure.text for cure in cures_of(grid, number)),
        )
    yield from _compromises(grid)


def _why(cell: Cell) -> str:
    return cell.why if not cell.diver else f"{cell.why} ({cell.diver})"


def _compromises(grid: Grid) -> Iterator[Hazard]:
    rows = [row for row in grid.rows if row.worst.verdict.is_compromise]
    if not rows:
        return
    counted = Counter(row.worst.verdict for row in rows)
    told = ", ".join(
        f"{counted[verdict]} {words}" for verdict, words in _COMPROMISES.items() if counted[verdict]
    )
    worst = max(rows, key=lambda row: (row.worst.verdict, row.minutes_compromised))
    yield Hazard(
        "way-home-compromised",
        Severity.NOTE,
        float(worst.worst.minute),
        worst.worst.depth_m,
        f"{len(rows)} of {len(grid.rows)} failures end with a compromise ({told}), the worst with "
        f"{worst.failure.name}",
        "stops cut short may bring decompression sickness, and gas beyond its limits a convulsion "
        "or a faint: better than drowning, and no plan",
    )


_COMPROMISES: Final = {
    Verdict.HURRIED: "with stops cut short",
    Verdict.BEYOND_LIMITS: "breathing beyond the limits",
    Verdict.HURRIED_BEYOND_LIMITS: "with both",
}
