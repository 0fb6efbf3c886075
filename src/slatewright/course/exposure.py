"""Pulmonary oxygen over the days of a course: what each day took, and what the table allows.

The table counts days of exposure in a run. A course knows its dates, so days are those of the
calendar: what is breathed after midnight belongs to the next day. Where the table leaves room, two
readings of it are held at once, each on the safe side: the allowance of a day is that of the day
counted from the first of the run, idle days among them (the average falls with each day), and the
allowance in all is that of the days on which there was a dive (the sum grows with each day).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final

from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import (
    OxygenDose,
    daily_allowance_otu,
    running_dose,
    total_allowance_otu,
)
from slatewright.physics.water import Water

IDLE_DAYS: Final = 2
"""Whole days without a dive after which a run begins anew: common practice, no published source."""
LAST_DAY: Final = 30
"""The table of daily pulmonary doses ends here [HAMILTON1988]."""
_SLACK_OTU: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Brought:
    """What somebody brings to the first day.

    Parameters
    ----------
    otu_today, otu_before
        Pulmonary units of the same day, and of the days before of the same run.
    day
        Which day of the run the first one is, from 1.
    """

    otu_today: float = 0.0
    otu_before: float = 0.0
    day: int = 1


@dataclass(frozen=True, slots=True)
class DayDose:
    """A day on which there was a dive.

    Parameters
    ----------
    day
        The date.
    day_of_run
        Which day of the run it is, from 1, idle days counted.
    dived_days
        On how many days of the run there was a dive, this one counted.
    otu, run_otu
        Pulmonary units of the day, and of the run until its end.
    allowed_otu, allowed_run_otu
        What the table allows of both; 0 where it ends.
    """

    day: date
    day_of_run: int
    dived_days: int
    otu: float
    run_otu: float
    allowed_otu: float
    allowed_run_otu: float

    @property
    def over(self) -> bool:
        """Whether more was taken than is allowed."""
        return (
            self.day_of_run > LAST_DAY
            or self.otu > self.allowed_otu + _SLACK_OTU
            or self.run_otu > self.allowed_run_otu + _SLACK_OTU
        )


def doses_by_day(
    taken: Mapping[date, float], brought: Brought | None = None
) -> tuple[DayDose, ...]:
    """Return the days of exposure with what is allowed on each.

    Parameters
    ----------
    taken
        Day to pulmonary units; a day with a dive stands here even if it took none.
    brought
        What was there before the first of them; None for nothing.

    Returns
    -------
    tuple
        In order of time.

    Notes
    -----
    [HAMILTON1988] for the allowances; that two whole days without a dive begin a new run is common
    practice, no published source.
    """
    brought = brought or Brought()
    done: list[DayDose] = []
    first, dived, before_otu = date.min, 0, 0.0
    for day in sorted(taken):
        if not done:
            first, dived = day - timedelta(days=brought.day - 1), brought.day - 1
            before_otu = brought.otu_before
        elif (day - done[-1].day).days > IDLE_DAYS:
            first, dived, before_otu = day, 0, 0.0
        day_of_run, dived = (day - first).days + 1, dived + 1
        otu = taken[day] + (0.0 if done else brought.otu_today)
        within = day_of_run <= LAST_DAY
        done.append(
            DayDose(
                day=day,
                day_of_run=day_of_run,
                dived_days=dived,
                otu=otu,
                run_otu=before_otu + otu,
                allowed_otu=daily_allowance_otu(day_of_run) if within else 0.0,
                allowed_run_otu=total_allowance_otu(dived) if within else 0.0,
            )
        )
        before_otu += otu
    return tuple(done)


def otu_by_day(
    legs: Sequence[Leg], water: Water, start: datetime, *, table: str
) -> tuple[tuple[date, float], ...]:
    """Return the pulmonary units of a dive on each day that it touches.

    Parameters
    ----------
    legs
        The finished dive.
    water
        Surface pressure and weight of the water.
    start
        When it begins, local time.
    table
        House rule ``oxygen_table``.

    Returns
    -------
    tuple
        Pairs of day and pulmonary units, in order of time; more than one for a dive over midnight.
    """
    found: list[tuple[date, float]] = []
    rest = list(legs)
    day = start.date()
    while rest:
        midnight = datetime.combine(day + timedelta(days=1), datetime.min.time())
        until_min = (midnight - start).total_seconds() / 60.0
        before, rest = _cut(rest, until_min)
        doses = running_dose(before, water, table=table)
        found.append((day, doses[-1].otu if doses else 0.0))
        day += timedelta(days=1)
    return tuple(found)


def _cut(legs: Iterable[Leg], at_min: float) -> tuple[list[Leg], list[Leg]]:
    """Cut legs at a run time [min]."""
    before: list[Leg] = []
    after: list[Leg] = []
    for leg in legs:
        if leg.end_min <= at_min:
            before.append(leg)
        elif leg.start_min >= at_min:
            after.append(leg)
        else:
            minutes = at_min - leg.start_min
            at_m = leg.from_m + (leg.to_m - leg.from_m) * minutes / leg.minutes
            before.append(replace(leg, to_m=at_m, minutes=minutes))
            after.append(replace(leg, from_m=at_m, start_min=at_min, minutes=leg.minutes - minutes))
    return before, after


def in_a_day(dose: OxygenDose, otu_today: float) -> OxygenDose:
    """Return a dose whose pulmonary units are those of a day.

    Parameters
    ----------
    dose
        CNS share and index, as they were carried over the surface interval.
    otu_today
        Pulmonary units of the day so far [OTU].
    """
    return replace(dose, otu=otu_today)
