"""Ascents charged to the cylinders of a whole team, thousands at once.

Leg after leg, each diver draws from the own cylinders of the gas that is breathed. Where these end,
in the middle of a leg if so, the rest comes from the others: from then on all breathe at their
stressed RMV, and with two others each gives in proportion to what is left. What nobody has is
lacking. In every cell what is breathed equals what is drawn and what is lacking.

Where everybody's own gas is enough, sums are all that is needed, and only the other cells are
walked leg by leg.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.supply.breathing import breathed_amount_mol, time_share

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slatewright.physics.water import Water

KIND, FROM, TO, START, MINUTES, GAS = range(6)
SWITCH: Final = 4
PAUSE: Final = 5
HELD_AT_DEPTH: Final = 6
HELD_AT_STOP: Final = 7
WAYS_TO_BREATHE: Final = 8
"""The solver's six kinds of legs, and minutes held before an ascent: at depth, or later."""
_BOTTOM: Final = 1
NEVER_MIN: Final = -1.0
_SLACK_MOL: Final = 1e-9


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
        Shape (tracks,): True if the first leg is a time held before the ascent.
    """

    legs: NDArray[np.float64]
    count: NDArray[np.int64]
    others: NDArray[np.int64]
    held: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Load:
    """What is to be charged: one entry a cell.

    Parameters
    ----------
    track
        Shape (n,): which of the tracks it is.
    available_mol
        Shape (n, divers, gases): what each has left; the diver who is struck comes first [mol].
    rmv_l_per_min
        Shape (n, divers, 8): breathing of each in each of `WAYS_TO_BREATHE` [L/min].
    stressed_l_per_min
        Shape (n, divers): stressed breathing of each [L/min].
    """

    track: NDArray[np.int64]
    available_mol: NDArray[np.float64]
    rmv_l_per_min: NDArray[np.float64]
    stressed_l_per_min: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Charged:
    """What became of the gas.

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
    out_min, out_gas
        Shape (n,): when a gas first was lacking, at the latest; infinity if never [min]; and
        which gas it was, -1 if none.
    """

    left_mol: NDArray[np.float64]
    breathed_mol: NDArray[np.float64]
    lacking_mol: NDArray[np.float64]
    last_min: NDArray[np.float64]
    out_min: NDArray[np.float64]
    out_gas: NDArray[np.int64]


def charge(load: Load, tracks: Tracks, water: Water, *, temperature_k: float) -> Charged:
    """Charge ascents to the cylinders.

    Parameters
    ----------
    load
        The cells.
    tracks
        The ascents.
    water
        Pressure under water.
    temperature_k
        Temperature at which gas is breathed [K].

    Returns
    -------
    Charged
        For each cell.
    """
    breaths = _breaths(tracks, water, temperature_k)
    charged = _by_sums(load, tracks, breaths)
    walked = np.flatnonzero((charged.left_mol < 0.0).any(axis=(1, 2)))
    if walked.size:
        part = Load(*(getattr(load, name)[walked] for name in Load.__dataclass_fields__))
        found = _by_legs(part, tracks, breaths, water)
        for name in Charged.__dataclass_fields__:
            getattr(charged, name)[walked] = getattr(found, name)
    return charged


@dataclass(frozen=True, eq=False)
class _Breaths:
    """Per leg, shape (tracks, most).

    What an RMV of 1 L/min breathes in it [mol], how it is breathed, the gas, and when the leg ends
    [min].
    """

    mol: NDArray[np.float64]
    way: NDArray[np.int64]
    gas: NDArray[np.int64]
    end_min: NDArray[np.float64]


def _breaths(tracks: Tracks, water: Water, temperature_k: float) -> _Breaths:
    legs = tracks.legs
    unit_mol = breathed_amount_mol(1.0, 1.0, 1.0, temperature_k)
    mean_m = 0.5 * (legs[:, :, FROM] + legs[:, :, TO])
    mean_bar = water.surface_bar + mean_m * water.bar_per_m
    there = np.arange(legs.shape[1]) < tracks.count[:, np.newaxis]
    way = np.where(there, legs[:, :, KIND], 0.0).astype(np.int64)
    held = np.where(way[:, 0] == _BOTTOM, HELD_AT_DEPTH, HELD_AT_STOP)
    way[:, 0] = np.where(tracks.held, held, way[:, 0])
    return _Breaths(
        mol=np.where(there, legs[:, :, MINUTES] * mean_bar * unit_mol, 0.0),
        way=way,
        gas=np.where(there, legs[:, :, GAS], 0.0).astype(np.int64),
        end_min=np.where(there, legs[:, :, START] + legs[:, :, MINUTES], NEVER_MIN),
    )


def _by_sums(load: Load, tracks: Tracks, breaths: _Breaths) -> Charged:
    """Charge as if everybody's own gas were enough; where it is not, less than nothing is left."""
    cells, divers, gases = load.available_mol.shape
    breathed = np.empty((cells, divers, gases))
    last = np.empty((cells, divers, gases))
    for diver in range(divers):
        if diver < 2:  # the one who is struck, and those alongside
            gas = breaths.gas if diver == 0 else tracks.others
            sums, ends = _sums_by_gas(breaths, gas, gases)
        rmv = load.rmv_l_per_min[:, diver]
        breathed[:, diver] = np.einsum("ngw,nw->ng", sums[load.track], rmv)
        last[:, diver] = ends[load.track]
    return Charged(
        left_mol=load.available_mol - breathed,
        breathed_mol=breathed,
        lacking_mol=np.zeros((cells, gases)),
        last_min=np.where(breathed > 0.0, last, NEVER_MIN),
        out_min=np.full(cells, np.inf),
        out_gas=np.full(cells, -1),
    )


