"""What is known at each whole minute of a planned dive: place, gas in the mouth, gas left.

Up to that minute the dive went as planned: tensions come from the kernel along the planned legs,
and each diver's cylinders have lost what the plan breathes. Where two legs meet at a minute, the
later one counts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.decompression.leg import Leg, LegKind
from slatewright.supply.breathing import (
    breathed_amount_mol,
    breathing_temperature_k,
    phase_of,
)
from slatewright.supply.consumption import need_cylinders, swim_before
from slatewright.supply.stores import Store, stores_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from slatewright.dive.plan import Plan
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.water import Water
    from slatewright.supply.kit import Diver, Team

_SAME_MIN: Final = 1e-9
_NEAR: Final = 1e-6


@dataclass(frozen=True, eq=False)
class Moments:
    """The whole minutes of a dive, from the first to the last one under water.

    Parameters
    ----------
    minutes
        Shape (n,): run time [min].
    depth_m
        Shape (n,): depth [m].
    level
        Shape (n,): the level at or above it.
    reach_m
        Shape (n,): the depth of that level [m].
    gas
        Shape (n,): index of the gas in the mouth.
    at_depth
        Shape (n,): True until the last stay is left.
    staying
        Shape (n,): True during the stays, the minute at which the last is left included.
    """

    minutes: NDArray[np.int64]
    depth_m: NDArray[np.float64]
    level: NDArray[np.int64]
    reach_m: NDArray[np.float64]
    gas: NDArray[np.int64]
    at_depth: NDArray[np.bool_]
    staying: NDArray[np.bool_]

    def start_of(
        self, column: int
    ) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
        """Return gas in the mouth, depth, and level above of one minute, each of shape (1,).

        Parameters
        ----------
        column
            Which minute.
        """
        one = slice(column, column + 1)
        return self.gas[one], self.depth_m[one], self.reach_m[one]


class Columns(StrEnum):
    """Which minutes of a dive are looked at."""

    EVERY_MINUTE = "every minute"
    BOTTOM_AND_STOPS = "every minute to the end of the bottom, and the first of each stop"


def moments_of(
    legs: Sequence[Leg],
    plan: Plan,
    mixes: Sequence[Mixture],
    *,
    whole: bool = True,
    columns: Columns = Columns.EVERY_MINUTE,
) -> Moments:
    """Return the whole minutes of a dive.

    Parameters
    ----------
    legs
        The finished dive.
    plan
        Its levels.
    mixes
        All gases, as they are numbered.
    whole
        True if the legs end at the surface; else a minute at which they end counts too.
    columns
        Which minutes are looked at.
    """
    end_min = legs[-1].end_min
    last_min = math.ceil(end_min - _SAME_MIN) - 1 if whole else math.floor(end_min + _SAME_MIN)
    minutes = np.arange(1, last_min + 1)
    if columns is Columns.BOTTOM_AND_STOPS:
        minutes = minutes[_bottom_and_stops(minutes, legs, plan.levels[-1].leave_at_min)]
    starts = np.array([leg.start_min for leg in legs])
    at = np.searchsorted(starts, minutes + _SAME_MIN, side="right") - 1
    depth_m = depths_at(legs, minutes.astype(np.float64))
    settings = plan.settings
    level = np.floor(depth_m / settings.stop_step_m + _NEAR).astype(np.int64)
    number = {mix: i for i, mix in enumerate(mixes)}
    gas = np.array([number[leg.gas] for leg in legs], dtype=np.int64)
    bottom = np.array([leg.kind is LegKind.BOTTOM for leg in legs])
    left_min = plan.levels[-1].leave_at_min
    ends = [round(leg.end_min, 6) for leg in legs if leg.kind is LegKind.BOTTOM]
    return Moments(
        minutes=minutes,
        depth_m=depth_m,
        level=level,
        reach_m=(level * settings.stop_step_m).astype(np.float64),
        gas=gas[at],
        at_depth=minutes <= left_min + _SAME_MIN,
        staying=bottom[at] | np.isin(minutes, ends),
    )


def _bottom_and_stops(
    minutes: NDArray[np.int64], legs: Sequence[Leg], left_min: float
) -> NDArray[np.bool_]:
    """Return which minutes lie before the ascent, or are the first whole ones at a stop."""
    wanted = minutes <= left_min + _SAME_MIN
    for before, after in pairwise(legs):
        if after.kind is LegKind.STOP and before.kind is not LegKind.STOP:
            wanted |= minutes == math.ceil(after.start_min - _SAME_MIN)
    return wanted


def depths_at(legs: Sequence[Leg], minutes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return depths along a dive.

    Parameters
    ----------
    legs
        The dive.
    minutes
        Shape (n,): run times [min].

    Returns
    -------
    ndarray
        Shape (n,) [m].
    """
    times = [legs[0].start_min, *(leg.end_min for leg in legs)]
    depths = [legs[0].from_m, *(leg.to_m for leg in legs)]
    return np.round(np.interp(minutes, times, depths), 9)


