"""A course with its plans at hand: who dives what, when, and what the instructor holds to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import cached_property
from pathlib import Path
from typing import Final

from slatewright.course._course_tables import LimitsTable, clock
from slatewright.course.coursefile import CourseFile, Move, Resolver, plan_fault
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.planfile import PlanFile, interval_min
from slatewright.errors import InputError
from slatewright.physics.units import METRES_PER_FOOT, UnitSystem, feet_from_m, m_from_feet

_WHOLE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Pair:
    """A limit of depth as it holds for plans in metres and for plans in feet.

    Parameters
    ----------
    m, ft
        The two values [m], [ft]; neither is the other converted.
    """

    m: float
    ft: float

    def of(self, units: UnitSystem) -> float:
        """Return the value for plans in some units [m] or [ft].

        Parameters
        ----------
        units
            The units of the plan.
        """
        return self.m if units is UnitSystem.METRIC else self.ft

    @property
    def disagrees(self) -> bool:
        """Whether the two are more than a twentieth apart."""
        in_m = m_from_feet(self.ft)
        return abs(in_m - self.m) > 0.05 * max(in_m, self.m)


@dataclass(frozen=True, slots=True)
class Limits:
    """What the instructor holds to.

    Parameters
    ----------
    step, first_helium_beyond, deepest
        Limits of depth.
    table
        The others, as they are written.
    """

    step: Pair
    first_helium_beyond: Pair
    deepest: Pair
    table: LimitsTable

    @property
    def first_start(self) -> time:
        """No dive begins before."""
        return clock(self.table.first_start)

    @property
    def last_start(self) -> time:
        """No dive begins after."""
        return clock(self.table.last_start)


@dataclass(frozen=True, slots=True)
class Depth:
    """A depth as somebody wrote it.

    Parameters
    ----------
    value
        The number [m] or [ft].
    units
        Which of the two.
    """

    value: float
    units: UnitSystem

    def to(self, units: UnitSystem) -> float:
        """Return the depth in some units; as it was written if they are its own [m] or [ft].

        Parameters
        ----------
        units
            The units wanted.
        """
        if units is self.units:
            return self.value
        return feet_from_m(self.value) if units is UnitSystem.IMPERIAL else m_from_feet(self.value)

    @property
    def depth_m(self) -> float:
        """In metres [m]."""
        return self.to(UnitSystem.METRIC)

    def __str__(self) -> str:
        return f"{round(self.value, 1):g} {self.units.depth_unit}"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the course.

    Parameters
    ----------
    name
        The name.
    teaches
        Whether an instructor.
    role
        What the person does on the course; empty if it is not said.
    deepest
        The greatest depth before the course; None if it is not said.
    helium_before
        Whether the person has dived on helium before.
    """

    name: str
    teaches: bool
    role: str = ""
    deepest: Depth | None = None
    helium_before: bool = False


@dataclass(frozen=True, slots=True)
class CourseDive:
    """A dive with its plan.

    Parameters
    ----------
    number
        Its place in the file, counted from 1; those elsewhere have a count of their own.
    elsewhere
        Whether it belongs to another course.
    plan_word
        How the file names its plan.
    plan
        The plan file.
    start
        When it begins, local time.
    who
        The names of those who dive.
    new
        What the author says is new on it; None if nothing is said.
    skills
        Ids of the skills shown on it.
    simulated
        Whether its decompression is only simulated.
    """

    number: int
    elsewhere: bool
    plan_word: str
    plan: PlanFile
    start: datetime
    who: tuple[str, ...]
    new: tuple[str, ...] | None = None
    skills: tuple[str, ...] = ()
    simulated: bool = False

    @property
    def key(self) -> tuple[bool, int]:
        """What tells it from all others."""
        return (self.elsewhere, self.number)

    @property
    def deepest(self) -> Depth:
        """Its greatest depth, as the plan has it."""
        units = self.plan.units
        name = "depth_m" if units is UnitSystem.METRIC else "depth_ft"
        return Depth(max(float(getattr(level, name) or 0.0) for level in self.plan.level), units)

    @property
    def on_helium(self) -> bool:
        """Whether a gas with helium is breathed."""
        return any(gas.mixture.he > 0.0 for gas in self.plan.gas)

    @property
    def called(self) -> str:
        """How sentences name it."""
        place = "dive elsewhere" if self.elsewhere else "dive"
        return f"{place} {self.number} ({self.plan.title})"


@dataclass(frozen=True, slots=True)
class Flight:
    """When somebody flies.

    Parameters
    ----------
    start
        Departure, local time.
    who
        The names.
    """

    start: datetime
    who: tuple[str, ...]


