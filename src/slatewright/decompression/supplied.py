"""Ways home on what is left, for thousands of cells at once: arrays in, arrays out, on all cores.

Knows legs, amounts and sets of gases, and nothing of cylinders, mixtures or failures; those are of
`supply`. The groups of arrays that are handed over are described where they are defined, in
`slatewright.decompression._kernel.supplies`.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor, wait
from functools import cache, lru_cache
from typing import Any, Final, TypeVar

import numpy as np

from slatewright.decompression._kernel import attempt as formulas
from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.compiler import plain
from slatewright.decompression._kernel.search import search_cells
from slatewright.decompression._kernel.supplies import (
    HOME,
    LACKING_MOL,
    NO_WAY,
    OVER_BAR,
    SURFACED_MIN,
    TOLD_SIZE,
    UNDER_BAR,
    Desk,
    Losses,
    Moments,
    Outcomes,
    Rules,
    Sets,
    Tries,
)
from slatewright.decompression._legs import MOST_LEGS
from slatewright.decompression._machine import cores
from slatewright.decompression._tables import make_scratch, make_tables
from slatewright.decompression.ladder import AscentGas, Ladder
from slatewright.decompression.settings import AscentSettings
from slatewright.errors import InputError
from slatewright.physics.water import Water

__all__ = [
    "HOME",
    "LACKING_MOL",
    "NO_WAY",
    "OVER_BAR",
    "SURFACED_MIN",
    "UNDER_BAR",
    "Losses",
    "Moments",
    "Outcomes",
    "Rules",
    "Sets",
    "Tries",
    "WaysHome",
    "raised_factor",
    "rules_of",
    "time_share",
]

_T = TypeVar("_T", float, kernel.F64)
_NO_LADDERS: Final = (Ladder((-1,), (-1,)),)
_FEW: Final = 64
"""So many cells take no longer on one core than a second thread to start."""


def time_share(share: _T, from_bar: _T, to_bar: _T) -> _T:
    """Return the share of a leg's time in which a share of its gas is breathed.

    Parameters
    ----------
    share
        Share of the leg's gas, 0 to 1; a number or an array, as the others [-].
    from_bar, to_bar
        Ambient pressure at its start and end, absolute [bar].

    Returns
    -------
    float or array
        Share of its time [-].
    """
    over_any: Any = plain(formulas.time_share)
    found: _T = over_any(share, from_bar, to_bar)
    return found


def raised_factor(factor: float, raised: float) -> float:
    """Return a gradient factor raised towards 1.

    Parameters
    ----------
    factor
        The factor of the plan [-].
    raised
        How far, 0 to 1 [-].
    """
    return plain(formulas.raised_factor)(factor, raised)


def rules_of(
    gases: tuple[AscentGas, ...],
    settings: AscentSettings,
    slow_settings: AscentSettings,
    water: Water,
    *,
    mol_per_l_bar: float,
) -> Rules:
    """Return what all ascents of a search have in common.

    Parameters
    ----------
    gases
        All gases, as sets and ladders number them.
    settings, slow_settings
        The ascent as planned, and a slow one: of other rates, and else the same.
    water
        Pressure under water.
    mol_per_l_bar
        Amount in a litre as breathed, for each bar of ambient pressure [mol/(L bar)].

    Returns
    -------
    Rules
        As the kernel takes them.
    """
    return Rules(
        table=_tables(settings, slow_settings),
        setup=np.array(
            [
                make_tables(gases, _NO_LADDERS, each, water, last).setup
                for each in (settings, slow_settings)
                for last in range(settings.last_level + 1)
            ]
        ),
        last_level=settings.last_level,
        step_m=settings.stop_step_m,
        low=settings.gradient_low,
        high=settings.gradient_high,
        switch_min=settings.switch_min,
        surface_bar=water.surface_bar,
        bar_per_m=water.bar_per_m,
        mol_per_l_bar=mol_per_l_bar,
    )


@lru_cache(maxsize=4)  # the kernel reads it only, and plans are judged several times over
def _tables(settings: AscentSettings, slow_settings: AscentSettings) -> kernel.F64:
    water = Water()  # of no consequence: these numbers are of the model and the rates
    return np.array(
        [
            make_tables((), _NO_LADDERS, each, water, last).table
            for each in (settings, slow_settings)
            for last in range(settings.last_level + 1)
        ]
    )


class WaysHome:
    """The search over the cells of one dive.

    Parameters
    ----------
    moments
        Where ascents begin.
    losses
        What each loss leaves to whom.
    rules
        What all ascents have in common.
    threads
        How many; None for one on each core. No result depends on it.

    Raises
    ------
    InputError
        If shapes do not fit, or an amount is negative.
    """

    def __init__(
        self, moments: Moments, losses: Losses, rules: Rules, *, threads: int | None = None
    ) -> None:
        _check(moments, losses)
        self._moments = moments
        self._losses = losses
        self._rules = rules
        self._threads = max(1, cores() if threads is None else threads)
        self._desks = [_desk(losses) for _ in range(self._threads)]

    def nothing_found(self) -> Outcomes:
        """Return outcomes of all cells, before any way was tried."""
        return _nothing_found(self._losses)

    def search(self, sets: Sets, tries: Tries, cells: kernel.I64, found: Outcomes) -> None:
        """Try ways from cells until one leads home.

        Parameters
        ----------
        sets
            The sets that the ways are of, and all that these become when gases are left in turn.
        tries
            The ways, and which are tried from each cell.
        cells
            Shape (n,): numbers of cells, those of a loss one after the other.
        found
            What is known so far; changed in place.
        """
        threads = self._threads if cells.size > _FEW else 1
        # neighbours take equally long, so that each thread gets every other cell
        parts = [np.ascontiguousarray(cells[first::threads]) for first in range(threads)]
        if threads == 1:
            self._run(parts[0], self._desks[0], sets, tries, found)
            return
        pool = _pool(threads - 1)
        jobs = [
            pool.submit(self._run, part, desk, sets, tries, found)
            for part, desk in zip(parts[1:], self._desks[1:], strict=True)
        ]
        try:
            self._run(parts[0], self._desks[0], sets, tries, found)
        finally:
            wait(jobs)  # they write into what is given back
        for job in jobs:
            job.result()

    def _run(
        self, cells: kernel.I64, desk: Desk, sets: Sets, tries: Tries, found: Outcomes
    ) -> None:
        search_cells(cells, self._moments, self._losses, sets, tries, self._rules, found, desk)


@cache  # to start a thread takes as long as a small search, and a grid makes ten of these
def _pool(threads: int) -> ThreadPoolExecutor:
    return ThreadPoolExecutor(threads, "way-home-search")


def _nothing_found(losses: Losses) -> Outcomes:
    count, minutes, divers, gases = losses.available_mol.shape
    cells = count * minutes
    told = np.zeros((cells, TOLD_SIZE))
    told[:, LACKING_MOL] = np.inf
    return Outcomes(
        home=np.full(cells, NO_WAY),
        way=np.full(cells, -1),
        told=told,
        raised=np.zeros(cells),
        left_mol=np.zeros((cells, divers, gases)),
        breathed_mol=np.zeros((cells, divers, gases)),
        last_min=np.zeros((cells, divers, gases)),
        lacking_mol=np.zeros((cells, gases)),
        tight=np.zeros((cells, gases), np.int64),
        imbalance_mol=np.zeros(cells),
    )


def _desk(losses: Losses) -> Desk:
    _, _, divers, gases = losses.available_mol.shape
    scratch = make_scratch(MOST_LEGS)
    return Desk(
        work=scratch.work,
        clock=scratch.clock,
        legs=scratch.legs,
        planned=np.zeros((MOST_LEGS, 5)),
        others=np.zeros(MOST_LEGS, np.int64),
        left=np.zeros((divers, gases)),
        breathed=np.zeros((divers, gases)),
        last_min=np.zeros((divers, gases)),
        lacking=np.zeros(gases),
        load=np.zeros((2, divers + 1)),
        tight=np.zeros(gases, np.int64),
        told=np.zeros(TOLD_SIZE),
    )


def _check(moments: Moments, losses: Losses) -> None:
    available, rmv = losses.available_mol, losses.rmv_l_per_min
    if available.ndim != 4 or rmv.shape[:2] != (available.shape[0], available.shape[2]):
        raise InputError(
            f"amounts of shape {available.shape} with breathing of shape {rmv.shape}",
            right="(losses, minutes, divers, gases) with (losses, divers, 8)",
        )
    if moments.over_bar.shape != (moments.minute.size, available.shape[3]):
        raise InputError(
            f"{moments.over_bar.shape} excesses at {moments.minute.size} moments",
            right="one for each moment and gas",
        )
    if available.size and not float(available.min()) >= 0.0:
        raise InputError("a cylinder with less than nothing in it", right="0 mol or more")
