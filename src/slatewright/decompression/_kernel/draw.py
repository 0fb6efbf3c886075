"""Gas drawn from the cylinders of a team along many ascents."""

from __future__ import annotations

from typing import Final

from slatewright.decompression._kernel.compiler import compiled
from slatewright.decompression._kernel.layout import BOTTOM, F64, I64

HELD_AT_DEPTH: Final = 6
HELD_AT_STOP: Final = 7
TOO_LITTLE_MOL: Final = 1e-9
NEED: Final = 0
REST: Final = 1


@compiled
def share_rest(
    cell: int, diver: int, gas: int, end_min: float, left: F64, last_min: F64, work: F64
) -> float:
    """Take what a diver still needs from the others, in proportion to what they have; in place.

    Returns what nobody has [mol].
    """
    total = 0.0
    for other in range(left.shape[1]):
        if other != diver:
            total += left[cell, other, gas]
    rest = work[REST, diver]
    given = min(rest, total)
    if given > 0.0:
        for other in range(left.shape[1]):
            if other != diver and left[cell, other, gas] > 0.0:
                has = left[cell, other, gas]
                left[cell, other, gas] = has - given * has / total if given < total else 0.0
                last_min[cell, other, gas] = end_min
    return float(rest - given)


@compiled
def draw_leg(
    cell: int, per_rmv_mol: float, way: int, gas: int, others: int, end_min: float,
    rmv: F64, stressed: F64, left: F64, breathed: F64, lacking: F64, last_min: F64, work: F64,
) -> float:  # fmt: skip
    """Charge one leg of one cell, in place; returns the share of a need that is met, 1 if all are.

    per_rmv_mol : what an RMV of 1 L/min breathes in it [mol]
    """
    divers = left.shape[1]
    ending = 0.0
    for diver in range(divers):
        want = per_rmv_mol * rmv[cell, diver, way]
        own = left[cell, diver, gas if diver == 0 else others]
        if want > own and divers > 1:
            ending = max(ending, 1.0 - own / want)
        work[NEED, diver] = want
    for diver in range(divers):
        taken = gas if diver == 0 else others
        need = work[NEED, diver]
        if ending > 0.0:
            need += ending * max(per_rmv_mol * stressed[cell, diver] - need, 0.0)
        drawn = min(need, left[cell, diver, taken])
        left[cell, diver, taken] -= drawn
        breathed[cell, diver, taken] += need
        if drawn > 0.0:
            last_min[cell, diver, taken] = end_min
        work[NEED, diver] = need
        work[REST, diver] = need - drawn
    met = 1.0
    for diver in range(divers):
        if work[REST, diver] > 0.0:
            taken = gas if diver == 0 else others
            lack = share_rest(cell, diver, taken, end_min, left, last_min, work)
            lacking[cell, taken] += lack
            if lack > TOO_LITTLE_MOL:
                met = min(met, 1.0 - lack / work[NEED, diver])
                work[REST, divers] = taken
    return met


@compiled
def draw_many(
    legs: F64, count: I64, others: I64, held: I64, track: I64, rmv: F64, stressed: F64,
    mol_per_l_bar: float, surface_bar: float, bar_per_m: float,
    left: F64, breathed: F64, lacking: F64, last_min: F64, out_leg: I64, out_share: F64,
    out_gas: I64, work: F64, first: int, last: int,
) -> None:  # fmt: skip
    """Charge cells first .. last - 1 of n, in place.

    legs : (tracks, most, 6), kind, from and to [m], start, minutes, gas; count, held : (tracks,)
    others : (tracks, most), the gas of those alongside
    track : (n,); rmv : (n, divers, 8), by kind of leg, then held at depth and at a stop
    stressed : (n, divers); left, breathed, last_min : (n, divers, gases); lacking : (n, gases)
    out_leg, out_share, out_gas : (n,), the first leg with too little, the share of the need that is
    met there, and the gas; -1 for none
    work : (2, divers + 1), scratch
    """
    for cell in range(first, last):
        row = track[cell]
        for number in range(count[row]):
            way = int(legs[row, number, 0])
            if number == 0 and held[row] > 0:
                way = HELD_AT_DEPTH if way == BOTTOM else HELD_AT_STOP
            mean_m = 0.5 * (legs[row, number, 1] + legs[row, number, 2])
            minutes = legs[row, number, 4]
            per_rmv_mol = minutes * (surface_bar + mean_m * bar_per_m) * mol_per_l_bar
            met = draw_leg(
                cell, per_rmv_mol, way, int(legs[row, number, 5]), others[row, number],
                legs[row, number, 3] + minutes,
                rmv, stressed, left, breathed, lacking, last_min, work,
            )  # fmt: skip
            if met < 1.0 and out_leg[cell] < 0:
                out_leg[cell] = number
                out_share[cell] = met
                out_gas[cell] = int(work[REST, work.shape[1] - 1])
