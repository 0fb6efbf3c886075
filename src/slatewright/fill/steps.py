"""A recipe carried out: in which order, to which reading, out of which cylinder of a bank."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import permutations
from typing import Final

from slatewright.fill.banks import Bank, Move, draw
from slatewright.fill.booster import Booster
from slatewright.fill.prices import Bill, gas_name
from slatewright.fill.receiver import Receiver
from slatewright.fill.recipe import Recipe
from slatewright.fill.room import First, Room, Source
from slatewright.fill.state import part, plus, pressure_of
from slatewright.physics.amount import Amount, Gas
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres

_PURE: Final = 0.999
_SLACK_BAR: Final = 1e-6


class StepKind(StrEnum):
    """What is done."""

    DRAIN = "drain"
    ADD = "add"


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a fill.

    Parameters
    ----------
    kind
        What is done.
    source
        Where the gas comes from; empty when draining.
    gas
        What goes in, or out.
    amount_mol
        How much, in or out [mol].
    contents
        What is in the cylinder afterwards.
    gauge_bar
        What its gauge shows then, at the temperature of the fill [bar].
    moves
        Which cylinders of a bank are opened, in order; empty if there is no bank.
    """

    kind: StepKind
    source: str
    gas: Gas
    amount_mol: float
    contents: Amount
    gauge_bar: float
    moves: tuple[Move, ...] = ()

    @property
    def free_l(self) -> float:
        """The amount as free gas [L]."""
        return free_litres(self.gas, self.amount_mol)


