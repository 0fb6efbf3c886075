"""Breathing mixtures and the trade's notation for them: 10/70, EAN50, O2, air."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Self

from slatewright.errors import InputError

_RIGHT: Final = "air, O2, EAN32 (oxygen 32 %), 10/70 (oxygen 10 %, helium 70 %)"
_NUMBER: Final = r"(\d{1,3}(?:[.,]\d+)?)"
_TRIMIX: Final = re.compile(rf"^(?:tx|trimix)?\s*{_NUMBER}\s*/\s*{_NUMBER}$", re.IGNORECASE)
_NITROX: Final = re.compile(rf"^(?:ean|nx|nitrox)\s*{_NUMBER}$", re.IGNORECASE)
_PERCENT: Final = re.compile(rf"^{_NUMBER}\s*%$")
_SUM_SLACK: Final = 1e-9

AIR_O2: Final = 0.21
"""Oxygen fraction that the trade calls air; argon counts as nitrogen."""


@dataclass(frozen=True, slots=True)
class Mixture:
    """A breathing mixture; what is neither oxygen nor helium is nitrogen.

    Parameters
    ----------
    o2
        Mole fraction of oxygen, 0 < o2 <= 1 [-].
    he
        Mole fraction of helium, 0 <= he < 1 [-].

    Raises
    ------
    InputError
        If the fractions are out of range or sum to more than one.
    """

    o2: float
    he: float = 0.0

    def __post_init__(self) -> None:
        if not (0.0 < self.o2 <= 1.0 and 0.0 <= self.he < 1.0 and self.o2 + self.he <= 1 + 1e-9):
            raise InputError(
                f"oxygen {self.o2 * 100:g} % with helium {self.he * 100:g} % is no mixture",
                right=_RIGHT,
            )

    @property
    def n2(self) -> float:
        """Mole fraction of nitrogen, argon included [-]."""
        rest = 1.0 - self.o2 - self.he
        return rest if rest > _SUM_SLACK else 0.0

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read the trade's notation.

        Parameters
        ----------
        text
            ``air``, ``O2``, ``EAN50``, ``50%``, ``10/70``; one decimal or more is allowed.

        Returns
        -------
        Mixture
            The mixture.

        Raises
        ------
        InputError
            If the text is none of these, or names an impossible mixture.
        """
        word = text.strip()
        if word.casefold() == "air":
            return cls(AIR_O2)
        if word.casefold() in {"o2", "oxygen"}:
            return cls(1.0)
        for pattern in (_TRIMIX, _NITROX, _PERCENT):
            if match := pattern.match(word):
                percents = [float(group.replace(",", ".")) for group in match.groups()]
                return cls(*(percent / 100.0 for percent in percents))
        raise InputError(f"'{text}' is no mixture", right=_RIGHT)

    def __str__(self) -> str:
        """Return the trade's notation, to one decimal where one is needed."""
        if self.he > 0.0:
            return f"{_percent(self.o2)}/{_percent(self.he)}"
        if self.o2 == 1.0:
            return "O2"
        if abs(self.o2 - AIR_O2) < _SUM_SLACK:
            return "air"
        return f"EAN{_percent(self.o2)}"


def _percent(fraction: float) -> str:
    return f"{round(fraction * 100.0, 1):g}"


AIR: Final = Mixture(AIR_O2)
OXYGEN: Final = Mixture(1.0)
