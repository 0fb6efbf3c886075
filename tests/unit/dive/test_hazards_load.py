"""Hazards of dose and pace; each cure that bears a figure is applied and cures."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from slatewright.decompression.oxygen import daily_allowance_otu, total_allowance_otu
from slatewright.decompression.oxygen_formulas import cns_after_surface_pct
from slatewright.decompression.settings import OxygenBreaks
from slatewright.decompression.tissues import air_saturated
from slatewright.dive.hazard import Severity
from slatewright.dive.plan import Carried, Level
from slatewright.dive.schedule import schedule
from slatewright.physics.units import m_from_feet
from slatewright.physics.water import WaterKind, water
from unit.dive.plans import RULES, gas, hazard, hazards, hypoxic_dive, plan_of

FULL = air_saturated(1.01325)


def carrying(plan, **loads):
    return replace(plan, carried=Carried(FULL, **loads))


def leaving(plan, cure):
    """Apply 'leaving ... at N min of run time' to a plan."""
    minute = float(re.search(r"at ([0-9]+) min of run time", cure).group(1))
    *before, last = plan.levels
    return replace(plan, levels=(*before, replace(last, leave_at_min=minute))), minute


@pytest.mark.parametrize("imperial", [False, True])
def test_a_cns_share_over_100_is_a_danger_and_both_cures_cure_it(imperial):
    plan = hypoxic_dive(ascent={"breaks": OxygenBreaks(12, 6)}, imperial=imperial)
    plan = replace(plan, levels=(Level(90.0, 18.0),))
    found = hazard(plan, "cns")
    dive = schedule(plan)
    assert found.severity is Severity.DANGER
    assert dive.oxygen.cns_pct > 100.0
    assert f"{math.floor(dive.oxygen.cns_pct)} % on surfacing" in found.text
    assert found.house_rules == ("oxygen_table",)
    # the minute is that of the leg on which 100 % are passed
    at = next(i for i, leg in enumerate(dive.legs) if leg.end_min == found.at_min)
    assert dive.oxygen_after_leg[at].cns_pct > 100.0 >= dive.oxygen_after_leg[at - 1].cns_pct
    shorter, minute = leaving(plan, found.cure)
    assert not hazards(shorter, "cns")
    longer = replace(plan, levels=(replace(plan.levels[0], leave_at_min=minute + 1.0),))
    assert hazards(longer, "cns")
    step_m = plan.settings.stop_step_m
    assert f"a last stop at {'10 ft' if imperial else '3 m'} brings it to" in found.cure
    shallow = replace(plan, settings=replace(plan.settings, last_stop_m=step_m))
    assert not hazards(shallow, "cns")


def test_above_80_it_is_a_warning_and_at_80_nothing():
    plan = replace(hypoxic_dive(ascent={"last_stop_m": 3.0}), levels=(Level(90.0, 15.0),))
    own = schedule(plan).oxygen.cns_pct
    assert own < 79.0
    for total, severity in ((79.9, None), (80.1, Severity.WARNING), (100.1, Severity.DANGER)):
        found = hazards(carrying(plan, cns_pct=total - own), "cns")
        assert [one.severity for one in found] == ([severity] if severity else [])


def test_a_surface_interval_longer_by_so_much_cures_what_was_carried_in():
    plan = replace(hypoxic_dive(ascent={"last_stop_m": 3.0}), levels=(Level(90.0, 15.0),))
    own = schedule(plan).oxygen.cns_pct
    found = hazard(carrying(plan, cns_pct=110.0 - own), "cns")
    assert found.house_rules == ("oxygen_table", "cns_half_time_min")
    minutes = float(re.search(r"longer by ([0-9]+) min", found.cure).group(1))
    left = cns_after_surface_pct(110.0 - own, minutes, RULES.cns_half_time_min)
    assert not hazards(carrying(plan, cns_pct=left), "cns")
    sooner = cns_after_surface_pct(110.0 - own, minutes - 30.0, RULES.cns_half_time_min)
    assert hazards(carrying(plan, cns_pct=sooner), "cns")


def test_a_share_carried_in_beyond_all_is_told_from_the_first_leg():
    found = hazard(carrying(hypoxic_dive(), cns_pct=150.0), "cns")
    assert found.at_min == schedule(hypoxic_dive()).legs[0].end_min
    assert "no dive before" in found.cure


def test_a_share_beyond_the_published_tables_is_told_and_named():
    # oxygen at 21 m is 3.1 bar; the exceptional table ends at 2.8 atm
    plan = plan_of([gas("18/45", "bottom"), gas("O2", "decompression", 21.0, 3.1)], [(50.0, 20.0)])
    found = hazard(plan, "cns")
    assert math.isinf(schedule(plan).oxygen.cns_pct)
    assert "beyond the published tables" in found.text
    assert "breathe O2 shallower" in found.cure
    shallower = replace(plan, gases=(plan.gases[0], gas("O2", "decompression", 6.0)))
    assert not hazards(shallower, "cns")


def test_oxygen_breathed_beyond_the_tables_from_the_first_leg_on_has_a_cure():
    plan = plan_of([gas("O2", "bottom", None, 3.1)], [(20.0, 5.0)])
    assert "breathe O2 shallower" in hazard(plan, "cns").cure


def test_the_allowance_of_the_first_day_is_850():
    # [HAMILTON1988]: 850 units on the first day
    own = schedule(hypoxic_dive()).oxygen.otu
    assert not hazards(carrying(hypoxic_dive(), otu_today=849.0 - own), "pulmonary")
    found = hazard(carrying(hypoxic_dive(), otu_today=851.0 - own), "pulmonary")
    assert found.severity is Severity.WARNING
    assert "851 pulmonary units today; day 1 allows 850" in found.text
    shorter, _ = leaving(carrying(hypoxic_dive(), otu_today=851.0 - own), found.cure)
    assert not hazards(shorter, "pulmonary")


def test_a_later_day_has_its_own_allowance_and_the_run_another():
    plan = hypoxic_dive()
    own = schedule(plan).oxygen.otu
    day, run = daily_allowance_otu(4), total_allowance_otu(4)  # 525 and 2100
    assert not hazards(carrying(plan, day=4, otu_before_today=run - own - 1.0), "pulmonary")
    found = hazard(carrying(plan, day=4, otu_before_today=run - own + 1.0), "pulmonary")
    assert "2101 pulmonary units in 4 days; 2100 are allowed" in found.text
    assert "two days without a dive" in found.cure
    assert not hazards(plan, "pulmonary")  # that is what a new run begins with
    found = hazard(carrying(plan, day=4, otu_today=day - own + 1.0), "pulmonary")
    assert "526 pulmonary units today; day 4 allows 525" in found.text


def test_the_place_is_where_the_allowance_is_passed():
    plan = carrying(hypoxic_dive(), otu_today=849.0)
    dive = schedule(plan)
    found = hazard(plan, "pulmonary")
    i = next(i for i, leg in enumerate(dive.legs) if leg.end_min == found.at_min)
    assert dive.oxygen_after_leg[i].otu > 850.0
    assert i == 0 or dive.oxygen_after_leg[i - 1].otu <= 850.0


def test_after_the_last_day_of_the_table_nothing_is_read_out_of_it():
    found = hazard(carrying(hypoxic_dive(), day=31), "pulmonary")
    assert "day 31 of a run of days, and the table ends at day 30" in found.text
    assert not hazards(carrying(hypoxic_dive(), day=30), "pulmonary")


@pytest.mark.parametrize("imperial", [False, True])
def test_an_ascent_faster_than_the_model_is_warned_and_the_rate_of_the_cure_is_not(imperial):
    rates = ("to_first_stop_m_per_min", "between_stops_m_per_min", "to_surface_m_per_min")
    plan = hypoxic_dive(ascent={"to_first_stop_m_per_min": 12.0}, imperial=imperial)
    found = hazard(plan, "ascent-rate")
    assert found.at_m == 90.0
    number, unit = re.search(r"at ([0-9.]+) (m|ft)/min or slower", found.cure).groups()
    # 10 m/min are 32.8 ft/min, and 33 would be faster
    assert (number, unit) == (("32", "ft") if imperial else ("10", "m"))
    rate = m_from_feet(float(number)) if imperial else float(number)
    cured = replace(plan, settings=replace(plan.settings, **dict.fromkeys(rates, rate)))
    assert not hazards(cured, "ascent-rate")


def test_long_oxygen_without_a_break_is_told_and_breaks_cure_it():
    plan = hypoxic_dive()
    found = hazard(plan, "unbroken-oxygen")
    assert found.severity is Severity.NOTE
    assert found.at_m == 6.0
    with_breaks = replace(plan.settings, breaks=OxygenBreaks(12, 6))
    assert not hazards(replace(plan, settings=with_breaks), "unbroken-oxygen")


def test_breaks_that_come_too_late_are_told_by_their_figure():
    plan = hypoxic_dive(ascent={"breaks": OxygenBreaks(40, 5)})
    found = hazard(plan, "unbroken-oxygen")
    assert found.cure == "a break after 30 min at most, not 40"
    sooner = replace(plan.settings, breaks=OxygenBreaks(30, 5))
    assert not hazards(replace(plan, settings=sooner), "unbroken-oxygen")


@pytest.mark.parametrize(("depth_m", "imperial", "told"), [
    (100.0, False, False), (101.0, False, True),
    (m_from_feet(330.0), True, False), (m_from_feet(331.0), True, True),
])  # fmt: skip
def test_deeper_than_courses_go_is_out_of_range(depth_m, imperial, told):
    gases = [gas("10/70", "bottom"), gas("EAN50", "travel"), gas("EAN50", "decompression")]
    found = hazards(plan_of(gases, [(depth_m, 15.0)], imperial=imperial), "out-of-range")
    assert bool(found) is told
    if told:
        assert f"deeper than {'330 ft' if imperial else '100 m'}" in found[0].text


def test_long_dives_and_high_lakes_are_out_of_range():
    lake = water(WaterKind.FRESH, altitude_m=4600.0)
    high = plan_of([gas("EAN40", "bottom")], [(15.0, 20.0)], water=lake)
    assert "below 0.6 bar" in hazard(high, "out-of-range").text
    gases = [gas("21/35", "bottom"), gas("EAN50", "decompression"), gas("O2", "decompression")]
    long = plan_of(gases, [(50.0, 180.0)])
    assert "longer than 6 h" in hazard(long, "out-of-range").text
    shorter = replace(long, levels=(Level(50.0, 30.0),))
    assert not hazards(shorter, "out-of-range")