@dataclass(frozen=True, slots=True)
class Blend:
    """A fill, step by step.

    Parameters
    ----------
    receiver
        The cylinder before.
    target
        The mix asked for.
    steps
        What is done, in order; empty if it holds what it should.
    contents
        What is in the cylinder at the end.
    settled_gauge_bar
        What its gauge shows at the reference temperature [bar].
    fill_gauge_bar
        What it shows at the end of the fill, at that temperature [bar].
    fill_temperature_k
        The temperature at which all steps are read [K].
    surface_bar
        Ambient pressure, above which gauges count [bar].
    reference_temperature_k
        The temperature of settled pressures [K].
    bill
        What it costs; None without prices.
    banks
        Name of the source to its bank afterwards, for the sources that were drawn from.
    cautions
        What has to be looked at before filling.
    """

    receiver: Receiver
    target: Mixture
    steps: tuple[Step, ...]
    contents: Amount
    settled_gauge_bar: float
    fill_gauge_bar: float
    fill_temperature_k: float
    surface_bar: float
    reference_temperature_k: float
    bill: Bill | None = None
    banks: Mapping[str, Bank] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()

    @property
    def mix(self) -> Mixture:
        """What the analyser should say."""
        return self.contents.mixture()

    @property
    def start_gauge_bar(self) -> float:
        """What the gauge shows before the first step, at the temperature of the fill [bar]."""
        return self._start_bar(self.fill_temperature_k)

    @property
    def start_settled_gauge_bar(self) -> float:
        """The same at the reference temperature [bar]."""
        return self._start_bar(self.reference_temperature_k)

    def _start_bar(self, kelvin: float) -> float:
        inside, volume_l = self.receiver.contents, self.receiver.water_volume_l
        return pressure_of(inside, volume_l, kelvin) - self.surface_bar

    @property
    def added(self) -> tuple[tuple[Gas, float], ...]:
        """Pairs of gas and amount [mol] that went in."""
        return tuple((s.gas, s.amount_mol) for s in self.steps if s.kind is StepKind.ADD)

    @property
    def helium_mol(self) -> float:
        """Helium that went in [mol]."""
        return sum(gas.he * amount for gas, amount in self.added)

    def added_free_l(self, gas: str) -> float:
        """Return how much of a pure gas went in as such [L].

        Parameters
        ----------
        gas
            Its name in price lists, such as ``helium``.
        """
        return sum(
            s.free_l for s in self.steps if s.kind is StepKind.ADD and gas_name(s.gas) == gas
        )

    @property
    def drained_free_l(self) -> float:
        """Free gas that was let out [L]."""
        return sum(step.free_l for step in self.steps if step.kind is StepKind.DRAIN)

    def reading_bar(self, step: Step, temperature_k: float) -> float:
        """Return what the gauge shows after a step if the gas has another temperature.

        Parameters
        ----------
        step
            One of the steps.
        temperature_k
            The temperature [K].

        Returns
        -------
        float
            Pressure on the gauge [bar].
        """
        volume_l = self.receiver.water_volume_l
        return pressure_of(step.contents, volume_l, temperature_k) - self.surface_bar


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Why a recipe cannot be carried out in an order.

    Parameters
    ----------
    source
        The source that does not give enough.
    needed_gauge_bar
        The pressure that it would have to bring the cylinder to [bar].
    reached_gauge_bar
        The pressure to which it does [bar].
    """

    source: str
    needed_gauge_bar: float
    reached_gauge_bar: float


def orders(recipe: Recipe, room: Room) -> Iterator[tuple[int, ...]]:
    """Yield the orders in which a recipe's gases can go in, the usual one first.

    Pure helium and oxygen come first, in the order that the room has by habit, and what is topped
    with comes last; another order is taken only where the pressures of the sources ask for it.

    Parameters
    ----------
    recipe
        The recipe.
    room
        The room.

    Yields
    ------
    tuple
        Positions of the sources.
    """
    used = [i for i, amount in enumerate(recipe.added_mol) if amount > 0.0]
    usual = sorted(used, key=lambda i: _rank(room.sources[i].gas, room.first))
    yield tuple(usual)
    yield from (other for other in permutations(usual) if other != tuple(usual))


def _rank(gas: Gas, first: First) -> int:
    helium, oxygen = gas.he > _PURE, gas.o2 > _PURE
    if not (helium or oxygen):
        return 2
    return 0 if helium == (first is First.HELIUM) else 1


def carried_out(
    receiver: Receiver, recipe: Recipe, order: tuple[int, ...], room: Room
) -> tuple[tuple[Step, ...], dict[str, Bank]] | Shortfall:
    """Carry a recipe out, or say which source fails.

    Parameters
    ----------
    receiver
        The cylinder.
    recipe
        The recipe.
    order
        Positions of the sources, in the order in which they are opened.
    room
        The room.

    Returns
    -------
    tuple or Shortfall
        The steps and the banks drawn from, or why it cannot be done.
    """
    contents, steps, banks = receiver.contents, list[Step](), dict[str, Bank]()
    if recipe.drains and contents is not None:
        out_mol = contents.total_mol * (1.0 - recipe.kept_share)
        gas = contents
        contents = part(contents, recipe.kept_share)
        if contents is None:
            return Shortfall("", 0.0, 0.0)
        steps.append(
            Step(StepKind.DRAIN, "", gas, out_mol, contents, _gauge_bar(receiver, contents, room))
        )
    for i in order:
        source, amount_mol = room.sources[i], recipe.added_mol[i]
        wanted = plus(contents, source.gas, amount_mol)
        wanted_bar = _gauge_bar(receiver, wanted, room)
        if wanted_bar > source.highest_gauge_bar + _SLACK_BAR:
            return Shortfall(source.name, wanted_bar, source.highest_gauge_bar)
        moves: tuple[Move, ...] = ()
        if source.bank is not None:
            drawn = draw(
                banks.get(source.name, source.bank),
                contents,
                receiver.water_volume_l,
                room.fill_temperature_k,
                amount_mol,
                booster=_booster(source, room),
            )
            if not drawn.enough:
                reached_bar = _gauge_bar(receiver, drawn.contents, room)
                return Shortfall(source.name, wanted_bar, reached_bar)
            banks[source.name], moves = drawn.bank, drawn.moves
        contents = wanted
        if contents is not None:
            steps.append(
                Step(StepKind.ADD, source.name, source.gas, amount_mol, contents, wanted_bar, moves)
            )
    return tuple(steps), banks


def _booster(source: Source, room: Room) -> Booster | None:
    return room.booster if source.boosted else None


def _gauge_bar(receiver: Receiver, contents: Amount | None, room: Room) -> float:
    pressure_bar = pressure_of(contents, receiver.water_volume_l, room.fill_temperature_k)
    return pressure_bar - room.surface_bar
