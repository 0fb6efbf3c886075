"""What a diver breathes: one formula, and the phase and the amount of each leg."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeVar

from slatewright.decompression.leg import Leg, LegKind
from slatewright.errors import InputError
from slatewright.physics.constants import GAS_CONSTANT_J_PER_MOL_K, PASCAL_PER_BAR
from slatewright.physics.real_gas import FREE_GAS_K
from slatewright.physics.symbols import TEMPERATURE_K
from slatewright.physics.water import Water
from slatewright.sources import Symbol, formula
from slatewright.supply.kit import Diver, Phase, Rmv

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_LITRES_PER_M3: Final = 1000.0
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


@formula(
    name="breathing-duration",
    title="How long an amount of gas lasts",
    equation="t = n·8.314463·T·1000 / (RMV·p·100000)",
    result=Symbol("t", "min", "time"),
    symbols={
        "available_mol": Symbol("n", "mol", "amount that can be breathed", 0.0),
        "rmv_l_per_min": Symbol("RMV", "L/min", "volume breathed in a minute, as breathed", 0.0),
        "ambient_bar": Symbol("p", "bar", "ambient pressure", 0.0),
        "temperature_k": TEMPERATURE_K,
    },
    source=("[USN2001] duration of air supply: volume available over consumption",),
    valid="at one depth",
)
def breathing_duration_min(
    available_mol: float, rmv_l_per_min: float, ambient_bar: float, temperature_k: float
) -> float:
    """Return how long an amount of gas lasts at one depth.

    Parameters
    ----------
    available_mol
        Amount that can be breathed [mol].
    rmv_l_per_min
        Respiratory minute volume at ambient pressure [L/min].
    ambient_bar
        Ambient pressure, absolute [bar].
    temperature_k
        Temperature of the water [K].

    Returns
    -------
    float
        Time [min].
    """
    return available_mol / breathed_amount_mol(rmv_l_per_min, 1.0, ambient_bar, temperature_k)


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
            f"at {leg.start_min:.0f} min the dive is on a closed circuit, whose gas is not drawn "
            "from a cylinder breath by breath: it is not counted like that of an open circuit",
            right="a dive on open circuit, or what is worked out for a loop: `slatewright dive`",
        )
    ambient_bar = mean_ambient_bar(water.ambient_bar(leg.from_m), water.ambient_bar(leg.to_m))
    temperature_k = breathing_temperature_k(water_temperature_k)
    return breathed_amount_mol(rmv_l_per_min, leg.minutes, ambient_bar, temperature_k)


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
    from slatewright.decompression import supplied  # noqa: PLC0415 - the kernel, where it is needed

    return supplied.time_share(share, from_bar, to_bar)


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
