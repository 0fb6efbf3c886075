"""Legs charged to cylinders: by phase, by gas, in order; what gauges then show."""

from __future__ import annotations

import dataclasses

import pytest

from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import UnitSystem, psi_from_bar
from slatewright.physics.water import Water
from slatewright.supply.breathing import breathed_amount_mol, breathed_in_leg_mol, phase_of
from slatewright.supply.consumption import Occasion, use_of_legs
from slatewright.supply.kit import Phase, Place, ReserveRules, Rmv
from unit.supply.kits import CALM, ROOM_K, WALL, carried, dive, diver, wall_kit

WATER = Water()
PLAIN = ReserveRules(residual_gauge_bar=0.0)


def litres(mol):
    return free_litres(Mixture.parse("air"), mol)


def test_without_a_water_temperature_it_is_rmv_times_atmospheres():
    leg = dive(("bottom", 0, 10))[0]
    leg = dataclasses.replace(leg, from_m=40.0, to_m=40.0)
    atmospheres = WATER.ambient_bar(40.0) / 1.01325
    assert litres(breathed_in_leg_mol(leg, 20.0, WATER)) == pytest.approx(
        20.0 * 10.0 * atmospheres, rel=5e-4  # the free litre is that of the real gas
    )  # fmt: skip


def test_cold_water_has_more_moles_in_a_breath():
    warm, cold = (breathed_amount_mol(20.0, 1.0, 5.0, kelvin) for kelvin in (293.15, 277.15))
    assert cold / warm == pytest.approx(293.15 / 277.15)


def test_a_leg_of_constant_rate_counts_as_its_mean_depth():
    down, flat = dive(("descent", 60, 3)), dive(("descent", 30, 0), ("bottom", 30, 3))[1:]
    assert breathed_in_leg_mol(down[0], 20.0, WATER) == pytest.approx(
        breathed_in_leg_mol(flat[0], 20.0, WATER)
    )


def test_phases():
    legs = WALL
    assert [phase_of(leg) for leg in legs[:7]] == [
        Phase.SWIMMING, Phase.RESTING, Phase.SWIMMING, Phase.SWIMMING,
        Phase.SWIMMING, Phase.RESTING, Phase.RESTING,
    ]  # fmt: skip
    assert phase_of(legs[3], works_at_depth=True) is Phase.WORKING
    assert phase_of(legs[0], works_at_depth=True) is Phase.SWIMMING


def test_each_phase_is_charged_at_its_own_rate():
    by_hand = {"10/70": 0.0, "21/35": 0.0, "EAN50": 0.0}
    rate = {"descent": 18, "bottom": 22, "ascent": 18, "stop": 15}
    for leg in WALL:
        mean = 1.01325 + 0.1 * (leg.from_m + leg.to_m) / 2
        by_hand[str(leg.gas)] += rate[leg.kind] * leg.minutes * mean * 1e5 / 1e3 / (8.31446 * 285)
    uses = use_of_legs(WALL, diver(*wall_kit(), works=True), PLAIN, WATER, 285.0)
    for use in uses:
        assert use.breathed_mol == pytest.approx(by_hand[str(use.carried.mix)], rel=1e-5)
        assert use.used_mol == pytest.approx(use.start.amount_mol - use.end.amount_mol)


def test_stressed_throughout():
    who = diver(*wall_kit())
    flat = dataclasses.replace(who, rmv=Rmv(30.0, 30.0, 30.0, 30.0))
    stressed = use_of_legs(WALL, who, PLAIN, WATER, phase=Phase.STRESSED)
    for a, b in zip(stressed, use_of_legs(WALL, flat, PLAIN, WATER), strict=True):
        assert a.used_mol == pytest.approx(b.used_mol)


def test_readings_stand_at_the_changes_that_concern_the_cylinder():
    back, travel, rich = use_of_legs(WALL, diver(*wall_kit()), PLAIN, WATER)
    change = Occasion.CHANGE
    assert [r.at_m for r in back.readings if r.occasion is change] == [36.0, 45.0]
    assert [r.at_m for r in travel.readings if r.occasion is change] == [36.0, 45.0, 21.0]
    assert [r.at_m for r in rich.readings if r.occasion is change] == [21.0]
    for use in (back, travel, rich):
        assert use.start.occasion is Occasion.START
        assert use.readings[1].occasion is Occasion.DESCENT
        assert use.end.occasion is Occasion.END
        gauges = [r.gauge_bar for r in use.readings]
        assert gauges == sorted(gauges, reverse=True)
    assert travel.start.gauge_bar == pytest.approx(200.0)


def test_gauges_are_rounded_down_in_either_system():
    (end,) = (use.end for use in use_of_legs(WALL, diver(*wall_kit()), PLAIN, WATER)[:1])
    metric, imperial = end.label(UnitSystem.METRIC), end.label(UnitSystem.IMPERIAL)
    assert metric == f"{int(end.gauge_bar)} bar"
    assert imperial == f"{int(psi_from_bar(end.gauge_bar) / 10) * 10} psi"
    assert end.gauge_psi == pytest.approx(end.gauge_bar / 0.0689475729)


