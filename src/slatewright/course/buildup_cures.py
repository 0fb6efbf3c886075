"""Cures of a course's findings: moves of dives, and dives between, each tried before named."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Final

from slatewright.course.buildup_course import Course, CourseDive, Depth
from slatewright.course.buildup_findings import CourseMend, Finding
from slatewright.course.buildup_judging import Judged, judge
from slatewright.course.buildup_ladder import (
    SkillLoad,
    base_of,
    dives_missing,
    each_counts_one,
    step_excess,
)
from slatewright.course.buildup_timeline import Solver
from slatewright.course.coursefile import Move
from slatewright.physics.units import UnitSystem

_OF_DAYS: Final = frozenset(
    {
        "cns", "day-of-rest", "interval", "no-rest", "no-safe-answer", "overlap", "pulmonary",
        "stops-of-another", "too-many-a-day",
    }
)  # fmt: skip
"""Codes of findings that another day or hour may cure."""
_OF_ORDER: Final = frozenset(
    {"first-helium", "step-too-deep", "task-load", "task-load-rise", "too-much-new"}
)
"""Codes of findings that another order may cure."""
_LATER_BY: Final = timedelta(minutes=30)
_DAYS_ON: Final = 7
_DAYS_TOGETHER: Final = 3
_MOST_BETWEEN: Final = 5
_MOST_MENDS: Final = 3
_SLACK: Final = 1e-6


def with_cures(
    judged: Judged, solver: Solver, load: SkillLoad = each_counts_one
) -> tuple[Finding, ...]:
    """Return the findings of a course with cures.

    Parameters
    ----------
    judged
        The course as it is.
    solver
        The same that judged it: what it has solved is not solved again.
    load
        The load of skills.

    Returns
    -------
    tuple
        In the same order. A move is named only if with it the finding is gone, no other has come,
        and the whole course is better than before.
    """
    return tuple(
        _cured(finding, judged, solver, load) if finding.violates else finding
        for finding in judged.findings
    )


def _cured(finding: Finding, judged: Judged, solver: Solver, load: SkillLoad) -> Finding:
    mends: list[CourseMend] = []
    if not finding.elsewhere and finding.dive:
        for way in _ways(finding, judged.course):
            mend = next((m for m in way if _cures(m, finding, judged, solver, load)), None)
            if mend is not None:
                mends.append(mend)
            if len(mends) == _MOST_MENDS:
                break
    words = [finding.cure] if finding.cure else []
    words += [mend.words for mend in mends]
    words += _between(finding, judged.course)
    if not words and finding.code in _OF_DAYS | _OF_ORDER:
        words = ["none was found by moving one dive; propose the order anew, or change a plan"]
    return replace(finding, cure="; or ".join(words), mends=tuple(mends))


def _cures(
    mend: CourseMend, finding: Finding, judged: Judged, solver: Solver, load: SkillLoad
) -> bool:
    trial = judge(judged.course.with_moves(mend.moves), solver, load)
    before = {f.place for f in judged.findings if f.violates}
    after = {f.place for f in trial.findings if f.violates}
    return finding.place not in after and after <= before and trial.weight < judged.weight


def _ways(finding: Finding, course: Course) -> Iterator[Iterator[CourseMend]]:
    """Yield ways to cure, each with its trials from the smallest change up."""
    dive = next(d for d in course.dives if d.number == finding.dive)
    if finding.code in _OF_DAYS:
        yield _later(course, dive)
    if finding.code in _OF_DAYS | _OF_ORDER:
        yield _another_day(course, dive)
    if finding.code in _OF_DAYS:
        yield _all_later(course, dive)
    if finding.code in _OF_DAYS | _OF_ORDER:
        yield _swapped(course, dive)


def _later(course: Course, dive: CourseDive) -> Iterator[CourseMend]:
    at = dive.start
    while (at := at + _LATER_BY) <= datetime.combine(dive.start.date(), course.limits.last_start):
        hours, minutes = divmod((at - dive.start) // timedelta(minutes=1), 60)
        yield CourseMend(
            f"begin dive {dive.number} {hours}:{minutes:02d} h later, at {at:%H:%M}",
            (Move(dive.number, at),),
        )


def open_days(course: Course, first: date, count: int) -> Iterator[date]:
    """Yield the days on which dives may be planned.

    Parameters
    ----------
    course
        The course; its days of rest and those kept for bad weather are left out.
    first
        The first day that is looked at.
    count
        How many days are looked at.
    """
    for i in range(count):
        day = first + timedelta(days=i)
        if day not in course.rest and day not in course.lost:
            yield day


def _another_day(course: Course, dive: CourseDive) -> Iterator[CourseMend]:
    for day in open_days(course, dive.start.date() + timedelta(days=1), _DAYS_ON):
        at = datetime.combine(day, dive.start.time())
        yield CourseMend(
            f"move dive {dive.number} to {day} at {at:%H:%M}", (Move(dive.number, at),)
        )


def _all_later(course: Course, dive: CourseDive) -> Iterator[CourseMend]:
    rest = [d for d in course.ladder if d.start >= dive.start]
    if len(rest) < 2:
        return
    for days in range(1, _DAYS_TOGETHER + 1):
        moves = tuple(Move(d.number, d.start + timedelta(days=days)) for d in rest)
        if any(move.to.date() in course.rest | course.lost for move in moves):
            continue
        yield CourseMend(
            f"move dive {dive.number} and all after it by {days} day{'s' if days > 1 else ''}",
            moves,
        )


def _swapped(course: Course, dive: CourseDive) -> Iterator[CourseMend]:
    ladder = course.ladder
    own = ladder.index(dive)
    for other in sorted(ladder, key=lambda d: abs(ladder.index(d) - own)):
        if other is not dive:
            yield CourseMend(
                f"exchange dives {dive.number} and {other.number}",
                (Move(dive.number, other.start), Move(other.number, dive.start)),
            )


def _between(finding: Finding, course: Course) -> Iterator[str]:
    """Yield what dive between would make a step small enough."""
    teller = {"step-too-deep": _steps_between, "first-helium": _helium_before}.get(finding.code)
    if teller is not None:
        dive = next(d for d in course.dives if d.number == finding.dive)
        person = course.person(finding.who[0])
        before = [d for d in course.ladder[: course.ladder.index(dive)] if person.name in d.who]
        yield from teller(course, dive, base_of(course, before, person), before, person.deepest)


_Between = Callable[
    [Course, CourseDive, Depth | None, list[CourseDive], Depth | None], Iterator[str]
]


def _steps_between(
    course: Course,
    dive: CourseDive,
    base: Depth | None,
    _before: list[CourseDive],
    _deepest: Depth | None,
) -> Iterator[str]:
    if base is None:
        return
    goal, units = dive.deepest, dive.deepest.units
    step, from_value = course.limits.step.of(units), base.to(units)
    count = dives_missing(course.limits.step, goal, base)
    if not 1 <= count <= _MOST_BETWEEN:
        return
    # counted back from the goal by whole steps: as shallow as the dives between can be
    whole = [
        Depth(float(math.ceil(goal.value - (count - i) * step - _SLACK)), units)
        for i in range(count)
    ]
    ladder = [Depth(from_value, units), *whole, goal]
    tried = all(
        step_excess(course.limits.step, deeper, shallower) <= _SLACK
        for shallower, deeper in pairwise(ladder)
    )
    if tried:
        depths = " and ".join(str(depth) for depth in whole)
        yield f"{count} dive{'s' if count > 1 else ''} between, to {depths}"


def _helium_before(
    course: Course,
    dive: CourseDive,
    _base: Depth | None,
    before: list[CourseDive],
    deepest: Depth | None,
) -> Iterator[str]:
    units = dive.deepest.units
    known = [d.deepest for d in before] + ([deepest] if deepest is not None else [])
    most = max(depth.to(units) for depth in known)
    limit = math.floor(most + course.limits.first_helium_beyond.of(units) + _SLACK)
    unit = "m" if units is UnitSystem.METRIC else "ft"
    yield f"a dive on helium before it, no deeper than {limit} {unit}"
