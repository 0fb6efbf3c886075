"""Findings of load: dives without a safe answer, oxygen, simulated stops, flights, sums.

What the plan of a dive itself is warned of belongs to that plan, and only its dangers are repeated;
here stands what the dives before do to it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime, timedelta

from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.buildup_findings import Finding
from slatewright.course.buildup_timeline import Made, Timed, Timeline
from slatewright.course.exposure import LAST_DAY, DayDose
from slatewright.course.flying import Flying, Surfaced, earliest_flight
from slatewright.decompression.ceiling import ceiling_of
from slatewright.dive.hazard import Severity
from slatewright.dive.hazards_load import CNS_LIMIT_PCT, CNS_WARNING_PCT
from slatewright.dive.schedule import Schedule

_OXYGEN_WHY = "the limit is that of a single exposure; convulsions have come below it"
_LUNGS_WHY = (
    "days of high oxygen take vital capacity, and leave nothing for a treatment [HAMILTON1988]"
)
_NEAR_M = 1e-3
_JUDGED_HERE = {"cns", "pulmonary"}
"""Codes of hazards of a plan that are judged here, for each person and by days of the calendar."""


def placed(timed: Timed) -> Iterator[Finding]:
    """Yield what is found of one dive.

    Parameters
    ----------
    timed
        The dive, computed with what went before.
    """
    dive = timed.dive
    if timed.refusal:
        reasons = "; ".join(reason.what for reason in timed.refusal)
        cures = "; ".join(reason.cure for reason in timed.refusal if reason.cure)
        yield Finding(
            "no-safe-answer", Severity.DANGER, dive.number, (timed.refused,), dive.start,
            f"there is no safe answer to {dive.called}: {reasons}",
            "a dive without a safe way up is not dived, and what comes after it is not computed",
            cures, elsewhere=dive.elsewhere,
        )  # fmt: skip
        return
    yield from _cns(timed)
    if timed.schedule is not None:
        yield from _of_the_plan(dive, timed.schedule)
    if dive.simulated and timed.made[timed.longest].first_stop_m is not None:
        minutes = timed.runtime_min or 0.0
        yield Finding(
            "not-simulated", Severity.WARNING, dive.number, dive.who, dive.start,
            f"{dive.called} has real stops ({minutes:.0f} min in all), and decompression on it is "
            "to be simulated",
            "a drill on simulated stops may be broken off; one on real stops may not",
            "a shallower or shorter plan, without stops",
        )  # fmt: skip


def _of_the_plan(dive: CourseDive, made: Schedule) -> Iterator[Finding]:
    if not made.verdict.passed:
        yield Finding(
            "second-check", Severity.DANGER, dive.number, dive.who, dive.start,
            f"the second check contradicts {dive.called}: {'; '.join(made.verdict.findings)}",
            "nothing may be printed for the water", elsewhere=dive.elsewhere,
        )  # fmt: skip
    for hazard in made.hazards:
        if hazard.severity is Severity.DANGER and hazard.code not in _JUDGED_HERE:
            yield Finding(
                hazard.code, Severity.DANGER, dive.number, dive.who, dive.start,
                f"{dive.called}: {hazard.text}", hazard.why, hazard.cure,
                elsewhere=dive.elsewhere,
            )  # fmt: skip


def apart(timed: Timed) -> Iterator[Finding]:
    """Yield what comes of people who bring different loads to the same dive.

    Parameters
    ----------
    timed
        The dive.
    """
    dive = timed.dive
    if not timed.longest:
        return
    longest = timed.made[timed.longest]
    seen: set[int] = set()
    for name, made in timed.made.items():
        if made is longest or id(made) in seen:
            continue
        seen.add(id(made))
        gap_min = longest.runtime_min - made.own_runtime_min
        if not _on_the_safe_side(made):
            yield Finding(
                "stops-of-another", Severity.DANGER, dive.number, (name,), dive.start,
                f"on the stops of {timed.longest} {name} passes the own line on {dive.called}",
                "a team surfaces together, and each must be safe on its stops",
                "a longer surface interval before it, or others who dive",
                elsewhere=dive.elsewhere,
            )  # fmt: skip
        elif gap_min >= 1.0 - 1e-6:
            yield Finding(
                "brings-more", Severity.NOTE, dive.number, (timed.longest,), dive.start,
                f"{timed.longest} brings more to {dive.called} than {name} and needs "
                f"{gap_min:.0f} min longer; the team waits",
                "a team surfaces together, on the stops of the one who needs most",
                elsewhere=dive.elsewhere,
            )  # fmt: skip


def _on_the_safe_side(made: Made) -> bool:
    """Tell whether somebody stays below the own line on the stops of another."""
    plan = made.plan
    line = ceiling_of(made.legs, plan.settings, plan.water, made.start, made.first_stop_m)
    legs = iter(made.legs)
    leg = next(legs)
    for at_min, ceiling_m in line:
        while at_min > leg.end_min + 1e-9:
            leg = next(legs)
        share = (at_min - leg.start_min) / leg.minutes if leg.minutes else 1.0
        if ceiling_m > leg.from_m + (leg.to_m - leg.from_m) * share + _NEAR_M:
            return False
    return True


def _cns(timed: Timed) -> Iterator[Finding]:
    groups: dict[float, list[str]] = {}
    for name, made in timed.made.items():
        groups.setdefault(made.dose.cns_pct, []).append(name)
    for share_pct, names in groups.items():
        if share_pct <= CNS_WARNING_PCT:
            continue
        over = share_pct > CNS_LIMIT_PCT
        carried = timed.made[names[0]].plan.carried
        brought_pct = carried.cns_pct if carried else 0.0
        share = f"{math.floor(share_pct)} %" if math.isfinite(share_pct) else "beyond the tables"
        yield Finding(
            "cns", Severity.DANGER if over else Severity.WARNING, timed.dive.number,
            tuple(names), timed.dive.start,
            f"the CNS share is {share} after {timed.dive.called}, {brought_pct:.0f} % of it "
            f"brought; the limit is {CNS_LIMIT_PCT if over else CNS_WARNING_PCT:.0f} %",
            _OXYGEN_WHY, elsewhere=timed.dive.elsewhere,
        )  # fmt: skip


def lungs(timeline: Timeline) -> Iterator[Finding]:
    """Yield each day on which somebody takes more oxygen than the table allows.

    Parameters
    ----------
    timeline
        All dives.
    """
    for name, days in timeline.days.items():
        for day in days:
            if not day.over:
                continue
            last = [t for t in timeline.of(name) if t.dive.start.date() <= day.day][-1]
            yield Finding(
                "pulmonary", Severity.WARNING, last.dive.number, (name,), last.dive.start,
                f"{name}, {day.day}: {'; '.join(_too_much(day))}",
                _LUNGS_WHY, elsewhere=last.dive.elsewhere,
            )  # fmt: skip


def _too_much(day: DayDose) -> Iterator[str]:
    if day.day_of_run > LAST_DAY:
        yield f"day {day.day_of_run} of a run of days; the table ends at day {LAST_DAY}"
        return
    if day.otu > day.allowed_otu:
        yield (
            f"{math.floor(day.otu)} pulmonary units; day {day.day_of_run} of a run allows "
            f"{day.allowed_otu:.0f}"
        )
    if day.run_otu > day.allowed_run_otu:
        yield (
            f"{math.floor(day.run_otu)} pulmonary units on {day.dived_days} days of diving; "
            f"{day.allowed_run_otu:.0f} are allowed"
        )


def flying_of(course: Course, timeline: Timeline, name: str) -> Flying | None:
    """Return when somebody may fly after the last of all dives.

    Parameters
    ----------
    course
        The course.
    timeline
        Its dives.
    name
        Who.

    Returns
    -------
    Flying or None
        None if a dive was not computed, or there was none.
    """
    dives = timeline.of(name)
    if any(timed.surfaced is None for timed in dives):
        return None
    return earliest_flight(_ends(dives, name), course.limits.table.fly_after_h)


def _ends(dives: tuple[Timed, ...], name: str) -> list[Surfaced]:
    return [
        Surfaced(timed.surfaced, timed.made[name].first_stop_m is not None)
        for timed in dives
        if timed.surfaced is not None
    ]


def flights(course: Course, timeline: Timeline) -> Iterator[Finding]:
    """Yield flights that are too early.

    Parameters
    ----------
    course
        The course.
    timeline
        Its dives.
    """
    for flight in course.flights:
        for name in flight.who:
            before = tuple(t for t in timeline.of(name) if t.dive.start < flight.start)
            if not before:
                continue
            last = before[-1].dive
            if any(timed.surfaced is None for timed in before):
                yield Finding(
                    "flight-not-judged", Severity.WARNING, last.number, (name,), flight.start,
                    f"the flight of {name} is not judged: a dive before it is not computed",
                    "bubbles grow in a cabin", elsewhere=last.elsewhere,
                )  # fmt: skip
                continue
            found = earliest_flight(_ends(before, name), course.limits.table.fly_after_h)
            if found is None or flight.start >= found.earliest:
                continue
            hours = (flight.start - found.last) / timedelta(hours=1)
            yield Finding(
                "flight", Severity.WARNING, last.number, (name,), flight.start,
                f"{name} flies {hours:.1f} h after the dive that decides; {found.because}",
                "bubbles grow in a cabin [SHEFFIELD2004]",
                f"a flight on {_up_to_minute(found.earliest):%Y-%m-%d from %H:%M} on",
                elsewhere=last.elsewhere, limits=("fly_after_h",),
            )  # fmt: skip


def _up_to_minute(at: datetime) -> datetime:
    if at.second or at.microsecond:
        return at.replace(second=0, microsecond=0) + timedelta(minutes=1)
    return at


def sums(course: Course, timeline: Timeline) -> Iterator[Finding]:
    """Yield what a student has too little of in the whole course.

    Parameters
    ----------
    course
        The course.
    timeline
        Its dives.
    """
    table = course.limits.table
    for person in course.students:
        own = [t for t in timeline.of(person.name) if not t.dive.elsewhere]
        if len(own) < table.least_dives:
            yield Finding(
                "too-few-dives", Severity.WARNING, 0, (person.name,), None,
                f"{len(own)} dives; {table.least_dives} are the least",
                "too few to be shown all", "more dives", limits=("least_dives",),
            )  # fmt: skip
        minutes = sum(t.runtime_min or 0.0 for t in own)
        if table.least_runtime_min is not None and minutes < table.least_runtime_min:
            yield Finding(
                "too-little-time", Severity.WARNING, 0, (person.name,), None,
                f"{math.floor(minutes)} min of run time in all; {table.least_runtime_min:g} min "
                "are the least",
                "time in the water is what the course is made of", "more or longer dives",
                limits=("least_runtime_min",),
            )  # fmt: skip
    for name, pair in (
        ("step", course.limits.step),
        ("first_helium_beyond", course.limits.first_helium_beyond),
        ("deepest", course.limits.deepest),
    ):
        if pair.disagrees:
            yield Finding(
                "pair-disagrees", Severity.NOTE, 0, (), None,
                f"{name}: {pair.m:g} m and {pair.ft:g} ft are not the same depth",
                "each dive is judged in the unit of its plan, so one of them is judged otherwise",
                limits=(name,),
            )  # fmt: skip
