"""What stands on a slate, as plain data: read off finished legs, with nothing computed anew."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from slatewright.decompression.leg import LegKind
from slatewright.errors import InputError
from slatewright.paper.reading import minutes_down, minutes_up

if TYPE_CHECKING:
    from collections.abc import Sequence

    from slatewright.decompression.leg import Leg
    from slatewright.physics.mixture import Mixture

_SAME_DEPTH_M = 1e-6
SETPOINT_VERB: Final = "SET THE SETPOINT"
"""On a closed circuit a change is one of setpoint."""


class RowKind(StrEnum):
    """What a row stands for."""

    LEVEL = "level"
    STOP = "stop"
    SURFACE = "surface"


class ChangeKind(StrEnum):
    """When the gas is changed."""

    DOWN = "down"
    BOTTOM = "bottom"
    UP = "up"
    BREAK = "break"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class SlateRow:
    """One line of times.

    Parameters
    ----------
    kind
        A level, a stop, or the arrival at the surface.
    depth_m
        Depth [m].
    stop_min
        Whole minutes from arrival to leaving, rounded up [min]; None at a level and the surface.
    until_min
        Run time at which the depth is left (at the surface: reached), whole [min]. A stop is
        rounded up, so that nobody leaves early; a level is rounded so that nobody stays longer at
        the deeper of two.
    gas
        What is breathed there, after the change if there is one.
    begins
        The change that is printed within the row; None if there is none.
    setpoint_bar
        On a closed circuit the setpoint there, ``gas`` being the diluent; None on open circuit
        [bar].
    """

    kind: RowKind
    depth_m: float
    stop_min: int | None
    until_min: int
    gas: Mixture
    begins: ChangeKind | None = None
    setpoint_bar: float | None = None


@dataclass(frozen=True, slots=True)
class GasChange:
    """One change of gas, or of the setpoint of a closed circuit.

    Parameters
    ----------
    kind
        On the way down, at the bottom, on the way up, to a break, or back from it.
    depth_m
        Where it is made [m].
    gas
        The gas from here on.
    setpoint_bar
        The setpoint from here on, ``gas`` being the diluent; None on open circuit [bar].
    """

    kind: ChangeKind
    depth_m: float
    gas: Mixture
    setpoint_bar: float | None = None


@dataclass(frozen=True, slots=True)
class SlateRows:
    """The body of a slate.

    Parameters
    ----------
    start_gas
        The gas on leaving the surface.
    down
        Changes on the way down, in order.
    lines
        Rows and changes from the first level to the surface, in order of time.
    start_setpoint_bar
        The setpoint on leaving the surface; None on open circuit [bar].
    """

    start_gas: Mixture
    down: tuple[GasChange, ...]
    lines: tuple[SlateRow | GasChange, ...]
    start_setpoint_bar: float | None = None

    @property
    def rows(self) -> tuple[SlateRow, ...]:
        """The lines of times alone."""
        return tuple(line for line in self.lines if isinstance(line, SlateRow))


@dataclass(frozen=True, slots=True)
class Step:
    """A leg as a diver acts on it: the minutes of a change belong to the gas changed to.

    Parameters
    ----------
    leg
        The leg.
    gas
        What the diver has changed to, or is changing to.
    pause
        True in a break from oxygen.
    level
        True at a level of the plan.
    descending
        True before the first level is reached.
    setpoint_bar
        The setpoint of a closed circuit; None on open circuit [bar].
    """

    leg: Leg
    gas: Mixture
    pause: bool
    level: bool
    descending: bool
    setpoint_bar: float | None = None

    @property
    def flat(self) -> bool:
        """True if depth does not change."""
        return abs(self.leg.from_m - self.leg.to_m) <= _SAME_DEPTH_M

    @property
    def act(self) -> tuple[Mixture, float | None, bool, bool, bool]:
        """What makes two legs one row."""
        return (self.gas, self.setpoint_bar, self.pause, self.level, self.descending)

    @property
    def breathed(self) -> tuple[Mixture, float | None]:
        """What is breathed."""
        return (self.gas, self.setpoint_bar)


def slate_rows(legs: Sequence[Leg]) -> SlateRows:
    """Read the lines of a slate off the legs of a dive.

    The minutes of a change and the stop at the same depth are one row; a change that is made
    without a stop is a change without a row.

    Parameters
    ----------
    legs
        The dive from leaving the surface to reaching it again, contiguous.

    Returns
    -------
    SlateRows
        Changes on the way down, then rows and changes in order of time.

    Raises
    ------
    InputError
        If there are no legs, or if they do not lead from the surface back to it.
    """
    dive = [leg for leg in legs if leg.kind is not LegKind.SURFACE]
    _refuse_what_has_no_slate(dive)
    pieces = pieces_of(dive)
    down: list[GasChange] = []
    lines: list[SlateRow | GasChange] = []
    for index, piece in enumerate(pieces):
        first = piece[0]
        if index and first.breathed != pieces[index - 1][-1].breathed:
            kind = _change_kind(pieces[index - 1][-1], first)
            change = GasChange(kind, first.leg.from_m, first.gas, first.setpoint_bar)
            (down if first.descending else lines).append(change)
        if first.flat and not first.descending:
            lines.append(_row(piece, pieces[index + 1 :]))
    last = pieces[-1][-1]
    lines.append(
        SlateRow(
            RowKind.SURFACE,
            0.0,
            None,
            minutes_up(last.leg.end_min),
            last.gas,
            setpoint_bar=last.setpoint_bar,
        )
    )
    start = pieces[0][0]
    return SlateRows(start.gas, tuple(down), tuple(lines), start.setpoint_bar)


def pieces_of(legs: Sequence[Leg]) -> list[list[Step]]:
    """Put the legs that make one row together; each transit is a piece of its own.

    Parameters
    ----------
    legs
        The dive, contiguous.

    Returns
    -------
    list[list[Step]]
        In order of time.
    """
    return _pieces(_steps([leg for leg in legs if leg.kind is not LegKind.SURFACE]))


def is_stop(piece: Sequence[Step]) -> bool:
    """Tell whether a piece is a stop of the ascent.

    Parameters
    ----------
    piece
        Legs that make one row.

    Returns
    -------
    bool
        False for transits, levels, and changes of gas on the way down.
    """
    return piece[0].flat and not piece[0].descending and not piece[-1].level


def level_until_min(piece: Sequence[Step], after: Sequence[Sequence[Step]]) -> int:
    """Return the printed run time at which a level is left.

    Parameters
    ----------
    piece
        The legs of the level.
    after
        What follows.

    Returns
    -------
    int
        Whole minutes, rounded so that nobody stays longer at the deeper of two levels [min].
    """
    depth_m, end_min = piece[-1].leg.to_m, piece[-1].leg.end_min
    next_m = next((other[0].leg.to_m for other in after if not other[0].flat), 0.0)
    return minutes_up(end_min) if next_m > depth_m else minutes_down(end_min)


def _refuse_what_has_no_slate(dive: Sequence[Leg]) -> None:
    """Raise if these legs are no dive from the surface and back."""
    if not dive:
        raise InputError("a dive without legs has no slate", right="the legs of a schedule")
    ends = (dive[0].from_m, dive[-1].to_m)
    if max(abs(depth_m) for depth_m in ends) > _SAME_DEPTH_M:
        raise InputError(
            f"the legs lead from {ends[0]:g} m to {ends[1]:g} m",
            right="legs that leave the surface and come back to it",
        )
    for one, next_one in pairwise(dive):
        if (
            abs(one.to_m - next_one.from_m) > _SAME_DEPTH_M
            or abs(one.end_min - next_one.start_min) > _SAME_DEPTH_M
        ):
            raise InputError(
                f"there is a gap between the legs at run time {one.end_min:g} min",
                right="legs that follow one another in time and depth",
            )


def _steps(dive: Sequence[Leg]) -> list[Step]:
    """Read each leg from the end backwards, since a change belongs to what follows it."""
    steps: list[Step] = []
    settled: Step | None = None
    for leg in reversed(dive):
        level = leg.kind is LegKind.BOTTOM
        step = Step(leg, leg.gas, leg.pause, level, False, leg.setpoint_bar)
        if leg.switching and settled is not None:
            level = settled.level and settled.flat and _same_place(leg, settled.leg)
            step = replace(step, gas=settled.gas, pause=settled.pause, level=level,
                           setpoint_bar=settled.setpoint_bar)  # fmt: skip
        if not leg.switching:
            settled = step
        steps.append(step)
    steps.reverse()
    bottom = next((i for i, step in enumerate(steps) if step.level), len(steps))
    return [replace(step, descending=True) if i < bottom else step for i, step in enumerate(steps)]


def _same_place(leg: Leg, other: Leg) -> bool:
    depths = (leg.from_m, leg.to_m, other.from_m)
    return max(depths) - min(depths) <= _SAME_DEPTH_M


def _pieces(steps: Sequence[Step]) -> list[list[Step]]:
    """Put the steps that make one row together; each transit is a piece of its own."""
    pieces: list[list[Step]] = []
    for step in steps:
        before = pieces[-1][-1] if pieces else None
        if before is not None and before.flat and step.flat and before.act == step.act:
            pieces[-1].append(step)
        else:
            pieces.append([step])
    return pieces


def _change_kind(before: Step, first: Step) -> ChangeKind:
    if first.descending:
        return ChangeKind.DOWN
    if first.pause:
        return ChangeKind.BREAK
    if before.pause:
        return ChangeKind.BACK
    return ChangeKind.BOTTOM if first.level else ChangeKind.UP


def _row(piece: Sequence[Step], after: Sequence[Sequence[Step]]) -> SlateRow:
    first, last = piece[0], piece[-1]
    depth_m, end_min = last.leg.to_m, last.leg.end_min
    if last.level:
        until_min = level_until_min(piece, after)
        return SlateRow(
            RowKind.LEVEL, depth_m, None, until_min, last.gas, setpoint_bar=last.setpoint_bar
        )
    stop_min, until_min = minutes_up(end_min - first.leg.start_min), minutes_up(end_min)
    return SlateRow(
        RowKind.STOP, depth_m, stop_min, until_min, last.gas, setpoint_bar=last.setpoint_bar
    )
