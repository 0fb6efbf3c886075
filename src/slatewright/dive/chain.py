"""A chain of dives: what one leaves is carried through the surface interval into the next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from slatewright.decompression.oxygen import after_surface
from slatewright.decompression.rest import rest_at_surface
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Carried
from slatewright.dive.planfile import Link, read_chain
from slatewright.dive.schedule import Schedule, schedule
from slatewright.errors import NoSafeAnswer
from slatewright.physics.water import Water

DAY_MIN = 1440.0
NIGHT_MIN = 600.0
"""A surface interval of at least this begins a new day of exposure [min]: common practice, no
published source. The pulmonary table counts by calendar days, which a plan does not know; what is
shorter may be a long afternoon, and one day's dose is held against the stricter allowance."""
NEW_RUN_MIN = 2880.0
"""A time without diving after which a run of days of exposure begins anew [min]: common practice,
no published source."""


def schedules_of(path: Path, rules: HouseRules) -> tuple[Schedule, ...]:
    """Compute the dive of a plan file after all the dives that it builds on.

    Parameters
    ----------
    path
        The file of the last dive.
    rules
        The house rules, for all of them.

    Returns
    -------
    tuple
        The schedules in order of time, that of ``path`` last.

    Raises
    ------
    PlanFileError
        If a file has faults.
    NoSafeAnswer
        If one of the dives has no safe answer; of an earlier one the reasons bear its name.
    """
    return schedules_of_chain(read_chain(path), rules)


def schedules_of_chain(links: Sequence[Link], rules: HouseRules) -> tuple[Schedule, ...]:
    """Compute a chain of plans.

    Parameters
    ----------
    links
        In order of time, as `slatewright.dive.planfile.read_chain` returns them.
    rules
        The house rules.

    Returns
    -------
    tuple
        The schedules in order of time.

    Raises
    ------
    NoSafeAnswer
        If one of the dives has no safe answer; of an earlier one the reasons bear its name.
    """
    done: list[Schedule] = []
    for link in links:
        carried = None
        if done:
            carried = carried_after(done[-1], link.interval_min, link.plan.column())
        plan = link.plan.to_plan(rules, carried)
        try:
            done.append(schedule(plan))
        except NoSafeAnswer as refusal:
            if link is links[-1]:
                raise
            named = (
                replace(reason, what=f"the earlier dive '{plan.title}': {reason.what}")
                for reason in refusal.reasons
            )
            raise NoSafeAnswer(*named) from refusal
    return tuple(done)


def carried_after(before: Schedule, interval_min: float, water: Water) -> Carried:
    """Return what a dive leaves after a surface interval.

    Parameters
    ----------
    before
        The dive.
    interval_min
        Time at the surface, breathing air [min].
    water
        Where the next dive is made. The interval is spent at the higher surface pressure of both
        places, which leaves more gas in the tissues.

    Returns
    -------
    Carried
        For the next plan.
    """
    dose = after_surface(
        before.oxygen, interval_min, cns_half_time_min=before.plan.rules.cns_half_time_min
    )
    new_day = interval_min >= NIGHT_MIN
    was = before.plan.carried
    otu_before = was.otu_before_today if was else 0.0
    day = was.day if was else 1
    if interval_min >= NEW_RUN_MIN:
        otu_before, day = 0.0, 1
    elif new_day:
        otu_before += before.oxygen.otu
        day += max(1, math.floor(interval_min / DAY_MIN + 0.5))
    surface_bar = max(before.plan.water.surface_bar, water.surface_bar)
    return Carried(
        tissues=rest_at_surface(before.end, interval_min, surface_bar, before.plan.settings.model),
        cns_pct=dose.cns_pct,
        otu_today=0.0 if new_day else dose.otu,
        otu_before_today=otu_before,
        day=day,
        index_k=dose.index_k,
    )
