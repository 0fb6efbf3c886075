"""What has to be bought at the least, whatever the order of the fills: a bound, by linear program.

Gas that goes into a cylinder that already stands at a pressure comes out of one that stands no
lower then, or as much lower as the booster allows. So, for any pressure, all that goes in above it
has to be in the supply above the pressure that goes with it. Those conditions are linear in the
number of supply cylinders of each size; the least money, gas or number that meets them is an
integer program, solved by SciPy (HiGHS). No order can do with less. Where one does with as much, it
is the best.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.prices import Offer
from slatewright.fill.room import Room, Source
from slatewright.fill.state import mol_to_reach, part, plus, pressure_of
from slatewright.physics.amount import Amount, Gas

if TYPE_CHECKING:
    from slatewright.fill.blend import Prepared

_LEVELS: Final = 41
_SLACK: Final = 1e-7  # of what is asked for: rounding of the pressures


@dataclass(frozen=True, slots=True)
class _Taken:
    """One gas that goes into one cylinder, at the lowest pressure at which it can."""

    before: Amount | None
    gas: Gas
    amount_mol: float
    volume_l: float
    kelvin: float

    @property
    def start_bar(self) -> float:
        return pressure_of(self.before, self.volume_l, self.kelvin)

    @property
    def end_bar(self) -> float:
        after = plus(self.before, self.gas, self.amount_mol)
        return pressure_of(after, self.volume_l, self.kelvin)

    def above_mol(self, pressure_bar: float) -> float:
        """Return how much goes in once the cylinder has come to a pressure."""
        below_mol = mol_to_reach(self.before, self.gas, self.volume_l, self.kelvin, pressure_bar)
        return max(0.0, self.amount_mol - below_mol)


def least_count(
    fills: Sequence[Prepared], room: Room, source_name: str, offers: Sequence[Offer]
) -> int:
    """Return the least number of supply cylinders with which fills can be done in any order.

    Parameters
    ----------
    fills
        The fills, each by its best recipe.
    room
        The room before them.
    source_name
        The source.
    offers
        What can be bought for it.

    Returns
    -------
    int
        A lower bound: no order needs fewer.
    """
    return sum(least_supply(fills, room, source_name, offers, [1.0] * len(offers)))


def least_supply(
    fills: Sequence[Prepared],
    room: Room,
    source_name: str,
    offers: Sequence[Offer],
    weights: Sequence[float],
) -> tuple[int, ...]:
    """Return the supply cylinders of least weight with which fills could be done at best.

    Parameters
    ----------
    fills, room, source_name, offers
        As for `least_count`.
    weights
        What a cylinder of each offer counts, such as its price [any one unit].

    Returns
    -------
    tuple
        How many of each offer. Whether an order exists that gets by with these is another matter.

    Raises
    ------
    NoSafeAnswer
        If no number of them suffices: the pressure is not there.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - 0.6 s to import

    (source,) = (source for source in room.sources if source.name == source_name)
    taken = Counter(_taken(fills, room, source_name))  # a course has many that are alike
    if not taken or not offers:
        return (0,) * len(offers)
    ends_bar = [pressure for one in taken for pressure in (one.start_bar, one.end_bar)]
    levels_bar = [float(p) for p in np.linspace(min(ends_bar), max(ends_bar), _LEVELS)]
    if room.booster is not None and source.boosted:  # where the condition is strictest
        levels_bar.append(room.booster.lowest_inlet_gauge_bar + room.surface_bar)
    needed = np.array(
        [
            sum(count * one.above_mol(p) for one, count in taken.items())
            - _held_above_mol(source, room, p)
            for p in levels_bar
        ]
    )
    usable = np.array(
        [[_full_above_mol(source, offer, room, p) for offer in offers] for p in levels_bar]
    )
    needed -= _SLACK * np.abs(needed).max()
    result = milp(
        c=np.array(weights, dtype=float),
        constraints=LinearConstraint(usable, lb=needed),
        integrality=np.ones(len(offers)),
        bounds=Bounds(lb=0.0),
    )
    if result.x is None:
        raise NoSafeAnswer(
            Reason(
                f"no number of supply cylinders of {source_name} has the pressure for these fills",
                "a booster, fuller supply cylinders, or less pressure",
            )
        )
    return tuple(round(float(count)) for count in result.x)


def _taken(fills: Sequence[Prepared], room: Room, source_name: str) -> Iterator[_Taken]:
    index = [source.name for source in room.sources].index(source_name)
    for fill in fills:
        if not fill.ranked:
            continue
        recipe, receiver = fill.ranked[0], fill.receiver
        amount_mol = recipe.added_mol[index]
        if amount_mol > 0.0:
            before = part(receiver.contents, recipe.kept_share)
            gas, kelvin = room.sources[index].gas, room.fill_temperature_k
            yield _Taken(before, gas, amount_mol, receiver.water_volume_l, kelvin)


def _supply_bar(source: Source, room: Room, pressure_bar: float) -> float:
    """Return the least pressure of a supply that still fills a cylinder at a pressure."""
    pump = room.booster if source.boosted else None
    if pump is None or pressure_bar > pump.highest_outlet_gauge_bar + room.surface_bar:
        return pressure_bar
    lowest_bar = pump.lowest_inlet_gauge_bar + room.surface_bar
    return min(pressure_bar, max(lowest_bar, pressure_bar / pump.highest_ratio))


def _full_above_mol(source: Source, offer: Offer, room: Room, pressure_bar: float) -> float:
    kelvin = room.reference_temperature_k if source.bank is None else source.bank.temperature_k
    volume_l, full_bar = offer.water_volume_l, offer.gauge_bar + room.surface_bar
    least_bar = min(_supply_bar(source, room, pressure_bar), full_bar)
    full_mol = mol_to_reach(None, source.gas, volume_l, kelvin, full_bar)
    return full_mol - mol_to_reach(None, source.gas, volume_l, kelvin, least_bar)


def _held_above_mol(source: Source, room: Room, pressure_bar: float) -> float:
    if source.bank is None:
        return 0.0
    least_bar = _supply_bar(source, room, pressure_bar)
    kelvin = source.bank.temperature_k
    return sum(
        max(
            0.0,
            one.amount_mol - mol_to_reach(None, source.gas, one.water_volume_l, kelvin, least_bar),
        )
        for one in source.bank.cylinders
    )
