"""Minimum gas: what brings two divers on one supply to the next gas that they can breathe.

The worst moment is the end of the stay, when the ascent owes the most. Somebody loses the supply
there; so many minutes pass until the problem is sorted out, at depth and on one supply, and then
both go up with all stops, still on that supply, until both have changed to the next gas. The ascent
is the one that is owed after those minutes, not the one that was planned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from slatewright.decompression.leg import Leg
from slatewright.dive.plan import Plan
from slatewright.dive.solving import solve_plan
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water
from slatewright.supply.breathing import (
    breathed_amount_mol,
    breathed_in_leg_mol,
    breathing_temperature_k,
)
from slatewright.supply.kit import Diver, ReserveRules

_NEAR_M = 1e-6


@dataclass(frozen=True, slots=True)
class MinimumGas:
    """What is needed at a depth, for one litre a minute of stressed breathing.

    Parameters
    ----------
    mix
        The gas on which both are.
    at_m
        Where it goes wrong [m].
    at_min
        The run time of it, for an end of a stay; None on the way up [min].
    problem_min
        Minutes until the problem is sorted out [min].
    ascent_min
        Minutes from then until the next gas is in the mouth [min].
    next_mix, next_m
        The next gas, None for the surface, and where it is taken up [m].
    per_rmv_mol
        Amount for each litre a minute that is breathed [mol min/L].
    legs
        The way from there to the next gas.
    """

    mix: Mixture
    at_m: float
    at_min: float | None
    problem_min: float
    ascent_min: float
    next_mix: Mixture | None
    next_m: float
    per_rmv_mol: float
    legs: tuple[Leg, ...]

    def amount_mol(self, rmv_l_per_min: float) -> float:
        """Return the amount for those who breathe it.

        Parameters
        ----------
        rmv_l_per_min
            Their RMV, together [L/min].
        """
        return self.per_rmv_mol * rmv_l_per_min


def minimum_gas_mol(
    legs: Sequence[Leg],
    problem_min: float,
    rmv_l_per_min: float,
    water: Water,
    water_temperature_k: float | None = None,
) -> float:
    """Return the minimum gas for a way to the next gas.

    Parameters
    ----------
    legs
        The way, with its stops and the minutes of the change, all on the shared supply.
    problem_min
        Minutes where it begins, until the problem is sorted out [min].
    rmv_l_per_min
        Stressed breathing of all who are on the supply, together [L/min].
    water
        Pressure under water.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    float
        Amount [mol].

    Raises
    ------
    InputError
        If there are no legs.
    """
    if not legs:
        raise InputError("a way without legs", right="the legs up to the next gas")
    waiting_mol = breathed_amount_mol(
        rmv_l_per_min,
        problem_min,
        water.ambient_bar(legs[0].from_m),
        breathing_temperature_k(water_temperature_k),
    )
    way = (breathed_in_leg_mol(leg, rmv_l_per_min, water, water_temperature_k) for leg in legs)
    return waiting_mol + sum(way)


def to_next_gas(legs: Sequence[Leg]) -> tuple[Leg, ...]:
    """Return the legs on the first gas of a way, up to the moment when another is in the mouth.

    Parameters
    ----------
    legs
        A way up.
    """
    return tuple(takewhile(lambda leg: leg.gas == legs[0].gas, legs))


def way_home(plan: Plan, level: int, problem_min: float) -> tuple[Leg, ...]:
    """Return the ascent that is owed when a stay has become longer by a problem.

    Parameters
    ----------
    plan
        The plan.
    level
        Which of its stays, counted from 0; later ones are not made.
    problem_min
        By how much it becomes longer [min].

    Returns
    -------
    tuple
        The legs from there to the surface.

    Raises
    ------
    NoSafeAnswer
        If there is no way home.
    """
    stay = plan.levels[level]
    longer = replace(stay, leave_at_min=stay.leave_at_min + problem_min)
    solved = solve_plan(replace(plan, levels=(*plan.levels[:level], longer)))
    return solved.solution.legs[len(solved.down.legs) :]


def minimum_gases(
    plan: Plan, rules: ReserveRules, water_temperature_k: float | None = None
) -> tuple[MinimumGas, ...]:
    """Return the minimum gas at the end of each stay, and at each depth on the way up.

    Parameters
    ----------
    plan
        The plan.
    rules
        The minutes of a problem: those for two tasks on leaving a stay, where sharing gas and
        sending up a marker or calling the dive coincide, and where a gas is changed; else those
        for one.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    tuple
        The stays in order of time, then the depths of the last ascent up to the next gas.

    Raises
    ------
    NoSafeAnswer
        If a stay has no way home.
    """
    found = []
    legs: tuple[Leg, ...] = ()
    for i, level in enumerate(plan.levels):
        legs = way_home(plan, i, rules.two_tasks_min)
        found.append(_at(plan, legs, level.leave_at_min, rules.two_tasks_min, water_temperature_k))
    stretch = to_next_gas(legs)
    above_m = legs[0].from_m
    for i, leg in enumerate(stretch):
        if leg.from_m < above_m - _NEAR_M:
            above_m = leg.from_m
            problem_min = rules.two_tasks_min if leg.switching else rules.problem_min
            found.append(_at(plan, legs[i:], None, problem_min, water_temperature_k))
    return tuple(found)


def _at(
    plan: Plan,
    legs: Sequence[Leg],
    at_min: float | None,
    problem_min: float,
    water_temperature_k: float | None,
) -> MinimumGas:
    stretch = to_next_gas(legs)
    after = legs[len(stretch)] if len(stretch) < len(legs) else None
    return MinimumGas(
        mix=stretch[0].gas,
        at_m=stretch[0].from_m,
        at_min=at_min,
        problem_min=problem_min,
        ascent_min=sum(leg.minutes for leg in stretch),
        next_mix=after.gas if after else None,
        next_m=after.from_m if after else 0.0,
        per_rmv_mol=minimum_gas_mol(stretch, problem_min, 1.0, plan.water, water_temperature_k),
        legs=stretch,
    )


def greediest_partner(divers: Sequence[Diver], position: int) -> Diver | None:
    """Return the partner for whom a diver carries the reserve: the one who breathes most in stress.

    Parameters
    ----------
    divers
        The team.
    position
        Whose supply it is, counted from 0.

    Returns
    -------
    Diver or None
        None for one who dives alone.
    """
    others = [other for i, other in enumerate(divers) if i != position]
    return max(others, key=lambda other: other.rmv.stressed_l_per_min, default=None)


def sharing_l_per_min(divers: Sequence[Diver], position: int) -> float:
    """Return the stressed breathing of a diver with the greediest of the others.

    Parameters
    ----------
    divers
        The team; of a team of one only the diver.
    position
        Whose supply it is, counted from 0.

    Returns
    -------
    float
        RMV of both together [L/min].
    """
    partner = greediest_partner(divers, position)
    own = divers[position].rmv.stressed_l_per_min
    return own + (partner.rmv.stressed_l_per_min if partner else 0.0)
