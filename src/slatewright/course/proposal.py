"""A proposal of an order, days and hours that violates nothing, or the least.

Exact search: dives are given their place in order of time, each choice is judged at once with all
that went before, and a branch is left as soon as it cannot become better than the best so far. What
is least is the weight of the findings: each danger outweighs all warnings, and a step weighs by the
dives that are missing in it. Of orders that weigh the same it is the first in a fixed order of
trials, so that the same course always gets the same proposal: shallow before deep, early days
before late, another day before the same one as long as days suffice, and the hours at which most
dives begin first. The course as it stands is the first to be beaten: what is as good stays.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import Final

from slatewright.course import buildup_days, buildup_ladder, buildup_load
from slatewright.course._proposal_bounds import Bounds
from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.buildup_cures import open_days
from slatewright.course.buildup_findings import weight
from slatewright.course.buildup_judging import Judged, judge
from slatewright.course.buildup_ladder import SkillLoad, each_counts_one
from slatewright.course.buildup_timeline import Solver, State, Timed, Timeline
from slatewright.course.coursefile import Move
from slatewright.course.exposure import doses_by_day
from slatewright.errors import InputError

MOST_DIVES: Final = 12
"""As many dives are ordered; a longer course is proposed in parts."""
MOST_TRIALS: Final = 1500
"""After so many dives solved the best so far is returned, and said to be no more than that."""

_ANY: Final = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Proposal:
    """An order with days and hours.

    Parameters
    ----------
    moves
        What `slatewright.course.coursefile.rescheduled` writes into the file; empty if the course
        is as good as it stands.
    judged
        The course as proposed.
    before
        The course as it stands.
    least
        True if it is known that no order on these days and hours is better.
    trials
        How many dives were solved for it.
    """

    moves: tuple[Move, ...]
    judged: Judged
    before: Judged
    least: bool
    trials: int


def slots_of(
    course: Course, days: Sequence[date] = (), starts: Sequence[time] = ()
) -> tuple[datetime, ...]:
    """Return the days and hours among which a proposal chooses.

    Parameters
    ----------
    course
        The course.
    days
        The days; empty for those from its first to the last that it names, days of rest and those
        kept for bad weather left out.
    starts
        The hours; empty for as many as a day may have dives, further apart than the least surface
        interval: those at which most of its dives begin, then the last and the first of the limits.

    Returns
    -------
    tuple
        In order of time.
    """
    if not days:
        named = {dive.start.date() for dive in course.dives} | course.rest | course.lost
        first = course.ladder[0].start.date()
        days = tuple(open_days(course, first, (max(named) - first).days + 1))
    if not starts:
        starts = _hours_of(course)
    return tuple(sorted(datetime.combine(day, start) for day in days for start in starts))


def _hours_of(course: Course) -> tuple[time, ...]:
    count = Counter(dive.start.time() for dive in course.dives)
    likely = sorted(count, key=lambda hour: (-count[hour], hour))
    hours: list[time] = []
    for hour in (*likely, course.limits.last_start, course.limits.first_start):
        gaps = [abs(_on_a_day(hour) - _on_a_day(other)) for other in hours]
        if all(gap > course.least_interval for gap in gaps):
            hours.append(hour)
    return tuple(sorted(hours[: course.limits.table.dives_a_day]))


def _on_a_day(hour: time) -> datetime:
    return datetime.combine(date(2000, 1, 1), hour)


def propose(
    course: Course,
    solver: Solver,
    *,
    load: SkillLoad = each_counts_one,
    slots: Sequence[datetime] = (),
    most_trials: int = MOST_TRIALS,
) -> Proposal:
    """Propose an order, days and hours.

    Parameters
    ----------
    course
        The course; its dives elsewhere stay where they are.
    solver
        Keeps what it has solved.
    load
        The load of skills.
    slots
        The days and hours to choose from; empty for those of `slots_of`, or for leaving the course
        as it stands if that is as good.
    most_trials
        After so many dives solved the best so far is returned.

    Returns
    -------
    Proposal
        The same for the same course.

    Raises
    ------
    InputError
        If there are too many dives, or fewer slots than dives.
    """
    if len(course.dives) > MOST_DIVES:
        raise InputError(
            f"{len(course.dives)} dives are too many to be ordered at once",
            right=f"up to {MOST_DIVES}",
        )
    chosen = tuple(sorted(slots)) or slots_of(course)
    if len(chosen) < len(course.dives):
        raise InputError(
            f"{len(chosen)} times for {len(course.dives)} dives",
            right="more days, or more hours of a day",
        )
    before = judge(course, solver, load)
    search = _Search(course, solver, load, chosen, most_trials)
    if {dive.start for dive in course.dives} <= set(chosen) or not slots:
        search.best = before.weight
    search.run()
    if search.found is None:
        return Proposal((), before, before, search.whole, search.trials)
    moves = tuple(
        Move(dive.number, dive.start)
        for dive, old in zip(
            sorted(search.found, key=lambda d: d.number), course.dives, strict=True
        )
        if dive.start != old.start
    )
    return Proposal(
        moves, judge(course.with_moves(moves), solver, load), before, search.whole, search.trials
    )


@dataclass(frozen=True, slots=True)
class _Node:
    """Some dives with their place, judged."""

    placed: tuple[CourseDive, ...]
    timed: tuple[Timed, ...]
    states: dict[str, State]
    weight: int


class _Search:
    """Depth first; the best so far cuts."""

    def __init__(
        self,
        course: Course,
        solver: Solver,
        load: SkillLoad,
        slots: Sequence[datetime],
        most_trials: int,
    ) -> None:
        self._course, self._solver, self._load = course, solver, load
        self._slots, self._most = slots, most_trials
        self._bounds = Bounds(course, slots)
        self._hours = Counter(dive.start.time() for dive in course.dives)
        self._position = {dive.number: i for i, dive in enumerate(course.dives)}
        self._others = sorted(course.elsewhere, key=lambda dive: dive.start)
        self._ladder: dict[tuple[int, ...], int] = {}
        self.best = _ANY
        self.found: tuple[CourseDive, ...] | None = None
        self.whole = True
        self.trials = 0
        self._least = 0

    def run(self) -> None:
        states = {person.name: State() for person in self._course.people}
        self._least = self._bounds.violations((), ())
        self._from(_Node((), (), states, 0))

    def _from(self, node: _Node) -> None:
        if len(node.placed) == len(self._course.dives):
            self._end(node)
            return
        for slot in self._next_slots(node):
            for dive in self._next_dives(node):
                if self.trials >= self._most:
                    self.whole = False
                    return
                if self.best <= self._least:
                    return
                child = self._with(node, replace(dive, start=slot))
                if child is not None:
                    self._from(child)

    def _end(self, node: _Node) -> None:
        """Judge a whole course once more, with what only its end shows: flights and sums."""
        moves = [Move(dive.number, dive.start) for dive in node.placed]
        judged = judge(self._course.with_moves(moves), self._solver, self._load)
        if judged.weight < self.best:
            self.best, self.found = judged.weight, node.placed

    def _next_slots(self, node: _Node) -> list[datetime]:
        """Return the slots for the next dive: another day first, unless days are too few."""
        last = node.placed[-1].start if node.placed else datetime.min  # noqa: DTZ901 - local
        later = [slot for slot in self._slots if slot > last]
        days = len({slot.date() for slot in later if slot.date() != last.date()})
        left = len(self._course.dives) - len(node.placed)
        later = later[: len(later) - left + 1] if len(later) >= left else []
        same = [slot for slot in later if node.placed and slot.date() == last.date()]
        others = sorted(
            (slot for slot in later if slot not in same),
            key=lambda slot: (slot.date(), -self._hours[slot.time()], slot),
        )
        return same + others if left > days else others + same

    def _next_dives(self, node: _Node) -> Iterator[CourseDive]:
        taken = {dive.number for dive in node.placed}
        yield from sorted(
            (dive for dive in self._course.dives if dive.number not in taken),
            key=lambda dive: (dive.deepest.depth_m, dive.number),
        )

    def _with(self, node: _Node, dive: CourseDive) -> _Node | None:
        """Return the node with one dive more; None if it cannot become better than the best."""
        placed = (*node.placed, dive)
        own = self._ladder_weight(node.placed, dive)
        positions = [self._position[d.number] for d in placed]
        starts = [d.start for d in placed]
        # what this day and hour alone cost is in here too, until the dive is judged
        sure = self._bounds.violations(positions, starts)
        if node.weight + own + sure >= self.best:
            return None
        rest = self._bounds.violations(positions, starts, last=False)
        self.trials += 1
        after = self._elsewhere(node, dive.start)
        after = self._solved(after, dive)
        total = after.weight + own
        lungs = weight(tuple(buildup_load.lungs(_partial(after))))
        if total + lungs + rest >= self.best:
            return None
        return _Node(placed, after.timed, after.states, total)

    def _elsewhere(self, node: _Node, until: datetime) -> _Node:
        done = sum(timed.dive.elsewhere for timed in node.timed)
        for dive in self._others[done:]:
            if dive.start >= until:
                break
            node = self._solved(node, dive)
        return node

    def _solved(self, node: _Node, dive: CourseDive) -> _Node:
        timed, states = self._solver.after(dive, node.states)
        found = (
            *buildup_days.placed(self._course, timed, node.timed),
            *buildup_load.placed(timed),
            *buildup_load.apart(timed),
        )
        return replace(
            node,
            timed=(*node.timed, timed),
            states=node.states | states,
            weight=node.weight + weight(found),
        )

    def _ladder_weight(self, before: tuple[CourseDive, ...], dive: CourseDive) -> int:
        key = (*(d.number for d in before), dive.number)
        if key not in self._ladder:
            found = buildup_ladder.placed(self._course, dive, before, self._load)
            self._ladder[key] = weight(tuple(found))
        return self._ladder[key]


def _partial(node: _Node) -> Timeline:
    days = {name: doses_by_day(state.taken, state.brought) for name, state in node.states.items()}
    return Timeline(node.timed, days)
