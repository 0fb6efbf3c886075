"""Tensions along finished legs by plain numerical integration, for the second check alone.

Classical Runge-Kutta of fourth order with a fixed step on dp/dt = k (p_insp - p). The closed form
that the solver uses is not used here, and nothing of the solver is imported: what both agree on,
they found by different ways.

The equation is linear, so a Runge-Kutta step turns a tension p into transfer * p + gain, with the
same transfer at each step of a piece. All pieces of a dive are therefore integrated side by side,
once from 1 without gas and once from 0 with it, and joined afterwards: the same steps as one after
the other, at a fraction of the time. The step is at most 1/64 min; its error, measured against an
adaptive solver of eighth order, is below 1e-9 bar.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from slatewright.decompression.leg import LegKind
from slatewright.decompression.tissues import WATER_VAPOUR_BAR

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from slatewright.decompression.coefficients import Coefficients
    from slatewright.decompression.leg import Leg
    from slatewright.decompression.tissues import Tissues
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.water import Water

F64 = npt.NDArray[np.float64]
I64 = npt.NDArray[np.int64]

PIECE_MIN: Final = 1.0
STEPS_PER_PIECE: Final = 64
_SAME: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Track:
    """Where a diver was and what the compartments held, at every mark of a dive.

    Marks are the start, every level that an ascent reaches, at least one a minute, and every end
    of a leg.

    Parameters
    ----------
    time_min
        Shape (marks,): time since the start of the first leg [min].
    depth_m
        Shape (marks,): depth [m].
    tension_bar
        Shape (marks, 32): nitrogen of the sixteen compartments, then helium [bar].
    leg
        Shape (marks,): index of the leg that ends or runs there; 0 at the start.
    leg_end
        Shape (legs,): index of the mark at which each leg ends.
    """

    time_min: F64
    depth_m: F64
    tension_bar: F64
    leg: I64
    leg_end: I64


class _Piece(NamedTuple):
    """A stretch of a leg in which both inspired pressures are linear in time."""

    minutes: float
    from_bar: float
    to_bar: float
    gas: Mixture
    setpoint_bar: float | None


def track(
    legs: Sequence[Leg],
    water: Water,
    start: Tissues,
    coefficients: Coefficients,
    *,
    step_m: float,
    breaks_count: bool = True,
) -> Track:
    """Integrate the tensions along finished legs.

    Parameters
    ----------
    legs
        In the order of time; gaps are not looked for here.
    water
        Surface pressure and weight of the water.
    start
        Tensions at the start of the first leg.
    coefficients
        Half-times are read from it.
    step_m
        Distance between levels; ascents get a mark at each [m].
    breaks_count
        False if no tension falls during a break from oxygen.

    Returns
    -------
    Track
        Tensions at every mark.
    """
    half_time_min = np.array(coefficients.n2_half_time_min + coefficients.he_half_time_min)
    index_of: dict[_Piece, int] = {}
    order: list[tuple[int, float, float, int]] = []
    for number, leg in enumerate(legs):
        for low, high in _cuts(leg, water, step_m):
            piece = _piece(leg, water, low, high)
            index = index_of.setdefault(piece, len(index_of))
            depth_m = leg.from_m + (leg.to_m - leg.from_m) * high
            order.append((index, piece.minutes, depth_m, number))
    transfer, gain = _integrate(list(index_of), math.log(2.0) / half_time_min)
    tension = np.array(start.n2_bar + start.he_bar)
    tensions = np.empty((len(order) + 1, tension.size))
    tensions[0] = tension
    for mark, (index, _, _, number) in enumerate(order, start=1):
        after = transfer[index] * tension + gain[index]
        if legs[number].pause and not breaks_count:
            after = np.maximum(after, tension)
        tensions[mark] = tension = after
    numbers = np.array([0, *(entry[3] for entry in order)], dtype=np.int64)
    return Track(
        time_min=np.concatenate([[0.0], np.cumsum([entry[1] for entry in order])]),
        depth_m=np.array([legs[0].from_m, *(entry[2] for entry in order)]),
        tension_bar=tensions,
        leg=numbers,
        leg_end=np.searchsorted(numbers, np.arange(len(legs)), side="right") - 1,
    )


def loop_ppo2_bar(ambient_bar: float, gas: Mixture, setpoint_bar: float | None) -> float:
    """Return the ppO2 of what is breathed.

    Parameters
    ----------
    ambient_bar
        Ambient pressure [bar].
    gas
        What is breathed, or the diluent.
    setpoint_bar
        What a closed circuit keeps, as far as ambient pressure and diluent allow; None on open
        circuit [bar].
    """
    as_mixed_bar = gas.o2 * ambient_bar
    if setpoint_bar is None:
        return as_mixed_bar
    return max(as_mixed_bar, min(setpoint_bar, ambient_bar))


def _cuts(leg: Leg, water: Water, step_m: float) -> Iterator[tuple[float, float]]:
    """Yield the shares of a leg at which its pieces begin and end."""
    corners = {0.0, 1.0}
    change_m = leg.to_m - leg.from_m
    if change_m:
        depths_m = _setpoint_corners_m(leg, water)
        if leg.kind is LegKind.ASCENT:
            deepest = math.floor(leg.from_m / step_m)
            depths_m += [level * step_m for level in range(deepest + 1)]
        corners |= {(depth_m - leg.from_m) / change_m for depth_m in depths_m}
    inside = [share for share in sorted(corners) if 1e-9 < share < 1.0 - 1e-9]
    shares = [0.0, *inside, 1.0]
    for low, high in pairwise(shares):
        parts = max(1, math.ceil((high - low) * leg.minutes / PIECE_MIN - 1e-9))
        marks = [low + (high - low) * part / parts for part in range(parts)]
        yield from pairwise([*marks, high])


def _setpoint_corners_m(leg: Leg, water: Water) -> list[float]:
    """Return the depths at which the inspired pressure of a closed circuit has a corner."""
    if leg.setpoint_bar is None:
        return []
    corners_bar = (
        leg.setpoint_bar + WATER_VAPOUR_BAR,
        leg.setpoint_bar / leg.gas.o2 + WATER_VAPOUR_BAR,
    )
    return [(bar - water.surface_bar) / water.bar_per_m for bar in corners_bar]


def _piece(leg: Leg, water: Water, low: float, high: float) -> _Piece:
    """Return the piece between two shares of a leg; equal ones compare equal."""
    from_m = leg.from_m + (leg.to_m - leg.from_m) * low
    to_m = leg.from_m + (leg.to_m - leg.from_m) * high
    return _Piece(
        # twelve digits: parts of one stop that differ by rounding only are integrated once
        minutes=round((high - low) * leg.minutes, 12),
        from_bar=water.surface_bar + water.bar_per_m * from_m,
        to_bar=water.surface_bar + water.bar_per_m * to_m,
        gas=leg.gas,
        setpoint_bar=leg.setpoint_bar,
    )


def _inspired_bar(piece: _Piece, ambient_bar: float) -> tuple[float, float]:
    """Return the inspired pressures of nitrogen and helium.

    A closed circuit takes its setpoint out of the dry ambient pressure; what is left is inert, in
    the diluent's proportion, and never more than the diluent itself would bring.
    """
    dry_bar = ambient_bar - WATER_VAPOUR_BAR
    inert = piece.gas.n2 + piece.gas.he
    if inert < _SAME:
        return 0.0, 0.0
    inert_bar = dry_bar * inert
    if piece.setpoint_bar is not None:
        inert_bar = max(0.0, min(inert_bar, dry_bar - piece.setpoint_bar))
    return inert_bar * piece.gas.n2 / inert, inert_bar * piece.gas.he / inert


def _integrate(pieces: Sequence[_Piece], rate_per_min: F64) -> tuple[F64, F64]:
    """Return transfer and gain of each piece, shape (pieces, 32) each.

    One Runge-Kutta step is a weighted sum of the tension at its start and of the inspired pressure
    at its start, middle and end. The weights follow from taking the step with 1 for one of the four
    and 0 for the others; with them the steps of a piece are taken one after the other.
    """
    half = rate_per_min.size // 2
    first, last = (
        np.repeat([_inspired_bar(p, end) for p, end in ends], half, axis=1)
        for ends in ([(p, p.from_bar) for p in pieces], [(p, p.to_bar) for p in pieces])
    )
    step_min = np.array([piece.minutes for piece in pieces])[:, None] / STEPS_PER_PIECE
    kept, of_start, of_middle, of_end = (
        _runge_kutta_step(unit, rate_per_min, step_min) for unit in np.eye(4)
    )
    half_step = (last - first) / (2 * STEPS_PER_PIECE)
    added = of_start * first + of_middle * (first + half_step) + of_end * (first + 2.0 * half_step)
    added_more = 2.0 * half_step * (of_start + of_middle + of_end)
    transfer, gain = np.ones_like(first), np.zeros_like(first)
    for _ in range(STEPS_PER_PIECE):
        transfer *= kept
        gain *= kept
        gain += added
        added += added_more
    return transfer, gain


def _runge_kutta_step(at_bar: F64, rate_per_min: F64, step_min: F64) -> F64:
    """Return the tension after one classical step of dp/dt = k (p_insp - p), shape (pieces, 32).

    at_bar : tension at the start, inspired pressure at the start, in the middle and at the end
    """
    tension_bar, start_bar, middle_bar, end_bar = at_bar.tolist()
    k1 = rate_per_min * (start_bar - tension_bar)
    k2 = rate_per_min * (middle_bar - (tension_bar + 0.5 * step_min * k1))
    k3 = rate_per_min * (middle_bar - (tension_bar + 0.5 * step_min * k2))
    k4 = rate_per_min * (end_bar - (tension_bar + step_min * k3))
    after: F64 = tension_bar + step_min / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
    return after