def test_a_cylinder_that_cools_shows_less_before_anything_is_breathed():
    back = use_of_legs(WALL, diver(*wall_kit()), PLAIN, WATER, 280.0)[0]
    start, leaves = back.readings[:2]
    assert leaves.amount_mol == start.amount_mol
    assert 190.0 < leaves.gauge_bar < 212.0 < start.gauge_bar


def test_swim_at_the_surface_and_wing():
    who = diver(*wall_kit())
    plain = use_of_legs(WALL, who, PLAIN, WATER)
    rules = ReserveRules(surface_swim_min=5.0, inflation_free_l=120.0, residual_gauge_bar=0.0)
    back, travel, rich = use_of_legs(WALL, who, rules, WATER)
    assert travel.start.at_min == -5.0
    assert litres(travel.used_mol - plain[1].used_mol) == pytest.approx(5 * 18.0, rel=1e-3)
    assert free_litres(Mixture.parse("10/70"), back.inflation_mol) == pytest.approx(120.0)
    assert back.breathed_mol == pytest.approx(plain[0].breathed_mol)
    assert back.used_mol - back.breathed_mol == pytest.approx(back.inflation_mol)
    assert rich.inflation_mol == travel.inflation_mol == 0.0


def test_same_gas_in_two_cylinders_is_drawn_in_order():
    kit = (carried("10/70", Place.STAGE), carried("10/70", Place.BACK, 18.0, 2), *wall_kit()[1:])
    stage, back, *_ = use_of_legs(WALL, diver(*kit), ReserveRules(), WATER)
    alone = use_of_legs(WALL, diver(*wall_kit()), ReserveRules(), WATER)[0]
    assert stage.end.gauge_bar == pytest.approx(10.0, abs=0.01)  # its residual pressure
    assert stage.used_mol + back.used_mol == pytest.approx(alone.used_mol)
    assert stage.out_min is back.out_min is None


def test_wing_and_suit_are_filled_from_the_back_even_if_a_stage_comes_first():
    kit = (carried("10/70", Place.STAGE), carried("10/70", Place.BACK, 18.0, 2), *wall_kit()[1:])
    rules = ReserveRules(inflation_free_l=100.0)
    stage, back, *_ = use_of_legs(WALL, diver(*kit), rules, WATER)
    assert stage.inflation_mol == 0.0
    assert back.inflation_mol > 0.0


def test_a_sidemount_pair_runs_down_together():
    kit = (
        carried("10/70", Place.LEFT, 18.0, bar=220.0),
        carried("21/35", Place.STAGE),
        carried("10/70", Place.RIGHT, 18.0, bar=220.0),
        carried("EAN50", Place.STAGE),
    )
    left, _, right, _ = use_of_legs(WALL, diver(*kit), ReserveRules(), WATER)
    assert left.used_mol == pytest.approx(right.used_mol)
    assert left.end.gauge_bar == pytest.approx(right.end.gauge_bar)


def test_running_out_is_said_with_minute_and_depth():
    kit = (carried("10/70", Place.BACK, 12.0, 2, 110.0), *wall_kit()[1:])
    back = use_of_legs(WALL, diver(*kit), PLAIN, WATER)[0]
    assert back.end.amount_mol < 0.0
    assert back.end.gauge_bar == 0.0
    assert back.out_min is not None
    # by hand: what is left after the legs before it, at 18 L/min and the pressure at 96 m
    until = [leg for leg in WALL if leg.end_min <= 5.8 and str(leg.gas) == "10/70"]
    before = sum(breathed_in_leg_mol(leg, 18.0, WATER) for leg in until)
    rate = breathed_amount_mol(18.0, 1.0, WATER.ambient_bar(96.0), ROOM_K)
    room = back.start.amount_mol - 24.0 * 1.01325e5 / 1e3 / (8.31446 * ROOM_K)
    assert back.out_min == pytest.approx(5.8 + (room - before) / rate, rel=1e-4)
    assert back.out_m == 96.0


def test_a_gas_without_cylinder_is_refused():
    with pytest.raises(InputError, match=r"breathes EAN50 from 31\.7 min on and has no cylinder"):
        use_of_legs(WALL, diver(*wall_kit()[:2]), ReserveRules(), WATER)


def test_an_overfilled_cylinder_is_refused_by_its_label():
    with pytest.raises(InputError, match=r"back 10/70: .*250 bar is above its working pressure"):
        use_of_legs(WALL, diver(*wall_kit(250.0)), ReserveRules(), WATER)


def test_a_closed_circuit_is_refused():
    leg = dataclasses.replace(WALL[0], setpoint_bar=1.3)
    with pytest.raises(InputError, match="closed circuit"):
        use_of_legs((leg,), diver(*wall_kit(), rmv=CALM), ReserveRules(), WATER)
