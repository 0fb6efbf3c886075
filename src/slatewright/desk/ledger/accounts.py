"""How the numbers of a comparison came about."""

from __future__ import annotations

from decimal import Decimal

from slatewright.desk.workings import Account, Row, Shown
from slatewright.errors import InputError
from slatewright.ledger.money import ROUNDING
from slatewright.ledger.months import Way
from slatewright.ledger.verdict import Comparison
from slatewright.ledger.ways import DiveCost


def account_of(done: Comparison, what: str) -> Account:
    """Return how a number came about.

    Parameters
    ----------
    done
        The comparison.
    what
        Which number, as its path names it, such as ``break-even`` or ``open/0``.

    Raises
    ------
    InputError
        If there is no such number.
    """
    kinds = done.ways.kinds
    match what.split("/"):
        case ["break-even"]:
            return _break_even(done)
        case [("open" | "closed") as way, place] if place.isdecimal() and int(place) < len(kinds):
            kind = kinds[int(place)]
            cost = kind.open if way == "open" else kind.closed
            return _dive(f"{kind.name}, on {way} circuit", cost, done.ways.currency)
    raise InputError("there is no such number", right="one of the page")


def _money(amount: Decimal, currency: str) -> Shown:
    return Shown(f"{amount:,.2f}", currency)


def _dive(title: str, cost: DiveCost, currency: str) -> Account:
    return Account(
        title=f"One dive: {title}",
        number=_money(cost.total, currency),
        sentences=(
            (
                "Gas is what the fill room puts in for one dive after another, by its own recipes "
                "and its price list: what is left in a cylinder is topped up and not bought again."
            ),
            "On closed circuit a filling of absorbent is counted for each dive, whole.",
            "Helium stands by itself, since it is what moves with the price of helium.",
            ROUNDING.capitalize() + ".",
        ),
        rows=(
            Row("helium", _money(cost.helium, currency)),
            Row("oxygen, fees, labour, absorbent", _money(cost.other, currency)),
            Row("once, for the first fills: helium", _money(cost.first_helium, currency)),
            Row("once, for the first fills: the rest", _money(cost.first_other, currency)),
        ),
    )


def _break_even(done: Comparison) -> Account:
    ways, currency = done.ways, done.ways.currency
    month = done.break_even_month
    start = {way: months[0] for way, months in done.months.items()}
    last = {way: months[-1] for way, months in done.months.items()}
    per_year = {
        Way.OPEN: sum(
            (Decimal(str(kind.per_year)) * kind.open.total for kind in ways.kinds), Decimal(0)
        ),
        Way.CLOSED: sum(
            (Decimal(str(kind.per_year)) * kind.closed.total for kind in ways.kinds), Decimal(0)
        ),
    }
    steps = sum((step.price for step in ways.closed.steps), Decimal(0))
    return Account(
        title="Break-even",
        number=Shown("never" if month is None else f"month {month}"),
        sentences=(
            (
                "The first month from which closed circuit now has cost no more than open circuit, "
                "and stays so to the end of the years looked at. What gear would fetch is taken "
                "off."
            ),
            (
                "Until a step of training allows it, a dive is done and paid on open circuit, and "
                "gear for that is bought if it is not there."
            ),
            (
                "Dives, servicing and insurance are spread evenly over the months; helium rises as "
                "the text expects."
            ),
        ),
        rows=(
            Row("open circuit, spent on the first day", _money(start[Way.OPEN].spent, currency)),
            Row(
                "closed circuit, spent on the first day", _money(start[Way.CLOSED].spent, currency)
            ),
            Row("dives of a year, open", _money(per_year[Way.OPEN], currency)),
            Row("dives of a year, closed, once trained", _money(per_year[Way.CLOSED], currency)),
            Row("keeping open gear, a year", _money(ways.open_gear.per_year, currency)),
            Row("keeping the unit, a year", _money(ways.closed.gear.per_year, currency)),
            Row("all steps of training", _money(steps, currency)),
            Row("open circuit at the end, gear sold", _money(last[Way.OPEN].net, currency)),
            Row("closed circuit at the end, gear sold", _money(last[Way.CLOSED].net, currency)),
        ),
    )
