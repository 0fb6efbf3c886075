"""The gas of a closed circuit: one formula for each thing that happens to it.

Between two moments the setpoint, the rate of depth and the oxygen used up are constant. All follow
from three balances: of oxygen, of inert gas, and of the volume, which is held.
"""

from __future__ import annotations

import math
from typing import Final

from slatewright.physics.constants import (
    GAS_CONSTANT_J_PER_MOL_K,
    PASCAL_PER_BAR,
    STANDARD_ATMOSPHERE_BAR,
    ZERO_CELSIUS_K,
)
from slatewright.physics.symbols import TEMPERATURE_K
from slatewright.sources import Symbol, formula

_LITRES_PER_M3: Final = 1000.0
_BALANCE: Final = "the balance of oxygen, inert gas and volume over the loop, by calculus"
_VALID: Final = "gas well mixed, constant volume; breathing pressures, where gas is ideal to 0.5 %"
_SETPOINT: Final = Symbol("s", "bar", "setpoint", 0.1, 1.6)


@formula(
    name="metabolic-oxygen",
    title="Oxygen that a diver uses up",
    equation="n = V_O2·t·101325 / 1000 / (8.314463·273.15)",
    result=Symbol("n", "mol", "amount of oxygen"),
    symbols={
        "oxygen_l_per_min": Symbol("V_O2", "L/min", "oxygen used up, dry, 0 degC, 1 atm", 0.0, 6.0),
        "minutes": Symbol("t", "min", "time", 0.0),
    },
    source=("ideal gas law with [CODATA2018]",),
    valid="figures stated dry at 0 degC and 1 atm, as physiologists state them; a figure stated at "
    "20 degC or wet is less oxygen, so that it is taken for more here",
)
def metabolic_oxygen_mol(oxygen_l_per_min: float, minutes: float) -> float:
    """Return the oxygen that a diver uses up.

    Parameters
    ----------
    oxygen_l_per_min
        Oxygen used up, dry at 0 degC and 1.01325 bar [L/min].
    minutes
        Time [min].

    Returns
    -------
    float
        Amount [mol].
    """
    cubic_metres = oxygen_l_per_min * minutes / _LITRES_PER_M3
    pascal = STANDARD_ATMOSPHERE_BAR * PASCAL_PER_BAR
    return pascal * cubic_metres / (GAS_CONSTANT_J_PER_MOL_K * ZERO_CELSIUS_K)


@formula(
    name="loop-amount-per-bar",
    title="Amount of gas in a loop for each bar of a partial pressure",
    equation="c = 100000·V / 1000 / (8.314463·T)",
    result=Symbol("c", "mol/bar", "amount for each bar"),
    symbols={
        "volume_l": Symbol("V", "L", "gas in loop and lungs", 0.0),
        "temperature_k": TEMPERATURE_K,
    },
    source=("ideal gas law with [CODATA2018]",),
    valid="breathing pressures, where gas is ideal to about 0.5 %",
)
def loop_mol_per_bar(volume_l: float, temperature_k: float) -> float:
    """Return the amount of gas in a loop for each bar of a partial pressure.

    Parameters
    ----------
    volume_l
        Gas in loop and lungs [L].
    temperature_k
        Temperature of the water [K].

    Returns
    -------
    float
        Amount for each bar [mol/bar].
    """
    cubic_metres = volume_l / _LITRES_PER_M3
    return PASCAL_PER_BAR * cubic_metres / (GAS_CONSTANT_J_PER_MOL_K * temperature_k)


@formula(
    name="diluent-for-inert",
    title="Diluent that brings an amount of inert gas into a loop",
    equation="n = n_i / (1 - f_O2)",
    result=Symbol("n", "mol", "amount of diluent"),
    symbols={
        "inert_mol": Symbol("n_i", "mol", "inert gas that is lacking", 0.0),
        "diluent_o2": Symbol("f_O2", "-", "mole fraction of oxygen in the diluent", 0.0, 0.98),
    },
    source=(_BALANCE,),
    valid=_VALID,
)
def diluent_for_inert_mol(inert_mol: float, diluent_o2: float) -> float:
    """Return the diluent that brings an amount of inert gas.

    Parameters
    ----------
    inert_mol
        Inert gas that is lacking [mol].
    diluent_o2
        Mole fraction of oxygen in the diluent [-].

    Returns
    -------
    float
        Amount of diluent [mol].
    """
    return inert_mol / (1.0 - diluent_o2)


