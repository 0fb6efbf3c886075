"""From a plan to a schedule: contiguous, checked, and refused where there is no safe way."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.decompression.settings import OxygenBreaks, WholeMinutes
from slatewright.decompression.tissues import Tissues, air_saturated
from slatewright.dive.plan import Carried, Level, Use
from slatewright.dive.schedule import highest_ppo2_bar, schedule
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import WaterKind, water
from unit.dive.plans import FRESH, RULES, gas, hazards, hypoxic_dive, plan_of, refusal


def test_the_legs_join_from_surface_to_surface():
    dive = schedule(hypoxic_dive())
    assert (dive.legs[0].from_m, dive.legs[-1].to_m) == (0.0, 0.0)
    for before, after in pairwise(dive.legs):
        assert after.start_min == pytest.approx(before.end_min, abs=1e-9)
        assert after.from_m == pytest.approx(before.to_m, abs=1e-9)
    assert dive.runtime_min == dive.legs[-1].end_min
    assert dive.verdict.passed
    assert dive.bottom_left_min == 20.0
    assert len(dive.oxygen_after_leg) == len(dive.legs)


def test_hazards_come_the_most_severe_first():
    dive = schedule(hypoxic_dive())
    order = ["danger", "warning", "note"]
    ranks = [order.index(hazard.severity) for hazard in dive.hazards]
    assert ranks == sorted(ranks)
    assert len(ranks) >= 2


@pytest.mark.parametrize("rule", ["run time", "arrival"])
def test_stops_end_on_whole_minutes_by_house_rule(rule):
    plan = hypoxic_dive(ascent={"whole_minutes": WholeMinutes(rule), "switch_min": 0.5})
    dive = schedule(plan)
    assert dive.verdict.passed, dive.verdict.findings
    rising = [leg for leg in dive.legs if leg.start_min >= dive.bottom_left_min]
    leaves = [
        (before, after) for before, after in pairwise(rising)
        if before.kind is LegKind.STOP and after.kind is LegKind.ASCENT
    ]  # fmt: skip
    assert leaves
    for before, _ in leaves:
        at_level = [leg for leg in rising if leg.kind is LegKind.STOP and leg.to_m == before.to_m]
        minutes = sum(leg.minutes for leg in at_level) if rule == "arrival" else before.end_min
        assert minutes == pytest.approx(round(minutes), abs=1e-6)


@pytest.mark.parametrize("counted", [True, False])
def test_breaks_pass_the_check_counted_or_not(counted):
    plan = hypoxic_dive(ascent={"breaks": OxygenBreaks(12, 6, counted=counted)})
    dive = schedule(plan)
    assert dive.verdict.passed, dive.verdict.findings
    assert any(leg.pause for leg in dive.legs)


def test_breaks_that_are_not_counted_cost_time():
    def minutes(*, counted):
        return schedule(
            hypoxic_dive(ascent={"breaks": OxygenBreaks(12, 6, counted=counted)})
        ).runtime_min

    assert minutes(counted=False) > minutes(counted=True)


def test_the_lowest_floor_lets_the_lean_gas_be_breathed_higher():
    rules = RULES.model_copy(update={"floor_bar": 0.16})
    gases = [gas("10/70", "bottom"), gas("EAN50", "travel"), gas("O2", "decompression")]
    # 0.16 / 0.1 - 1.01325 = 5.87 m: 10/70 reaches 6 m, where oxygen is taken up
    dive = schedule(plan_of(gases, [(60.0, 15.0)], rules=rules))
    assert dive.verdict.passed
    assert refusal(plan_of(gases, [(60.0, 15.0)]))


def test_the_limit_of_a_leg_is_that_of_its_use_then():
    plan = hypoxic_dive()
    dive = schedule(plan)
    down = next(leg for leg in dive.legs if leg.gas == Mixture(0.5))
    up = next(leg for leg in reversed(dive.legs) if leg.gas == Mixture(0.5))
    assert (highest_ppo2_bar(plan, down), highest_ppo2_bar(plan, up)) == (1.4, 1.6)


def test_a_stay_above_the_ceiling_is_refused_and_the_cure_holds():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(60.0, 25.0), (15.0, 60.0)])
    reason = refusal(plan)
    assert "from 60 m to 15 m passes the ceiling" in reason.what
    assert schedule(replace(plan, levels=plan.levels[:1])).verdict.passed
    deeper = (plan.levels[0], Level(40.0, 40.0))
    assert schedule(replace(plan, levels=deeper)).verdict.passed


def test_a_slow_planned_ascent_is_held_against_the_ceiling_on_its_way():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression")]
    slow = {"to_first_stop_m_per_min": 1.0}
    plan = plan_of(gases, [(60.0, 15.0), (27.0, 50.0)], ascent=slow)
    dive = schedule(plan)
    assert dive.verdict.passed, dive.verdict.findings


def test_one_who_comes_to_altitude_too_full_is_refused_before_the_dive():
    lake = water(WaterKind.FRESH, altitude_m=3000.0)
    gases = [gas("EAN40", "bottom")]
    full = Carried(Tissues((1.6,) * 16, (0.0,) * 16))
    plan = plan_of(gases, [(20.0, 20.0)], water=lake, carried=full)
    reason = refusal(plan)
    assert "passes the line at this surface" in reason.what
    rested = replace(plan, carried=Carried(air_saturated(lake.surface_bar)))
    assert schedule(rested).verdict.passed


def test_one_who_comes_up_from_the_sea_is_not():
    lake = water(WaterKind.FRESH, altitude_m=2000.0)
    plan = plan_of([gas("EAN32", "bottom")], [(20.0, 20.0)], water=lake)
    at_once = replace(plan, carried=Carried(air_saturated(1.01325)))
    assert schedule(at_once).verdict.passed
    assert schedule(at_once).runtime_min >= schedule(plan).runtime_min


def test_an_obligation_without_end_is_refused():
    gases = [gas("air", "bottom", None, 1.6)]
    reason = refusal(plan_of(gases, [(60.0, 1400.0)]))
    assert "24 h" in reason.what


def test_an_imperial_plan_on_its_levels_is_the_same_dive():
    imperial = hypoxic_dive(imperial=True)
    metric = replace(imperial, units=hypoxic_dive().units)
    one, two = schedule(imperial), schedule(metric)
    assert one.runtime_min == pytest.approx(two.runtime_min, abs=1e-9)
    assert [leg.kind for leg in one.legs] == [leg.kind for leg in two.legs]


def test_texts_of_an_imperial_plan_speak_no_metres():
    gases = [gas("12/50", "bottom"), gas("EAN50", "travel", 30.48), gas("EAN32", "decompression"),
             gas("EAN50", "decompression"), gas("O2", "decompression"),
             gas("15/50", "decompression")]  # fmt: skip
    plan = plan_of(
        gases, [(103.632, 25.0)], imperial=True, descent_m_per_min=25.0, water=FRESH,
        ascent={"to_first_stop_m_per_min": 12.0},
    )  # fmt: skip
    dive = schedule(plan)
    assert len({hazard.code for hazard in dive.hazards}) >= 7
    for hazard in dive.hazards:
        words = f"{hazard.text} {hazard.why} {hazard.cure}".split()
        assert "m" not in {word.strip(",;.:()") for word in words}, hazard
        assert not any(word.startswith("m/min") for word in words), hazard


def test_every_use_of_a_gas_may_have_its_own_limit():
    gases = [gas("25/25", "bottom", None, 1.2), gas("25/25", "decompression", 42.0)]
    plan = plan_of(gases, [(36.0, 20.0)])
    assert {gas.use for gas in plan.gases} == {Use.BOTTOM, Use.DECOMPRESSION}
    assert schedule(plan).verdict.passed
    assert not hazards(plan, "hyperoxic")
