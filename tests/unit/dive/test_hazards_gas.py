"""Hazards of what is breathed: found where they are, named with their rule, cured as they say."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from slatewright.dive import hazards_gas
from slatewright.dive.hazard import Severity
from slatewright.dive.plan import CarriedGas, Use
from slatewright.dive.schedule import schedule
from slatewright.physics.density import gas_density
from slatewright.physics.mixture import OXYGEN, Mixture
from slatewright.physics.units import m_from_feet
from unit.dive.plans import (
    RULES,
    SEA,
    gas,
    hazard,
    hazards,
    hypoxic_dive,
    metres_in,
    plan_of,
    with_mix,
)

LEAN = Mixture(0.10, 0.70)


def air_dive(depth_m, **more):
    return plan_of([gas("air", "bottom")], [(depth_m, 10.0)], narcotic_limit_m=60.0, **more)


def test_a_hypoxic_leg_is_a_danger_where_it_is_shallowest():
    dive = schedule(hypoxic_dive())
    assert not list(hazards_gas.hypoxic(dive))
    # the solver never makes such a dive: 10/70 is put into the mouth from 6 m on
    legs = tuple(replace(leg, gas=LEAN) if leg.gas == OXYGEN else leg for leg in dive.legs)
    (found,) = hazards_gas.hypoxic(replace(dive, legs=legs))
    assert (found.code, found.severity) == ("hypoxic", Severity.DANGER)
    assert (found.at_m, found.at_min) == (0.0, dive.runtime_min)
    assert "0.10 bar" in found.text
    assert "only from 7.9 m down" in found.cure  # 7.87 m, and 7.8 m would be above it
    assert found.house_rules == ("floor_bar",)


def test_a_ppo2_of_17_is_a_danger_whatever_the_plan_allows():
    # by hand: 0.89 * (1.01325 + 9 * 0.1) = 1.70 bar
    gases = [gas("18/45", "bottom"), gas("EAN89", "decompression", None, 1.7)]
    plan = plan_of(gases, [(50.0, 20.0)])
    found = hazard(plan, "hyperoxic")
    assert found.severity is Severity.DANGER
    assert "EAN89 at 9 m has a ppO2 of 1.70 bar, over 1.6 bar" in found.text
    assert found.house_rules == ("ppo2_stop_max_bar", "ppo2_tolerance_bar")
    cured = replace(plan, gases=(gases[0], replace(gases[1], switch_m=6.0)))
    assert metres_in(found.cure, " or shallower") >= 6.0
    assert not hazards(cured, "hyperoxic")


def test_no_ppo2_above_the_tolerance_is_missed_and_none_within_it_is_cried():
    for o2_pct in range(80, 96):
        mix = Mixture(o2_pct / 100.0)
        ppo2 = mix.o2 * (1.01325 + 0.9)
        gases = [gas("18/45", "bottom"), CarriedGas(mix, Use.DECOMPRESSION, 1.9, 9.0)]
        found = hazards(plan_of(gases, [(40.0, 20.0)]), "hyperoxic")
        assert bool(found) == (ppo2 > 1.63), mix
        assert all(one.severity is Severity.DANGER for one in found)


def test_a_bottom_gas_within_the_tolerance_gets_a_note():
    # by hand: 0.18 * (1.01325 + 6.8) = 1.406 bar
    plan = plan_of([gas("18/45", "bottom"), gas("EAN50", "decompression")], [(68.0, 15.0)])
    found = hazard(plan, "hyperoxic")
    assert found.severity is Severity.NOTE
    assert "1.41 bar, over 1.4 bar, but within the tolerance" in found.text
    assert "ppo2_bottom_max_bar" in found.house_rules
    depth_m = metres_in(found.cure, " or shallower")
    assert not hazards(replace(plan, levels=(replace(plan.levels[0], depth_m=depth_m),)),
                       "hyperoxic")  # fmt: skip


def test_a_limit_in_the_plan_above_the_house_rule_is_warned():
    plan = plan_of([gas("21/35", "bottom", None, 1.6)], [(60.0, 10.0)])
    found = hazard(plan, "hyperoxic")  # 0.21 * 7.01325 = 1.47 bar
    assert found.severity is Severity.WARNING
    assert "the plan gives it 1.6 bar" in found.text


def test_a_house_rule_below_the_plan_is_named_with_its_own_figure():
    rules = RULES.model_copy(update={"ppo2_stop_max_bar": 1.4})
    plan = hypoxic_dive(rules=rules, ascent={"last_stop_m": 3.0})
    found = hazards(plan, "hyperoxic")
    assert {one.severity for one in found} == {Severity.WARNING}
    assert all("over 1.4 bar; the plan gives it 1.6 bar" in one.text for one in found)


def test_a_gas_over_the_house_rule_even_at_the_surface_has_a_cure_all_the_same():
    rules = RULES.model_copy(update={"ppo2_stop_max_bar": 0.9})
    plan = hypoxic_dive(rules=rules)
    cures = {one.cure for one in hazards(plan, "hyperoxic")}
    assert "a gas with less oxygen than O2" in cures


@pytest.mark.parametrize(("depth_m", "severity"), [
    (30.0, None), (32.0, Severity.WARNING), (38.0, Severity.WARNING), (40.0, Severity.DANGER),
])  # fmt: skip
def test_density_is_warned_of_above_52_and_is_a_danger_above_62(depth_m, severity):
    # [ANTHONY2016]: air reaches 5.2 g/L at 31 m and 6.2 g/L at 39 m, printed to whole metres
    found = hazards(air_dive(depth_m), "dense-gas")
    assert [one.severity for one in found] == ([severity] if severity else [])


@pytest.mark.parametrize("imperial", [False, True])
@pytest.mark.parametrize("mix", ["18/45", "15/55", "12/60"])
def test_both_cures_of_a_dense_gas_cure_it(mix, imperial):
    depth_m = m_from_feet(260.0)
    gases = [gas(mix, "bottom", None, 1.6), gas("EAN50", "travel"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(depth_m, 12.0)], imperial=imperial)
    found = hazard(plan, "dense-gas")
    assert "density_temperature_c" in found.house_rules
    lighter = re.match(r"(\S+) instead of", found.cure)
    assert lighter, found.cure
    assert not hazards(with_mix(plan, mix, Mixture.parse(lighter.group(1))), "dense-gas")
    shallower_m = float(re.search(r"down to ([0-9.]+)", found.cure).group(1))
    shallower_m = m_from_feet(shallower_m) if imperial else shallower_m
    level = replace(plan.levels[0], depth_m=shallower_m)
    assert not hazards(replace(plan, levels=(level,)), "dense-gas")
    # one percent of helium less would not have done
    least = Mixture.parse(lighter.group(1))
    less = Mixture(least.o2, least.he - 0.01)
    assert gas_density(less, depth_m, plan.water) > 5.2


def test_a_density_just_over_its_limit_is_told_with_a_digit_more():
    gases = [gas("12/60", "bottom"), gas("EAN50", "travel"), gas("EAN50", "decompression")]
    found = hazard(plan_of(gases, [(90.0, 12.0)]), "dense-gas")
    assert re.search(r"6\.2[0-9] g/L, over the highest 6\.2 g/L", found.text)


def test_a_house_rule_that_no_gas_keeps_refuses_no_plan():
    rules = RULES.model_copy(update={"density_recommended_g_per_l": 0.2})
    found = hazards(hypoxic_dive(rules=rules), "dense-gas")
    assert len(found) == 3
    assert {one.cure for one in found} == {"another gas"}


@pytest.mark.parametrize("imperial", [False, True])
@pytest.mark.parametrize("counted", [True, False])
def test_both_cures_of_a_narcotic_gas_cure_it(counted, imperial):
    rules = RULES.model_copy(update={"oxygen_narcotic": counted})
    plan = plan_of(
        [gas("18/35", "bottom"), gas("EAN50", "decompression")], [(m_from_feet(200.0), 15.0)],
        rules=rules, imperial=imperial, narcotic_limit_m=m_from_feet(100.0),
    )  # fmt: skip
    found = hazard(plan, "narcotic")
    assert found.severity is Severity.WARNING
    assert found.house_rules == ("oxygen_narcotic",)
    assert ("oxygen counted" in found.text) is counted
    clearer = Mixture.parse(re.match(r"(\S+) instead of", found.cure).group(1))
    assert not hazards(with_mix(plan, "18/35", clearer), "narcotic")
    shallower_m = float(re.search(r"down to ([0-9.]+)", found.cure).group(1))
    shallower_m = m_from_feet(shallower_m) if imperial else shallower_m
    level = replace(plan.levels[0], depth_m=shallower_m)
    assert not hazards(replace(plan, levels=(level,)), "narcotic")


def test_the_narcotic_depth_is_the_one_by_hand_and_rounded_up():
    # oxygen counted: (1 - 0.45) * (1.01325 + 6.5) - 1.01325 = 3.119 bar, 31.2 m
    plan = plan_of([gas("18/45", "bottom"), gas("EAN50", "decompression")], [(65.0, 15.0)])
    assert "as narcotic as air at 31.2 m" in hazard(plan, "narcotic").text


def test_a_person_at_the_very_limit_is_left_alone():
    gases = [gas("air", "bottom")]
    depth_m = m_from_feet(100.0)
    plan = plan_of(gases, [(depth_m, 10.0)], imperial=True, narcotic_limit_m=depth_m)
    assert not hazards(plan, "narcotic")
    assert hazards(replace(plan, narcotic_limit_m=depth_m - 0.01), "narcotic")


@pytest.mark.parametrize(("depth_m", "rate", "warned"), [
    (96.0, 20.0, True), (96.0, 19.9, False), (90.0, 25.0, False),
])  # fmt: skip
def test_deep_and_fast_on_helium_is_cautioned(depth_m, rate, warned):
    gases = [gas("10/70", "bottom"), gas("EAN50", "travel", 15.0), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(depth_m, 15.0)], descent_m_per_min=rate)
    found = hazards(plan, "nervous-syndrome")
    assert bool(found) is warned
    if found:
        assert "no published source" in found[0].why
        assert "descend slower than 20 m/min" in found[0].cure


def test_its_cure_in_feet_is_not_faster_than_the_limit():
    gases = [gas("10/70", "bottom"), gas("EAN50", "travel"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(m_from_feet(320.0), 15.0)], imperial=True, descent_m_per_min=22.0)
    assert "slower than 65 ft/min" in hazard(plan, "nervous-syndrome").cure
    assert not hazards(replace(plan, descent_m_per_min=m_from_feet(65.0)), "nervous-syndrome")


def test_a_clean_dive_has_none_of_these():
    gases = [gas("21/35", "bottom"), gas("EAN50", "decompression")]
    codes = {one.code for one in schedule(plan_of(gases, [(42.0, 20.0)], water=SEA)).hazards}
    assert not codes & {"hypoxic", "hyperoxic", "dense-gas", "narcotic", "nervous-syndrome"}
