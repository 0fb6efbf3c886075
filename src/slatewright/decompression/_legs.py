"""The solver's rows as legs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression.ladder import AscentGas
from slatewright.decompression.leg import Leg, LegKind

MOST_LEGS: Final = 2048
"""How many legs a dive may have."""
_DIGITS: Final = 9
_KINDS: Final = {
    kernel.DESCENT: LegKind.DESCENT,
    kernel.BOTTOM: LegKind.BOTTOM,
    kernel.ASCENT: LegKind.ASCENT,
    kernel.STOP: LegKind.STOP,
    kernel.SWITCH: LegKind.STOP,
    kernel.PAUSE: LegKind.STOP,
}


def leg_of(row: Sequence[float], gases: Sequence[AscentGas]) -> Leg:
    """Return one leg.

    Parameters
    ----------
    row
        Kind, from and to [m], start and minutes [min], gas.
    gases
        What the rows number.
    """
    kind, from_m, to_m, start_min, minutes, index = row
    gas = gases[int(index)]
    return Leg(
        kind=_KINDS[int(kind)],
        # without the last digits that counting in steps has cost
        from_m=round(from_m, _DIGITS),
        to_m=round(to_m, _DIGITS),
        start_min=start_min,
        minutes=minutes,
        gas=gas.mix,
        setpoint_bar=gas.setpoint_bar,
        switching=kind == kernel.SWITCH,
        pause=kind == kernel.PAUSE,
    )
