"""A course judged: its dives computed, and everything that is found."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.course import buildup_days, buildup_ladder, buildup_load
from slatewright.course.buildup_course import Course
from slatewright.course.buildup_findings import Finding, weight
from slatewright.course.buildup_ladder import SkillLoad, each_counts_one
from slatewright.course.buildup_timeline import Solver, Timeline


@dataclass(frozen=True, slots=True)
class Judged:
    """A course, computed and judged, its cures not yet tried.

    Parameters
    ----------
    course
        The course.
    timeline
        Its dives, in order of time.
    findings
        By dive in order of time, then those of the whole course.
    """

    course: Course
    timeline: Timeline
    findings: tuple[Finding, ...]

    @property
    def weight(self) -> int:
        """How bad the findings are together."""
        return weight(self.findings)


def judge(course: Course, solver: Solver, load: SkillLoad = each_counts_one) -> Judged:
    """Compute a course and find what is against it.

    Parameters
    ----------
    course
        The course.
    solver
        Keeps what it has solved.
    load
        The load of skills.

    Returns
    -------
    Judged
        Without cures of what depends on days.
    """
    timeline = solver.timeline(course)
    found: list[Finding] = []
    ladder = course.ladder
    for position, timed in enumerate(timeline.dives):
        before = timeline.dives[:position]
        if not timed.dive.elsewhere:
            place = ladder.index(timed.dive)
            found += buildup_ladder.placed(course, timed.dive, ladder[:place], load)
        found += buildup_days.placed(course, timed, before)
        found += buildup_load.placed(timed)
        found += buildup_load.apart(timed)
    found += buildup_load.lungs(timeline)
    found += buildup_load.flights(course, timeline)
    found += buildup_load.sums(course, timeline)
    return Judged(course, timeline, tuple(dict.fromkeys(found)))
