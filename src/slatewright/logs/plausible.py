"""What a log cannot mean: a gas that nobody can breathe there, a depth out of reach in the time.

Minutes and seconds mistaken for each other show as a speed that no diver has. Another common
damage: the switches are lost, and a whole deep dive stands there on the gas of the way up. Such a
dive is asked about, and counts for nothing until then.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.logged import Circuit, LoggedDepth
from slatewright.physics.limits import oxygen_pressure
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import WaterKind, water

IMPOSSIBLE_PPO2_BAR: Final = 2.5
"""Nobody comes back from a dive on more; common practice, no published source. Deep dives on air
of the old days stay below it."""


IMPOSSIBLE_M_PER_MIN: Final = 60.0
"""Faster than this, down and up, divers with apparatus are not on the mean of a dive; common
practice, no published source."""
_FRESH: Final = water(WaterKind.FRESH)  # the lightest, and so the mildest verdict


def impossible_gas(mixes: Sequence[Mixture], greatest: LoggedDepth, circuit: Circuit) -> None:
    """Refuse a dive on open circuit none of whose gases can have been breathed at its depth.

    Parameters
    ----------
    mixes
        The gases that the log names; none is no fault.
    greatest
        The greatest depth.
    circuit
        The circuit: on a closed one the gas breathed is not that of a cylinder.

    Raises
    ------
    InputError
        If the least oxygen among them is over `IMPOSSIBLE_PPO2_BAR` there, in fresh water.
    """
    if not mixes or circuit is Circuit.CLOSED:
        return
    least = min(mixes, key=lambda mix: mix.o2)
    pressure_bar = oxygen_pressure(least, greatest.metres, _FRESH)
    if pressure_bar > IMPOSSIBLE_PPO2_BAR:
        raise InputError(
            f"{least} at {greatest} would be {pressure_bar:.1f} bar of oxygen: nobody breathed it"
            " there",
            where="gas",
            right="the bottom gas as well, or no gas",
        )


def impossible_speed(minutes: float, greatest: LoggedDepth) -> None:
    """Refuse a dive in which nobody could have gone down and come up again.

    Parameters
    ----------
    minutes
        How long it took [min].
    greatest
        The greatest depth.

    Raises
    ------
    InputError
        If the mean speed down and up would be over `IMPOSSIBLE_M_PER_MIN`.
    """
    way_m = 2.0 * greatest.metres
    if 0.0 < minutes < way_m / IMPOSSIBLE_M_PER_MIN:
        raise InputError(
            f"{greatest} and back in {minutes:.3g} min would be {way_m / minutes:.0f} m/min",
            where="duration",
            right="minutes and seconds not mistaken for each other",
        )
