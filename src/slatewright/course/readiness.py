"""Who is ready: a candidate held against standards, rule by rule, with the working."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum

from slatewright.course.candidates import Candidate
from slatewright.course.pace import AllOf, Forecast, OneOf, Outlook
from slatewright.course.readiness_medical import Medical, medical_on
from slatewright.course.readiness_parts import PartResult, hold_against
from slatewright.course.rule_conditions import Given
from slatewright.course.rule_counting import in_order
from slatewright.course.rules import Rule
from slatewright.course.standard import Standard
from slatewright.course.waivers import Waiver, stray, waiver_of
from slatewright.errors import InputError
from slatewright.logs.logged import LoggedDive


class State(StrEnum):
    """What came of a rule."""

    MET = "met"
    WAIVED = "waived"
    NOT_MET = "not met"


@dataclass(frozen=True, slots=True)
class WayResult:
    """One way in which a rule can be met.

    Parameters
    ----------
    parts
        All that it asks.
    forecast
        When all of it would be met at once.
    """

    parts: tuple[PartResult, ...]
    forecast: Forecast

    @property
    def met(self) -> bool:
        """Whether all of it is met."""
        return all(part.met for part in self.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleResult:
    """A rule, and what came of it.

    Parameters
    ----------
    rule
        The rule.
    state
        Met, waived, or not met. A rule that is met needs no waiver and is shown as met.
    ways
        What came of each way in which it can be met.
    waiver
        The waiver that holds; None if there is none.
    forecast
        When it would be met.
    outlook
        When it is met, as what can be asked.
    """

    rule: Rule
    state: State
    ways: tuple[WayResult, ...]
    waiver: Waiver | None
    forecast: Forecast
    outlook: Outlook = field(repr=False, compare=False)

    @property
    def met(self) -> bool:
        """Whether it is met; a waived rule is not."""
        return self.state is State.MET

    @property
    def way(self) -> WayResult:
        """The way that was gone, or else the one that is soonest, or else the first."""
        for way in self.ways:
            if way.met:
                return way
        dated = [way for way in self.ways if way.forecast.on is not None]
        return min(dated, key=lambda way: way.forecast.on or date.max, default=self.ways[0])

    @property
    def part(self) -> PartResult:
        """What decides in that way: the first that is lacking, or else the first."""
        parts = self.way.parts
        return next((part for part in parts if not part.met), parts[0])

    @property
    def working(self) -> tuple[str, ...]:
        """How it was counted, in sentences, for every way and part."""
        many = len(self.ways) > 1
        lines: list[str] = []
        for position, way in enumerate(self.ways, 1):
            for part in way.parts:
                head = f"Way {position}, asks {part.asks}:" if many else f"Asks {part.asks}:"
                lines.append(" ".join([head, *part.working]))
        if self.state is State.WAIVED and self.waiver is not None:
            waiver = self.waiver
            lines.append(f"Waived by {waiver.by} on {waiver.on}: {waiver.reason}")
        return tuple(lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A candidate held against one standard.

    Parameters
    ----------
    standard
        The standard.
    rules
        What came of each rule.
    forecast
        When all rules that are not waived would be met at once.
    stray_waivers
        Waivers for rules that the standard does not have any more.
    """

    standard: Standard
    rules: tuple[RuleResult, ...]
    forecast: Forecast
    stray_waivers: tuple[Waiver, ...] = ()

    @property
    def ready(self) -> bool:
        """Whether each rule is met or waived."""
        return all(one.state is not State.NOT_MET for one in self.rules)

    @property
    def all_met(self) -> bool:
        """Whether each rule is met, and none needed a waiver."""
        return all(one.met for one in self.rules)

    def rule(self, rule_id: str) -> RuleResult:
        """Return what came of a rule.

        Parameters
        ----------
        rule_id
            The name of the rule.

        Raises
        ------
        KeyError
            If the standard has no such rule.
        """
        for one in self.rules:
            if one.rule.id == rule_id:
                return one
        raise KeyError(rule_id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """A candidate held against standards side by side.

    Parameters
    ----------
    candidate
        The candidate, dives in the order of their days.
    today
        The day on which was judged.
    judged
        What came of each standard, in the order given.
    medical
        Whether the medical clearance is valid.
    """

    candidate: Candidate
    today: date
    judged: tuple[Judged, ...]
    medical: Medical


def judge(
    candidate: Candidate,
    standard: Standard,
    today: date,
    waivers: Iterable[Waiver] = (),
    *,
    instructors: Sequence[str] = (),
    partners: Sequence[str] = (),
) -> Judged:
    """Hold a candidate against one standard.

    Parameters
    ----------
    candidate
        The candidate.
    standard
        The standard.
    today
        The day on which is judged; dives of later days do not count.
    waivers
        The candidate's waivers, of any standard.
    instructors
        How the log may name who teaches the course.
    partners
        How the log may name the others who take it.

    Returns
    -------
    Judged
        What came of each rule, with the working.
    """
    given = Given(today=today, instructors=tuple(instructors), partners=tuple(partners))
    return _judge(candidate, in_order(candidate.dives), standard, tuple(waivers), given)


def readiness(
    candidate: Candidate,
    standards: Sequence[Standard],
    today: date,
    waivers: Iterable[Waiver] = (),
    *,
    instructors: Sequence[str] = (),
    partners: Sequence[str] = (),
    course_days: Sequence[date] = (),
) -> Readiness:
    """Hold a candidate against standards side by side.

    Parameters
    ----------
    candidate
        The candidate.
    standards
        The standards, such as a minimum and the instructor's own.
    today
        The day on which is judged; dives of later days do not count.
    waivers
        The candidate's waivers, of any standard.
    instructors
        How the log may name who teaches the course.
    partners
        How the log may name the others who take it.
    course_days
        The days of the course, for the medical clearance.

    Returns
    -------
    Readiness
        What came of each standard.

    Raises
    ------
    InputError
        If two standards have one name: waivers could not tell them apart.
    """
    names = [standard.id for standard in standards]
    if len(set(names)) < len(names):
        raise InputError(
            f"two standards have the same name: {', '.join(names)}",
            where="standard",
            right="an id of its own for each",
        )
    given = Given(today=today, instructors=tuple(instructors), partners=tuple(partners))
    ordered, kept = in_order(candidate.dives), tuple(waivers)
    return Readiness(
        candidate=replace(candidate, dives=ordered),
        today=today,
        judged=tuple(_judge(candidate, ordered, one, kept, given) for one in standards),
        medical=medical_on(candidate.medical_until, course_days, today),
    )


def _judge(
    candidate: Candidate,
    dives: Sequence[LoggedDive],
    standard: Standard,
    waivers: tuple[Waiver, ...],
    given: Given,
) -> Judged:
    results = []
    for rule in standard.rules:
        waiver = waiver_of(waivers, standard.id, rule.id, given.today)
        results.append(_rule(rule, candidate, dives, waiver, given))
    return Judged(
        standard=standard,
        rules=tuple(results),
        forecast=_all_at_once(results, given.today),
        stray_waivers=stray(waivers, standard),
    )


def _rule(
    rule: Rule,
    candidate: Candidate,
    dives: Sequence[LoggedDive],
    waiver: Waiver | None,
    given: Given,
) -> RuleResult:
    ways, outlooks = [], []
    for way in rule.ways:
        parts = tuple(hold_against(asked, candidate, dives, given) for asked in way)
        outlook = AllOf(tuple(part.outlook for part in parts))
        ways.append(WayResult(parts, _way_forecast(parts, outlook, given.today)))
        outlooks.append(outlook)
    met = any(way.met for way in ways)
    state = State.MET if met else State.WAIVED if waiver else State.NOT_MET
    result = RuleResult(
        rule=rule, state=state, ways=tuple(ways), waiver=waiver,
        forecast=ways[0].forecast, outlook=OneOf(tuple(outlooks)),
    )  # fmt: skip
    return replace(result, forecast=result.way.forecast)


def _way_forecast(parts: Sequence[PartResult], outlook: Outlook, today: date) -> Forecast:
    if len(parts) == 1:
        return parts[0].forecast
    on = outlook.first_met(today)
    lapses = [one for part in parts if (one := part.forecast.lapses_on) is not None]
    lacking = [f"{part.asks}: {part.forecast.says}" for part in parts if not part.met]
    if on is None and all(part.forecast.on for part in parts):
        lacking.append("Never all at once at this pace.")
    says = " ".join(lacking) or "Met today."
    return Forecast(on, says, min(lapses, default=None) if on == today else None)


def _all_at_once(results: Sequence[RuleResult], today: date) -> Forecast:
    asked = [one for one in results if one.state is not State.WAIVED]
    on = AllOf(tuple(one.outlook for one in asked)).first_met(today)
    lapses = [one.forecast.lapses_on for one in asked if one.forecast.lapses_on is not None]
    if on == today:
        first = min(lapses, default=None)
        says = "Every rule is met or waived today."
        if first is not None:
            says += f" Without more dives this is no longer so from {first} on."
        return Forecast(on, says, first)
    if on is not None:
        return Forecast(on, f"Every rule that is not waived would be met about {on}.")
    undated = [one for one in asked if one.forecast.on is None]
    if not undated:
        return Forecast(None, "Never at this pace: some rules lapse before the others are met.")
    names = ", ".join(one.rule.id for one in undated)
    rest = AllOf(tuple(one.outlook for one in asked if one not in undated)).first_met(today)
    says = f"No date can be given for {names}."
    if rest is not None and len(undated) < len(asked):
        says += f" All other rules are met {'today' if rest == today else f'about {rest}'}."
    return Forecast(None, says)
