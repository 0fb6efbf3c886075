"""The travel window: what a person asks for, what is proposed, what is refused, and its cures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.dive.plan import CarriedGas, Use
from slatewright.dive.schedule import schedule
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water, WaterKind, water
from unit.dive.plans import (
    FRESH,
    RULES,
    SEA,
    gas,
    hazard,
    hazards,
    hypoxic_dive,
    oxygen_in,
    plan_of,
    refusal,
    with_mix,
)


def window_of(plan):
    (window,) = schedule(plan).switches
    return window


@pytest.mark.parametrize(
    ("column", "floor_bar", "floor_m", "limit_m"),
    [
        # by hand: (0.18 / 0.1 - 1.01325) / w and (1.43 / 0.5 - 1.01325) / w
        (Water(), 0.18, 7.8675, 18.4675),
        (SEA, 0.18, 7.8270, 18.3724),
        (FRESH, 0.16, 5.9832, 18.8316),
    ],
)
def test_the_window_lies_between_the_floor_and_the_limit(column, floor_bar, floor_m, limit_m):
    rules = RULES.model_copy(update={"floor_bar": floor_bar})
    window = window_of(hypoxic_dive(water=column, rules=rules))
    assert window.shallowest_m == pytest.approx(floor_m, abs=1e-4)
    assert window.deepest_m == pytest.approx(limit_m, abs=1e-4)
    assert window.holds(window.chosen_m)


@pytest.mark.parametrize("asked_m", [7.8675001, 8.0, 15.0, 18.4674999])
def test_a_depth_inside_is_taken_as_asked_and_nothing_is_said(asked_m):
    plan = hypoxic_dive(travel_at_m=asked_m)
    window = window_of(plan)
    assert window.chosen_m == asked_m
    assert not window.moved
    assert not hazards(plan, "travel-change-moved")
    change = next(leg for leg in schedule(plan).legs if leg.switching)
    assert (change.from_m, change.gas) == (pytest.approx(asked_m, abs=1e-5), Mixture(0.5))
    assert change.minutes == 1.0


def test_without_a_wish_a_level_near_the_middle_is_proposed():
    window = window_of(hypoxic_dive())
    assert window.chosen_m == 12.0  # the middle is 13.2 m
    assert not window.moved


def test_a_window_without_a_level_gets_a_depth_that_can_be_read():
    gases = [gas("10/70", "bottom"), gas("EAN70", "travel"), gas("EAN50", "decompression")]
    window = window_of(plan_of(gases, [(90.0, 15.0)]))
    # 7.87 m to (1.43 / 0.7 - 1.01325) / 0.1 = 10.30 m has a level, 9 m
    assert window.chosen_m == 9.0
    narrow = plan_of(gases, [(90.0, 15.0)], ascent={"stop_step_m": 5.5, "last_stop_m": 5.5})
    assert window_of(narrow).chosen_m in {9.0, 9.1}


def test_an_imperial_plan_is_proposed_a_level_of_ten_feet():
    window = window_of(hypoxic_dive(imperial=True))
    assert window.chosen_m == pytest.approx(40 * 0.3048)


@pytest.mark.parametrize("imperial", [False, True])
@pytest.mark.parametrize("asked_m", [7.62, 30.48, 91.44])
def test_a_depth_outside_is_moved_and_said(asked_m, imperial):
    plan = hypoxic_dive(travel_at_m=asked_m, imperial=imperial)
    found = hazard(plan, "travel-change-moved")
    window = window_of(plan)
    assert window.moved
    assert window.holds(window.chosen_m)
    unit = "ft" if imperial else "m"
    asked = {"m": {7.62: "7.6", 30.48: "30.5", 91.44: "91.4"}, "ft": {7.62: "25", 30.48: "100"}}
    assert f"at {asked[unit].get(asked_m, '300')} {unit} was asked for" in found.text
    # the edges are rounded into the window: 7.87 m and 18.47 m, 25.8 ft and 60.6 ft
    edges = "from 26 ft to 60 ft" if imperial else "from 7.9 m to 18.4 m"
    assert edges in found.text
    assert found.at_m == window.chosen_m
    change = next(leg for leg in schedule(plan).legs if leg.switching)
    assert found.at_min == pytest.approx(change.start_min)
    assert "floor_bar" in found.house_rules
    cured = hypoxic_dive(travel_at_m=window.chosen_m, imperial=imperial)
    assert not hazards(cured, "travel-change-moved")


@pytest.mark.parametrize(("asked_m", "place", "use"), [
    (30.0, "a travel gas", Use.TRAVEL), (6.0, "a bottom gas", Use.BOTTOM),
])  # fmt: skip
def test_the_other_gas_that_the_cure_names_makes_the_depth_possible(asked_m, place, use):
    plan = hypoxic_dive(travel_at_m=asked_m)
    old = "EAN50" if use is Use.TRAVEL else "10/70"
    for o2 in oxygen_in(hazard(plan, "travel-change-moved").cure, after=place):
        cured = with_mix(plan, old, Mixture(o2, 0.6 if use is Use.BOTTOM else 0.0), (use,))
        assert not hazards(cured, "travel-change-moved"), o2
        assert window_of(cured).chosen_m == asked_m


def test_a_first_stay_above_the_limit_ends_the_window():
    gases = [gas("15/55", "bottom"), gas("EAN32", "travel", 30.0), gas("EAN32", "decompression")]
    plan = plan_of(gases, [(25.0, 20.0)])
    assert window_of(plan).deepest_m == 25.0
    assert "planned at" in hazard(plan, "travel-change-moved").text


def test_the_first_gas_must_be_breathable_at_the_surface():
    gases = [gas("10/70", "bottom"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(90.0, 20.0)])
    reason = refusal(plan)
    assert "10/70" in reason.what
    assert "house rule floor_bar" in reason.what
    assert "7.9 m or deeper" in reason.cure
    low, high = oxygen_in(reason.cure)
    # 0.18 / 1.01325 = 17.8 %, and 1.4 bar at 7.87 m, 1.8 bar, is 77.8 %
    assert (low, high) == (0.18, 0.77)
    for o2 in (low, high):
        travel = CarriedGas(Mixture(o2), Use.TRAVEL, 1.4)
        assert schedule(replace(plan, gases=(*plan.gases, travel))).verdict.passed


def test_a_travel_gas_that_is_hypoxic_itself_is_refused_by_its_own_floor():
    gases = [gas("4/90", "bottom"), gas("10/70", "travel"), gas("10/70", "decompression"),
             gas("EAN50", "decompression")]  # fmt: skip
    plan = plan_of(gases, [(100.0, 15.0)])
    reason = refusal(plan)
    assert reason.what.startswith("10/70 cannot keep a person conscious at the surface")
    assert "change to 10/70 at 7.9 m or deeper" in reason.cure
    for o2 in oxygen_in(reason.cure):
        cured = replace(plan, gases=(*plan.gases, CarriedGas(Mixture(o2), Use.TRAVEL, 1.4)))
        dive = schedule(cured)
        assert dive.verdict.passed
        assert [window.left.o2 for window in dive.switches] == [o2, 0.10]


NO_WINDOW = [
    gas("4/90", "bottom"),
    gas("EAN50", "travel"),
    gas("EAN50", "decompression"),
    gas("10/70", "decompression"),
]


def test_no_window_is_refused_and_each_maker_of_one_makes_one():
    plan = plan_of(NO_WINDOW, [(100.0, 15.0)])
    reason = refusal(plan)
    assert "EAN50 may be breathed down to 18.4 m" in reason.what
    assert "4/90 may be breathed from 34.9 m down" in reason.what
    assert "floor_bar" in reason.what
    assert "ppo2_bottom_max_bar" in reason.what
    for o2 in oxygen_in(reason.cure, after="a travel gas"):
        assert schedule(with_mix(plan, "EAN50", Mixture(o2), (Use.TRAVEL,))).verdict.passed
    for o2 in oxygen_in(reason.cure, after="a bottom gas"):
        assert schedule(with_mix(plan, "4/90", Mixture(o2, 0.8))).verdict.passed
    for o2 in oxygen_in(reason.cure, after="a further travel gas"):
        between = CarriedGas(Mixture(o2, 0.5), Use.TRAVEL, 1.4)
        assert schedule(replace(plan, gases=(*plan.gases, between))).verdict.passed


def test_a_maker_that_would_make_none_is_not_named():
    # 1/98 is hypoxic above 170 m: no travel gas reaches from the surface to there, and no bottom
    # gas that EAN50 could be left for at 18.4 m, 6.3 %, keeps its 1.2 bar at 200 m
    gases = [
        gas("1/98", "bottom", None, 1.2),
        gas("EAN50", "travel"),
        gas("EAN50", "decompression"),
    ]
    reason = refusal(plan_of(gases, [(200.0, 15.0)]))
    assert "in place of EAN50" not in reason.cure
    assert "in place of 1/98" not in reason.cure
    assert oxygen_in(reason.cure, after="a further travel gas")


def test_several_travel_gases_follow_one_another_down():
    gases = [*NO_WINDOW, gas("10/70", "travel"), gas("21/35", "travel")]
    dive = schedule(plan_of(gases, [(100.0, 15.0)]))
    assert dive.verdict.passed
    names = [(str(window.left), str(window.taken)) for window in dive.switches]
    assert names == [("EAN50", "21/35"), ("21/35", "10/70"), ("10/70", "4/90")]
    depths = [window.chosen_m for window in dive.switches]
    assert depths == sorted(depths)
    assert all(window.holds(window.chosen_m) for window in dive.switches)


@pytest.mark.parametrize("asked_m", [8.0, 16.0, 18.0])
def test_what_is_proposed_gives_way_to_what_is_asked_below_and_above(asked_m):
    below = [gas("10/70", "bottom"), gas("EAN50", "travel"), gas("EAN32", "travel", asked_m),
             gas("EAN50", "decompression")]  # fmt: skip
    changes = schedule(plan_of(below, [(90.0, 15.0)])).switches
    assert changes[1].chosen_m == asked_m
    assert changes[0].chosen_m <= asked_m
    above = [gas("10/70", "bottom"), gas("EAN50", "travel", asked_m), gas("EAN32", "travel"),
             gas("EAN50", "decompression")]  # fmt: skip
    changes = schedule(plan_of(above, [(90.0, 15.0)])).switches
    assert changes[0].chosen_m == asked_m
    assert changes[1].chosen_m >= asked_m


def test_changes_that_are_asked_for_crosswise_are_refused():
    gases = [gas("10/70", "bottom"), gas("EAN50", "travel", 18.0), gas("EAN32", "travel", 12.0),
             gas("EAN50", "decompression")]  # fmt: skip
    plan = plan_of(gases, [(90.0, 15.0)])
    reason = refusal(plan)
    assert "asked for at 12 m, above the change before it at 18 m" in reason.what
    assert "between 18 m and 34.5 m" in reason.cure
    for asked_m in (18.0, 34.5, None):
        cured = replace(plan, gases=(*gases[:2], replace(gases[2], switch_m=asked_m), gases[3]))
        assert schedule(cured).verdict.passed


def test_a_bottom_gas_that_is_breathable_at_the_surface_may_have_a_travel_gas():
    gases = [gas("21/35", "bottom"), gas("EAN32", "travel", 20.0), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(50.0, 20.0)])
    window = window_of(plan)
    assert (window.shallowest_m, window.chosen_m) == (0.0, 20.0)


def test_a_travel_gas_that_is_the_bottom_gas_needs_no_change():
    gases = [gas("21/35", "bottom"), gas("21/35", "travel"), gas("EAN50", "decompression")]
    dive = schedule(plan_of(gases, [(50.0, 20.0)]))
    assert dive.switches == ()
    assert dive.legs[0].kind is LegKind.DESCENT
    assert dive.legs[0].to_m == 50.0


def test_a_gas_with_a_low_limit_of_its_own_ends_the_window_too():
    gases = [gas("10/70", "bottom"), gas("EAN50", "travel"), gas("EAN40", "travel", None, 0.8),
             gas("EAN50", "decompression")]  # fmt: skip
    dive = schedule(plan_of(gases, [(90.0, 15.0)]))
    # by hand: (0.83 / 0.4 - 1.01325) / 0.1 = 10.6 m
    assert dive.switches[0].deepest_m == pytest.approx(10.6175, abs=1e-3)
    assert dive.verdict.passed


def test_at_altitude_the_floor_is_deeper():
    lake = water(WaterKind.FRESH, altitude_m=2500.0)
    window = window_of(hypoxic_dive(water=lake))
    assert window.shallowest_m > 10.0
    assert window.holds(window.chosen_m)
