"""A fill file done: fills, banks afterwards, leftovers, the order."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from slatewright.cautions import FILLING
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.bank_order import Job, best_order
from slatewright.fill.bank_order import Known as KnownRecipes
from slatewright.fill.blend import blend
from slatewright.fill.drop_out import DropOut, without_each_dive
from slatewright.fill.fillfile import FillFile, read_fill_file
from slatewright.fill.leftovers import Known, Leftover, Wanted, leftover_of
from slatewright.fill.order import GasOrder, order_gas
from slatewright.fill.prices import Bill, Prices, sum_of
from slatewright.fill.room import FillOrder, Room
from slatewright.fill.steps import Blend
from slatewright.fill.uncertainty import Spread, linear_spread

_WORTH_USING_BAR: Final = 10.0  # less in a cylinder is no leftover to speak of


@dataclass(frozen=True)
class DoneFill:
    """One fill of a file.

    Parameters
    ----------
    blend
        Its steps.
    spread
        How far the mix may be off; None if what was in before is not known by analysis, for then
        nothing can be said.
    cautions
        What has to be looked at, those of the blend first.
    known
        What is known of what was in it before.
    gauge_bar
        The settled pressure that was asked for [bar].
    """

    blend: Blend
    spread: Spread | None
    cautions: tuple[str, ...]
    known: Known
    gauge_bar: float


@dataclass(frozen=True, slots=True)
class RefusedFill:
    """One fill of a file that cannot be done.

    Parameters
    ----------
    job
        What was asked for.
    refusal
        Why not, and what could be done instead.
    """

    job: Job
    refusal: NoSafeAnswer


@dataclass(frozen=True)
class Session:
    """What a fill file asks for, done.

    Parameters
    ----------
    file
        The file.
    fills
        The fills that can be done, in the order in which they are to be done.
    refused
        Those that cannot.
    before, room
        The room at the start and afterwards, with its banks as they are then.
    reordered
        Whether the fills are done in another order than written, because less helium is bought.
    leftovers
        Cylinders with gas in them that the file does not fill, and what could be done with it.
    order
        What has to be ordered for the needs of the file; None if it has none.
    order_unboosted
        The same without the booster; None without needs, a booster, or an answer.
    drop_outs
        How the order moves if a dive drops out; empty without needs, or with those of one dive.
    cautions
        The cautions that go with every fill.
    """

    file: FillFile
    fills: tuple[DoneFill, ...]
    refused: tuple[RefusedFill, ...]
    before: Room
    room: Room
    reordered: bool = False
    leftovers: tuple[Leftover, ...] = ()
    order: GasOrder | None = None
    order_unboosted: GasOrder | None = None
    drop_outs: tuple[DropOut, ...] = ()
    cautions: tuple[str, ...] = FILLING

    @property
    def bill(self) -> Bill | None:
        """The bill of all fills together; None without prices or fills."""
        bills = [fill.blend.bill for fill in self.fills if fill.blend.bill is not None]
        return sum_of(bills) if bills else None


def do_fill_file(path: Path) -> Session:
    """Read a fill file and do what it asks for.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Session
        The fills, what was refused and why, the order.

    Raises
    ------
    PlanFileError
        If the file or its price list has faults.
    InputError
        If something in it cannot be used.
    NoSafeAnswer
        If an order is asked for and cannot be had.
    """
    file = read_fill_file(path)
    return with_orders(do_fills(file, file.prices_beside(path.parent)))


def do_fills(file: FillFile, prices: Prices | None = None) -> Session:
    """Do the fills that a fill file asks for, and leave its order to `with_orders`.

    Parameters
    ----------
    file
        The file.
    prices
        The price list; None if cost is of no matter.

    Returns
    -------
    Session
        The fills, and what was refused and why.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    before = file.fill_room(prices)
    room, jobs = before, file.jobs(before)
    sequence = _sequence(file, jobs, room)
    fills, refused = list[DoneFill](), list[RefusedFill]()
    for job in sequence:
        try:
            done = blend(job.receiver, job.mix, job.gauge_bar, room)
        except NoSafeAnswer as error:
            refused.append(RefusedFill(job, error))
            continue
        room = room.with_banks(done.banks)
        fills.append(_done(file, job, done, room))
    return Session(
        file=file,
        fills=tuple(fills),
        refused=tuple(refused),
        before=before,
        room=room,
        reordered=sequence != jobs,
        leftovers=tuple(_leftovers(file, room)),
    )


