"""What a diver breathes: one formula, the phase of each leg, and the same over whole arrays.

The arrays serve the grid of failures: thousands of ascents as the solver logs them, in
milliseconds, with the moment at which each gas is used up.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeVar

import numpy as np

from slatewright.decompression.leg import Leg, LegKind
from slatewright.errors import InputError
from slatewright.physics.constants import GAS_CONSTANT_J_PER_MOL_K, PASCAL_PER_BAR
from slatewright.physics.real_gas import FREE_GAS_K
from slatewright.physics.symbols import TEMPERATURE_K
from slatewright.physics.water import Water
from slatewright.sources import Symbol, formula
from slatewright.supply.kit import Diver, Phase, Rmv

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

_LITRES_PER_M3: Final = 1000.0
_KIND, _FROM, _TO, _START, _MINUTES, _GAS, _WIDTH = range(7)
_NEVER_MIN: Final = float("inf")
_SLACK: Final = 1e-9
_T = TypeVar("_T", float, "NDArray[np.float64]")

KINDS: Final = ("descent", "bottom", "ascent", "stop", "change of gas", "break")
"""What the solver's codes of legs 0 to 5 stand for; see `rmv_by_kind`."""


@formula(
    name="breathed-amount",
    title="Amount of gas breathed",
    equation="n = RMV·t·p·100000 / 1000 / (8.314463·T)",
    result=Symbol("n", "mol", "amount of gas breathed"),
    symbols={
        "rmv_l_per_min": Symbol("RMV", "L/min", "volume breathed in a minute, as breathed", 0.0),
        "minutes": Symbol("t", "min", "time", 0.0),
        "ambient_bar": Symbol("p", "bar", "mean ambient pressure of the time", 0.0),
        "temperature_k": TEMPERATURE_K,
    },
    source=("[USN2001] air supply: RMV times ambient pressure in atmospheres", "ideal gas law"),
    valid="breathing pressures, where gas is ideal to about 0.5 %",
    differs="kept in moles, with the temperature of the water; at 20 degC it is RMV times "
    "atmospheres",
)
def breathed_amount_mol(
    rmv_l_per_min: float, minutes: float, ambient_bar: float, temperature_k: float
) -> float:
    """Return the amount of gas breathed in a time.

    Parameters
    ----------
    rmv_l_per_min
        Respiratory minute volume at ambient pressure [L/min].
    minutes
        Time [min].
    ambient_bar
        Mean ambient pressure of the time, absolute [bar].
    temperature_k
        Temperature of the water, at which the volume is breathed [K].

    Returns
    -------
    float
        Amount [mol].
    """
    cubic_metres = rmv_l_per_min * minutes / _LITRES_PER_M3
    return ambient_bar * PASCAL_PER_BAR * cubic_metres / (GAS_CONSTANT_J_PER_MOL_K * temperature_k)


@formula(
    name="mean-ambient-pressure",
    title="Mean ambient pressure of a leg",
    equation="p = (p_1 + p_2) / 2",
    result=Symbol("p", "bar", "mean ambient pressure"),
    symbols={
        "from_bar": Symbol("p_1", "bar", "ambient pressure at the start", 0.0),
        "to_bar": Symbol("p_2", "bar", "ambient pressure at the end", 0.0),
    },
    source=("[USN2001] ascent gas at the mean depth",),
    valid="a leg of constant rate, for which it is exact",
)
def mean_ambient_bar(from_bar: float, to_bar: float) -> float:
    """Return the mean ambient pressure of a leg of constant rate.

    Parameters
    ----------
    from_bar, to_bar
        Ambient pressure at its start and end, absolute [bar].

    Returns
    -------
    float
        Absolute [bar].
    """
    return (from_bar + to_bar) / 2.0


def breathing_temperature_k(water_temperature_k: float | None) -> float:
    """Return the temperature at which gas is breathed: the water's, or 20 degC if unknown.

    Parameters
    ----------
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    float
        Temperature [K].
    """
    return FREE_GAS_K if water_temperature_k is None else water_temperature_k