@dataclass(frozen=True)
class Course:
    """A course with its plans.

    Parameters
    ----------
    title
        Its name.
    units
        The units in which it is talked of.
    limits
        What the instructor holds to.
    people
        Instructors first.
    dives
        Those of the course, in the order of the file.
    elsewhere
        The instructors' other dives.
    rest, lost
        Days without a dive, and days kept for bad weather.
    flights
        Flights home.
    """

    title: str
    units: UnitSystem
    limits: Limits
    people: tuple[Person, ...]
    dives: tuple[CourseDive, ...]
    elsewhere: tuple[CourseDive, ...] = ()
    rest: frozenset[date] = frozenset()
    lost: frozenset[date] = frozenset()
    flights: tuple[Flight, ...] = ()

    @property
    def students(self) -> tuple[Person, ...]:
        """Who learns."""
        return tuple(person for person in self.people if not person.teaches)

    @cached_property
    def in_time(self) -> tuple[CourseDive, ...]:
        """All dives in order of time, those elsewhere among them."""
        return tuple(
            sorted((*self.dives, *self.elsewhere), key=lambda dive: (dive.start, dive.key))
        )

    @cached_property
    def ladder(self) -> tuple[CourseDive, ...]:
        """The dives of the course in order of time."""
        return tuple(dive for dive in self.in_time if not dive.elsewhere)

    def person(self, name: str) -> Person:
        """Return a person.

        Parameters
        ----------
        name
            The name, one of the course's.
        """
        return next(person for person in self.people if person.name == name)

    def students_of(self, dive: CourseDive) -> Iterator[Person]:
        """Yield the students who make a dive.

        Parameters
        ----------
        dive
            The dive.
        """
        return (person for person in self.students if person.name in dive.who)

    def with_moves(self, moves: Sequence[Move]) -> Course:
        """Return the course with dives moved.

        Parameters
        ----------
        moves
            Where they go.
        """
        to = {move.dive: move.to for move in moves}
        return replace(
            self,
            dives=tuple(
                replace(dive, start=to[dive.number]) if dive.number in to else dive
                for dive in self.dives
            ),
        )

    @property
    def least_interval(self) -> timedelta:
        """The least surface interval."""
        return _interval(self.limits.table)


def course_of(
    file: CourseFile, resolve: Resolver, *, text: str = "", path: Path | None = None
) -> Course:
    """Return the course of a file, with its plans.

    Parameters
    ----------
    file
        What the file says.
    resolve
        Takes a path or a number, returns the text of the plan.
    text
        The text of the course file, for the line of a fault.
    path
        The course file, for messages.

    Returns
    -------
    Course
        What a plan itself says of earlier dives does not count: the course knows the days.

    Raises
    ------
    InputError
        If a plan is not there or has faults; with the line of the dive where the text is given.
    """
    people = tuple(
        Person(
            table.name,
            kind == "instructor",
            table.role or "",
            Depth(*deepest) if (deepest := table.deepest()) else None,
            table.helium_before,
        )
        for kind, _, table in file.people()
    )
    names = tuple(person.name for person in people)
    plans: dict[str, PlanFile] = {}

    def plan(kind: str, number: int, word: str) -> PlanFile:
        try:
            if word not in plans:
                plans[word] = read_plan_text(resolve(word), Path(word))
        except InputError as error:
            raise plan_fault(text, number, kind, error, path) from error
        return plans[word]

    return Course(
        title=file.title,
        units=file.units,
        limits=limits_of(file.limits),
        people=people,
        dives=tuple(
            CourseDive(
                number, False, table.plan, plan("dive", number, table.plan), table.starts(),
                table.who or names, table.new, table.skills, table.simulated,
            )
            for number, table in enumerate(file.dive, 1)
        ),
        elsewhere=tuple(
            CourseDive(
                number, True, table.plan, plan("elsewhere", number, table.plan), table.starts(),
                table.who,
            )
            for number, table in enumerate(file.elsewhere, 1)
        ),
        rest=frozenset(table.on for table in file.rest),
        lost=frozenset(table.on for table in file.lost_day),
        flights=tuple(Flight(table.starts(), table.who or names) for table in file.flight),
    )  # fmt: skip


def limits_of(table: LimitsTable) -> Limits:
    """Return the limits with what stands in for what is left out.

    Parameters
    ----------
    table
        As written. Where one value of a pair is written, the other is that one converted and
        rounded down to a whole metre or foot; where none is, both are the habit of the trade.
    """
    return Limits(
        step=_pair(table.step_m, table.step_ft, Pair(12.0, 40.0)),
        first_helium_beyond=_pair(
            table.first_helium_beyond_m, table.first_helium_beyond_ft, Pair(10.0, 33.0)
        ),
        deepest=_pair(table.deepest_m, table.deepest_ft, Pair(100.0, 330.0)),
        table=table,
    )


def _pair(depth_m: float | None, depth_ft: float | None, habit: Pair) -> Pair:
    if depth_m is None and depth_ft is None:
        return habit
    if depth_ft is None:
        assert depth_m is not None  # noqa: S101 - for the type checker: the case is above
        return Pair(depth_m, float((depth_m / METRES_PER_FOOT + _WHOLE) // 1))
    if depth_m is None:
        return Pair(float((depth_ft * METRES_PER_FOOT + _WHOLE) // 1), depth_ft)
    return Pair(depth_m, depth_ft)


def _interval(table: LimitsTable) -> timedelta:
    return timedelta(minutes=interval_min(table.least_interval))
