"""A fill file done: fills with steps, spread and cautions, the banks afterwards, the order."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from slatewright.cautions import FILLING
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.blend import blend
from slatewright.fill.fillfile import FillFile, read_fill_file
from slatewright.fill.leftovers import Known
from slatewright.fill.order import GasOrder, order_gas
from slatewright.fill.prices import Bill, sum_of
from slatewright.fill.room import Room
from slatewright.fill.steps import Blend
from slatewright.fill.uncertainty import Spread, linear_spread


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
    """

    blend: Blend
    spread: Spread | None
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Session:
    """What a fill file asks for, done.

    Parameters
    ----------
    file
        The file.
    fills
        The fills that can be done, in the order of the file.
    refused
        Name of the cylinder and the reasons, for those that cannot.
    room
        The room afterwards, with its banks as they are then.
    order
        What has to be ordered for the needs of the file; None if it has none.
    order_unboosted
        The same without the booster; None without needs, a booster, or an answer.
    cautions
        The cautions that go with every fill.
    """

    file: FillFile
    fills: tuple[DoneFill, ...]
    refused: tuple[tuple[str, NoSafeAnswer], ...]
    room: Room
    order: GasOrder | None = None
    order_unboosted: GasOrder | None = None
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
    room = file.fill_room(path.parent)
    instruments = file.errors_of_reading()
    fills, refused = list[DoneFill](), list[tuple[str, NoSafeAnswer]]()
    for job in file.jobs(room):
        known = file.known(job.receiver.label)
        try:
            done = blend(job.receiver, job.mix, job.gauge_bar, room)
        except NoSafeAnswer as error:
            refused.append((job.receiver.label, error))
            continue
        room = room.with_banks(done.banks)
        cautions, spread = done.cautions, None
        if job.receiver.contents is None or known is Known.BOTH_ANALYSED:
            spread = linear_spread(done, instruments, room.tolerance)
        else:
            cautions = (*cautions, _unknown(job.receiver.label, known))
        fills.append(DoneFill(done, spread, cautions))
    order, unboosted = _orders(file, room)
    return Session(file, tuple(fills), tuple(refused), room, order, unboosted)


def _unknown(label: str, known: Known) -> str:
    what = "only oxygen" if known is Known.OXYGEN_ANALYSED else "nothing"
    return (
        f"{label}: {what} of what is in it was analysed, so this recipe may miss by as much as "
        "that is wrong; analyse both gases before filling."
    )


def _orders(file: FillFile, room: Room) -> tuple[GasOrder | None, GasOrder | None]:
    needs = file.needs()
    if not needs:
        return None, None
    offers = room.prices.offers if room.prices is not None else ()
    if not offers and any(source.gas_name == "helium" for source in room.sources):
        raise NoSafeAnswer(
            Reason(
                "an order is asked for, and no supply cylinder is on offer",
                "[[supply]] in the price list that [room] names",
            )
        )
    owned = file.owned(room)
    order = order_gas(needs, owned, room, offers)
    if room.booster is None:
        return order, None
    try:
        return order, order_gas(needs, owned, room, offers, boosted=False)
    except NoSafeAnswer:
        return order, None