def _sums_by_gas(
    breaths: _Breaths, gas: NDArray[np.int64], gases: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return shape (tracks, gases, ways) of sums [mol], and (tracks, gases) of last ends [min]."""
    count = gas.shape[0]
    place = np.arange(count)[:, np.newaxis] * gases + gas
    sums: NDArray[np.float64] = np.bincount(
        (place * WAYS_TO_BREATHE + breaths.way).ravel(),
        weights=breaths.mol.ravel(),
        minlength=count * gases * WAYS_TO_BREATHE,
    ).astype(np.float64)
    ends = np.full(count * gases, NEVER_MIN)
    breathed = breaths.mol > 0.0
    ends[place[breathed]] = breaths.end_min[breathed]  # of several the last one stays
    return sums.reshape(count, gases, WAYS_TO_BREATHE), ends.reshape(count, gases)


def _by_legs(load: Load, tracks: Tracks, breaths: _Breaths, water: Water) -> Charged:
    order = np.argsort(-tracks.count[load.track], kind="stable")
    back = np.empty_like(order)
    back[order] = np.arange(order.size)
    load = Load(*(getattr(load, name)[order] for name in Load.__dataclass_fields__))
    counts = tracks.count[load.track]
    walk = _Walk(load)
    ends_at = np.searchsorted(-counts, -np.arange(int(counts[0])), side="left")
    for number, active in enumerate(ends_at.tolist()):
        track = load.track[:active]
        walk.breathe(
            breaths.mol[track, number],
            breaths.way[track, number],
            breaths.gas[track, number],
            tracks.others[track, number],
            _Span(tracks.legs[track, number], water),
        )
    charged = walk.charged()
    return Charged(*(getattr(charged, name)[back] for name in Charged.__dataclass_fields__))


@dataclass(frozen=True, eq=False)
class _Span:
    """One leg of many cells, for the moment at which something ends in it."""

    leg: NDArray[np.float64]
    water: Water

    @property
    def end_min(self) -> NDArray[np.float64]:
        end: NDArray[np.float64] = self.leg[:, START] + self.leg[:, MINUTES]
        return end

    def after_share_min(
        self, cell: NDArray[np.int64], share: NDArray[np.float64]
    ) -> NDArray[np.float64]:
        """Return when a share of the gas of a leg is breathed, at the latest."""
        leg, water = self.leg[cell], self.water
        passed: NDArray[np.float64] = time_share(
            share,
            water.surface_bar + leg[:, FROM] * water.bar_per_m,
            water.surface_bar + leg[:, TO] * water.bar_per_m,
        )
        when: NDArray[np.float64] = leg[:, START] + passed * leg[:, MINUTES]
        return when


class _Walk:
    """The cells while legs are charged: those with the most legs first, divers and gases flat."""

    def __init__(self, load: Load) -> None:
        cells, self.divers, self.gases = load.available_mol.shape
        self.rmv = load.rmv_l_per_min
        self.stressed = load.stressed_l_per_min
        self.left = load.available_mol.reshape(cells, -1).copy()
        self.breathed = np.zeros_like(self.left)
        self.last = np.full_like(self.left, NEVER_MIN)
        self.lacking = np.zeros((cells, self.gases))
        self.out_min = np.full(cells, np.inf)
        self.out_gas = np.full(cells, -1)
        self.every = np.arange(cells)

    def charged(self) -> Charged:
        """Return the sums."""
        shape = (self.every.size, self.divers, self.gases)
        return Charged(
            left_mol=self.left.reshape(shape),
            breathed_mol=self.breathed.reshape(shape),
            lacking_mol=self.lacking,
            last_min=self.last.reshape(shape),
            out_min=self.out_min,
            out_gas=self.out_gas,
        )

    def breathe(
        self,
        per_rmv_mol: NDArray[np.float64],
        way: NDArray[np.int64],
        gas: NDArray[np.int64],
        others: NDArray[np.int64],
        span: _Span,
    ) -> None:
        """Charge one leg of all cells that still have one.

        per_rmv_mol : (active,), what an RMV of 1 L/min breathes in it
        """
        active = per_rmv_mol.size
        cell = self.every[:active]
        places = [gas, *(others + diver * self.gases for diver in range(1, self.divers))]
        wants = [per_rmv_mol * self.rmv[cell, diver, way] for diver in range(self.divers)]
        owns = [self.left[cell, place] for place in places]
        ending = np.zeros(active)
        for want, own in zip(wants, owns, strict=True):
            short = np.flatnonzero(want > own)
            if short.size:
                ending[short] = np.maximum(ending[short], 1.0 - own[short] / want[short])
        sharing = self.divers > 1 and bool(ending.any())
        rests = []
        for diver, (place, need, own) in enumerate(zip(places, wants, owns, strict=True)):
            if sharing:
                stressed = per_rmv_mol * self.stressed[:active, diver]
                need = need + ending * np.maximum(stressed - need, 0.0)  # noqa: PLW2901 - the need under stress
            drawn = np.minimum(need, own)
            self.left[cell, place] = own - drawn
            self.breathed[cell, place] += need
            self.last[cell, place] = np.where(drawn > 0.0, span.end_min, self.last[cell, place])
            rests.append((need, need - drawn))
        for diver, (need, rest) in enumerate(rests):
            if rest.any():
                self._share(diver, places[diver] - diver * self.gases, need, rest, span)

    def _share(
        self,
        diver: int,
        gas: NDArray[np.int64],
        need: NDArray[np.float64],
        rest: NDArray[np.float64],
        span: _Span,
    ) -> None:
        """Take what a diver still needs from the others, in proportion to what they have left."""
        cell = np.flatnonzero(rest > 0.0)
        gas, need, rest = gas[cell], need[cell], rest[cell]
        total = np.zeros(cell.size)
        givers = [other for other in range(self.divers) if other != diver]
        held = [self.left[cell, gas + giver * self.gases] for giver in givers]
        for has in held:
            total += has
        given = np.minimum(rest, total)
        for giver, has in zip(givers, held, strict=True):
            place = gas + giver * self.gases
            part = np.where(given < total, given * has / np.where(total > 0.0, total, 1.0), has)
            self.left[cell, place] = has - part
            self.last[cell, place] = np.where(
                part > 0.0, span.end_min[cell], self.last[cell, place]
            )
        lacking = rest - given
        self.lacking[cell, gas] += lacking
        first = (lacking > _SLACK_MOL) & np.isinf(self.out_min[cell])
        if first.any():
            who = cell[first]
            share = 1.0 - lacking[first] / need[first]
            self.out_min[who] = span.after_share_min(who, share)
            self.out_gas[who] = gas[first]


def gas_of_others(
    legs: NDArray[np.float64], gas_at_level: NDArray[np.int64], step_m: float
) -> NDArray[np.int64]:
    """Return what those alongside breathe: what they have at each level, breaks taken together.

    While gas is changed it is that of the level below. Where the one who leads makes no stop at a
    level at which they would change gas, they change at the next stop.

    Parameters
    ----------
    legs
        Shape (tracks, most, 6), as for `Tracks`; unused rows zero.
    gas_at_level
        Shape (tracks, levels): the gas of each level, or -1.
    step_m
        Metres in a level [m].

    Returns
    -------
    ndarray
        Shape (tracks, most): indices of gases.
    """
    kind = legs[:, :, KIND].astype(np.int64)
    own = legs[:, :, GAS].astype(np.int64)
    level = (legs[:, :, FROM] / step_m + 1e-6).astype(np.int64) + (kind == SWITCH)
    level = np.minimum(level, gas_at_level.shape[1] - 1)
    theirs = np.take_along_axis(gas_at_level, level, axis=1)
    return np.where((kind == PAUSE) | (theirs < 0), own, theirs)


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
    share = np.where(
        passed < legs[:, :, MINUTES], passed / np.maximum(legs[:, :, MINUTES], 1e-300), 1.0
    )
    legs[:, :, TO] = np.where(
        share < 1.0, legs[:, :, FROM] + (legs[:, :, TO] - legs[:, :, FROM]) * share, legs[:, :, TO]
    )
    legs[:, :, MINUTES] = passed
    kept = there & (passed > 0.0)
    legs[~kept] = 0.0
    return replace(tracks, legs=legs, count=kept.sum(axis=1))
