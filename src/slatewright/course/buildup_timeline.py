"""The dives of a course solved one after the other, for each person with what that one brings.

Who has made the same dives brings the same, so one computation serves all of them; a whole team
surfaces when the one who needs longest does, on that one's stops. Nothing here judges.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Final, TypeAlias

from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.exposure import Brought, DayDose, doses_by_day, in_a_day, otu_by_day
from slatewright.decompression.along import tensions_at
from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import OxygenDose, after_surface
from slatewright.decompression.rest import rest_at_surface
from slatewright.decompression.tissues import COMPARTMENTS, Tissues
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Carried, Plan
from slatewright.dive.planfile import PlanFile
from slatewright.dive.schedule import Schedule, schedule
from slatewright.dive.solving import doses_of
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.water import Water

_Past: TypeAlias = tuple[object, ...]
_TOO_SOON: Final = Reason(
    "it begins before the dive before it has ended", "a later time, or others who dive"
)


@dataclass(frozen=True, slots=True)
class Made:
    """A dive as one person makes it.

    Parameters
    ----------
    plan
        With what the person brings.
    legs
        Those of the team, from the surface to the surface.
    first_stop_m
        The first stop [m]; None if there is none.
    start, end
        Tensions at the start and on surfacing.
    dose
        Oxygen on surfacing, with what was brought; its pulmonary units are those of the day on
        which the dive began.
    own_runtime_min
        Run time that this person's own load asks for [min].
    days
        Pulmonary units on each day that the dive touches.
    interval_min
        The surface interval before it; None for a first dive [min].
    """

    plan: Plan
    legs: tuple[Leg, ...]
    first_stop_m: float | None
    start: Tissues
    end: Tissues
    dose: OxygenDose
    own_runtime_min: float
    days: tuple[tuple[date, float], ...]
    interval_min: float | None

    @property
    def runtime_min(self) -> float:
        """Run time of the team [min]."""
        return self.legs[-1].end_min


@dataclass(frozen=True, slots=True)
class Timed:
    """A dive of the course, computed.

    Parameters
    ----------
    dive
        The dive.
    made
        Name to what the dive is for that person; empty if it is not computed.
    refusal
        Why there is no safe dive of this plan here; empty if there is one.
    refused
        Whom it is that cannot make it.
    longest
        The name of the one who needs longest; empty if it is not computed.
    schedule
        What that one makes, and so the team; None if it is not computed.
    """

    dive: CourseDive
    made: Mapping[str, Made]
    refusal: tuple[Reason, ...] = ()
    refused: str = ""
    longest: str = ""
    schedule: Schedule | None = None

    @property
    def runtime_min(self) -> float | None:
        """Run time of the team; None if it is not computed [min]."""
        return self.schedule.runtime_min if self.schedule else None

    @property
    def surfaced(self) -> datetime | None:
        """When the team surfaces; None if it is not computed."""
        minutes = self.runtime_min
        return None if minutes is None else self.dive.start + timedelta(minutes=minutes)


@dataclass(frozen=True, slots=True)
class Timeline:
    """All dives in order of time.

    Parameters
    ----------
    dives
        Those of the course and those elsewhere.
    days
        Name to that person's days of exposure.
    """

    dives: tuple[Timed, ...]
    days: Mapping[str, tuple[DayDose, ...]]

    def of(self, name: str) -> tuple[Timed, ...]:
        """Return the dives of a person, in order of time.

        Parameters
        ----------
        name
            The name.
        """
        return tuple(timed for timed in self.dives if name in timed.dive.who)


@dataclass(frozen=True, slots=True)
class State:
    """What somebody brings to the next dive.

    Parameters
    ----------
    past
        What tells this history from others.
    last
        The dive before; None before the first.
    surfaced
        When it ended.
    taken
        Day to pulmonary units.
    brought
        Pulmonary units that the plan of the first dive carries in.
    lost
        Whether a dive before could not be computed: what follows is not either.
    """

    past: _Past = ()
    last: Made | None = None
    surfaced: datetime | None = None
    taken: Mapping[date, float] = field(default_factory=dict)
    brought: Brought | None = None
    lost: bool = False


@dataclass
class Solver:
    """Solves dives, each for each history once.

    Parameters
    ----------
    rules
        The house rules, for all dives.
    """

    rules: HouseRules
    _known: dict[_Past, tuple[Timed, dict[str, State]]] = field(default_factory=dict)

    def timeline(self, course: Course) -> Timeline:
        """Return the dives of a course, computed.

        Parameters
        ----------
        course
            The course.
        """
        states = {person.name: State() for person in course.people}
        done = []
        for dive in course.in_time:
            timed, after = self.after(dive, states)
            states |= after
            done.append(timed)
        days = {name: doses_by_day(state.taken, state.brought) for name, state in states.items()}
        return Timeline(tuple(done), days)

    def after(
        self, dive: CourseDive, states: Mapping[str, State]
    ) -> tuple[Timed, dict[str, State]]:
        """Return a dive, computed, and what its divers then bring to the next.

        Parameters
        ----------
        dive
            The dive.
        states
            Name to what that person brings.
        """
        key = (dive.key, dive.start, *((name, states[name].past) for name in dive.who))
        if key not in self._known:
            self._known[key] = self._after(dive, states)
        return self._known[key]

    def _after(
        self, dive: CourseDive, states: Mapping[str, State]
    ) -> tuple[Timed, dict[str, State]]:
        solved: dict[_Past, Schedule] = {}
        for name in dive.who:
            state = states[name]
            if state.past in solved:
                continue
            try:
                if state.lost:
                    raise NoSafeAnswer(  # noqa: TRY301 - refused as the solver refuses
                        Reason("a dive before it could not be computed")
                    )
                solved[state.past] = schedule(_plan_after(dive, state, self.rules))
            except NoSafeAnswer as refusal:
                lost = {who: _lost(states[who], dive) for who in dive.who}
                return Timed(dive, {}, refusal.reasons, name), lost
        longest = max(dive.who, key=lambda name: solved[states[name].past].runtime_min)
        team = solved[states[longest].past]
        surfaced = dive.start + timedelta(minutes=team.runtime_min)
        made: dict[_Past, Made] = {}
        after: dict[str, State] = {}
        for name in dive.who:
            state = states[name]
            if state.past not in made:
                made[state.past] = _made(dive, solved[state.past], team, state)
            after[name] = _next(state, dive, made[state.past], surfaced)
        persons = {name: made[states[name].past] for name in dive.who}
        return Timed(dive, persons, longest=longest, schedule=team), after


def _made(dive: CourseDive, own: Schedule, team: Schedule, state: State) -> Made:
    """Return the dive of one who brings a load of the own, on the stops of the team."""
    plan, end, dose = own.plan, own.end, own.oxygen
    if own is not team:
        at_end = [team.runtime_min]
        row = tensions_at(team.legs, at_end, plan.settings, plan.water, own.start)[0].tolist()
        end = Tissues(tuple(row[:COMPARTMENTS]), tuple(row[COMPARTMENTS:]))
        dose = doses_of(plan, team.legs)[-1]
    interval_min = None
    if state.surfaced is not None:
        interval_min = (dive.start - state.surfaced).total_seconds() / 60.0
    return Made(
        plan=plan,
        legs=team.legs,
        first_stop_m=team.first_stop_m,
        start=own.start,
        end=end,
        dose=dose,
        own_runtime_min=own.runtime_min,
        days=otu_by_day(team.legs, plan.water, dive.start, table=plan.rules.oxygen_table),
        interval_min=interval_min,
    )


def _lost(state: State, dive: CourseDive) -> State:
    return replace(state, lost=True, past=(*state.past, (dive.key, dive.start)))


def _next(state: State, dive: CourseDive, made: Made, surfaced: datetime) -> State:
    taken = dict(state.taken)
    for day, otu in made.days:
        taken[day] = taken.get(day, 0.0) + otu
    brought = state.brought
    carried = made.plan.carried
    if state.last is None and carried is not None:
        brought = Brought(carried.otu_today, carried.otu_before_today, carried.day)
    return State(
        past=(*state.past, (dive.key, dive.start, surfaced)),
        last=made,
        surfaced=surfaced,
        taken=taken,
        brought=brought,
    )


def _plan_after(dive: CourseDive, state: State, rules: HouseRules) -> Plan:
    """Return the plan of a dive with what somebody brings to it."""
    if state.last is None or state.surfaced is None:
        return _alone(dive.plan, rules)
    interval_min = (dive.start - state.surfaced).total_seconds() / 60.0
    if interval_min < 0.0:
        raise NoSafeAnswer(_TOO_SOON)
    water = dive.plan.column()
    return replace(
        _rested(dive.plan, rules),
        carried=carried_into(state, dive.start.date(), interval_min, water),
    )


def _alone(file: PlanFile, rules: HouseRules) -> Plan:
    return file.model_copy(update={"earlier": None}).to_plan(rules)


def _rested(file: PlanFile, rules: HouseRules) -> Plan:
    return file.model_copy(update={"earlier": None, "carried": None}).to_plan(rules)


def carried_into(state: State, day: date, interval_min: float, water: Water) -> Carried:
    """Return what somebody brings to a dive, pulmonary units by days of the calendar.

    Parameters
    ----------
    state
        After the dive before.
    day
        The day on which the dive begins.
    interval_min
        The surface interval [min].
    water
        Where it is made. The interval is spent at the higher surface pressure of both places,
        which leaves more gas in the tissues.

    Returns
    -------
    Carried
        For the plan.

    Raises
    ------
    ValueError
        If there was no dive before.
    """
    before = state.last
    if before is None:
        raise ValueError("there was no dive before")
    days = doses_by_day({**state.taken, day: state.taken.get(day, 0.0)}, state.brought)
    today = days[-1]
    dose = in_a_day(
        after_surface(
            before.dose, interval_min, cns_half_time_min=before.plan.rules.cns_half_time_min
        ),
        today.otu,
    )
    surface_bar = max(before.plan.water.surface_bar, water.surface_bar)
    return Carried(
        tissues=rest_at_surface(before.end, interval_min, surface_bar, before.plan.settings.model),
        cns_pct=dose.cns_pct,
        otu_today=dose.otu,
        otu_before_today=today.run_otu - today.otu,
        day=today.day_of_run,
        index_k=dose.index_k,
    )
