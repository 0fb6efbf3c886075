"""Blending: from what is in a cylinder to a mix at a pressure, by mole balance and real gas."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slatewright.fill.mixing import Tried, ranked_recipes, target_contents, try_to_make
from slatewright.fill.reach import nearest_target, out_of_reach
from slatewright.fill.receiver import Receiver, need_no_overfill, need_sound, need_target
from slatewright.fill.recipe import Recipe
from slatewright.fill.room import First, Room
from slatewright.fill.state import pressure_of
from slatewright.fill.steps import Blend, StepKind
from slatewright.physics.amount import Amount, Gas
from slatewright.physics.mixture import Mixture


def blend(receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room) -> Blend:
    """Return how a cylinder is filled with a mix.

    Parameters
    ----------
    receiver
        The cylinder, and what is in it.
    mix
        What it is to hold.
    gauge_bar
        Settled pressure on the gauge, at the room's reference temperature [bar].
    room
        Sources, temperatures, habits and prices.

    Returns
    -------
    Blend
        The steps with a reading after each, the expected analysis, amounts, cost, banks afterwards.

    Raises
    ------
    NoSafeAnswer
        If the cylinder may not be filled, or would stand above its working pressure, warm or cold;
        as `OutOfReach` if the mix cannot be made, with the nearest that can.
    InputError
        If the pressure is none.
    """
    tried = attempt(receiver, mix, gauge_bar, room)
    if isinstance(tried, Blend):
        return tried
    raise out_of_reach(receiver, mix, gauge_bar, room, tried.shortfall, balanced=tried.balanced)


def attempt(
    receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room, *, best_only: bool = False
) -> Blend | Tried:
    """Return how a cylinder is filled with a mix, or what came of looking for a way.

    Parameters
    ----------
    receiver, mix, gauge_bar, room
        As for `blend`; the pressure settled [bar].
    best_only
        True to try the best recipe alone, in all its orders.

    Returns
    -------
    Blend or Tried
        The fill; else which source failed, without looking for what could be made instead.

    Raises
    ------
    NoSafeAnswer
        If the cylinder may not be filled, or would stand above its working pressure.
    InputError
        If the pressure is none.
    """
    return carry_out(prepare(receiver, mix, gauge_bar, room), room, best_only=best_only)


@dataclass(frozen=True, slots=True)
class Prepared:
    """A fill before anything is drawn: what does not depend on what banks hold.

    Parameters
    ----------
    receiver
        The cylinder.
    mix
        The mix asked for.
    near
        The mix that it will be filled with: that one, or one as good.
    goal
        What the cylinder is to hold.
    ranked
        All recipes, the best first; empty if the mix cannot be made.
    """

    receiver: Receiver
    mix: Mixture
    near: Mixture
    goal: Amount
    ranked: tuple[Recipe, ...]


def prepare(receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room) -> Prepared:
    """Work out all recipes of a fill.

    Parameters
    ----------
    receiver, mix, gauge_bar, room
        As for `blend`; the pressure settled [bar].

    Returns
    -------
    Prepared
        The recipes, whether the banks can carry them out or not.

    Raises
    ------
    NoSafeAnswer
        If the cylinder would stand above its working pressure.
    InputError
        If the pressure is none.
    """
    need_target(receiver, gauge_bar, room.units)
    near = nearest_target(receiver, mix, gauge_bar, room)
    goal = target_contents(receiver, near, gauge_bar, room)
    warm_bar = pressure_of(goal, receiver.water_volume_l, room.fill_temperature_k)
    need_no_overfill(receiver, (warm_bar - room.surface_bar,), gauge_bar, room.units)
    return Prepared(receiver, mix, near, goal, tuple(ranked_recipes(receiver, goal, room)))


def carry_out(prepared: Prepared, room: Room, *, best_only: bool = False) -> Blend | Tried:
    """Carry a prepared fill out, or say which source failed.

    Parameters
    ----------
    prepared
        The fill.
    room
        The room, with its banks as they are now.
    best_only
        True to try the best recipe alone, in all its orders.

    Returns
    -------
    Blend or Tried
        As for `attempt`.

    Raises
    ------
    NoSafeAnswer
        If the cylinder may not be filled.
    """
    receiver, mix, near = prepared.receiver, prepared.mix, prepared.near
    tried = try_to_make(receiver, prepared.goal, room, prepared.ranked, best_only=best_only)
    if tried.steps is None:
        need_sound(receiver, 0.0, room.on)
        return tried
    added = [step for step in tried.steps if step.kind is StepKind.ADD]
    richest = max((step.gas.o2 for step in added), default=0.0)
    cautions = need_sound(receiver, richest, room.on)
    if near != mix:
        told = (
            f"{receiver.label}: {mix} cannot be met exactly on what is in it; oxygen "
            f"{near.o2 * 100:.1f} %, helium {near.he * 100:.1f} % is the nearest, and within the "
            "tolerance. Label it as analysed."
        )
        cautions = (*cautions, told)
    contents = tried.steps[-1].contents if tried.steps else receiver.contents or prepared.goal
    settled_bar = pressure_of(contents, receiver.water_volume_l, room.reference_temperature_k)
    fill_bar = pressure_of(contents, receiver.water_volume_l, room.fill_temperature_k)
    bill = None
    if room.prices is not None:
        bill = room.prices.bill([(step.gas, step.amount_mol) for step in added])
    return Blend(
        receiver=receiver,
        target=mix,
        steps=tried.steps,
        contents=contents,
        settled_gauge_bar=settled_bar - room.surface_bar,
        fill_gauge_bar=fill_bar - room.surface_bar,
        fill_temperature_k=room.fill_temperature_k,
        surface_bar=room.surface_bar,
        reference_temperature_k=room.reference_temperature_k,
        bill=bill,
        banks=tried.banks,
        cautions=cautions,
    )


def both_orders(
    receiver: Receiver, mix: Mixture, gauge_bar: float, room: Room
) -> tuple[Blend, Blend]:
    """Return the same fill with helium first and with oxygen first.

    Parameters
    ----------
    receiver, mix, gauge_bar, room
        As for `blend`; the pressure settled [bar].

    Returns
    -------
    tuple
        The same moles, other readings; where the pressures of the sources leave no choice the two
        are the same.
    """
    first, second = (blend(receiver, mix, gauge_bar, replace(room, first=first)) for first in First)
    return first, second


def conserved_mol(fill: Blend) -> float:
    """Return by how much the moles of a fill fail to add up: start, less drained, plus added [mol].

    Parameters
    ----------
    fill
        The fill.

    Returns
    -------
    float
        The largest difference of the three gases; rounding only [mol].
    """
    start = fill.receiver.contents
    out = sum(step.amount_mol for step in fill.steps if step.kind is StepKind.DRAIN)
    inside = [0.0] * 3 if start is None else _moles(start, start.total_mol - out)
    for gas, amount_mol in fill.added:
        inside = [a + b for a, b in zip(inside, _moles(gas, amount_mol), strict=True)]
    end = _moles(fill.contents, fill.contents.total_mol)
    return max(abs(a - b) for a, b in zip(inside, end, strict=True))


def _moles(gas: Gas, amount_mol: float) -> list[float]:
    return [gas.o2 * amount_mol, gas.he * amount_mol, (1.0 - gas.o2 - gas.he) * amount_mol]
