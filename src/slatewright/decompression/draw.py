"""Gas drawn along many ascents from the cylinders of a team: arrays in, arrays out.

Knows legs and amounts, and nothing of cylinders, mixtures or rules; those are of `supply`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression._kernel.draw import NEVER_MIN, draw_many
from slatewright.errors import InputError
from slatewright.physics.water import Water

WAYS_TO_BREATHE: Final = 8
"""The solver's six kinds of legs, and minutes held before an ascent: at depth, and at a stop."""


@dataclass(frozen=True, eq=False)
class Tracks:
    """Ascents as they are breathed.

    Parameters
    ----------
    legs
        Shape (tracks, most, 6): kind, from and to [m], start [min], minutes [min], gas.
    count
        Shape (tracks,): how many legs each has.
    others
        Shape (tracks, most): the gas of those alongside.
    held
        Shape (tracks,): 1 if the first leg is a time held before the ascent, else 0.
    """

    legs: kernel.F64
    count: kernel.I64
    others: kernel.I64
    held: kernel.I64


@dataclass(frozen=True, eq=False)
class Drawn:
    """What became of the gas, for each of n cells.

    Parameters
    ----------
    left_mol
        Shape (n, divers, gases): left in the cylinders of each [mol].
    breathed_mol
        Shape (n, divers, gases): breathed by each, lacking or not [mol].
    lacking_mol
        Shape (n, gases): what nobody had [mol].
    last_min
        Shape (n, divers, gases): run time at which the cylinders of each were last drawn from; -1
        if never [min].
    out_leg, out_share, out_gas
        Shape (n,): the first leg on which a gas was too little, the share of what was needed there
        that was met, and the gas; -1 for none.
    """

    left_mol: kernel.F64
    breathed_mol: kernel.F64
    lacking_mol: kernel.F64
    last_min: kernel.F64
    out_leg: kernel.I64
    out_share: kernel.F64
    out_gas: kernel.I64


def draw(
    tracks: Tracks,
    track: kernel.I64,
    available_mol: npt.ArrayLike,
    rmv_l_per_min: npt.ArrayLike,
    stressed_l_per_min: npt.ArrayLike,
    water: Water,
    *,
    mol_per_l_bar: float,
) -> Drawn:
    """Draw gas along ascents.

    Leg after leg, each diver draws from the own cylinders of the gas that is breathed. Where these
    end, in the middle of a leg if so, the rest comes from the others: from then on all breathe at
    their stressed RMV, and of several others each gives in proportion to what is left. In every
    cell what is breathed equals what is drawn and what is lacking.

    Parameters
    ----------
    tracks
        The ascents.
    track
        Shape (n,): which of them each cell follows.
    available_mol
        Shape (n, divers, gases): what each has; the diver whose ascent it is comes first [mol].
    rmv_l_per_min
        Shape (n, divers, 8): breathing in each of `WAYS_TO_BREATHE` [L/min].
    stressed_l_per_min
        Shape (n, divers): stressed breathing [L/min].
    water
        Pressure under water.
    mol_per_l_bar
        Amount in a litre as breathed, for each bar of ambient pressure [mol/(L bar)].

    Returns
    -------
    Drawn
        For each cell.

    Raises
    ------
    InputError
        If shapes do not fit, or an amount is negative.
    """
    left = np.array(available_mol, dtype=np.float64, order="C")
    rmv = np.require(rmv_l_per_min, np.float64, ["C", "A", "W"])
    stressed = np.require(stressed_l_per_min, np.float64, ["C", "A", "W"])
    _check(left, rmv, stressed, track)
    cells, divers, gases = left.shape
    drawn = Drawn(
        left_mol=left,
        breathed_mol=np.zeros_like(left),
        lacking_mol=np.zeros((cells, gases)),
        last_min=np.full_like(left, NEVER_MIN),
        out_leg=np.full(cells, -1),
        out_share=np.ones(cells),
        out_gas=np.full(cells, -1),
    )

    draw_many(
        tracks.legs, tracks.count, tracks.others, tracks.held, track, rmv, stressed,
        mol_per_l_bar, water.surface_bar, water.bar_per_m, drawn.left_mol, drawn.breathed_mol,
        drawn.lacking_mol, drawn.last_min, drawn.out_leg, drawn.out_share, drawn.out_gas,
        np.zeros((2, divers + 1)),
    )  # fmt: skip
    return drawn


def _check(left: kernel.F64, rmv: kernel.F64, stressed: kernel.F64, track: kernel.I64) -> None:
    if left.ndim != 3 or rmv.shape != (*left.shape[:2], WAYS_TO_BREATHE):
        raise InputError(
            f"amounts of shape {left.shape} with breathing of shape {rmv.shape}",
            right=f"(n, divers, gases) with (n, divers, {WAYS_TO_BREATHE})",
        )
    if stressed.shape != left.shape[:2] or track.shape != left.shape[:1]:
        raise InputError(
            f"stressed breathing of shape {stressed.shape}, tracks of shape {track.shape}",
            right="(n, divers) and (n,)",
        )
    if left.size and not float(left.min()) >= 0.0:
        raise InputError("a cylinder with less than nothing in it", right="0 mol or more")
