"""What both ways have cost over the months: lines for what is expected, bands for futures."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from slatewright.desk.bench import svg
from slatewright.ledger.months import Way

if TYPE_CHECKING:
    from markupsafe import Markup

    from slatewright.ledger.verdict import Comparison

NAMES: Final = {Way.OPEN: "open", Way.CLOSED: "closed now", Way.LATER: "closed later"}
"""How the ways are called where there is little room; each has a line of its own pattern."""
_CLASSES: Final = {Way.OPEN: "open", Way.CLOSED: "closed", Way.LATER: "later"}
_LETTER_PX: Final = 7.0
_APART_PX: Final = 17.0
_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
_YEAR: Final = 12


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where the chart's parts lie.

    Parameters
    ----------
    width, height
        Of all of it [px].
    left, right, top, bottom
        Of the plot [px].
    months
        The last month.
    low, high
        What is at the bottom and at the top of the plot [money].
    """

    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    months: int
    low: float
    high: float

    def x(self, month: float) -> float:
        """Return where a month lies [px].

        Parameters
        ----------
        month
            The month, counted from the beginning [month].
        """
        return self.left + (self.right - self.left) * month / self.months

    def y(self, cost: float) -> float:
        """Return where a cost lies [px].

        Parameters
        ----------
        cost
            The cost [money].
        """
        return self.bottom - (self.bottom - self.top) * (cost - self.low) / (self.high - self.low)


def cost_chart(done: Comparison, width_px: float) -> Markup:
    """Draw what each way has cost by each month, with the gear sold.

    Parameters
    ----------
    done
        The comparison.
    width_px
        Width of the picture [px].
    """
    sheet = _sheet(done, width_px)
    inside = [*_grid(sheet), *_bands(done, sheet), *_lines(done, sheet), *_ends(done, sheet)]
    if done.break_even_month:
        inside += _meeting(done, sheet, done.break_even_month)
    kind = "cost wide" if width_px > 600 else "cost narrow"
    return svg.picture(kind, sheet.width, sheet.height, _description(done), inside)


def _sheet(done: Comparison, width_px: float) -> Sheet:
    nets = [float(month.net) for months in done.months.values() for month in months]
    for way in (Way.OPEN, Way.CLOSED):
        band = done.futures.band_cents(way) / 100.0
        nets += [float(band[0].min()), float(band[2].max())]
    low, high = min(0.0, *nets), max(nets)
    step = _step(low, high)
    low, high = math.floor(low / step) * step, math.ceil(high / step) * step
    return Sheet(
        width=width_px,
        height=380.0 if width_px > 600 else 330.0,
        left=58.0,
        right=width_px - 96.0,
        top=14.0,
        bottom=(380.0 if width_px > 600 else 330.0) - 34.0,
        months=done.ways.months,
        low=low,
        high=max(high, low + step),
    )


def _step(low: float, high: float) -> float:
    rough = max(high - low, 1.0) / 6.0
    unit = 10.0 ** math.floor(math.log10(rough))
    return next(step * unit for step in _STEPS if step * unit >= rough)


def _grid(sheet: Sheet) -> Iterator[str]:
    step = _step(sheet.low, sheet.high)
    cost = sheet.low
    while cost <= sheet.high + step / 2:
        y = sheet.y(cost)
        name = "surface" if abs(cost) < step / 2 else "isobath"
        yield svg.line(name, sheet.left, y, sheet.right, y)
        yield svg.text("axis end", sheet.left - 8, y, f"{cost:,.0f}")
        cost += step
    every = _YEAR if sheet.months <= 6 * _YEAR else 2 * _YEAR
    for month in range(0, sheet.months + 1, every):
        x = sheet.x(month)
        yield svg.line("tick", x, sheet.bottom, x, sheet.bottom + 5)
        words = "start" if not month else f"{month // _YEAR} y"
        yield svg.text("axis mid", x, sheet.bottom + 17, words)


def _bands(done: Comparison, sheet: Sheet) -> Iterator[str]:
    for way in (Way.OPEN, Way.CLOSED):
        low, _, high = done.futures.band_cents(way) / 100.0
        there = [(sheet.x(month), sheet.y(float(cost))) for month, cost in enumerate(high)]
        back = [(sheet.x(month), sheet.y(float(cost))) for month, cost in enumerate(low)]
        yield svg.path(f"band {_CLASSES[way]}", [*there, *reversed(back)], closed=True)


def _lines(done: Comparison, sheet: Sheet) -> Iterator[str]:
    for way, months in done.months.items():
        points = [(sheet.x(each.month), sheet.y(float(each.net))) for each in months]
        yield svg.path(f"way {_CLASSES[way]}", points)


def _ends(done: Comparison, sheet: Sheet) -> Iterator[str]:
    """Yield the names at the ends of the lines, moved apart where they would meet."""
    ends = sorted((sheet.y(float(months[-1].net)), way) for way, months in done.months.items())
    below = -math.inf
    for y, way in ends:
        place = max(y, below + _APART_PX)
        below = place
        yield svg.text("word-way", sheet.right + 8, place, NAMES[way])


def _meeting(done: Comparison, sheet: Sheet, month: int) -> list[str]:
    net = float(done.months[Way.CLOSED][month].net)
    x, y = sheet.x(month), sheet.y(net)
    words = f"month {month}"
    half = len(words) * _LETTER_PX / 2
    place = min(max(x, sheet.left + half), sheet.right - half)
    return [
        svg.line("meeting", x, y, x, sheet.bottom),
        svg.shape("meeting-mark", (), x, y, 5.0),
        svg.text("word-meeting mid broken", place, min(y + 18, sheet.bottom - 9), words),
    ]


def _description(done: Comparison) -> str:
    last = done.ways.months
    parts = [
        f"{NAMES[way]}: {months[last].net:,.0f} {done.ways.currency} after {done.ways.years} years"
        for way, months in done.months.items()
    ]
    return "What each way has cost, with the gear sold. " + "; ".join(parts)
