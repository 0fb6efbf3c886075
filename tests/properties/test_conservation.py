"""What leaves the cylinders is what diver, wing and suit used: never more, never less."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breathing_of_arrays import breathed, breathed_mol
from slatewright.decompression.leg import Leg, LegKind
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_gas_mol
from slatewright.physics.water import Water
from slatewright.supply.breathing import rmv_of
from slatewright.supply.consumption import use_of_legs
from slatewright.supply.kit import Place, ReserveRules, Rmv
from slatewright.supply.stores import available_mol, stores_of
from unit.supply.kits import carried, diver

FEW = settings(max_examples=40, deadline=None)
GASES = ("10/70", "21/35", "EAN50", "O2")
MIXES = tuple(map(Mixture.parse, GASES))
KINDS = (LegKind.DESCENT, LegKind.BOTTOM, LegKind.ASCENT, LegKind.STOP)
R = 8.314462618


@st.composite
def dives(draw):
    """Draw legs at random; nothing here minds whether they are a sensible dive."""
    legs, at_m, at_min = [], 0.0, 0.0
    for _ in range(draw(st.integers(1, 12))):
        to_m, minutes = draw(st.floats(0, 100)), draw(st.floats(0.05, 20))
        kind, gas = draw(st.sampled_from(KINDS)), draw(st.sampled_from(MIXES))
        legs.append(Leg(kind, at_m, to_m, at_min, minutes, gas, switching=draw(st.booleans())))
        at_m, at_min = to_m, at_min + minutes
    return tuple(legs)


rates = st.floats(5, 60)
people = st.builds(
    lambda rmv, works, pair, twice: diver(
        *(
            (carried("10/70", Place.LEFT, 12.0), carried("10/70", Place.RIGHT, 8.0, bar=150.0))
            if pair
            else (carried("10/70", Place.BACK, 12.0, 2),)
        ),
        *((carried("10/70", label="second stage"),) if twice else ()),
        *(carried(gas) for gas in GASES[1:]),
        rmv=rmv,
        works=works,
    ),
    st.builds(Rmv, rates, rates, rates, rates),
    st.booleans(),
    st.booleans(),
    st.booleans(),
)
waters = st.builds(lambda s, w: Water(surface_bar=s, bar_per_m=w), st.floats(0.7, 1.05),
                   st.floats(0.097, 0.102))  # fmt: skip
rule_sets = st.builds(
    lambda swim, wing: ReserveRules(surface_swim_min=swim, inflation_free_l=wing),
    st.floats(0, 20),
    st.floats(0, 300),
)


def integral_mol(who, legs, rules, water, kelvin):
    """Sum p dV over 400 slices of each leg, from first principles."""
    rmv = who.rmv
    total = 0.0
    if rules.surface_swim_min > 0.0:
        total += rmv.swimming_l_per_min * rules.surface_swim_min * water.surface_bar
    for leg in legs:
        rate = rmv.swimming_l_per_min
        if leg.kind is LegKind.STOP or leg.switching:
            rate = rmv.resting_l_per_min
        elif leg.kind is LegKind.BOTTOM and who.works_at_depth:
            rate = rmv.working_l_per_min
        middle = (np.arange(400) + 0.5) / 400
        depth = leg.from_m + (leg.to_m - leg.from_m) * middle
        total += float(np.mean(water.surface_bar + depth * water.bar_per_m)) * rate * leg.minutes
    return total * 1e5 / 1e3 / (R * kelvin)


@FEW
@given(dives(), people, waters, rule_sets, st.none() | st.floats(272, 303))
def test_what_leaves_the_cylinders_was_used(legs, who, water, rules, kelvin):
    uses = use_of_legs(legs, who, rules, water, kelvin)
    left_the_cylinders = sum(use.start.amount_mol - use.end.amount_mol for use in uses)
    used = integral_mol(who, legs, rules, water, kelvin or 293.15)
    wing = free_gas_mol(MIXES[0], rules.inflation_free_l)
    assert left_the_cylinders == pytest.approx(used + wing, rel=1e-6)
    assert sum(use.used_mol for use in uses) == pytest.approx(used + wing, rel=1e-6)
    for use in uses:
        amounts = [reading.amount_mol for reading in use.readings]
        assert all(b <= a + 1e-9 for a, b in pairwise(amounts))


def log_of(legs, most):
    rows = np.full((most, 6), np.nan)  # rows beyond the end must not be read
    for i, leg in enumerate(legs):
        code = 4.0 if leg.switching else float(KINDS.index(leg.kind))
        rows[i] = (code, leg.from_m, leg.to_m, leg.start_min, leg.minutes,
                   MIXES.index(leg.gas))  # fmt: skip
    return rows


@FEW
@given(st.lists(dives(), min_size=1, max_size=4), people, waters)
def test_many_at_once_are_each_alone(many, who, water):
    rules = ReserveRules()
    logs = np.array([log_of(legs, 20) for legs in many])
    counts = [len(legs) for legs in many]
    at_hand = available_mol(stores_of(who, rules, water), MIXES)
    found = breathed(logs, counts, rmv_of(who), at_hand, water)
    sums = breathed_mol(logs, counts, rmv_of(who), len(MIXES), water)
    assert sums == pytest.approx(found.total_mol)
    for i, legs in enumerate(many):
        uses = use_of_legs(legs, who, rules, water)
        for g, mix in enumerate(MIXES):
            own = [use for use in uses if use.carried.mix == mix]
            used = sum(use.used_mol for use in own)
            assert found.total_mol[i, g] == pytest.approx(used, rel=1e-9)
            assert found.left_mol[i, g] == pytest.approx(at_hand[g] - used, rel=1e-9, abs=1e-9)
            ends = [(use.out_min, use.out_m) for use in own if use.out_min is not None]
            assert bool(ends) == bool(np.isfinite(found.out_min[i, g]))
            if ends:
                assert found.out_min[i, g] == pytest.approx(ends[0][0], abs=1e-6)
                assert found.out_m[i, g] == pytest.approx(ends[0][1], abs=1e-6)
        assert found.enough[i] == all(use.out_min is None for use in uses)


@FEW
@given(dives(), people, st.floats(0.05, 0.95))
def test_a_store_is_empty_at_the_moment_named(legs, who, share):
    water = Water()
    log = np.array([log_of(legs, 12)])
    count = [len(legs)]
    total = breathed_mol(log, count, rmv_of(who), 4, water)
    found = breathed(log, count, rmv_of(who), total[0] * share, water)
    for g in np.flatnonzero(total[0] > 0.01):
        cut = []
        for leg in legs:
            minutes = min(leg.minutes, found.out_min[0, g] - leg.start_min)
            if minutes > 0.0:
                to_m = leg.from_m + (leg.to_m - leg.from_m) * minutes / leg.minutes
                cut.append(Leg(leg.kind, leg.from_m, to_m, leg.start_min, minutes, leg.gas,
                               switching=leg.switching))  # fmt: skip
        until = breathed_mol(np.array([log_of(cut, 12)]), [len(cut)], rmv_of(who), 4, water)
        assert until[0, g] == pytest.approx(total[0, g] * share, rel=1e-6)
