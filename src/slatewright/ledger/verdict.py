"""What comes of a comparison, said plainly, 'never' included."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from slatewright.ledger.futures import Futures, simulate
from slatewright.ledger.money import about, rounded
from slatewright.ledger.months import (
    Month,
    Way,
    break_even_month,
    dives_until,
    may_dive,
    month_by_month,
)
from slatewright.ledger.sensitivity import Swing, swings
from slatewright.ledger.ways import Ways


@dataclass(frozen=True)
class Comparison:
    """A comparison, done.

    Parameters
    ----------
    ways
        What was compared.
    months
        Each way month by month, if everything goes as expected.
    break_even_month
        The first month from which closed circuit now is no longer dearer, to the end; None for
        never within the years looked at.
    futures
        Many futures.
    swings
        On what it depends, the strongest first.
    """

    ways: Ways
    months: dict[Way, tuple[Month, ...]]
    break_even_month: int | None
    futures: Futures
    swings: tuple[Swing, ...]

    @property
    def break_even_dives(self) -> float:
        """How many dives that is; infinite for never [dives]."""
        return dives_until(self.ways, self.break_even_month)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The result, said plainly."""
        return tuple(_sentences(self))


def compare(ways: Ways, futures: int = 10_000) -> Comparison:
    """Compare both ways.

    Parameters
    ----------
    ways
        What is compared.
    futures
        How many futures to simulate.

    Raises
    ------
    InputError
        If so many cannot be simulated.
    """
    asked = [way for way in Way if way is not Way.LATER or ways.change_after_months is not None]
    return Comparison(
        ways=ways,
        months={way: month_by_month(ways, way) for way in asked},
        break_even_month=break_even_month(ways),
        futures=simulate(ways, futures),
        swings=swings(ways),
    )


def _sentences(done: Comparison) -> Iterator[str]:
    ways, currency = done.ways, done.ways.currency
    last = {way: months[-1].net for way, months in done.months.items()}
    yield _expected(done)
    yield _range(done)
    gap = last[Way.CLOSED] - last[Way.OPEN]
    dearer = "more" if gap > 0 else "less"
    yield (
        f"After {ways.years} years closed circuit has cost {about(abs(gap), currency)} {dearer} "
        "than open circuit, with the gear sold."
    )
    if stuck := _stuck(done.ways):
        yield stuck
    if Way.LATER in last:
        yield _course(ways, last[Way.LATER] - last[Way.CLOSED])


def _expected(done: Comparison) -> str:
    ways = done.ways
    if done.break_even_month is None:
        return (
            f"As expected, closed circuit never pays for itself within {ways.years} years at "
            f"{ways.dives_per_year:g} dives a year."
        )
    if not done.break_even_month:
        return "As expected, closed circuit is no dearer from the first day."
    return (
        f"As expected, closed circuit has paid for itself after {done.break_even_month} months, "
        f"that is {done.break_even_dives:.0f} dives."
    )


def _range(done: Comparison) -> str:
    futures = done.futures
    low, middle, high = futures.break_even_range()
    never = f"in {futures.never_pct:.0f} of 100 futures it never does"
    if low is None:
        return f"Hardly ever: {never} within {done.ways.years} years."
    if middle is None:
        return f"Seldom: in one of ten futures by month {low}, but {never}."
    if high is None:
        return f"In half of all futures by month {middle}, in a tenth by month {low}; {never}."
    return f"In eight of ten futures between month {low} and month {high}; {never}."


def _stuck(ways: Ways) -> str:
    """Say so if training asks for dives on the unit that nobody does."""
    done: list[str] = []
    for number, step in enumerate(ways.closed.steps):
        before = ways.closed.steps[:number]
        reached = any(may_dive(before, before, kind.deepest_m) for kind in ways.kinds if before)
        if step.after_dives and not reached:
            done.append(step.name)
    if not done:
        return ""
    return (
        f"The step '{done[0]}' asks for dives on the unit, and none of these dives may be done on "
        "it before: such dives have to be added, or closed circuit is never reached."
    )


def _course(ways: Ways, more: Decimal) -> str:
    months = ways.change_after_months
    amount = about(abs(rounded(more)), ways.currency)
    if more > 0:
        return (
            f"If you mean to change after {months} months anyway, the course that you ask about is "
            f"not worth its money: changing now costs {amount} less by the end. Whether you are "
            "ready to change is another question, and not one of money."
        )
    return (
        f"If you mean to change after {months} months anyway, taking the course now costs {amount} "
        "less by the end than changing at once."
    )
