"""A dive charged to the cylinders of a diver: what each holds at the start, at changes, at the end.

What leaves the cylinders is what the diver breathed and what wing and suit took, nothing else; how
much is breathed stands in `slatewright.supply.breathing`, from which cylinder in
`slatewright.supply.stores`.
"""

from __future__ import annotations

import math
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
_SLACK_MIN = 1e-6


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
    parts = _parts(every, diver, water, water_temperature_k, phase)
    moments = _moments(every, [used_mol for _, used_mol in parts])
    held = [left_by_cylinder_mol(stores, moment.breathed) for moment in moments]
    full = {
        position: amount
        for store in stores
        for position, amount in zip(store.positions, store.amounts_mol, strict=True)
    }
    last_store = {store.mix: store.positions for store in stores}
    temperature_k = breathing_temperature_k(water_temperature_k)
    found = []
    for position, carried in enumerate(diver.kit):
        amounts = (full[position], *(left[position] for left in held[1:]))
        readings = tuple(
            _reading(carried, moment, amount, temperature_k, water)
            for moment, amount in zip(moments, amounts, strict=True)
            if moment.gases is None or carried.mix in moment.gases
        )
        out = None
        if position in last_store[carried.mix]:
            room_mol = sum(s.available_mol for s in stores if s.mix == carried.mix)
            out = _when(parts, carried.mix, room_mol, water)
        found.append(
            CylinderUse(
                carried,
                readings,
                breathed_mol=held[0][position] - held[-1][position],
                inflation_mol=full[position] - held[0][position],
                out_min=out[0] if out else None,
                out_m=out[1] if out else None,
            )
        )
    return tuple(found)


def breathed_before_mol(
    legs: Sequence[Leg],
    diver: Diver,
    rules: ReserveRules,
    water: Water,
    water_temperature_k: float | None = None,
    *,
    until_min: float = math.inf,
) -> dict[Mixture, float]:
    """Return what a diver breathes of each gas until a moment at which a leg ends.

    Parameters
    ----------
    legs, diver, rules, water, water_temperature_k
        As for `use_of_legs`.
    until_min
        Run time of the moment; infinity for the whole dive [min].

    Returns
    -------
    dict
        Gas to amount, the swim at the surface included [mol].
    """
    sums: dict[Mixture, float] = {}
    every = (*swim_before(legs, rules), *legs)
    for leg, used_mol in _parts(every, diver, water, water_temperature_k, None):
        if leg.end_min <= until_min + _SLACK_MIN:
            sums[leg.gas] = sums.get(leg.gas, 0.0) + used_mol
    return sums


def when_breathed(
    legs: Sequence[Leg],
    diver: Diver,
    rules: ReserveRules,
    water: Water,
    mix: Mixture,
    amount_mol: float,
    *,
    water_temperature_k: float | None = None,
) -> tuple[float, float] | None:
    """Return when a diver has breathed an amount of a gas.

    Parameters
    ----------
    legs, diver, rules, water, water_temperature_k
        As for `use_of_legs`.
    mix
        The gas.
    amount_mol
        The amount [mol].

    Returns
    -------
    tuple or None
        Run time and depth; None if the dive needs no more than that [min], [m].
    """
    every = (*swim_before(legs, rules), *legs)
    return _when(_parts(every, diver, water, water_temperature_k, None), mix, amount_mol, water)


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


def _parts(
    legs: Sequence[Leg],
    diver: Diver,
    water: Water,
    water_temperature_k: float | None,
    phase: Phase | None,
) -> list[tuple[Leg, float]]:
    """Return each leg with the amount that is breathed in it."""
    found = []
    for leg in legs:
        does = phase or phase_of(leg, works_at_depth=diver.works_at_depth)
        rmv_l_per_min = diver.rmv.l_per_min(does)
        found.append((leg, breathed_in_leg_mol(leg, rmv_l_per_min, water, water_temperature_k)))
    return found


def _moments(legs: Sequence[Leg], used_mol: Sequence[float]) -> list[_Moment]:
    """Return the moments at which gauges are read, with what was breathed by then."""
    sums: dict[Mixture, float] = {}
    first, last = legs[0], legs[-1]
    moments = [_Moment(Occasion.START, first.start_min, first.from_m, {}, None)]
    before: Leg | None = None
    for leg, used in zip(legs, used_mol, strict=True):
        in_water = before is not None and before.kind is not LegKind.SURFACE
        if leg.kind is not LegKind.SURFACE and not in_water:
            moments.append(_Moment(Occasion.DESCENT, leg.start_min, leg.from_m, dict(sums), None))
        elif before is not None and leg.gas != before.gas:
            pair = frozenset((leg.gas, before.gas))
            moments.append(_Moment(Occasion.CHANGE, leg.start_min, leg.from_m, dict(sums), pair))
        sums[leg.gas] = sums.get(leg.gas, 0.0) + used
        before = leg
    moments.append(_Moment(Occasion.END, last.end_min, last.to_m, sums, None))
    return moments


def _when(
    parts: Sequence[tuple[Leg, float]], mix: Mixture, amount_mol: float, water: Water
) -> tuple[float, float] | None:
    """Return run time and depth at which more than an amount of a gas has been breathed."""
    total_mol = 0.0
    for leg, used_mol in parts:
        if leg.gas != mix:
            continue
        if total_mol + used_mol > amount_mol + _SLACK_MOL:
            share = max(0.0, amount_mol - total_mol) / used_mol
            here_bar, there_bar = water.ambient_bar(leg.from_m), water.ambient_bar(leg.to_m)
            passed = time_share(share, here_bar, there_bar)
            depth_m = leg.from_m + passed * (leg.to_m - leg.from_m)
            return leg.start_min + passed * leg.minutes, depth_m
        total_mol += used_mol
    return None


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
