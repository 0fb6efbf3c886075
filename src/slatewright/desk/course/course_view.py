"""What the page of a course is given."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from markupsafe import Markup

from slatewright.course.buildup import NOT_JUDGED, BuildUp
from slatewright.course.buildup_timeline import Timed
from slatewright.course.coursefile import CourseFile
from slatewright.desk.bench import svg
from slatewright.desk.problem import Fault
from slatewright.paper.course_dates import doses_of, gas_totals
from slatewright.paper.reading import depth_text, free_text
from slatewright.paper.theme import mixture_name
from slatewright.store.courses import KeptCourse

_HOUR_MIN: Final = 60
_WIDTH_PX: Final = 900.0
_LEFT_PX: Final = 44.0
_TOP_PX: Final = 34.0
_DEEP_PX: Final = 200.0
_BANDS: Final = 7


@dataclass(frozen=True, slots=True)
class DiverLine:
    """What a dive is for one person.

    Parameters
    ----------
    name
        Who.
    interval
        The surface interval before; empty for a first dive.
    cns, otu
        CNS share on surfacing, and pulmonary units of the day.
    """

    name: str
    interval: str
    cns: str
    otu: str


@dataclass(frozen=True, slots=True)
class DiveView:
    """A dive of the course.

    Parameters
    ----------
    number
        Its place in the file; 0 for one elsewhere.
    title, depth, run, gases
        Of its plan.
    start
        When it begins.
    new, skills, load
        What is new on it, which skills are shown, and what both come to.
    divers
        Who makes it.
    findings
        The numbers of what speaks against it.
    refused
        Why there is no safe dive here; empty if there is one.
    bench
        Where its plan is; empty if it is no plan of the workspace.
    """

    number: int
    title: str
    depth: str
    run: str
    gases: str
    start: datetime
    new: tuple[str, ...]
    skills: tuple[str, ...]
    load: str
    divers: tuple[DiverLine, ...]
    findings: tuple[int, ...]
    refused: str
    bench: str


@dataclass(frozen=True, slots=True)
class FindingView:
    """Something that speaks against the course.

    Parameters
    ----------
    number
        Counted from 1.
    severity, what, text, why, cure
        As found.
    violates
        Whether it is more than a note.
    mends
        Cures that can be written into the text, as buttons say them.
    """

    number: int
    severity: str
    what: str
    text: str
    why: str
    cure: str
    violates: bool
    mends: tuple[str, ...]


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
    dives
        In order of time.
    findings
        What speaks against it.
    flying
        Name, when that person may fly, and why.
    gas
        Gas, what is breathed of it, and what is in all cylinders.
    days
        Name, day, pulmonary units of the day and of the run, and what is allowed.
    not_judged
        What nobody has looked at.
    """

    verdict: str
    clean: bool
    ladder: Markup
    dives: tuple[DiveView, ...]
    findings: tuple[FindingView, ...]
    flying: tuple[tuple[str, str, str], ...]
    gas: tuple[tuple[str, str, str], ...]
    days: tuple[tuple[str, str, str, str], ...]
    not_judged: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CourseView:
    """The page of a course.

    Parameters
    ----------
    course
        The course as it is kept.
    answer
        The course, built up; None if it has faults.
    students, instructors
        Names, with the number of that person in the roster; 0 if there is none.
    faults
        What is wrong.
    said
        What was done, in a few words.
    back
        The version that can be gone back to; 0 if there is none.
    """

    course: KeptCourse
    answer: CourseAnswer | None
    students: tuple[tuple[str, int], ...]
    instructors: tuple[tuple[str, int], ...]
    faults: tuple[Fault, ...] = ()
    said: str = ""
    back: int = 0


def people_of(
    file: CourseFile | None, roster: dict[str, int]
) -> tuple[tuple[tuple[str, int], ...], tuple[tuple[str, int], ...]]:
    """Return students and instructors with their numbers in the roster.

    Parameters
    ----------
    file
        What the course's text says; None if it has faults.
    roster
        Name to number.
    """
    if file is None:
        return (), ()
    students = tuple((one.name, roster.get(one.name, 0)) for one in file.student)
    return students, tuple((one.name, roster.get(one.name, 0)) for one in file.instructor)


