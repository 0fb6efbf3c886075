"""What a kit holds, by gas: cylinders that run down together, and the order in which they do.

Gas is drawn by mixture. Where two cylinders hold the same, the one named first is drawn first; a
left and a right one of the same gas are a sidemount pair and run down together, in proportion to
what they held. What a regulator cannot give any more, and the allowance for wing and suit, are
never counted as breathable.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_gas_mol
from slatewright.physics.water import Water
from slatewright.supply import cylinders
from slatewright.supply.breathing import breathing_temperature_k
from slatewright.supply.kit import Diver, KitCylinder, Place, ReserveRules

_SIDES: Final = {Place.LEFT: Place.RIGHT, Place.RIGHT: Place.LEFT}


@dataclass(frozen=True, slots=True)
class Store:
    """Cylinders of one gas that run down together: one, or both sides of a sidemount pair.

    Parameters
    ----------
    mix
        The gas.
    positions
        Which cylinders of the kit these are, counted from 0.
    amounts_mol
        What each holds at the start of the dive [mol].
    kept_mol
        What of that each cannot give, below the residual pressure [mol].
    inflation_mol
        What is set aside for wing and suit [mol].
    """

    mix: Mixture
    positions: tuple[int, ...]
    amounts_mol: tuple[float, ...]
    kept_mol: tuple[float, ...]
    inflation_mol: float = 0.0

    @property
    def givable_mol(self) -> float:
        """What regulators can give in all, wing and suit included [mol]."""
        pairs = zip(self.amounts_mol, self.kept_mol, strict=True)
        return sum(max(0.0, amount - kept) for amount, kept in pairs)

    @property
    def available_mol(self) -> float:
        """What may be breathed [mol]."""
        return max(0.0, self.givable_mol - self.inflation_mol)

    def left_mol(self, breathed_mol: float) -> tuple[float, ...]:
        """Return what each cylinder holds after wing, suit and so much breathing.

        Parameters
        ----------
        breathed_mol
            Breathed from all of them together [mol].

        Returns
        -------
        tuple
            One figure a cylinder; below zero where more was breathed than there was [mol].
        """
        drawn_mol = breathed_mol + self.inflation_mol
        return tuple(
            amount - drawn_mol * share
            for amount, share in zip(self.amounts_mol, self._shares(), strict=True)
        )

    def holding_mol(self, breathable_mol: float) -> tuple[float, ...]:
        """Return what each cylinder holds when so much can still be breathed from them.

        Parameters
        ----------
        breathable_mol
            From all of them together, beyond what regulators cannot give [mol].

        Returns
        -------
        tuple
            One figure a cylinder [mol].
        """
        return tuple(
            kept + breathable_mol * share
            for kept, share in zip(self.kept_mol, self._shares(), strict=True)
        )

    def _shares(self) -> tuple[float, ...]:
        """Return the share of each cylinder in what is drawn."""
        giving = [max(0.0, a - k) for a, k in zip(self.amounts_mol, self.kept_mol, strict=True)]
        total = sum(giving)
        return tuple(part / total if total > 0.0 else 1.0 / len(giving) for part in giving)


def start_mol(carried: KitCylinder, water: Water) -> float:
    """Return what a cylinder holds at the start of the dive.

    Parameters
    ----------
    carried
        The cylinder.
    water
        Pressure at the surface, above which the gauge counts.

    Returns
    -------
    float
        Amount [mol].

    Raises
    ------
    InputError
        If its pressure is above its working pressure; the message names it.
    """
    try:
        return cylinders.contents_mol(
            carried.cylinder,
            carried.mix,
            carried.start_gauge_bar,
            carried.fill_temperature_k,
            water.surface_bar,
        )
    except InputError as error:
        raise InputError(error.what, where=carried.label, right=error.right) from None


def stores_of(
    diver: Diver,
    rules: ReserveRules,
    water: Water,
    water_temperature_k: float | None = None,
) -> tuple[Store, ...]:
    """Return the stores of a diver, in the order in which they are drawn.

    Parameters
    ----------
    diver
        Whose kit it is.
    rules
        The residual pressure and the allowance for wing and suit, which the back gas gives; without
        a cylinder on the back the sidemount pair, else the first cylinder.
    water
        Pressure at the surface.
    water_temperature_k
        Temperature of the water, None if unknown [K].

    Returns
    -------
    tuple
        One store for each cylinder or sidemount pair.

    Raises
    ------
    InputError
        If a cylinder is filled above its working pressure.
    """
    temperature_k = breathing_temperature_k(water_temperature_k)
    groups = _groups(diver.kit)
    gives = _inflates(diver.kit, groups)
    stores = []
    for group in groups:
        members = [diver.kit[position] for position in group]
        amounts = tuple(start_mol(member, water) for member in members)
        kept = tuple(
            cylinders.contents_mol(
                member.cylinder,
                member.mix,
                min(rules.residual_gauge_bar, member.cylinder.working_gauge_bar),
                temperature_k,
                water.surface_bar,
            )
            for member in members
        )
        mix = members[0].mix
        set_aside = free_gas_mol(mix, rules.inflation_free_l) if group == gives else 0.0
        stores.append(Store(mix, group, amounts, kept, set_aside))
    return tuple(stores)


def available_mol(stores: Iterable[Store], mixes: Sequence[Mixture]) -> tuple[float, ...]:
    """Return what may be breathed of each gas.

    Parameters
    ----------
    stores
        As `stores_of` returns them; leave out those that are lost, add those of a partner.
    mixes
        The gases, as the legs number them.

    Returns
    -------
    tuple
        One figure a gas, zero for a gas in no store [mol].
    """
    held = tuple(stores)
    return tuple(sum(s.available_mol for s in held if s.mix == mix) for mix in mixes)


def left_by_cylinder_mol(
    stores: Sequence[Store], breathed_mol: Mapping[Mixture, float]
) -> dict[int, float]:
    """Return what each cylinder of a kit holds after so much was breathed of each gas.

    Parameters
    ----------
    stores
        All stores of the kit, in the order in which they are drawn.
    breathed_mol
        Breathed of each gas [mol].

    Returns
    -------
    dict
        Position in the kit to amount; where a gas was not enough, the last store of it goes below
        what it can give, and below zero [mol].
    """
    left: dict[int, float] = {}
    for mix in dict.fromkeys(store.mix for store in stores):
        same = [store for store in stores if store.mix == mix]
        wanted_mol = breathed_mol.get(mix, 0.0)
        for store in same:
            drawn_mol = wanted_mol if store is same[-1] else min(wanted_mol, store.available_mol)
            wanted_mol -= drawn_mol
            left.update(zip(store.positions, store.left_mol(drawn_mol), strict=True))
    return left


def keeping_by_cylinder_mol(
    stores: Sequence[Store], mix: Mixture, breathable_mol: float
) -> dict[int, float]:
    """Return what each cylinder of a gas holds when so much of it can still be breathed.

    Parameters
    ----------
    stores
        All stores of the kit, in the order in which they are drawn.
    mix
        The gas.
    breathable_mol
        What can still be breathed of it [mol].

    Returns
    -------
    dict
        Position in the kit to amount. What is drawn last keeps it; what that cannot hold, the one
        before; what none can hold is put on top of the first, so that it shows [mol].
    """
    keeping: dict[int, float] = {}
    same = [store for store in stores if store.mix == mix]
    for store in reversed(same):
        part = breathable_mol if store is same[0] else min(breathable_mol, store.available_mol)
        breathable_mol -= part
        keeping.update(zip(store.positions, store.holding_mol(part), strict=True))
    return keeping


def _groups(kit: Sequence[KitCylinder]) -> tuple[tuple[int, ...], ...]:
    """Return the positions that run down together: each alone, but left with right of one gas."""
    groups: list[tuple[int, ...]] = []
    taken: set[int] = set()
    for position, carried in enumerate(kit):
        if position in taken:
            continue
        other = next(
            (
                i
                for i in range(position + 1, len(kit))
                if i not in taken
                and kit[i].mix == carried.mix
                and kit[i].place is _SIDES.get(carried.place)
            ),
            None,
        )
        group = (position,) if other is None else (position, other)
        taken.update(group)
        groups.append(group)
    return tuple(groups)


def _inflates(
    kit: Sequence[KitCylinder], groups: Sequence[tuple[int, ...]]
) -> tuple[int, ...] | None:
    back = (group for group in groups if kit[group[0]].place is Place.BACK)
    pairs = (group for group in groups if len(group) > 1)
    return next(back, None) or next(pairs, None) or next(iter(groups), None)