def with_orders(session: Session) -> Session:
    """Work out the order that the needs of a file ask for; a course takes some seconds.

    Parameters
    ----------
    session
        The fills.

    Returns
    -------
    Session
        The same with the order; as it was if the file has no needs.

    Raises
    ------
    InputError
        If a cylinder stands above its working pressure.
    NoSafeAnswer
        If the order cannot be had.
    """
    order, unboosted, drops = _orders(session.file, session.room)
    return replace(session, order=order, order_unboosted=unboosted, drop_outs=drops)


def _sequence(file: FillFile, jobs: tuple[Job, ...], room: Room) -> tuple[Job, ...]:
    """Return the order of the fills; those that are refused in any order come where written."""
    if file.room.order is FillOrder.AS_WRITTEN:
        return jobs
    able = [job for job in jobs if _can_be_done_alone(job, room)]
    try:
        done = best_order(able, room, {})
    except NoSafeAnswer:
        return jobs
    by_label = {job.receiver.label: job for job in jobs}
    found = [by_label[fill.receiver.label] for fill in done.blends]
    return (*found, *(job for job in jobs if job not in able))


def _can_be_done_alone(job: Job, room: Room) -> bool:
    try:
        blend(job.receiver, job.mix, job.gauge_bar, room)
    except NoSafeAnswer:
        return False
    return True


def _done(file: FillFile, job: Job, done: Blend, room: Room) -> DoneFill:
    label = job.receiver.label
    known, cautions, spread = file.known(label), done.cautions, None
    if job.receiver.contents is None or known is Known.BOTH_ANALYSED:
        spread = linear_spread(done, file.errors_of_reading(), room.tolerance)
    else:
        cautions = (*cautions, _unknown(label, known))
    return DoneFill(done, spread, cautions, known, job.gauge_bar)


def _unknown(label: str, known: Known) -> str:
    what = "only oxygen" if known is Known.OXYGEN_ANALYSED else "nothing"
    return (
        f"{label}: {what} of what is in it was analysed, so this recipe may miss by as much as "
        "that is wrong; analyse both gases before filling."
    )


def _leftovers(file: FillFile, room: Room) -> Iterator[Leftover]:
    """Yield what is in cylinders that the file neither fills nor plans with."""
    filled = {table.cylinder for table in file.fill}
    receivers = file.receivers(room)
    wanted = list(_wanted(file, room))
    for table in file.cylinder:
        gauge_bar = table.bar("gauge", file.units) or 0.0
        planned_with = bool(file.need and table.owner)
        if table.name in filled or planned_with or gauge_bar < _WORTH_USING_BAR:
            continue
        into = _emptier(file, table.name, gauge_bar, filled)
        yield leftover_of(
            receivers[table.name],
            gauge_bar,
            wanted,
            room,
            table.known,
            into=receivers[into] if into else None,
        )


def _emptier(file: FillFile, name: str, gauge_bar: float, filled: Collection[str]) -> str:
    """Return the emptiest other cylinder that is not filled, as one to decant into; or nothing."""
    others = [
        (table.bar("gauge", file.units) or 0.0, table.name)
        for table in file.cylinder
        if table.name != name and table.name not in filled and table.holds is not None
    ]
    least_bar, found = min(others, default=(gauge_bar, ""))
    return found if least_bar < gauge_bar - _WORTH_USING_BAR else ""


def _wanted(file: FillFile, room: Room) -> Iterator[Wanted]:
    """Yield the mixes that are wanted next: those of the needs by dive, then those of the fills."""
    wanted = [
        Wanted(f"dive {need.dive}", need.mix, need.gauge_bar)
        for need in sorted(file.needs(), key=lambda need: need.dive)
    ]
    wanted += [Wanted(job.receiver.label, job.mix, job.gauge_bar) for job in file.jobs(room)]
    seen = set()
    for one in wanted:
        if (one.mix, one.gauge_bar) not in seen:
            seen.add((one.mix, one.gauge_bar))
            yield one


def _orders(
    file: FillFile, room: Room
) -> tuple[GasOrder | None, GasOrder | None, tuple[DropOut, ...]]:
    needs = file.needs()
    if not needs:
        return None, None, ()
    offers = room.prices.offers if room.prices is not None else ()
    if not offers and any(source.gas_name == "helium" for source in room.sources):
        raise NoSafeAnswer(
            Reason(
                "an order is asked for, and no supply cylinder is on offer",
                "[[supply]] in the price list that [room] names",
            )
        )
    owned = file.owned(room)
    known: KnownRecipes = {}
    order = order_gas(needs, owned, room, offers, known=known)
    drops: tuple[DropOut, ...] = ()
    if len({need.dive for need in needs}) > 1:
        drops = without_each_dive(needs, owned, room, offers, whole=order, known=known)
    if room.booster is None:
        return order, None, drops
    try:
        return order, order_gas(needs, owned, room, offers, boosted=False, known=known), drops
    except NoSafeAnswer:
        return order, None, drops
