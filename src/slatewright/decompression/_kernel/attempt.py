"""One way home from one moment: solved, charged, and gases left in turn when they run out.

The diver whose ascent it is leads: the legs are those of that diver. The others stay alongside and
breathe what they have themselves at each level; breaks from oxygen are taken together.
"""

from __future__ import annotations

import math
from typing import Final

from slatewright.decompression._kernel.compiler import merged
from slatewright.decompression._kernel.draw import NEVER_MIN, TOO_LITTLE_MOL, draw_track
from slatewright.decompression._kernel.exchange import gradient_at
from slatewright.decompression._kernel.layout import (
    BOTTOM,
    F64,
    I64,
    LEG_COUNT,
    OK,
    PAUSE,
    SAME_MINUTE,
    STOP,
    SWITCH,
    TENSION,
)
from slatewright.decompression._kernel.solve import solve
from slatewright.decompression._kernel.supplies import (
    LACKING_MOL,
    OVER_BAR,
    SURFACED_MIN,
    UNDER_BAR,
    Desk,
    Losses,
    Moments,
    Outcomes,
    Rules,
    Sets,
)

KIND: Final = 0
FROM: Final = 1
TO: Final = 2
START: Final = 3
MINUTES: Final = 4
GAS: Final = 5
NEAR: Final = 1e-6


@merged
def time_share(share: float, from_bar: float, to_bar: float) -> float:
    """Return the share of a leg's time in which a share of its gas is breathed.

    Pressure runs linearly through a leg, so that the amount is a parabola in time; its root is
    written so that a leg at one depth needs no special case. Interpreted, it takes arrays too.
    """
    part = share * (from_bar + to_bar)
    root: float = (from_bar * from_bar + part * (to_bar - from_bar)) ** 0.5
    return part / (from_bar + root)


@merged
def raised_factor(factor: float, raised: float) -> float:
    """Return a gradient factor raised by a share of its way to 1."""
    return factor + raised * (1.0 - factor)


@merged
def climb(
    planned: F64, depth_m: float, start_min: float, began_min: float, gas: int, level: int,
    first_stop: int, raised: float, slow: int, tension_bar: F64, rungs: I64, rules: Rules,
    desk: Desk,
) -> tuple[int, int, float]:  # fmt: skip
    """Solve an ascent, in place; the legs are then in metres, and count from `began_min`.

    level, first_stop : that at or above the depth, and the first stop where it has been reached
    already, else 0: its line is kept; raised factors begin from this line at the level, and find a
    first stop of their own, since their levels need not be left on whole minutes
    Returns status, first stop, and run time at the surface.
    """
    last = min(rules.last_level, int(depth_m / rules.step_m + NEAR))
    row = slow * (rules.last_level + 1) + last
    for k in range(tension_bar.shape[0]):
        desk.work[TENSION, k] = tension_bar[k]
    low = raised_factor(rules.low, raised)
    high = raised_factor(rules.high, raised)
    if raised > 0.0:
        low = gradient_at(level, first_stop, low, high)
        first_stop = 0
    status, stop, end_min = solve(
        planned, depth_m / rules.step_m, start_min, gas, first_stop,
        low, high, rungs, rules.table[row], rules.setup[row], desk.work, desk.clock, desk.legs,
    )  # fmt: skip
    if status == OK:
        for leg in range(int(desk.clock[LEG_COUNT])):
            desk.legs[leg, FROM] *= rules.step_m
            desk.legs[leg, TO] *= rules.step_m
            desk.legs[leg, START] += began_min
    return status, stop, end_min + began_min


@merged
def note_beyond(own: int, others: int, level: int, sets: Sets, desk: Desk) -> None:
    """Note by how much an ascent from a level goes beyond limits, in place."""
    over_bar = max(sets.over_bar[own, level], sets.over_bar[others, level])
    under_bar = max(sets.under_bar[own, level], sets.under_bar[others, level])
    desk.told[OVER_BAR] = max(desk.told[OVER_BAR], over_bar)
    desk.told[UNDER_BAR] = max(desk.told[UNDER_BAR], under_bar)


@merged
def gas_alongside(number: int, first: int, held: int, step_m: float, filled: I64, legs: F64) -> int:
    """Return what those alongside would breathe in a leg that is no change of gas.

    Until the first change, and while minutes are held, it is what the plan put into their mouths
    (`first`, -1 if they do not have it); in breaks, and where they have nothing, what the diver who
    leads breathes.
    """
    kind = legs[number, KIND]
    own = int(legs[number, GAS])
    if number == 0 and (held > 0 or kind == SWITCH):
        return first if first >= 0 else own
    theirs = filled[int(legs[number, FROM] / step_m + NEAR)]
    return own if kind == PAUSE or theirs < 0 else theirs


@merged
def fill_alongside(
    since: int, first: int, held: int, filled: I64, rules: Rules, desk: Desk
) -> None:
    """Write what those alongside breathe from a leg on, in place.

    While gas is changed, what they breathed before. Where the one who leads makes no stop at a
    level at which they would change gas, they change at the next stop.
    """
    for number in range(since, int(desk.clock[LEG_COUNT])):
        before = number > 0 and desk.legs[number, KIND] == SWITCH
        seen = number - 1 if before else number
        desk.others[number] = gas_alongside(seen, first, held, rules.step_m, filled, desk.legs)


