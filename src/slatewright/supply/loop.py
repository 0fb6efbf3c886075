"""The gas of a dive on a closed circuit: oxygen and diluent by leg, charged to their cylinders."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.dive.loop import Loop, Metabolism
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.water import Water
from slatewright.supply import cylinders
from slatewright.supply.breathing import breathing_temperature_k, phase_of
from slatewright.supply.consumption import CylinderUse, Occasion, Reading
from slatewright.supply.kit import Diver, KitCylinder, Phase, Place, ReserveRules
from slatewright.supply.loop_balance import Counted, Flows
from slatewright.supply.loop_formulas import loop_mol_per_bar, metabolic_oxygen_mol
from slatewright.supply.stores import Store, left_by_cylinder_mol, stores_of

_OXYGEN: Final = 0.99
"""What feeds a loop with oxygen holds at least this much of it [-]."""
_SLACK_MOL: Final = 1e-9


@dataclass(frozen=True, slots=True)
class LoopLeg:
    """What one leg does to a loop.

    Parameters
    ----------
    leg
        The leg.
    flows
        What passed through the loop in it.
    ppo2_bar
        The ppO2 in the loop at its end, as counted [bar].
    """

    leg: Leg
    flows: Flows
    ppo2_bar: float


@dataclass(frozen=True, slots=True)
class LoopUse:
    """What a dive does to the loop of one diver.

    Parameters
    ----------
    filling
        What it took to fill the loop before the dive.
    legs
        Each leg with what passed through the loop, the swim at the surface included.
    oxygen_mol, inert_mol
        What is in the loop at the end [mol].
    minutes
        How long the loop was breathed [min].
    """

    filling: Flows
    legs: tuple[LoopLeg, ...]
    oxygen_mol: float
    inert_mol: float
    minutes: float

    @property
    def total(self) -> Flows:
        """All that passed through the loop, the filling included."""
        return sum((leg.flows for leg in self.legs), self.filling)

    @property
    def highest_ppo2_bar(self) -> float:
        """The highest ppO2 in the loop at the end of a leg, as counted [bar]."""
        return max(leg.ppo2_bar for leg in self.legs)

    def unbalanced_mol(self, diluent_o2: float) -> tuple[float, float]:
        """Return by how much the sums of oxygen and of inert gas do not come out.

        Parameters
        ----------
        diluent_o2
            Mole fraction of oxygen in the diluent [-].

        Returns
        -------
        tuple
            What came from the cylinders, less what was used up, vented and is left, of oxygen and
            of inert gas; nothing but rounding [mol].
        """
        flows = self.total
        oxygen_mol = flows.oxygen_mol + diluent_o2 * flows.diluent_mol
        inert_mol = (1.0 - diluent_o2) * flows.diluent_mol
        return (
            oxygen_mol - flows.used_mol - flows.vented_oxygen_mol - self.oxygen_mol,
            inert_mol - flows.vented_inert_mol - self.inert_mol,
        )


def loop_use(
    legs: Sequence[Leg],
    loop: Loop,
    diver: Diver,
    rules: ReserveRules,
    water: Water,
    water_temperature_k: float | None = None,
) -> LoopUse:
    """Count the gas of a diver's loop over a dive.

    Parameters
    ----------
    legs
        The dive, all of it on the loop.
    loop
        Volume and oxygen used up.
    diver
        Who works at depth, and who does not.
    rules
        The swim at the surface, which is breathed from the loop.
    water
        Pressure under water.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    LoopUse
        With every leg.

    Raises
    ------
    InputError
        If the plan does not say how large the loop is or how much oxygen is used up, or a leg is on
        open circuit.
    """
    if loop.volume_l is None or loop.metabolism is None:
        raise InputError(
            "nothing is said of the loop's volume, or of the oxygen that a diver uses up",
            where="loop",
            right="volume and oxygen_swimming",
        )
    every = (*_swim(legs, rules), *legs)
    per_bar = loop_mol_per_bar(loop.volume_l, breathing_temperature_k(water_temperature_k))
    counted = Counted(per_bar, loop.diluent.o2)
    filling = counted.fill(water.ambient_bar(every[0].from_m), _setpoint_bar(every[0]))
    found = []
    for leg in every:
        rate = oxygen_l_per_min(loop.metabolism, leg, works_at_depth=diver.works_at_depth)
        flows = counted.pass_time(
            water.ambient_bar(leg.from_m),
            water.ambient_bar(leg.to_m),
            leg.minutes,
            _setpoint_bar(leg),
            metabolic_oxygen_mol(rate, 1.0),
        )
        found.append(LoopLeg(leg, flows, counted.ppo2_bar))
    minutes = sum(leg.minutes for leg in every)
    return LoopUse(filling, tuple(found), counted.oxygen_mol, counted.inert_mol, minutes)


def _swim(legs: Sequence[Leg], rules: ReserveRules) -> tuple[Leg, ...]:
    first, minutes = legs[0], rules.surface_swim_min
    if not minutes > 0.0:
        return ()
    return (
        replace(
            first, kind=LegKind.SURFACE, to_m=first.from_m, minutes=minutes,
            start_min=first.start_min - minutes,
        ),
    )  # fmt: skip


def _setpoint_bar(leg: Leg) -> float:
    if leg.setpoint_bar is None:
        raise InputError(
            f"the leg at {leg.start_min:g} min is on open circuit", right="legs on the loop"
        )
    return leg.setpoint_bar


def oxygen_l_per_min(metabolism: Metabolism, leg: Leg, *, works_at_depth: bool) -> float:
    """Return the oxygen that a diver uses up in a minute of a leg.

    Parameters
    ----------
    metabolism
        What is used up, by phase.
    leg
        The leg.
    works_at_depth
        True if the stay at depth is work.

    Returns
    -------
    float
        Dry at 0 degC and 1.01325 bar [L/min].
    """
    phase = phase_of(leg, works_at_depth=works_at_depth)
    return {
        Phase.RESTING: metabolism.resting_l_per_min,
        Phase.WORKING: metabolism.working_l_per_min,
    }.get(phase, metabolism.swimming_l_per_min)


def works_in(legs: Sequence[Leg], *, works_at_depth: bool) -> str:
    """Return the hardest work of a dive, as the entries on absorbent name it.

    Parameters
    ----------
    legs
        The dive.
    works_at_depth
        True if the stay at depth is work.

    Returns
    -------
    str
        ``working`` or ``swimming``; nobody rests on a whole dive.
    """
    stays = any(leg.kind is LegKind.BOTTOM for leg in legs)
    return "working" if works_at_depth and stays else "swimming"


def loop_kit(diver: Diver) -> tuple[KitCylinder, ...]:
    """Return the cylinders that feed the loop of a diver, diluent first.

    Parameters
    ----------
    diver
        The diver.
    """
    feeding = [held for held in diver.kit if held.place is Place.LOOP]
    return tuple(sorted(feeding, key=lambda held: held.mix.o2 >= _OXYGEN))


def feeding_kit(diver: Diver) -> Diver:
    """Return a diver with those cylinders alone that feed the loop, diluent first.

    Parameters
    ----------
    diver
        The diver.
    """
    return replace(diver, kit=loop_kit(diver))


def is_oxygen(mix: Mixture) -> bool:
    """Return whether a mixture is oxygen, as a loop is fed with.

    Parameters
    ----------
    mix
        The mixture.
    """
    return mix.o2 >= _OXYGEN


def loop_stores(
    diver: Diver, rules: ReserveRules, water: Water, water_temperature_k: float | None
) -> tuple[Store, ...]:
    """Return what feeds the loop of a diver; the allowance for wing and suit is diluent's.

    Parameters
    ----------
    diver
        The diver.
    rules
        Residual pressure, and the allowance.
    water
        Pressure at the surface.
    water_temperature_k
        Temperature of the water, None if unknown [K].
    """
    return stores_of(feeding_kit(diver), rules, water, water_temperature_k)


def charge_loop(
    use: LoopUse,
    diver: Diver,
    rules: ReserveRules,
    water: Water,
    water_temperature_k: float | None = None,
) -> tuple[CylinderUse, ...]:
    """Charge what a loop took to the cylinders that feed it.

    Parameters
    ----------
    use
        What the loop took, by leg.
    diver
        Whose cylinders they are.
    rules
        Residual pressure, and the allowance for wing and suit, which the diluent gives.
    water
        Pressure at the surface.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    tuple
        One entry a cylinder, diluent first: before the dive, on leaving the surface (the loop is
        filled by then), at the end.
    """
    kit = loop_kit(diver)
    stores = loop_stores(diver, rules, water, water_temperature_k)
    moments = _moments(use, kit)
    held = [left_by_cylinder_mol(stores, drawn) for _, _, _, drawn in moments]
    full = {
        position: amount
        for store in stores
        for position, amount in zip(store.positions, store.amounts_mol, strict=True)
    }
    temperature_k = breathing_temperature_k(water_temperature_k)
    last_store = {store.mix: store.positions for store in stores}
    found = []
    for position, carried in enumerate(kit):
        amounts = [full[position], *(left[position] for left in held[1:])]
        readings = tuple(
            _reading(carried, moment, amount, temperature_k, water)
            for moment, amount in zip(moments, amounts, strict=True)
        )
        out = None
        if position in last_store[carried.mix]:
            room_mol = sum(s.available_mol for s in stores if s.mix == carried.mix)
            out = _when(use, carried.mix, room_mol)
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


_Moment = tuple[Occasion, float, float, dict[Mixture, float]]


def _moments(use: LoopUse, kit: Sequence[KitCylinder]) -> list[_Moment]:
    """Return the moments at which gauges are read, with what was drawn by then."""
    mixes = list(dict.fromkeys(held.mix for held in kit))

    def drawn(flows: Flows) -> dict[Mixture, float]:
        return {mix: flows.oxygen_mol if is_oxygen(mix) else flows.diluent_mol for mix in mixes}

    first = use.legs[0].leg
    moments: list[_Moment] = [
        (Occasion.START, first.start_min, first.from_m, dict.fromkeys(mixes, 0.0))
    ]
    flows = use.filling
    for i, part in enumerate(use.legs):
        leg = part.leg
        if leg.kind is not LegKind.SURFACE and (
            i == 0 or use.legs[i - 1].leg.kind is LegKind.SURFACE
        ):
            moments.append((Occasion.DESCENT, leg.start_min, leg.from_m, drawn(flows)))
        flows += part.flows
    last = use.legs[-1].leg
    moments.append((Occasion.END, last.end_min, last.to_m, drawn(flows)))
    return moments


def _when(use: LoopUse, mix: Mixture, room_mol: float) -> tuple[float, float] | None:
    """Return run time and depth at which more than an amount has been drawn."""

    def drawn(flows: Flows) -> float:
        return flows.oxygen_mol if is_oxygen(mix) else flows.diluent_mol

    total_mol = drawn(use.filling)
    for part in use.legs:
        leg, took_mol = part.leg, drawn(part.flows)
        if total_mol + took_mol > room_mol + _SLACK_MOL:
            share = min(1.0, max(0.0, (room_mol - total_mol) / took_mol)) if took_mol else 0.0
            return (
                leg.start_min + share * leg.minutes,
                leg.from_m + share * (leg.to_m - leg.from_m),
            )
        total_mol += took_mol
    return None


def _reading(
    carried: KitCylinder,
    moment: _Moment,
    amount_mol: float,
    water_temperature_k: float,
    water: Water,
) -> Reading:
    occasion, at_min, at_m, _ = moment
    temperature_k = (
        carried.fill_temperature_k if occasion is Occasion.START else water_temperature_k
    )
    gauge = cylinders.gauge_bar(
        carried.cylinder, carried.mix, max(0.0, amount_mol), temperature_k, water.surface_bar
    )
    litres = free_litres(carried.mix, amount_mol)
    return Reading(occasion, at_min, at_m, amount_mol, litres, max(0.0, gauge))
