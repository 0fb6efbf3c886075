"""Where each gas may be breathed on the way up, the bottom gas, and the gas for breaks."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.decompression.settings import OxygenBreaks
from slatewright.dive.gases import bottom_gas, limit_bar, locker
from slatewright.dive.plan import CarriedGas, Use
from slatewright.dive.schedule import schedule
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import OXYGEN, Mixture
from slatewright.physics.units import m_from_feet
from unit.dive.plans import (
    RULES,
    SEA,
    gas,
    hazards,
    hypoxic_dive,
    oxygen_in,
    plan_of,
    refusal,
    with_mix,
)

BREAKS = {"breaks": OxygenBreaks(12, 6)}


def first_breathed_m(dive, mix):
    """Return the depth at which a gas is taken up on the way up."""
    legs = [leg for leg in dive.legs if leg.start_min >= dive.bottom_left_min]
    return next(leg.from_m for leg in legs if leg.gas == mix)


def test_a_gas_is_taken_up_at_the_deepest_level_of_its_limit():
    dive = schedule(hypoxic_dive())
    assert first_breathed_m(dive, Mixture(0.5)) == 21.0
    assert first_breathed_m(dive, OXYGEN) == 6.0


def test_oxygen_at_six_metres_in_the_sea_is_accepted_and_nothing_cries():
    plan = hypoxic_dive(water=SEA)
    dive = schedule(plan)
    # by hand: 1.01325 + 6 * 1025 * 9.80665 / 1e5 = 1.616 bar
    highest = max(ppo2_bar(leg, leg.from_m, SEA) for leg in dive.legs if leg.gas == OXYGEN)
    assert highest == pytest.approx(1.6164, abs=1e-4)
    assert dive.verdict.passed
    assert not hazards(plan, "hyperoxic")


def test_without_the_tolerance_it_is_not_accepted_there():
    rules = RULES.model_copy(update={"ppo2_tolerance_bar": 0.0})
    plan = hypoxic_dive(water=SEA, rules=rules, ascent={"last_stop_m": 3.0})
    assert first_breathed_m(schedule(plan), OXYGEN) == 3.0


def test_the_persons_level_is_taken_where_the_gas_may_be_breathed():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression", 15.0)]
    dive = schedule(plan_of(gases, [(50.0, 20.0)]))
    assert first_breathed_m(dive, Mixture(0.5)) == 15.0


def test_a_level_too_deep_is_refused_and_the_cure_is_a_level():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression", 30.0)]
    plan = plan_of(gases, [(50.0, 20.0)])
    reason = refusal(plan)
    # by hand: 0.5 * (1.01325 + 3) = 2.01 bar
    assert "EAN50 at 30 m has a ppO2 of 2.01 bar" in reason.what
    assert "house rules ppo2_stop_max_bar, ppo2_tolerance_bar" in reason.what
    assert reason.cure == "change to EAN50 at 21 m or shallower"
    cured = replace(plan, gases=(gases[0], replace(gases[1], switch_m=21.0)))
    assert schedule(cured).verdict.passed


def test_a_limit_of_its_own_is_not_called_a_house_rule():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression", 21.0, 1.3)]
    reason = refusal(plan_of(gases, [(50.0, 20.0)]))
    assert "its limit of 1.3 bar" in reason.what
    assert "ppo2_stop_max_bar" not in reason.what


def test_a_level_above_the_floor_is_refused():
    gases = [gas("10/70", "bottom"), gas("EAN50", "travel"), gas("EAN50", "decompression"),
             gas("8/80", "decompression", 9.0)]  # fmt: skip
    reason = refusal(plan_of(gases, [(90.0, 20.0)], imperial=True))
    assert "house rule floor_bar" in reason.what
    # 0.18 / 0.08 - 1.01325 = 1.237 bar, 12.37 m, 40.6 ft
    assert "change to 8/80 at 41 ft or deeper" in reason.cure


def test_the_richest_bottom_gas_within_its_limit_is_for_a_stay():
    plan = plan_of([gas("10/70", "bottom"), gas("18/45", "bottom")], [(90.0, 20.0)])
    assert bottom_gas(plan, 90.0).mix == Mixture(0.10, 0.70)
    assert bottom_gas(plan, 60.0).mix == Mixture(0.18, 0.45)
    # 18/45 reaches 1.43 bar at (1.43 / 0.18 - 1.01325) / 0.1 = 69.3 m
    assert bottom_gas(plan, 69.3).mix == Mixture(0.18, 0.45)
    assert bottom_gas(plan, 69.4).mix == Mixture(0.10, 0.70)


@pytest.mark.parametrize(("mix", "depth_m", "passes"), [("EAN32", 60.0, "over"),
                                                        ("2/98", 40.0, "below")])  # fmt: skip
def test_no_bottom_gas_is_refused_and_the_oxygen_named_would_do(mix, depth_m, passes):
    plan = plan_of([gas(mix, "bottom")], [(depth_m, 10.0)], imperial=True)
    with pytest.raises(NoSafeAnswer) as caught:
        bottom_gas(plan, depth_m)
    (reason,) = caught.value.reasons
    assert passes in reason.what
    assert " ft" in reason.what
    assert " m " not in reason.what
    for o2 in oxygen_in(reason.cure):
        assert bottom_gas(with_mix(plan, mix, Mixture(o2, 0.4)), depth_m)


def test_a_second_bottom_gas_is_not_breathed_below_its_own_depth_on_the_way_up():
    # the first stay is on 18/45, the last on 10/70 at 90 m, where 18/45 would be 1.80 bar
    gases = [gas("10/70", "bottom"), gas("18/45", "bottom"), gas("EAN50", "decompression")]
    dive = schedule(plan_of(gases, [(40.0, 10.0), (90.0, 20.0)]))
    assert dive.verdict.passed, dive.verdict.findings
    assert first_breathed_m(dive, Mixture(0.18, 0.45)) == 69.0


def test_it_waits_for_the_level_that_the_person_names():
    gases = [gas("10/70", "bottom"), gas("18/45", "bottom"), gas("18/45", "decompression", 54.0),
             gas("EAN50", "decompression")]  # fmt: skip
    dive = schedule(plan_of(gases, [(40.0, 10.0), (90.0, 20.0)]))
    assert first_breathed_m(dive, Mixture(0.18, 0.45)) == 54.0
    stay = schedule(plan_of(gases, [(60.0, 20.0)]))
    assert stay.legs[-1].gas != Mixture(0.18, 0.45)
    # what is in the mouth stays there
    rising = next(leg for leg in stay.legs if leg.start_min >= stay.bottom_left_min)
    assert (rising.gas, rising.from_m) == (Mixture(0.18, 0.45), 60.0)


@pytest.mark.parametrize("more", [
    [gas("O2", "decompression")],  # to 6 m, and 10/70 only from 7.9 m: a gap
    [],
    [gas("EAN50", "travel", 15.0), gas("O2", "decompression")],  # carried, but for travel alone
])  # fmt: skip
def test_a_way_up_with_nothing_to_breathe_is_refused_and_the_gas_named_would_do(more):
    first = [] if any(gas.use is Use.TRAVEL for gas in more) else [gas("EAN32", "travel")]
    plan = plan_of([gas("10/70", "bottom"), *first, *more], [(60.0, 15.0)])
    reason = refusal(plan)
    assert "10/70 from 7.9 m" in reason.what
    assert "inf" not in reason.what
    assert "-1" not in reason.what
    for o2 in oxygen_in(reason.cure):
        cured = replace(plan, gases=(*plan.gases, CarriedGas(Mixture(o2), Use.DECOMPRESSION, 1.6)))
        assert schedule(cured).verdict.passed
    named = re.match(r"carry (\S+) for decompression too", reason.cure)
    assert named, reason.cure
    cured = replace(plan, gases=(*plan.gases, gas(named.group(1), "decompression")))
    assert schedule(cured).verdict.passed


def test_a_gap_speaks_feet_in_an_imperial_plan():
    gases = [gas("10/70", "bottom"), gas("EAN32", "travel"), gas("O2", "decompression")]
    reason = refusal(plan_of(gases, [(60.96, 15.0)], imperial=True))
    assert "between 30 ft and 20 ft" in reason.what
    assert "10/70 from 26 ft" in reason.what
    assert not re.search(r"[0-9] m\b", reason.what + reason.cure)


def test_the_hypoxic_gas_is_never_breathed_above_its_floor():
    dive = schedule(hypoxic_dive())
    lean = [leg for leg in dive.legs if leg.gas == Mixture(0.10, 0.70)]
    assert min(min(leg.from_m, leg.to_m) for leg in lean) >= 7.8675


def test_a_bottom_between_levels_whose_gas_reaches_no_level_is_refused():
    gases = [gas("10/70", "bottom"), gas("EAN32", "travel"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(8.5, 20.0)])
    reason = refusal(plan)
    assert "the bottom ends at 8.5 m" in reason.what
    cured = plan_of(gases, [(9.0, 20.0)])
    assert schedule(cured).verdict.passed


def test_breaks_are_taken_on_the_gas_that_is_named():
    plan = hypoxic_dive(ascent=BREAKS, break_gas=Mixture(0.5))
    dive = schedule(plan)
    pauses = [leg for leg in dive.legs if leg.pause]
    assert pauses
    assert {leg.gas for leg in pauses} == {Mixture(0.5)}
    assert {leg.kind for leg in pauses} == {LegKind.STOP}
    assert all(leg.minutes <= 6.0 + 1e-9 for leg in pauses)
    assert not hazards(plan, "unbroken-oxygen")


def test_without_a_name_the_leanest_that_fits_is_chosen():
    plan = hypoxic_dive(ascent=BREAKS)
    more = replace(plan, gases=(*plan.gases, gas("21/35", "decompression")))
    assert {leg.gas for leg in schedule(more).legs if leg.pause} == {Mixture(0.21, 0.35)}
    assert {leg.gas for leg in schedule(plan).legs if leg.pause} == {Mixture(0.5)}


@pytest.mark.parametrize(("named", "says"), [
    ("10/70", "0.10 bar at the surface, below the floor"),
    ("EAN32", "which is not carried"),
    ("O2", "which is oxygen itself"),
    ("21/35", "which is carried for travel alone"),
])  # fmt: skip
def test_a_gas_that_cannot_be_breathed_in_breaks_is_refused(named, says):
    plan = hypoxic_dive(ascent=BREAKS, break_gas=Mixture.parse(named))
    plan = replace(plan, gases=(*plan.gases, gas("21/35", "travel", 30.0)))
    reason = refusal(plan)
    assert says in reason.what
    assert reason.cure == "name EAN50 for the breaks, or plan without breaks"
    assert schedule(replace(plan, break_gas=Mixture(0.5))).verdict.passed
    without = replace(plan, break_gas=None, settings=replace(plan.settings, breaks=None))
    assert schedule(without).verdict.passed


def test_breaks_without_any_gas_for_them_are_refused():
    gases = [gas("10/70", "bottom"), gas("EAN32", "travel"),
             gas("12/60", "decompression"), gas("O2", "decompression")]  # fmt: skip
    plan = plan_of(gases, [(60.0, 15.0)], ascent=BREAKS)
    reason = refusal(plan)
    assert "no leaner gas" in reason.what
    for o2 in oxygen_in(reason.cure):
        more = CarriedGas(Mixture(o2), Use.DECOMPRESSION, 1.6)
        assert schedule(replace(plan, gases=(*gases, more))).verdict.passed


def test_breaks_that_have_no_oxygen_to_break_ask_for_nothing():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression")]
    dive = schedule(plan_of(gases, [(50.0, 20.0)], ascent=BREAKS))
    assert not any(leg.pause for leg in dive.legs)


def test_each_mixture_is_numbered_once_and_travel_alone_is_not_for_the_way_up():
    plan = hypoxic_dive()
    gases = locker(replace(plan, gases=(*plan.gases, gas("EAN32", "travel"))))
    assert [str(mix) for mix in gases.mixes] == ["10/70", "EAN50", "O2", "EAN32"]
    assert gases.rising[3].deepest_m < 0.0


def test_a_limit_is_that_of_the_use():
    plan = hypoxic_dive()
    assert limit_bar(plan, Mixture(0.5), [Use.TRAVEL]) == 1.4
    assert limit_bar(plan, Mixture(0.5), [Use.TRAVEL, Use.DECOMPRESSION]) == 1.6
    assert limit_bar(plan, Mixture(0.5), [Use.BOTTOM]) == 0.0


def test_levels_of_ten_feet_are_kept():
    dive = schedule(hypoxic_dive(imperial=True))
    assert first_breathed_m(dive, Mixture(0.5)) == pytest.approx(m_from_feet(70.0))
    assert first_breathed_m(dive, OXYGEN) == pytest.approx(m_from_feet(20.0))
