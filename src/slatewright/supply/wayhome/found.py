"""What the search found, arrays over losses and minutes: verdicts, and what is scarce."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression import supplied
from slatewright.supply.wayhome.verdicts import Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from slatewright.supply.wayhome.tasks import Task

_SLACK_MOL: Final = 1e-9
"""Gas that is lacking by no more than this is enough [mol]."""


@dataclass(frozen=True, eq=False)
class Found:
    """What was found for each task and minute; see `CellArrays` for what is not told here.

    Parameters
    ----------
    verdict, surfaced_min, share, scarce_diver, scarce_gas, scarce_until_min, over_bar, under_bar
        Shape (tasks, minutes), as for `CellArrays` [min], [-], [bar].
    omitted_min, raised, way
        The same [min], [-].
    lacking_mol
        Shape (tasks, minutes, gases) [mol].
    breathed, shared
        Shape (tasks, minutes, gases): True for gases that the diver who is struck breathes, and for
        those of them that come from the others, in part or whole.
    """

    verdict: NDArray[np.int8]
    surfaced_min: NDArray[np.float64]
    share: NDArray[np.float64]
    scarce_diver: NDArray[np.int64]
    scarce_gas: NDArray[np.int64]
    scarce_until_min: NDArray[np.float64]
    over_bar: NDArray[np.float64]
    under_bar: NDArray[np.float64]
    omitted_min: NDArray[np.float64]
    raised: NDArray[np.float64]
    way: NDArray[np.int64]
    lacking_mol: NDArray[np.float64]
    breathed: NDArray[np.bool_]
    shared: NDArray[np.bool_]


def found_of(
    tasks: Sequence[Task], outcomes: supplied.Outcomes, omitted_min: NDArray[np.float64]
) -> Found:
    """Return what was found.

    Parameters
    ----------
    tasks
        What was looked at.
    outcomes
        What the search wrote, one entry for each minute of each task.
    omitted_min
        The same: by how many minutes stops are cut short [min].
    """
    available = np.array([task.available_mol for task in tasks])
    shape, gases = available.shape[:2], available.shape[3]
    home = outcomes.home.reshape(shape) == supplied.HOME
    told = outcomes.told.reshape(*shape, -1)
    over_bar = np.where(home, told[:, :, supplied.OVER_BAR], 0.0)
    under_bar = np.where(home, told[:, :, supplied.UNDER_BAR], 0.0)
    raised = outcomes.raised.reshape(shape)
    share, scarce = _scarce(tasks, outcomes, available.shape)
    touched = home & np.isfinite(share)
    order = np.array([task.order for task in tasks])
    rows = np.arange(shape[0])[:, np.newaxis]
    last = outcomes.last_min.reshape(*shape, -1)
    until = np.take_along_axis(last, scarce[:, :, np.newaxis], axis=2)[:, :, 0]
    breathed = outcomes.breathed_mol.reshape(available.shape)[:, :, 0]
    drawn = available[:, :, 0] - outcomes.left_mol.reshape(available.shape)[:, :, 0]
    return Found(
        verdict=_verdict(tasks, home, over_bar + under_bar > 0.0, raised > 0.0),
        surfaced_min=np.where(home, told[:, :, supplied.SURFACED_MIN], np.nan),
        share=np.where(touched, share, np.nan),
        scarce_diver=np.where(touched, order[rows, scarce // gases], -1),
        scarce_gas=np.where(touched, scarce % gases, -1),
        scarce_until_min=np.where(touched, until, np.nan),
        over_bar=over_bar,
        under_bar=under_bar,
        omitted_min=omitted_min.reshape(shape),
        raised=raised,
        way=outcomes.way.reshape(shape),
        lacking_mol=outcomes.lacking_mol.reshape(*shape, gases),
        breathed=breathed > 0.0,
        shared=(breathed - drawn > _SLACK_MOL) & home[:, :, np.newaxis],
    )


def _scarce(
    tasks: Sequence[Task], outcomes: supplied.Outcomes, shape: tuple[int, ...]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Return the smallest share left of any supply that is breathed from, and which it is."""
    full = np.array([task.full_mol for task in tasks])[:, np.newaxis]
    left = outcomes.left_mol.reshape(shape) / np.where(full > 0.0, full, 1.0)
    shares = np.where(outcomes.last_min.reshape(shape) >= 0.0, left, np.inf)
    shares = shares.reshape(*shape[:2], -1)
    scarce = np.argmin(shares, axis=2)
    return np.take_along_axis(shares, scarce[:, :, np.newaxis], axis=2)[:, :, 0], scarce


def _verdict(
    tasks: Sequence[Task],
    home: NDArray[np.bool_],
    beyond: NDArray[np.bool_],
    hurried: NDArray[np.bool_],
) -> NDArray[np.int8]:
    meant = np.array([task.meant for task in tasks])
    with_way = np.where(
        beyond,
        np.where(hurried, Verdict.HURRIED_BEYOND_LIMITS, Verdict.BEYOND_LIMITS),
        np.where(hurried, Verdict.HURRIED, Verdict.HOME),
    )
    every = np.where(meant, np.where(home, with_way, Verdict.NO_WAY), Verdict.NOT_MEANT)
    return every.astype(np.int8)
