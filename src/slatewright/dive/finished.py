"""A finished dive: the plan, its legs, and what they do to the diver."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

from slatewright.decompression.ceiling import ceiling_of
from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import OxygenDose
from slatewright.decompression.second_check import Verdict
from slatewright.decompression.tissues import Tissues
from slatewright.dive.plan import Plan
from slatewright.dive.travel import SwitchWindow


@dataclass(frozen=True)
class Finished:
    """A finished dive, before it is judged for hazards.

    Parameters
    ----------
    plan
        What was wanted.
    legs
        From the surface to the surface, contiguous in time and depth.
    first_stop_m
        The first stop [m]; None if there is none.
    switches
        The changes of gas on the way down.
    start, end
        Tensions at the start and on surfacing.
    oxygen_after_leg
        Oxygen exposure at the end of each leg, with what was carried in.
    verdict
        What the second check says.
    """

    plan: Plan
    legs: tuple[Leg, ...]
    first_stop_m: float | None
    switches: tuple[SwitchWindow, ...]
    start: Tissues
    end: Tissues
    oxygen_after_leg: tuple[OxygenDose, ...]
    verdict: Verdict

    def parts(self) -> dict[str, Any]:
        """Return the fields by name, as they are."""
        return {field.name: getattr(self, field.name) for field in fields(Finished)}

    @property
    def runtime_min(self) -> float:
        """Run time at the surface [min]."""
        return self.legs[-1].end_min

    def depth_at(self, at_min: float) -> float:
        """Return the depth at a run time [m].

        Parameters
        ----------
        at_min
            The run time [min].
        """
        leg = next((leg for leg in self.legs if at_min <= leg.end_min), self.legs[-1])
        share = min(1.0, max(0.0, (at_min - leg.start_min) / leg.minutes))
        return leg.from_m + (leg.to_m - leg.from_m) * share

    @property
    def bottom_left_min(self) -> float:
        """Run time at which the last stay is left [min]."""
        return self.plan.levels[-1].leave_at_min

    @property
    def oxygen(self) -> OxygenDose:
        """Oxygen exposure on surfacing, with what was carried in."""
        return self.oxygen_after_leg[-1]

    @cached_property
    def ceiling(self) -> tuple[tuple[float, float], ...]:
        """Pairs of run time [min] and ceiling [m] along the dive."""
        return ceiling_of(
            self.legs, self.plan.settings, self.plan.water, self.start, self.first_stop_m
        )
