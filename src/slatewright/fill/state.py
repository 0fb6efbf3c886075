"""Gas in a vessel of any size: a pressure from moles, and the moles that bring a pressure.

Filling is slow and the gas mixes and takes on one temperature before the gauge is read; that is
what every recipe assumes, and why a cylinder is analysed after it has rested.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from slatewright.physics.amount import Amount, Gas
from slatewright.physics.constants import ZERO_CELSIUS_K
from slatewright.physics.real_gas import (
    compressibility_at_density,
    real_gas_contents_mol,
    real_gas_pressure_bar,
)

REFERENCE_K: Final = 20.0 + ZERO_CELSIUS_K
"""The temperature at which a settled pressure is told, unless another is asked for."""
_STEPS: Final = 80
_NEAR_BAR: Final = 1e-11
_TRACE: Final = 1e-15


def plus(contents: Amount | None, gas: Gas, amount_mol: float) -> Amount | None:
    """Return what is in a vessel after so much of a gas has been added.

    Parameters
    ----------
    contents
        What was in it; None for a vacuum.
    gas
        What is added.
    amount_mol
        How much [mol].
    """
    if not amount_mol > 0.0:
        return contents
    added = Amount.of(gas, amount_mol)
    return added if contents is None else contents + added


def part(contents: Amount | None, share: float) -> Amount | None:
    """Return what is left when a share of a gas stays in: draining does not change the mix.

    Parameters
    ----------
    contents
        What was in; None for a vacuum.
    share
        What stays, 0 to 1 [-].
    """
    if contents is None or not share > 0.0:
        return None
    return Amount(contents.o2_mol * share, contents.he_mol * share, contents.n2_mol * share)


def mol_of(contents: Amount | None) -> float:
    """Return an amount [mol]; zero for a vacuum.

    Parameters
    ----------
    contents
        What is in; None for a vacuum.
    """
    return 0.0 if contents is None else contents.total_mol


def pressure_of(contents: Amount | None, volume_l: float, temperature_k: float) -> float:
    """Return the absolute pressure of an amount of gas in a vessel.

    Parameters
    ----------
    contents
        What is in it; None for a vacuum.
    volume_l
        Water volume [L].
    temperature_k
        Temperature of the gas [K].

    Returns
    -------
    float
        Absolute pressure [bar].
    """
    if contents is None:
        return 0.0
    density = contents.total_mol / volume_l
    z = compressibility_at_density(contents, density, temperature_k)
    return real_gas_pressure_bar(density, z, temperature_k)


def mol_to_reach(
    contents: Amount | None, gas: Gas, volume_l: float, temperature_k: float, pressure_bar: float
) -> float:
    """Return how much of a gas brings a vessel to a pressure.

    Parameters
    ----------
    contents
        What is in it; None for a vacuum.
    gas
        What is added.
    volume_l
        Water volume [L].
    temperature_k
        Temperature of the gas when the pressure is read [K].
    pressure_bar
        Absolute pressure to reach [bar].

    Returns
    -------
    float
        Amount; zero if the pressure is there already [mol].
    """
    missing_bar = pressure_bar - pressure_of(contents, volume_l, temperature_k)
    if not missing_bar > 0.0:
        return 0.0

    def excess_bar(amount_mol: float) -> float:
        reached = pressure_of(plus(contents, gas, amount_mol), volume_l, temperature_k)
        return reached - pressure_bar

    guess_mol = real_gas_contents_mol(missing_bar, volume_l, 1.0, temperature_k)
    return root(excess_bar, 0.0, -missing_bar, guess_mol, 2.0 * guess_mol)


def share_to_reach(
    contents: Amount, volume_l: float, temperature_k: float, pressure_bar: float
) -> float:
    """Return the share of a gas that stays in when a vessel is drained to a pressure.

    Parameters
    ----------
    contents
        What is in it.
    volume_l
        Water volume [L].
    temperature_k
        Temperature of the gas when the pressure is read [K].
    pressure_bar
        Absolute pressure to drain to [bar].

    Returns
    -------
    float
        Share, 0 to 1; 1 if the pressure is no higher already [-].
    """
    kept_mol = mol_to_reach(None, contents, volume_l, temperature_k, pressure_bar)
    return min(1.0, kept_mol / contents.total_mol)


def root(
    rising: Callable[[float], float], low: float, at_low: float, guess: float, high: float
) -> float:
    """Return where a rising function crosses zero: secants, kept inside a bracket.

    Parameters
    ----------
    rising
        The function, in the unit of its pressure.
    low
        Where it is below zero [any unit].
    at_low
        Its value there [bar].
    guess
        Where to look first [as low].
    high
        Where it is above zero, or the end of what is allowed [as low].

    Returns
    -------
    float
        The root, or ``high`` if there is none below [as low].
    """
    before, at_before, here = low, at_low, min(guess, high)
    for _ in range(_STEPS):
        at_here = rising(here)
        if abs(at_here) <= _NEAR_BAR:
            return here
        low, high = (here, high) if at_here < 0.0 else (low, here)
        slope = at_here - at_before
        step = here - at_here * (here - before) / slope if slope else high
        before, at_before = here, at_here
        here = step if low < step < high else 0.5 * (low + high)
        if high - low <= _TRACE * high:
            return here
    return here
