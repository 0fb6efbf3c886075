"""The result: what the grid says of each minute and each failure."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING

import numpy as np

from slatewright.physics.mixture import Mixture

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from slatewright.supply.wayhome.failures import Failure


class Verdict(IntEnum):
    """How a cell ends, the worse the higher."""

    NOT_MEANT = -1
    HOME = 0
    HURRIED = 1
    BEYOND_LIMITS = 2
    HURRIED_BEYOND_LIMITS = 3
    NO_WAY = 4

    @property
    def words(self) -> str:
        """What a sentence says."""
        return _WORDS[self]

    @property
    def is_compromise(self) -> bool:
        """True if there is a way home, but not within all rules."""
        return Verdict.HOME < self < Verdict.NO_WAY


_WORDS = {
    Verdict.NOT_MEANT: "does not apply",
    Verdict.HOME: "gets home",
    Verdict.HURRIED: "gets home with stops cut short",
    Verdict.BEYOND_LIMITS: "gets home breathing beyond the limits",
    Verdict.HURRIED_BEYOND_LIMITS: "gets home breathing beyond the limits, with stops cut short",
    Verdict.NO_WAY: "has no way home",
}


@dataclass(frozen=True, slots=True)
class Scarce:
    """The supply that comes closest to its end.

    Parameters
    ----------
    diver
        Whose it is.
    cylinders
        Its labels.
    mix
        What is in it.
    share
        What is left of what could be breathed at the start of the dive [-].
    free_l
        The same as free gas [L].
    until_min
        Run time at which it is last breathed [min].
    """

    diver: str
    cylinders: tuple[str, ...]
    mix: Mixture
    share: float
    free_l: float
    until_min: float


@dataclass(frozen=True, slots=True)
class Lacking:
    """Gas that nobody has.

    Parameters
    ----------
    mix
        The gas.
    free_l
        How much is lacking, as free gas [L].
    """

    mix: Mixture
    free_l: float


@dataclass(frozen=True, slots=True)
class Cell:
    """One minute of one failure.

    Parameters
    ----------
    failure
        What fails.
    minute, depth_m
        When and where [min], [m].
    verdict
        How it ends.
    diver
        Whom it strikes; of several divers the one who fares worst.
    surfaced_min
        Run time at the surface; None without a way home [min].
    gases
        The gases breathed by that diver on the way.
    shared
        Those of them that come from the others, in part or whole.
    scarce
        The supply that comes closest to its end; None without a way home, or if none is touched.
    over_bar, under_bar
        By how much ppO2 goes over its limit, and below the floor; 0 if within [bar].
    omitted_min
        Minutes by which stops are cut short, at the least; 0 if they are not, None if it cannot
        be told [min].
    gradient_low, gradient_high
        Gradient factors reached; those of the plan if nothing is cut short [-].
    lacking
        What is lacking on the way that needs the least; empty with a way home.
    nothing_from_m, nothing_to_m
        The stretch on which nothing at hand may be breathed; None if gas is only too little [m].
    why
        Why there is no way home, a sentence; empty if there is one.
    """

    failure: Failure
    minute: int
    depth_m: float
    verdict: Verdict
    diver: str
    surfaced_min: float | None = None
    gases: tuple[Mixture, ...] = ()
    shared: tuple[Mixture, ...] = ()
    scarce: Scarce | None = None
    over_bar: float = 0.0
    under_bar: float = 0.0
    omitted_min: float | None = 0.0
    gradient_low: float = 0.0
    gradient_high: float = 0.0
    lacking: tuple[Lacking, ...] = ()
    nothing_from_m: float | None = None
    nothing_to_m: float | None = None
    why: str = ""


@dataclass(frozen=True, eq=False)
class CellArrays:
    """The grid's numbers, each of shape (failures, minutes).

    Parameters
    ----------
    verdict
        A `Verdict` each, as a number.
    struck
        Which diver of the team is struck.
    surfaced_min
        Run time at the surface; not a number without a way home [min].
    share
        The smallest share left of any supply that is breathed from; not a number if none [-].
    scarce_diver, scarce_gas
        Whose supply that is, and of which gas; -1 if none.
    scarce_until_min
        When it is last breathed; not a number if none [min].
    over_bar, under_bar
        By how much ppO2 goes over its limit, and below the floor [bar].
    omitted_min
        Minutes by which stops are cut short, at the least; not a number if it cannot be told
        [min].
    raised
        How far gradient factors are raised towards 100/100, 0 to 1 [-].
    way
        Which of the ways of its failure was taken; -1 for none. Without a way home: the one that
        lacks the least.
    lacking_mol
        Shape (failures, minutes, gases): what is lacking on that way [mol].
    """

    verdict: NDArray[np.int8]
    struck: NDArray[np.int64]
    surfaced_min: NDArray[np.float64]
    share: NDArray[np.float64]
    scarce_diver: NDArray[np.int64]
    scarce_gas: NDArray[np.int64]
    scarce_until_min: NDArray[np.float64]
    over_bar: NDArray[np.float64]
    under_bar: NDArray[np.float64]
    omitted_min: NDArray[np.float64]
    raised: NDArray[np.float64]
    way: NDArray[np.int64]
    lacking_mol: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RowSummary:
    """One failure over the whole dive.

    Parameters
    ----------
    failure
        What fails.
    worst
        The worst cell: of the worst verdict the one with the least left, or the most lacking.
    first_without_min
        The first minute from which there is no way home; None if there always is one [min].
    minutes_without, minutes_compromised
        How many minutes have no way home, or one with a compromise.
    """

    failure: Failure
    worst: Cell
    first_without_min: int | None
    minutes_without: int
    minutes_compromised: int
