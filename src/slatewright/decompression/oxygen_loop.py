"""The formulas of a closed circuit's gas: what ppO2 it can keep, and what else is in it."""

from __future__ import annotations

from slatewright.sources import Symbol, formula


@formula(
    name="loop-ppo2",
    title="ppO2 in a closed circuit",
    equation="p_O2 = max(p_dil, min(p_set, p))",
    result=Symbol("p_O2", "bar", "ppO2 breathed"),
    symbols={
        "diluent_bar": Symbol("p_dil", "bar", "ppO2 of the diluent at this depth", 0.0),
        "ambient_bar": Symbol("p", "bar", "ambient pressure", 0.0),
        "setpoint_bar": Symbol("p_set", "bar", "setpoint", 0.0, 1.6),
    },
    source=("Dalton's law", "common practice, no published source"),
    valid="a loop in which nothing but oxygen and diluent is added; no more than all of the "
    "ambient pressure can be oxygen, and no less than the diluent brings",
)
def loop_ppo2_bar(diluent_bar: float, ambient_bar: float, setpoint_bar: float) -> float:
    """Return the ppO2 that a closed circuit can keep.

    Parameters
    ----------
    diluent_bar
        ppO2 of the diluent at this depth [bar].
    ambient_bar
        Ambient pressure [bar].
    setpoint_bar
        What the circuit is set to [bar].

    Returns
    -------
    float
        The ppO2 breathed [bar].
    """
    return max(diluent_bar, min(setpoint_bar, ambient_bar))


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