def deeper_legs(legs: Sequence[Leg], deeper_m: float) -> tuple[Leg, ...]:
    """Return a dive whose stays were deeper, at the same times.

    Parameters
    ----------
    legs
        The planned dive.
    deeper_m
        By how much [m].

    Returns
    -------
    tuple
        The legs up to the end of the last stay. Ways to and between the stays end deeper in the
        same time; what lies above the stays is unchanged.
    """
    stays = {leg.to_m for leg in legs if leg.kind is LegKind.BOTTOM}
    last = max(i for i, leg in enumerate(legs) if leg.kind is LegKind.BOTTOM)
    return tuple(
        replace(
            leg,
            from_m=leg.from_m + (deeper_m if leg.from_m in stays else 0.0),
            to_m=leg.to_m + (deeper_m if leg.to_m in stays else 0.0),
        )
        for leg in legs[: last + 1]
    )


@dataclass(frozen=True, eq=False)
class Left:
    """What one diver has left at each minute.

    Parameters
    ----------
    stores
        The diver's stores, in the order in which they are drawn.
    mol
        Shape (n, stores): what each can still give [mol].
    full_mol
        Shape (stores,): what each could give at the start [mol].
    gas
        Shape (stores,): index of the gas.
    largest_share
        Shape (stores,): the share of a store that its largest cylinder holds [-].
    """

    stores: tuple[Store, ...]
    mol: NDArray[np.float64]
    full_mol: NDArray[np.float64]
    gas: NDArray[np.int64]
    largest_share: NDArray[np.float64]


def left_at(
    moments: Moments,
    legs: Sequence[Leg],
    diver: Diver,
    team: Team,
    water: Water,
    mixes: Sequence[Mixture],
) -> Left:
    """Return what a diver has left at each minute of a dive.

    Parameters
    ----------
    moments
        The minutes.
    legs
        The dive.
    diver, team
        Whose kit it is; the team's rules and its water.
    water
        Pressure under water.
    mixes
        All gases, as they are numbered.

    Raises
    ------
    InputError
        If the diver has no cylinder of a gas that the dive breathes.
    """
    breathed = [leg for leg in legs if leg.setpoint_bar is None]
    need_cylinders(breathed, diver)
    stores = stores_of(diver, team.rules, water, team.water_temperature_k)
    used = _used_mol(moments, breathed, diver, team, water, mixes)
    full = np.array([store.available_mol for store in stores])
    number = {mix: i for i, mix in enumerate(mixes)}
    kept = [i for i, store in enumerate(stores) if store.mix in number]
    gas = np.array([number[stores[i].mix] for i in kept], dtype=np.int64)
    left = np.empty((moments.minutes.size, len(kept)))
    wanted = used.copy()
    for column, i in enumerate(kept):
        drawn = np.minimum(wanted[:, gas[column]], full[i])
        wanted[:, gas[column]] -= drawn
        left[:, column] = full[i] - drawn
    return Left(
        stores=tuple(stores[i] for i in kept),
        mol=left,
        full_mol=full[kept],
        gas=gas,
        largest_share=np.array([_largest_share(stores[i]) for i in kept]),
    )


def _used_mol(
    moments: Moments,
    legs: Sequence[Leg],
    diver: Diver,
    team: Team,
    water: Water,
    mixes: Sequence[Mixture],
) -> NDArray[np.float64]:
    """Return what was breathed from cylinders up to each minute, shape (n, gases)."""
    every = (*swim_before(legs, team.rules), *legs) if legs else ()
    minutes = moments.minutes.astype(np.float64)
    kelvin = breathing_temperature_k(team.water_temperature_k)
    used = np.zeros((minutes.size, len(mixes)))
    if not every:
        return used
    rmv = [diver.rmv.l_per_min(phase_of(leg, works_at_depth=diver.works_at_depth)) for leg in every]
    start, took, from_m, to_m = (
        np.array([(leg.start_min, leg.minutes, leg.from_m, leg.to_m) for leg in every])
        .T[:, :, np.newaxis]
    )  # fmt: skip
    passed = np.clip(minutes - start, 0.0, took)
    mean_m = from_m + 0.5 * (to_m - from_m) * passed / took
    mean_bar = water.surface_bar + mean_m * water.bar_per_m
    mol_per_l_bar = breathed_amount_mol(1.0, 1.0, 1.0, kelvin)
    breathed = np.array(rmv)[:, np.newaxis] * mol_per_l_bar * passed * mean_bar
    for leg, amount in zip(every, breathed, strict=True):
        used[:, mixes.index(leg.gas)] += amount
    return used


def _largest_share(store: Store) -> float:
    parts = [max(0.0, a - k) for a, k in zip(store.amounts_mol, store.kept_mol, strict=True)]
    return max(parts) / sum(parts) if sum(parts) > 0.0 else 1.0


def first_stop_level(
    legs: Sequence[Leg], first_stop_m: float | None, moments: Moments, plan: Plan
) -> NDArray[np.int64]:
    """Return the level of the first stop where it has been reached, else 0.

    Parameters
    ----------
    legs
        The dive.
    first_stop_m
        Its first stop [m], None if there is none.
    moments
        The minutes.
    plan
        Its levels and steps.

    Returns
    -------
    ndarray
        Shape (n,).
    """
    reached = np.zeros(moments.minutes.shape, dtype=np.int64)
    if first_stop_m is None:
        return reached
    for before, after in pairwise(legs):
        if (
            before.kind is LegKind.ASCENT
            and after.kind is LegKind.STOP
            and before.start_min >= plan.levels[-1].leave_at_min - _NEAR
            and abs(before.to_m - first_stop_m) < _NEAR
        ):
            level = round(first_stop_m / plan.settings.stop_step_m)
            reached[moments.minutes >= before.end_min - _SAME_MIN] = level
            break
    return reached
