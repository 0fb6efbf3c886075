"""From a plan file to the dive, its earlier dives and its team."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from slatewright.dive.chain import schedules_of_chain
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import read_chain
from slatewright.dive.schedule import Schedule
from slatewright.supply.kit import Team


@dataclass(frozen=True, slots=True)
class Planned:
    """What a plan file asks for, computed.

    Parameters
    ----------
    dives
        The chain in order of time, the dive of the file last.
    team
        Who makes the last; None if its file names no cylinders.
    """

    dives: tuple[Schedule, ...]
    team: Team | None

    @property
    def dive(self) -> Schedule:
        """The dive of the file."""
        return self.dives[-1]


def planned(path: Path, rules: HouseRules) -> Planned:
    """Compute the dive of a plan file after all those that it builds on.

    Parameters
    ----------
    path
        The file.
    rules
        The house rules, for all of them.

    Returns
    -------
    Planned
        The dives with the second check's verdicts, which the caller must heed, and the team.

    Raises
    ------
    PlanFileError
        If a file has faults, those of its cylinders among them.
    NoSafeAnswer
        If one of the dives has no safe answer.
    """
    links = read_chain(path)
    team = None
    if links[-1].plan.cylinder:
        from slatewright.supply.team import team_of  # noqa: PLC0415 - gas takes its time to import

        team = team_of(links[-1].plan, rules, path)
    return Planned(schedules_of_chain(links, rules), team)
