"""Planned legs, as objects and as the rows that the solver takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression.leg import LegKind
from slatewright.errors import InputError

_CODES: Final = {
    LegKind.DESCENT: kernel.DESCENT,
    LegKind.BOTTOM: kernel.BOTTOM,
    LegKind.ASCENT: kernel.ASCENT,
    LegKind.STOP: kernel.STOP,
}
_RIGHT: Final = "descents, stays, ascents and changes of gas, each longer than nothing"


@dataclass(frozen=True, slots=True)
class PlannedLeg:
    """A leg that the person asked for.

    Parameters
    ----------
    kind
        Descent, bottom, ascent, or stop (for the minutes of a change of gas).
    from_m, to_m
        Depth at its start and end [m].
    minutes
        Its length, above zero [min].
    gas
        Index of the gas breathed.
    switching
        True for the minutes of a change of gas.
    """

    kind: LegKind
    from_m: float
    to_m: float
    minutes: float
    gas: int
    switching: bool = False


def planned_rows(planned: Sequence[PlannedLeg]) -> kernel.F64:
    """Return planned legs as rows.

    Parameters
    ----------
    planned
        From the surface to the end of the bottom, contiguous.

    Returns
    -------
    ndarray
        Shape (legs, 5): kind as the kernel numbers it, from and to [m], minutes [min], gas.

    Raises
    ------
    InputError
        If a leg is of a kind that cannot be planned.
    """
    for number, leg in enumerate(planned):
        if leg.kind not in _CODES:
            raise InputError(f"a leg of kind {leg.kind} cannot be planned",
                             where=f"leg {number + 1}", right=_RIGHT)  # fmt: skip
    return np.array(
        [
            [
                kernel.SWITCH if leg.switching else _CODES[leg.kind],
                leg.from_m,
                leg.to_m,
                leg.minutes,
                float(leg.gas),
            ]
            for leg in planned
        ]
    ).reshape(-1, 5)


def rows_until(rows: kernel.F64, at_min: kernel.F64) -> kernel.F64:
    """Cut one dive off at many moments: each then stands as a dive of its own.

    Parameters
    ----------
    rows
        Shape (legs, 5), from `planned_rows`.
    at_min
        Shape (n,), run times, above zero and not after the last leg [min].

    Returns
    -------
    ndarray
        Shape (n, legs, 5); legs that have not begun by then take 0 minutes.

    Raises
    ------
    InputError
        If a moment lies outside the dive.
    """
    minutes = rows[:, 3]
    start_min = np.cumsum(minutes) - minutes
    end_min = float(minutes.sum())
    if at_min.size == 0 or not (
        at_min.min() > 0.0 and at_min.max() <= end_min + kernel.SAME_MINUTE
    ):
        raise InputError(
            "a moment lies outside the planned legs", right=f"above 0 and up to {end_min:g} min"
        )
    passed_min = np.clip(at_min[:, np.newaxis] - start_min, 0.0, minutes)
    share = np.where(passed_min < minutes, passed_min / minutes, 1.0)
    cut = np.repeat(rows[np.newaxis], at_min.size, axis=0)
    cut[:, :, 2] = np.where(share < 1.0, rows[:, 1] + (rows[:, 2] - rows[:, 1]) * share, rows[:, 2])
    cut[:, :, 3] = passed_min
    return cut