def answer_of(built: BuildUp) -> CourseAnswer:
    """Return a course as it is shown.

    Parameters
    ----------
    built
        The build-up.
    """
    units = built.course.units
    count = sum(finding.violates for finding in built.findings)
    verdict = "within its limits" if built.clean else f"{count} findings against it"
    return CourseAnswer(
        verdict=verdict,
        clean=built.clean,
        ladder=ladder_of(built),
        dives=tuple(_dive(built, timed) for timed in built.timeline.dives),
        findings=tuple(
            FindingView(
                number=place,
                severity=str(one.severity),
                what=f"{one.code.replace('-', ' ')}, "
                + (f"dive {one.dive}" if one.dive else "the course"),
                text=one.text,
                why=one.why,
                cure=one.cure,
                violates=one.violates,
                mends=tuple(mend.words for mend in one.mends),
            )
            for place, one in enumerate(built.findings, 1)
        ),
        flying=tuple(
            (name, f"{flying.earliest:%Y-%m-%d %H:%M}", flying.because)
            if flying is not None
            else (name, "not known", "a dive could not be computed")
            for name, flying in built.flying.items()
        ),
        gas=tuple(
            (
                mixture_name(mix),
                free_text(gas.used_free_l, units),
                free_text(gas.filled_free_l, units),
            )
            for mix, gas in gas_totals(built).items()
        ),
        days=tuple(
            (
                name,
                day.day.isoformat(),
                f"{day.otu:.0f} of {day.allowed_otu:.0f}",
                f"{day.run_otu:.0f} of {day.allowed_run_otu:.0f}",
            )
            for name, days in built.timeline.days.items()
            for day in days
        ),
        not_judged=NOT_JUDGED,
    )


def _dive(built: BuildUp, timed: Timed) -> DiveView:
    dive, units = timed.dive, built.course.units
    novelty = None if dive.elsewhere else built.novelty.get(dive.number)
    load = None if dive.elsewhere else built.load.get(dive.number)
    doses = {dose.name: dose for dose in doses_of(timed)}
    number = dive.plan_word.removeprefix("#")
    return DiveView(
        number=0 if dive.elsewhere else dive.number,
        title=dive.plan.title,
        depth=f"{depth_text(dive.deepest.depth_m, units)} {units.depth_unit}",
        run="" if timed.schedule is None else f"{timed.schedule.runtime_min:.0f} min",
        gases=", ".join(dict.fromkeys(mixture_name(gas.mixture) for gas in dive.plan.gas)),
        start=dive.start,
        new=() if novelty is None else tuple(thing.words for thing in novelty.things),
        skills=dive.skills,
        load="" if load is None else f"{load:g}",
        divers=tuple(
            DiverLine(
                name,
                "" if made.interval_min is None else _interval(made.interval_min),
                f"{doses[name].cns_pct:.0f} %",
                f"{doses[name].otu:.0f}",
            )
            for name, made in timed.made.items()
        ),
        findings=tuple(
            place
            for place, one in enumerate(built.findings, 1)
            if (one.elsewhere, one.dive) == (dive.elsewhere, dive.number)
        ),
        refused="; ".join(reason.what for reason in timed.refusal),
        bench=f"/bench/{number}" if dive.plan_word.startswith("#") and number.isdecimal() else "",
    )


def _interval(minutes: float) -> str:
    hours, rest = divmod(round(minutes), _HOUR_MIN)
    return f"{hours}:{rest:02}"


def ladder_of(built: BuildUp) -> Markup:
    """Draw the depths of a course along its days, depth downward.

    Parameters
    ----------
    built
        The build-up.
    """
    units = built.course.units
    dives = built.timeline.dives
    deepest = max((timed.dive.deepest.depth_m for timed in dives), default=1.0)
    days = sorted({timed.dive.start.date() for timed in dives})
    first, last = (days[0], days[-1]) if days else (None, None)
    span = max(1, (last - first).days) if first and last else 1
    right = _WIDTH_PX - 40.0

    def x(timed: Timed) -> float:
        since = (timed.dive.start.date() - first).days if first else 0
        part = (timed.dive.start.hour * 60 + timed.dive.start.minute) / 1440.0
        return _LEFT_PX + (right - _LEFT_PX) * (since + part) / (span + 1)

    inside = []
    for band in range(_BANDS):
        top = _TOP_PX + _DEEP_PX * band / _BANDS
        name = f"tint-{band + 1}"
        inside.append(svg.rect(name, _LEFT_PX, top, right, top + _DEEP_PX / _BANDS))
    inside.append(svg.line("surface", _LEFT_PX, _TOP_PX, right, _TOP_PX))
    points = []
    for timed in dives:
        y = _TOP_PX + _DEEP_PX * 0.94 * timed.dive.deepest.depth_m / deepest
        if not timed.dive.elsewhere:
            points.append((x(timed), y))
        inside.append(svg.line("lead", x(timed), _TOP_PX, x(timed), y))
        inside.append(svg.shape("weight", (), x(timed), y, 4.0))
        words = depth_text(timed.dive.deepest.depth_m, units)
        inside.append(svg.text("word-level broken", x(timed) + 9, y, words))
        inside.append(
            svg.text("axis mid", x(timed), _TOP_PX - 14, f"{timed.dive.start:%d %b}".lstrip("0"))
        )
    if len(points) > 1:
        inside.insert(_BANDS + 1, svg.path("rungs", points))
    return svg.picture(
        "ladder",
        _WIDTH_PX,
        _TOP_PX + _DEEP_PX + 6,
        "Greatest depths along the days: "
        + ", ".join(
            f"{timed.dive.start:%d %B} {depth_text(timed.dive.deepest.depth_m, units)} "
            f"{units.depth_unit}"
            for timed in dives
        ),
        inside,
    )
