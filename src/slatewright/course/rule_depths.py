"""A depth of a rule: metres and feet as a pair, of which the log's own unit decides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.logged import DepthUnit, LoggedDepth
from slatewright.physics.units import feet_from_m, m_from_feet

ROUNDED_FT: Final = 5.0
"""The trade prints feet in tens, so that a pair may be half a ten apart [ft] ..."""
ROUNDED_SHARE: Final = 0.1
"""... but never by more than this share of the depth, which matters for shallow ones [-]."""
FEET_PER_METRE_OF_THE_TRADE: Final = 10.0 / 3.0
"""10 ft are called 3 m, and 400 ft so 120 m [ft/m]."""
PAIR_TOLERANCE: Final = "5 ft, or a tenth of a shallow depth, or 10 ft called 3 m"
"""The tolerance in words, as it is stated beside a pair that exceeds it."""
_SLACK: Final = 1e-6


@dataclass(frozen=True, slots=True)
class DepthPair:
    """One depth in both units, as a rule prints it.

    Parameters
    ----------
    metres
        For dives logged in metres [m].
    feet
        For dives logged in feet [ft].

    Raises
    ------
    InputError
        If one of them is not above zero.
    """

    metres: float
    feet: float

    def __post_init__(self) -> None:
        if not (self.metres > 0.0 and self.feet > 0.0):
            raise InputError(f"{self} is no depth of a rule", right="30 m with 100 ft")

    def __str__(self) -> str:
        return f"{self.metres:g} m / {self.feet:g} ft"

    def within(self, unit: DepthUnit) -> float:
        """Return the value for dives logged in a unit [m or ft].

        Parameters
        ----------
        unit
            The unit of the log.
        """
        return self.feet if unit is DepthUnit.FEET else self.metres

    @property
    def agrees(self) -> bool:
        """Whether both values mean the same depth, but for the rounding of the trade."""
        exact_ft = feet_from_m(self.metres)
        allowed_ft = min(ROUNDED_FT, ROUNDED_SHARE * exact_ft)
        rough_ft = self.metres * FEET_PER_METRE_OF_THE_TRADE
        return abs(self.feet - exact_ft) <= allowed_ft or abs(self.feet - rough_ft) <= _SLACK

    @property
    def note(self) -> str:
        """What is to be said of a pair that disagrees, a sentence; empty if it agrees."""
        if self.agrees:
            return ""
        return (
            f"The two values of {self} disagree: {self.feet:g} ft is "
            f"{m_from_feet(self.feet):.1f} m, and {self.metres:g} m is "
            f"{feet_from_m(self.metres):.0f} ft, more than ordinary rounding ({PAIR_TOLERANCE}). "
            "Each depth is judged by the value in the unit in which it was logged."
        )

    def reached_by(self, depth: LoggedDepth) -> bool:
        """Return whether a depth is this one or beyond, in the unit in which it was logged.

        Parameters
        ----------
        depth
            The depth.
        """
        return depth.value >= self.within(depth.unit)

    def exceeded_by(self, depth: LoggedDepth) -> bool:
        """Return whether a depth is beyond this one, in the unit in which it was logged.

        Parameters
        ----------
        depth
            The depth.
        """
        return depth.value > self.within(depth.unit)


def other_unit(depth: LoggedDepth) -> tuple[float, DepthUnit]:
    """Return a logged depth in the unit in which it was not logged [ft or m].

    Parameters
    ----------
    depth
        The depth.
    """
    if depth.unit is DepthUnit.FEET:
        return m_from_feet(depth.value), DepthUnit.METRES
    return feet_from_m(depth.value), DepthUnit.FEET
