"""The way-home grid: every whole minute of a dive times every failure, judged."""

from __future__ import annotations

from dataclasses import fields
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from slatewright.decompression.supplied import raised_factor, rules_of
from slatewright.dive.gases import locker
from slatewright.errors import InputError
from slatewright.physics.real_gas import free_litres
from slatewright.supply.breathing import breathed_amount_mol, breathing_temperature_k
from slatewright.supply.wayhome.failures import Failure, failures_of
from slatewright.supply.wayhome.found import found_of
from slatewright.supply.wayhome.ladders import LadderBook, Reading
from slatewright.supply.wayhome.loop_dive import bailing_out, breathed_from, loop_failures
from slatewright.supply.wayhome.moments import Columns
from slatewright.supply.wayhome.profile import profile_of
from slatewright.supply.wayhome.rules import WayHomeRules, slow_settings
from slatewright.supply.wayhome.search import Search
from slatewright.supply.wayhome.tasks import Trial, tasks_of
from slatewright.supply.wayhome.verdicts import (
    Cell,
    CellArrays,
    Lacking,
    RowSummary,
    Scarce,
    Verdict,
)
from slatewright.supply.wayhome.words import why_no_way

if TYPE_CHECKING:
    from slatewright.dive.plan import Plan
    from slatewright.supply.kit import Team
    from slatewright.supply.wayhome.cures import Cure
    from slatewright.supply.wayhome.dive import DiveLike


