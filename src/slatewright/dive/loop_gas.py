"""What is breathed from a loop at a depth, as a mixture."""

from __future__ import annotations

from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water
from slatewright.sources import Symbol, formula

_NO_INERT = 1e-9


@formula(
    name="loop-inert-fraction",
    title="Share of one inert gas in a closed circuit",
    equation="f = (1 - p_O2 / p)·f_dil / (1 - f_O2)",
    result=Symbol("f", "-", "mole fraction of the gas in the loop"),
    symbols={
        "ppo2_bar": Symbol("p_O2", "bar", "ppO2 in the loop", 0.0, 1.7),
        "ambient_bar": Symbol("p", "bar", "ambient pressure", 0.4, 25.0),
        "diluent_share": Symbol("f_dil", "-", "mole fraction of the gas in the diluent", 0.0, 1.0),
        "diluent_o2": Symbol("f_O2", "-", "mole fraction of oxygen in the diluent", 0.0, 0.99),
    },
    source=("Dalton's law",),
    valid="a loop in which nothing but oxygen and diluent is added",
)
def loop_share(
    ppo2_bar: float, ambient_bar: float, diluent_share: float, diluent_o2: float
) -> float:
    """Return the mole fraction of an inert gas in a loop.

    Parameters
    ----------
    ppo2_bar
        ppO2 in the loop [bar].
    ambient_bar
        Ambient pressure [bar].
    diluent_share
        Mole fraction of the gas in the diluent [-].
    diluent_o2
        Mole fraction of oxygen in the diluent [-].

    Returns
    -------
    float
        Mole fraction [-].
    """
    return (1.0 - ppo2_bar / ambient_bar) * diluent_share / (1.0 - diluent_o2)


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