def phase_of(leg: Leg, *, works_at_depth: bool = False) -> Phase:
    """Return what a diver does during a leg, as far as breathing goes.

    Parameters
    ----------
    leg
        The leg.
    works_at_depth
        True if the stay at depth is work.

    Returns
    -------
    Phase
        Resting at stops, breaks and changes of gas; working or swimming at depth; else swimming.
    """
    if leg.kind is LegKind.STOP or leg.switching:
        return Phase.RESTING
    return Phase.WORKING if works_at_depth and leg.kind is LegKind.BOTTOM else Phase.SWIMMING


def breathed_in_leg_mol(
    leg: Leg,
    rmv_l_per_min: float,
    water: Water,
    water_temperature_k: float | None = None,
) -> float:
    """Return the amount that is breathed in a leg.

    Parameters
    ----------
    leg
        The leg.
    rmv_l_per_min
        The breathing in it [L/min].
    water
        Pressure under water.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    float
        Amount [mol].

    Raises
    ------
    InputError
        If the leg is on a closed circuit, which this rule does not fit.
    """
    if leg.setpoint_bar is not None:
        raise InputError(
            f"the leg at {leg.start_min:g} min is on a closed circuit",
            right="legs on open circuit",
        )
    ambient_bar = mean_ambient_bar(water.ambient_bar(leg.from_m), water.ambient_bar(leg.to_m))
    temperature_k = breathing_temperature_k(water_temperature_k)
    return breathed_amount_mol(rmv_l_per_min, leg.minutes, ambient_bar, temperature_k)


