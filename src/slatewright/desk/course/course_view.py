"""What the page of a course is given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from slatewright.course.buildup import BuildUp
from slatewright.course.coursefile import CourseFile
from slatewright.desk.course.course_days import DayView, FindingView, days_of, finding_view
from slatewright.desk.course.course_ladder import ladder_of
from slatewright.desk.problem import Fault
from slatewright.desk.workings import Shown
from slatewright.store.courses import KeptCourse

_NOT_JUDGED: Final = (
    "the way home from every minute of each dive: the bench of its plan looks for it",
    "the reserves of each dive: the bench of its plan judges them",
)


@dataclass(frozen=True, slots=True)
class PersonView:
    """Somebody of the course.

    Parameters
    ----------
    name
        Who.
    teaches
        Whether an instructor.
    role
        What the person does on the course; empty if it is not said.
    number
        Of the person in the roster; 0 if there is none of that name.
    """

    name: str
    teaches: bool
    role: str
    number: int


@dataclass(frozen=True, slots=True)
class FlyingView:
    """When people may fly.

    Parameters
    ----------
    who
        Their names.
    earliest
        Not before, with the way it came about; None where a dive is not computed.
    because
        Why.
    """

    who: str
    earliest: Shown | None
    because: str


@dataclass(frozen=True, slots=True)
class CourseAnswer:
    """A course, built up.

    Parameters
    ----------
    verdict
        Whether it is within its limits, said.
    clean
        Whether it is.
    ladder
        The depths of its dives along the days, drawn.
    days
        Its days, with their dives.
    findings
        What speaks against the course as a whole.
    flying
        When people may fly after the last dive.
    not_judged
        What nobody has looked at.
    """

    verdict: str
    clean: bool
    ladder: Markup
    days: tuple[DayView, ...]
    findings: tuple[FindingView, ...]
    flying: tuple[FlyingView, ...]
    not_judged: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LineView:
    """A line of the text.

    Parameters
    ----------
    words
        What is wrong in it; empty if nothing is.
    """

    words: str


@dataclass(frozen=True, slots=True)
class CourseView:
    """The page of a course.

    Parameters
    ----------
    course
        The course as it is kept.
    text
        Its text as it is edited.
    answer
        The course, built up; None if it has faults, or is still to be computed.
    waiting
        Whether it is still to be computed, which the page then asks for.
    people
        Who teaches and who learns.
    faults
        What is wrong.
    lines
        A line each of the text, with what is wrong in it.
    back
        The version that can be gone back to; 0 if there is none.
    theirs
        What another window has saved meanwhile; empty if none has.
    """

    course: KeptCourse
    text: str
    answer: CourseAnswer | None
    waiting: bool = False
    people: tuple[PersonView, ...] = ()
    faults: tuple[Fault, ...] = ()
    lines: tuple[LineView, ...] = ()
    back: int = 0
    theirs: str = ""


def people_of(file: CourseFile | None, roster: dict[str, int]) -> tuple[PersonView, ...]:
    """Return who teaches and who learns, with their numbers in the roster.

    Parameters
    ----------
    file
        What the course's text says; None if it has faults.
    roster
        Name to number.
    """
    if file is None:
        return ()
    return tuple(
        PersonView(
            table.name, kind == "instructor", table.role or "", roster.get(table.name, 0)
        )
        for kind, _, table in file.people()
    )  # fmt: skip


def lines_of(text: str, faults: tuple[Fault, ...]) -> tuple[LineView, ...]:
    """Return the lines of a text, with what is wrong in each.

    Parameters
    ----------
    text
        The text.
    faults
        What is wrong, with the lines.
    """
    wrong: dict[int, list[str]] = {}
    for fault in faults:
        wrong.setdefault(fault.line, []).append(fault.what)
    count = text.count("\n") + 1
    return tuple(LineView("; ".join(wrong.get(line, ()))) for line in range(1, count + 1))


def answer_of(built: BuildUp, how: str) -> CourseAnswer:
    """Return a course as it is shown.

    Parameters
    ----------
    built
        The build-up.
    how
        The path under which the course tells how its numbers came about.
    """
    count = sum(finding.violates for finding in built.findings)
    said = f"{count} finding{'s' if count != 1 else ''} against it"
    return CourseAnswer(
        verdict="within its limits" if built.clean else said,
        clean=built.clean,
        ladder=ladder_of(built.course, built.timeline, built.findings),
        days=days_of(built, how),
        findings=tuple(
            finding_view(one, place)
            for place, one in enumerate(built.findings, 1)
            if not one.dive
        ),
        flying=_flying(built, how),
        not_judged=_NOT_JUDGED,
    )  # fmt: skip


def _flying(built: BuildUp, how: str) -> tuple[FlyingView, ...]:
    same: dict[object, list[str]] = {}
    for name, flying in built.flying.items():
        same.setdefault(flying, []).append(name)
    found = []
    for names in same.values():
        flying = built.flying[names[0]]
        if flying is None:
            found.append(FlyingView(", ".join(names), None, "a dive is not computed"))
            continue
        place = [person.name for person in built.course.people].index(names[0])
        at = f"{flying.earliest:%A} {flying.earliest.day} {flying.earliest:%B, %H:%M}"
        shown = Shown(at, account=f"{how}/flying/{place}")
        found.append(FlyingView(", ".join(names), shown, flying.because))
    return tuple(found)
