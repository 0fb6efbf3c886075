"""Is there enough on a closed circuit: oxygen, diluent, absorbent and each diver's own bailout."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.plan import Plan
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.supply.judged import way_home_hazards
from slatewright.supply.kit import Team
from slatewright.supply.loop_divers import DiverLoop, divers_of
from slatewright.supply.loop_hazards import loop_hazards
from slatewright.supply.wayhome import Grid, way_home

_ORDER: Final = {Severity.DANGER: 0, Severity.WARNING: 1, Severity.NOTE: 2}
NOT_LOOKED_AT: Final = (
    "a closed circuit: what comes of a cylinder in the place of another was not looked at"
)
"""What nobody has looked at."""
_REFUSED: Final = ("no-bailout", "bailout-gas", "loop-gas", "scrubber", "no-way-home")


@dataclass(frozen=True)
class LoopSupply:
    """A dive on a closed circuit with its gas.

    Parameters
    ----------
    schedule
        The dive; its hazards are all that were found, those of the gas among them.
    team
        Who makes it.
    divers
        Each diver's loop, the plan's diver first.
    grid
        The way home from every minute, whatever fails.
    """

    schedule: Schedule
    team: Team
    divers: tuple[DiverLoop, ...]
    grid: Grid

    @property
    def plan(self) -> Plan:
        """The plan of the dive."""
        return self.schedule.plan

    @property
    def deadly(self) -> tuple[Hazard, ...]:
        """Why nobody may dive this: no bailout, or gas or absorbent that ends as planned."""
        return tuple(
            hazard
            for hazard in self.schedule.hazards
            if hazard.code in _REFUSED and hazard.severity is Severity.DANGER
        )

    @property
    def refusal(self) -> NoSafeAnswer | None:
        """The refusal of such a dive, with what cures it; None if there is enough."""
        reasons = [Reason(hazard.text, hazard.cure) for hazard in self.deadly]
        return NoSafeAnswer(*reasons) if reasons else None


def loop_supply(schedule: Schedule, team: Team) -> LoopSupply:
    """Judge the gas of a dive on a closed circuit.

    Parameters
    ----------
    schedule
        The dive.
    team
        Who goes, with which cylinders.

    Returns
    -------
    LoopSupply
        A dive for which there is not enough is told of, not refused: see its ``refusal``.

    Raises
    ------
    InputError
        If the dive is on open circuit, nothing is said of the loop, or a cylinder is filled above
        its working pressure.
    """
    loop = schedule.plan.loop
    if loop is None:
        raise InputError("the dive is on open circuit", right="a plan with a [loop]")
    divers = divers_of(schedule, team, loop)
    grid = way_home(schedule, team)
    own = loop_hazards(schedule, team, divers)
    found = [*schedule.hazards, *own, *way_home_hazards(grid)]
    merged = sorted(found, key=lambda hazard: (_ORDER[hazard.severity], hazard.at_min))
    return LoopSupply(replace(schedule, hazards=tuple(merged)), team, divers, grid)
