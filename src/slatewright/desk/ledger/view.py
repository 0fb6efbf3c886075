"""What the ledger's templates are given."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from markupsafe import Markup

from slatewright.desk.ledger.drawing import NAMES, cost_chart
from slatewright.desk.ledger.swing_drawing import swing_chart
from slatewright.desk.ledger.work import Turned
from slatewright.desk.problem import Fault
from slatewright.desk.workings import Shown
from slatewright.ledger.months import Way
from slatewright.ledger.safety import DIFFERENCES, SOURCE, Difference
from slatewright.ledger.sensitivity import table
from slatewright.ledger.verdict import Comparison

WIDE_PX: Final = 860.0
NARROW_PX: Final = 350.0
FACTORS: Final = (Decimal("0.5"), Decimal(1), Decimal("1.5"), Decimal(2), Decimal(3))
_NEVER: Final = "never"
_YEAR: Final = 12


@dataclass(frozen=True, slots=True)
class Slider:
    """A slider.

    Parameters
    ----------
    name
        The name of its field.
    label
        What it turns.
    value, low, high, step
        Where it stands, its range, and how fine it is.
    words
        What its value means.
    """

    name: str
    label: str
    value: str
    low: str
    high: str
    step: str
    words: str


@dataclass(frozen=True, slots=True)
class KindView:
    """Dives of one kind, priced.

    Parameters
    ----------
    name
        What they are called.
    per_year
        How many a year.
    open, closed
        What one costs; both open how it came about.
    """

    name: str
    per_year: str
    open: Shown
    closed: Shown


@dataclass(frozen=True, slots=True)
class SwingView:
    """What one thing does to the break-even.

    Parameters
    ----------
    what
        The thing.
    low, high
        It at its lower and higher value, with the month of break-even.
    """

    what: str
    low: str
    high: str


@dataclass(frozen=True, slots=True)
class Answer:
    """A comparison, done.

    Parameters
    ----------
    headline
        The break-even; opens how it came about.
    sentences
        The result, said plainly.
    wide, narrow
        The chart, for a wide and for a narrow window.
    currency
        Its three letters.
    kinds
        The dives.
    costs
        Rows of what each way has cost: when, then one for each way.
    ways
        The names of the ways, in the order of those.
    futures
        How many futures were simulated.
    swings
        On what it depends.
    swings_wide, swings_narrow
        The same, drawn.
    factors
        Across the table of break-evens: the price of helium.
    months
        The table: dives a year, and the months of break-even.
    """

    headline: Shown
    sentences: tuple[str, ...]
    wide: Markup
    narrow: Markup
    currency: str
    kinds: tuple[KindView, ...]
    costs: tuple[tuple[str, ...], ...]
    ways: tuple[str, ...]
    futures: str
    swings: tuple[SwingView, ...]
    swings_wide: Markup
    swings_narrow: Markup
    factors: tuple[str, ...]
    months: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class TextView:
    """A text that can be edited.

    Parameters
    ----------
    part
        Which.
    label
        What it is.
    text
        As it stands.
    version
        The version that it was made from.
    faults
        What is wrong with it.
    """

    part: str
    label: str
    text: str
    version: int
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class LedgerView:
    """The comparison page.

    Parameters
    ----------
    title
        What is compared.
    sliders
        Where they stand.
    answer
        The comparison; None if something is wrong.
    faults
        What is wrong.
    texts
        Rates and comparison, to be edited.
    differences
        What is not priced.
    source
        Where those come from.
    example
        Whether what is shown is the example that comes with the program.
    said
        What was done, in a few words; empty if there is nothing to say.
    """

    title: str
    sliders: tuple[Slider, ...]
    answer: Answer | None
    faults: tuple[Fault, ...]
    texts: tuple[TextView, ...]
    differences: tuple[Difference, ...] = DIFFERENCES
    source: str = SOURCE
    example: bool = False
    said: str = ""


def sliders_of(turned: Turned, years: int) -> tuple[Slider, ...]:
    """Return the sliders.

    Parameters
    ----------
    turned
        Where they stand.
    years
        How far the text looks.
    """

    def factor(name: str, label: str, value: Decimal, low: str, high: str) -> Slider:
        return Slider(name, label, str(value), low, high, "0.05", f"x {value.normalize():f}")

    far = turned.years or years
    return (
        factor("helium", "Price of helium", turned.helium, "0.25", "5"),
        factor("cadence", "Dives a year", turned.cadence, "0.25", "4"),
        factor("unit", "Price of the unit", turned.unit, "0.25", "2"),
        factor("keeping", "Keeping the unit", turned.keeping, "0", "3"),
        Slider("years", "Years to look ahead", str(far), "1", "15", "1", f"{far} years"),
    )


def answer_of(done: Comparison, query: str) -> Answer:
    """Return a comparison as it is shown.

    Parameters
    ----------
    done
        The comparison.
    query
        Where the sliders stand, as the paths of accounts carry it.
    """
    ways = [way for way in Way if way in done.months]
    month = done.break_even_month
    text = _NEVER if month is None else f"month {month}"
    costs = [
        (
            "the first day" if not at else f"{at // _YEAR} y",
            *(f"{done.months[way][at].net:,.0f}" for way in ways),
        )
        for at in range(0, done.ways.months + 1, _YEAR)
    ]
    for words, q in (("1 in 10 below", 0), ("half below", 1), ("9 in 10 below", 2)):
        ends = (done.futures.band_cents(way)[q][-1] / 100 for way in ways)
        costs.append((words, *(f"{end:,.0f}" for end in ends)))
    return Answer(
        headline=Shown(text, account=f"/ledger/account/break-even{query}"),
        sentences=done.sentences,
        wide=cost_chart(done, WIDE_PX),
        narrow=cost_chart(done, NARROW_PX),
        currency=done.ways.currency,
        kinds=tuple(
            KindView(
                kind.name,
                f"{kind.per_year:g}",
                Shown(f"{kind.open.total:,.2f}", account=f"/ledger/account/open/{i}{query}"),
                Shown(f"{kind.closed.total:,.2f}", account=f"/ledger/account/closed/{i}{query}"),
            )
            for i, kind in enumerate(done.ways.kinds)
        ),
        costs=tuple(costs),
        ways=tuple(NAMES[way] for way in ways),
        futures=f"{done.futures.count:,}",
        swings=tuple(
            SwingView(
                swing.what,
                f"{swing.low}: {_month(swing.low_month)}",
                f"{swing.high}: {_month(swing.high_month)}",
            )
            for swing in done.swings
        ),
        swings_wide=swing_chart(done, WIDE_PX),
        swings_narrow=swing_chart(done, NARROW_PX),
        factors=tuple(f"x {factor.normalize():f}" for factor in FACTORS),
        months=tuple(
            (f"{done.ways.dives_per_year * float(factor):g}", *(_month(m) for m in row))
            for factor, row in zip(FACTORS, table(done.ways, FACTORS, FACTORS), strict=True)
        ),
    )


def _month(month: int | None) -> str:
    return _NEVER if month is None else str(month)
