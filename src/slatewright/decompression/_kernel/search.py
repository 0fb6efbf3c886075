"""The search for ways home, cell after cell: the first way that leads home is taken."""

from __future__ import annotations

from slatewright.decompression._kernel.attempt import attempt
from slatewright.decompression._kernel.compiler import compiled, merged
from slatewright.decompression._kernel.draw import TOO_LITTLE_MOL
from slatewright.decompression._kernel.layout import I64
from slatewright.decompression._kernel.supplies import (
    HOME,
    LACKING_MOL,
    OVER_BAR,
    TOLD_SIZE,
    UNDER_BAR,
    Desk,
    Losses,
    Moments,
    Outcomes,
    Rules,
    Sets,
    Tries,
)


@merged
def first_gas(row: int, moment: int, moments: Moments, sets: Sets, tries: Tries, desk: Desk) -> int:
    """Return what is breathed first on a way, -1 if it is none from here; told is set, in place.

    To leave gases that were neither too little nor shared makes the others less: only a way with
    one change of that kind is tried.
    """
    changes = 0
    for gas in range(desk.tight.shape[0]):
        if tries.untouched[row, gas] > 0 and desk.tight[gas] == 0:
            changes += 1
    own = tries.own[row]
    others = tries.others[row]
    level = moments.level[moment]
    first = sets.start_gas[own, moment]
    if changes > 1 or sets.leads_up[own, level] == 0 or first < 0:
        return -1
    desk.told[OVER_BAR] = moments.over_bar[moment, first]
    desk.told[UNDER_BAR] = moments.under_bar[moment, first]
    beyond_bar = max(
        desk.told[OVER_BAR], desk.told[UNDER_BAR],
        sets.over_bar[own, level], sets.over_bar[others, level],
        sets.under_bar[own, level], sets.under_bar[others, level],
    )  # fmt: skip
    return -1 if tries.within[row] > 0 and beyond_bar > 0.0 else first


@merged
def note_home(cell: int, way: int, raised: float, found: Outcomes, desk: Desk) -> None:
    """Note a way home, in place."""
    found.home[cell] = HOME
    found.way[cell] = way
    found.raised[cell] = raised
    for i in range(TOLD_SIZE):
        found.told[cell, i] = desk.told[i]
    for gas in range(desk.left.shape[1]):
        found.lacking_mol[cell, gas] = 0.0
        for diver in range(desk.left.shape[0]):
            found.left_mol[cell, diver, gas] = desk.left[diver, gas]
            found.breathed_mol[cell, diver, gas] = desk.breathed[diver, gas]
            found.last_min[cell, diver, gas] = desk.last_min[diver, gas]


@merged
def note_lack(
    cell: int, way: int, counts: int, losses: Losses, found: Outcomes, desk: Desk
) -> None:
    """Note which gases were tight, and what is lacking if no way lacked less, in place."""
    minutes = losses.available_mol.shape[1]
    for gas in range(desk.left.shape[1]):
        tight = desk.lacking[gas] > 0.0
        for diver in range(desk.left.shape[0]):
            has = losses.available_mol[cell // minutes, cell % minutes, diver, gas]
            shared_mol = desk.breathed[diver, gas] - (has - desk.left[diver, gas])
            tight = tight or shared_mol > TOO_LITTLE_MOL
        if tight:
            found.tight[cell, gas] = 1
    if counts > 0 and desk.told[LACKING_MOL] < found.told[cell, LACKING_MOL]:
        found.way[cell] = way
        for i in range(TOLD_SIZE):
            found.told[cell, i] = desk.told[i]
        for gas in range(desk.left.shape[1]):
            found.lacking_mol[cell, gas] = desk.lacking[gas]


@compiled
def search_cells(
    cells: I64, moments: Moments, losses: Losses, sets: Sets, tries: Tries, rules: Rules,
    found: Outcomes, desk: Desk,
) -> None:  # fmt: skip
    """Try the ways of cells, by their numbers, until one leads home; results in place."""
    minutes = losses.available_mol.shape[1]
    for cell in cells:
        moment = losses.first_moment[cell // minutes] + cell % minutes
        for gas in range(desk.tight.shape[0]):
            desk.tight[gas] = found.tight[cell, gas]
        for row in range(tries.first[cell], tries.last[cell]):
            gas = first_gas(row, moment, moments, sets, tries, desk)
            raised = tries.raised[cell] if tries.hurried[row] > 0 else 0.0
            if gas >= 0 and attempt(
                cell, tries.own[row], tries.others[row], gas, tries.in_turn[row], raised,
                moments, losses, sets, rules, found, desk,
            ):  # fmt: skip
                if desk.told[LACKING_MOL] <= TOO_LITTLE_MOL:
                    note_home(cell, tries.number[row], raised, found, desk)
                    break
                note_lack(cell, tries.number[row], tries.counts[row], losses, found, desk)
