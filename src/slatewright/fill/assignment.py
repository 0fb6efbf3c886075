"""Which cylinder takes which mix on which dive, so that what is left in it counts for most.

Each need is a cylinder with a mix for a dive, and what is expected to be left in it afterwards. A
cylinder serves several dives, one after another; every choice of what comes before what is a
matching of needs with leftovers, and the cheapest matching is found exactly (the assignment
problem, solved by SciPy).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Final

import numpy as np

from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.fill import say
from slatewright.fill.mixing import cost_of, helium_of, ranked_recipes, target_contents
from slatewright.fill.reach import nearest_target
from slatewright.fill.receiver import Receiver, holding
from slatewright.fill.room import Choice, Room
from slatewright.physics.amount import Amount
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.supply.cylinders import Cylinder

_IMPOSSIBLE: Final = 1e15
_STEP_WORTH: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Need:
    """A filled cylinder for a dive.

    Parameters
    ----------
    dive
        Which dive, in order of time, counted from 1.
    owner
        Whose cylinders may serve: a diver, or a pool.
    cylinder
        The size that is needed.
    mix
        The mix.
    gauge_bar
        Settled pressure of the fill, on the gauge [bar].
    left_gauge_bar
        Pressure expected after the dive, on the gauge at the reference temperature [bar].
    """

    dive: int
    owner: str
    cylinder: Cylinder
    mix: Mixture
    gauge_bar: float
    left_gauge_bar: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.left_gauge_bar <= self.gauge_bar:
            raise InputError(
                f"dive {self.dive}, {self.owner}, {self.mix}: {self.left_gauge_bar:g} bar after "
                f"the dive out of {self.gauge_bar:g} bar",
                where="left_gauge_bar",
                right=f"0 to {self.gauge_bar:g} bar",
            )


@dataclass(frozen=True, slots=True)
class Owned:
    """A cylinder that is there before the first dive.

    Parameters
    ----------
    owner
        Whose it is.
    receiver
        The cylinder, and what is in it.
    """

    owner: str
    receiver: Receiver


@dataclass(frozen=True, slots=True)
class PlannedFill:
    """One fill of the order.

    Parameters
    ----------
    need
        What it is for.
    receiver
        The cylinder that takes it, with what is in it before.
    after_dive
        The dive after which that was left; 0 if it was in before the first.
    """

    need: Need
    receiver: Receiver
    after_dive: int


def assign(needs: Sequence[Need], owned: Sequence[Owned], room: Room) -> tuple[PlannedFill, ...]:
    """Choose for each need the cylinder, and so the leftover, that costs least in all.

    A cylinder serves a need if it has the owner and the size; it is either one that was there at
    first or one that came back from an earlier dive, and it comes back once from each. The sum of
    helium bought, or of money where the room chooses by least cost, is the least possible.

    Parameters
    ----------
    needs
        What is needed.
    owned
        The cylinders.
    room
        The room; its banks do not matter here.

    Returns
    -------
    tuple
        One fill a need, by dive; within a dive the highest pressure of helium first.

    Raises
    ------
    NoSafeAnswer
        If there are too few cylinders, or a mix cannot be made in those that there are.
    """
    planned: list[PlannedFill] = []
    for pool, members in _pools(needs):
        stock = [own.receiver for own in owned if _pool(own.owner, own.receiver.cylinder) == pool]
        planned += _assigned(members, stock, room, {})
    return tuple(sorted(planned, key=lambda f: (f.need.dive, -f.need.mix.he * f.need.gauge_bar)))


def _pool(owner: str, cylinder: Cylinder) -> tuple[str, float, float, int]:
    return (owner, cylinder.water_volume_l, cylinder.working_gauge_bar, cylinder.count)


def _pools(needs: Sequence[Need]) -> Iterator[tuple[tuple[object, ...], list[Need]]]:
    def pool(need: Need) -> tuple[str, float, float, int]:
        return _pool(need.owner, need.cylinder)

    for key, members in groupby(sorted(needs, key=pool), key=pool):
        yield key, sorted(members, key=lambda need: need.dive)


def _assigned(
    needs: list[Need], stock: list[Receiver], room: Room, known: dict[object, float]
) -> list[PlannedFill]:
    """Solve the assignment of one pool: rows are needs, columns what may come before them."""
    from scipy.optimize import linear_sum_assignment  # noqa: PLC0415 - 0.6 s to import

    left = [_left_in(need, room) for need in needs]
    costs = np.full((len(needs), len(stock) + len(needs)), _IMPOSSIBLE)
    for row, need in enumerate(needs):
        for column, receiver in enumerate(stock):
            costs[row, column] = _cost(receiver.contents, need, room, known)
        for earlier, before in enumerate(needs):
            if before.dive < need.dive:
                costs[row, len(stock) + earlier] = _cost(left[earlier], need, room, known)
    if len(stock) + len(needs) == 0:
        return []
    rows, columns = linear_sum_assignment(costs)
    chosen: dict[int, int] = {int(r): int(c) for r, c in zip(rows, columns, strict=True)}
    failed = [needs[row] for row, column in chosen.items() if costs[row, column] >= _IMPOSSIBLE]
    if failed:
        raise NoSafeAnswer(*(_too_few(need, len(stock), room.units) for need in failed))
    fills: list[PlannedFill] = []
    for row, need in enumerate(needs):  # earlier dives first, so that the one before is known
        column = chosen[row]
        if column < len(stock):
            fills.append(PlannedFill(need, stock[column], 0))
        else:
            earlier = column - len(stock)
            receiver = replace(fills[earlier].receiver, contents=left[earlier])
            fills.append(PlannedFill(need, receiver, needs[earlier].dive))
    return fills


def _too_few(need: Need, count: int, units: UnitSystem) -> Reason:
    return Reason(
        f"dive {need.dive}, {need.owner}: no cylinder of {need.cylinder.water_volume_l:g} L is "
        f"free that could hold {need.mix} at {say.gauge(need.gauge_bar, units)} ({count} there)",
        "more cylinders of that size, or other sources",
    )


def _left_in(need: Need, room: Room) -> Amount:
    kelvin, surface_bar = room.reference_temperature_k, room.surface_bar
    return holding(need.cylinder, need.mix, need.left_gauge_bar, kelvin, surface_bar)


def _cost(start: Amount | None, need: Need, room: Room, known: dict[object, float]) -> float:
    """Return what a fill costs as one number: helium or money, and a trifle for each step."""
    inside = None if start is None else (start.o2_mol, start.he_mol, start.n2_mol)
    key = (inside, need.mix, need.gauge_bar)
    if key not in known:
        receiver = Receiver("", need.cylinder, start)
        near = nearest_target(receiver, need.mix, need.gauge_bar, room)
        goal = target_contents(receiver, near, need.gauge_bar, room)
        ranked = ranked_recipes(receiver, goal, room)
        if not ranked:
            known[key] = _IMPOSSIBLE
        else:
            money = float(cost_of(ranked[0], room))
            helium_mol = helium_of(ranked[0], room)
            first, second = (
                (money, helium_mol) if room.choice is Choice.LEAST_COST else (helium_mol, money)
            )
            known[key] = first + _STEP_WORTH * (second + ranked[0].steps)
    return known[key]
