"""The course agreement as data: our plain words, or the school's own in their place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from slatewright.errors import InputError

ENDS_A_DIVE: Final = (
    "a signal by any diver, for any reason or none, and nobody asks for it under water",
    "a cylinder that was not analysed by the diver who breathes it, or a reading that differs",
    "the minimum gas reached by anyone, or the turn pressure, whichever comes first",
    "a gas lost in earnest, a leak that cannot be stopped, a free flow that does not end",
    "the planned greatest depth or bottom time passed by anyone",
    "a diver or the line out of sight, and not found within the agreed minute",
    "current, sea, sight or cold beyond what was briefed",
    "the instructor's word",
)
"""Where neither the school nor the course says what ends a dive: common practice, no published
source."""


@dataclass(frozen=True, slots=True)
class Fee:
    """A part of the price.

    Parameters
    ----------
    words
        What it is for.
    amount
        How much, in the currency of the agreement.
    """

    words: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnWords:
    """The school's own text, paragraph by paragraph; what is empty is said in our words.

    Parameters
    ----------
    fees
        What the fees buy.
    lost_days
        Days lost to weather and the like.
    remedial_days
        Days to repeat what was not shown.
    ends_a_dive
        The limits that end a dive, one each.
    words
        What else is agreed.
    """

    fees: tuple[str, ...] = ()
    lost_days: tuple[str, ...] = ()
    remedial_days: tuple[str, ...] = ()
    ends_a_dive: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """What a school and a diver agree upon.

    Parameters
    ----------
    course
        The course's name.
    school
        Who teaches, as a party.
    instructor
        Who teaches, as a person.
    diver
        Who learns.
    begins_on, ends_on
        First and last day, lost days kept in reserve included.
    place
        Where; empty if it is not said.
    currency
        Three capital letters.
    fees
        The parts of the price.
    reserve_days
        The days kept for bad weather.
    lost_day_price, remedial_day_price
        What a further day costs; None if that is agreed when it comes.
    greatest_depth
        The limit of the course, with its unit; empty if it is not said.
    own
        The school's own text.

    Raises
    ------
    InputError
        If it ends before it begins, a party has no name, a price is below zero or the currency is
        none.
    """

    course: str
    school: str
    instructor: str
    diver: str
    begins_on: date
    ends_on: date
    place: str = ""
    currency: str = "EUR"
    fees: tuple[Fee, ...] = ()
    reserve_days: tuple[date, ...] = ()
    lost_day_price: Decimal | None = None
    remedial_day_price: Decimal | None = None
    greatest_depth: str = ""
    own: OwnWords = OwnWords()

    def __post_init__(self) -> None:
        for name in ("course", "school", "instructor", "diver"):
            if not getattr(self, name).strip():
                raise InputError("is empty", where=name, right="a name")
        if self.ends_on < self.begins_on:
            raise InputError(
                f"a course cannot end on {self.ends_on}, before it begins",
                where="ends_on",
                right=f"{self.begins_on} or later",
            )
        amounts = [fee.amount for fee in self.fees]
        amounts += [p for p in (self.lost_day_price, self.remedial_day_price) if p is not None]
        if wrong := next((a for a in amounts if not a.is_finite() or a < 0), None):
            raise InputError(f"{wrong} is no price", where="fees", right="0 or more")
        if not (len(self.currency) == 3 and self.currency.isascii() and self.currency.isupper()):
            raise InputError(
                f"'{self.currency}' is no currency", where="currency", right="such as EUR"
            )
        if stray := [d for d in self.reserve_days if not self.begins_on <= d <= self.ends_on]:
            raise InputError(
                f"{stray[0]} is kept in reserve and no day of the course",
                where="reserve_days",
                right=f"a day from {self.begins_on} to {self.ends_on}",
            )

    @property
    def total(self) -> Decimal:
        """The sum of the fees."""
        return sum((fee.amount for fee in self.fees), Decimal(0))


@dataclass(frozen=True, slots=True)
class Clause:
    """A clause, ready to be printed.

    Parameters
    ----------
    id
        Its name.
    heading
        Its heading.
    paragraphs
        Its text.
    items
        A list below the text.
    own
        Whether these are the school's own words.
    """

    id: str
    heading: str
    paragraphs: tuple[str, ...]
    items: tuple[str, ...] = ()
    own: bool = False


def clauses(agreement: Agreement) -> tuple[Clause, ...]:
    """Return the clauses of an agreement, in their order.

    Parameters
    ----------
    agreement
        The agreement.

    Returns
    -------
    tuple[Clause, ...]
        Our words, and where the school gives its own those and none of ours.
    """
    return tuple(_clauses(agreement))


def _clauses(a: Agreement) -> Iterator[Clause]:
    own = a.own
    yield _clause("fees", "What the fees buy", own.fees, _fees())
    yield _clause("lost_days", "Lost days", own.lost_days, _lost_days(a))
    yield _clause("remedial_days", "Remedial days", own.remedial_days, _remedial_days(a))
    if own.ends_a_dive:
        yield Clause("ends_a_dive", "What ends a dive", (), own.ends_a_dive, own=True)
    else:
        lead = "Each of these ends a dive at once and for all. Nobody is thought less of for it."
        limit = f"a depth of {a.greatest_depth}, the limit of the course"
        items = (*ENDS_A_DIVE, *([limit] if a.greatest_depth else []))
        yield Clause("ends_a_dive", "What ends a dive", (lead,), items)
    yield Clause(
        "diver",
        "What the diver declares",
        (
            (
                "Logged dives, cards and the medical clearance that were shown are the diver's "
                "own and true. Whatever changes before or during the course, health above all, "
                "is said before the next dive; a dive may be left out for it without a reason "
                "given to the others."
            ),
            (
                "The diver knows that such dives are made with gases that cannot be breathed at "
                "every depth and with stops that cannot be left out, that people have died on "
                "them within every limit, and that no plan, teacher or instrument takes that away."
            ),
        ),
    )
    if own.words:
        yield Clause("words", "What else is agreed", own.words, own=True)


def _clause(name: str, heading: str, own: tuple[str, ...], ours: tuple[str, ...]) -> Clause:
    return Clause(name, heading, own or ours, own=bool(own))


def _fees() -> tuple[str, ...]:
    return (
        "The fees buy tuition: time, teaching and the things listed here. They do not buy a card.",
        (
            "A card is earned by showing what the standards in force ask for. The instructor "
            "alone judges whether it was shown, writes it down for each dive, and lets the diver "
            "read it. That a card is not issued is no ground to ask for the fees back."
        ),
    )


def _lost_days(a: Agreement) -> tuple[str, ...]:
    count = len(a.reserve_days)
    kept = (
        f"{count} {'day is' if count == 1 else 'days are'} kept in reserve for weather, a boat "
        "that stays in port, illness and the like: "
        f"{', '.join(d.isoformat() for d in a.reserve_days)}."
        if count
        else "No day is kept in reserve for weather, illness and the like."
    )
    return (
        kept,
        f"A dive lost beyond that is made up on a later date. {_price(a, a.lost_day_price)}",
        (
            "Whether a dive takes place is decided by the instructor on the day, and by each "
            "diver for herself or himself. A lost day never makes the next one deeper "
            "or longer than it was."
        ),
    )


def _remedial_days(a: Agreement) -> tuple[str, ...]:
    return (
        (
            "A skill that was not shown is shown on a further day, shallow first, before anything "
            f"that builds on it. {_price(a, a.remedial_day_price)}"
        ),
        (
            "How many such days there will be cannot be known beforehand. Diver and school may "
            "each end the course instead; what was shown stays in the record."
        ),
    )


def _price(a: Agreement, price: Decimal | None) -> str:
    if price is None:
        return "What that day costs is agreed in writing before it begins."
    return f"Each such day costs {price:,.2f} {a.currency}, and gas, boat and lodging as used."
