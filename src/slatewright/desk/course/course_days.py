"""A course as a passage of days: dives, rest, oxygen of the day; findings beside their dives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from markupsafe import Markup

from slatewright.course.buildup import BuildUp
from slatewright.course.buildup_findings import Finding
from slatewright.course.buildup_timeline import Timed
from slatewright.course.exposure import DayDose
from slatewright.desk.bench import svg
from slatewright.desk.course.course_work import library
from slatewright.desk.filters import percent_up
from slatewright.desk.workings import Shown
from slatewright.paper.reading import depth_text, minutes_up
from slatewright.paper.theme import mixture_name
from slatewright.physics.units import round_up

_HOUR_MIN: Final = 60
_BAR_PX: Final = 90.0
_BAR_TALL_PX: Final = 8.0


@dataclass(frozen=True, slots=True)
class FindingView:
    """Something that is found of a course.

    Parameters
    ----------
    number
        Counted from 1, among all of the course.
    severity, what, text, why, cure
        As found.
    who
        Whom it concerns; empty for all.
    limits
        The keys of the file's limits that decided, in words; empty if none did.
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
    who: str
    limits: str
    violates: bool
    mends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DiverLine:
    """What a dive is for people who bring the same to it.

    Parameters
    ----------
    names
        Who.
    interval
        The surface interval before; None for a first dive.
    cns, otu
        CNS share on surfacing, and pulmonary units of the day so far.
    warned
        Whether the CNS share is warned of.
    """

    names: str
    interval: Shown | None
    cns: Shown
    otu: Shown
    warned: bool


@dataclass(frozen=True, slots=True)
class SkillLine:
    """A skill that is shown.

    Parameters
    ----------
    id, words
        The skill; no words if it is not in the list.
    """

    id: str
    words: str


@dataclass(frozen=True, slots=True)
class DiveView:
    """A dive.

    Parameters
    ----------
    number
        Its place in the file; 0 for one elsewhere.
    title, depth, gases
        Of its plan.
    run
        Its run time; None if it is not computed.
    start
        When it begins.
    new
        What is new on it.
    skills
        What is shown on it.
    load
        What skills and new things come to; None for a dive elsewhere.
    simulated
        Whether its decompression is only simulated.
    divers
        Who makes it.
    findings
        What is found of it.
    refused
        Why there is no safe dive here; empty if there is one.
    bench
        Where its plan is; empty if it is no plan of the workspace.
    """

    number: int
    title: str
    depth: str
    gases: str
    run: Shown | None
    start: datetime
    new: tuple[str, ...]
    skills: tuple[SkillLine, ...]
    load: Shown | None
    simulated: bool
    divers: tuple[DiverLine, ...]
    findings: tuple[FindingView, ...]
    refused: str
    bench: str


@dataclass(frozen=True, slots=True)
class OxygenLine:
    """The pulmonary units of a day, for people who have the same.

    Parameters
    ----------
    names
        Who.
    day, run
        Of the day, and of the run of days.
    day_allowed, run_allowed
        What the table allows of both.
    bar
        The share of the day's allowance, drawn.
    over
        Whether more was taken than is allowed.
    """

    names: str
    day: Shown
    day_allowed: str
    run: Shown
    run_allowed: str
    bar: Markup
    over: bool


@dataclass(frozen=True, slots=True)
class DayView:
    """A day.

    Parameters
    ----------
    date
        Its date.
    kind
        ``dives``, ``rest``, ``kept`` for bad weather, ``flight`` or ``idle``.
    words
        A day without dives, in words; empty for one with.
    dives
        In order of time.
    flights
        Who flies, and when.
    oxygen
        What the day takes.
    """

    date: date
    kind: str
    words: str
    dives: tuple[DiveView, ...]
    flights: tuple[str, ...]
    oxygen: tuple[OxygenLine, ...]


def days_of(built: BuildUp, how: str) -> tuple[DayView, ...]:
    """Return the days of a course, from the first to the last that has something.

    Parameters
    ----------
    built
        The build-up.
    how
        The path under which the course tells how its numbers came about.
    """
    course = built.course
    marked = {timed.dive.start.date() for timed in built.timeline.dives}
    marked |= course.rest | course.lost | {flight.start.date() for flight in course.flights}
    found: list[DayView] = []
    for day in sorted(marked):
        if found and (idle := (day - found[-1].date).days - 1):
            first = found[-1].date + timedelta(days=1)
            words = "a day without a dive" if idle == 1 else f"{idle} days without a dive"
            found.append(DayView(first, "idle", words, (), (), ()))
        found.append(_day(built, day, how))
    return tuple(found)


def _day(built: BuildUp, day: date, how: str) -> DayView:
    course = built.course
    dives = [timed for timed in built.timeline.dives if timed.dive.start.date() == day]
    flights = tuple(
        f"{', '.join(flight.who)} {'flies' if len(flight.who) == 1 else 'fly'} at "
        f"{flight.start:%H:%M}"
        for flight in course.flights
        if flight.start.date() == day
    )
    kind, words = "dives", ""
    if not dives:
        kind, words = ("flight", "") if flights else ("idle", "no dive")
        if day in course.rest:
            kind, words = "rest", "a day of rest"
        elif day in course.lost:
            kind, words = "kept", "kept for a day lost to weather"
    views = tuple(_dive(built, timed, how) for timed in dives)
    return DayView(day, kind, words, views, flights, _oxygen(built, day, how))


