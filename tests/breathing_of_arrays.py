"""What is breathed in many dives at once, from the legs that the solver logs.

A second way to the same amounts, against which the compiled search is held.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.errors import InputError
from slatewright.physics.real_gas import FREE_GAS_K
from slatewright.physics.water import Water
from slatewright.supply.breathing import KINDS, breathed_amount_mol, time_share

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

_KIND, _FROM, _TO, _START, _MINUTES, _GAS, _WIDTH = range(7)
_SLACK_MOL: Final = 1e-9


@dataclass(frozen=True, eq=False)
class Breathed:
    """Gas breathed in many dives, or ascents; made by `breathed`.

    Parameters
    ----------
    total_mol
        Shape (n, gases): breathed of each gas [mol].
    left_mol
        Shape (n, gases): what is left of each gas at the end, which is the least it ever is as
        no gas comes back; negative is what was lacking [mol].
    out_min
        Shape (n, gases): run time at which each gas is used up, infinity where it never is [min].
    out_m
        Shape (n, gases): depth at that moment; not a number where it never comes [m].
    """

    total_mol: NDArray[np.float64]
    left_mol: NDArray[np.float64]
    out_min: NDArray[np.float64]
    out_m: NDArray[np.float64]

    @property
    def enough(self) -> NDArray[np.bool_]:
        """Shape (n,): True where no gas runs out."""
        return np.asarray((self.left_mol >= -_SLACK_MOL).all(axis=1))


def breathed_mol(
    legs: ArrayLike,
    count: ArrayLike,
    rmv_l_per_min: ArrayLike,
    gases: int,
    water: Water,
    *,
    temperature_k: float = FREE_GAS_K,
) -> NDArray[np.float64]:
    """Return what is breathed of each gas in many dives.

    Parameters
    ----------
    legs
        Shape (n, most, 6): kind, from and to [m], start [min], minutes [min], gas: the rows of
        `slatewright.decompression.batch.BatchSolution`.
    count
        Shape (n,): how many rows of each dive are filled.
    rmv_l_per_min
        Shape (6,), or (n, 6) for one row a dive: the breathing in each kind of leg; of several
        divers on one supply the sum [L/min].
    gases
        How many gases there are.
    water
        Pressure under water.
    temperature_k
        Temperature of the water [K].

    Returns
    -------
    array
        Shape (n, gases) [mol].
    """
    logged = _logged(legs, count, rmv_l_per_min, water, temperature_k)
    return logged.by_gas_mol(gases)


def breathed(
    legs: ArrayLike,
    count: ArrayLike,
    rmv_l_per_min: ArrayLike,
    available_mol: ArrayLike,
    water: Water,
    *,
    temperature_k: float = FREE_GAS_K,
) -> Breathed:
    """Return what is breathed in many dives, what is left, and when a gas is used up.

    Parameters
    ----------
    legs, count, rmv_l_per_min, water, temperature_k
        As for `breathed_mol`.
    available_mol
        Shape (gases,), or (n, gases): what is at hand of each gas when the legs begin [mol].

    Returns
    -------
    Breathed
        Sums, rests, and moments.
    """
    logged = _logged(legs, count, rmv_l_per_min, water, temperature_k)
    available = np.asarray(available_mol, dtype=np.float64)
    available = np.broadcast_to(available, (logged.used_mol.shape[0], available.shape[-1]))
    total = logged.by_gas_mol(available.shape[1])
    left = available - total
    out_min = np.full(total.shape, np.inf)
    out_m = np.full(total.shape, np.nan)
    short = np.nonzero(left < -_SLACK_MOL)
    if short[0].size:
        out_min[short], out_m[short] = _used_up(logged, short[0], short[1], available[short])
    return Breathed(total, left, out_min, out_m)


@dataclass(frozen=True, eq=False)
class _Logged:
    """Filled rows of many logs; rows beyond a log's end have neither amount nor gas."""

    rows: NDArray[np.float64]
    gas: NDArray[np.int64]
    used_mol: NDArray[np.float64]
    water: Water

    def by_gas_mol(self, gases: int) -> NDArray[np.float64]:
        dives = self.used_mol.shape[0]
        slots = (np.arange(dives) * gases)[:, None] + self.gas
        sums = np.bincount(slots.ravel(), self.used_mol.ravel(), dives * gases)
        return np.asarray(sums.reshape(dives, gases), dtype=np.float64)


def _logged(
    legs: ArrayLike,
    count: ArrayLike,
    rmv_l_per_min: ArrayLike,
    water: Water,
    temperature_k: float,
) -> _Logged:
    rows = np.asarray(legs, dtype=np.float64)
    counts = np.asarray(count, dtype=np.int64)
    rmv = np.asarray(rmv_l_per_min, dtype=np.float64)
    if rows.ndim != 3 or rows.shape[2] != _WIDTH or counts.shape != rows.shape[:1]:
        raise InputError(
            f"legs of shape {rows.shape} with counts of shape {counts.shape}",
            right="(n, most, 6) with (n,)",
        )
    if rmv.shape not in {(len(KINDS),), (rows.shape[0], len(KINDS))}:
        raise InputError(f"RMV of shape {rmv.shape}", right="(6,) or (n, 6)")
    rows = rows[:, : max(int(counts.max(initial=0)), 1)]
    filled = np.arange(rows.shape[1]) < counts[:, None]
    kind, gas = (np.where(filled, rows[:, :, at], 0.0).astype(np.int64) for at in (_KIND, _GAS))
    rate = rmv[kind] if rmv.ndim == 1 else np.take_along_axis(rmv, kind, axis=1)
    mean_m = (rows[:, :, _FROM] + rows[:, :, _TO]) * 0.5
    mean_bar = water.surface_bar + mean_m * water.bar_per_m
    rate *= breathed_amount_mol(1.0, 1.0, 1.0, temperature_k)
    used = np.where(filled, rate * rows[:, :, _MINUTES] * mean_bar, 0.0)
    return _Logged(rows, gas, used, water)


def _used_up(
    logged: _Logged,
    dive: NDArray[np.intp],
    wanted: NDArray[np.intp],
    available_mol: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return run times [min] and depths [m] at which amounts are used up, one a dive and gas."""
    every = np.arange(dive.size)
    used = np.where(logged.gas[dive] == wanted[:, None], logged.used_mol[dive], 0.0)
    sums = np.cumsum(used, axis=1)
    at = np.argmax(sums > available_mol[:, None], axis=1)
    leg, in_leg = logged.rows[dive, at], used[every, at]
    share = np.clip((available_mol - (sums[every, at] - in_leg)) / in_leg, 0.0, 1.0)
    water = logged.water
    here, there = (water.surface_bar + leg[:, end] * water.bar_per_m for end in (_FROM, _TO))
    time = time_share(share, here, there)
    depth_m = leg[:, _FROM] + time * (leg[:, _TO] - leg[:, _FROM])
    return leg[:, _START] + time * leg[:, _MINUTES], depth_m
