"""A dive charged to the cylinders of a diver: what each holds at the start, at changes, at the end.

What leaves the cylinders is what the diver breathed and what wing and suit took, nothing else; how
much is breathed stands in `slatewright.supply.breathing`, from which cylinder in
`slatewright.supply.stores`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from slatewright.decompression.leg import Leg, LegKind
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import UnitSystem, pressure_left_label, psi_from_bar
from slatewright.physics.water import Water
from slatewright.supply import cylinders
from slatewright.supply.breathing import (
    breathed_in_leg_mol,
    breathing_temperature_k,
    phase_of,
    time_share,
)
from slatewright.supply.kit import Diver, KitCylinder, Phase, ReserveRules
from slatewright.supply.stores import left_by_cylinder_mol, stores_of

_SLACK_MOL = 1e-9


class Occasion(StrEnum):
    """When a gauge is read."""

    START = "start"
    DESCENT = "descent"
    CHANGE = "change of gas"
    END = "end"


@dataclass(frozen=True, slots=True)
class Reading:
    """What a cylinder holds at a moment.

    Parameters
    ----------
    occasion
        Before anything, on leaving the surface, at a change of gas, at the end.
    at_min, at_m
        Run time and depth of the moment [min], [m].
    amount_mol
        Amount; below zero where more was needed than there was [mol].
    free_l
        The same as free gas [L].
    gauge_bar
        What the gauge shows: at the fill temperature before the dive, then at that of the water;
        never below zero [bar].
    """

    occasion: Occasion
    at_min: float
    at_m: float
    amount_mol: float
    free_l: float
    gauge_bar: float

    @property
    def gauge_psi(self) -> float:
        """What an imperial gauge shows [psi]."""
        return psi_from_bar(self.gauge_bar)

    def label(self, units: UnitSystem) -> str:
        """Return the pressure as it is read, rounded down.

        Parameters
        ----------
        units
            The units of the gauge.
        """
        return pressure_left_label(self.gauge_bar, units)


@dataclass(frozen=True, slots=True)
class CylinderUse:
    """What a dive does to one cylinder.

    Parameters
    ----------
    carried
        The cylinder.
    readings
        In order of time: before the dive, on leaving the surface, at each change from or to its
        gas, at the end.
    breathed_mol, inflation_mol
        What was breathed from it, and what wing and suit took [mol].
    out_min, out_m
        Run time and depth at which it cannot give any more and no other cylinder of its gas is
        left; None if that never happens [min], [m].
    """

    carried: KitCylinder
    readings: tuple[Reading, ...]
    breathed_mol: float
    inflation_mol: float
    out_min: float | None = None
    out_m: float | None = None

    @property
    def start(self) -> Reading:
        """Before the dive."""
        return self.readings[0]

    @property
    def end(self) -> Reading:
        """After the dive."""
        return self.readings[-1]

    @property
    def used_mol(self) -> float:
        """All that left the cylinder [mol]."""
        return self.breathed_mol + self.inflation_mol

    @property
    def used_free_l(self) -> float:
        """The same as free gas [L]."""
        return free_litres(self.carried.mix, self.used_mol)


@dataclass(frozen=True, slots=True)
class _Moment:
    occasion: Occasion
    at_min: float
    at_m: float
    breathed: dict[Mixture, float]
    gases: frozenset[Mixture] | None
    """The gases left and taken at a change; None for a moment that concerns all."""


def use_of_legs(
    legs: Sequence[Leg],
    diver: Diver,
    rules: ReserveRules,
    water: Water,
    water_temperature_k: float | None = None,
    *,
    phase: Phase | None = None,
) -> tuple[CylinderUse, ...]:
    """Charge a dive to the cylinders of a diver.

    Parameters
    ----------
    legs
        The dive, in order of time; a swim at the surface is added before it.
    diver
        Breathing and kit.
    rules
        The surface swim, the allowance for wing and suit, the residual pressure.
    water
        Pressure under water.
    water_temperature_k
        Temperature of the water, None if unknown [K].
    phase
        One phase for all legs, such as stressed; None for that of each leg.

    Returns
    -------
    tuple
        One entry for each cylinder, in the order of the kit.

    Raises
    ------
    InputError
        If a gas that is breathed is in no cylinder, or a cylinder is filled above its working
        pressure.
    """
    every = (*swim_before(legs, rules), *legs)
    need_cylinders(every, diver)
    stores = stores_of(diver, rules, water, water_temperature_k)
    sums = dict.fromkeys((carried.mix for carried in diver.kit), 0.0)
    room = {mix: sum(store.available_mol for store in stores if store.mix == mix) for mix in sums}
    out: dict[Mixture, tuple[float, float]] = {}
    first = every[0]
    moments = [_Moment(Occasion.START, first.start_min, first.from_m, dict(sums), None)]
    for i, leg in enumerate(every):
        if leg.kind is not LegKind.SURFACE and (i == 0 or every[i - 1].kind is LegKind.SURFACE):
            moments.append(_Moment(Occasion.DESCENT, leg.start_min, leg.from_m, dict(sums), None))
        elif i and leg.gas != every[i - 1].gas:
            pair = frozenset((leg.gas, every[i - 1].gas))
            moments.append(_Moment(Occasion.CHANGE, leg.start_min, leg.from_m, dict(sums), pair))
        does = phase or phase_of(leg, works_at_depth=diver.works_at_depth)
        rmv_l_per_min = diver.rmv.l_per_min(does)
        used_mol = breathed_in_leg_mol(leg, rmv_l_per_min, water, water_temperature_k)
        before_mol = sums[leg.gas]
        sums[leg.gas] += used_mol
        if sums[leg.gas] > room[leg.gas] + _SLACK_MOL and leg.gas not in out:
            share = max(0.0, room[leg.gas] - before_mol) / used_mol
            out[leg.gas] = _moment_in(leg, share, water)
    last = every[-1]
    moments.append(_Moment(Occasion.END, last.end_min, last.to_m, dict(sums), None))

    temperature_k = breathing_temperature_k(water_temperature_k)
    final_of = {store.mix: store.positions for store in stores}  # the last store of each gas
    aside = {
        position: amount - left
        for store in stores
        for position, amount, left in zip(
            store.positions, store.amounts_mol, store.left_mol(0.0), strict=True
        )
    }
    held = [left_by_cylinder_mol(stores, moment.breathed) for moment in moments]
    found = []
    for position, carried in enumerate(diver.kit):
        start = held[0][position] + aside[position]
        readings = [
            _reading(carried, moment, amount, temperature_k, water)
            for moment, amount in zip(
                moments, (start, *(left[position] for left in held[1:])), strict=True
            )
            if moment.gases is None or carried.mix in moment.gases
        ]
        ended = out.get(carried.mix) if position in final_of[carried.mix] else None
        found.append(
            CylinderUse(
                carried,
                tuple(readings),
                breathed_mol=held[0][position] - held[-1][position],
                inflation_mol=aside[position],
                out_min=ended[0] if ended else None,
                out_m=ended[1] if ended else None,
            )
        )
    return tuple(found)


def swim_before(legs: Sequence[Leg], rules: ReserveRules) -> tuple[Leg, ...]:
    """Return the swim at the surface before a dive, on its first gas; nothing if there is none.

    Parameters
    ----------
    legs
        The dive.
    rules
        Its minutes.
    """
    if not legs:
        raise InputError("a dive without legs", right="at least one leg")
    if not rules.surface_swim_min > 0.0:
        return ()
    first = legs[0]
    minutes = rules.surface_swim_min
    return (Leg(LegKind.SURFACE, 0.0, 0.0, first.start_min - minutes, minutes, first.gas),)


def need_cylinders(legs: Sequence[Leg], diver: Diver) -> None:
    """Refuse a dive on a gas that is in no cylinder of the diver.

    Parameters
    ----------
    legs
        The dive.
    diver
        Whose kit it is.

    Raises
    ------
    InputError
        Naming the gas and when it is breathed first.
    """
    held = {carried.mix for carried in diver.kit}
    lacking = next((leg for leg in legs if leg.gas not in held), None)
    if lacking is not None:
        raise InputError(
            f"{diver.name} breathes {lacking.gas} from {lacking.start_min:g} min on and has no "
            "cylinder of it",
            where="cylinder",
            right=f'a [[cylinder]] with gas = "{lacking.gas}"',
        )


def _moment_in(leg: Leg, share: float, water: Water) -> tuple[float, float]:
    """Return run time and depth at which a share of a leg's gas is breathed."""
    here_bar, there_bar = water.ambient_bar(leg.from_m), water.ambient_bar(leg.to_m)
    passed = time_share(share, here_bar, there_bar)
    return leg.start_min + passed * leg.minutes, leg.from_m + passed * (leg.to_m - leg.from_m)


def _reading(
    carried: KitCylinder,
    moment: _Moment,
    amount_mol: float,
    water_temperature_k: float,
    water: Water,
) -> Reading:
    before = moment.occasion is Occasion.START
    temperature_k = carried.fill_temperature_k if before else water_temperature_k
    there_mol = max(0.0, amount_mol)
    gauge = cylinders.gauge_bar(
        carried.cylinder, carried.mix, there_mol, temperature_k, water.surface_bar
    )
    return Reading(
        moment.occasion,
        moment.at_min,
        moment.at_m,
        amount_mol,
        free_litres(carried.mix, amount_mol),
        max(0.0, gauge),
    )
