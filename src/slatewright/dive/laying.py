"""Planned legs while they are being laid: where the diver is, and when."""

from __future__ import annotations

import math
from typing import Final

from slatewright.decompression.leg import LegKind
from slatewright.decompression.planned import PlannedLeg
from slatewright.dive import say
from slatewright.dive.plan import Level, Plan
from slatewright.errors import NoSafeAnswer, Reason

_NEAR_MIN: Final = 1e-6


class Laying:
    """The legs while they are being laid; gases by the numbers that the solver gives them.

    Parameters
    ----------
    plan
        The plan, for its rates.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self.legs: list[PlannedLeg] = []
        self.depth_m = 0.0
        self.now_min = 0.0

    def lay(
        self, kind: LegKind, to_m: float, minutes: float, gas: int, *, switching: bool = False
    ) -> None:
        """Lay one leg; a leg without length is none.

        Parameters
        ----------
        kind
            What the diver does.
        to_m
            Where it ends [m].
        minutes
            Its length [min].
        gas
            What is breathed.
        switching
            True for the minutes of a change of gas.
        """
        if minutes > _NEAR_MIN:
            self.legs.append(
                PlannedLeg(kind, self.depth_m, to_m, minutes, gas, switching=switching)
            )
            self.now_min += minutes
        self.depth_m = to_m

    def move(self, to_m: float, gas: int) -> None:
        """Go down or up to a depth at the plan's rate.

        Parameters
        ----------
        to_m
            The depth [m].
        gas
            What is breathed.
        """
        way_m = to_m - self.depth_m
        if way_m >= 0.0:
            self.lay(LegKind.DESCENT, to_m, way_m / self._plan.descent_m_per_min, gas)
        else:
            rate_m_per_min = self._plan.settings.to_first_stop_m_per_min
            self.lay(LegKind.ASCENT, to_m, -way_m / rate_m_per_min, gas)

    def change(self, left: int) -> None:
        """Change gas here; meanwhile the gas being left is breathed.

        Parameters
        ----------
        left
            The gas being left.
        """
        minutes = self._plan.settings.switch_min
        self.lay(LegKind.STOP, self.depth_m, minutes, left, switching=True)

    def stay(self, level: Level, gas: int) -> None:
        """Stay until the level is to be left.

        Parameters
        ----------
        level
            Where the diver is.
        gas
            What is breathed.

        Raises
        ------
        NoSafeAnswer
            If it should have been left already.
        """
        left_min = level.leave_at_min - self.now_min
        changed = bool(self.legs) and self.legs[-1].switching and left_min <= _NEAR_MIN
        if left_min < -_NEAR_MIN or changed:
            reached = "is reached, and the gas changed there," if changed else "is reached"
            raise NoSafeAnswer(
                Reason(
                    f"{say.depth(level.depth_m, self._plan.units)} {reached} at "
                    f"{self.now_min:.1f} min of run time, and is to be left at "
                    f"{level.leave_at_min:g} min",
                    f"leave it at {math.floor(self.now_min + _NEAR_MIN) + 1:g} min or later",
                )
            )
        self.lay(LegKind.BOTTOM, level.depth_m, left_min, gas)