def time_share(share: _T, from_bar: _T, to_bar: _T) -> _T:
    """Return the share of a leg's time in which a share of its gas is breathed.

    Pressure runs linearly through a leg, so that the amount is a parabola in time; its root is
    written so that a leg at one depth needs no special case.

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
    part = share * (from_bar + to_bar)
    root: _T = (from_bar * from_bar + part * (to_bar - from_bar)) ** 0.5
    return part / (from_bar + root)


def rmv_by_kind(
    rmv: Rmv, *, works_at_depth: bool = False, stressed: bool = False
) -> tuple[float, ...]:
    """Return the RMV for each of the solver's kinds of legs, in the order of `KINDS`.

    Parameters
    ----------
    rmv
        A diver's breathing.
    works_at_depth
        True if the stay at depth is work.
    stressed
        True if all of it is breathed at the stressed RMV.

    Returns
    -------
    tuple
        Six figures [L/min].
    """
    if stressed:
        return (rmv.stressed_l_per_min,) * len(KINDS)
    swimming, resting = rmv.swimming_l_per_min, rmv.resting_l_per_min
    bottom = rmv.working_l_per_min if works_at_depth else swimming
    return (swimming, bottom, swimming, resting, resting, resting)


def rmv_of(diver: Diver, *, stressed: bool = False) -> tuple[float, ...]:
    """Return the RMV of a diver for each of the solver's kinds of legs.

    Parameters
    ----------
    diver
        The diver.
    stressed
        True if all of it is breathed at the stressed RMV.

    Returns
    -------
    tuple
        Six figures, in the order of `KINDS` [L/min].
    """
    return rmv_by_kind(diver.rmv, works_at_depth=diver.works_at_depth, stressed=stressed)


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
        return np.asarray((self.left_mol >= -_SLACK).all(axis=1))


def breathed_mol(
    legs: ArrayLike,
    count: ArrayLike,
    rmv_l_per_min: ArrayLike,
    gases: int,
    water: Water,
    *,
    stop_step_m: float,
    temperature_k: float = FREE_GAS_K,
) -> NDArray[np.float64]:
    """Return what is breathed of each gas in many dives.

    Parameters
    ----------
    legs
        Shape (n, most, 6): kind, from and to [levels], start [min], minutes [min], gas.
    count
        Shape (n,): how many rows of each dive are filled.
    rmv_l_per_min
        Shape (6,), or (n, 6) for one row a dive: the breathing in each kind of leg; of several
        divers on one supply the sum [L/min].
    gases
        How many gases there are.
    water
        Pressure under water.
    stop_step_m
        Metres in a level [m].
    temperature_k
        Temperature of the water [K].

    Returns
    -------
    array
        Shape (n, gases) [mol].
    """
    rows, used = _flat(legs, count, rmv_l_per_min, water, stop_step_m, temperature_k)
    return _by_gas(used, rows[:, :, _GAS].astype(np.int64), gases)


def breathed(
    legs: ArrayLike,
    count: ArrayLike,
    rmv_l_per_min: ArrayLike,
    available_mol: ArrayLike,
    water: Water,
    *,
    stop_step_m: float,
    temperature_k: float = FREE_GAS_K,
) -> Breathed:
    """Return what is breathed in many dives, what is left, and when a gas is used up.

    Parameters
    ----------
    legs, count, rmv_l_per_min, water, stop_step_m, temperature_k
        As for `breathed_mol`.
    available_mol
        Shape (gases,), or (n, gases): what is at hand of each gas when the legs begin [mol].

    Returns
    -------
    Breathed
        Sums, rests, and moments.
    """
    rows, used = _flat(legs, count, rmv_l_per_min, water, stop_step_m, temperature_k)
    gas = rows[:, :, _GAS].astype(np.int64)
    available = np.asarray(available_mol, dtype=np.float64)
    available = np.broadcast_to(available, (rows.shape[0], available.shape[-1]))
    total = _by_gas(used, gas, available.shape[1])
    left = available - total
    out_min = np.full(total.shape, _NEVER_MIN)
    out_m = np.full(total.shape, np.nan)
    short = np.nonzero(left < -_SLACK)
    if short[0].size:
        dive, wanted = short
        only = np.where(gas[dive] == wanted[:, None], used[dive], 0.0)
        out_min[short], level = _used_up(rows[dive], only, available[short], water, stop_step_m)
        out_m[short] = level * stop_step_m
    return Breathed(total, left, out_min, out_m)


def _flat(
    legs: ArrayLike,
    count: ArrayLike,
    rmv_l_per_min: ArrayLike,
    water: Water,
    stop_step_m: float,
    temperature_k: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the legs, unused rows made empty, and the amount of each."""
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
    rows = np.where(filled[:, :, None], rows, 0.0)
    kind = rows[:, :, _KIND].astype(np.int64)
    rate = rmv[kind] if rmv.ndim == 1 else np.take_along_axis(rmv, kind, axis=1)
    mean_bar = water.surface_bar + (rows[:, :, _FROM] + rows[:, :, _TO]) * (
        0.5 * stop_step_m * water.bar_per_m
    )
    unit_mol = breathed_amount_mol(1.0, 1.0, 1.0, temperature_k)
    return rows, rate * rows[:, :, _MINUTES] * mean_bar * unit_mol


def _by_gas(used: NDArray[np.float64], gas: NDArray[np.int64], gases: int) -> NDArray[np.float64]:
    total = np.zeros((used.shape[0], gases))
    for g in range(gases):
        total[:, g] = np.where(gas == g, used, 0.0).sum(axis=1)
    return total


def _used_up(
    rows: NDArray[np.float64],
    used: NDArray[np.float64],
    available_mol: NDArray[np.float64],
    water: Water,
    stop_step_m: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return run times [min] and levels at which amounts are used up, one row a dive and gas."""
    every = np.arange(rows.shape[0])
    sums = np.cumsum(used, axis=1)
    at = np.argmax(sums > available_mol[:, None], axis=1)
    leg, in_leg = rows[every, at], used[every, at]
    share = np.clip((available_mol - (sums[every, at] - in_leg)) / in_leg, 0.0, 1.0)
    step_bar = stop_step_m * water.bar_per_m
    here, there = (water.surface_bar + leg[:, end] * step_bar for end in (_FROM, _TO))
    time = time_share(share, here, there)
    level = leg[:, _FROM] + time * (leg[:, _TO] - leg[:, _FROM])
    return leg[:, _START] + time * leg[:, _MINUTES], level
