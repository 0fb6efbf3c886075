"""Cells of the grid against the same cell worked out by itself, with the single solver."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from slatewright.decompression.ascent import solve_ascent
from slatewright.decompression.coefficients import coefficients
from slatewright.decompression.integration import track
from slatewright.decompression.ladder import ladder
from slatewright.decompression.leg import LegKind
from slatewright.decompression.tissues import Tissues
from slatewright.dive.gases import locker
from slatewright.supply.breathing import breathed_in_leg_mol, phase_of
from slatewright.supply.stores import stores_of
from slatewright.supply.wayhome import Verdict, planned_dive, way_home
from unit.supply.wayhome_dives import deep, quarry, solo

SAMPLED = [
    ("O2 lost", 5),
    ("O2 lost", 17),
    ("O2 lost", 26),
    ("O2 lost", 40),
    ("EAN50 lost", 12),
    ("EAN50 lost", 20),
    ("EAN50 lost", 30),
    ("EAN50 and O2 lost", 19),
    ("3 min delay", 11),
    ("5 min delay", 35),
]


def cut_at(legs, minute):
    """Return the legs up to a minute."""
    kept = []
    for leg in legs:
        if leg.end_min <= minute + 1e-9:
            kept.append(leg)
        elif leg.start_min < minute - 1e-9:
            share = (minute - leg.start_min) / leg.minutes
            to_m = leg.from_m + (leg.to_m - leg.from_m) * share
            kept.append(replace(leg, to_m=to_m, minutes=leg.minutes * share))
    return kept


def tensions(legs, dive):
    """Return tensions after legs, by numerical integration apart from the kernel."""
    settings = dive.plan.settings
    model = coefficients(settings.model)
    path = track(legs, dive.plan.water, dive.start, model, step_m=settings.stop_step_m,
                 breaks_count=True)  # fmt: skip
    end = path.tension_bar[-1].tolist()
    return Tissues(tuple(end[:16]), tuple(end[16:]))


def single(dive, failure, minute):
    """Solve one cell by itself: legs from the minute on, the minutes held included."""
    plan, gases = dive.plan, locker(dive.plan)
    before = cut_at(dive.legs, minute)
    current = next(leg for leg in dive.legs if leg.end_min > minute + 1e-9)
    depth_m = before[-1].to_m
    lost = set(failure.lost)
    hands = [replace(hand, deepest_m=-1.0) if hand.mix in lost else hand for hand in gases.rising]
    mouth = current.gas
    if mouth in lost:
        fit = [h for h in hands if h.deepest_m >= depth_m and h.shallowest_m <= depth_m // 3 * 3]
        mouth = max(fit, key=lambda hand: hand.mix.o2).mix
    kind = LegKind.BOTTOM if minute <= plan.levels[-1].leave_at_min else LegKind.STOP
    held = replace(current, kind=kind, from_m=depth_m, to_m=depth_m, start_min=float(minute),
                   minutes=failure.hold_min, gas=mouth, switching=False)  # fmt: skip
    tissues = tensions([*before, held], dive)
    settings = plan.settings
    reached = any(
        leg.kind is LegKind.STOP and leg.from_m == dive.first_stop_m for leg in dive.legs
        if leg.start_min <= minute and leg.start_min > plan.levels[-1].leave_at_min
    )  # fmt: skip
    number = gases.index(mouth)
    rungs = ladder(hands, number, depth_m, settings)
    solved = solve_ascent(
        depth_m, minute + failure.hold_min, number, hands, rungs, settings, plan.water, tissues,
        first_stop_m=dive.first_stop_m if reached else None,
    )  # fmt: skip
    return held, solved.legs


@pytest.mark.parametrize(("name", "minute"), SAMPLED)
def test_a_cell_is_the_ascent_solved_by_itself(name, minute):
    dive = planned_dive(quarry())
    group = solo(dive.plan)
    grid = way_home(dive, group)
    number = grid.row_of(name)
    found, failure = grid.cell(number, minute), grid.failures[number]
    held, legs = single(dive, failure, minute)
    assert found.verdict is Verdict.HOME
    assert found.surfaced_min == pytest.approx(legs[-1].end_min, abs=1e-7)

    person, water = group.divers[0], dive.plan.water
    stores = {store.mix: store for store in stores_of(person, group.rules, water)}
    left = {mix: store.available_mol for mix, store in stores.items()}
    for leg in [*cut_at(dive.legs, minute), held, *legs]:
        rmv = person.rmv.l_per_min(phase_of(leg))
        if leg is held and failure.sorting_min:
            rmv = person.rmv.stressed_l_per_min
        left[leg.gas] -= breathed_in_leg_mol(leg, rmv, water)
    touched = {leg.gas for leg in [held, *legs]}
    share = {mix: left[mix] / stores[mix].available_mol for mix in touched}
    assert found.scarce.mix == min(share, key=share.get)
    assert found.scarce.share == pytest.approx(min(share.values()), abs=1e-9)
    breathed = [leg for leg in [held, *legs] if leg.gas == found.scarce.mix]
    assert found.scarce.until_min == pytest.approx(breathed[-1].end_min, abs=1e-7)
    assert set(found.gases) == touched


def test_moments_are_those_of_the_plan():
    """Depth, gas and tensions at each minute, against the legs and the integration."""
    dive = planned_dive(deep())
    grid = way_home(dive, solo(dive.plan))
    profile = grid._profiles[0]
    for i in range(0, len(grid.minutes), 7):
        minute = grid.minutes[i]
        before = cut_at(dive.legs, minute)
        assert profile.moments.depth_m[i] == pytest.approx(before[-1].to_m, abs=1e-9)
        end = tensions(before, dive)
        assert profile.tension_bar[i] == pytest.approx(np.array(end.n2_bar + end.he_bar), abs=1e-8)
        current = next(leg for leg in dive.legs if leg.end_min > minute + 1e-9)
        assert grid.mixes[profile.moments.gas[i]] == current.gas
        level = math.floor(before[-1].to_m / 3.0 + 1e-6)
        assert profile.moments.level[i] == level
