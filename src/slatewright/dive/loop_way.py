"""The way down, the stays and the way up on a closed circuit: setpoints in the place of gases.

To the solver each setpoint is a gas of the same diluent. A change of setpoint takes no time.
"""

from __future__ import annotations

from typing import Final

from slatewright.decompression.ladder import (
    NEAR_M,
    NO_GAS,
    AscentGas,
    Ladder,
    last_level_from,
)
from slatewright.decompression.leg import Leg
from slatewright.dive import say
from slatewright.dive.gases import Locker
from slatewright.dive.laying import Laying
from slatewright.dive.loop import Loop
from slatewright.dive.plan import Plan, Use
from slatewright.dive.way_down import WayDown
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.physics.limits import best_oxygen_at, oxygen_pressure

_SLACK_BAR: Final = 1e-9
_NEAR_MIN: Final = 1e-6


def loop_locker(plan: Plan, loop: Loop) -> Locker:
    """Return the setpoints of a loop, numbered as the solver numbers gases.

    Parameters
    ----------
    plan
        The plan.
    loop
        Its closed circuit.

    Returns
    -------
    Locker
        One entry a setpoint, in the order of `Loop.setpoints_bar`, each of the diluent.

    Raises
    ------
    NoSafeAnswer
        If a setpoint, or what the diluent brings with it, passes the limits of the house.
    """
    _refuse_beyond_limits(plan, loop)
    setpoints = loop.setpoints_bar
    rising = tuple(
        AscentGas(loop.diluent, plan.deepest_m, 0.0, change_min=0.0, setpoint_bar=bar)
        for bar in setpoints
    )
    return Locker((loop.diluent,) * len(setpoints), rising)


def ppo2_limit_bar(plan: Plan, *, rising: bool) -> float:
    """Return the highest ppO2 of a loop, tolerance not included.

    Parameters
    ----------
    plan
        The plan.
    rising
        True on the way up from the last stay.

    Returns
    -------
    float
        That of the house rules; what the diluent's own ``ppo2_max_bar`` says, if that is more or
        before the ascent [bar].
    """
    own_bar = max((gas.ppo2_max_bar for gas in plan.gases if gas.use is Use.DILUENT), default=0.0)
    return max(own_bar, plan.rules.ppo2_stop_max_bar) if rising else own_bar


def is_rising(plan: Plan, leg: Leg) -> bool:
    """Return whether a leg lies after the last stay.

    Parameters
    ----------
    plan
        The plan.
    leg
        One of its legs.
    """
    return leg.start_min >= plan.levels[-1].leave_at_min - _NEAR_MIN


def _refuse_beyond_limits(plan: Plan, loop: Loop) -> None:
    tolerance_bar = plan.rules.ppo2_tolerance_bar
    bottom_bar, stop_bar = (ppo2_limit_bar(plan, rising=rising) for rising in (False, True))
    for bar, limit_bar, where, rule in (
        *((s.bar, bottom_bar, "on the way down", "ppo2_bottom_max_bar") for s in loop.down),
        (loop.bottom_bar, bottom_bar, "at the bottom", "ppo2_bottom_max_bar"),
        *((s.bar, stop_bar, "on the way up", "ppo2_stop_max_bar") for s in loop.up),
    ):
        if bar > limit_bar + tolerance_bar + _SLACK_BAR:
            raise NoSafeAnswer(
                Reason(
                    f"the setpoint of {bar:g} bar {where} is over the limit of {limit_bar:g} bar "
                    f"with {tolerance_bar:g} bar of tolerance (house rules {rule}, "
                    "ppo2_tolerance_bar)",
                    f"a setpoint of {limit_bar:g} bar or less",
                )
            )
        if bar < plan.rules.floor_bar:
            raise NoSafeAnswer(
                Reason(
                    f"the setpoint of {bar:g} bar {where} is below the floor of "
                    f"{plan.rules.floor_bar:g} bar (house rule floor_bar)",
                    "a higher setpoint",
                )
            )
    flushed_bar = oxygen_pressure(loop.diluent, plan.deepest_m, plan.water)
    if flushed_bar > bottom_bar + tolerance_bar + _SLACK_BAR:
        right = say.oxygen_between(
            0.01, best_oxygen_at(plan.deepest_m, min(loop.bottom_bar, bottom_bar), plan.water)
        )
        raise NoSafeAnswer(
            Reason(
                f"{loop.diluent} as diluent brings {flushed_bar:.2f} bar of oxygen at "
                f"{say.depth(plan.deepest_m, plan.units)}, whatever the setpoint: over the limit "
                f"of {bottom_bar:g} bar with {tolerance_bar:g} bar of tolerance (house rules "
                "ppo2_bottom_max_bar, ppo2_tolerance_bar)",
                f"a diluent with {right}" if right else "a shallower dive",
            )
        )


def loop_down(plan: Plan, loop: Loop, gases: Locker) -> WayDown:
    """Lay the planned legs of a closed circuit: the descent by setpoints, and all stays.

    Parameters
    ----------
    plan
        The plan.
    loop
        Its closed circuit.
    gases
        From `loop_locker`.

    Returns
    -------
    WayDown
        The legs; no gas is changed.

    Raises
    ------
    NoSafeAnswer
        If a level cannot be reached in time.
    """
    path = Laying(plan)
    first_m = plan.levels[0].depth_m
    for entry, after in zip(loop.down, (*loop.down[1:], None), strict=True):
        to_m = first_m if after is None or after.from_m is None else min(after.from_m, first_m)
        path.move(to_m, _number(gases, entry.bar))
    bottom = _number(gases, loop.bottom_bar)
    path.move(first_m, bottom)
    for level in plan.levels:
        path.move(level.depth_m, bottom)
        path.stay(level, bottom)
    return WayDown(tuple(path.legs), ())


def loop_up(plan: Plan, loop: Loop, gases: Locker, start_m: float) -> Ladder:
    """Return which setpoint holds at which level on the way up.

    Parameters
    ----------
    plan
        The plan.
    loop
        Its closed circuit.
    gases
        From `loop_locker`.
    start_m
        Where the ascent begins [m].
    """
    step_m = plan.settings.stop_step_m
    top = int(start_m / step_m + NEAR_M)
    chosen = [NO_GAS] * (top + 1)
    last = last_level_from(start_m, plan.settings)
    for level in range(1, top + 1):
        chosen[level] = _number(gases, loop.up_bar(max(level, last) * step_m))
    return Ladder(tuple(chosen), (NO_GAS,) * (top + 1))


def _number(gases: Locker, bar: float) -> int:
    return next(i for i, gas in enumerate(gases.rising) if gas.setpoint_bar == bar)
