"""What may fail: one major failure at a time, and those that a common cause ties together.

Each failure strikes one diver; with several divers each of them is struck in turn, and the worst
outcome stands in the grid. A failure is known at a whole minute of run time, as far as that minute
the dive went as planned, and from there on the whole team goes up together.

What may fail on a closed circuit is told by `slatewright.supply.wayhome.loop_dive`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from slatewright.dive.plan import Plan, Use
from slatewright.physics.mixture import Mixture
from slatewright.supply.kit import Team
from slatewright.supply.wayhome.rules import WayHomeRules


class FailureKind(StrEnum):
    """What kind of thing fails."""

    EARLY_ASCENT = "early ascent"
    BOTTOM_LOST = "bottom supply lost"
    CYLINDER_LOST = "one cylinder lost"
    GAS_LOST = "gas lost"
    PAIR_LOST = "two gases lost"
    LOST_BY_ALL = "lost by all"
    PARTNER_ABSENT = "partner absent"
    DELAY = "delay"
    DEEPER = "deeper"
    SLOWER = "slower ascent"
    LOOP_LOST = "loop lost"
    LOOPS_LOST = "all loops lost"


@dataclass(frozen=True, slots=True)
class Failure:
    """One row of the grid.

    Parameters
    ----------
    kind
        What kind of thing fails.
    name
        How it is called, unique in a grid.
    lost
        Gases of which the diver who is struck loses all that is carried.
    lost_by_all
        Gases that all divers lose.
    one_cylinder
        A gas of which that diver loses one cylinder: the one that holds the most.
    alone
        True if that diver has no partner.
    sorting_min
        Minutes at that depth to sort the problem out, at the stressed RMV of all [min].
    delay_min
        Minutes lost at that depth without stress [min].
    levels_deeper
        By how many levels the stays were deeper than planned.
    slow
        True if the ascent is slower than planned.
    partners_on_loops
        True if the others breathe from loops that work: they have gas to give, and take none.
    """

    kind: FailureKind
    name: str
    lost: tuple[Mixture, ...] = ()
    lost_by_all: tuple[Mixture, ...] = ()
    one_cylinder: Mixture | None = None
    alone: bool = False
    sorting_min: float = 0.0
    delay_min: float = 0.0
    levels_deeper: int = 0
    slow: bool = False
    partners_on_loops: bool = False

    @property
    def hold_min(self) -> float:
        """Minutes at that depth before the ascent [min]."""
        return self.sorting_min + self.delay_min


def failures_of(plan: Plan, team: Team, rules: WayHomeRules) -> tuple[Failure, ...]:
    """Return every failure that a plan is held against.

    Parameters
    ----------
    plan
        The plan.
    team
        Who dives, with what; minutes for a problem, and for two at once: where gas is shared from
        the first moment, that and the marker are two tasks.
    rules
        Delays, depths, rates.

    Returns
    -------
    tuple
        In the order in which they are shown.
    """
    sorting_min = team.rules.problem_min
    bottom = tuple(dict.fromkeys(gas.mix for gas in plan.bottom_gases))
    carried = tuple(
        dict.fromkeys(gas.mix for gas in plan.gases if gas.use is not Use.BOTTOM).keys()
    )
    others = tuple(mix for mix in carried if mix not in bottom)
    shared_min = team.rules.two_tasks_min if len(team.divers) > 1 else sorting_min
    rows = [Failure(FailureKind.EARLY_ASCENT, "early ascent")]
    rows.append(
        Failure(
            FailureKind.BOTTOM_LOST,
            f"own {_names(bottom)} lost",
            lost=bottom,
            sorting_min=max(sorting_min, shared_min),
        )
    )
    rows += [
        Failure(
            FailureKind.CYLINDER_LOST,
            f"one cylinder of {mix} lost",
            one_cylinder=mix,
            sorting_min=sorting_min,
        )
        for mix in (*bottom, *others)
        if any(sum(held.mix == mix for held in diver.kit) > 1 for diver in team.divers)
    ]
    rows += [
        Failure(FailureKind.GAS_LOST, f"{mix} lost", lost=(mix,), sorting_min=sorting_min)
        for mix in others
    ]
    rows += [
        Failure(FailureKind.PAIR_LOST, f"{_names(pair)} lost", lost=pair, sorting_min=sorting_min)
        for pair in combinations(others, 2)
    ]
    if len(team.divers) > 1:
        rows += [
            Failure(
                FailureKind.LOST_BY_ALL,
                f"{mix} lost by all",
                lost_by_all=(mix,),
                sorting_min=sorting_min,
            )
            for mix in others
        ]
        rows.append(
            Failure(
                FailureKind.PARTNER_ABSENT, "partner absent", alone=True, sorting_min=sorting_min
            )
        )
    rows += [
        Failure(FailureKind.DELAY, f"{delay:g} min delay", delay_min=delay)
        for delay in rules.delays_min
    ]
    step_m = plan.settings.stop_step_m
    rows += [
        Failure(
            FailureKind.DEEPER,
            f"deeper by {levels} {'level' if levels == 1 else 'levels'}",
            levels_deeper=levels,
        )
        for levels in rules.deeper_levels
        if plan.deepest_m >= step_m
    ]
    rows.append(Failure(FailureKind.SLOWER, "slower ascent", slow=True))
    return tuple(rows)


def _names(mixes: tuple[Mixture, ...]) -> str:
    return " and ".join(map(str, mixes))
