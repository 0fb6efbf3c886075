"""Why a mix cannot be made, the nearest one that can, and what topping alone would give."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, TypeAlias

from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill import say
from slatewright.fill.mixing import (
    held_mol,
    least_share,
    ranked_recipes,
    target_contents,
    try_to_make,
)
from slatewright.fill.receiver import Receiver
from slatewright.fill.room import Room
from slatewright.fill.state import mol_to_reach, plus
from slatewright.fill.steps import Shortfall
from slatewright.physics.amount import Amount, Gas
from slatewright.physics.mixture import Mixture

Point: TypeAlias = tuple[float, float]
_ROUNDS: Final = 30
_SLACK: Final = 1e-9
_SETTLED: Final = 1e-14
_LEAST_O2: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Topped:
    """What comes of topping with one source alone, nothing drained.

    Parameters
    ----------
    source
        The source.
    mix
        The mix.
    amount_mol
        What goes in [mol].
    """

    source: str
    mix: Mixture
    amount_mol: float


class OutOfReach(NoSafeAnswer):
    """A mix that cannot be made with what is at hand.

    Parameters
    ----------
    reasons
        Why, the most important first.
    nearest
        The nearest mix that the moles allow at that pressure; None if it is the target itself, and
        pressure is what lacks, or if it has no oxygen.
    highest_gauge_bar
        The highest settled pressure at which the target can be made; None if at none [bar].
    toppings
        What topping alone would give.
    """

    def __init__(
        self,
        *reasons: Reason,
        nearest: Mixture | None,
        highest_gauge_bar: float | None,
        toppings: tuple[Topped, ...],
    ) -> None:
        self.nearest = nearest
        self.highest_gauge_bar = highest_gauge_bar
        self.toppings = toppings
        super().__init__(*reasons)


def toppings(receiver: Receiver, gauge_bar: float, room: Room) -> tuple[Topped, ...]:
    """Return the mixes that come of topping with each source alone to a settled pressure.

    Parameters
    ----------
    receiver
        The cylinder.
    gauge_bar
        Settled pressure on the gauge [bar].
    room
        The room.

    Returns
    -------
    tuple
        Those that can be breathed at some depth, in the order of the sources; empty if the
        cylinder has that pressure already.
    """
    found = []
    for source in room.sources:
        amount_mol = mol_to_reach(
            receiver.contents,
            source.gas,
            receiver.water_volume_l,
            room.reference_temperature_k,
            gauge_bar + room.surface_bar,
        )
        topped = plus(receiver.contents, source.gas, amount_mol)
        if amount_mol > 0.0 and topped is not None and topped.o2 > _LEAST_O2:
            found.append(Topped(source.name, topped.mixture(), amount_mol))
    return tuple(found)


def nearest_mix(receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room) -> Mixture | None:
    """Return the mix nearest to a target that mole balance allows at a settled pressure.

    Distance counts a point of oxygen like a point of helium. Everything reachable is a mixture of
    the sources with no more of the start than is in the cylinder, and no less than no valve lets
    out: a convex region, whose nearest point lies on a line between two of its corners.

    Parameters
    ----------
    receiver
        The cylinder.
    mix
        What is wanted.
    gauge_bar
        Settled pressure on the gauge [bar].
    room
        The room.

    Returns
    -------
    Mixture or None
        The target itself if it can be reached; None if what is nearest has no oxygen.
    """
    sources = [_point(source.gas) for source in room.sources]
    wanted, found = _point(mix), _point(mix)
    least = least_share(receiver, room)
    for _ in range(_ROUNDS):  # what the cylinder holds at that pressure depends a little on the mix
        o2, he = max(found[0], _LEAST_O2), found[1]
        goal = target_contents(receiver, Amount(o2, he, max(0.0, 1 - o2 - he)), gauge_bar, room)
        corners = list(_corners(receiver, sources, goal.total_mol, least))
        before, found = found, _nearest(wanted, corners)
        if _far(before, found) < _SETTLED:
            break
    if found[0] <= _LEAST_O2:
        return None
    o2 = min(1.0, found[0])
    return Mixture(o2, min(1.0 - o2, max(0.0, found[1])))


def nearest_target(receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room) -> Mixture:
    """Return the mix that a cylinder will be filled with: the one asked for, or one as good.

    Parameters
    ----------
    receiver
        The cylinder.
    mix
        What is wanted.
    gauge_bar
        Settled pressure on the gauge [bar].
    room
        The room; its tolerance decides what is as good.

    Returns
    -------
    Mixture
        The nearest that mole balance allows if that is within the tolerance, else the one asked
        for.
    """
    goal = target_contents(receiver, mix, gauge_bar, room)
    if ranked_recipes(receiver, goal, room):
        return mix
    nearest = nearest_mix(receiver, mix, gauge_bar, room)
    if nearest is None:
        return mix
    as_good = room.tolerance.holds(nearest.o2 - mix.o2, nearest.he - mix.he)
    return nearest if as_good else mix


def out_of_reach(
    receiver: Receiver,
    mix: Mixture,
    gauge_bar: float,
    room: Room,
    shortfall: Shortfall | None,
    *,
    balanced: bool,
) -> OutOfReach:
    """Return why a mix cannot be made, with what can.

    Parameters
    ----------
    receiver
        The cylinder.
    mix
        What is wanted.
    gauge_bar
        Settled pressure on the gauge [bar].
    room
        The room.
    shortfall
        The source that failed, where only pressure lacks.
    balanced
        Whether the moles would be there.

    Returns
    -------
    OutOfReach
        To be raised.
    """
    topped = toppings(receiver, gauge_bar, room)
    highest_bar = highest_pressure(receiver, mix, gauge_bar, room)
    offers, units = [], room.units
    if highest_bar is not None:
        offers.append(f"{mix} up to {say.up_to(highest_bar, units)}")
    nearest = None if balanced else nearest_mix(receiver, mix, gauge_bar, room)
    if nearest is not None:
        offers.append(f"nearest at {say.gauge(gauge_bar, units)}: {_told(nearest)}")
    if topped:
        told = ", ".join(f"{top.mix} with {top.source}" for top in topped)
        offers.append(f"by topping alone: {told}")
    if balanced and shortfall is not None:
        what = (
            f"{receiver.label}: {shortfall.source} would have to fill to "
            f"{say.gauge(shortfall.needed_gauge_bar, units)} and gets to "
            f"{say.gauge(shortfall.reached_gauge_bar, units)}"
        )
        offers.insert(0, f"a booster or a fuller bank for {shortfall.source}")
    else:
        what = f"{receiver.label}: {mix} at {say.gauge(gauge_bar, units)} cannot be mixed; " + _why(
            receiver, mix, gauge_bar, room
        )
    return OutOfReach(
        Reason(what, "; or ".join(offers)),
        nearest=nearest,
        highest_gauge_bar=highest_bar,
        toppings=topped,
    )


def highest_pressure(
    receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room
) -> float | None:
    """Return the highest settled pressure, up to one asked for, at which a mix can be made.

    Parameters
    ----------
    receiver
        The cylinder.
    mix
        What is wanted.
    gauge_bar
        Settled pressure asked for [bar].
    room
        The room.

    Returns
    -------
    float or None
        Rounded down to whole bar; None if there is none of 1 bar or more [bar].

    Notes
    -----
    Found by halving: more pressure asks more of every source. Draining a fuller cylinder to less
    pressure is not counted, as it makes nothing.
    """

    def works(whole_bar: int) -> bool:
        goal = target_contents(receiver, mix, float(whole_bar), room)
        if goal.total_mol <= held_mol(receiver) and _differs(receiver.contents, mix):
            return False
        return try_to_make(receiver, goal, room).steps is not None

    low, high = 0, int(gauge_bar)
    for start in range(5, high, max(5, high // 12)):  # too little room for the leftover at first
        if works(start):
            low = start
            break
    else:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if works(middle) else (low, middle)
    return float(low)


def _differs(contents: Amount | None, mix: Mixture) -> bool:
    return contents is None or _far(_point(contents), _point(mix)) > _SLACK


def _point(gas: Gas) -> Point:
    return (gas.o2, gas.he)


def _far(a: Point, b: Point) -> float:
    return float(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5)


def _corners(
    receiver: Receiver, sources: Sequence[Point], whole_mol: float, least: float
) -> Iterator[Point]:
    """Yield the corners of the reachable: sources with the least and the most of the start."""
    if receiver.contents is None:
        yield from sources
        return
    inside = _point(receiver.contents)
    share = held_mol(receiver) / whole_mol
    for kept in (min(1.0, share * least), min(1.0, share)):
        for source in sources:
            yield (
                kept * inside[0] + (1 - kept) * source[0],
                kept * inside[1] + (1 - kept) * source[1],
            )


def _nearest(wanted: Point, corners: Sequence[Point]) -> Point:
    if _inside(wanted, corners):
        return wanted
    lines = combinations(corners, 2) if len(corners) > 1 else [(corners[0], corners[0])]
    return min((_foot(wanted, a, b) for a, b in lines), key=lambda point: _far(wanted, point))


def _foot(wanted: Point, a: Point, b: Point) -> Point:
    along = (b[0] - a[0], b[1] - a[1])
    length = along[0] ** 2 + along[1] ** 2
    if length == 0.0:
        return a
    share = ((wanted[0] - a[0]) * along[0] + (wanted[1] - a[1]) * along[1]) / length
    share = min(1.0, max(0.0, share))
    return (a[0] + share * along[0], a[1] + share * along[1])


def _inside(wanted: Point, corners: Sequence[Point]) -> bool:
    """Return whether a point lies in a triangle of three corners."""
    for a, b, c in combinations(corners, 3):
        sides = [_side(wanted, *line) for line in ((a, b), (b, c), (c, a))]
        if abs(_side(a, b, c)) > _SLACK and (
            all(side >= 0.0 for side in sides) or all(side <= 0.0 for side in sides)
        ):
            return True
    return False


def _side(p: Point, a: Point, b: Point) -> float:
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def _told(mix: Mixture) -> str:
    return f"{mix} (oxygen {mix.o2 * 100:.1f} %, helium {mix.he * 100:.1f} %)"


def _why(receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room) -> str:
    """Say which gas stands in the way: no mix that can be had has as little or as much."""
    goal = target_contents(receiver, mix, gauge_bar, room)
    points = [_point(source.gas) for source in room.sources]
    corners = list(_corners(receiver, points, goal.total_mol, least_share(receiver, room)))
    names = ("helium", "oxygen", "nitrogen")
    wanted = (mix.he, mix.o2, mix.n2)
    for name, share, values in zip(
        names,
        wanted,
        zip(*((he, o2, 1.0 - o2 - he) for o2, he in corners), strict=True),
        strict=True,
    ):
        low, high = min(values), max(values)
        if share > high + _SLACK:
            return f"there can be at most {high * 100:.1f} % {name} in it, {share * 100:.1f} asked"
        if share < low - _SLACK:
            return (
                f"there will be at least {low * 100:.1f} % {name} in it, even if drained to the "
                f"air around, {share * 100:.1f} asked"
            )
    return "no mixture of the sources has oxygen, helium and nitrogen in that proportion"
