"""What is tried and what comes of it, as arrays over the minutes of a task."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression.draw import Drawn
from slatewright.supply.wayhome.tasks import Task
from slatewright.supply.wayhome.verdicts import Verdict
from slatewright.supply.wayhome.ways import Way

if TYPE_CHECKING:
    from numpy.typing import NDArray

SLACK_MOL: Final = 1e-9
"""Gas that is lacking by no more than this is enough [mol]."""


class Found:
    """What was found for one task, arrays over the minutes; see `CellArrays` for most of them.

    Parameters
    ----------
    task
        The task.
    minutes, gases
        How many there are.
    """

    def __init__(self, task: Task, minutes: int, gases: int) -> None:
        self.task = task
        self.verdict = np.where(task.meant, Verdict.NO_WAY, Verdict.NOT_MEANT).astype(np.int8)
        self.surfaced_min = np.full(minutes, np.nan)
        self.share = np.full(minutes, np.nan)
        self.scarce_diver = np.full(minutes, -1)
        self.scarce_gas = np.full(minutes, -1)
        self.scarce_until_min = np.full(minutes, np.nan)
        self.over_bar = np.zeros(minutes)
        self.under_bar = np.zeros(minutes)
        self.omitted_min = np.zeros(minutes)
        self.raised = np.zeros(minutes)
        self.way = np.full(minutes, -1)
        self.course = np.full(minutes, -1)
        self.breathed = np.zeros((minutes, gases), dtype=np.bool_)
        self.shared = np.zeros((minutes, gases), dtype=np.bool_)
        self.lacking_mol = np.zeros((minutes, gases))
        self.lacking_total_mol = np.full(minutes, np.inf)
        self.tight = np.zeros((minutes, gases), dtype=np.bool_)


@dataclass(frozen=True, eq=False)
class Try:
    """One way of one task, from those minutes that still need one.

    Parameters
    ----------
    found
        What was found so far.
    number, way
        The way.
    at, gas
        Shape (n,): from which minutes, and what is breathed first.
    over_bar, under_bar
        Shape (n,): by how much ppO2 goes over its limit, and below the floor [bar].
    """

    found: Found
    number: int
    way: Way
    at: NDArray[np.int64]
    gas: NDArray[np.int64]
    over_bar: NDArray[np.float64]
    under_bar: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Outcome:
    """What charging said of a try: one entry for each minute that had a schedule.

    Parameters
    ----------
    part
        The try.
    raised
        How far gradient factors were raised [-].
    inside, at
        Shape (n,): which of the minutes of the try, and which of the grid.
    course
        Shape (n,): the ascents.
    over_bar, under_bar
        Shape (n,): as for `Try`, all gases that are taken up on the way included [bar].
    charged, rows
        What became of the gas, and where in it this try stands.
    """

    part: Try
    raised: float
    inside: NDArray[np.int64]
    at: NDArray[np.int64]
    course: NDArray[np.int64]
    over_bar: NDArray[np.float64]
    under_bar: NDArray[np.float64]
    charged: Drawn
    rows: slice

    @property
    def lacking_mol(self) -> NDArray[np.float64]:
        """Shape (n, gases): what nobody had [mol]."""
        return self.charged.lacking_mol[self.rows]

    @property
    def tight(self) -> NDArray[np.bool_]:
        """Shape (n, gases): gases that were lacking, or that somebody had to share."""
        charged, at = self.charged, self.rows
        drawn = self.part.found.task.available_mol[self.at] - charged.left_mol[at]
        shared = (charged.breathed_mol[at] - drawn > SLACK_MOL).any(axis=1)
        return shared | (self.lacking_mol > 0.0)

    @property
    def enough(self) -> NDArray[np.bool_]:
        """Shape (n,): True where nothing was lacking."""
        enough: NDArray[np.bool_] = self.lacking_mol.sum(axis=1) <= SLACK_MOL
        return enough
