"""Tensions at marks along finished legs."""

from __future__ import annotations

from slatewright.decompression._kernel.compiler import compiled
from slatewright.decompression._kernel.exchange import ambient_bar, load_leg
from slatewright.decompression._kernel.layout import F64, HELD, PAUSE, PAUSE_COUNTED, TENSION


@compiled
def tensions_along(
    pieces: F64, table: F64, setup: F64, work: F64, clock: F64, marked_bar: F64
) -> None:
    """Write TENSION at the end of marked pieces of a dive, in place.

    pieces : (pieces, 6), kind, from and to [levels], minutes, gas, row of its mark or -1
    marked_bar : (marks, 32), in place

    A break that is not counted lets no tension fall.
    """
    for row in range(pieces.shape[0]):
        for k in range(table.shape[1]):
            work[HELD, k] = work[TENSION, k]
        load_leg(
            ambient_bar(pieces[row, 1], setup), ambient_bar(pieces[row, 2], setup),
            pieces[row, 3], int(pieces[row, 4]), table, setup, work, clock,
        )  # fmt: skip
        if pieces[row, 0] == PAUSE and setup[PAUSE_COUNTED] == 0.0:
            for k in range(table.shape[1]):
                work[TENSION, k] = max(work[TENSION, k], work[HELD, k])
        mark = int(pieces[row, 5])
        if mark >= 0:
            for k in range(table.shape[1]):
                marked_bar[mark, k] = work[TENSION, k]
