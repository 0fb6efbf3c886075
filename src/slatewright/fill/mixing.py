"""From a target to the best recipe that can be carried out with what is at hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Final

from slatewright.fill.banks import Bank, draw
from slatewright.fill.prices import NOTHING
from slatewright.fill.receiver import Receiver
from slatewright.fill.recipe import Recipe, recipes
from slatewright.fill.room import Choice, Room
from slatewright.fill.state import mol_of, pressure_of, share_to_reach
from slatewright.fill.steps import Shortfall, Step, StepKind, carried_out, orders
from slatewright.physics.amount import Amount, Gas
from slatewright.physics.real_gas import contents_mol

_TRACE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of looking for a recipe.

    Parameters
    ----------
    steps
        The steps of the best one that works; None if none does.
    banks
        The banks drawn from, afterwards.
    balanced
        Whether any recipe has the right moles, even if the sources lack the pressure.
    shortfall
        The source that came nearest and failed, where none works.
    """

    steps: tuple[Step, ...] | None
    banks: dict[str, Bank] = field(default_factory=dict)
    balanced: bool = False
    shortfall: Shortfall | None = None


def target_contents(receiver: Receiver, mix: Gas, gauge_bar: float, room: Room) -> Amount:
    """Return what a cylinder is to hold: a mix at a settled pressure.

    Parameters
    ----------
    receiver
        The cylinder.
    mix
        What it is to hold.
    gauge_bar
        Pressure on the gauge at the reference temperature [bar].
    room
        The room.

    Returns
    -------
    Amount
        The gas.
    """
    pressure_bar = gauge_bar + room.surface_bar
    amount_mol = contents_mol(
        mix, pressure_bar, receiver.water_volume_l, room.reference_temperature_k
    )
    return Amount.of(mix, amount_mol)


def least_share(receiver: Receiver, room: Room) -> float:
    """Return the share of what is in that no valve lets out: the gas at ambient pressure [-].

    Parameters
    ----------
    receiver
        The cylinder.
    room
        The room.
    """
    if receiver.contents is None:
        return 1.0
    return share_to_reach(
        receiver.contents, receiver.water_volume_l, room.fill_temperature_k, room.surface_bar
    )


def ranked_recipes(receiver: Receiver, goal: Amount, room: Room) -> list[Recipe]:
    """Return all recipes, the best by the room's choice first.

    Parameters
    ----------
    receiver
        The cylinder.
    goal
        What it is to hold.
    room
        The room.
    """
    gases = [source.gas for source in room.sources]
    found = recipes(receiver.contents, least_share(receiver, room), goal, gases)

    def rank(recipe: Recipe) -> tuple[Decimal | float, ...]:
        helium_mol = round(helium_of(recipe, room), 6)
        cost = cost_of(recipe, room)
        if room.choice is Choice.LEAST_HELIUM:
            return (helium_mol, recipe.steps, cost)
        if room.choice is Choice.LEAST_COST:
            return (cost, recipe.steps, helium_mol)
        return (recipe.steps, cost, helium_mol)

    return sorted(found, key=rank)


def helium_of(recipe: Recipe, room: Room) -> float:
    """Return the helium that a recipe adds [mol].

    Parameters
    ----------
    recipe
        The recipe.
    room
        The room.
    """
    pairs = zip(room.sources, recipe.added_mol, strict=True)
    return sum(source.gas.he * amount for source, amount in pairs)


def cost_of(recipe: Recipe, room: Room) -> Decimal:
    """Return what a recipe costs; nothing without prices.

    Parameters
    ----------
    recipe
        The recipe.
    room
        The room.
    """
    if room.prices is None:
        return NOTHING
    pairs = zip(room.sources, recipe.added_mol, strict=True)
    return room.prices.bill([(s.gas, amount) for s, amount in pairs if amount > 0.0]).total


def try_to_make(
    receiver: Receiver,
    goal: Amount,
    room: Room,
    ranked: Sequence[Recipe] | None = None,
    *,
    best_only: bool = False,
) -> Tried:
    """Look for the best recipe that the sources can carry out.

    Where no recipe works as it stands, a bank that is too empty for its part is used up first as
    far as it goes, and the rest is made from the other sources.

    Parameters
    ----------
    receiver
        The cylinder.
    goal
        What it is to hold.
    room
        The room.
    ranked
        Its recipes, the best first; None to work them out.
    best_only
        True to try the best recipe alone, in all its orders: who can buy gas does not make do.
    """
    nearest: Shortfall | None = None
    if ranked is None:
        ranked = ranked_recipes(receiver, goal, room)
    for recipe in ranked[:1] if best_only else ranked:
        for order in orders(recipe, room):
            result = carried_out(receiver, recipe, order, room)
            if not isinstance(result, Shortfall):
                return Tried(*result, balanced=True)
            if nearest is None or _gap_bar(result) < _gap_bar(nearest):
                nearest = result
    if not best_only and (used_up := _using_up(receiver, goal, room)) is not None:
        return used_up
    return Tried(None, balanced=bool(ranked), shortfall=nearest)


def _using_up(receiver: Receiver, goal: Amount, room: Room) -> Tried | None:
    """Open one bank first, take all that flows and fits, and make the rest from the others."""
    for i, source in enumerate(room.sources):
        rest = (*room.sources[:i], *room.sources[i + 1 :])
        fits_mol = _fits_mol(receiver.contents, goal, source.gas)
        if source.bank is None or not rest or not fits_mol > 0.0:
            continue
        drawn = draw(
            source.bank,
            receiver.contents,
            receiver.water_volume_l,
            room.fill_temperature_k,
            fits_mol,
            booster=room.booster if source.boosted else None,
        )
        if drawn.contents is None or not drawn.moves:
            continue
        volume_l, kelvin = receiver.water_volume_l, room.fill_temperature_k
        reading_bar = pressure_of(drawn.contents, volume_l, kelvin) - room.surface_bar
        if reading_bar > source.highest_gauge_bar:
            continue
        given_mol = fits_mol - drawn.short_mol
        step = Step(
            StepKind.ADD,
            source.name,
            source.gas,
            given_mol,
            drawn.contents,
            reading_bar,
            drawn.moves,
        )
        begun = replace(receiver, contents=drawn.contents)
        tried = try_to_make(begun, goal, replace(room, sources=rest))
        if tried.steps and tried.steps[0].kind is StepKind.ADD:
            banks = {source.name: drawn.bank, **tried.banks}
            return Tried((step, *tried.steps), banks, balanced=True)
    return None


def _fits_mol(start: Amount | None, goal: Amount, gas: Gas) -> float:
    """Return how much of a gas goes in before there is too much of one of its parts."""
    inside = (0.0, 0.0, 0.0) if start is None else (start.o2_mol, start.he_mol, start.n2_mol)
    room_mol = (goal.o2_mol - inside[0], goal.he_mol - inside[1], goal.n2_mol - inside[2])
    shares = (gas.o2, gas.he, max(0.0, 1.0 - gas.o2 - gas.he))
    return min(free / share for free, share in zip(room_mol, shares, strict=True) if share > _TRACE)


def _gap_bar(shortfall: Shortfall) -> float:
    return shortfall.needed_gauge_bar - shortfall.reached_gauge_bar


def held_mol(receiver: Receiver) -> float:
    """Return what is in a cylinder [mol].

    Parameters
    ----------
    receiver
        The cylinder.
    """
    return mol_of(receiver.contents)
