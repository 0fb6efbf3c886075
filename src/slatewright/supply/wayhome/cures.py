"""What would cure a failure that has no way home: looked for, tried, and true.

Each cure was tried: the whole row was solved again with it, and no minute is left without a way
home. Amounts are rounded up and tried as rounded. What cannot be found this way is not offered.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.dive import say
from slatewright.errors import NoSafeAnswer
from slatewright.physics.limits import best_oxygen_at
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_gas_mol, free_litres
from slatewright.physics.units import volume_needed_label
from slatewright.supply.wayhome.dive import planned_dive
from slatewright.supply.wayhome.failures import Failure
from slatewright.supply.wayhome.filling import Fill, fills_of
from slatewright.supply.wayhome.grid import Grid
from slatewright.supply.wayhome.tasks import Trial
from slatewright.supply.wayhome.verdicts import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from slatewright.dive.plan import Plan
    from slatewright.supply.kit import Team

_ROUNDS: Final = 8
_HALVINGS: Final = 4
_STEP_FREE_L: Final = 10.0
"""Amounts are offered in steps of this [L]."""
_MOST_FREE_L: Final = 20000.0
"""More than this is no cure [L]."""


class CureKind(StrEnum):
    """What kind of change cures."""

    MORE_GAS = "more gas"
    SPARE = "a cylinder of its own"
    LESS_TIME = "less time"
    OTHER_MIX = "another mix"


@dataclass(frozen=True, slots=True)
class Cure:
    """One change after which a failure has a way home from every minute.

    Parameters
    ----------
    kind
        What kind of change it is.
    text
        What to do, a sentence without a full stop.
    gases
        The gases of which more is needed, with the free litres for each diver [L].
    fills
        What the cylinders would then have to show; empty for other cures.
    leave_at_min
        Run time at which the last stay would have to be left; None for other cures [min].
    mix
        The mixture that would have to be taken; None for other cures.
    """

    kind: CureKind
    text: str
    gases: tuple[tuple[Mixture, float], ...] = ()
    fills: tuple[Fill, ...] = ()
    leave_at_min: float | None = None
    mix: Mixture | None = None


def cures_of(grid: Grid, row: int) -> tuple[Cure, ...]:
    """Return what would cure a failure that has no way home.

    Parameters
    ----------
    grid
        The grid.
    row
        Number of the failure.

    Returns
    -------
    tuple
        Each cures by itself; empty if the failure has a way home, or nothing was found. Looked for
        once: that takes seconds, and terminal, document and refusal all ask.
    """
    if row not in grid.cures_found:
        grid.cures_found[row] = tuple(_found(grid, row))
    return grid.cures_found[row]


def _found(grid: Grid, row: int) -> Iterator[Cure]:
    failure = grid.failures[row]
    if not (grid.arrays.verdict[row] == Verdict.NO_WAY).any():
        return
    found = (
        _more_gas(grid, failure),
        _spare(grid, failure),
        _less_time(grid, failure),
        _other_mix(grid, failure, row),
    )
    yield from (cure for cure in found if cure is not None)


def _more_gas(grid: Grid, failure: Failure) -> Cure | None:
    amounts = _enough(grid, failure, (), spare=False)
    if not amounts:
        return None
    fills = fills_of(grid.team, amounts, grid.plan.water)
    told = f"{_told(amounts, grid.plan)} more"
    if len(grid.team.divers) > 1:
        told += " for each diver"
    if not all(fill.fits for fill in fills):
        told += ", which needs larger cylinders"
    return Cure(CureKind.MORE_GAS, told, gases=tuple(amounts.items()), fills=fills)


def _spare(grid: Grid, failure: Failure) -> Cure | None:
    lost = tuple(failure.lost) + tuple(failure.lost_by_all)
    best: dict[Mixture, float] = {}
    for mixes in [(mix,) for mix in lost] + ([lost] if len(lost) > 1 else []):
        amounts = _enough(grid, failure, mixes, spare=True)
        if amounts and (not best or sum(amounts.values()) < sum(best.values())):
            best = amounts
    if not best:
        return None
    return Cure(
        CureKind.SPARE,
        f"{_told(best, grid.plan)} in a cylinder of its own, which is not lost with the others",
        gases=tuple(best.items()),
    )


class _Amounts:
    """Free litres of gases, tried on one failure: first where it fails, then on the whole dive."""

    def __init__(
        self, grid: Grid, failure: Failure, mixes: Sequence[Mixture], *, spare: bool
    ) -> None:
        self._grid = grid
        self._failure = failure
        self._mixes = mixes
        self._spare = spare
        verdict = grid.arrays.verdict[grid.row_of(failure)]
        bad = np.flatnonzero(verdict == Verdict.NO_WAY).tolist()
        self._bad = frozenset(grid.minutes[i] for i in bad)

    def lacking(
        self, amounts: Mapping[Mixture, float], *, everywhere: bool = False
    ) -> dict[Mixture, float] | None:
        """Return what the worst minutes still lack [L]; None if more gas does not help."""
        mol = {mix: free_gas_mol(mix, free_l) for mix, free_l in amounts.items()}
        minutes = None if everywhere else self._bad
        trial = Trial(spare_mol=mol, minutes=minutes)
        if not self._spare:
            trial = Trial(more_mol=mol, minutes=minutes)
        grid = self._grid
        tried = Grid(grid.dive, grid.team, grid.rules, (self._failure,), trial)
        bad = tried.arrays.verdict[0] == Verdict.NO_WAY
        if not bad.any():
            return {}
        lacking = tried.arrays.lacking_mol[0][bad]
        if not (lacking.sum(axis=1) > 0.0).all():
            return None
        return {
            mix: free_litres(mix, float(most))
            for mix, most in zip(tried.mixes, lacking.max(axis=0).tolist(), strict=True)
            if most > 0.0 and (not self._spare or mix in self._mixes)
        }

    def enough(self, amounts: Mapping[Mixture, float]) -> bool:
        """Return whether no minute is without a way home."""
        return self.lacking(amounts) == {}


def _enough(
    grid: Grid, failure: Failure, mixes: Sequence[Mixture], *, spare: bool
) -> dict[Mixture, float]:
    """Return free litres of gases that are enough for a whole row, nothing if none are found [L].

    What is lacking is added until nothing is; then the whole is made smaller by halving as long as
    it stays enough.
    """
    tried = _Amounts(grid, failure, mixes, spare=spare)
    amounts = dict.fromkeys(mixes, 0.0)
    for _ in range(_ROUNDS):
        lacking = tried.lacking(amounts)
        if lacking == {}:
            break
        if not lacking or sum(amounts.values()) > _MOST_FREE_L:
            return {}
        for mix, free_l in lacking.items():
            amounts[mix] = amounts.get(mix, 0.0) + _rounded(free_l)
    else:
        return {}
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if tried.enough({mix: _rounded(free_l * middle) for mix, free_l in amounts.items()}):
            high = middle
        else:
            low = middle
    least = {mix: _rounded(free_l * high) for mix, free_l in amounts.items() if free_l > 0.0}
    return least if tried.lacking(least, everywhere=True) == {} else {}


def _rounded(free_l: float) -> float:
    return math.ceil(free_l / _STEP_FREE_L - 1e-9) * _STEP_FREE_L


def _told(amounts: Mapping[Mixture, float], plan: Plan) -> str:
    return " and ".join(
        f"{volume_needed_label(free_l, plan.units)} of {mix}" for mix, free_l in amounts.items()
    )


def _less_time(grid: Grid, failure: Failure) -> Cure | None:
    """Return the longest stay, in whole minutes of run time, that has a way home throughout."""
    plan = grid.as_planned
    arrived = max(
        leg.start_min
        for leg in grid.dive.legs
        if leg.end_min <= plan.levels[-1].leave_at_min + 1e-6
    )
    low, high = math.floor(arrived), math.ceil(plan.levels[-1].leave_at_min) - 1
    fits: float | None = None
    while low < high:
        middle = (low + high + 1) // 2
        if _has_way(grid, failure, _left_at(plan, middle), grid.team):
            low, fits = middle, middle
        else:
            high = middle - 1
    if fits is None:
        return None
    return Cure(
        CureKind.LESS_TIME,
        f"leave {say.depth(plan.levels[-1].depth_m, plan.units)} at {fits:g} min of run time",
        leave_at_min=fits,
    )


def _left_at(plan: Plan, minute: float) -> Plan:
    last = replace(plan.levels[-1], leave_at_min=float(minute))
    return replace(plan, levels=(*plan.levels[:-1], last))


def _has_way(grid: Grid, failure: Failure, plan: Plan, team: Team) -> bool:
    try:
        dive = planned_dive(plan)
    except NoSafeAnswer:
        return False
    return Grid(dive, team, grid.rules, (failure,), Trial()).has_way_home


def _other_mix(grid: Grid, failure: Failure, row: int) -> Cure | None:
    """Return a bottom gas that can be breathed where nothing is left, if one keeps its limit."""
    plan = grid.plan
    minutes = np.flatnonzero(grid.arrays.verdict[row] == Verdict.NO_WAY).tolist()
    cells = [grid.cell(row, grid.minutes[i]) for i in minutes]
    ends = [cell.nothing_to_m for cell in cells if cell.nothing_to_m is not None]
    bottom = plan.bottom_gases
    if not ends or len(bottom) != 1 or bottom[0].mix in failure.lost_by_all:
        return None
    old = bottom[0]
    least = best_oxygen_at(min(ends), plan.rules.floor_bar, plan.water)
    percent = math.ceil(least * 100.0 - 1e-9)
    most = best_oxygen_at(plan.deepest_m, old.ppo2_max_bar, plan.water)
    if percent / 100.0 > most or percent / 100.0 <= old.mix.o2:
        return None
    new = Mixture(percent / 100.0, min(old.mix.he, 1.0 - percent / 100.0))
    swapped = replace(
        plan,
        gases=tuple(replace(gas, mix=new) if gas.mix == old.mix else gas for gas in plan.gases),
        break_gas=new if plan.break_gas == old.mix else plan.break_gas,
    )
    team = replace(
        grid.team,
        divers=tuple(
            replace(
                diver,
                kit=tuple(
                    replace(held, mix=new) if held.mix == old.mix else held for held in diver.kit
                ),
            )
            for diver in grid.team.divers
        ),
    )
    renamed = replace(
        failure,
        lost=tuple(new if mix == old.mix else mix for mix in failure.lost),
        one_cylinder=new if failure.one_cylinder == old.mix else failure.one_cylinder,
    )
    if not _has_way(grid, renamed, swapped, team):
        return None
    return Cure(CureKind.OTHER_MIX, f"{new} in place of {old.mix} as the bottom gas", mix=new)
