"""Several cylinders from one bank: the order of fills after which least has to be bought.

Whatever the order, the same moles go in; but a bank without a booster gives less the more of it is
spent on cylinders that a lower pressure would have filled. When a bank gives out, a full supply
cylinder is bought and joins it. The order is found exactly, by going through all orders with
branches cut that cannot win; alike cylinders count as one. Where there are too many to go through,
the better of two rules of thumb is taken, and said to be no more than that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.banks import Bank, BankCylinder
from slatewright.fill.blend import attempt
from slatewright.fill.prices import Offer
from slatewright.fill.receiver import Receiver
from slatewright.fill.room import Room
from slatewright.fill.state import mol_to_reach
from slatewright.fill.steps import Blend
from slatewright.physics.mixture import Mixture

_MOST_BOUGHT: Final = 60
_FILLS_LOOKED_AT: Final = 2000  # six cylinders, all different, take 1957
_ROUND_MOL: Final = 1e-6


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
        Name of the source to the number of full supply cylinders that had to be bought for it.
    exact
        Whether no order needs less; False if it is a rule of thumb's.
    """

    blends: tuple[Blend, ...]
    room: Room
    bought: Mapping[str, int] = field(default_factory=dict)
    exact: bool = True

    @property
    def count(self) -> int:
        """All supply cylinders bought."""
        return sum(self.bought.values())


def fill_in_order(jobs: Sequence[Job], room: Room, offers: Mapping[str, Offer]) -> Filled:
    """Do fills one after the other, and buy when a bank gives out.

    Parameters
    ----------
    jobs
        The fills, in order.
    room
        The room.
    offers
        Name of the source to what is bought for it; sources without are not added to.

    Returns
    -------
    Filled
        Each by the best recipe; gas is bought rather than a worse recipe taken.

    Raises
    ------
    NoSafeAnswer
        If a fill cannot be done even with what can be bought.
    """
    done = Filled((), room)
    for job in jobs:
        done = _next(done, job, offers)
    return done


def best_order(jobs: Sequence[Job], room: Room, offers: Mapping[str, Offer]) -> Filled:
    """Find the order of fills after which least has to be bought.

    Of orders that need the same, that is taken which leaves the fullest cylinder.

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
        If a fill cannot be done even with what can be bought.
    """
    best = min((fill_in_order(some, room, offers) for some in _by_thumb(jobs)), key=_worth)
    return _Search(offers, best).run(Filled((), room), tuple(jobs))


def _by_thumb(jobs: Sequence[Job]) -> Iterator[list[Job]]:
    """Yield three orders: the highest pressure of helium first, last, and as given."""

    def helium_bar(job: Job) -> float:
        return job.mix.he * job.gauge_bar

    yield sorted(jobs, key=helium_bar, reverse=True)
    yield sorted(jobs, key=helium_bar)
    yield list(jobs)


def _worth(done: Filled) -> tuple[int, float]:
    left = [
        max(source.bank.gauges_bar()) for source in done.room.sources if source.bank is not None
    ]
    return (done.count, -round(sum(left), 6))


class _Search:
    """Goes through all orders, with a limit to the number of fills looked at."""

    def __init__(self, offers: Mapping[str, Offer], best: Filled) -> None:
        self._offers = offers
        self._best = best
        self._looked_at = 0
        self._seen: dict[object, int] = {}

    def run(self, start: Filled, jobs: tuple[Job, ...]) -> Filled:
        self._go(start, jobs)
        return replace(self._best, exact=self._looked_at <= _FILLS_LOOKED_AT)

    def _go(self, done: Filled, left: tuple[Job, ...]) -> None:
        if not left:
            if _worth(done) < _worth(self._best):
                self._best = done
            return
        if done.count > self._best.count or self._looked_at > _FILLS_LOOKED_AT:
            return
        state = (_state(done.room), tuple(sorted(_kind(job) for job in left)))
        if self._seen.get(state, done.count + 1) <= done.count:
            return
        self._seen[state] = done.count
        tried = set()
        for i, job in enumerate(left):
            if _kind(job) not in tried:
                tried.add(_kind(job))
                self._looked_at += 1
                self._go(_next(done, job, self._offers), left[:i] + left[i + 1 :])


def _kind(job: Job) -> tuple[object, ...]:
    """Return what makes two jobs the same for a bank."""
    inside = job.receiver.contents
    moles = (0.0, 0.0, 0.0) if inside is None else (inside.o2_mol, inside.he_mol, inside.n2_mol)
    size = (job.receiver.water_volume_l, job.receiver.cylinder.working_gauge_bar)
    return (job.mix.o2, job.mix.he, job.gauge_bar, *size, *(round(m, 9) for m in moles))


def _state(room: Room) -> tuple[object, ...]:
    return tuple(
        tuple(sorted(round(c.amount_mol / _ROUND_MOL) for c in source.bank.cylinders))
        for source in room.sources
        if source.bank is not None
    )


def _next(done: Filled, job: Job, offers: Mapping[str, Offer]) -> Filled:
    """Do one more fill, buying as long as a bank that can be added to gives out."""
    room, bought = done.room, dict(done.bought)
    for _ in range(_MOST_BOUGHT):
        tried = attempt(job.receiver, job.mix, job.gauge_bar, room, best_only=True)
        if isinstance(tried, Blend):
            blends = (*done.blends, tried)
            return Filled(blends, room.with_banks(tried.banks), bought, done.exact)
        short = tried.shortfall
        if short is None:
            raise NoSafeAnswer(
                Reason(
                    f"{job.receiver.label}: {job.mix} at {job.gauge_bar:.0f} bar cannot be mixed "
                    "from what is at hand, whatever is bought",
                    "another mix, or another source",
                )
            )
        if short.source not in offers:
            break
        room = with_one_more(room, short.source, offers[short.source])
        bought[short.source] = bought.get(short.source, 0) + 1
    raise NoSafeAnswer(
        Reason(
            f"{job.receiver.label}: no supply brings it to {job.mix} at {job.gauge_bar:.0f} bar",
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
    old = source.bank.cylinders if source.bank is not None else ()
    kelvin, surface_bar = room.reference_temperature_k, room.surface_bar
    pressure_bar = offer.gauge_bar + surface_bar
    held_mol = mol_to_reach(None, source.gas, offer.water_volume_l, kelvin, pressure_bar)
    fresh = BankCylinder(f"{offer.name} {len(old) + 1}", offer.water_volume_l, held_mol)
    if source.bank is None:
        bank = Bank(source.gas, (fresh,), kelvin, surface_bar)
    else:
        bank = replace(source.bank, cylinders=(*old, fresh))
    return room.with_banks({source_name: bank})
