"""The kinds of gas that a rule names, and how much helium and oxygen it asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.mixture import AIR_O2, Mixture

TRACE: Final = 0.005
"""Half a percent: less of a gas is a trace that nobody asked for, and air is within it [-]."""
_SLACK: Final = 1e-9
_PERCENT: Final = 100.0


class GasKind(StrEnum):
    """What the trade calls a breathing gas."""

    AIR = "air"
    NITROX = "nitrox"
    OXYGEN = "oxygen"
    TRIMIX = "trimix"
    HELIOX = "heliox"


def kind_of(mix: Mixture) -> GasKind:
    """Return the kind of a mixture.

    Parameters
    ----------
    mix
        The mixture.

    Returns
    -------
    GasKind
        Air within half a percent of 21 % oxygen, as analysed; with helium trimix, or heliox if
        no nitrogen was meant to be in it; oxygen if nothing else was; nitrox is the rest.
    """
    if mix.he >= TRACE:
        return GasKind.TRIMIX if mix.n2 >= TRACE else GasKind.HELIOX
    if mix.o2 > 1.0 - TRACE:
        return GasKind.OXYGEN
    return GasKind.AIR if abs(mix.o2 - AIR_O2) <= TRACE + _SLACK else GasKind.NITROX


@dataclass(frozen=True, slots=True, kw_only=True)
class GasWanted:
    """A gas of which a rule speaks: one mixture has to be all of it.

    Parameters
    ----------
    kinds
        Any of these; empty for any gas.
    he_least, he_most, o2_least, o2_most
        The bounds, which count as inside [-].

    Raises
    ------
    InputError
        If no gas can be so.
    """

    kinds: tuple[GasKind, ...] = ()
    he_least: float = 0.0
    he_most: float = 1.0
    o2_least: float = 0.0
    o2_most: float = 1.0

    def __post_init__(self) -> None:
        if self.he_least > self.he_most or self.o2_least > self.o2_most:
            raise InputError("at least is more than at most", right="the smaller one first")
        if self.he_least + self.o2_least > 1.0 + _SLACK:
            raise InputError("no gas has so much of both", right="100 % at most")

    def short_of(self, mix: Mixture) -> float | None:
        """Return by how much a mixture misses the bounds at worst [-].

        Parameters
        ----------
        mix
            The mixture.

        Returns
        -------
        float or None
            The share; 0 if it is what is wanted; None if it is of another kind.
        """
        if self.kinds and kind_of(mix) not in self.kinds:
            return None
        if self.he_least <= mix.he <= self.he_most and self.o2_least <= mix.o2 <= self.o2_most:
            return 0.0
        worst = max(self.he_least - mix.he, mix.he - self.he_most,
                    self.o2_least - mix.o2, mix.o2 - self.o2_most)  # fmt: skip
        return worst if worst > _SLACK else 0.0

    def __str__(self) -> str:
        words = " or ".join(self.kinds) or "a gas"
        bounds = [
            f"{sign} {share * _PERCENT:g} % {name}"
            for name, least, most in (
                ("helium", self.he_least, self.he_most), ("oxygen", self.o2_least, self.o2_most)
            )
            for sign, share, plain in (("at least", least, 0.0), ("at most", most, 1.0))
            if share != plain
        ]  # fmt: skip
        return f"{words} with {' and '.join(bounds)}" if bounds else words
