"""How the lines of a slate are laid on its pages: deep first, and nothing torn apart."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Final

from slatewright.errors import InputError
from slatewright.paper.slate_rows import ChangeKind, GasChange, RowKind, SlateRow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from slatewright.paper.slate_rows import SlateRows
    from slatewright.physics.mixture import Mixture

PAGE_WIDTH_MM: Final = 95.0
PAGE_HEIGHT_MM: Final = 150.0
MARGIN_MM: Final = 4.0
TITLE_MM: Final = 5.0
FOOT_MM: Final = 12.4
GAS_STRIP_MM: Final = 8.6
"""The gas that one goes down on, or that a continued page begins on."""
HEAD_MM: Final = 5.8
"""The names of the columns."""
ROW_MM: Final = 8.1
CHANGE_MM: Final = 11.8
TURN_MM: Final = 5.0
"""The sign that the slate goes on overleaf."""
BANNER_MM: Final = 10.0
"""What stands on every page of a slate that is printed without a way home."""
GAUGE_HEAD_MM: Final = 4.4
GAUGE_MM: Final = 6.4
"""Pressures to turn at, on the front."""

_WITHIN_A_ROW: Final = {ChangeKind.BREAK, ChangeKind.BACK}
"""Changes at a stop: the diver stays, so one line says it."""

Line = SlateRow | GasChange


@dataclass(frozen=True, slots=True)
class SlatePage:
    """One page.

    Parameters
    ----------
    number, of
        Its number and the number of pages.
    begins_on
        The gas breathed where the page begins.
    begins_at_bar
        The setpoint there; None on open circuit [bar].
    down
        Changes on the way down; on the first page only.
    lines
        Rows and changes.
    """

    number: int
    of: int
    begins_on: Mixture
    begins_at_bar: float | None
    down: tuple[GasChange, ...]
    lines: tuple[Line, ...]


def slate_pages(
    rows: SlateRows, *, gauges: int = 0, has_banner: bool = False
) -> tuple[SlatePage, ...]:
    """Lay the lines on as few pages as hold them, and break at changes of gas where that is free.

    Parameters
    ----------
    rows
        The body of the slate.
    gauges
        Number of gauges on the first page.
    has_banner
        True if every page carries a banner.

    Returns
    -------
    tuple[SlatePage, ...]
        The pages, deepest first.

    Raises
    ------
    InputError
        If the changes on the way down leave no room on the first page.
    """
    room_mm = PAGE_HEIGHT_MM - 2 * MARGIN_MM - TITLE_MM - FOOT_MM - GAS_STRIP_MM - HEAD_MM
    if has_banner:
        room_mm -= BANNER_MM
    first_room_mm = room_mm - CHANGE_MM * len(rows.down)
    if gauges:
        first_room_mm -= GAUGE_HEAD_MM + gauges * GAUGE_MM
    bundles = _bundles(_joined(rows.lines))
    if first_room_mm < _height_mm(bundles[0]):
        raise InputError(
            f"{len(rows.down)} changes of gas on the way down and {gauges} gauges do not fit on "
            "the front of a slate",
            right="fewer travel gases, or a slate for each diver",
        )
    ends = _page_ends(bundles, first_room_mm, room_mm)
    pages: list[SlatePage] = []
    gas = rows.down[-1].gas if rows.down else rows.start_gas
    setpoint_bar = rows.down[-1].setpoint_bar if rows.down else rows.start_setpoint_bar
    start = 0
    for number, end in enumerate(ends, start=1):
        lines = tuple(line for bundle in bundles[start:end] for line in bundle)
        pages.append(
            SlatePage(
                number=number,
                of=len(ends),
                begins_on=rows.start_gas if number == 1 else gas,
                begins_at_bar=rows.start_setpoint_bar if number == 1 else setpoint_bar,
                down=rows.down if number == 1 else (),
                lines=lines,
            )
        )
        gas, setpoint_bar = lines[-1].gas, lines[-1].setpoint_bar
        start = end
    return tuple(pages)


def _joined(lines: Sequence[Line]) -> list[Line]:
    """Put changes to and from a break into the row that follows at the same depth."""
    joined: list[Line] = []
    for line in lines:
        change = joined[-1] if joined else None
        if (
            isinstance(line, SlateRow)
            and line.kind is RowKind.STOP
            and isinstance(change, GasChange)
            and change.kind in _WITHIN_A_ROW
            and (change.depth_m, change.gas) == (line.depth_m, line.gas)
        ):
            joined[-1] = replace(line, begins=change.kind)
        else:
            joined.append(line)
    return joined


def _bundles(lines: Sequence[Line]) -> list[tuple[Line, ...]]:
    """Bind each change to the row that follows it: a change is never the last thing on a page."""
    bundles: list[tuple[Line, ...]] = []
    waiting: tuple[Line, ...] = ()
    for line in lines:
        waiting = (*waiting, line)
        if isinstance(line, SlateRow):
            bundles.append(waiting)
            waiting = ()
    return bundles


def _height_mm(bundle: Sequence[Line]) -> float:
    return sum(ROW_MM if isinstance(line, SlateRow) else CHANGE_MM for line in bundle)


def _changes(line: Line) -> bool:
    return isinstance(line, GasChange) or line.begins is not None


def _page_ends(
    bundles: Sequence[Sequence[Line]], first_room_mm: float, room_mm: float
) -> tuple[int, ...]:
    """Return where pages end: fewest pages first, then fewest breaks within one gas."""
    heights_mm = [_height_mm(bundle) for bundle in bundles]

    @cache
    def best(start: int) -> tuple[int, int, tuple[int, ...]]:
        if start == len(bundles):
            return (0, 0, ())
        found: tuple[int, int, tuple[int, ...]] | None = None
        left_mm = room_mm if start else first_room_mm
        for end in range(start + 1, len(bundles) + 1):
            left_mm -= heights_mm[end - 1]
            if left_mm < 0.0:
                break
            if end < len(bundles) and left_mm < TURN_MM:
                continue
            pages, torn, ends = best(end)
            tears = end < len(bundles) and not _changes(bundles[end][0])
            candidate = (pages + 1, torn + tears, (end, *ends))
            # of equals the later break wins, so that early pages are full
            if found is None or candidate[:2] <= found[:2]:
                found = candidate
        if found is None:  # a bundle higher than a page: several changes in one place
            raise InputError(
                "too many changes of gas in one place for a slate", right="fewer changes of gas"
            )
        return found

    return best(0)[2]
