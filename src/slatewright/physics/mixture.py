"""Breathing mixtures and the trade's notation for them: 10/70, EAN50, O2, air."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Final, Self

from slatewright.errors import InputError

_RIGHT: Final = "air, O2, EAN32 (oxygen 32 %), 10/70 (oxygen 10 %, helium 70 %)"
_NUMBER: Final = r"([0-9]{1,3}(?:[.,][0-9]+)?)"
_TRIMIX: Final = re.compile(rf"(?:tx|trimix)?\s*{_NUMBER}\s*%?\s*/\s*{_NUMBER}\s*%?", re.IGNORECASE)
_NITROX: Final = re.compile(rf"(?:eanx?|nx|nitrox)\s*{_NUMBER}\s*%?", re.IGNORECASE)
_PERCENT: Final = re.compile(rf"{_NUMBER}\s*%")
_BARE: Final = re.compile(_NUMBER)
_SLASHES: Final = str.maketrans({"\u2044": "/", "\u2215": "/"})  # fraction and division slash
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
            ``air``, ``O2``, ``EAN50``, ``50%``, ``10/70``, in capitals or not, with spaces or not;
            a decimal point or comma is allowed.

        Returns
        -------
        Mixture
            The mixture.

        Raises
        ------
        InputError
            If the text is none of these, names an impossible mixture, or can be read in two ways:
            a bare ``32`` or ``50``, or fractions where percent belong, as in ``0.21/0.35``.
        """
        word = unicodedata.normalize("NFKC", text).translate(_SLASHES).strip()
        if word.casefold() == "air":
            return cls(AIR_O2)
        if word.casefold() in {"o2", "oxygen"}:
            return cls(1.0)
        for pattern in (_TRIMIX, _NITROX, _PERCENT):
            if match := pattern.fullmatch(word):
                percents = [float(group.replace(",", ".")) for group in match.groups()]
                _refuse_fractions(text, percents)
                return cls(*(percent / 100.0 for percent in percents))
        if _BARE.fullmatch(word):
            raise InputError(
                f"'{text}' does not say what it counts", right=f"EAN{word}, {word}% or {word}/0"
            )
        raise InputError(f"'{text}' is no mixture", right=_RIGHT)

    def __str__(self) -> str:
        """Return the trade's notation, to one decimal where one is needed.

        Numbers are rounded to the nearest tenth of a percent, with three exceptions, so that no mix
        reads as what it is not: only pure oxygen prints as ``O2`` (99.96 % is ``EAN99.9``), only
        exactly 21 % as ``air``, and a trace of helium or oxygen prints as 0.1 and not as nothing.
        Where both numbers round up and would sum to more than 100, helium is rounded down.
        """
        if self.he > 0.0:
            o2_tenths = _tenths(self.o2)
            he_tenths = min(_tenths(self.he), 1000 - o2_tenths)
            return f"{o2_tenths / 10:g}/{he_tenths / 10:g}"
        if self.o2 > 1.0 - _SUM_SLACK:
            return "O2"
        if abs(self.o2 - AIR_O2) < _SUM_SLACK:
            return "air"
        return f"EAN{_tenths(self.o2) / 10:g}"


def _tenths(fraction: float) -> int:
    """Return tenths of a percent, never 0 for a trace and never 1000 for what is not all."""
    return min(max(round(fraction * 1000.0), 1), 999)


def _refuse_fractions(text: str, percents: list[float]) -> None:
    looks_like_fractions = 0.0 < percents[0] < 1.0 and all(percent <= 1.0 for percent in percents)
    if looks_like_fractions:
        hint = "/".join(f"{percent * 100:g}" for percent in percents)
        raise InputError(
            f"'{text}' names less than one percent of oxygen",
            right=f"percent, not fractions: perhaps {hint}",
        )


AIR: Final = Mixture(AIR_O2)
OXYGEN: Final = Mixture(1.0)
