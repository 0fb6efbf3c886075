"""Findings of the ladder: steps, first helium, greatest depth, new things, load of tasks.

They concern students, and depend on the order of the dives alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Final, TypeAlias

from slatewright.course.buildup_course import Course, CourseDive, Depth, Pair, Person
from slatewright.course.buildup_findings import Finding
from slatewright.course.novelty import novelty_of
from slatewright.dive.hazard import Severity
from slatewright.physics.units import UnitSystem

SkillLoad: TypeAlias = Callable[[tuple[str, ...]], float]
"""Takes the ids of the skills of a dive, returns their load; see `each_counts_one`."""
_SLACK: Final = 1e-6
_STEP_WHY: Final = "each step shows what the next one needs; a missed step is missed at depth"


def each_counts_one(skills: tuple[str, ...]) -> float:
    """Return the load of skills where nobody knows better: one each [-].

    Parameters
    ----------
    skills
        Their ids.
    """
    return float(len(skills))


def placed(
    course: Course, dive: CourseDive, before: Sequence[CourseDive], load: SkillLoad
) -> Iterator[Finding]:
    """Yield what is found of a dive, given those before it.

    Parameters
    ----------
    course
        The course.
    dive
        The dive.
    before
        The dives of the course before it, in order of time.
    load
        The load of skills.
    """
    yield from _too_deep(course, dive)
    for find in (_step, _first_helium, _new_things, _task_load):
        yield from _merged(
            find(course, dive, [d for d in before if person.name in d.who], person, load)
            for person in course.students_of(dive)
        )


def _merged(found: Iterator[Iterator[Finding]]) -> Iterator[Finding]:
    """Yield one finding where several people have the same."""
    by_text: dict[tuple[str, str], list[Finding]] = {}
    for finding in (one for each in found for one in each):
        by_text.setdefault((finding.code, finding.text), []).append(finding)
    for same in by_text.values():
        first = same[0]
        who = tuple(name for finding in same for name in finding.who)
        yield Finding(
            first.code, first.severity, first.dive, who, first.at, first.text, first.why,
            limits=first.limits, times=first.times,
        )  # fmt: skip


def _too_deep(course: Course, dive: CourseDive) -> Iterator[Finding]:
    deepest = dive.deepest
    limit = course.limits.deepest.of(deepest.units)
    if deepest.value > limit + _SLACK:
        yield Finding(
            "too-deep", Severity.WARNING, dive.number, dive.who, dive.start,
            f"{dive.called} goes to {deepest}; the course ends at {_in(limit, deepest.units)}",
            "beyond it lies another course, with other gas and other support",
            limits=("deepest",),
        )  # fmt: skip


def _step(
    course: Course,
    dive: CourseDive,
    before: Sequence[CourseDive],
    person: Person,
    _load: SkillLoad,
) -> Iterator[Finding]:
    base = base_of(course, before, person)
    limits = ("step", "step_from")
    if base is None:
        yield Finding(
            "depth-not-known", Severity.NOTE, dive.number, (person.name,), dive.start,
            f"the step to {dive.called} is not judged: the deepest dive before is not said",
            _STEP_WHY, limits=limits,
        )  # fmt: skip
        return
    excess = step_excess(course.limits.step, dive.deepest, base)
    if excess > _SLACK:
        units = dive.deepest.units
        limit = course.limits.step.of(units)
        yield Finding(
            "step-too-deep", Severity.WARNING, dive.number, (person.name,), dive.start,
            f"{dive.called} goes {_in(limit + excess, units)} deeper than {base}; a step is "
            f"{_in(limit, units)}",
            _STEP_WHY, limits=limits, times=dives_missing(course.limits.step, dive.deepest, base),
        )  # fmt: skip


def dives_missing(step: Pair, deepest: Depth, base: Depth) -> int:
    """Return how many dives between would make the steps small enough; 0 if none is needed.

    Parameters
    ----------
    step
        The limit.
    deepest, base
        Where the step goes, and from where.
    """
    excess = step_excess(step, deepest, base)
    return max(0, math.ceil(excess / step.of(deepest.units) - _SLACK))


def base_of(course: Course, before: Sequence[CourseDive], person: Person) -> Depth | None:
    """Return the depth from which a person's next step is counted; None if it is not known.

    Parameters
    ----------
    course
        The course.
    before
        The person's dives of the course so far, in order of time.
    person
        Who.
    """
    if not before:
        return person.deepest
    if course.limits.table.step_from == "last dive":
        return before[-1].deepest
    known = [dive.deepest for dive in before]
    known += [person.deepest] if person.deepest is not None else []
    return max(known, key=lambda depth: depth.depth_m)


def step_excess(step: Pair, deepest: Depth, base: Depth) -> float:
    """Return by how much a step is too deep, in the units of the deeper dive's plan [m] or [ft].

    Parameters
    ----------
    step
        The limit.
    deepest, base
        Where the step goes, and from where.
    """
    return deepest.value - base.to(deepest.units) - step.of(deepest.units)


def _first_helium(
    course: Course,
    dive: CourseDive,
    before: Sequence[CourseDive],
    person: Person,
    _load: SkillLoad,
) -> Iterator[Finding]:
    if person.helium_before or not dive.on_helium or any(d.on_helium for d in before):
        return
    known = [d.deepest for d in before] + ([person.deepest] if person.deepest else [])
    if not known:
        return  # the step was told of as not judged
    deepest, most = dive.deepest, max(known, key=lambda depth: depth.depth_m)
    limit = course.limits.first_helium_beyond.of(deepest.units)
    beyond = deepest.value - most.to(deepest.units)
    if beyond > limit + _SLACK:
        yield Finding(
            "first-helium", Severity.WARNING, dive.number, (person.name,), dive.start,
            f"{dive.called} is the first on helium and {_in(beyond, deepest.units)} deeper than "
            f"{most}, the deepest before; {_in(limit, deepest.units)} are allowed",
            "a new gas is learnt where the depth is known",
            limits=("first_helium_beyond",),
        )  # fmt: skip


def _new_things(
    course: Course,
    dive: CourseDive,
    before: Sequence[CourseDive],
    person: Person,
    _load: SkillLoad,
) -> Iterator[Finding]:
    found = novelty_of(dive, before)
    limit = course.limits.table.new_a_dive
    listed = ", ".join(thing.words for thing in found.things)
    who, why = (person.name,), "one thing at a time: each takes attention from all the others"
    if len(found.things) > limit:
        yield Finding(
            "too-much-new", Severity.WARNING, dive.number, who, dive.start,
            f"{len(found.things)} things are new on {dive.called}: {listed}; {limit} are allowed",
            why, limits=("new_a_dive",), times=len(found.things) - limit,
        )  # fmt: skip
    if found.unnamed:
        words = ", ".join(thing.words for thing in found.unnamed)
        yield Finding(
            "unnamed-new", Severity.NOTE, dive.number, who, dive.start,
            f"new on {dive.called} by its plan, and not named: {words}", why,
        )  # fmt: skip
    if found.not_new:
        yield Finding(
            "not-new", Severity.NOTE, dive.number, who, dive.start,
            f"named as new on {dive.called}, and not new: {', '.join(found.not_new)}", why,
        )  # fmt: skip


def load_of(dive: CourseDive, before: Sequence[CourseDive], load: SkillLoad) -> float:
    """Return the load of a dive: its skills, and one for each new thing [-].

    Parameters
    ----------
    dive
        The dive.
    before
        The dives of the same diver before it.
    load
        The load of skills.
    """
    return load(dive.skills) + len(novelty_of(dive, before).things)


def _task_load(
    course: Course,
    dive: CourseDive,
    before: Sequence[CourseDive],
    person: Person,
    load: SkillLoad,
) -> Iterator[Finding]:
    table = course.limits.table
    own = load_of(dive, before, load)
    if table.task_load is not None and own > table.task_load + _SLACK:
        yield Finding(
            "task-load", Severity.WARNING, dive.number, (person.name,), dive.start,
            f"{dive.called} has a task load of {own:g}; {table.task_load:g} is allowed",
            "what is too much for one dive is shown badly or not at all",
            limits=("task_load",),
        )  # fmt: skip
    if table.task_load_rise is None or not before:
        return
    last = load_of(before[-1], before[:-1], load)
    if own - last > table.task_load_rise + _SLACK:
        yield Finding(
            "task-load-rise", Severity.WARNING, dive.number, (person.name,), dive.start,
            f"the task load rises from {last:g} to {own:g} on {dive.called}; a rise of "
            f"{table.task_load_rise:g} is allowed",
            "load, like depth, goes up by steps",
            limits=("task_load_rise",),
        )  # fmt: skip


def _in(value: float, units: UnitSystem) -> str:
    return f"{round(value, 1):g} {units.depth_unit}"
