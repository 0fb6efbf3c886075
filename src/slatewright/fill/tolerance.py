"""How far a mix may be from what was asked for."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far an analysis may be from the mix asked for.

    Parameters
    ----------
    o2, he
        Mole fractions; a point of oxygen and two of helium are common practice, no published
        source [-].
    """

    o2: float = 0.01
    he: float = 0.02

    def __post_init__(self) -> None:
        if not (0.0 < self.o2 <= 0.1 and 0.0 < self.he <= 0.1):
            raise InputError(
                f"a tolerance of {self.o2 * 100:g} points of oxygen and {self.he * 100:g} of "
                "helium is none",
                where="tolerance",
                right="above 0, up to 10 points; 1 and 2 are common",
            )

    def around(self, mix: Mixture) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return between which fractions a mix is accepted.

        Parameters
        ----------
        mix
            What was asked for.

        Returns
        -------
        tuple
            Lowest oxygen and helium, then highest, none beyond what can be [-].
        """
        low = (max(0.0, mix.o2 - self.o2), max(0.0, mix.he - self.he))
        high = (min(1.0, mix.o2 + self.o2), min(1.0, mix.he + self.he))
        return low, high

    def holds(self, o2_off: float, he_off: float) -> bool:
        """Return whether both differences are within it.

        Parameters
        ----------
        o2_off, he_off
            Differences of the mole fractions [-].
        """
        slack = 1e-9
        return abs(o2_off) <= self.o2 + slack and abs(he_off) <= self.he + slack
