"""Is there enough on a closed circuit: oxygen, diluent, absorbent and each diver's own bailout."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from slatewright.dive.hazard import Hazard, Severity
from slatewright.dive.plan import Plan
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.supply.kit import Team
from slatewright.supply.loop_divers import DiverLoop, divers_of
from slatewright.supply.loop_hazards import loop_hazards

_ORDER: Final = {Severity.DANGER: 0, Severity.WARNING: 1, Severity.NOTE: 2}
NOT_SHARED: Final = (
    "a closed circuit: each diver's own bailout was judged from every minute; bailout that is "
    "shared, and other failures, were not"
)
"""What nobody has looked at."""
_REFUSED: Final = ("no-bailout", "bailout-gas", "loop-gas", "scrubber")


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
    """

    schedule: Schedule
    team: Team
    divers: tuple[DiverLoop, ...]

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
    found = [*schedule.hazards, *loop_hazards(schedule, team, divers)]
    merged = sorted(found, key=lambda hazard: (_ORDER[hazard.severity], hazard.at_min))
    return LoopSupply(replace(schedule, hazards=tuple(merged)), team, divers)
