"""What the readiness page is given."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from typing import Final

from slatewright.course.pace import Forecast
from slatewright.course.readiness import Judged, Readiness, RuleResult, State
from slatewright.course.readiness_parts import PartResult
from slatewright.desk.course.naming import Named
from slatewright.logs.logged import LoggedDive
from slatewright.paper.readiness_letter_data import named_words
from slatewright.paper.theme import mixture_name
from slatewright.store.waivers import KeptWaiver

MOST_DIVES: Final = 200
"""Dives that are listed under a rule; the rest are counted."""
MOST_LOGGED: Final = 50
"""Names of the logs that are offered."""
_RINGS: Final = {State.MET: "met", State.WAIVED: "waived", State.NOT_MET: "lacking"}


@dataclass(frozen=True, slots=True)
class DiveLine:
    """A logged dive, in a line.

    Parameters
    ----------
    on_date
        The day.
    depth
        Its depth as logged.
    minutes
        How long it was.
    gas
        What was breathed; empty if the log does not say.
    place
        Where.
    why
        Why it misses, or what the log leaves out; empty if it counts.
    origin
        Where the entry comes from.
    """

    on_date: date
    depth: str
    minutes: str
    gas: str
    place: str
    why: str
    origin: str


@dataclass(frozen=True, slots=True)
class PartView:
    """One thing asked.

    Parameters
    ----------
    asks
        What.
    count, needed
        How many there are and are needed.
    met
        Whether that is enough.
    working
        How it was counted.
    counted, near, unknown, borders
        The dives that count, that miss by little, whose log leaves something out, and that count
        only in the unit in which they were logged.
    more
        How many dives that count are not listed.
    certificates
        The cards that count.
    missing
        What else is not known.
    forecast
        When it would be met.
    """

    asks: str
    count: int
    needed: int
    met: bool
    working: tuple[str, ...]
    counted: tuple[DiveLine, ...]
    near: tuple[DiveLine, ...]
    unknown: tuple[DiveLine, ...]
    borders: tuple[DiveLine, ...]
    more: int
    certificates: tuple[str, ...]
    missing: str
    forecast: str


@dataclass(frozen=True, slots=True)
class RuleView:
    """A rule, and what came of it.

    Parameters
    ----------
    id
        The rule.
    says
        What it asks, in its writer's words.
    state
        ``met``, ``waived``, ``not met``.
    ring
        The class of its mark.
    figures
        Count of needed, in the way that decides.
    ways
        What came of each way, part by part.
    forecast
        When it would be met.
    waiver
        The waiver that holds, in words; empty if none.
    waiver_number
        Its number; 0 if none.
    """

    id: str
    says: str
    state: str
    ring: str
    figures: str
    ways: tuple[tuple[PartView, ...], ...]
    forecast: str
    waiver: str
    waiver_number: int


@dataclass(frozen=True, slots=True)
class StandardView:
    """A standard, and how the candidate stands to it.

    Parameters
    ----------
    id, title, side
        The standard.
    notes
        What is to be read beside it.
    ready
        Whether each rule is met or waived.
    words
        The same, said.
    forecast
        When all would be met at once.
    rules
        What came of each rule.
    stray
        Waivers for rules that it does not have any more.
    """

    id: str
    title: str
    side: str
    notes: tuple[str, ...]
    ready: bool
    words: str
    forecast: str
    rules: tuple[RuleView, ...]
    stray: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadyView:
    """The readiness page.

    Parameters
    ----------
    person_id, name
        The candidate.
    today
        The day on which was judged.
    medical
        Whether the medical clearance is valid, said.
    medical_valid
        Whether it is.
    dives
        How many dives are logged.
    standards
        What came of each standard.
    unread
        Standards that cannot be read, by title.
    named
        Who was named as teaching the course, and as taking it too.
    judged_with
        The same, said; empty for nobody.
    logged
        Names that stand in the logs, to choose from; those of most dives first.
    """

    person_id: int
    name: str
    today: date
    medical: str
    medical_valid: bool
    dives: int
    standards: tuple[StandardView, ...]
    unread: tuple[str, ...]
    named: Named
    judged_with: str
    logged: tuple[str, ...]


def ready_view(
    person_id: int,
    ready: Readiness,
    kept: tuple[KeptWaiver, ...],
    unread: tuple[str, ...],
    named: Named,
) -> ReadyView:
    """Return readiness as it is shown.

    Parameters
    ----------
    person_id
        The candidate's number.
    ready
        What came of the standards.
    kept
        The waivers in the records.
    unread
        Standards that cannot be read.
    named
        Who was named.
    """
    logged = Counter(name for dive in ready.candidate.dives for name in dive.partners)
    return ReadyView(
        person_id=person_id,
        name=ready.candidate.name,
        today=ready.today,
        medical=ready.medical.says,
        medical_valid=ready.medical.valid,
        dives=len(ready.candidate.dives),
        standards=tuple(_standard(judged, kept) for judged in ready.judged),
        unread=unread,
        named=named,
        judged_with=named_words(named.instructors, named.partners),
        logged=tuple(name for name, _ in logged.most_common(MOST_LOGGED)),
    )


def _standard(judged: Judged, kept: tuple[KeptWaiver, ...]) -> StandardView:
    standard = judged.standard
    lacking = sum(rule.state is State.NOT_MET for rule in judged.rules)
    waived = sum(rule.state is State.WAIVED for rule in judged.rules)
    if lacking:
        words = f"not yet: {lacking} of {len(judged.rules)} rules are lacking"
    elif waived:
        words = f"ready, {waived} {'rule' if waived == 1 else 'rules'} waived"
    else:
        words = "ready, every rule met"
    return StandardView(
        id=standard.id,
        title=standard.title,
        side=str(standard.side),
        notes=standard.notes,
        ready=judged.ready,
        words=words,
        forecast=_forecast(judged.forecast) if lacking else "",
        rules=tuple(_rule(rule, standard.id, kept) for rule in judged.rules),
        stray=tuple(f"{one.rule}: {one.reason}" for one in judged.stray_waivers),
    )


def _rule(result: RuleResult, standard: str, kept: tuple[KeptWaiver, ...]) -> RuleView:
    part = result.part
    holding = [
        one.id
        for one in kept
        if one.withdrawn_at is None
        and (one.waiver.standard, one.waiver.rule) == (standard, result.rule.id)
    ]
    waiver = result.waiver
    return RuleView(
        id=result.rule.id,
        says=result.rule.says,
        state=str(result.state),
        ring=_RINGS[result.state],
        figures=f"{part.count} of {part.needed}",
        ways=tuple(tuple(_part(each) for each in way.parts) for way in result.ways),
        forecast="" if result.met else _forecast(result.forecast),
        waiver="" if waiver is None else f"{waiver.by}, {waiver.on}: {waiver.reason}",
        waiver_number=holding[-1] if holding else 0,
    )


def _part(part: PartResult) -> PartView:
    counted = tuple(_line(dive, "") for dive in reversed(part.counted))
    return PartView(
        asks=part.asks,
        count=part.count,
        needed=part.needed,
        met=part.met,
        working=part.working,
        counted=counted[:MOST_DIVES],
        near=tuple(_line(one.dive, one.why) for one in part.near),
        unknown=tuple(_line(one.dive, one.why) for one in part.unknown),
        borders=tuple(_line(one.dive, one.why) for one in part.borders),
        more=max(0, len(counted) - MOST_DIVES),
        certificates=tuple(str(card) for card in part.certificates),
        missing=part.missing,
        forecast="" if part.met else _forecast(part.forecast),
    )


def _line(dive: LoggedDive, why: str) -> DiveLine:
    origin = dive.origin.name
    return DiveLine(
        on_date=dive.on_date,
        depth=str(dive.greatest),
        minutes=f"{dive.minutes:g} min",
        gas=", ".join(mixture_name(mix) for mix in dive.mixes),
        place=dive.place,
        why=why,
        origin=f"{origin}, line {dive.origin.line}" if dive.origin.line else origin,
    )


def _forecast(forecast: Forecast) -> str:
    return forecast.says
