"""The build-up of a course: its dives computed one after the other, judged, with gas and cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from slatewright.course import buildup_load
from slatewright.course.buildup_course import Course, CourseDive
from slatewright.course.buildup_cures import with_cures
from slatewright.course.buildup_findings import Finding
from slatewright.course.buildup_judging import judge
from slatewright.course.buildup_ladder import SkillLoad, each_counts_one, load_of
from slatewright.course.buildup_timeline import Solver, Timeline
from slatewright.course.flying import Flying
from slatewright.course.novelty import Novelty, novelty_of
from slatewright.dive.house_rules import HouseRules

if TYPE_CHECKING:  # gas takes its time to import
    from slatewright.course.buildup_gas import CourseGas
    from slatewright.fill.assignment import Owned
    from slatewright.fill.prices import Prices
    from slatewright.fill.room import Room

NOT_JUDGED: Final = (
    "the way home from every minute of each dive: `slatewright wayhome PLAN` looks for it",
    "the reserves of each dive: `slatewright dive PLAN` judges them",
)
"""What a build-up does not say, and what does."""


@dataclass(frozen=True)
class BuildUp:
    """A course, computed and judged.

    Parameters
    ----------
    course
        The course.
    timeline
        Its dives in order of time, those elsewhere among them.
    findings
        What is against it, with cures that were tried.
    flying
        Name to when that person may fly after the last dive; None where a dive is not computed.
    novelty
        Number of the dive to what is new on it for one who makes all dives.
    load
        Number of the dive to the load of its skills and of what is new [-].
    gas
        Gas and cost; None if it was not asked for.
    """

    course: Course
    timeline: Timeline
    findings: tuple[Finding, ...]
    flying: Mapping[str, Flying | None]
    novelty: Mapping[int, Novelty]
    load: Mapping[int, float]
    gas: CourseGas | None = None

    @property
    def clean(self) -> bool:
        """Whether nothing but notes is found."""
        return not any(finding.violates for finding in self.findings)


@dataclass(frozen=True, slots=True)
class GasWanted:
    """That gas and cost are wanted, and what is known for them.

    Parameters
    ----------
    prices
        A price list; None for amounts alone.
    room
        The fill room; None for a plain one.
    owned
        The cylinders that are there; None for as many as are needed.
    """

    prices: Prices | None = None
    room: Room | None = None
    owned: Sequence[Owned] | None = None


def build_up(
    course: Course,
    rules: HouseRules,
    *,
    load: SkillLoad = each_counts_one,
    gas: GasWanted | None = None,
    solver: Solver | None = None,
) -> BuildUp:
    """Compute a course and judge it.

    Parameters
    ----------
    course
        The course, with its plans.
    rules
        The house rules, for all dives.
    load
        Takes the ids of the skills of a dive, returns their load; left out: one each.
    gas
        What gas and cost are worked out from; None to leave them out, which is quicker.
    solver
        One that has solved dives of this course before, with the same rules; None for a new one.

    Returns
    -------
    BuildUp
        With cures, each tried.
    """
    solver = solver or Solver(rules)
    judged = judge(course, solver, load)
    found_gas = None
    if gas is not None:
        from slatewright.course.buildup_gas import gas_of  # noqa: PLC0415 - 0.3 s to import

        found_gas = gas_of(
            judged.timeline, rules, prices=gas.prices, room=gas.room, owned=gas.owned
        )
    ladder = course.ladder
    before: dict[int, Sequence[CourseDive]] = {
        dive.number: ladder[:position] for position, dive in enumerate(ladder)
    }
    return BuildUp(
        course=course,
        timeline=judged.timeline,
        findings=with_cures(judged, solver, load),
        flying={
            person.name: buildup_load.flying_of(course, judged.timeline, person.name)
            for person in course.people
        },
        novelty={dive.number: novelty_of(dive, before[dive.number]) for dive in ladder},
        load={dive.number: load_of(dive, before[dive.number], load) for dive in ladder},
        gas=found_gas,
    )
