"""Several cylinders from one bank: the order of fills after which least has to be bought.

Whatever the order, the same moles go in; but a bank without a booster gives less the more of it is
spent on cylinders that a lower pressure would have filled. When a bank gives out, a full supply
cylinder is bought and joins it. The order is found exactly: by going through all orders with
branches cut that cannot win, alike cylinders counted as one; or sooner, where no order could need
less than the one in hand (see `least_supply`). Where there are too many to go through, the best of
the orders seen is taken, and said to be no more than that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, TypeAlias

from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill import say
from slatewright.fill.banks import Bank, BankCylinder
from slatewright.fill.blend import Prepared, carry_out, prepare
from slatewright.fill.least_supply import least_count
from slatewright.fill.prices import Offer
from slatewright.fill.receiver import Receiver
from slatewright.fill.room import Room
from slatewright.fill.state import mol_to_reach
from slatewright.fill.steps import Blend
from slatewright.physics.mixture import Mixture

_MOST_BOUGHT: Final = 60
_FILLS_LOOKED_AT: Final = 2000  # six cylinders, all different, take 1957
_ROUND_MOL: Final = 1e-6

Offers: TypeAlias = Mapping[str, Sequence[Offer]]
"""Name of the source to what is bought for it: first, second ...; the last again and again."""


@dataclass(frozen=True, slots=True)
class Job:
    """A cylinder to be filled.

    Parameters
    ----------
    receiver
        The cylinder.
    mix
        What it is to hold.
    gauge_bar
        Settled pressure on the gauge [bar].
    """

    receiver: Receiver
    mix: Mixture
    gauge_bar: float


Known: TypeAlias = dict[Job, Prepared]
"""Recipes already worked out: they do not depend on what the banks hold."""


@dataclass(frozen=True)
class Filled:
    """Fills done in an order.

    Parameters
    ----------
    blends
        The fills, in the order in which they are done.
    room
        The room afterwards, with its banks as they are then.
    bought
        Name of the source to the full supply cylinders that had to be bought for it, in order.
    exact
        Whether no order needs less; False if it is the best of those looked at.
    """

    blends: tuple[Blend, ...]
    room: Room
    bought: Mapping[str, tuple[Offer, ...]] = field(default_factory=dict)
    exact: bool = True

    @property
    def count(self) -> int:
        """All supply cylinders bought."""
        return sum(len(offers) for offers in self.bought.values())


def fill_in_order(
    jobs: Sequence[Job], room: Room, offers: Offers, known: Known | None = None
) -> Filled:
    """Do fills one after the other, and buy when a bank gives out.

    Parameters
    ----------
    jobs
        The fills, in order.
    room
        The room.
    offers
        Name of the source to what is bought for it; sources without are not added to.
    known
        Recipes from an earlier call in the same room, banks aside; those worked out are added.

    Returns
    -------
    Filled
        Each by the best recipe; gas is bought rather than a worse recipe taken. Whether another
        order needs less was not looked at.

    Raises
    ------
    NoSafeAnswer
        If a fill cannot be done even with what can be bought.
    """
    done, known = Filled((), room, exact=False), {} if known is None else known
    for job in jobs:
        done = _next(done, job, offers, known)
    return done


def best_order(jobs: Sequence[Job], room: Room, offers: Offers) -> Filled:
    """Find the order of fills after which least has to be bought.

    Least helium comes first, then the fewest supply cylinders in all; of orders that need the same,
    that is taken which leaves the fullest cylinders.

    Parameters
    ----------
    jobs
        The fills.
    room
        The room.
    offers
        Name of the source to what is bought for it.

    Returns
    -------
    Filled
        The fills in that order.

    Raises
    ------
    NoSafeAnswer
        If in no order that was looked at all fills can be done.
    """
    return _Search(jobs, room, offers).run()


def _by_thumb(jobs: Sequence[Job]) -> Iterator[list[Job]]:
    """Yield three orders: the highest pressure of helium first, last, and as given."""

    def helium_bar(job: Job) -> float:
        return job.mix.he * job.gauge_bar

    yield list(jobs)
    yield sorted(jobs, key=helium_bar, reverse=True)
    yield sorted(jobs, key=helium_bar)


def _bought(done: Filled) -> tuple[float, int]:
    """Return the helium bought, as volume times pressure, and the number of cylinders."""
    helium = sum(
        offer.water_volume_l * offer.gauge_bar
        for offers in done.bought.values()
        for offer in offers
        if offer.gas == "helium"
    )
    return (helium, done.count)


def _worth(done: Filled) -> tuple[tuple[float, int], float]:
    left = [
        max(source.bank.gauges_bar(), default=0.0)
        for source in done.room.sources
        if source.bank is not None
    ]
    return (_bought(done), -round(sum(left), 6))


class _Search:
    """Goes through all orders, with a limit to the number of fills looked at."""

    def __init__(self, jobs: Sequence[Job], room: Room, offers: Offers) -> None:
        self._jobs = tuple(jobs)
        self._room = room
        self._offers = offers
        self._known: Known = {}
        self._best: Filled | None = None
        self._refusal: NoSafeAnswer | None = None
        self._looked_at = 0
        self._seen: dict[object, tuple[float, int]] = {}

    def run(self) -> Filled:
        for order in _by_thumb(self._jobs):
            try:
                self._keep(fill_in_order(order, self._room, self._offers, self._known))
            except NoSafeAnswer as refusal:
                self._refusal = self._refusal or refusal
        self._go(Filled((), self._room), self._jobs)
        if self._best is None:
            raise self._refusal or NoSafeAnswer(Reason("there is nothing to fill"))
        searched = self._looked_at <= _FILLS_LOOKED_AT
        return replace(self._best, exact=searched or self._is_least(self._best))

    def _is_least(self, done: Filled) -> bool:
        """Tell whether no order whatever could do with fewer supply cylinders."""
        prepared = list(self._known.values())
        return all(
            len(bought) <= least_count(prepared, self._room, name, self._offers[name])
            for name, bought in done.bought.items()
        )

    def _keep(self, done: Filled) -> None:
        if self._best is None or _worth(done) < _worth(self._best):
            self._best = done

    def _go(self, done: Filled, left: tuple[Job, ...]) -> None:
        if not left:
            self._keep(done)
            return
        beaten = self._best is not None and _bought(done) > _bought(self._best)
        if beaten or self._looked_at > _FILLS_LOOKED_AT:
            return
        state = (_state(done.room), tuple(sorted(_kind(job) for job in left)))
        if self._seen.get(state, (float("inf"), 0)) <= _bought(done):
            return
        self._seen[state] = _bought(done)
        tried = set()
        for i, job in enumerate(left):
            if _kind(job) in tried:
                continue
            tried.add(_kind(job))
            self._looked_at += 1
            try:
                further = _next(done, job, self._offers, self._known)
            except NoSafeAnswer as refusal:
                self._refusal = self._refusal or refusal
            else:
                self._go(further, left[:i] + left[i + 1 :])


def _kind(job: Job) -> tuple[object, ...]:
    """Return what makes two jobs the same for a bank."""
    inside = job.receiver.contents
    moles = (0.0, 0.0, 0.0) if inside is None else (inside.o2_mol, inside.he_mol, inside.n2_mol)
    size = (job.receiver.water_volume_l, job.receiver.cylinder.working_gauge_bar)
    return (job.mix.o2, job.mix.he, job.gauge_bar, *size, *(round(m, 9) for m in moles))


def _state(room: Room) -> tuple[object, ...]:
    """Return what the banks hold; alike cylinders of a bank stand in for one another."""
    return tuple(
        tuple(sorted((c.water_volume_l, round(c.amount_mol / _ROUND_MOL)) for c in bank.cylinders))
        for source in room.sources
        if (bank := source.bank) is not None
    )


def _next(done: Filled, job: Job, offers: Offers, known: Known) -> Filled:
    """Do one more fill, buying as long as a bank that can be added to gives out."""
    room, bought = done.room, dict(done.bought)
    if job not in known:
        known[job] = prepare(job.receiver, job.mix, job.gauge_bar, room)
    for _ in range(_MOST_BOUGHT):
        tried = carry_out(known[job], room, best_only=True)
        if isinstance(tried, Blend):
            blends = (*done.blends, tried)
            return Filled(blends, room.with_banks(tried.banks), bought, done.exact)
        short = tried.shortfall
        if short is None:
            raise NoSafeAnswer(
                Reason(
                    f"{job.receiver.label}: {job.mix} at {say.gauge(job.gauge_bar, room.units)} "
                    "cannot be mixed from what is at hand, whatever is bought",
                    "another mix, or another source",
                )
            )
        if not offers.get(short.source):
            break
        so_far, kinds = bought.get(short.source, ()), offers[short.source]
        offer = kinds[min(len(so_far), len(kinds) - 1)]
        room = with_one_more(room, short.source, offer)
        bought[short.source] = (*so_far, offer)
    raise NoSafeAnswer(
        Reason(
            f"{job.receiver.label}: no supply brings it to {job.mix} at "
            f"{say.gauge(job.gauge_bar, room.units)}",
            "a booster, fuller supply cylinders, or less pressure",
        )
    )


def with_one_more(room: Room, source_name: str, offer: Offer) -> Room:
    """Return the room with one more full cylinder in the bank of a source.

    Parameters
    ----------
    room
        The room.
    source_name
        The source.
    offer
        The cylinder.

    Returns
    -------
    Room
        The room.
    """
    (source,) = (source for source in room.sources if source.name == source_name)
    bank = source.bank or empty_bank(room, source_name)
    pressure_bar = offer.gauge_bar + room.surface_bar
    held_mol = mol_to_reach(
        None, source.gas, offer.water_volume_l, bank.temperature_k, pressure_bar
    )
    number = sum(c.label.startswith(f"{offer.name} new ") for c in bank.cylinders) + 1
    fresh = BankCylinder(f"{offer.name} new {number}", offer.water_volume_l, held_mol)
    return room.with_banks({source_name: replace(bank, cylinders=(*bank.cylinders, fresh))})


def empty_bank(room: Room, source_name: str) -> Bank:
    """Return a bank of a source that has no cylinders yet.

    Parameters
    ----------
    room
        The room.
    source_name
        The source.
    """
    (source,) = (source for source in room.sources if source.name == source_name)
    return Bank(source.gas, (), room.reference_temperature_k, room.surface_bar)
