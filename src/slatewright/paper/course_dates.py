"""A build-up as rows, for terminal, page and tables; and its dates, for a calendar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slatewright.paper.calendar import CourseCalendar, CourseDate, EventKind
from slatewright.paper.tables_course import BuildUpRow, GasTotal
from slatewright.paper.theme import mixture_name
from slatewright.physics.mixture import Mixture

if TYPE_CHECKING:
    from slatewright.course.buildup import BuildUp
    from slatewright.course.buildup_timeline import Timed
    from slatewright.course.coursefile import CourseFile


@dataclass(frozen=True, slots=True)
class DiverDose:
    """What a dive brings to one person.

    Parameters
    ----------
    name
        Who.
    cns_pct
        CNS share on surfacing [%].
    otu
        Pulmonary units of the day.
    """

    name: str
    cns_pct: float
    otu: float


def rows_of(built: BuildUp) -> tuple[BuildUpRow, ...]:
    """Return the dives of the course as rows, in order of time; those elsewhere are left out.

    Parameters
    ----------
    built
        The build-up.
    """
    return tuple(_row(built, timed) for timed in built.timeline.dives if not timed.dive.elsewhere)


def doses_of(timed: Timed) -> tuple[DiverDose, ...]:
    """Return what a dive brings to each person who makes it.

    Parameters
    ----------
    timed
        The dive.
    """
    return tuple(
        DiverDose(name, made.dose.cns_pct, made.dose.otu) for name, made in timed.made.items()
    )


def gas_totals(built: BuildUp) -> dict[Mixture, GasTotal]:
    """Return the gas of the course; empty if it was not asked for.

    Parameters
    ----------
    built
        The build-up.
    """
    if built.gas is None:
        return {}
    return {
        mix: GasTotal(used_free_l=used, filled_free_l=built.gas.filled_free_l.get(mix, 0.0))
        for mix, used in built.gas.used_free_l.items()
    }


def calendar_of(built: BuildUp, file: CourseFile, course: str, edition: int = 0) -> CourseCalendar:
    """Return the dates of a course: dives, days of rest, days kept for bad weather.

    Parameters
    ----------
    built
        The build-up.
    file
        What the course's text says.
    course
        The name or number by which it is known.
    edition
        How often the dates were changed after they had been given out.
    """
    dates = tuple(_dates(built, file))
    return CourseCalendar(course=course, title=file.title, dates=dates, edition=edition)


def _dates(built: BuildUp, file: CourseFile) -> Iterator[CourseDate]:
    for row in rows_of(built):
        yield CourseDate(
            id=f"dive-{row.number}",
            kind=EventKind.DIVE,
            title=row.title,
            starts=row.starts,
            minutes=row.run_time_min,
            words=row.gases,
        )
    for place, day in enumerate(file.rest, 1):
        yield CourseDate(
            id=f"rest-{place}",
            kind=EventKind.REST,
            title="Rest",
            starts=day.on,
            words=day.note or "",
        )
    for place, day in enumerate(file.lost_day, 1):
        yield CourseDate(
            id=f"reserve-{place}",
            kind=EventKind.RESERVE,
            title="Kept for bad weather",
            starts=day.on,
            words=day.note or "",
        )


def _row(built: BuildUp, timed: Timed) -> BuildUpRow:
    dive, schedule = timed.dive, timed.schedule
    deepest_m = dive.deepest.depth_m
    doses = doses_of(timed)
    novelty = built.novelty.get(dive.number)
    made = timed.made.get(timed.longest)
    return BuildUpRow(
        number=dive.number,
        title=dive.plan.title,
        starts=dive.start,
        greatest_depth_m=deepest_m,
        run_time_min=0.0 if schedule is None else schedule.runtime_min,
        gases=", ".join(dict.fromkeys(mixture_name(gas.mixture) for gas in dive.plan.gas)),
        new=", ".join(thing.words for thing in novelty.things) if novelty else "",
        skills=", ".join(dive.skills),
        load=built.load.get(dive.number),
        interval_min=None if made is None else made.interval_min,
        cns_pct=max((dose.cns_pct for dose in doses), default=None),
        pulmonary=max((dose.otu for dose in doses), default=None),
        remark="; ".join(reason.what for reason in timed.refusal),
    )