def _oxygen(built: BuildUp, day: date, how: str) -> tuple[OxygenLine, ...]:
    same: dict[DayDose, list[str]] = {}
    for name, days in built.timeline.days.items():
        for dose in days:
            if dose.day == day:
                same.setdefault(dose, []).append(name)
    people = [person.name for person in built.course.people]
    found = []
    for dose, names in same.items():
        path = f"{people.index(names[0])}/{day.isoformat()}"
        share = dose.otu / dose.allowed_otu if dose.allowed_otu else 1.0
        found.append(
            OxygenLine(
                ", ".join(names),
                Shown(f"{round(round_up(dose.otu))}", account=f"{how}/day/{path}"),
                f"{dose.allowed_otu:.0f}",
                Shown(f"{round(round_up(dose.run_otu))}", account=f"{how}/days/{path}"),
                f"{dose.allowed_run_otu:.0f}",
                _bar(share, over=dose.over),
                dose.over,
            )
        )
    return tuple(found)


def _bar(share: float, *, over: bool) -> Markup:
    full = min(1.0, share) * _BAR_PX
    inside = [
        svg.rect("vessel", 0, 0, _BAR_PX, _BAR_TALL_PX),
        svg.rect("taken", 0, 0, full, _BAR_TALL_PX),
    ]
    words = f"{share:.0%} of what the day allows"
    name = f"share-bar{' short' if over else ''}"
    return svg.picture(name, _BAR_PX, _BAR_TALL_PX, words, inside)


def _dive(built: BuildUp, timed: Timed, how: str) -> DiveView:
    dive, units = timed.dive, built.course.units
    novelty = None if dive.elsewhere else built.novelty.get(dive.number)
    load = None if dive.elsewhere else built.load.get(dive.number)
    number = dive.plan_word.removeprefix("#")
    key = key_of(timed)
    run = timed.runtime_min
    known = library().by_id
    return DiveView(
        number=0 if dive.elsewhere else dive.number,
        title=dive.plan.title,
        depth=f"{depth_text(dive.deepest.depth_m, units)} {units.depth_unit}",
        gases=", ".join(dict.fromkeys(mixture_name(gas.mixture) for gas in dive.plan.gas)),
        run=None
        if run is None
        else Shown(str(minutes_up(run)), "min", account=f"{how}/run/{key}"),
        start=dive.start,
        new=() if novelty is None else tuple(thing.words for thing in novelty.things),
        skills=tuple(
            SkillLine(one, known[one].words if one in known else "") for one in dive.skills
        ),
        load=None if load is None else Shown(f"{load:g}", account=f"{how}/load/{key}"),
        simulated=dive.simulated,
        divers=_divers(built, timed, f"{how}/{{}}/{key}"),
        findings=tuple(
            finding_view(one, place)
            for place, one in enumerate(built.findings, 1)
            if (one.elsewhere, one.dive) == dive.key
        ),
        refused="; ".join(reason.what for reason in timed.refusal),
        bench=f"/bench/{number}" if dive.plan_word.startswith("#") and number.isdecimal() else "",
    )  # fmt: skip


def key_of(timed: Timed) -> str:
    """Return what a path calls a dive: ``d3``, or ``e1`` for one elsewhere.

    Parameters
    ----------
    timed
        The dive.
    """
    return f"{'e' if timed.dive.elsewhere else 'd'}{timed.dive.number}"


def _divers(built: BuildUp, timed: Timed, path: str) -> tuple[DiverLine, ...]:
    # who has made the same dives shares one computation, and one line
    same: dict[int, list[str]] = {}
    for name, made in timed.made.items():
        same.setdefault(id(made), []).append(name)
    people = [person.name for person in built.course.people]
    found = []
    for names in same.values():
        made, place = timed.made[names[0]], people.index(names[0])
        interval = None
        if made.interval_min is not None:
            text = hours_text(made.interval_min)
            interval = Shown(text, account=f"{path.format('interval')}/{place}")
        found.append(
            DiverLine(
                _joined(names, timed.dive.who),
                interval,
                Shown(percent_up(made.dose.cns_pct), account=f"{path.format('cns')}/{place}"),
                Shown(f"{round(round_up(made.dose.otu))}", account=f"{path.format('otu')}/{place}"),
                any(
                    one.code == "cns" and one.dive == timed.dive.number and names[0] in one.who
                    for one in built.findings
                ),
            )
        )
    return tuple(found)


def _joined(names: Sequence[str], who: Sequence[str]) -> str:
    return "all" if len(names) == len(who) > 1 else ", ".join(names)


def hours_text(minutes: float) -> str:
    """Return a surface interval as hours and minutes, cut to whole minutes.

    Parameters
    ----------
    minutes
        Its length [min].
    """
    hours, rest = divmod(int(minutes + 1e-6), _HOUR_MIN)
    return f"{hours}:{rest:02}"


def finding_view(one: Finding, number: int) -> FindingView:
    """Return a finding as it is shown.

    Parameters
    ----------
    one
        The finding.
    number
        Its number.
    """
    return FindingView(
        number=number,
        severity=str(one.severity),
        what=one.code.replace("-", " "),
        text=one.text,
        why=one.why,
        cure=one.cure,
        who=", ".join(one.who),
        limits=", ".join(one.limits),
        violates=one.violates,
        mends=tuple(mend.words for mend in one.mends),
    )
