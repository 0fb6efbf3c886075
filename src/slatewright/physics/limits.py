"""Oxygen at depth: its partial pressure, operating depth, hypoxic floor, the best fraction.

Partial pressures are fraction times ambient pressure, without taking off water vapour: so count the
published limits. First the formulas on plain numbers, below them the same with objects.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.physics.symbols import DEPTH, O2, SURFACE, WEIGHT
from slatewright.physics.water import ambient_pressure_bar, depth_at_pressure_m
from slatewright.sources import Symbol, formula

if TYPE_CHECKING:
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.water import Water

_LIMIT = Symbol("p_max", "bar", "the highest ppO2 allowed", 0.2, 2.0)
_FLOOR = Symbol("p_min", "bar", "the lowest ppO2 breathed", 0.16, 0.21)


@formula(
    name="oxygen-pressure",
    title="Oxygen partial pressure at a depth",
    equation="ppO2 = f_O2·(p_s + d·w)",
    result=Symbol("ppO2", "bar", "oxygen partial pressure"),
    symbols={"o2": O2, "depth_m": DEPTH, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=("Dalton's law, as in the problems of [USN2001] 12-5",),
    valid="dry gas: water vapour is not taken off, as in the published limits",
)
def oxygen_pressure_bar(o2: float, depth_m: float, surface_bar: float, bar_per_m: float) -> float:
    """Return the oxygen partial pressure of a gas breathed at a depth.

    Parameters
    ----------
    o2
        Mole fraction of oxygen [-].
    depth_m
        Depth [m].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Oxygen partial pressure [bar].
    """
    return o2 * ambient_pressure_bar(depth_m, surface_bar, bar_per_m)


@formula(
    name="operating-depth",
    title="Depth at which a gas reaches its highest ppO2",
    equation="d = (p_max / f_O2 - p_s) / w",
    result=Symbol("d", "m", "operating depth, negative if the gas is over its limit everywhere"),
    symbols={"o2": O2, "limit_bar": _LIMIT, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=("Dalton's law, as in the problems of [USN2001] 12-5",),
    house_rules=("ppo2_bottom_max_bar", "ppo2_stop_max_bar"),
)
def operating_depth_m(o2: float, limit_bar: float, surface_bar: float, bar_per_m: float) -> float:
    """Return the depth at which a gas reaches its highest allowed ppO2.

    Parameters
    ----------
    o2
        Mole fraction of oxygen [-].
    limit_bar
        The highest ppO2 allowed [bar].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Operating depth, negative if the gas is over its limit even at the surface [m].
    """
    return depth_at_pressure_m(limit_bar / o2, surface_bar, bar_per_m)


@formula(
    name="hypoxic-floor",
    title="Shallowest depth at which a gas holds enough oxygen",
    equation="d = (p_min / f_O2 - p_s) / w, at least 0",
    result=Symbol("d", "m", "hypoxic floor, 0 if the gas is breathable at the surface"),
    symbols={"o2": O2, "floor_bar": _FLOOR, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=(
        "Dalton's law",
        "floor 0.18 bar, 0.16 at the least: common practice, no published source",
    ),
    house_rules=("floor_bar",),
)
def hypoxic_floor_m(o2: float, floor_bar: float, surface_bar: float, bar_per_m: float) -> float:
    """Return the shallowest depth at which a gas may be breathed.

    Parameters
    ----------
    o2
        Mole fraction of oxygen [-].
    floor_bar
        The lowest ppO2 that is breathed [bar].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Hypoxic floor, 0 if the gas is breathable at the surface [m].
    """
    depth_m = depth_at_pressure_m(floor_bar / o2, surface_bar, bar_per_m)
    if depth_m < 0.0:
        return 0.0
    return depth_m


@formula(
    name="best-oxygen",
    title="Richest oxygen fraction for a depth",
    equation="f_O2 = p_max / (p_s + d·w), at most 1",
    result=Symbol("f_O2", "-", "mole fraction of oxygen"),
    symbols={"limit_bar": _LIMIT, "depth_m": DEPTH, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=("Dalton's law, as in the problems of [USN2001] 12-5",),
    house_rules=("ppo2_bottom_max_bar", "ppo2_stop_max_bar"),
)
def best_oxygen(limit_bar: float, depth_m: float, surface_bar: float, bar_per_m: float) -> float:
    """Return the richest oxygen fraction that keeps its limit at a depth.

    Parameters
    ----------
    limit_bar
        The highest ppO2 allowed [bar].
    depth_m
        Depth [m].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Mole fraction of oxygen, at most 1; not rounded: round down before blending [-].
    """
    fraction = limit_bar / ambient_pressure_bar(depth_m, surface_bar, bar_per_m)
    if fraction > 1.0:
        return 1.0
    return fraction


def oxygen_pressure(mix: Mixture, depth_m: float, water: Water) -> float:
    """Return the oxygen partial pressure of a mixture breathed at a depth.

    Parameters
    ----------
    mix
        The mixture.
    depth_m
        Depth [m].
    water
        The water.

    Returns
    -------
    float
        Oxygen partial pressure [bar].

    Raises
    ------
    InputError
        If the depth is negative or no number.
    """
    need_depth(depth_m)
    return oxygen_pressure_bar(mix.o2, depth_m, water.surface_bar, water.bar_per_m)


def operating_depth(mix: Mixture, limit_bar: float, water: Water) -> float:
    """Return the greatest depth at which a mixture keeps a limit of ppO2.

    Parameters
    ----------
    mix
        The mixture.
    limit_bar
        The highest ppO2 allowed [bar].
    water
        The water.

    Returns
    -------
    float
        Operating depth [m].

    Raises
    ------
    InputError
        If the limit is not positive.
    NoSafeAnswer
        If the mixture is over the limit even at the surface.
    """
    _need_pressure("limit_bar", limit_bar)
    depth_m = operating_depth_m(mix.o2, limit_bar, water.surface_bar, water.bar_per_m)
    if depth_m < 0.0:
        raise NoSafeAnswer(
            Reason(
                f"{mix} is over a ppO2 of {limit_bar:g} bar even at the surface",
                f"a mix of at most {limit_bar / water.surface_bar * 100.0:.1f} % oxygen",
            )
        )
    return depth_m


def hypoxic_floor(mix: Mixture, floor_bar: float, water: Water) -> float:
    """Return the shallowest depth at which a mixture may be breathed.

    Parameters
    ----------
    mix
        The mixture.
    floor_bar
        The lowest ppO2 that is breathed [bar].
    water
        The water.

    Returns
    -------
    float
        Hypoxic floor, 0 if the mixture is breathable at the surface [m].

    Raises
    ------
    InputError
        If the floor is not positive.
    """
    _need_pressure("floor_bar", floor_bar)
    return hypoxic_floor_m(mix.o2, floor_bar, water.surface_bar, water.bar_per_m)


def best_oxygen_at(depth_m: float, limit_bar: float, water: Water) -> float:
    """Return the richest oxygen fraction that keeps its limit at a depth.

    Parameters
    ----------
    depth_m
        Depth [m].
    limit_bar
        The highest ppO2 allowed [bar].
    water
        The water.

    Returns
    -------
    float
        Mole fraction of oxygen, at most 1; not rounded: round down before blending [-].

    Raises
    ------
    InputError
        If the depth is negative or the limit not positive.
    """
    need_depth(depth_m)
    _need_pressure("limit_bar", limit_bar)
    return best_oxygen(limit_bar, depth_m, water.surface_bar, water.bar_per_m)


def need_depth(depth_m: float) -> None:
    """Refuse what is no depth under water.

    Parameters
    ----------
    depth_m
        Depth [m].

    Raises
    ------
    InputError
        If it is negative, infinite or no number.
    """
    if not 0.0 <= depth_m < float("inf"):
        raise InputError(f"{depth_m:g} m is no depth under water", right="0 m or more")


def _need_pressure(where: str, pressure_bar: float) -> None:
    if not 0.0 < pressure_bar < float("inf"):
        raise InputError(
            f"{pressure_bar:g} bar is no oxygen partial pressure", where=where, right="such as 1.4"
        )
