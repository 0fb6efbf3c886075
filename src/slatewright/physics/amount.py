"""Amounts of gas in moles: what a cylinder holds, and pure gases that nobody breathes alone."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Protocol, Self

from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture


class Gas(Protocol):
    """Whatever has mole fractions: a `Mixture`, an `Amount`."""

    @property
    def o2(self) -> float:
        """Mole fraction of oxygen [-]."""

    @property
    def he(self) -> float:
        """Mole fraction of helium [-]."""


@dataclass(frozen=True, slots=True)
class Amount:
    """Moles of oxygen, helium and nitrogen, any of them zero but not all.

    Parameters
    ----------
    o2_mol, he_mol, n2_mol
        Amounts; argon counts as nitrogen [mol].

    Raises
    ------
    InputError
        If an amount is negative or no number, or there is no gas at all.
    """

    o2_mol: float = 0.0
    he_mol: float = 0.0
    n2_mol: float = 0.0

    def __post_init__(self) -> None:
        amounts = (self.o2_mol, self.he_mol, self.n2_mol)
        if not all(0.0 <= amount < math.inf for amount in amounts) or not sum(amounts) > 0.0:
            raise InputError(
                f"{amounts[0]:g} mol oxygen, {amounts[1]:g} helium, {amounts[2]:g} nitrogen is no "
                "amount of gas",
                right="no amount below zero, and at least one above",
            )

    @classmethod
    def of(cls, gas: Gas, amount_mol: float) -> Self:
        """Return so much of a gas.

        Parameters
        ----------
        gas
            A mixture or pure gas.
        amount_mol
            Amount [mol].
        """
        n2 = max(0.0, 1.0 - gas.o2 - gas.he)
        return cls(gas.o2 * amount_mol, gas.he * amount_mol, n2 * amount_mol)

    @property
    def total_mol(self) -> float:
        """All together [mol]."""
        return self.o2_mol + self.he_mol + self.n2_mol

    @property
    def o2(self) -> float:
        """Mole fraction of oxygen [-]."""
        return self.o2_mol / self.total_mol

    @property
    def he(self) -> float:
        """Mole fraction of helium [-]."""
        return self.he_mol / self.total_mol

    def __add__(self, other: Amount) -> Amount:
        """Return both together, mixed."""
        return Amount(
            self.o2_mol + other.o2_mol, self.he_mol + other.he_mol, self.n2_mol + other.n2_mol
        )

    def mixture(self) -> Mixture:
        """Return the breathing mixture that this is.

        Raises
        ------
        InputError
            If it holds no oxygen.
        """
        return Mixture(self.o2, self.he)


HELIUM: Final = Amount(he_mol=1.0)
"""A mole of pure helium."""
NITROGEN: Final = Amount(n2_mol=1.0)
"""A mole of pure nitrogen."""
