"""Truths of any loop: what came from the cylinders was used up, vented, or is still in it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.decompression.leg import Leg, LegKind
from slatewright.dive.loop import Loop, Metabolism, Setpoint
from slatewright.physics.constants import GAS_CONSTANT_J_PER_MOL_K
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.kit import Diver, ReserveRules, Rmv
from slatewright.supply.loop import loop_use
from slatewright.supply.loop_balance import RICHEST, Counted

FEW = settings(max_examples=60, deadline=None)
WATER = Water()
KELVIN = 283.15
DILUENTS = ["10/70", "12/60", "15/55", "18/45", "21/35", "air", "EAN32", "6/90"]


@st.composite
def dives(draw):
    """Draw a dive on a loop: any legs, any setpoints, any diluent."""
    mix = Mixture.parse(draw(st.sampled_from(DILUENTS)))
    legs, at_m, at_min = [], 0.0, 0.0
    depths = draw(st.lists(st.floats(0.0, 110.0), min_size=1, max_size=8))
    for to_m in [*depths, 0.0]:
        setpoint = draw(st.floats(0.4, 1.6))
        if abs(to_m - at_m) > 0.5:
            kind = LegKind.DESCENT if to_m > at_m else LegKind.ASCENT
            minutes = abs(to_m - at_m) / draw(st.floats(1.0, 30.0))
            legs.append(Leg(kind, at_m, to_m, at_min, minutes, mix, setpoint))
            at_m, at_min = to_m, at_min + minutes
        if draw(st.booleans()):
            minutes = draw(st.floats(0.1, 40.0))
            setpoint = draw(st.floats(0.4, 1.6))
            kind = draw(st.sampled_from([LegKind.BOTTOM, LegKind.STOP]))
            legs.append(Leg(kind, at_m, at_m, at_min, minutes, mix, setpoint))
            at_min += minutes
    return legs or [Leg(LegKind.BOTTOM, at_m, at_m, 0.0, 5.0, mix, 1.0)]


def loop_of(legs, volume_l, rate):
    resting = 0.6 * rate
    return Loop(
        legs[0].gas, (Setpoint(0.7),), 1.2, (), volume_l, Metabolism(resting, rate, 1.5 * rate)
    )


DIVER = Diver("Mirren", UnitSystem.METRIC, Rmv(18.0, 22.0, 15.0, 30.0), ())


@FEW
@given(dives(), st.floats(3.0, 15.0), st.floats(0.3, 4.0), st.floats(0.0, 5.0))
def test_what_came_in_was_used_up_vented_or_is_still_there(legs, volume_l, rate, swim_min):
    loop, rules = loop_of(legs, volume_l, rate), ReserveRules(surface_swim_min=swim_min)
    use = loop_use(legs, loop, DIVER, rules, WATER, KELVIN)
    flows, f = use.total, loop.diluent.o2
    last = legs[-1]
    # what is left is worked out here from volume and pressure, and not taken from the count
    left_mol = (
        1e5 * WATER.ambient_bar(last.to_m) * volume_l / 1000 / (GAS_CONSTANT_J_PER_MOL_K * KELVIN)
    )
    ppo2_bar = use.legs[-1].ppo2_bar
    left_oxygen_mol = left_mol * ppo2_bar / WATER.ambient_bar(last.to_m)
    came = flows.oxygen_mol + flows.diluent_mol
    went = flows.used_mol + flows.vented_oxygen_mol + flows.vented_inert_mol
    assert came == pytest.approx(went + left_mol, abs=1e-6)
    assert flows.oxygen_mol + f * flows.diluent_mol == pytest.approx(
        flows.used_mol + flows.vented_oxygen_mol + left_oxygen_mol, abs=1e-6
    )
    # and what the diver used up is the rate times the time, dry at 0 degC and 1 atm
    per_litre = 101325 / 1000 / (GAS_CONSTANT_J_PER_MOL_K * 273.15)
    litres = swim_min * rate + sum(
        leg.minutes * rate * (0.6 if leg.kind is LegKind.STOP else 1.0) for leg in legs
    )
    assert flows.used_mol == pytest.approx(litres * per_litre, abs=1e-6)
    assert max(map(abs, use.unbalanced_mol(f))) < 1e-6


@FEW
@given(dives(), st.floats(3.0, 15.0), st.floats(0.3, 4.0))
def test_nothing_flows_backwards_and_the_setpoint_is_held_as_far_as_can_be(legs, volume_l, rate):
    use = loop_use(legs, loop_of(legs, volume_l, rate), DIVER, ReserveRules(), WATER, KELVIN)
    for part in use.legs:
        flows = part.flows
        for amount in (flows.oxygen_mol, flows.diluent_mol, flows.used_mol,
                       flows.vented_oxygen_mol, flows.vented_inert_mol):  # fmt: skip
            assert amount >= -1e-9
        ambient_bar = WATER.ambient_bar(part.leg.to_m)
        assert part.ppo2_bar >= min(part.leg.setpoint_bar, RICHEST * ambient_bar) - 1e-6
        assert part.ppo2_bar <= ambient_bar + 1e-9


@FEW
@given(dives(), st.floats(3.0, 15.0), st.floats(0.3, 4.0), st.floats(0.05, 0.95))
def test_it_does_not_matter_where_a_leg_is_cut(legs, volume_l, rate, share):
    def total(path):
        loop = loop_of(legs, volume_l, rate)
        return loop_use(path, loop, DIVER, ReserveRules(), WATER, KELVIN).total

    cut = []
    for leg in legs:
        middle_m = leg.from_m + (leg.to_m - leg.from_m) * share
        first_min = leg.minutes * share
        one = Leg(leg.kind, leg.from_m, middle_m, leg.start_min, first_min, leg.gas,
                  leg.setpoint_bar)  # fmt: skip
        cut += [one, Leg(leg.kind, middle_m, leg.to_m, one.end_min, leg.minutes - first_min,
                         leg.gas, leg.setpoint_bar)]  # fmt: skip
    whole, parts = total(legs), total(cut)
    assert parts.oxygen_mol == pytest.approx(whole.oxygen_mol, abs=2e-3)
    assert parts.diluent_mol == pytest.approx(whole.diluent_mol, abs=2e-3)


@FEW
@given(st.sampled_from(DILUENTS), st.floats(0.6, 5.0), st.floats(0.4, 1.6), st.floats(0.01, 0.2))
def test_a_plain_walk_in_small_steps_comes_to_the_same(name, slope, setpoint_bar, used):
    """By another way: ten thousand small steps, each of which adds first and vents afterwards."""
    f, minutes, from_bar = Mixture.parse(name).o2, 2.0, 3.0
    for sign in (1.0, -1.0):
        to_bar = max(setpoint_bar / RICHEST + 0.3, from_bar + sign * slope)
        counted = Counted(0.3, f)
        counted.fill(from_bar, setpoint_bar)
        oxygen, inert = counted.oxygen_mol, counted.inert_mol
        exact = counted.pass_time(from_bar, to_bar, minutes, setpoint_bar, used)
        added = diluent = 0.0
        steps = 10_000
        for step in range(1, steps + 1):
            bar = from_bar + (to_bar - from_bar) * step / steps
            oxygen -= used * minutes / steps
            room = 0.3 * bar - oxygen - inert
            if room < 0.0:  # vent, mixed
                share = 0.3 * bar / (oxygen + inert)
                oxygen, inert, room = oxygen * share, inert * share, 0.0
            wanted = 0.3 * min(setpoint_bar, RICHEST * bar)
            # oxygen and diluent that fill the room and meet the setpoint, as far as both can
            y = max(0.0, (wanted - oxygen - f * room) / (1.0 - f))
            if y > room:
                y = (wanted - oxygen) / (1.0 - wanted / (0.3 * bar)) if room == 0.0 else y
            x = max(0.0, room - y)
            oxygen, inert = oxygen + y + f * x, inert + (1.0 - f) * x
            share = min(1.0, 0.3 * bar / (oxygen + inert))
            oxygen, inert = oxygen * share, inert * share
            added, diluent = added + y, diluent + x
        assert exact.oxygen_mol == pytest.approx(added, abs=5e-3, rel=5e-3)
        assert exact.diluent_mol == pytest.approx(diluent, abs=5e-3, rel=5e-3)
        assert counted.oxygen_mol == pytest.approx(oxygen, abs=5e-3)
