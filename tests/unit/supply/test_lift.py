"""Buoyancy of cylinders and of the whole diver, and each hazard with its cure."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from slatewright.dive.hazard import Severity
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import FRESH_KG_PER_M3, Water, WaterKind, water
from slatewright.supply.buoyancy import (
    buoyancy_kg,
    cylinder_buoyancy,
    cylinder_buoyancy_kg,
    external_volume_by_buoyancy_l,
    external_volume_by_mass_l,
    lead_buoyancy_kg,
    lead_for_kg,
    suit_gas_volume_l,
    water_density_kg_per_m3,
)
from slatewright.supply.catalogue import cylinder_named
from slatewright.supply.cylinders import contents_mol, gas_mass_kg
from slatewright.supply.kit import KitCylinder, Place
from slatewright.supply.lift import Balance, Moment, balance
from slatewright.supply.rig import Rig, Suit

K = 293.15
SEA = 1025.0


def carried(name: str, gas: str, gauge: float, place: Place, label: str) -> KitCylinder:
    return KitCylinder(cylinder_named(name), Mixture.parse(gas), gauge, K, place, label)


KIT = (
    carried("twin 12", "10/70", 230.0, Place.BACK, "back"),
    carried("stage 11.1", "50%", 200.0, Place.STAGE, "fifty"),
    carried("stage 11.1", "O2", 200.0, Place.STAGE, "oxygen"),
)


def held(*gauges: float | None) -> tuple[float | None, ...]:
    return tuple(
        None if gauge is None else contents_mol(one.cylinder, one.mix, gauge, K)
        for one, gauge in zip(KIT, gauges, strict=True)
    )


DIVE = (
    Moment(0.0, 0.0, held(230, 200, 200)),
    Moment(4.0, 100.0, held(215, 200, 200)),
    Moment(20.0, 100.0, held(100, 200, 200)),
    Moment(40.0, 21.0, held(70, 180, 200)),
    Moment(60.0, 6.0, held(60, 60, 150)),
    Moment(120.0, 6.0, held(60, 60, 30)),
    Moment(121.0, 0.0, held(60, 60, 30)),
)
NEUTRAL = Rig(
    wing_lift_kg=20.0,
    droppable_kg=2.0,
    fixed_ballast_kg=8.0,
    suit=Suit.DRYSUIT,
    suit_gas_l=8.0,
    second_lift_kg=20.0,
)


def over(rig: Rig, units: UnitSystem = UnitSystem.METRIC) -> Balance:
    return balance(rig, KIT, DIVE, Water(), water_kg_per_m3=SEA, units=units)


def test_a_litre_of_nothing_lifts_its_water():
    assert buoyancy_kg(1.0, 0.0, SEA) == 1.025
    assert buoyancy_kg(1.0, 1.025, SEA) == 0.0


def test_full_turn_and_empty_differ_by_the_gas():
    twin, air = cylinder_named("twin 12"), Mixture.parse("air")
    three = cylinder_buoyancy(twin, air, 232.0, 100.0, K, SEA)
    full_kg, rest_kg = gas_mass_kg(twin, air, 232.0, K), gas_mass_kg(twin, air, 0.0, K)
    assert three.empty_kg - three.full_kg == pytest.approx(full_kg - rest_kg, rel=1e-12)
    assert three.full_kg < three.turn_kg < three.empty_kg < 0.0
    in_fresh = cylinder_buoyancy(twin, air, 232.0, 100.0, K, FRESH_KG_PER_M3)
    assert three.full_kg - in_fresh.full_kg == pytest.approx(twin.external_volume_l * 0.025)


def test_a_turn_above_the_start_is_refused():
    with pytest.raises(InputError, match="turn at 210 bar"):
        cylinder_buoyancy(cylinder_named("stage 7"), Mixture(0.5), 200.0, 210.0, K, SEA)


@pytest.mark.parametrize("amount", [-1.0, math.nan])
def test_an_amount_that_cannot_be_is_refused(amount):
    with pytest.raises(InputError, match="'stage 7'"):
        cylinder_buoyancy_kg(cylinder_named("stage 7"), Mixture(0.5), amount, SEA)


def test_external_volume_from_buoyancy_and_mass_give_the_same():
    outside_l = external_volume_by_mass_l(11.1, 14.3, 2.7, 0.8)
    floats_kg = buoyancy_kg(outside_l, 15.1, SEA)
    assert external_volume_by_buoyancy_l(floats_kg, 15.1, SEA) == pytest.approx(outside_l)


def test_lead_pulls_less_than_it_weighs():
    assert lead_buoyancy_kg(10.0, 1000.0) == pytest.approx(-10.0 * (1.0 - 1.0 / 11.34))
    assert -lead_buoyancy_kg(lead_for_kg(4.0, SEA), SEA) == pytest.approx(4.0)
    assert lead_for_kg(4.0, SEA) > 4.0


def test_the_gas_of_a_wetsuit_follows_boyle():
    assert suit_gas_volume_l(6.0, 1.0, 2.0) == 3.0
    assert suit_gas_volume_l(6.0, 1.0, 1.0) == 6.0


def test_the_density_that_a_column_stands_for():
    assert water_density_kg_per_m3(water(WaterKind.FRESH)) == pytest.approx(1000.0)
    assert water_density_kg_per_m3(water(WaterKind.SEA)) == pytest.approx(1025.0)
    assert water_density_kg_per_m3(Water()) == pytest.approx(1019.716, abs=5e-4)


def test_the_parts_sum_to_the_whole():
    for point, moment in zip(over(NEUTRAL).points, DIVE, strict=True):
        each = [
            cylinder_buoyancy_kg(one.cylinder, one.mix, amount, SEA)
            for one, amount in zip(KIT, moment.amounts_mol, strict=True)
            if amount is not None
        ]
        assert point.cylinders_kg == pytest.approx(sum(each), abs=1e-12)
        assert point.suit_kg == pytest.approx(8.0 * 1.025)
        assert point.ballast_kg == pytest.approx(-10.0 * (1.0 - 1.025 / 11.34))
        assert point.person_kg == 0.0
        parts = point.cylinders_kg + point.suit_kg + point.ballast_kg
        assert point.net_kg == pytest.approx(parts, abs=1e-12)
        assert point.wing_needed_kg == pytest.approx(max(0.0, -parts), abs=1e-12)


def test_a_diver_grows_lighter_by_the_gas_that_is_breathed():
    first, last = over(NEUTRAL).points[0], over(NEUTRAL).points[-2]
    breathed_kg = sum(
        gas_mass_kg(one.cylinder, one.mix, before, K) - gas_mass_kg(one.cylinder, one.mix, after, K)
        for one, before, after in zip(KIT, (230, 200, 200), (60, 60, 30), strict=True)
    )
    assert last.net_kg - first.net_kg == pytest.approx(breathed_kg, rel=1e-9)


def test_a_balanced_rig_has_no_hazard():
    result = over(NEUTRAL)
    assert result.hazards == ()
    assert result.heaviest.at_min == 0.0
    assert result.lightest.at_min == 120.0  # not on the surface, where floating is wanted
    assert result.lightest.net_kg < 0.0


def test_too_little_lead_floats_at_the_last_stop_and_the_cure_cures():
    light = replace(NEUTRAL, fixed_ballast_kg=1.0)
    (hazard,) = over(light).hazards
    assert (hazard.code, hazard.severity) == ("floats", Severity.DANGER)
    assert (hazard.at_min, hazard.at_m) == (120.0, 6.0)
    assert over(light).lightest.net_kg == pytest.approx(float(hazard.text.split()[0]), abs=0.1)
    more_kg = float(hazard.cure.split()[0])
    assert over(replace(light, fixed_ballast_kg=1.0 + more_kg)).hazards == ()
    assert over(replace(light, fixed_ballast_kg=1.0 + more_kg - 0.3)).hazards != ()


def test_a_small_wing_is_not_enough_and_the_cure_cures():
    small = replace(NEUTRAL, wing_lift_kg=6.0)
    (hazard,) = over(small).hazards
    assert (hazard.code, hazard.severity) == ("beyond-wing", Severity.DANGER)
    assert hazard.at_min == 0.0
    assert "the wing lifts 6.0 kg" in hazard.text
    larger_kg = float(hazard.cure.split("a wing that lifts ")[1].split()[0])
    assert over(replace(small, wing_lift_kg=larger_kg)).hazards == ()


def test_less_lead_is_a_cure_only_where_the_last_stop_can_still_be_held():
    heaviest_kg = over(NEUTRAL).heaviest.wing_needed_kg
    spare_kg = -over(NEUTRAL).lightest.net_kg
    a_little = replace(NEUTRAL, wing_lift_kg=heaviest_kg - 0.5 * spare_kg)
    (hazard,) = over(a_little).hazards
    assert "less lead" in hazard.cure
    less_kg = float(hazard.cure.split()[0])
    lead_kg = a_little.fixed_ballast_kg
    assert over(replace(a_little, fixed_ballast_kg=lead_kg - less_kg)).hazards == ()
    too_much = replace(NEUTRAL, wing_lift_kg=heaviest_kg - 1.5 * spare_kg)
    (hazard,) = over(too_much).hazards
    assert "less lead" not in hazard.cure


def test_without_a_second_lift_the_failed_wing_is_named_and_the_cure_cures():
    alone = replace(NEUTRAL, second_lift_kg=0.0)
    (hazard,) = over(alone).hazards
    assert (hazard.code, hazard.severity) == ("heavy-without-wing", Severity.WARNING)
    lifts_kg = float(hazard.cure.split("that lifts ")[1].split()[0])
    assert over(replace(alone, second_lift_kg=lifts_kg)).hazards == ()
    moved_kg = float(hazard.cure.split(", or ")[1].split()[0])
    dropped = replace(alone, droppable_kg=2.0 + moved_kg, fixed_ballast_kg=8.0 - moved_kg)
    assert over(dropped).hazards == ()


def test_a_wetsuit_is_heaviest_at_depth():
    wetsuit = replace(NEUTRAL, suit=Suit.WETSUIT)
    assert over(wetsuit).heaviest.at_m == 100.0
    assert over(NEUTRAL).heaviest.at_m == 0.0
    deep = over(wetsuit).points[1]
    assert deep.suit_kg == pytest.approx(8.0 * 1.025 * 1.01325 / 11.01325)


def test_two_spells_are_two_hazards():
    light = replace(NEUTRAL, fixed_ballast_kg=1.0)
    stop = DIVE[5]
    apart = (DIVE[0], stop, replace(DIVE[1], at_min=130.0), replace(stop, at_min=140.0))
    found = balance(light, KIT, apart, Water(), water_kg_per_m3=SEA).hazards
    assert [hazard.at_min for hazard in found] == [120.0, 140.0]


def test_a_cylinder_that_was_left_behind_weighs_nothing():
    with_it, without = (
        balance(NEUTRAL, KIT, (Moment(0.0, 10.0, amounts),), Water()).points[0].cylinders_kg
        for amounts in (held(200, 200, 150), held(200, 200, None))
    )
    one = KIT[2]
    alone = cylinder_buoyancy_kg(
        one.cylinder,
        one.mix,
        contents_mol(one.cylinder, one.mix, 150, K),
        water_density_kg_per_m3(Water()),
    )
    assert with_it - without == pytest.approx(alone, abs=1e-12)


def test_assumptions_name_water_suit_and_person():
    said = over(replace(NEUTRAL, person_buoyancy_kg=-1.5)).assumptions
    assert "water of 1025.0 kg/m3" in said
    assert any("drysuit" in line and "8.0 L" in line for line in said)
    assert any("sinks by 1.5 kg" in line for line in said)
    assert any("wetsuit" in line for line in over(replace(NEUTRAL, suit=Suit.WETSUIT)).assumptions)
    assert any("neutral" in line for line in over(NEUTRAL).assumptions)


def test_imperial_readers_get_pounds_and_feet():
    light = replace(NEUTRAL, fixed_ballast_kg=1.0)
    (metric,), (imperial,) = over(light).hazards, over(light, UnitSystem.IMPERIAL).hazards
    assert "6 m" in metric.text
    assert "19.7 ft" in imperial.text
    pounds, kilograms = (float(hazard.text.split()[0]) for hazard in (imperial, metric))
    assert pounds == pytest.approx(kilograms / 0.45359237, abs=0.3)
    assert "lb more lead" in imperial.cure


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"wing_lift_kg": -1.0}, "-1 kg"),
        ({"suit_gas_l": math.nan}, "nan L"),
        ({"droppable_kg": math.inf}, "inf kg"),
        ({"person_buoyancy_kg": math.nan}, "nan kg is no buoyancy"),
    ],
)
def test_a_rig_that_cannot_be_is_refused(change, says):
    with pytest.raises(InputError, match=says) as refusal:
        replace(NEUTRAL, **change)
    assert refusal.value.where in change


def test_moments_that_cannot_be_are_refused():
    with pytest.raises(InputError, match="without a moment"):
        balance(NEUTRAL, KIT, (), Water())
    with pytest.raises(InputError, match="1 amounts for 3 cylinders at 5 min"):
        balance(NEUTRAL, KIT, (Moment(5.0, 10.0, (1.0,)),), Water())
    with pytest.raises(InputError, match="-3 m is no depth"):
        balance(NEUTRAL, KIT, (Moment(5.0, -3.0, held(200, 200, 200)),), Water())
    with pytest.raises(InputError, match=r"1\.025 kg/m3 is no water"):
        balance(NEUTRAL, KIT, DIVE, Water(), water_kg_per_m3=1.025)