@merged
def charge(
    cell: int, loss: int, minute: int, held: int, losses: Losses, rules: Rules, found: Outcomes,
    desk: Desk,
) -> tuple[float, int]:  # fmt: skip
    """Charge the legs to what is left at a minute, in place.

    Returns when a gas first was too little, at the latest, and which: infinity and -1 for none.
    """
    for gas in range(desk.left.shape[1]):
        desk.lacking[gas] = 0.0
        for diver in range(desk.left.shape[0]):
            desk.left[diver, gas] = losses.available_mol[loss, minute, diver, gas]
            desk.breathed[diver, gas] = 0.0
            desk.last_min[diver, gas] = NEVER_MIN
    leg, share, out_gas = draw_track(
        desk.legs, int(desk.clock[LEG_COUNT]), desk.others, held, losses.rmv_l_per_min[loss],
        losses.stressed_l_per_min[loss], rules.mol_per_l_bar, rules.surface_bar, rules.bar_per_m,
        desk.left, desk.breathed, desk.lacking, desk.last_min, desk.load,
    )  # fmt: skip
    total = 0.0
    for gas in range(desk.left.shape[1]):
        total += desk.lacking[gas]
        off = -desk.lacking[gas]
        for diver in range(desk.left.shape[0]):
            drawn = losses.available_mol[loss, minute, diver, gas] - desk.left[diver, gas]
            off += desk.breathed[diver, gas] - drawn
        found.imbalance_mol[cell] = max(found.imbalance_mol[cell], abs(off))
    desk.told[LACKING_MOL] = total
    if leg < 0:
        return math.inf, -1
    passed = time_share(
        share,
        rules.surface_bar + desk.legs[leg, FROM] * rules.bar_per_m,
        rules.surface_bar + desk.legs[leg, TO] * rules.bar_per_m,
    )
    return desk.legs[leg, START] + passed * desk.legs[leg, MINUTES], out_gas


@merged
def cut(leave_min: float, desk: Desk) -> int:
    """Write the legs up to a moment as planned ones, in place; return how many these are."""
    kept = 0
    for leg in range(int(desk.clock[LEG_COUNT])):
        minutes = desk.legs[leg, MINUTES]
        passed = min(max(leave_min - desk.legs[leg, START], 0.0), minutes)
        if passed > 0.0:
            to_m = desk.legs[leg, TO]
            if passed < minutes:
                from_m = desk.legs[leg, FROM]
                to_m = from_m + (to_m - from_m) * (passed / minutes)
            desk.planned[kept, 0] = desk.legs[leg, KIND]
            desk.planned[kept, 1] = desk.legs[leg, FROM]
            desk.planned[kept, 2] = to_m
            desk.planned[kept, 3] = passed
            desk.planned[kept, 4] = desk.legs[leg, GAS]
            kept += 1
    return kept


@merged
def hold(loss: int, moment: int, gas: int, moments: Moments, losses: Losses, desk: Desk) -> int:
    """Write the minutes held at a moment as a planned leg, in place; return how many legs it is."""
    if losses.hold_min[loss] == 0.0:
        return 0
    desk.planned[0, 0] = BOTTOM if moments.at_depth[moment] > 0 else STOP
    desk.planned[0, 1] = moments.depth_m[moment]
    desk.planned[0, 2] = moments.depth_m[moment]
    desk.planned[0, 3] = losses.hold_min[loss]
    desk.planned[0, 4] = gas
    return 1


@merged
def attempt(
    cell: int, own: int, others: int, gas: int, in_turn: int, raised: float,
    moments: Moments, losses: Losses, sets: Sets, rules: Rules, found: Outcomes, desk: Desk,
) -> bool:  # fmt: skip
    """Try one way from one moment, in place; return whether there is a schedule.

    own, others : the sets; gas : what is breathed first; told on the desk holds by how much the
    beginning is beyond limits, and is filled up. A gas that runs out is left, a change before it
    does, on a whole minute, for the next one at hand; a gas that ran out although it was left
    already is left earlier.
    """
    minutes = losses.available_mol.shape[1]
    loss = cell // minutes
    at = cell % minutes
    moment = losses.first_moment[loss] + at
    held = 1 if losses.hold_min[loss] > 0.0 else 0
    planned = hold(loss, moment, gas, moments, losses, desk)
    depth_m = moments.depth_m[moment]
    level = moments.level[moment]
    anchor = moments.first_stop[moment]
    early_min = 0.0
    scheduled = False
    for _ in range(2 + desk.left.shape[1]):
        began_min = moments.minute[moment] if planned > 0 else 0.0
        status, first_stop, end_min = climb(
            desk.planned[:planned], depth_m, moments.minute[moment], began_min, gas,
            level, anchor, raised, losses.slow[loss], moments.tension_bar[moment],
            sets.rungs[own], rules, desk,
        )  # fmt: skip
        if status != OK:
            break
        note_beyond(own, others, level, sets, desk)
        first = moments.mouth[moment]
        if sets.has[others, first] == 0:
            first = -1
        fill_alongside(planned if scheduled else 0, first, held, sets.filled[others], rules, desk)
        ends_min, out_gas = charge(cell, loss, at, held, losses, rules, found, desk)
        desk.told[SURFACED_MIN] = end_min
        scheduled = True
        if in_turn == 0 or desk.told[LACKING_MOL] <= TOO_LITTLE_MOL or out_gas < 0:
            break
        if sets.has[own, out_gas] == 0 and sets.has[others, out_gas] == 0:
            early_min += 1.0
        own = sets.without[own, out_gas]
        others = sets.without[others, out_gas]
        leave_min = math.floor(ends_min - early_min - rules.switch_min + SAME_MINUTE)
        if leave_min <= moments.minute[moment]:
            break
        planned = cut(leave_min, desk)
        depth_m = desk.planned[planned - 1, 2]
        gas = int(desk.planned[planned - 1, 4])
        level = int(depth_m / rules.step_m + NEAR)
        if sets.leads_up[own, level] == 0:
            break
        # the stop of this ascent counts once it has been reached
        anchor = moments.first_stop[moment]
        if anchor == 0 and first_stop >= level:
            anchor = first_stop
    return scheduled
