"""A team matched by volume: what each cylinder gives, what is kept of it, when each turns."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

from slatewright.decompression.leg import Leg
from slatewright.dive.plan import Plan
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply import cylinders
from slatewright.supply.breathing import breathing_temperature_k
from slatewright.supply.consumption import (
    CylinderUse,
    breathed_before_mol,
    use_of_legs,
    when_breathed,
)
from slatewright.supply.kit import Diver, Team
from slatewright.supply.reserves import (
    MinimumGas,
    greediest_partner,
    minimum_gases,
    sharing_l_per_min,
)
from slatewright.supply.stores import (
    Store,
    keeping_by_cylinder_mol,
    left_by_cylinder_mol,
    stores_of,
)
from slatewright.supply.turn import Turn, readable_gauge_bar, turns


@dataclass(frozen=True, slots=True)
class Kept:
    """A gas of a diver: what the dive takes, and what is to be kept.

    Parameters
    ----------
    mix
        The gas.
    available_mol
        What can be breathed of it in all, wing, suit and residual pressure taken off [mol].
    before_mol, after_mol
        What the dive takes until the last stay is left, and after that [mol].
    minimum_mol
        The minimum gas for two on leaving the last stay on it, for a gas breathed at the bottom;
        else 0 [mol].
    factor_mol
        What the factor for decompression gas adds; 0 for a gas breathed at the bottom [mol].
    needed_mol
        What must be there to breathe at the start: the dive with the factor, and for each stay what
        is breathed until its end and the minimum gas there [mol].
    """

    mix: Mixture
    available_mol: float
    before_mol: float
    after_mol: float
    minimum_mol: float
    factor_mol: float
    needed_mol: float

    @property
    def reserve_mol(self) -> float:
        """What is to be kept: the minimum gas, or what the factor adds [mol]."""
        return max(self.minimum_mol, self.factor_mol)


@dataclass(frozen=True, slots=True)
class CylinderSupply:
    """One cylinder of a diver.

    Parameters
    ----------
    use
        What the dive does to it.
    reserve_mol
        Its part of what is kept of its gas [mol].
    reserve_gauge_bar
        What the gauge shows when only that can still be breathed, rounded up to what can be read;
        for a gas of the bottom no less on leaving the stay, for another no less at the end. None
        if the cylinder cannot hold it [bar].
    turn_gauge_bar
        What the gauge shows at the turn, rounded up to what can be read; None for another gas
        [bar].
    """

    use: CylinderUse
    reserve_mol: float
    reserve_gauge_bar: float | None
    turn_gauge_bar: float | None


@dataclass(frozen=True, slots=True)
class DiverSupply:
    """One diver of the team.

    Parameters
    ----------
    diver
        Who.
    stores
        The kit by gas.
    cylinders
        Each cylinder, in the order of the kit.
    kept
        Each gas, in the order of the kit.
    carries_for
        The partner for whom this diver carries the reserve; None for one who dives alone.
    sharing_l_per_min
        Stressed breathing together with that partner [L/min].
    turn
        When this diver turns.
    turn_min
        Run time at which the planned dive comes to the turn, None if it does not [min].
    """

    diver: Diver
    stores: tuple[Store, ...]
    cylinders: tuple[CylinderSupply, ...]
    kept: tuple[Kept, ...]
    carries_for: Diver | None
    sharing_l_per_min: float
    turn: Turn
    turn_min: float | None

    def kept_of(self, mix: Mixture) -> Kept:
        """Return what is kept of a gas.

        Parameters
        ----------
        mix
            One of the kit.
        """
        return next(kept for kept in self.kept if kept.mix == mix)


@dataclass(frozen=True)
class Matched:
    """The gas of a dive, before it is judged for hazards.

    Parameters
    ----------
    plan, legs
        The dive.
    team
        Who goes.
    divers
        Each of the team.
    minimum
        Minimum gas at the end of each stay, then at each depth of the last ascent up to the next
        gas.
    turn_mix
        The gas by which the turn is read: that of the last stay.
    """

    plan: Plan
    legs: tuple[Leg, ...]
    team: Team
    divers: tuple[DiverSupply, ...]
    minimum: tuple[MinimumGas, ...]
    turn_mix: Mixture

    @property
    def stays(self) -> tuple[MinimumGas, ...]:
        """The minimum gas at the end of each stay."""
        return self.minimum[: len(self.plan.levels)]

    def minimum_gauges_bar(self, row: MinimumGas, own: DiverSupply) -> dict[str, float | None]:
        """Return what the gauges of a diver must show for a minimum gas.

        Parameters
        ----------
        row
            One of `minimum`.
        own
            One of the team.

        Returns
        -------
        dict
            Label of each cylinder of that gas to a pressure rounded up to what can be read; None
            for one that cannot hold it [bar].
        """
        amount_mol = row.amount_mol(own.sharing_l_per_min)
        keeping = keeping_by_cylinder_mol(own.stores, row.mix, amount_mol)
        kelvin = breathing_temperature_k(self.team.water_temperature_k)
        return {
            own.diver.kit[i].label: _readable_bar(
                own.cylinders[i].use, amount, own.diver.units, kelvin, self.plan.water
            )
            for i, amount in sorted(keeping.items())
        }

    def parts(self) -> dict[str, Any]:
        """Return the fields by name, as they are."""
        return {field.name: getattr(self, field.name) for field in fields(Matched)}


def match(plan: Plan, legs: Sequence[Leg], team: Team) -> Matched:
    """Match a team by volume.

    Parameters
    ----------
    plan, legs
        The dive.
    team
        Who goes.

    Returns
    -------
    Matched
        Each diver with cylinders, reserves and turn.

    Raises
    ------
    InputError
        If a gas that is breathed is in no cylinder, or a cylinder is filled above its working
        pressure.
    NoSafeAnswer
        If there is no ascent from the end of a stay, delayed by a problem.
    """
    minimum = minimum_gases(plan, team.rules, team.water_temperature_k)
    sums = _Matching(plan, legs, team, minimum)
    return Matched(plan, tuple(legs), team, sums.divers(), minimum, sums.turn_mix)


class _Matching:
    """The sums of one dive and team."""

    def __init__(
        self, plan: Plan, legs: Sequence[Leg], team: Team, minimum: Sequence[MinimumGas]
    ) -> None:
        self._plan, self._legs, self._team = plan, legs, team
        self._stays = minimum[: len(plan.levels)]
        self.turn_mix = self._stays[-1].mix
        self._kelvin = breathing_temperature_k(team.water_temperature_k)

    def divers(self) -> tuple[DiverSupply, ...]:
        team, mix = self._team, self.turn_mix
        sharing = [sharing_l_per_min(team.divers, i) for i in range(len(team.divers))]
        stores = [
            stores_of(diver, team.rules, self._plan.water, team.water_temperature_k)
            for diver in team.divers
        ]
        kept = [
            self._kept(diver, own, rate)
            for diver, own, rate in zip(team.divers, stores, sharing, strict=True)
        ]
        usable = [
            next((k.available_mol - k.minimum_mol for k in own if k.mix == mix), 0.0)
            for own in kept
        ]
        found = turns(
            usable, [_out_l_per_min(diver) for diver in team.divers], team.rules.turn_rule
        )
        return tuple(map(self._diver, team.divers, stores, kept, sharing, found))

    def _kept(self, diver: Diver, stores: Sequence[Store], sharing: float) -> tuple[Kept, ...]:
        rules, water = self._team.rules, self._plan.water
        kelvin = self._team.water_temperature_k

        def until(end_min: float) -> dict[Mixture, float]:
            return breathed_before_mol(self._legs, diver, rules, water, kelvin, until_min=end_min)

        before, whole = until(self._plan.levels[-1].leave_at_min), until(math.inf)
        at_stay = [(row, until(row.at_min or 0.0).get(row.mix, 0.0)) for row in self._stays]
        found = []
        for mix in dict.fromkeys(carried.mix for carried in diver.kit):
            rows = [(row, used) for row, used in at_stay if row.mix == mix]
            before_mol, whole_mol = before.get(mix, 0.0), whole.get(mix, 0.0)
            after_mol = whole_mol - before_mol
            factor_mol = 0.0 if rows else (rules.decompression_factor - 1.0) * after_mol
            for_two = [used + row.amount_mol(sharing) for row, used in rows]
            found.append(
                Kept(
                    mix=mix,
                    available_mol=sum(s.available_mol for s in stores if s.mix == mix),
                    before_mol=before_mol,
                    after_mol=after_mol,
                    minimum_mol=rows[-1][0].amount_mol(sharing) if rows else 0.0,
                    factor_mol=factor_mol,
                    needed_mol=max(whole_mol + factor_mol, *for_two, 0.0),
                )
            )
        return tuple(found)

    def _diver(
        self,
        diver: Diver,
        stores: tuple[Store, ...],
        kept: tuple[Kept, ...],
        sharing: float,
        turn: Turn,
    ) -> DiverSupply:
        team, water = self._team, self._plan.water
        uses = use_of_legs(self._legs, diver, team.rules, water, team.water_temperature_k)
        at_turn = left_by_cylinder_mol(stores, {self.turn_mix: turn.use_mol})
        reserve: dict[int, float] = {}
        for gas in kept:
            reserve |= keeping_by_cylinder_mol(stores, gas.mix, gas.reserve_mol)
        unbreathable = {
            position: amount
            for store in stores
            for position, amount in zip(store.positions, store.holding_mol(0.0), strict=True)
        }

        def gauge(use: CylinderUse, amount_mol: float) -> float | None:
            return _readable_bar(use, amount_mol, diver.units, self._kelvin, water)

        found = tuple(
            CylinderSupply(
                use=use,
                reserve_mol=reserve[i] - unbreathable[i],
                reserve_gauge_bar=gauge(use, reserve[i]),
                turn_gauge_bar=gauge(use, at_turn[i]) if use.carried.mix == self.turn_mix else None,
            )
            for i, use in enumerate(uses)
        )
        reached = when_breathed(
            self._legs,
            diver,
            team.rules,
            water,
            self.turn_mix,
            turn.use_mol,
            water_temperature_k=team.water_temperature_k,
        )
        leave_min = self._plan.levels[-1].leave_at_min
        at_min = reached[0] if reached and reached[0] <= leave_min else None
        partner = greediest_partner(team.divers, team.divers.index(diver))
        return DiverSupply(diver, stores, found, kept, partner, sharing, turn, at_min)


def _readable_bar(
    use: CylinderUse,
    amount_mol: float,
    units: UnitSystem,
    temperature_k: float,
    water: Water,
) -> float | None:
    """Return a gauge in steps that can be read, None if the cylinder never held so much."""
    if amount_mol > use.start.amount_mol:
        return None
    carried, held_mol = use.carried, max(0.0, amount_mol)
    bar = cylinders.gauge_bar(
        carried.cylinder, carried.mix, held_mol, temperature_k, water.surface_bar
    )
    return readable_gauge_bar(max(0.0, bar), units)


def _out_l_per_min(diver: Diver) -> float:
    rmv = diver.rmv
    return rmv.working_l_per_min if diver.works_at_depth else rmv.swimming_l_per_min