@formula(
    name="oxygen-vented-at-setpoint",
    title="Oxygen vented on an ascent at a setpoint",
    equation="n = c·s·ln((p_1 - s) / (p_2 - s))",
    result=Symbol("n", "mol", "amount of oxygen vented"),
    symbols={
        "mol_per_bar": Symbol("c", "mol/bar", "amount in the loop for each bar", 0.0),
        "setpoint_bar": _SETPOINT,
        "from_bar": Symbol("p_1", "bar", "ambient pressure at the start", 0.4, 25.0),
        "to_bar": Symbol(
            "p_2", "bar", "ambient pressure at the end, above the setpoint", 0.4, 25.0
        ),
    },
    source=(_BALANCE,),
    valid=_VALID,
)
def oxygen_vented_mol(
    mol_per_bar: float, setpoint_bar: float, from_bar: float, to_bar: float
) -> float:
    """Return the oxygen that is vented on an ascent while the setpoint is held.

    Parameters
    ----------
    mol_per_bar
        Amount in the loop for each bar [mol/bar].
    setpoint_bar
        The setpoint [bar].
    from_bar, to_bar
        Ambient pressure at the start and the end, both above the setpoint [bar].

    Returns
    -------
    float
        Amount; with it goes all inert gas that has no more room, c (p_1 - p_2) [mol].
    """
    return (
        mol_per_bar * setpoint_bar * math.log((from_bar - setpoint_bar) / (to_bar - setpoint_bar))
    )


@formula(
    name="oxygen-flush",
    title="Oxygen added to raise the ppO2 at one depth",
    equation="n = N·ln(i_1 / i_2)",
    result=Symbol("n", "mol", "amount of oxygen added, and of mixed gas vented"),
    symbols={
        "loop_mol": Symbol("N", "mol", "gas in the loop", 0.0),
        "inert_before_mol": Symbol("i_1", "mol", "inert gas in it before", 0.0),
        "inert_after_mol": Symbol("i_2", "mol", "inert gas in it afterwards", 0.0),
    },
    source=(_BALANCE,),
    valid=_VALID,
)
def oxygen_flush_mol(loop_mol: float, inert_before_mol: float, inert_after_mol: float) -> float:
    """Return the oxygen that is added to a full loop to raise its ppO2.

    Parameters
    ----------
    loop_mol
        Gas in the loop [mol].
    inert_before_mol, inert_after_mol
        Inert gas in it before and afterwards [mol].

    Returns
    -------
    float
        Amount; as much mixed gas is vented [mol].
    """
    return loop_mol * math.log(inert_before_mol / inert_after_mol)


@formula(
    name="inert-after-venting",
    title="Inert gas in a loop after an ascent on which nothing is added",
    equation="i_2 = i_1·(N_2 / N_1)^(v / (v + m))",
    result=Symbol("i_2", "mol", "inert gas at the end"),
    symbols={
        "inert_mol": Symbol("i_1", "mol", "inert gas at the start", 0.0),
        "before_mol": Symbol("N_1", "mol", "all gas at the start", 0.0),
        "after_mol": Symbol("N_2", "mol", "all gas at the end", 0.0),
        "vented_mol_per_min": Symbol("v", "mol/min", "mixed gas vented in a minute", 0.0),
        "used_mol_per_min": Symbol("m", "mol/min", "oxygen used up in a minute", 0.0),
    },
    source=(_BALANCE,),
    valid=_VALID,
)
def inert_after_venting_mol(
    inert_mol: float,
    before_mol: float,
    after_mol: float,
    vented_mol_per_min: float,
    used_mol_per_min: float,
) -> float:
    """Return the inert gas that stays in a loop on an ascent on which nothing is added.

    Parameters
    ----------
    inert_mol
        Inert gas at the start [mol].
    before_mol, after_mol
        All gas at the start and at the end [mol].
    vented_mol_per_min
        Mixed gas vented in a minute [mol/min].
    used_mol_per_min
        Oxygen used up in a minute [mol/min].

    Returns
    -------
    float
        Amount [mol].
    """
    share = vented_mol_per_min / (vented_mol_per_min + used_mol_per_min)
    return inert_mol * math.pow(after_mol / before_mol, share)
