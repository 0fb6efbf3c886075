"""A dive on a closed circuit as the grid takes it: who leaves the loop goes up on open circuit.

Up to the minute of a failure the dive was made on the loop: the tensions are those of its
setpoints, and no cylinder that is breathed from has lost anything. From there on the gases carried
for bailout are all that there is; what feeds the loop is not breathed from.
"""

from __future__ import annotations

from dataclasses import replace

from slatewright.dive.plan import CarriedGas, Plan, Use
from slatewright.supply.kit import Place, Team
from slatewright.supply.wayhome.dive import DiveLike, PlannedDive
from slatewright.supply.wayhome.failures import Failure, FailureKind
from slatewright.supply.wayhome.rules import WayHomeRules


def bailing_out(dive: DiveLike) -> PlannedDive:
    """Return a dive on a closed circuit with its bailout gases for the way up.

    Parameters
    ----------
    dive
        The dive; each leg on the loop has its setpoint.

    Returns
    -------
    PlannedDive
        The same legs; its plan is on open circuit, and the diluent is carried for the way down.
    """
    plan = dive.plan
    carried = tuple(
        replace(gas, use=Use.DECOMPRESSION) for gas in plan.gases if gas.use is Use.BAILOUT
    )
    loop = plan.loop
    diluents = tuple(gas for gas in plan.gases if gas.use is Use.DILUENT)
    if loop is not None and not diluents:
        diluents = (CarriedGas(loop.diluent, Use.DILUENT, plan.rules.ppo2_bottom_max_bar),)
    travel = tuple(replace(gas, use=Use.TRAVEL, switch_m=None) for gas in diluents)
    changed = replace(plan, loop=None, gases=(*travel, *carried), break_gas=None)
    return PlannedDive(changed, dive.legs, dive.first_stop_m, dive.start)


def breathed_from(team: Team) -> Team:
    """Return a team without the cylinders that feed loops.

    Parameters
    ----------
    team
        Who dives.
    """
    return replace(
        team,
        divers=tuple(
            replace(diver, kit=tuple(held for held in diver.kit if held.place is not Place.LOOP))
            for diver in team.divers
        ),
    )


def loop_failures(plan: Plan, team: Team, rules: WayHomeRules) -> tuple[Failure, ...]:
    """Return every failure that a dive on a closed circuit is held against.

    Parameters
    ----------
    plan
        The plan, on the loop.
    team
        Who dives, with what.
    rules
        Delays, depths, rates.

    Returns
    -------
    tuple
        In the order in which they are shown. One loop fails, and its diver goes home on his own
        bailout; the same with a bailout gas lost too, shared with partners whose loops work; all
        loops fail at once, as absorbent of one batch may; and one loop fails after a delay, deeper
        than planned, or with a slower ascent.
    """
    mixes = tuple(dict.fromkeys(gas.mix for gas in plan.bailout_gases))
    alone_min = team.rules.problem_min
    pair = len(team.divers) > 1
    shared_min = team.rules.two_tasks_min if pair else alone_min
    lost = FailureKind.LOOP_LOST
    rows = [Failure(lost, "loop lost, own bailout", alone=True, sorting_min=alone_min)]
    if pair:
        rows.append(
            Failure(
                lost,
                "loop lost, bailout shared",
                partners_on_loops=True,
                sorting_min=shared_min,
            )
        )
    rows += [
        Failure(
            lost,
            f"loop and {mix} lost",
            lost=(mix,),
            alone=not pair,
            partners_on_loops=pair,
            sorting_min=shared_min,
        )
        for mix in mixes
    ]
    if pair:
        rows.append(Failure(FailureKind.LOOPS_LOST, "all loops lost", sorting_min=shared_min))
    rows += [
        Failure(
            FailureKind.DELAY,
            f"loop lost, {delay:g} min delay",
            alone=True,
            sorting_min=alone_min,
            delay_min=delay,
        )
        for delay in rules.delays_min
    ]
    rows += [
        Failure(
            FailureKind.DEEPER,
            f"loop lost, {levels} {'level' if levels == 1 else 'levels'} deeper",
            alone=True,
            sorting_min=alone_min,
            levels_deeper=levels,
        )
        for levels in rules.deeper_levels
        if plan.deepest_m >= plan.settings.stop_step_m
    ]
    rows.append(
        Failure(
            FailureKind.SLOWER,
            "loop lost, slower ascent",
            alone=True,
            sorting_min=alone_min,
            slow=True,
        )
    )
    return tuple(rows)
