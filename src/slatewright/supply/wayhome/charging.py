"""Ascents of a whole team as they are breathed, and what they take from the cylinders.

The diver who is struck leads: the legs are those of that diver's ascent. The others stay alongside
and breathe what they have themselves at each level; breaks from oxygen are taken together.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression.draw import Tracks
from slatewright.supply.breathing import time_share

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slatewright.decompression.draw import Drawn
    from slatewright.physics.water import Water

KIND, FROM, TO, START, MINUTES, GAS = range(6)
_SWITCH: Final = 4
_PAUSE: Final = 5


def gas_of_others(
    legs: NDArray[np.float64],
    gas_at_level: NDArray[np.int64],
    first: NDArray[np.int64],
    held: NDArray[np.int64],
    step_m: float,
) -> NDArray[np.int64]:
    """Return what those alongside breathe: what they have at each level, breaks taken together.

    Until the first change, and while minutes are held, it is what the plan put into their mouths;
    while gas is changed, what they breathed before. Where the one who leads makes no stop at a
    level at which they would change gas, they change at the next stop.

    Parameters
    ----------
    legs
        Shape (tracks, most, 6), as for `Tracks`; unused rows zero.
    gas_at_level
        Shape (tracks, levels): the gas of each level, or -1.
    first
        Shape (tracks,): what they have in their mouths at the start; -1 if they do not have it.
    held
        Shape (tracks,): 1 if the first leg is a time held before the ascent, else 0.
    step_m
        Metres in a level [m].

    Returns
    -------
    ndarray
        Shape (tracks, most): indices of gases.
    """
    kind = legs[:, :, KIND].astype(np.int64)
    own = legs[:, :, GAS].astype(np.int64)
    level = (legs[:, :, FROM] / step_m + 1e-6).astype(np.int64)
    theirs = np.take_along_axis(gas_at_level, level, axis=1)
    theirs = np.where((kind == _PAUSE) | (theirs < 0), own, theirs)
    starts = np.where(first >= 0, first, own[:, 0])
    theirs[:, 0] = np.where((held > 0) | (kind[:, 0] == _SWITCH), starts, theirs[:, 0])
    theirs[:, 1:] = np.where(kind[:, 1:] == _SWITCH, theirs[:, :-1], theirs[:, 1:])
    return theirs


def out_min(
    drawn: Drawn, tracks: Tracks, track: NDArray[np.int64], water: Water
) -> NDArray[np.float64]:
    """Return when a gas first was too little, at the latest.

    Parameters
    ----------
    drawn
        What became of the gas in n cells.
    tracks, track
        The ascents, and shape (n,): which each cell follows.
    water
        Pressure under water.

    Returns
    -------
    ndarray
        Shape (n,): run times, infinity where it never was [min].
    """
    leg = tracks.legs[track, np.maximum(drawn.out_leg, 0)]
    passed: NDArray[np.float64] = time_share(
        drawn.out_share,
        water.surface_bar + leg[:, FROM] * water.bar_per_m,
        water.surface_bar + leg[:, TO] * water.bar_per_m,
    )
    when = leg[:, START] + passed * leg[:, MINUTES]
    return np.where(drawn.out_leg >= 0, when, np.inf)


def cut(tracks: Tracks, at_min: NDArray[np.float64]) -> Tracks:
    """Return tracks that end at a moment each.

    Parameters
    ----------
    tracks
        The tracks.
    at_min
        Shape (tracks,): run times after their start [min].

    Returns
    -------
    Tracks
        What begins later is left out, what is under way ends there.
    """
    legs = tracks.legs.copy()
    there = np.arange(legs.shape[1]) < tracks.count[:, np.newaxis]
    passed = np.clip(at_min[:, np.newaxis] - legs[:, :, START], 0.0, legs[:, :, MINUTES])
    whole = np.where(legs[:, :, MINUTES] > 0.0, legs[:, :, MINUTES], 1.0)
    share = np.where(passed < legs[:, :, MINUTES], passed / whole, 1.0)
    legs[:, :, TO] = np.where(
        share < 1.0, legs[:, :, FROM] + (legs[:, :, TO] - legs[:, :, FROM]) * share, legs[:, :, TO]
    )
    legs[:, :, MINUTES] = passed
    kept = there & (passed > 0.0)
    legs[~kept] = 0.0
    return replace(tracks, legs=legs, count=kept.sum(axis=1))


def rows_of(tracks: Tracks, which: NDArray[np.int64]) -> Tracks:
    """Return some of the tracks.

    Parameters
    ----------
    tracks
        The tracks.
    which
        Shape (n,): which of them.
    """
    return Tracks(tracks.legs[which], tracks.count[which], tracks.others[which], tracks.held[which])


def joined(first: Tracks, second: Tracks) -> Tracks:
    """Return two sets of tracks as one.

    Parameters
    ----------
    first, second
        The tracks; those of the second are numbered on.
    """
    have, more = first.count.size, second.count.size
    width = max(first.legs.shape[1], second.legs.shape[1])
    legs = np.zeros((have + more, width, 6))
    others = np.zeros((have + more, width), dtype=np.int64)
    for tracks, rows in ((first, slice(0, have)), (second, slice(have, have + more))):
        legs[rows, : tracks.legs.shape[1]] = tracks.legs
        others[rows, : tracks.others.shape[1]] = tracks.others
    return Tracks(
        legs,
        np.concatenate([first.count, second.count]),
        others,
        np.concatenate([first.held, second.held]),
    )
