"""A quote: what a course costs, line by line, and who pays which line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Final

from slatewright.errors import InputError
from slatewright.fill.bank_order import Known
from slatewright.fill.needs import owned_for
from slatewright.fill.room import Room
from slatewright.ledger.gas import Order, PlannedGas, needs_for, order_for, with_helium
from slatewright.ledger.money import NOTHING, rounded, shares
from slatewright.ledger.rates import Rates


class Payer(StrEnum):
    """Who pays a line."""

    STUDENT = "each student"
    TOGETHER = "the students together"
    SCHOOL = "the school"


class Item(StrEnum):
    """What is paid for; a quote file says who pays each."""

    STUDENT_GAS = "gas of the students"
    STAFF_GAS = "gas of instructors and assistants"
    FILLING = "filling"
    HIRE = "hire of cylinders"
    BOAT = "boat"
    GUIDE = "guide"
    TUITION = "instruction"
    ASSISTANCE = "assistance"
    LODGING = "lodging"
    STAFF_LODGING = "lodging of instructors and assistants"
    MATERIALS = "materials and registration"
    INSURANCE = "insurance"


USUAL: Final[Mapping[Item, Payer]] = {
    Item.STUDENT_GAS: Payer.TOGETHER,
    Item.STAFF_GAS: Payer.TOGETHER,
    Item.FILLING: Payer.TOGETHER,
    Item.HIRE: Payer.TOGETHER,
    Item.BOAT: Payer.TOGETHER,
    Item.GUIDE: Payer.TOGETHER,
    Item.TUITION: Payer.TOGETHER,
    Item.ASSISTANCE: Payer.TOGETHER,
    Item.LODGING: Payer.STUDENT,
    Item.STAFF_LODGING: Payer.TOGETHER,
    Item.MATERIALS: Payer.STUDENT,
    Item.INSURANCE: Payer.STUDENT,
}
"""Who pays what where the quote file is silent: the instructor's own gas is on the bill too."""


@dataclass(frozen=True, slots=True)
class Party:
    """Who comes.

    Parameters
    ----------
    students, instructors, assistants
        How many of each.
    """

    students: int
    instructors: int = 1
    assistants: int = 0

    @property
    def staff(self) -> int:
        """Instructors and assistants."""
        return self.instructors + self.assistants

    def heads(self, dive: PlannedGas) -> dict[str, int]:
        """Return each head, and the diver of the plan whose kit and breathing that head has.

        Instructors and assistants have those of the plan's own diver, students those of its
        partners in turn, or of its own diver where it has none.

        Parameters
        ----------
        dive
            The dive.
        """
        partners = len(dive.supply.divers) - 1
        found = {f"instructor {i + 1}": 0 for i in range(self.instructors)}
        found |= {f"assistant {i + 1}": 0 for i in range(self.assistants)}
        for i in range(self.students):
            found[f"student {i + 1}"] = 1 + i % partners if partners else 0
        return found


@dataclass(frozen=True, slots=True)
class Extra:
    """Something of the school's own on the quote.

    Parameters
    ----------
    what
        What it is.
    price
        What it costs once.
    payer
        Who pays; for each student, the price is that of one.
    """

    what: str
    price: Decimal
    payer: Payer = Payer.TOGETHER


@dataclass(frozen=True)
class Asked:
    """What is to be quoted.

    Parameters
    ----------
    title
        What the course is called.
    party
        Who comes.
    dives
        Its dives, in order.
    teaching_days, boat_days, guide_days, nights
        How many of each.
    payers
        Who pays what, where that is not as usual.
    extras
        What else is on it.
    """

    title: str
    party: Party
    dives: tuple[PlannedGas, ...]
    teaching_days: int
    boat_days: int = 0
    guide_days: int = 0
    nights: int = 0
    payers: Mapping[Item, Payer] | None = None
    extras: tuple[Extra, ...] = ()

    def payer(self, item: Item) -> Payer:
        """Return who pays an item.

        Parameters
        ----------
        item
            The item.
        """
        return (self.payers or {}).get(item, USUAL[item])


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """A line of a quote.

    Parameters
    ----------
    what
        What is paid for.
    count
        How often, in words, such as ``5 days``; empty for a sum.
    price
        Of one.
    total
        Of all, to the cent.
    payer
        Who pays.
    """

    what: str
    count: str
    price: Decimal
    total: Decimal
    payer: Payer


@dataclass(frozen=True)
class Quote:
    """A quote.

    Parameters
    ----------
    asked
        What was asked for.
    currency
        Its three letters.
    on, valid_until
        The day of the rates, and the last on which they hold.
    lines
        The lines.
    gas
        The gas order behind them.
    """

    asked: Asked
    currency: str
    on: date
    valid_until: date
    lines: tuple[QuoteLine, ...]
    gas: Order

    @property
    def total(self) -> Decimal:
        """The sum of all lines."""
        return sum((line.total for line in self.lines), NOTHING)

    def paid_by(self, payer: Payer) -> Decimal:
        """Return the sum of the lines that somebody pays.

        Parameters
        ----------
        payer
            Who.
        """
        return sum((line.total for line in self.lines if line.payer is payer), NOTHING)

    @property
    def per_student(self) -> tuple[Decimal, ...]:
        """What each student pays; the shares sum to what students pay, to the cent."""
        students = self.asked.party.students
        if not students:
            return ()
        theirs = self.paid_by(Payer.STUDENT) + self.paid_by(Payer.TOGETHER)
        return shares(theirs, [Decimal(1)] * students)


