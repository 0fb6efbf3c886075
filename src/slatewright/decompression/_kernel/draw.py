"""Gas drawn from the cylinders of a team along ascents."""

from __future__ import annotations

from typing import Final

from slatewright.decompression._kernel.compiler import compiled, merged
from slatewright.decompression._kernel.layout import BOTTOM, F64, I64

HELD_AT_DEPTH: Final = 6
HELD_AT_STOP: Final = 7
TOO_LITTLE_MOL: Final = 1e-9
NEVER_MIN: Final = -1.0
NEED: Final = 0
REST: Final = 1


@merged
def share_rest(diver: int, gas: int, end_min: float, left: F64, last_min: F64, load: F64) -> float:
    """Take what a diver still needs from the others, in proportion to what they have; in place.

    Returns what nobody has [mol].
    """
    total = 0.0
    for other in range(left.shape[0]):
        if other != diver:
            total += left[other, gas]
    rest = load[REST, diver]
    given = min(rest, total)
    if given > 0.0:
        for other in range(left.shape[0]):
            if other != diver and left[other, gas] > 0.0:
                has = left[other, gas]
                left[other, gas] = has - given * has / total if given < total else 0.0
                last_min[other, gas] = end_min
    return float(rest - given)


@merged
def draw_leg(
    per_rmv_mol: float, way: int, gas: int, others: int, end_min: float,
    rmv: F64, stressed: F64, left: F64, breathed: F64, lacking: F64, last_min: F64, load: F64,
) -> float:  # fmt: skip
    """Charge one leg, in place; returns the share of a need that is met, 1 if all are.

    per_rmv_mol : what an RMV of 1 L/min breathes in it [mol]; the rest as for `draw_track`
    """
    divers = left.shape[0]
    ending = 0.0
    for diver in range(divers):
        want = per_rmv_mol * rmv[diver, way]
        own = left[diver, gas if diver == 0 else others]
        if want > own and divers > 1:
            ending = max(ending, 1.0 - own / want)
        load[NEED, diver] = want
    for diver in range(divers):
        taken = gas if diver == 0 else others
        need = load[NEED, diver]
        if ending > 0.0:
            need += ending * max(per_rmv_mol * stressed[diver] - need, 0.0)
        drawn = min(need, left[diver, taken])
        left[diver, taken] -= drawn
        breathed[diver, taken] += need
        if drawn > 0.0:
            last_min[diver, taken] = end_min
        load[NEED, diver] = need
        load[REST, diver] = need - drawn
    met = 1.0
    for diver in range(divers):
        if load[REST, diver] > 0.0:
            taken = gas if diver == 0 else others
            lack = share_rest(diver, taken, end_min, left, last_min, load)
            lacking[taken] += lack
            if lack > TOO_LITTLE_MOL:
                met = min(met, 1.0 - lack / load[NEED, diver])
                load[REST, divers] = taken
    return met


@compiled
def draw_track(
    legs: F64, count: int, others: I64, held: int, rmv: F64, stressed: F64,
    mol_per_l_bar: float, surface_bar: float, bar_per_m: float,
    left: F64, breathed: F64, lacking: F64, last_min: F64, load: F64,
) -> tuple[int, float, int]:  # fmt: skip
    """Charge one ascent to a team, in place.

    legs : (most, 6), kind, from and to [m], start, minutes, gas, of which `count` are filled;
    others : (most,), the gas of those alongside; held : 1 if the first leg is a time held
    rmv : (divers, 8), by kind of leg, then held at depth and at a stop; stressed : (divers,)
    left, breathed, last_min : (divers, gases); lacking : (gases,); load : (2, divers + 1), scratch

    Returns the first leg with too little, the share of the need that is met there, and the gas: -1,
    1 and -1 if there is none.
    """
    out_leg = -1
    out_share = 1.0
    out_gas = -1
    for number in range(count):
        way = int(legs[number, 0])
        if number == 0 and held > 0:
            way = HELD_AT_DEPTH if way == BOTTOM else HELD_AT_STOP
        mean_m = 0.5 * (legs[number, 1] + legs[number, 2])
        minutes = legs[number, 4]
        per_rmv_mol = minutes * (surface_bar + mean_m * bar_per_m) * mol_per_l_bar
        met = draw_leg(
            per_rmv_mol, way, int(legs[number, 5]), others[number], legs[number, 3] + minutes,
            rmv, stressed, left, breathed, lacking, last_min, load,
        )  # fmt: skip
        if met < 1.0 and out_leg < 0:
            out_leg = number
            out_share = met
            out_gas = int(load[REST, load.shape[1] - 1])
    return out_leg, out_share, out_gas


@compiled
def draw_many(
    legs: F64, count: I64, others: I64, held: I64, track: I64, rmv: F64, stressed: F64,
    mol_per_l_bar: float, surface_bar: float, bar_per_m: float,
    left: F64, breathed: F64, lacking: F64, last_min: F64, out_leg: I64, out_share: F64,
    out_gas: I64, load: F64,
) -> None:  # fmt: skip
    """Charge n cells, in place: `draw_track` with one row more for each.

    legs, others : (tracks, ...); count, held : (tracks,); track : (n,), which one a cell follows
    """
    for cell in range(track.shape[0]):
        row = track[cell]
        out_leg[cell], out_share[cell], out_gas[cell] = draw_track(
            legs[row], count[row], others[row], held[row], rmv[cell], stressed[cell],
            mol_per_l_bar, surface_bar, bar_per_m,
            left[cell], breathed[cell], lacking[cell], last_min[cell], load,
        )  # fmt: skip
