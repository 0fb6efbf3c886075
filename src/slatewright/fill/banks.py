"""Finite sources: a bank of cylinders, emptied by letting pressures become equal, or boosted.

The best order is a cascade: the cylinder of the bank with the least pressure that still flows comes
first, so that high pressure is kept for where nothing else will do (held against every other order
in the tests). A booster then takes what no longer flows by itself, within its limits. Bank and room
have one temperature; transfers are slow enough to keep it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from slatewright.errors import InputError
from slatewright.fill.booster import Booster, booster_limit_bar
from slatewright.fill.state import (
    REFERENCE_K,
    mol_to_reach,
    plus,
    pressure_of,
    root,
)
from slatewright.physics.amount import Amount, Gas
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.real_gas import free_litres

_ENOUGH: Final = 1e-10  # of what is asked for: what is missing then is rounding
_NO_FLOW_BAR: Final = 1e-9


@dataclass(frozen=True, slots=True)
class BankCylinder:
    """One cylinder of a bank.

    Parameters
    ----------
    label
        How it is called, unique in its bank.
    water_volume_l
        Water volume [L].
    amount_mol
        What it holds [mol].
    """

    label: str
    water_volume_l: float
    amount_mol: float


@dataclass(frozen=True, slots=True)
class Bank:
    """Cylinders of one gas.

    Parameters
    ----------
    gas
        What is in all of them.
    cylinders
        At least one.
    temperature_k
        Temperature of bank and room [K].
    surface_bar
        Ambient pressure, above which gauges count [bar].
    """

    gas: Gas
    cylinders: tuple[BankCylinder, ...]
    temperature_k: float = REFERENCE_K
    surface_bar: float = STANDARD_ATMOSPHERE_BAR

    @property
    def amount_mol(self) -> float:
        """What all of them hold together [mol]."""
        return sum(cylinder.amount_mol for cylinder in self.cylinders)

    @property
    def free_l(self) -> float:
        """The same as free gas [L]."""
        return free_litres(self.gas, self.amount_mol)

    def pressure_bar(self, index: int) -> float:
        """Return the absolute pressure of one cylinder [bar].

        Parameters
        ----------
        index
            Which, counted from 0.
        """
        cylinder = self.cylinders[index]
        return self._pressure_bar(index, cylinder.amount_mol)

    def gauges_bar(self) -> tuple[float, ...]:
        """Return what the gauges of the cylinders show [bar]."""
        pressures = (self.pressure_bar(i) for i in range(len(self.cylinders)))
        return tuple(pressure - self.surface_bar for pressure in pressures)

    def _pressure_bar(self, index: int, amount_mol: float) -> float:
        contents = plus(None, self.gas, amount_mol)
        return pressure_of(contents, self.cylinders[index].water_volume_l, self.temperature_k)

    def without(self, index: int, amount_mol: float) -> Bank:
        """Return the bank after so much has left one cylinder.

        Parameters
        ----------
        index
            Which, counted from 0.
        amount_mol
            How much [mol].
        """
        cylinders = list(self.cylinders)
        left_mol = max(0.0, cylinders[index].amount_mol - amount_mol)
        cylinders[index] = replace(cylinders[index], amount_mol=left_mol)
        return replace(self, cylinders=tuple(cylinders))


def bank_of(
    gas: Gas,
    sizes: Iterable[tuple[str, float, float]],
    temperature_k: float = REFERENCE_K,
    surface_bar: float = STANDARD_ATMOSPHERE_BAR,
) -> Bank:
    """Return a bank from what its gauges show.

    Parameters
    ----------
    gas
        What is in it.
    sizes
        Label, water volume [L] and pressure on the gauge [bar] of each cylinder.
    temperature_k
        Temperature of bank and room [K].
    surface_bar
        Ambient pressure, above which gauges count [bar].

    Returns
    -------
    Bank
        The bank.

    Raises
    ------
    InputError
        If there is no cylinder, a label occurs twice, or a size or pressure is none.
    """
    cylinders = []
    for label, volume_l, gauge_bar in sizes:
        if not (0.0 < volume_l < math.inf and gauge_bar >= 0.0):
            raise InputError(
                f"a bank cylinder of {volume_l:g} L at {gauge_bar:g} bar is none",
                where=label,
                right="water volume in litres and pressure on the gauge in bar, such as 50 and 200",
            )
        pressure_bar = gauge_bar + surface_bar
        amount_mol = mol_to_reach(None, gas, volume_l, temperature_k, pressure_bar)
        cylinders.append(BankCylinder(label, volume_l, amount_mol))
    labels = [cylinder.label for cylinder in cylinders]
    if not cylinders or len(set(labels)) < len(labels):
        raise InputError(
            "a bank needs cylinders, each with a name of its own",
            where="bank",
            right="such as helium A and helium B",
        )
    return Bank(gas, tuple(cylinders), temperature_k, surface_bar)


@dataclass(frozen=True, slots=True)
class Move:
    """What one cylinder of a bank gave.

    Parameters
    ----------
    cylinder
        Its label.
    amount_mol
        How much [mol].
    boosted
        Whether through the booster.
    receiver_pressure_bar, cylinder_pressure_bar
        Absolute pressures after it, in the cylinder filled and in that of the bank [bar].
    """

    cylinder: str
    amount_mol: float
    boosted: bool
    receiver_pressure_bar: float
    cylinder_pressure_bar: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """A bank and what was drawn from it.

    Parameters
    ----------
    bank
        The bank afterwards.
    contents
        What is in the cylinder that was filled.
    moves
        What each cylinder of the bank gave, in order.
    short_mol
        What could not be given [mol].
    """

    bank: Bank
    contents: Amount | None
    moves: tuple[Move, ...]
    short_mol: float

    @property
    def enough(self) -> bool:
        """Whether all that was asked for was given."""
        return self.short_mol == 0.0


def draw(
    bank: Bank,
    contents: Amount | None,
    volume_l: float,
    temperature_k: float,
    amount_mol: float,
    *,
    booster: Booster | None = None,
    order: Iterable[int] | None = None,
) -> Drawn:
    """Fill a cylinder from a bank: first what flows by itself, then what the booster takes.

    Parameters
    ----------
    bank
        The bank.
    contents
        What is in the cylinder to be filled; None for a vacuum.
    volume_l
        Its water volume [L].
    temperature_k
        Its temperature, each time the flow has ended [K].
    amount_mol
        How much is to go in [mol].
    booster
        The booster; None if there is none.
    order
        Positions of the bank's cylinders, first to be opened first; None for the cascade, from the
        least pressure up.

    Returns
    -------
    Drawn
        The bank afterwards, and what is missing.
    """
    moves: list[Move] = []
    missing_mol = amount_mol
    passes = (None,) if booster is None else (None, booster)
    for pump in passes:
        ranked = _cascade(bank) if order is None else tuple(order)
        for index in ranked:
            if missing_mol <= _ENOUGH * amount_mol:
                break
            given_mol = _flow_mol(bank, index, contents, volume_l, temperature_k, missing_mol, pump)
            if given_mol > _ENOUGH * amount_mol:
                contents = plus(contents, bank.gas, given_mol)
                bank = bank.without(index, given_mol)
                missing_mol -= given_mol
                moves.append(
                    Move(
                        bank.cylinders[index].label,
                        given_mol,
                        pump is not None,
                        pressure_of(contents, volume_l, temperature_k),
                        bank.pressure_bar(index),
                    )
                )
    short_mol = missing_mol if missing_mol > _ENOUGH * amount_mol else 0.0
    return Drawn(bank, contents, tuple(moves), short_mol)


def _cascade(bank: Bank) -> tuple[int, ...]:
    return tuple(sorted(range(len(bank.cylinders)), key=bank.pressure_bar))


def _flow_mol(
    bank: Bank,
    index: int,
    contents: Amount | None,
    volume_l: float,
    temperature_k: float,
    wanted_mol: float,
    pump: Booster | None,
) -> float:
    """Return what a cylinder of a bank can give, at most what is wanted."""
    held_mol = bank.cylinders[index].amount_mol

    def excess_bar(given_mol: float) -> float:
        supply_bar = bank._pressure_bar(index, held_mol - given_mol)  # noqa: SLF001 - its own module
        reached_bar = pressure_of(plus(contents, bank.gas, given_mol), volume_l, temperature_k)
        return reached_bar - _reach_bar(supply_bar, bank.surface_bar, pump)

    most_mol = min(wanted_mol, held_mol)
    if pump is not None:
        lowest_bar = pump.lowest_inlet_gauge_bar + bank.surface_bar
        least = Amount.of(bank.gas, 1.0)
        kept_mol = mol_to_reach(
            None, least, bank.cylinders[index].water_volume_l, bank.temperature_k, lowest_bar
        )
        most_mol = min(most_mol, held_mol - kept_mol)
    if most_mol <= 0.0:
        return 0.0
    at_start_bar = excess_bar(0.0)
    if at_start_bar >= -_NO_FLOW_BAR:
        return 0.0
    if excess_bar(most_mol) <= 0.0:
        return most_mol
    return root(excess_bar, 0.0, at_start_bar, 0.5 * most_mol, most_mol)


def _reach_bar(supply_bar: float, surface_bar: float, pump: Booster | None) -> float:
    if pump is None:
        return supply_bar
    highest_bar = pump.highest_outlet_gauge_bar + surface_bar
    return booster_limit_bar(supply_bar, pump.highest_ratio, highest_bar)