def quote(asked: Asked, rates: Rates, room: Room, known: Known | None = None) -> Quote:
    """Return the quote of a course.

    Parameters
    ----------
    asked
        What is to be quoted.
    rates
        The rates.
    room
        The fill room, with prices in the currency of the rates.
    known
        Recipes from an earlier order in the same room; those worked out are added.

    Raises
    ------
    InputError
        If the gas is priced in another currency, or nobody comes.
    NoSafeAnswer
        If a fill cannot be done.
    """
    if room.prices is None or room.prices.currency != rates.currency:
        other = "nothing" if room.prices is None else room.prices.currency
        raise InputError(
            f"the rates are in {rates.currency}, the gas is priced in {other}",
            where="currency",
            right="one currency",
        )
    if asked.party.students < 1:
        raise InputError("a course has students", where="students", right="1 or more")
    gas = order_for(needs_for(asked.dives, asked.party.heads), room, known)
    lines = [
        *_gas_lines(asked, gas, rates),
        *_day_lines(asked, rates),
        *_head_lines(asked, rates),
        *(_extra(asked, extra) for extra in asked.extras),
    ]
    kept = tuple(line for line in lines if line.total)
    return Quote(asked, rates.currency, rates.on, rates.valid_until, kept, gas)


def what_if(
    asked: Asked,
    rates: Rates,
    room: Room,
    *,
    students: Sequence[int],
    helium_factors: Sequence[Decimal],
) -> dict[tuple[int, Decimal], Quote]:
    """Return quotes for other numbers of students and other prices of helium.

    Parameters
    ----------
    asked
        What is to be quoted.
    rates, room
        As for `quote`.
    students
        The numbers.
    helium_factors
        What today's price of helium is multiplied by.

    Returns
    -------
    dict
        Number of students and factor, to the quote.
    """
    found = {}
    for factor in helium_factors:
        priced, known = with_helium(room, factor), Known()
        for count in students:
            other = replace(asked, party=replace(asked.party, students=count))
            found[count, factor] = quote(other, rates, priced, known)
    return found


def _gas_lines(asked: Asked, gas: Order, rates: Rates) -> list[QuoteLine]:
    students = [cost for owner, cost in gas.by_owner.items() if owner.startswith("student")]
    staff = [cost for owner, cost in gas.by_owner.items() if not owner.startswith("student")]
    lines = [
        _sum(asked, Item.STUDENT_GAS, sum(students, NOTHING)),
        _sum(asked, Item.STAFF_GAS, sum(staff, NOTHING)),
        _line(asked, Item.FILLING, gas.fills, "fills", rates.fill_labour),
    ]
    sizes: dict[str, int] = {}
    for owned in owned_for_hire(asked):
        sizes[owned] = sizes.get(owned, 0) + 1
    for size, count in sizes.items():
        if size in rates.hire_per_day:
            price = rates.hire_per_day[size]
            days = asked.teaching_days
            total = rounded(price * count * days)
            words = f"{count} of {size}, {days} days"
            lines.append(QuoteLine(Item.HIRE, words, price, total, asked.payer(Item.HIRE)))
    return lines


def owned_for_hire(asked: Asked) -> tuple[str, ...]:
    """Return the size of each cylinder that the party needs at once, over all dives.

    Parameters
    ----------
    asked
        What is to be quoted.
    """
    needs = needs_for(asked.dives, asked.party.heads)
    return tuple(own.receiver.cylinder.name for own in owned_for(needs))


def _day_lines(asked: Asked, rates: Rates) -> list[QuoteLine]:
    party, day = asked.party, rates.day
    days, nights = asked.teaching_days, asked.nights
    return [
        _line(asked, Item.BOAT, asked.boat_days, "days", day.boat),
        _line(asked, Item.GUIDE, asked.guide_days, "days", day.guide),
        _line(asked, Item.TUITION, days * party.instructors, "days", day.instructor),
        _line(asked, Item.ASSISTANCE, days * party.assistants, "days", day.assistant),
        _line(asked, Item.LODGING, nights * party.students, "nights", day.lodging),
        _line(asked, Item.STAFF_LODGING, nights * party.staff, "nights", day.lodging),
    ]


def _head_lines(asked: Asked, rates: Rates) -> list[QuoteLine]:
    students = asked.party.students
    return [
        _line(asked, Item.MATERIALS, students, "students", rates.head.materials),
        _line(asked, Item.INSURANCE, students, "students", rates.head.insurance),
    ]


def _extra(asked: Asked, extra: Extra) -> QuoteLine:
    count = asked.party.students if extra.payer is Payer.STUDENT else 1
    words = f"{count} students" if extra.payer is Payer.STUDENT else ""
    return QuoteLine(extra.what, words, extra.price, rounded(extra.price * count), extra.payer)


def _sum(asked: Asked, item: Item, total: Decimal) -> QuoteLine:
    return QuoteLine(item, "", total, rounded(total), asked.payer(item))


def _line(asked: Asked, item: Item, count: int, unit: str, price: Decimal) -> QuoteLine:
    words = f"{count} {unit if count != 1 else unit.removesuffix('s')}"
    return QuoteLine(item, words, price, rounded(price * count), asked.payer(item))
