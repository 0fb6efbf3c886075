"""From a target to the best recipe that can be carried out with what is at hand."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from slatewright.fill.banks import Bank
from slatewright.fill.prices import NOTHING
from slatewright.fill.receiver import Receiver
from slatewright.fill.recipe import Recipe, recipes
from slatewright.fill.room import Choice, Room
from slatewright.fill.state import mol_of, share_to_reach
from slatewright.fill.steps import Shortfall, Step, carried_out, orders
from slatewright.physics.amount import Amount, Gas
from slatewright.physics.real_gas import contents_mol


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


def try_to_make(receiver: Receiver, goal: Amount, room: Room) -> Tried:
    """Look for the best recipe that the sources can carry out.

    Parameters
    ----------
    receiver
        The cylinder.
    goal
        What it is to hold.
    room
        The room.
    """
    nearest: Shortfall | None = None
    ranked = ranked_recipes(receiver, goal, room)
    for recipe in ranked:
        for order in orders(recipe, room):
            result = carried_out(receiver, recipe, order, room)
            if not isinstance(result, Shortfall):
                return Tried(*result, balanced=True)
            if nearest is None or _gap_bar(result) < _gap_bar(nearest):
                nearest = result
    return Tried(None, balanced=bool(ranked), shortfall=nearest)


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
