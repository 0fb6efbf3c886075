"""Lift over a whole dive: what each of a team weighs in water at both ends of every leg."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from slatewright.decompression.leg import Leg
from slatewright.dive.hazard import Hazard
from slatewright.dive.schedule import Schedule
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water
from slatewright.supply.breathing import breathed_in_leg_mol, phase_of
from slatewright.supply.consumption import swim_before
from slatewright.supply.kit import Diver, ReserveRules, Team
from slatewright.supply.lift import Balance, Moment, balance
from slatewright.supply.stores import left_by_cylinder_mol, stores_of

NO_RIG: Final = "no rig in the plan"
"""Why the lift of a diver is not judged."""
_CARRIED: Final = "every cylinder is carried all the way; none is dropped or handed over"


@dataclass(frozen=True, slots=True)
class Lift:
    """The buoyancy of one of the team over a dive.

    Parameters
    ----------
    diver
        Who it is.
    balance
        The figures; None if the plan has no rig for this diver: then lift is not judged.
    """

    diver: Diver
    balance: Balance | None


def lift_over(schedule: Schedule, team: Team) -> tuple[Lift, ...]:
    """Return the buoyancy of each of a team over a dive.

    Parameters
    ----------
    schedule
        The dive.
    team
        Who goes, with which cylinders and rigs.

    Returns
    -------
    tuple
        One entry for each diver, in the order of the team.

    Raises
    ------
    InputError
        If a cylinder is filled above its working pressure.
    """
    return tuple(Lift(diver, _balance(schedule, diver, team)) for diver in team.divers)


def lift_hazards(lifts: Sequence[Lift]) -> Iterator[Hazard]:
    """Yield what is too heavy or too light, each with the name of the diver.

    Parameters
    ----------
    lifts
        As `lift_over` returns them.
    """
    for lift in lifts:
        for hazard in lift.balance.hazards if lift.balance else ():
            yield replace(hazard, text=f"{lift.diver.name}: {hazard.text}")


def moments_of(
    legs: Sequence[Leg],
    diver: Diver,
    rules: ReserveRules,
    water: Water,
    water_temperature_k: float | None = None,
) -> tuple[Moment, ...]:
    """Return what a diver's cylinders hold at the start and at both ends of every leg.

    Parameters
    ----------
    legs
        The dive, in order of time.
    diver
        Breathing and kit.
    rules
        The swim at the surface, the allowance for wing and suit.
    water
        Pressure under water.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    tuple
        First the cylinders as filled, before any swim and with nothing let into wing and suit:
        no diver is heavier at the surface. Then both ends of each leg.

    Notes
    -----
    The allowance for wing and suit is counted as gone from the first leg on. A cylinder that would
    have to give more than it holds is empty, which is another hazard.
    """
    stores = stores_of(diver, rules, water, water_temperature_k)
    full = {
        position: amount
        for store in stores
        for position, amount in zip(store.positions, store.amounts_mol, strict=True)
    }
    breathed: dict[Mixture, float] = {}

    def at(at_min: float, at_m: float, held: dict[int, float]) -> Moment:
        amounts = tuple(max(0.0, held[position]) for position in range(len(diver.kit)))
        return Moment(at_min, at_m, amounts)

    def breathe(leg: Leg) -> None:
        phase = phase_of(leg, works_at_depth=diver.works_at_depth)
        rmv_l_per_min = diver.rmv.l_per_min(phase)
        used_mol = breathed_in_leg_mol(leg, rmv_l_per_min, water, water_temperature_k)
        breathed[leg.gas] = breathed.get(leg.gas, 0.0) + used_mol

    moments = [at(legs[0].start_min, legs[0].from_m, full)]
    for leg in swim_before(legs, rules):
        breathe(leg)
    for leg in legs:
        moments.append(at(leg.start_min, leg.from_m, left_by_cylinder_mol(stores, breathed)))
        breathe(leg)
        moments.append(at(leg.end_min, leg.to_m, left_by_cylinder_mol(stores, breathed)))
    return tuple(moments)


def _balance(schedule: Schedule, diver: Diver, team: Team) -> Balance | None:
    if diver.rig is None:
        return None
    plan = schedule.plan
    moments = moments_of(schedule.legs, diver, team.rules, plan.water, team.water_temperature_k)
    found = balance(diver.rig, diver.kit, moments, plan.water, units=plan.units)
    return replace(found, assumptions=(*found.assumptions, _CARRIED))
