"""The lines of the schedule on a screen: those of the slate, with the way between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.paper.reading import minutes_up
from slatewright.paper.slate_rows import (
    SETPOINT_VERB,
    ChangeKind,
    GasChange,
    RowKind,
    SlateRow,
    slate_rows,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from slatewright.dive.hazard import Hazard
    from slatewright.dive.schedule import Schedule
    from slatewright.physics.mixture import Mixture

_SAME_M: Final = 0.05
_SAME_MIN: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Row:
    """A line of times.

    Parameters
    ----------
    act
        What the diver does there, in a word.
    leave_min
        Run time at which the depth is left, whole [min].
    depth_m
        Depth [m].
    stop_min
        Whole minutes from arrival to leaving [min]; None at a level and at the surface.
    gas
        What is breathed, after a change if there is one.
    ppo2_bar
        Its ppO2 there [bar].
    setpoint_bar
        On a closed circuit the setpoint, ``gas`` being the diluent; None on open circuit [bar].
    """

    act: str
    leave_min: int
    depth_m: float
    stop_min: int | None
    gas: Mixture
    ppo2_bar: float
    setpoint_bar: float | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """A change of gas, or of the setpoint of a closed circuit.

    Parameters
    ----------
    verb
        In the words of the slate.
    depth_m
        Where [m].
    gas
        The gas from here on.
    setpoint_bar
        The setpoint from here on, ``gas`` being the diluent; None on open circuit [bar].
    """

    verb: str
    depth_m: float
    gas: Mixture
    setpoint_bar: float | None = None


@dataclass(frozen=True, slots=True)
class Way:
    """A way down or up that is longer than from one stop to the next.

    Parameters
    ----------
    act
        ``descend`` or ``ascend``.
    rate_m_per_min
        How fast [m/min].
    """

    act: str
    rate_m_per_min: float


Line = Row | Change | Way

_VERBS: Final = {
    ChangeKind.DOWN: "CHANGE TO",
    ChangeKind.BOTTOM: "CHANGE TO",
    ChangeKind.UP: "CHANGE TO",
    ChangeKind.BREAK: "BREAK ON",
    ChangeKind.BACK: "BACK TO",
}


def dive_lines(dive: Schedule) -> tuple[Line, ...]:
    """Return the lines of a dive in order of time.

    Parameters
    ----------
    dive
        The finished dive.

    Returns
    -------
    tuple
        From the surface to the surface; times and depths are those of the slate.
    """
    return tuple(_lines(dive))


def first_stop_m(dive: Schedule) -> float | None:
    """Return the depth of the first stop that takes time [m]; None if there is none.

    The level at which the line begins (``first_stop_m`` of the document) may be passed without a
    minute's stop, where the ascent from there on is slower.

    Parameters
    ----------
    dive
        The finished dive.
    """
    rows = slate_rows(dive.legs).rows
    return next((row.depth_m for row in rows if row.kind is RowKind.STOP), None)


def _lines(dive: Schedule) -> Iterator[Line]:
    rows = slate_rows(dive.legs)
    ways = [leg for leg in dive.legs if leg.from_m != leg.to_m]
    yield _row(dive, "surface", 0, 0.0, None, rows.start_gas, rows.start_setpoint_bar)
    yield _way(ways[0])
    for change in rows.down:
        yield _change(change)
        for leg in _changing(dive.legs, change.depth_m):
            stop_min = minutes_up(leg.minutes)
            leave_min = minutes_up(leg.end_min)
            yield _row(
                dive, "change", leave_min, change.depth_m, stop_min, change.gas, change.setpoint_bar
            )
        onward = next(leg for leg in ways if abs(leg.from_m - change.depth_m) <= _SAME_M)
        yield _way(onward)
    pause = False
    for line in rows.lines:
        if isinstance(line, GasChange):
            pause = line.kind is ChangeKind.BREAK
            yield _change(line)
            continue
        if line.kind is RowKind.SURFACE:
            yield _way(ways[-1])
        act = "break" if pause and line.kind is RowKind.STOP else _ACTS[line.kind]
        yield _row(
            dive, act, line.until_min, line.depth_m, line.stop_min, line.gas, line.setpoint_bar
        )
        if line.kind is RowKind.LEVEL:
            yield from _onward(line, ways)


_ACTS: Final = {RowKind.LEVEL: "bottom", RowKind.STOP: "stop", RowKind.SURFACE: "surface"}


def _row(
    dive: Schedule,
    act: str,
    leave_min: int,
    depth_m: float,
    stop_min: int | None,
    gas: Mixture,
    setpoint_bar: float | None,
) -> Row:
    breathed = Leg(LegKind.STOP, depth_m, depth_m, 0.0, 0.0, gas, setpoint_bar)
    held_bar = ppo2_bar(breathed, depth_m, dive.plan.water)
    return Row(act, leave_min, depth_m, stop_min, gas, held_bar, setpoint_bar)


def _change(change: GasChange) -> Change:
    verb = _VERBS[change.kind] if change.setpoint_bar is None else SETPOINT_VERB
    return Change(verb, change.depth_m, change.gas, change.setpoint_bar)


def _changing(legs: Sequence[Leg], depth_m: float) -> Iterator[Leg]:
    """Yield the minutes of a change on the way down."""
    for leg in legs:
        if leg.kind is LegKind.BOTTOM:
            return
        if leg.switching and abs(leg.from_m - depth_m) <= _SAME_M:
            yield leg


def _onward(row: SlateRow, ways: Sequence[Leg]) -> Iterator[Way]:
    """Yield the way from a level to the next, unless it is the last, to the surface."""
    leaving = (
        leg
        for leg in ways[:-1]
        if abs(leg.from_m - row.depth_m) <= _SAME_M and leg.start_min > row.until_min - 1.0
    )
    for leg in leaving:
        yield _way(leg)
        return


def _way(leg: Leg) -> Way:
    act = "descend" if leg.to_m > leg.from_m else "ascend"
    return Way(act, abs(leg.to_m - leg.from_m) / leg.minutes)


def hazards_by_row(lines: Sequence[Line], hazards: Sequence[Hazard]) -> dict[int, tuple[int, ...]]:
    """Return which hazards belong to which line, both by position.

    Parameters
    ----------
    lines
        As `dive_lines` returns them.
    hazards
        Of the same dive.

    Returns
    -------
    dict
        Position of a `Row` to positions of hazards that are worst there. A hazard of the whole
        dive, which names no time, belongs to none.
    """
    found: dict[int, tuple[int, ...]] = {}
    for number, hazard in enumerate(hazards):
        for position, line in enumerate(lines):
            if (
                isinstance(line, Row)
                and hazard.at_min > 0.0
                and line.leave_min >= hazard.at_min - _SAME_MIN
                and abs(line.depth_m - hazard.at_m) <= _SAME_M
            ):
                found[position] = (*found.get(position, ()), number)
                break
    return found
