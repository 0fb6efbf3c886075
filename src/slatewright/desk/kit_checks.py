"""Whether every cylinder of a plan was analysed, and holds what the plan breathes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from slatewright.dive.plan_text import read_plan_text
from slatewright.errors import InputError
from slatewright.fill.tolerance import Tolerance
from slatewright.physics.mixture import Mixture
from slatewright.store.vouching import Analysis
from slatewright.supply.team import team_of


class Found(StrEnum):
    """What is known of a cylinder."""

    MISSING = "missing"
    HALF = "half"
    OFF = "off"
    GOOD = "good"


@dataclass(frozen=True, slots=True)
class Planned:
    """A cylinder that a plan names.

    Parameters
    ----------
    name
        Diver and label, by which an analysis says which cylinder it is of.
    mix
        What the plan breathes from it.
    """

    name: str
    mix: Mixture


@dataclass(frozen=True, slots=True)
class KitCheck:
    """A cylinder of a plan, and its last analysis.

    Parameters
    ----------
    planned
        The cylinder.
    analysis
        The last analysis of it for this dive; None if there is none.
    found
        What is known of it: nothing; oxygen without helium, so that the mix is not known; another
        gas than planned; what was planned.
    """

    planned: Planned
    analysis: Analysis | None
    found: Found


@lru_cache(maxsize=512)
def planned_cylinders(text: str) -> tuple[Planned, ...]:
    """Return the cylinders that a plan names; none if its text has faults.

    Parameters
    ----------
    text
        The text of the plan.
    """
    try:
        team = team_of(read_plan_text(text), text=text)
    except InputError:
        return ()
    return tuple(
        Planned(f"{diver.name}: {carried.label}", carried.mix)
        for diver in (team.divers if team else ())
        for carried in diver.kit
    )


def kit_checks(planned: Iterable[Planned], analyses: Iterable[Analysis]) -> tuple[KitCheck, ...]:
    """Hold analyses against the cylinders of a plan.

    Parameters
    ----------
    planned
        The cylinders.
    analyses
        What was analysed for the dive, the last first.
    """
    last: dict[str, Analysis] = {}
    for analysis in analyses:
        last.setdefault(analysis.cylinder, analysis)
    return tuple(
        KitCheck(each, last.get(each.name), _found(each, last.get(each.name))) for each in planned
    )


def _found(planned: Planned, analysis: Analysis | None) -> Found:
    if analysis is None:
        return Found.MISSING
    if analysis.he_pct is None and planned.mix.he > 0.0:
        return Found.HALF
    o2_off = analysis.o2_pct / 100.0 - planned.mix.o2
    he_off = (analysis.he_pct or 0.0) / 100.0 - planned.mix.he
    return Found.GOOD if Tolerance().holds(o2_off, he_off) else Found.OFF
