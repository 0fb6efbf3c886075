"""The way home as the page shows it, and what would cure what has none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from slatewright.desk.bench.grids import GRIDS
from slatewright.desk.bench.result import Result
from slatewright.desk.bench.tables import Card, MendSeen, card_of, mend_seen
from slatewright.desk.bench.wayhome_drawing import wayhome_picture
from slatewright.dive.hazard import Change, Mend
from slatewright.errors import InputError
from slatewright.paper.wayhome_sheet import says
from slatewright.supply.lift_over_dive import Lift, lift_hazards, lift_over
from slatewright.supply.wayhome import Cure, CureKind, Grid, cures_of

_LOOP_LIFT: Final = (
    "Not judged: lift is not worked out for a closed circuit yet. Try it in shallow water, with "
    "cylinders full and empty."
)
_NO_RIG: Final = "Not judged: there is no rig on the sheet."
_WHY_NOT: Final = {
    CureKind.MORE_GAS: "no cylinder that is there holds it: choose larger ones on the sheet",
    CureKind.SPARE: "which cylinder, and who carries it where, is for you to say: add it to the "
    "sheet",
}


@dataclass(frozen=True, slots=True)
class Failing:
    """A failure without a way home.

    Parameters
    ----------
    name
        What fails.
    from_min
        The first minute without one [min].
    why
        Why there is none.
    cures
        The path that looks for cures, which takes seconds.
    """

    name: str
    from_min: int
    why: str
    cures: str


@dataclass(frozen=True, slots=True)
class WayHome:
    """The way home of a dive.

    Parameters
    ----------
    bench
        The path of the bench.
    title
        The plan's title.
    picture
        The grid, as SVG.
    rows
        What each failure ends like at its worst: its name, a few words, and the path of its
        account.
    minutes
        How many minutes were judged.
    failing
        What has no way home.
    compromised
        How many failures end with a compromise.
    slate
        The path that prints a slate on somebody's word; empty where there is a way home.
    rigs, unjudged
        How many of the team have a rig, and how many none.
    lift
        What is too heavy or too light of those who have one.
    lift_missing
        Why lift is judged for nobody, a sentence; empty if that is not so.
    """

    bench: str
    title: str
    picture: Markup
    rows: tuple[tuple[str, str, str], ...]
    minutes: int
    failing: tuple[Failing, ...]
    compromised: int
    slate: str
    rigs: int
    unjudged: int
    lift: tuple[Card, ...]
    lift_missing: str


@dataclass(frozen=True, slots=True)
class CureSeen:
    """A cure of a failure.

    Parameters
    ----------
    text
        What it is.
    mend
        The same as a button; None if it cannot be written into the plan by itself.
    why_not
        Why it is no button; empty for one that is.
    """

    text: str
    mend: MendSeen | None
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Cures:
    """What would cure a failure.

    Parameters
    ----------
    bench
        The path of the bench.
    title
        The plan's title.
    name
        What fails.
    cures
        Each cures by itself.
    """

    bench: str
    title: str
    name: str
    cures: tuple[CureSeen, ...]


def way_home_of(result: Result, bench: str, width_px: int) -> WayHome:
    """Return the way home as the page shows it.

    Parameters
    ----------
    result
        The dive.
    bench
        The path of the bench.
    width_px
        The room for the picture [px].

    Raises
    ------
    InputError
        If the plan names no cylinders.
    """
    grid = _grid(result)
    lifts, lift_missing = _lifts(result)
    how = f"{bench}/how/{result.key}/way"
    failing = []
    for number, row in enumerate(grid.rows):
        if row.first_without_min is not None:
            cell = grid.cell(number, row.first_without_min)
            why = f"{cell.why} ({cell.diver})" if cell.diver else cell.why
            path = f"{bench}/cures/{result.key}/{number}"
            failing.append(Failing(row.failure.name, row.first_without_min, why, path))
    return WayHome(
        bench=bench,
        title=result.dive.plan.title,
        picture=wayhome_picture(grid, width_px, lambda row: f"{how}/{row}"),
        rows=tuple(
            (row.failure.name, says(row), f"{how}/{number}") for number, row in enumerate(grid.rows)
        ),
        minutes=len(grid.minutes),
        failing=tuple(failing),
        compromised=sum(row.worst.verdict.is_compromise for row in grid.rows),
        slate=f"{bench}/slate/{result.key}" if failing else "",
        rigs=sum(lift.balance is not None for lift in lifts),
        unjudged=sum(lift.balance is None for lift in lifts),
        lift=tuple(
            card_of(number, hazard, result)
            for number, hazard in enumerate(lift_hazards(lifts), len(result.hazards) + 1)
        ),
        lift_missing=lift_missing,
    )


def _lifts(result: Result) -> tuple[tuple[Lift, ...], str]:
    """Return what each diver weighs in water, and why nobody's is judged."""
    if result.dive.plan.loop is not None:
        return (), _LOOP_LIFT
    lifts = () if result.team is None else lift_over(result.dive, result.team)
    return lifts, "" if any(lift.balance is not None for lift in lifts) else _NO_RIG


def cures_for(result: Result, bench: str, row: int) -> Cures:
    """Look for what would cure a failure; it takes seconds.

    Parameters
    ----------
    result
        The dive.
    bench
        The path of the bench.
    row
        The failure, counted from 0.

    Raises
    ------
    InputError
        If there is no such failure.
    """
    grid = _grid(result)
    if row >= len(grid.rows):
        raise InputError("there is no such failure", right="one of the page")
    return Cures(
        bench=bench,
        title=result.dive.plan.title,
        name=grid.failures[row].name,
        cures=tuple(_seen(cure, grid) for cure in cures_of(grid, row)),
    )


def _grid(result: Result) -> Grid:
    grid = GRIDS.of(result)
    if grid is None:
        raise InputError(result.gas_missing, right="a plan with its cylinders")
    return grid


def _seen(cure: Cure, grid: Grid) -> CureSeen:
    mend = _mend(cure, grid)
    return CureSeen(cure.text, mend, "" if mend else _WHY_NOT.get(cure.kind, ""))


def _mend(cure: Cure, grid: Grid) -> MendSeen | None:
    """Return a cure as a button, if it can be written into the plan by itself."""
    plan = grid.plan
    changes: list[Change] = []
    match cure.kind:
        case CureKind.LESS_TIME if cure.leave_at_min is not None:
            last = len(plan.levels) - 1
            changes.append(Change(("level", last, "leave_at_min"), cure.leave_at_min))
        case CureKind.OTHER_MIX if cure.mix is not None:
            old = str(plan.bottom_gases[0].mix)
            changes.append(Change(("gas", old, "mix"), str(cure.mix)))
        case CureKind.MORE_GAS if cure.fills and all(fill.fits for fill in cure.fills):
            highest: dict[tuple[str, str], float] = {}
            for fill in cure.fills:
                if fill.gauge_bar is not None:
                    highest[fill.diver, fill.label] = fill.gauge_bar
            for (diver, label), bar in sorted(highest.items(), key=lambda item: item[1]):
                # a cylinder that several carry alike is written once, and the highest fill stays
                changes.append(Change(("cylinder", diver, label, "pressure_{bar}"), bar))
        case _:
            return None
    return mend_seen(Mend(cure.text, tuple(changes)))
