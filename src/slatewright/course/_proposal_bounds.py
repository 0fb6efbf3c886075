"""How bad the rest of a course must be at least, whatever the order: for cutting a search short."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Final

from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.buildup_ladder import step_excess

_SLACK: Final = 1e-6


class Bounds:
    """The least that is still to come: steps that no order avoids, and days that must be shared.

    Parameters
    ----------
    course
        The course.
    """

    def __init__(self, course: Course) -> None:
        self._dives = course.dives
        self._by_last = course.limits.table.step_from == "last dive"
        students = course.students
        step = course.limits.step

        def too_deep(dive: CourseDive, before: CourseDive | None) -> int:
            """Tell whether somebody's step is surely too deep."""
            for person in students:
                if person.name not in dive.who:
                    continue
                if before is None:
                    base = person.deepest
                else:
                    base = before.deepest if person.name in before.who else None
                if base is not None and step_excess(step, dive.deepest, base) > _SLACK:
                    return 1
            return 0

        first = [too_deep(dive, None) for dive in self._dives]
        steps = [[too_deep(dive, before) for dive in self._dives] for before in self._dives]
        count = len(self._dives)

        @cache
        def least(placed: int, last: int) -> int:
            if placed == (1 << count) - 1:
                return 0
            return min(
                (first[i] if last < 0 else steps[last][i]) + least(placed | 1 << i, i)
                for i in range(count)
                if not placed >> i & 1
            )

        self._least = least

    def violations(self, placed: Sequence[int]) -> int:
        """Return how many findings at least are still to come.

        Parameters
        ----------
        placed
            Positions of the dives that have their place, in order of time.
        """
        if not self._by_last:
            return 0
        mask = 0
        for position in placed:
            mask |= 1 << position
        return self._least(mask, placed[-1] if placed else -1)

    def strain_m(self, placed: Sequence[int], days_left: int) -> float:
        """Return how deep second dives of a day are at least that are still to come, summed [m].

        Parameters
        ----------
        placed
            As for `violations`.
        days_left
            Days on which there is no dive yet.
        """
        depths = sorted(
            dive.deepest.depth_m for i, dive in enumerate(self._dives) if i not in placed
        )
        return sum(depths[: max(0, len(depths) - days_left)])