class Grid:
    """The judged grid; made by `way_home`.

    Parameters
    ----------
    dive
        The dive.
    team
        Who dives it, with what.
    rules
        How bad failures are, and how far an emergency may go.
    failures
        The rows; None for all that the plan is held against.
    trial
        What is changed to see whether it would cure; then compromises are not looked at closely.
    columns
        Which minutes are looked at.
    """

    def __init__(
        self,
        dive: DiveLike,
        team: Team,
        rules: WayHomeRules,
        failures: tuple[Failure, ...] | None = None,
        trial: Trial | None = None,
        columns: Columns = Columns.EVERY_MINUTE,
    ) -> None:
        self.as_planned = dive.plan
        """The plan as it was written, on its loop if it has one."""
        if dive.plan.loop is not None:
            failures = loop_failures(dive.plan, team, rules) if failures is None else failures
            dive, team = bailing_out(dive), breathed_from(team)
        plan = dive.plan
        self.dive = dive
        self.team = team
        self.rules = rules
        self.failures = failures_of(plan, team, rules) if failures is None else failures
        step_m = plan.settings.stop_step_m
        levels = sorted({0, *(failure.levels_deeper for failure in self.failures)})
        gases = locker(plan)
        deepest_m = plan.deepest_m + levels[-1] * step_m
        self._profiles = {
            level: profile_of(
                dive.legs,
                dive.first_stop_m,
                dive.start,
                plan,
                team,
                gases.mixes,
                deeper_m=level * step_m,
                columns=columns,
            )
            for level in levels
        }
        self._book = LadderBook(plan, gases, rules, int(deepest_m / step_m + 1e-6))
        kelvin = breathing_temperature_k(team.water_temperature_k)
        ascents = rules_of(
            gases.rising,
            plan.settings,
            slow_settings(plan.settings, rules.slower_share),
            plan.water,
            mol_per_l_bar=breathed_amount_mol(1.0, 1.0, 1.0, kelvin),
        )
        self._tasks = tasks_of(
            self.failures, self._profiles, plan, team, self._book, trial or Trial()
        )
        self._search = Search(self._tasks, self._profiles, self._book, ascents)
        self._search.run(rules.gradient_steps if trial is None else 1)
        self._found = found_of(self._tasks, self._search.found, self._search.omitted_min)
        self.mixes = gases.mixes
        self.minutes: tuple[int, ...] = tuple(self._profiles[0].moments.minutes.tolist())
        self.depths_m: tuple[float, ...] = tuple(self._profiles[0].moments.depth_m.tolist())
        self._chosen, self.arrays = self._worst_of_struck()
        self.cures_found: dict[int, tuple[Cure, ...]] = {}  # filled by `cures_of`

    @property
    def plan(self) -> Plan:
        """The plan of the ascents; of a dive on a closed circuit with its bailout gases."""
        return self.dive.plan

    @property
    def largest_imbalance_mol(self) -> float:
        """The most by which gas breathed and gas drawn differed in any ascent tried [mol]."""
        return float(self._search.found.imbalance_mol.max(initial=0.0))

    @property
    def has_way_home(self) -> bool:
        """True if no minute of any failure is without a way home."""
        return not bool((self.arrays.verdict == Verdict.NO_WAY).any())

    @cached_property
    def rows(self) -> tuple[RowSummary, ...]:
        """Each failure over the whole dive."""
        return tuple(self._summary(row) for row in range(len(self.failures)))

    @property
    def first_failing(self) -> RowSummary | None:
        """The failure that has no way home from the earliest minute on; None if all have one."""
        failing = [row for row in self.rows if row.first_without_min is not None]
        return min(failing, key=lambda row: row.first_without_min or 0, default=None)

    def row_of(self, failure: Failure | str) -> int:
        """Return the number of a failure's row.

        Parameters
        ----------
        failure
            The failure, or its name.

        Raises
        ------
        InputError
            If the grid has no such failure.
        """
        name = failure if isinstance(failure, str) else failure.name
        names = [known.name for known in self.failures]
        if name not in names:
            raise InputError(f"the grid has no failure '{name}'", right=", ".join(names))
        return names.index(name)

    def cell(self, row: int, minute: int) -> Cell:
        """Return what the grid says of one minute of one failure.

        Parameters
        ----------
        row
            Number of the failure.
        minute
            Run time, whole [min].

        Raises
        ------
        InputError
            If the grid has no such minute.
        """
        if minute not in self.minutes:
            raise InputError(
                f"the grid has no minute {minute}", right=", ".join(map(str, self.minutes))
            )
        column = self.minutes.index(minute)
        arrays, task = self.arrays, int(self._chosen[row, column])
        failure, verdict = self.failures[row], Verdict(int(arrays.verdict[row, column]))
        moments = self._profiles[failure.levels_deeper].moments
        meant = verdict is not Verdict.NOT_MEANT
        depth_m = float(moments.depth_m[column]) if meant else self.depths_m[column]
        diver = self.team.divers[int(arrays.struck[row, column])].name
        if verdict is Verdict.NOT_MEANT:
            return Cell(failure, minute, depth_m, verdict, diver)
        if verdict is Verdict.NO_WAY:
            return self._without(row, column, task, depth_m, diver)
        settings, raised = self.plan.settings, float(arrays.raised[row, column])
        low = raised_factor(settings.gradient_low, raised)
        high = raised_factor(settings.gradient_high, raised)
        omitted = float(arrays.omitted_min[row, column])
        return Cell(
            failure=failure,
            minute=minute,
            depth_m=depth_m,
            verdict=verdict,
            diver=diver,
            surfaced_min=float(arrays.surfaced_min[row, column]),
            gases=tuple(self.mixes[i] for i in np.flatnonzero(self._found.breathed[task, column])),
            shared=tuple(self.mixes[i] for i in np.flatnonzero(self._found.shared[task, column])),
            scarce=self._scarce(row, column),
            over_bar=float(arrays.over_bar[row, column]),
            under_bar=float(arrays.under_bar[row, column]),
            omitted_min=None
            if np.isnan(omitted := float(arrays.omitted_min[row, column]))
            else omitted,
            gradient_low=low,
            gradient_high=high,
        )

    def _without(self, row: int, column: int, task: int, depth_m: float, diver: str) -> Cell:
        failure = self.failures[row]
        moments = self._profiles[failure.levels_deeper].moments
        team_gases = self._tasks[task].hands.team
        lacking = tuple(
            Lacking(self.mixes[i], free_litres(self.mixes[i], amount))
            for i, amount in enumerate(self.arrays.lacking_mol[row, column].tolist())
            if amount > 0.0
        )
        rungs = self._book.rungs(team_gases, Reading.DEEPEST)
        gap = None
        if not lacking:
            start = int(self._book.start_gases([rungs], *moments.start_of(column))[0, 0])
            if not rungs.leads_up[moments.level[column]] and not np.isnan(rungs.gap_to_m):
                gap = (min(rungs.gap_from_m, depth_m), rungs.gap_to_m)
            elif start < 0 or not rungs.leads_up[moments.level[column]]:
                gap = (depth_m, float(moments.reach_m[column]))
        at_hand = [self._book.hands[Reading.DEEPEST][i] for i in sorted(team_gases)]
        return Cell(
            failure=failure,
            minute=self.minutes[column],
            depth_m=depth_m,
            verdict=Verdict.NO_WAY,
            diver=diver,
            lacking=lacking,
            nothing_from_m=gap[0] if gap else None,
            nothing_to_m=gap[1] if gap else None,
            why=why_no_way(self.plan, self.rules, at_hand, lacking, gap),
        )

    def _scarce(self, row: int, column: int) -> Scarce | None:
        arrays = self.arrays
        gas, who = int(arrays.scarce_gas[row, column]), int(arrays.scarce_diver[row, column])
        if gas < 0:
            return None
        task = self._tasks[self._chosen[row, column]]
        mix, share = self.mixes[gas], float(arrays.share[row, column])
        full_mol = float(task.full_mol[task.order.index(who), gas])
        diver = self.team.divers[who]
        return Scarce(
            diver=diver.name,
            cylinders=tuple(held.label for held in diver.kit if held.mix == mix),
            mix=mix,
            share=share,
            free_l=free_litres(mix, share * full_mol),
            until_min=float(arrays.scarce_until_min[row, column]),
        )

    def _summary(self, row: int) -> RowSummary:
        verdict, share = self.arrays.verdict[row], self.arrays.share[row]
        lacking = self.arrays.lacking_mol[row].sum(axis=1)
        bad = np.where(verdict == Verdict.NO_WAY, 1.0 + lacking, -np.nan_to_num(share, nan=1.0))
        worst = np.lexsort((-bad, -verdict.astype(np.int64)))[0]
        without = np.flatnonzero(verdict == Verdict.NO_WAY)
        return RowSummary(
            failure=self.failures[row],
            worst=self.cell(row, self.minutes[int(worst)]),
            first_without_min=self.minutes[int(without[0])] if without.size else None,
            minutes_without=int(without.size),
            minutes_compromised=int(((verdict > Verdict.HOME) & (verdict < Verdict.NO_WAY)).sum()),
        )

    def _worst_of_struck(
        self,
    ) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.int64]], CellArrays]:
        """Choose for each cell the diver who fares worst, and lay the rows together."""
        found, tasks = self._found, self._tasks
        worse = found.verdict * 1e9 + found.lacking_mol.sum(axis=2)
        worse -= np.nan_to_num(found.share, nan=2.0)
        row_of_task = np.array([task.row for task in tasks])
        chosen = np.empty((len(self.failures), len(self.minutes)), dtype=np.int64)
        for row in range(len(self.failures)):
            first, last = np.searchsorted(row_of_task, [row, row + 1]).tolist()
            chosen[row] = first + np.argmax(worse[first:last], axis=0)
        column = np.arange(len(self.minutes))
        laid = {
            field.name: getattr(found, field.name)[chosen, column]
            for field in fields(CellArrays)
            if field.name != "struck"
        }
        struck = np.array([task.order[0] for task in tasks])[chosen]
        return chosen, CellArrays(struck=struck, **laid)


def way_home(
    dive: DiveLike,
    team: Team,
    rules: WayHomeRules | None = None,
    failures: tuple[Failure, ...] | None = None,
    *,
    columns: Columns = Columns.EVERY_MINUTE,
) -> Grid:
    """Judge every whole minute of a dive for every failure.

    Parameters
    ----------
    dive
        The finished dive, or one that is only planned.
    team
        Who dives it, with what.
    rules
        How bad failures are, and how far an emergency may go; None for the defaults.
    failures
        The failures; None for all that the plan is held against.
    columns
        Which minutes are looked at: every one, or those to the end of the bottom and the first of
        each stop.

    Returns
    -------
    Grid
        With a verdict in each cell.

    Raises
    ------
    InputError
        If a diver has no cylinder of a gas that the dive breathes.
    """
    return Grid(dive, team, rules or WayHomeRules(), failures, columns=columns)
