"""A course held against what a standard asks of it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from slatewright.course.rule_depths import DepthPair, other_unit
from slatewright.course.standard import CourseAsked
from slatewright.errors import InputError
from slatewright.logs.logged import LoggedDepth

_SLACK_MIN = 1e-9
_SLACK = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseDive:
    """A dive of a course, planned or done.

    Parameters
    ----------
    name
        What it is called.
    greatest
        Its greatest depth, in the unit of its plan or log.
    run_time_min
        From leaving the surface to reaching it again [min].
    bottom_time_min
        From leaving the surface to leaving the bottom [min].

    Raises
    ------
    InputError
        If its times are none of a dive.
    """

    name: str
    greatest: LoggedDepth
    run_time_min: float
    bottom_time_min: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.bottom_time_min <= self.run_time_min < float("inf"):
            raise InputError(
                f"{self.bottom_time_min:g} min of bottom time in {self.run_time_min:g} min of run "
                "time are no times of a dive",
                where=self.name,
                right="bottom time not longer than run time, both zero or more",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseFacts:
    """What a standard asks of a course is held against this.

    Parameters
    ----------
    dives
        The dives.
    students
        How many students it has.
    instructors
        How many instructors teach it.
    skills
        The skills that are planned, or that were shown.
    """

    dives: Sequence[CourseDive]
    students: int
    instructors: int = 1
    skills: Collection[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseResult:
    """One thing asked of a course, and what it has.

    Parameters
    ----------
    about
        What it is about, in a word or two.
    asks
        What is asked, in words.
    met
        Whether it is met.
    working
        How it was judged, a sentence.
    dives
        The dives that decide it.
    notes
        What is to be said of the pair of depths as printed.
    """

    about: str
    asks: str
    met: bool
    working: str
    dives: tuple[CourseDive, ...] = ()
    notes: tuple[str, ...] = ()


def judge_course(asked: CourseAsked, facts: CourseFacts) -> tuple[CourseResult, ...]:
    """Hold a course against what a standard asks of it.

    Parameters
    ----------
    asked
        What is asked; what it leaves out is not judged.
    facts
        The course.
    """
    return tuple(_results(asked, facts))


def _results(asked: CourseAsked, facts: CourseFacts) -> Iterator[CourseResult]:
    if asked.dives:
        count = len(facts.dives)
        yield CourseResult(
            about="dives", asks=f"at least {asked.dives} dives", met=count >= asked.dives,
            working=f"{count} dives, {asked.dives} needed: {_short(asked.dives - count, '')}.",
        )  # fmt: skip
    yield from _times(asked, facts)
    if asked.limit:
        yield _limit(asked.limit, facts)
    if asked.reach:
        yield _reach(asked.reach, facts)
    if asked.students_per_instructor:
        most = asked.students_per_instructor * facts.instructors
        yield CourseResult(
            about="students", asks=f"at most {asked.students_per_instructor} for each instructor",
            met=facts.students <= most,
            working=(
                f"{facts.students} students with {facts.instructors} instructors, for whom "
                f"{asked.students_per_instructor} each make {most} at most: "
                f"{'not too many' if facts.students <= most else f'{facts.students - most} over'}."
            ),
        )  # fmt: skip
    if asked.skills:
        lacking = [skill for skill in asked.skills if skill not in facts.skills]
        yield CourseResult(
            about="skills", asks=f"the skills {', '.join(asked.skills)}", met=not lacking,
            working=(
                f"{len(asked.skills) - len(lacking)} of {len(asked.skills)} skills: "
                + (f"missing are {', '.join(lacking)}." if lacking else "none is missing.")
            ),
        )  # fmt: skip


def _times(asked: CourseAsked, facts: CourseFacts) -> Iterator[CourseResult]:
    wanted = (
        ("run time", asked.run_time_min, sum(dive.run_time_min for dive in facts.dives)),
        ("bottom time", asked.bottom_time_min, sum(dive.bottom_time_min for dive in facts.dives)),
    )
    met = [total >= needed - _SLACK_MIN for _, needed, total in wanted]
    for i, (name, needed, total) in enumerate(wanted):
        if not needed:
            continue
        working = f"{total:g} min of {name} in all, {needed:g} needed: {_short(needed - total)}."
        if asked.either_time:
            working += f" One of run time and bottom time is enough{_by_other(met, i)}."
        yield CourseResult(
            about=name, asks=f"at least {needed:g} min of {name} in all",
            met=any(met) if asked.either_time else met[i], working=working,
            dives=tuple(facts.dives),
        )  # fmt: skip


def _by_other(met: Sequence[bool], own: int) -> str:
    if met[own]:
        return ""
    return ", and the other is met" if any(met) else ", and neither is met"


def _short(lacking: float, unit: str = " min") -> str:
    return "enough" if lacking <= _SLACK_MIN else f"{lacking:g}{unit} short"


def _limit(pair: DepthPair, facts: CourseFacts) -> CourseResult:
    beyond = tuple(dive for dive in facts.dives if pair.exceeded_by(dive.greatest))
    words = [
        f"{dive.name} goes to {dive.greatest}, beyond {pair.within(dive.greatest.unit):g} "
        f"{dive.greatest.unit}{_border(pair, dive)}."
        for dive in beyond
    ]
    return CourseResult(
        about="greatest depth", asks=f"no dive beyond {pair}", met=not beyond, dives=beyond,
        working=" ".join(words or [f"None of {len(facts.dives)} dives goes beyond {pair}."]),
        notes=tuple(filter(None, [pair.note])),
    )  # fmt: skip


def _reach(pair: DepthPair, facts: CourseFacts) -> CourseResult:
    there = tuple(dive for dive in facts.dives if pair.reached_by(dive.greatest))
    words = f"{len(there)} of {len(facts.dives)} dives reach {pair}, one is needed"
    return CourseResult(
        about="depth reached", asks=f"at least one dive to {pair} or deeper", met=bool(there),
        dives=there, working=f"{words}: {'enough' if there else 'one short'}.",
        notes=tuple(filter(None, [pair.note])),
    )  # fmt: skip


def _border(pair: DepthPair, dive: CourseDive) -> str:
    """Return what to say of a dive that would be inside by the other unit."""
    value, unit = other_unit(dive.greatest)
    inside = value <= pair.within(unit) + _SLACK
    return f" (a border of units: {value:.1f} {unit} would be inside)" if inside else ""
