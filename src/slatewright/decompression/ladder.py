"""Which gas is breathed at which level on the way up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.decompression.settings import AscentSettings
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.physics.mixture import Mixture

NEAR_M: Final = 1e-6
"""Depths nearer than this are the same depth [m]."""
NO_GAS: Final = -1


@dataclass(frozen=True, slots=True)
class AscentGas:
    """A gas that is at hand on the way up.

    Parameters
    ----------
    mix
        The mixture (on a closed circuit: the diluent).
    deepest_m
        The greatest depth at which it may be breathed [m].
    shallowest_m
        The least depth at which it may be breathed, 0 if at the surface [m].
    change_min
        What changing to it takes [min].
    setpoint_bar
        The ppO2 that a closed circuit keeps [bar]; None on open circuit.
    """

    mix: Mixture
    deepest_m: float
    shallowest_m: float
    change_min: float = 1.0
    setpoint_bar: float | None = None


@dataclass(frozen=True, slots=True)
class Ladder:
    """The gas at each level.

    Parameters
    ----------
    gas_at_level
        Index of the gas breathed at a level, counted in steps from the surface (the entry of the
        surface itself is not used).
    pause_at_level
        Index of the gas for breaks there, -1 for none.
    """

    gas_at_level: tuple[int, ...]
    pause_at_level: tuple[int, ...]


class NothingToBreathe(NoSafeAnswer):
    """On a stretch of the way up nothing at hand may be breathed.

    Parameters
    ----------
    gases
        What is at hand.
    from_m, to_m
        The stretch, deeper end first [m].
    off_level
        True if it begins where the ascent does, below the first level, and only the gas in the
        mouth can be breathed there.
    """

    def __init__(
        self, gases: Sequence[AscentGas], from_m: float, to_m: float, *, off_level: bool = False
    ) -> None:
        self.from_m = from_m
        self.to_m = to_m
        self.off_level = off_level
        super().__init__(_gap(gases, from_m, to_m))


def level_above(level: int, last_level: int) -> int:
    """Return the next level on the way up.

    Parameters
    ----------
    level, last_level
        This level and the last stop, in steps from the surface.
    """
    return 0 if level <= last_level else level - 1


def last_level_from(depth_m: float, settings: AscentSettings) -> int:
    """Return the last level of an ascent that begins at a depth.

    That of the settings; from shallower than it, the deepest level at or above the depth.

    Parameters
    ----------
    depth_m
        Where the ascent begins [m].
    settings
        Steps and last stop.
    """
    return min(settings.last_level, math.floor(depth_m / settings.stop_step_m + NEAR_M))


def ladder(
    gases: Sequence[AscentGas],
    start_gas: int,
    start_m: float,
    settings: AscentSettings,
    *,
    pause_gas: int | None = None,
    pause_from: Sequence[int] = (),
) -> Ladder:
    """Choose the gas of each level: the richest that may be breathed there and up to the next one.

    Parameters
    ----------
    gases
        What is at hand; where two are equally rich, the gas in the mouth, then the earlier one.
    start_gas
        Index of the gas breathed when the ascent begins.
    start_m
        Depth at which it begins [m].
    settings
        Steps and last stop.
    pause_gas
        Index of the gas for breaks from oxygen.
    pause_from
        Indices of the gases from which breaks are taken.

    Returns
    -------
    Ladder
        With entries from the surface to the level at or above the start. Levels above the last
        stop, which only an ascent from there sees, bear the gas from there to the surface, -1 if
        there is none.

    Raises
    ------
    NothingToBreathe
        If there is a stretch on which nothing at hand may be breathed.
    InputError
        If the depth is no number.
    """
    if not 0.0 <= start_m < math.inf:
        raise InputError(f"an ascent from {start_m:g} m", right="a depth of 0 m or more")
    step_m = settings.stop_step_m
    top = math.floor(start_m / step_m + NEAR_M)
    last = last_level_from(start_m, settings)
    chosen = [NO_GAS] * (top + 1)
    pauses = [NO_GAS] * (top + 1)
    first_level = top if top >= last > 0 else 0
    if start_m - first_level * step_m > NEAR_M:
        _must_reach(gases[start_gas], start_m, first_level * step_m)
    mouth = start_gas
    level = first_level
    while level > 0:
        above = level_above(level, last)
        mouth = _richest(gases, mouth, level * step_m, above * step_m)
        chosen[level] = mouth
        level = above
    for level in range(1, min(last, top + 1)):
        if any(breathable(gas, level * step_m, 0.0) for gas in gases):
            chosen[level] = _richest(gases, start_gas, level * step_m, 0.0)
    if pause_gas is not None:
        for level in range(1, top + 1):
            above_m = level_above(level, last) * step_m
            if chosen[level] in pause_from and breathable(
                gases[pause_gas], level * step_m, above_m
            ):
                pauses[level] = pause_gas
    return Ladder(tuple(chosen), tuple(pauses))


def breathable(gas: AscentGas, from_m: float, to_m: float) -> bool:
    """Return whether a gas may be breathed from one depth up to another.

    Parameters
    ----------
    gas
        The gas.
    from_m, to_m
        The deeper and the shallower depth [m].
    """
    return gas.deepest_m >= from_m - NEAR_M and gas.shallowest_m <= to_m + NEAR_M


def _richest(gases: Sequence[AscentGas], mouth: int, from_m: float, to_m: float) -> int:
    fit = [i for i, gas in enumerate(gases) if breathable(gas, from_m, to_m)]
    if not fit:
        raise NothingToBreathe(gases, from_m, to_m)
    return min(fit, key=lambda i: (-gases[i].mix.o2, i != mouth, i))


def _must_reach(gas: AscentGas, from_m: float, to_m: float) -> None:
    if gas.shallowest_m > to_m + NEAR_M:
        raise NothingToBreathe([gas], from_m, to_m, off_level=True)


def _gap(gases: Sequence[AscentGas], from_m: float, to_m: float) -> Reason:
    told = ", ".join(
        f"{gas.mix} from {gas.shallowest_m:.1f} to {gas.deepest_m:.1f} m" for gas in gases
    )
    to = "the surface" if to_m < NEAR_M else f"{to_m:.1f} m"
    return Reason(
        f"from {from_m:.1f} m up to {to} no gas at hand may be breathed ({told})",
        f"carry a gas that may be breathed at {from_m:.1f} m and all the way to {to}",
    )
