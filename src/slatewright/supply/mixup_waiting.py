"""The wrong cylinder waits where another was meant to: the ascent with what is really there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from slatewright.decompression.ascent import solve_dive
from slatewright.decompression.leg import Leg
from slatewright.dive.finished import Finished
from slatewright.dive.gases import Locker
from slatewright.dive.solving import Solved
from slatewright.dive.way_up import way_up
from slatewright.errors import NoSafeAnswer
from slatewright.physics.limits import oxygen_pressure
from slatewright.physics.mixture import Mixture
from slatewright.supply.consumption import use_of_legs
from slatewright.supply.kit import Diver, Team
from slatewright.supply.mixup_moments import Handling, Moment

_NEAR_MIN: Final = 1e-6


@dataclass(frozen=True, slots=True)
class GasOut:
    """A gas that does not last.

    Parameters
    ----------
    gas
        The gas.
    at_min, at_m
        Run time and depth at which it ends [min], [m].
    """

    gas: Mixture
    at_min: float
    at_m: float


@dataclass(frozen=True, slots=True)
class WrongWaits:
    """Two dropped cylinders have changed places, and nobody knows until the deeper one is needed.

    Parameters
    ----------
    missing, found
        The gas that should wait there, and the one that does.
    at_min, at_m
        Run time and depth of the discovery [min], [m].
    found_ppo2_bar
        The ppO2 of what was found, there [bar].
    missing_at_m
        Where the missing gas lies [m].
    runtime_min, extra_min
        Run time of the ascent with what is really there, and how much longer that is; None if no
        ascent can be made [min]. No minutes are counted for the search.
    no_way
        Why no ascent can be made; empty if one can.
    runs_out
        The gases that do not last for it, in the order in which they end.
    """

    missing: Mixture
    found: Mixture
    at_min: float
    at_m: float
    found_ppo2_bar: float
    missing_at_m: float
    runtime_min: float | None
    extra_min: float | None
    no_way: str
    runs_out: tuple[GasOut, ...]

    @property
    def gets_home(self) -> bool:
        """True if there is an ascent, and gas enough for it."""
        return self.runtime_min is not None and not self.runs_out


def swap_on_the_line(
    dive: Finished,
    solved: Solved,
    drops: Sequence[Moment],
    pair: tuple[Mixture, Mixture],
    diver: Diver,
    team: Team,
) -> WrongWaits | None:
    """Solve a dive again whose dropped cylinders have changed places.

    Up to the discovery the dive goes as planned. From there the cylinder that was found is carried
    along, and the missing one can be breathed only from where it lies.

    Parameters
    ----------
    dive
        The finished dive.
    solved
        The same, as solved.
    drops
        The drops of the dive.
    pair
        The gases that have changed places.
    diver, team
        Whose cylinders must last, and by which rules gas is counted.

    Returns
    -------
    WrongWaits or None
        None if that cannot be: the two are one gas, are not both dropped, hang at the same depth,
        or one is still in the mouth where it would be dropped.
    """
    lying = {drop.gas: drop for drop in drops if drop.handling is Handling.DROP}
    first, second = pair
    if first == second or first not in lying or second not in lying:
        return None
    if lying[first].in_mouth == second or lying[second].in_mouth == first:
        return None
    places = {gas: drop.at_m for gas, drop in lying.items()}
    if places[first] == places[second]:
        return None
    missing, found = sorted(pair, key=lambda mix: -places[mix])
    at_min = next(
        leg.start_min
        for leg in dive.legs
        if leg.gas == missing and leg.start_min >= dive.bottom_left_min - _NEAR_MIN
    )
    no_way, legs = "", None
    try:
        legs = _ascent_without(dive, solved, missing, places[found])
    except NoSafeAnswer as error:
        no_way = error.reasons[0].what
    return WrongWaits(
        missing=missing,
        found=found,
        at_min=at_min,
        at_m=places[missing],
        found_ppo2_bar=oxygen_pressure(found, places[missing], dive.plan.water),
        missing_at_m=places[found],
        runtime_min=legs[-1].end_min if legs else None,
        extra_min=legs[-1].end_min - dive.runtime_min if legs else None,
        no_way=no_way,
        runs_out=_out(legs, dive, diver, team) if legs else (),
    )


def _ascent_without(
    dive: Finished, solved: Solved, missing: Mixture, only_from_m: float
) -> tuple[Leg, ...]:
    """Solve the dive with one gas only from a depth up."""
    rising = tuple(
        replace(gas, deepest_m=min(gas.deepest_m, only_from_m)) if gas.mix == missing else gas
        for gas in solved.gases.rising
    )
    gases = Locker(solved.gases.mixes, rising)
    last = solved.down.legs[-1]
    plan = dive.plan
    rungs = way_up(plan, gases, gases.mixes[last.gas], last.to_m)
    return solve_dive(solved.down.legs, rising, rungs, plan.settings, plan.water, solved.start).legs


def _out(legs: Sequence[Leg], dive: Finished, diver: Diver, team: Team) -> tuple[GasOut, ...]:
    uses = use_of_legs(legs, diver, team.rules, dive.plan.water, team.water_temperature_k)
    ended = {
        use.carried.mix: GasOut(use.carried.mix, use.out_min, use.out_m)
        for use in uses
        if use.out_min is not None and use.out_m is not None
    }
    return tuple(sorted(ended.values(), key=lambda out: out.at_min))
