"""What is breathed from a loop at a depth, as a mixture."""

from __future__ import annotations

from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.decompression.oxygen_loop import loop_share
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water

_NO_INERT = 1e-9


def breathed_mix(leg: Leg, at_m: float, water: Water) -> Mixture:
    """Return what is breathed at a depth of a leg.

    Parameters
    ----------
    leg
        The leg.
    at_m
        The depth [m].
    water
        Pressure under water.

    Returns
    -------
    Mixture
        Its gas; on a closed circuit what oxygen and diluent make there.
    """
    if leg.setpoint_bar is None:
        return leg.gas
    ambient_bar = water.ambient_bar(at_m)
    held_bar = ppo2_bar(leg, at_m, water)
    oxygen = min(1.0, held_bar / ambient_bar)
    if 1.0 - oxygen <= _NO_INERT or 1.0 - leg.gas.o2 <= _NO_INERT:
        return Mixture(1.0)
    helium = loop_share(held_bar, ambient_bar, leg.gas.he, leg.gas.o2)
    return Mixture(oxygen, min(helium, 1.0 - oxygen))
