"""The skills of a course that is built up: its dives as skills see them, loads, what is brought."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Final

from slatewright.course.buildup import BuildUp
from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.buildup_findings import Finding as CourseFinding
from slatewright.course.buildup_ladder import SkillLoad
from slatewright.course.buildup_timeline import Timed
from slatewright.course.coursefile import CourseFile, read_course_text, write_course_file
from slatewright.course.skill_dives import Decompression, DiveSkills, PlannedDive, needed_gases
from slatewright.course.skill_judging import Finding, judge_skills
from slatewright.course.skills import Gas, SkillLibrary
from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Use
from slatewright.dive.planfile import PlanFile
from slatewright.errors import InputError
from slatewright.logs.logged import DepthUnit, LoggedDepth
from slatewright.physics.limits import hypoxic_floor
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem

_BACK: Final = "back"


@dataclass(frozen=True)
class CourseSkills:
    """The skills of a course.

    Parameters
    ----------
    library
        All skills.
    dives
        The dives of the course as skills see them, in order of time; their ids are the numbers of
        the dives in the file.
    assignment
        Which skills the file has on which dive.
    brought
        Ids of skills that are taken as shown before the course: those that its own skills need
        and that it does not show itself, and those that were handed in.
    missing
        Numbers of the dives that are not computed, and so not among ``dives``.
    """

    library: SkillLibrary
    dives: tuple[PlannedDive, ...]
    assignment: tuple[DiveSkills, ...]
    brought: frozenset[str]
    missing: tuple[int, ...] = ()

    @property
    def named(self) -> frozenset[str]:
        """Ids of the skills that the file names, unknown ones left out."""
        words = {skill for one in self.assignment for skill in one.skills}
        return frozenset(words & set(self.library.by_id))

    def findings(self) -> tuple[Finding, ...]:
        """Return what is wrong with the skills as the file has them."""
        here = {dive.id for dive in self.dives}
        return judge_skills(
            [one for one in self.assignment if one.dive in here],
            self.dives,
            self.library,
            shown=self.brought,
            wanted=self.named,
        )


def judged(built: BuildUp, skills: CourseSkills) -> BuildUp:
    """Return a build-up with what is found of its skills, after its other findings.

    Parameters
    ----------
    built
        The course, built up.
    skills
        Its skills.

    Returns
    -------
    BuildUp
        The load of a dive is not judged twice: the build-up has judged it for each student.
    """
    dives = {str(dive.number): dive for dive in built.course.dives}
    found = tuple(
        CourseFinding(
            f"skill-{one.rule}",
            _SEVERITY.get(one.rule, Severity.WARNING),
            dives[one.dive].number,
            dives[one.dive].who,
            dives[one.dive].start,
            one.what,
            _WHY[one.rule],
            one.cure,
        )
        for one in skills.findings()
        if one.dive in dives and one.rule in _WHY
    )
    return replace(built, findings=(*built.findings, *found))


_SEVERITY: Final = {
    "loss": Severity.DANGER,
    "loop": Severity.NOTE,
    "unknown": Severity.NOTE,
}
_WHY: Final = {
    "loss": "a drill that goes wrong on a gas that is really needed is no drill any more",
    "before": "what is combined was shown by itself first",
    "depth": "what is new is shown where the way up is short, and what is deep not before its time",
    "stops": "a drill on simulated stops may be broken off; one on real stops may not",
    "cylinders": "what is not along cannot be shown",
    "loop": "the skills of the list that need a cylinder, or lose a gas, are those of open circuit",
    "unknown": "of a skill that is in no list nothing is known that could be judged",
}


def load_by(library: SkillLibrary) -> SkillLoad:
    """Return what tells the load of skills by a library.

    Parameters
    ----------
    library
        The skills; one that is not among them counts one.

    Returns
    -------
    callable
        For `slatewright.course.buildup.build_up`.
    """

    def load(skills: tuple[str, ...]) -> float:
        known = library.by_id
        return float(sum(known[one].load if one in known else 1 for one in skills))

    return load


def skills_of(
    built: BuildUp, library: SkillLibrary, rules: HouseRules, shown: Collection[str] = ()
) -> CourseSkills:
    """Return the skills of a course.

    Parameters
    ----------
    built
        The course, built up.
    library
        The skills.
    rules
        The house rules, for the lowest ppO2 that is breathed.
    shown
        Ids of skills that all students have shown, by the sign-off book.
    """
    own = [timed for timed in built.timeline.dives if not timed.dive.elsewhere]
    assignment = tuple(DiveSkills(str(t.dive.number), t.dive.skills) for t in own)
    named = {skill for one in assignment for skill in one.skills if skill in library.by_id}
    needed = frozenset[str]().union(*(library.waiting_for(skill) for skill in named))
    return CourseSkills(
        library=library,
        dives=tuple(
            _dive(built, timed, place, rules)
            for place, timed in enumerate(own, 1)
            if timed.schedule is not None
        ),
        assignment=assignment,
        brought=frozenset(shown) | (needed - named),
        missing=tuple(timed.dive.number for timed in own if timed.schedule is None),
    )


def _dive(built: BuildUp, timed: Timed, place: int, rules: HouseRules) -> PlannedDive:
    dive, made = timed.dive, timed.made[timed.longest]
    stops = Decompression.NONE if made.first_stop_m is None else Decompression.REAL
    if dive.simulated and stops is Decompression.NONE:
        stops = Decompression.SIMULATED
    loop = dive.plan.loop is not None
    carried = () if loop else _carried(dive, built.course)
    needed = frozenset[Gas]() if loop else _needed(dive.plan, stops, carried, rules)
    metric = dive.plan.units is UnitSystem.METRIC
    return PlannedDive(
        id=str(dive.number),
        order=place,
        greatest=LoggedDepth(dive.deepest.value, DepthUnit.METRES if metric else DepthUnit.FEET),
        decompression=stops,
        carried=carried,
        really_needed=needed,
        load_limit=_limit(built, dive),
        closed_circuit=loop,
    )


def _needed(
    plan: PlanFile, stops: Decompression, carried: tuple[Gas, ...], rules: HouseRules
) -> frozenset[Gas]:
    """Return what a dive on open circuit really needs."""
    floor_m = max(
        hypoxic_floor(gas.mixture, rules.floor_bar, plan.column())
        for gas in plan.gas
        if Use.BOTTOM in gas.use or len(plan.gas) == 1
    )
    return needed_gases(stops, carried, hypoxic_bottom_gas=floor_m > 0.0)


def _limit(built: BuildUp, dive: CourseDive) -> int:
    """Return how much load of skills a dive bears: new things take their part of it."""
    limit = built.course.limits.table.task_load
    if limit is None:
        return _UNLIMITED
    return max(1, math.floor(limit) - len(built.novelty[dive.number].things))


_UNLIMITED: Final = 1000


def _carried(dive: CourseDive, course: Course) -> tuple[Gas, ...]:
    """Return the cylinders besides back gas of the student who carries fewest.

    A cylinder that is travel gas and decompression gas counts as the first alone: too few rather
    than too many.
    """
    plan = dive.plan
    if not plan.cylinder:
        kinds = (_kind(plan, gas.mixture) for gas in plan.gas)
        return tuple(kind for kind in kinds if kind is not Gas.BACK)
    names = [person.name for person in course.students_of(dive)] or [""]
    kits = [
        tuple(
            kind
            for one in plan.cylinder
            if one.place != _BACK
            and (not one.diver or name in one.diver)
            and (kind := _kind(plan, one.mixture)) is not Gas.BACK
        )
        for name in names
    ]
    # whose name stands on no cylinder carries what the others do
    return min((kit for kit in kits if kit), key=len, default=())


def _kind(plan: PlanFile, mix: Mixture) -> Gas:
    uses = {use for gas in plan.gas if gas.mixture == mix for use in gas.use}
    if Use.TRAVEL in uses:
        return Gas.TRAVEL
    return Gas.BACK if uses == {Use.BOTTOM} else Gas.DECOMPRESSION


def with_skills(text: str, assignment: Collection[DiveSkills]) -> str:
    """Return the text of a course with other skills on its dives.

    Parameters
    ----------
    text
        The text of the course file.
    assignment
        Skills by the number of their dive; a dive that is not there keeps its own.

    Returns
    -------
    str
        All else is as it was, to the letter.

    Raises
    ------
    InputError
        If there is no such dive, or the course then contradicts itself.
    """
    file = read_course_text(text)
    given = {one.dive: one.skills for one in assignment}
    if unknown := sorted(set(given) - {str(i) for i in range(1, len(file.dive) + 1)}):
        raise InputError(
            f"there is no dive {unknown[0]}", where="dive", right=f"1 to {len(file.dive)}"
        )
    changed = write_course_file(_with(file, given), text)
    read_course_text(changed)
    return changed


def _with(file: CourseFile, given: dict[str, tuple[str, ...]]) -> CourseFile:
    dives = tuple(
        dive.model_copy(update={"skills": given[str(number)]})
        if str(number) in given and given[str(number)] != dive.skills
        else dive
        for number, dive in enumerate(file.dive, 1)
    )
    return file.model_copy(update={"dive": dives})
