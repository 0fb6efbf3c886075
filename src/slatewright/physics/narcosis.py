"""How narcotic a mixture is at depth: the depth at which air would be as narcotic.

The trade disagrees whether oxygen counts. Each basis is a formula of its own, so that no number
stands without saying which; the house rule ``oxygen_narcotic`` chooses.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from slatewright.errors import InputError
from slatewright.physics.limits import need_depth
from slatewright.physics.mixture import AIR_O2
from slatewright.physics.symbols import DEPTH, HE, O2, SURFACE, WEIGHT
from slatewright.physics.water import ambient_pressure_bar, depth_at_pressure_m
from slatewright.sources import Symbol, formula

if TYPE_CHECKING:
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.water import Water

AIR_N2_NARCOTIC: Final = 1.0 - AIR_O2
"""Nitrogen in air as the published examples of equivalent depths count it, 0.79."""


@formula(
    name="narcotic-depth-oxygen-counted",
    title="Equivalent narcotic depth, oxygen counted as narcotic as nitrogen",
    equation="END = ((1 - f_He)·(p_s + d·w) - p_s) / w, at least 0",
    result=Symbol(
        "END", "m", "depth at which air is as narcotic, 0 if the gas is less than at 0 m"
    ),
    symbols={"he": HE, "depth_m": DEPTH, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=(
        "common practice, no published source; worked examples read as quoted, see how we know",
    ),
    valid="helium not narcotic; the narcotic part of air is all of it",
    house_rules=("oxygen_narcotic",),
)
def narcotic_depth_oxygen_counted_m(
    he: float, depth_m: float, surface_bar: float, bar_per_m: float
) -> float:
    """Return the equivalent narcotic depth with oxygen counted.

    Parameters
    ----------
    he
        Mole fraction of helium [-].
    depth_m
        Depth [m].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Equivalent depth on air, 0 if the gas is less narcotic than air at the surface [m].
    """
    narcotic_bar = (1.0 - he) * ambient_pressure_bar(depth_m, surface_bar, bar_per_m)
    equivalent_m = depth_at_pressure_m(narcotic_bar, surface_bar, bar_per_m)
    if equivalent_m < 0.0:
        return 0.0
    return equivalent_m


@formula(
    name="narcotic-depth-nitrogen-only",
    title="Equivalent narcotic depth, only nitrogen counted",
    equation="END = ((1 - f_O2 - f_He) / 0.79·(p_s + d·w) - p_s) / w, at least 0",
    result=Symbol(
        "END", "m", "depth at which air is as narcotic, 0 if the gas is less than at 0 m"
    ),
    symbols={"o2": O2, "he": HE, "depth_m": DEPTH, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=(
        "common practice, no published source; worked examples read as quoted, see how we know",
    ),
    valid="helium and oxygen not narcotic; 79 % of air is nitrogen",
    house_rules=("oxygen_narcotic",),
)
def narcotic_depth_nitrogen_only_m(
    o2: float, he: float, depth_m: float, surface_bar: float, bar_per_m: float
) -> float:
    """Return the equivalent narcotic depth with only nitrogen counted.

    Parameters
    ----------
    o2
        Mole fraction of oxygen [-].
    he
        Mole fraction of helium [-].
    depth_m
        Depth [m].
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].

    Returns
    -------
    float
        Equivalent depth on air, 0 if the gas is less narcotic than air at the surface [m].
    """
    nitrogen_bar = (1.0 - o2 - he) * ambient_pressure_bar(depth_m, surface_bar, bar_per_m)
    equivalent_m = depth_at_pressure_m(nitrogen_bar / AIR_N2_NARCOTIC, surface_bar, bar_per_m)
    if equivalent_m < 0.0:
        return 0.0
    return equivalent_m


@formula(
    name="equivalent-air-depth",
    title="Equivalent air depth of a mixture of oxygen and nitrogen",
    equation="EAD = ((1 - f_O2) / 0.79·(p_s + d·w) - p_s) / w, at least 0",
    result=Symbol("EAD", "m", "depth at which air has the same nitrogen partial pressure"),
    symbols={"o2": O2, "depth_m": DEPTH, "surface_bar": SURFACE, "bar_per_m": WEIGHT},
    source=("[USN2001] 10-2",),
    valid="no helium in the mixture",
)
def equivalent_air_depth_m(
    o2: float, depth_m: float, surface_bar: float, bar_per_m: float
) -> float:
    """Return the depth at which air has the same nitrogen partial pressure.

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
        Equivalent air depth, 0 if the gas holds less nitrogen than air at the surface [m].
    """
    return narcotic_depth_nitrogen_only_m(o2, 0.0, depth_m, surface_bar, bar_per_m)


def narcotic_depth(mix: Mixture, depth_m: float, water: Water, *, oxygen_narcotic: bool) -> float:
    """Return the equivalent narcotic depth of a mixture.

    Parameters
    ----------
    mix
        The mixture.
    depth_m
        Depth [m].
    water
        The water.
    oxygen_narcotic
        Whether oxygen counts, the house rule of that name: no default, so that nobody forgets it.

    Returns
    -------
    float
        Equivalent depth on air, 0 if the mixture is less narcotic than air at the surface [m].

    Raises
    ------
    InputError
        If the depth is negative or no number.
    """
    need_depth(depth_m)
    if oxygen_narcotic:
        return narcotic_depth_oxygen_counted_m(mix.he, depth_m, water.surface_bar, water.bar_per_m)
    return narcotic_depth_nitrogen_only_m(
        mix.o2, mix.he, depth_m, water.surface_bar, water.bar_per_m
    )


def equivalent_air_depth(mix: Mixture, depth_m: float, water: Water) -> float:
    """Return the equivalent air depth of a mixture of oxygen and nitrogen.

    Parameters
    ----------
    mix
        The mixture, without helium.
    depth_m
        Depth [m].
    water
        The water.

    Returns
    -------
    float
        Equivalent air depth [m].

    Raises
    ------
    InputError
        If the mixture has helium, for which an air depth says nothing, or the depth is negative.
    """
    need_depth(depth_m)
    if mix.he > 0.0:
        raise InputError(
            f"{mix} has helium: an equivalent air depth says nothing about it",
            right="a mixture of oxygen and nitrogen; or the equivalent narcotic depth",
        )
    return equivalent_air_depth_m(mix.o2, depth_m, water.surface_bar, water.bar_per_m)
