"""How bad the rest of a course must be at least, whatever the order: for cutting a search short."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from functools import cache
from typing import Final

from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.buildup_ladder import dives_missing

_DAY: Final = timedelta(days=1)


class Bounds:
    """The least that is still to come: steps, and days, that no choice avoids.

    Steps and days are told by different findings, so what is least of both may be added. Loads of
    gas and oxygen are left out: they can only add to it.

    Parameters
    ----------
    course
        The course.
    slots
        The days and hours to choose from, in order of time.
    """

    def __init__(self, course: Course, slots: Sequence[datetime]) -> None:
        self._course = course
        self._steps = _steps_still(course)
        # only of one who makes every dive is it known how many are still to come
        everyone = set.intersection(*(set(dive.who) for dive in course.dives))
        self._days = _Days(course, tuple(slots)) if everyone else None

    def violations(
        self, placed: Sequence[int], starts: Sequence[datetime], *, last: bool = True
    ) -> int:
        """Return how many findings at least are still to come.

        Parameters
        ----------
        placed
            Positions of the dives that have their place, in order of time.
        starts
            When they begin.
        last
            Whether to count those that day and hour of the last of them alone bring about.
        """
        least = 0
        if self._steps is not None:
            mask = sum(1 << position for position in placed)
            least += self._steps(mask, placed[-1] if placed else -1)
        if self._days is not None:
            least += self._days.still(starts, len(self._course.dives) - len(placed), last=last)
        return least


def _row(starts: Sequence[datetime]) -> int:
    """Return how many dives in a row there are at the end, without a day of rest between."""
    day, count = starts[-1].date(), 0
    for start in reversed(starts):
        if start.date() < day - _DAY:
            break
        day, count = start.date(), count + 1
    return count


def _steps_still(course: Course) -> Callable[[int, int], int] | None:
    if course.limits.table.step_from != "last dive":
        return None
    dives = course.dives
    first = [_too_deep(course, dive, None) for dive in dives]
    steps = [[_too_deep(course, dive, before) for dive in dives] for before in dives]

    @cache
    def least(placed: int, last: int) -> int:
        if placed == (1 << len(dives)) - 1:
            return 0
        return min(
            (first[i] if last < 0 else steps[last][i]) + least(placed | 1 << i, i)
            for i in range(len(dives))
            if not placed >> i & 1
        )

    return least


def _too_deep(course: Course, dive: CourseDive, before: CourseDive | None) -> int:
    """Return how many dives are surely missing in the step of somebody."""
    missing = 0
    for person in course.students_of(dive):
        if before is None:
            base = person.deepest
        else:
            base = before.deepest if person.name in before.who else None
        if base is not None:
            missing = max(missing, dives_missing(course.limits.step, dive.deepest, base))
    return missing


class _Days:
    """What days and hours alone cost one who makes every dive."""

    def __init__(self, course: Course, slots: tuple[datetime, ...]) -> None:
        self._slots, self._table, self._rest = slots, course.limits.table, course.rest
        shortest = timedelta(minutes=min(_surely_min(dive) for dive in course.dives))
        self._apart = course.least_interval + shortest
        self._known: dict[tuple[int, int, int, int], int] = {}

    def still(self, starts: Sequence[datetime], left: int, *, last: bool) -> int:
        """Return the cost of the last start and of those that are left, at least."""
        if not starts:
            return self._least(-1, 0, 0, left)
        slot, day = self._slots.index(starts[-1]), starts[-1].date()
        today, row = sum(start.date() == day for start in starts), _row(starts)
        before = self._slots.index(starts[-2]) if len(starts) > 1 else -1
        own = self._cost(before, slot, today, row) if last else 0
        return own + self._least(slot, today, row, left)

    def _cost(self, before: int, slot: int, today: int, row: int) -> int:
        too_soon = before >= 0 and self._slots[slot] - self._slots[before] < self._apart
        many, tired = today > self._table.dives_a_day, row > self._table.dives_before_rest
        return too_soon + many + tired + (self._slots[slot].date() in self._rest)

    def _least(self, last: int, today: int, row: int, left: int) -> int:
        if not left:
            return 0
        key = (last, today, row, left)
        if key not in self._known:
            found = []
            for slot in range(last + 1, len(self._slots) - left + 1):
                days = (self._slots[slot].date() - self._slots[last].date()).days
                now = (today if last >= 0 and days == 0 else 0) + 1
                run = (row if last >= 0 and days <= 1 else 0) + 1
                cost = self._cost(last, slot, now, run)
                found.append(cost + self._least(slot, now, run, left - 1))
            self._known[key] = min(found, default=0)
        return self._known[key]


def _surely_min(dive: CourseDive) -> float:
    """Return a run time that the dive is not shorter than [min]."""
    last = dive.plan.level[-1]
    return float(last.leave_at_min or last.stay_min or 0.0)
