"""What the search for ways home works on: groups of arrays, each with its shapes.

A moment is a whole minute of a dive from which an ascent may begin; a loss is what one failure
leaves to each diver; a set is the gases at hand under one reading of their limits, with the ladder
that they make; a way is a pair of sets. A cell is a loss at a moment, number loss * moments of a
dive + minute. The kernel knows no rule behind any of them. Truths are 0 and 1.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from slatewright.decompression._kernel.layout import F64, I64

NO_WAY: Final = 0
HOME: Final = 1

# numbers of told
SURFACED_MIN: Final = 0
OVER_BAR: Final = 1
UNDER_BAR: Final = 2
LACKING_MOL: Final = 3
TOLD_SIZE: Final = 4


class Moments(NamedTuple):
    """Where ascents begin: m moments, those of one dive after the other.

    depth_m, minute : (m,); level, mouth, at_depth : (m,), the level at or above, the gas in the
    mouth, whether the last stay lasts; first_stop : (m,), level of the first stop where it has been
    reached, else 0; tension_bar : (m, 32); over_bar, under_bar : (m, gases), by how much a gas is
    beyond its limits if an ascent begins on it
    """

    depth_m: F64
    minute: F64
    level: I64
    mouth: I64
    at_depth: I64
    first_stop: I64
    tension_bar: F64
    over_bar: F64
    under_bar: F64


class Losses(NamedTuple):
    """What t losses leave.

    first_moment : (t,), where the moments of its dive begin; slow : (t,), whether the ascent is;
    hold_min : (t,), minutes held before the ascent; available_mol : (t, minutes, divers, gases),
    the diver whose ascent it is first; rmv_l_per_min : (t, divers, 8); stressed_l_per_min :
    (t, divers)
    """

    first_moment: I64
    slow: I64
    hold_min: F64
    available_mol: F64
    rmv_l_per_min: F64
    stressed_l_per_min: F64


class Sets(NamedTuple):
    """s sets of gases.

    rungs : (s, 2, levels), the ladder; filled : (s, levels), the gas of each level, of the next
    deeper one if there is none; has : (s, gases); without : (s, gases), the set without a gas;
    leads_up : (s, levels); over_bar, under_bar : (s, levels), by how much an ascent from a level
    goes beyond limits; start_gas : (s, m), what is breathed first, -1 for nothing
    """

    rungs: I64
    filled: I64
    has: I64
    without: I64
    leads_up: I64
    over_bar: F64
    under_bar: F64
    start_gas: I64


class Tries(NamedTuple):
    """w ways, and which of them are tried from c cells.

    first, last : (c,), the rows of a cell's ways, last excluded; raised : (c,), how far gradient
    factors are raised from there for hurried ways
    number : (w,), how the way is called; own, others : (w,), the sets of the diver whose ascent it
    is, and of those alongside; in_turn : (w,), whether a gas that runs out is left for the next
    one; hurried : (w,), whether gradient factors are raised; within : (w,), whether limits must be
    kept; counts : (w,), whether what it lacks is noted; untouched : (w, gases), what the diver
    leaves alone
    """

    first: I64
    last: I64
    raised: F64
    number: I64
    own: I64
    others: I64
    in_turn: I64
    hurried: I64
    within: I64
    counts: I64
    untouched: I64


class Rules(NamedTuple):
    """What all ascents have in common.

    table, setup : (2 k, rows, 32) and (2 k, SETUP_SIZE), for the last levels 0 to k - 1 at planned
    rates, then at slow ones
    """

    table: F64
    setup: F64
    last_level: int
    step_m: float
    low: float
    high: float
    switch_min: float
    surface_bar: float
    bar_per_m: float
    mol_per_l_bar: float


class Outcomes(NamedTuple):
    """What was found for c cells, in place.

    home : (c,), NO_WAY or HOME; way : (c,), the way taken, or that which lacks the least; told :
    (c, TOLD_SIZE), of this way; raised : (c,), how far gradient factors are; left_mol,
    breathed_mol, last_min : (c, divers, gases), last_min -1 where nothing was drawn; lacking_mol,
    tight : (c, gases), what the way lacks that lacks the least, and gases that were lacking or
    shared on any way; imbalance_mol : (c,), the most by which gas breathed and drawn differed
    """

    home: I64
    way: I64
    told: F64
    raised: F64
    left_mol: F64
    breathed_mol: F64
    last_min: F64
    lacking_mol: F64
    tight: I64
    imbalance_mol: F64


class Desk(NamedTuple):
    """Scratch of one thread.

    work, clock, legs : as in `layout`; planned : (most legs, 5); others : (most legs,), the gas of
    those alongside; left, breathed, last_min : (divers, gases); lacking : (gases,); load :
    (2, divers + 1); tight : (gases,); told : (TOLD_SIZE,)
    """

    work: F64
    clock: F64
    legs: F64
    planned: F64
    others: I64
    left: F64
    breathed: F64
    last_min: F64
    lacking: F64
    load: F64
    tight: I64
    told: F64
