"""On what the break-even depends, drawn: a bar for each thing, the strongest on top."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Final

from slatewright.desk.bench import svg

if TYPE_CHECKING:
    from markupsafe import Markup

    from slatewright.ledger.sensitivity import Swing
    from slatewright.ledger.verdict import Comparison

_NARROWEST_PX: Final = 600.0
_ROW_PX: Final = 44.0
_TOP_PX: Final = 26.0
_YEAR: Final = 12


def swing_chart(done: Comparison, width_px: float) -> Markup:
    """Draw the month of break-even if one thing is otherwise.

    Parameters
    ----------
    done
        The comparison.
    width_px
        Width of the picture [px].
    """
    wide = width_px > _NARROWEST_PX
    left, right = (150.0 if wide else 8.0), width_px - 88.0
    months = done.ways.months

    def x(month: int | None) -> float:
        return right + 52.0 if month is None else left + (right - left) * month / months

    height = _TOP_PX + _ROW_PX * len(done.swings) + 8.0
    inside = [
        *_grid(months, left, right, height),
        *(
            part
            for row, swing in enumerate(done.swings)
            for part in _bar(swing, _TOP_PX + _ROW_PX * row, x, left, wide=wide)
        ),
    ]
    at = x(done.break_even_month)
    inside.append(svg.line("meeting", at, _TOP_PX - 8, at, height - 6))
    kind = "swings wide" if wide else "swings narrow"
    return svg.picture(kind, width_px, height, _description(done), inside)


def _grid(months: int, left: float, right: float, height: float) -> Iterator[str]:
    for month in range(0, months + 1, _YEAR):
        x = left + (right - left) * month / months
        yield svg.line("isobath", x, _TOP_PX - 4, x, height - 6)
        yield svg.text("axis mid", x, _TOP_PX - 14, f"{month // _YEAR} y" if month else "start")
    yield svg.text("axis mid", right + 52.0, _TOP_PX - 14, "never")


def _bar(
    swing: Swing, top: float, place: Callable[[int | None], float], left: float, *, wide: bool
) -> Iterator[str]:
    """Yield a bar from one end of a swing to the other; an open ring stands for the lower value."""
    low, high = place(swing.low_month), place(swing.high_month)
    middle = top + (20.0 if wide else 28.0)
    if wide:
        yield svg.text("word-way end", left - 12, middle, swing.what)
    else:
        yield svg.text("word-way", left, top + 8, swing.what)
    yield svg.rect("swing", min(low, high), middle - 6, max(low, high), middle + 6)
    for name, at in (("ring-low", low), ("ring-high", high)):
        yield svg.shape(name, (), at, middle, 5.0)


def _description(done: Comparison) -> str:
    def said(month: int | None) -> str:
        return "never" if month is None else f"month {month}"

    parts = [
        f"{swing.what} {swing.low}: {said(swing.low_month)}, {swing.high}: {said(swing.high_month)}"
        for swing in done.swings
    ]
    return "Break-even if one thing is otherwise. " + "; ".join(parts)
