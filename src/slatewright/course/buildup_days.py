"""Findings of days and hours: dives a day, rest, surface intervals, days that are kept free.

They concern everybody, the instructor with all courses of the week.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.buildup_findings import Finding
from slatewright.course.buildup_timeline import Timed
from slatewright.dive.hazard import Severity

_DAY = timedelta(days=1)


def placed(course: Course, timed: Timed, before: Sequence[Timed]) -> Iterator[Finding]:
    """Yield what is found of a dive, given those before it.

    Parameters
    ----------
    course
        The course.
    timed
        The dive.
    before
        All dives before it, those elsewhere among them, in order of time.
    """
    dive = timed.dive
    yield from _kept_free(course, dive)
    if not dive.elsewhere:
        yield from _ratio(course, dive)
    for find in (_many_a_day, _no_rest, _interval):
        yield from _joined(
            find(course, dive, [t for t in before if name in t.dive.who], name) for name in dive.who
        )


def _joined(found: Iterator[Finding | None]) -> Iterator[Finding]:
    same: dict[str, list[Finding]] = {}
    for finding in found:
        if finding is not None:
            same.setdefault(finding.text, []).append(finding)
    for each in same.values():
        one = each[0]
        yield Finding(
            one.code, one.severity, one.dive, tuple(n for f in each for n in f.who), one.at,
            one.text, one.why, elsewhere=one.elsewhere, limits=one.limits,
        )  # fmt: skip


def _kept_free(course: Course, dive: CourseDive) -> Iterator[Finding]:
    day = dive.start.date()
    if day in course.rest:
        yield Finding(
            "day-of-rest", Severity.WARNING, dive.number, dive.who, dive.start,
            f"{dive.called} is on {day}, a day of rest",
            "rest lets gas and oxygen go, and people sleep", elsewhere=dive.elsewhere,
        )  # fmt: skip
    elif day in course.lost and not dive.elsewhere:
        yield Finding(
            "day-kept", Severity.NOTE, dive.number, dive.who, dive.start,
            f"{dive.called} is on {day}, which is kept for days lost to weather",
            "a day that is used cannot be lost",
        )  # fmt: skip
    limits, clock_time = course.limits, dive.start.time()
    if not dive.elsewhere and not limits.first_start <= clock_time <= limits.last_start:
        yield Finding(
            "hours", Severity.NOTE, dive.number, dive.who, dive.start,
            f"{dive.called} begins at {clock_time:%H:%M}, outside {limits.first_start:%H:%M} to "
            f"{limits.last_start:%H:%M}",
            "light, sleep and the boat set the hours", limits=("first_start", "last_start"),
        )  # fmt: skip


def _ratio(course: Course, dive: CourseDive) -> Iterator[Finding]:
    teachers = [p.name for p in course.people if p.teaches and p.name in dive.who]
    students = [p.name for p in course.students_of(dive)]
    limit = course.limits.table.students_per_instructor
    if students and not teachers:
        yield Finding(
            "no-instructor", Severity.DANGER, dive.number, tuple(students), dive.start,
            f"no instructor dives {dive.called}",
            "nobody is there to help, or to judge what is shown",
            "an instructor under who",
        )  # fmt: skip
    elif len(students) > limit * len(teachers):
        most = limit * len(teachers)
        yield Finding(
            "too-many-students", Severity.WARNING, dive.number, tuple(students), dive.start,
            f"{len(students)} students and {len(teachers)} instructor"
            f"{'s' if len(teachers) > 1 else ''} on {dive.called}; {most} students are allowed",
            "one can watch so many at a stop, and help one",
            f"two groups of at most {most}, or another instructor",
            limits=("students_per_instructor",),
        )  # fmt: skip


def days_of(timed: Timed) -> tuple[date, ...]:
    """Return the days that a dive touches.

    Parameters
    ----------
    timed
        The dive; one that is not computed touches the day on which it begins.
    """
    first = timed.dive.start.date()
    last = (timed.surfaced or timed.dive.start).date()
    return tuple(first + _DAY * i for i in range((last - first).days + 1))


def _many_a_day(
    course: Course, dive: CourseDive, before: Sequence[Timed], name: str
) -> Finding | None:
    day = dive.start.date()
    count = sum(t.dive.start.date() == day for t in before) + 1
    limit = course.limits.table.dives_a_day
    if count <= limit:
        return None
    return Finding(
        "too-many-a-day", Severity.WARNING, dive.number, (name,), dive.start,
        f"{dive.called} is dive {count} on {day}; {limit} a day are allowed",
        "each dive of a day begins with the gas and the tiredness of the one before",
        elsewhere=dive.elsewhere, limits=("dives_a_day",),
    )  # fmt: skip


def _no_rest(
    course: Course, dive: CourseDive, before: Sequence[Timed], name: str
) -> Finding | None:
    day, count = dive.start.date(), 1
    for earlier in reversed(before):
        if days_of(earlier)[-1] < day - _DAY:
            break
        day, count = min(day, earlier.dive.start.date()), count + 1
    limit = course.limits.table.dives_before_rest
    if count <= limit:
        return None
    return Finding(
        "no-rest", Severity.WARNING, dive.number, (name,), dive.start,
        f"{dive.called} is dive {count} without a day of rest; {limit} are allowed",
        "slow tissues and lungs recover by days, not by hours; so does attention",
        elsewhere=dive.elsewhere, limits=("dives_before_rest",),
    )  # fmt: skip


def _interval(
    course: Course, dive: CourseDive, before: Sequence[Timed], name: str
) -> Finding | None:
    if not before or before[-1].surfaced is None:
        return None
    interval = dive.start - before[-1].surfaced
    minutes = interval / timedelta(minutes=1)
    if interval < timedelta():
        return Finding(
            "overlap", Severity.DANGER, dive.number, (name,), dive.start,
            f"{dive.called} begins {-minutes:.0f} min before {before[-1].dive.called} has ended",
            "nobody makes two dives at once",
            elsewhere=dive.elsewhere,
        )  # fmt: skip
    if interval >= course.least_interval:
        return None
    return Finding(
        "interval", Severity.WARNING, dive.number, (name,), dive.start,
        f"{int(minutes // 60)}:{int(minutes % 60):02d} at the surface before {dive.called}; "
        f"{course.limits.table.least_interval} is the least",
        "what is left in the tissues lengthens the stops, and gas may still be on its way out",
        elsewhere=dive.elsewhere, limits=("least_interval",),
    )  # fmt: skip
