"""Is there enough: a dive and a team in; every cylinder, reserve, turn, price and hazard out."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.schedule import Schedule
from slatewright.supply.kit import Team
from slatewright.supply.matching import Matched, match
from slatewright.supply.price import BottomMinute, bottom_minute
from slatewright.supply.supply_hazards import supply_hazards


@dataclass(frozen=True)
class Supply(Matched):
    """The gas of a dive with its hazards.

    Parameters
    ----------
    price
        What one more minute costs the plan's diver; None if there is no safe dive with it.
    hazards
        What is not enough, the most severe first.
    """

    price: BottomMinute | None
    hazards: tuple[Hazard, ...]

    @property
    def enough(self) -> bool:
        """True if no hazard is a danger."""
        return all(hazard.severity is not Severity.DANGER for hazard in self.hazards)


def supply_of(schedule: Schedule, team: Team) -> Supply:
    """Return the gas of a dive: every cylinder, what is kept, when to turn, what is not enough.

    Parameters
    ----------
    schedule
        The dive.
    team
        Who goes, with which cylinders.

    Returns
    -------
    Supply
        With its hazards; a dive for which there is not enough is told of, not refused.

    Raises
    ------
    InputError
        If a gas that is breathed is in no cylinder, or a cylinder is filled above its working
        pressure.
    NoSafeAnswer
        If there is no ascent from the end of a stay, delayed by a problem.
    """
    plan, legs = schedule.plan, schedule.legs
    matched = match(plan, legs, team)
    price = bottom_minute(plan, legs, team.divers[0], team.rules, team.water_temperature_k)
    return Supply(**matched.parts(), price=price, hazards=tuple(supply_hazards(matched)))
