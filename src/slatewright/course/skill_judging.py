"""Whether skills may be shown as somebody has spread them over the dives of a course."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from slatewright.course.skill_dives import (
    DiveSkills,
    Obstacle,
    PlannedDive,
    in_order,
    obstacles,
)
from slatewright.course.skills import Skill, SkillLibrary, nearest, nearest_of


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that is wrong.

    Parameters
    ----------
    rule
        In a word: unknown, missing, before, depth, stops, cylinders, loss, loop or load.
    dive
        On which dive; empty if on none.
    skill
        Which skill; empty if it is the dive as a whole.
    what
        What is wrong, a sentence.
    cure
        What would be right.
    """

    rule: str
    dive: str
    skill: str
    what: str
    cure: str


def judge_skills(
    assignment: Sequence[DiveSkills],
    dives: Sequence[PlannedDive],
    library: SkillLibrary,
    *,
    shown: Collection[str] = (),
    wanted: Collection[str] | None = None,
) -> tuple[Finding, ...]:
    """Judge which skills are shown on which dives.

    A skill may be shown more than once. Its depths bind it the first time, all else each time.

    Parameters
    ----------
    assignment
        What is shown on which dive, a dive once.
    dives
        The planned dives.
    library
        The skills.
    shown
        The ids of the skills that were shown before the first of these dives.
    wanted
        The ids of the skills that shall be covered; None for all.

    Returns
    -------
    tuple[Finding, ...]
        What is wrong, in the order of the dives; empty if nothing is.
    """
    ordered = in_order(dives)
    by_dive = {one.dive: one.skills for one in assignment}
    found = list(_unknown(assignment, ordered, library, wanted or ()))
    first_on: dict[str, int] = dict.fromkeys(shown, -1)
    for place, dive in enumerate(ordered):
        skills = [library.by_id[s] for s in by_dive.get(dive.id, ()) if s in library.by_id]
        for skill in skills:
            found.extend(_before(skill, dive, place, first_on))
            found.extend(
                Finding(
                    obstacle.rule,
                    dive.id,
                    skill.id,
                    f"{skill.words}: {_not(obstacle)} on '{dive.id}', for {obstacle.what}",
                    obstacle.cure,
                )
                for obstacle in obstacles(library, skill, dive, first=skill.id not in first_on)
            )
            first_on.setdefault(skill.id, place)
        load = sum(skill.load for skill in skills)
        if load > dive.load_limit:
            found.append(
                Finding(
                    "load",
                    dive.id,
                    "",
                    f"'{dive.id}' bears a task load of {load}, {load - dive.load_limit} more than "
                    f"its limit of {dive.load_limit}",
                    "fewer skills on it, or a higher limit",
                )
            )
    found.extend(
        Finding("missing", "", skill.id, f"{skill.words}: on no dive", "one of the dives")
        for skill in library.in_teaching_order
        if skill.id not in first_on and (wanted is None or skill.id in wanted)
    )
    return tuple(found)


def _not(obstacle: Obstacle) -> str:
    return "not judged" if obstacle.rule == "loop" else "not"


def _unknown(
    assignment: Sequence[DiveSkills],
    dives: Sequence[PlannedDive],
    library: SkillLibrary,
    wanted: Collection[str],
) -> Iterator[Finding]:
    known = {dive.id: dive for dive in dives}
    seen: set[str] = set()
    for one in assignment:
        if one.dive not in known:
            what = f"no dive is called '{one.dive}'"
            yield Finding("unknown", one.dive, "", what, nearest_of(one.dive, known))
        if one.dive in seen:
            yield Finding(
                "unknown", one.dive, "", f"'{one.dive}' is there twice", "all its skills in one"
            )
        seen.add(one.dive)
        for skill in one.skills:
            if skill not in library.by_id:
                what = f"no skill is called '{skill}'"
                yield Finding("unknown", one.dive, skill, what, nearest(skill, library))
    for skill in sorted(set(wanted) - set(library.by_id)):
        what = f"no skill is called '{skill}'"
        yield Finding("unknown", "", skill, what, nearest(skill, library))


def _before(
    skill: Skill, dive: PlannedDive, place: int, first_on: dict[str, int]
) -> Iterator[Finding]:
    for need in skill.before:
        kind = "part" if need in skill.parts else "prerequisite"
        if need not in first_on:
            when = "earlier" if not skill.needs_earlier_dive(need) else "on an earlier dive"
            yield Finding(
                "before",
                dive.id,
                skill.id,
                f"{skill.words}: its {kind} '{need}' was not shown before",
                f"'{need}' {when}",
            )
        elif first_on[need] == place and skill.needs_earlier_dive(need):
            yield Finding(
                "before",
                dive.id,
                skill.id,
                f"{skill.words}: its {kind} '{need}' is shown on the same dive only",
                f"'{need}' on an earlier dive",
            )
