"""A chain of dives: gas, oxygen and days carried from one to the next."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from slatewright.decompression.rest import rest_at_surface
from slatewright.dive.chain import (
    NEW_RUN_MIN,
    NIGHT_MIN,
    carried_after,
    schedules_of,
    schedules_of_chain,
)
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import Link, parse_plan_file
from slatewright.dive.schedule import schedule
from slatewright.errors import NoSafeAnswer
from slatewright.physics.water import Water, WaterKind, water
from unit.dive.plans import hypoxic_dive

WEEK = Path(__file__).parents[3] / "examples" / "build-up-week"
RULES = HouseRules()


def plan_file(*, earlier=False, altitude_m=0.0, depth_m=45.0, leave_at_min=25.0):
    raw = {
        "schema": "slatewright/plan/1",
        "title": f"{depth_m:g} m",
        "units": "metric",
        "water": {"kind": "fresh", "altitude_m": altitude_m},
        "gas": [
            {"mix": "21/35", "use": "bottom"},
            {"mix": "EAN50", "use": "decompression"},
            {"mix": "O2", "use": "decompression"},
        ],
        "level": [{"depth_m": depth_m, "leave_at_min": leave_at_min}],
    }
    if earlier:
        raw["earlier"] = {"plan": "before.toml", "surface_interval": "1:00"}
    return parse_plan_file("", raw)


def chain(*intervals_min, **more):
    """Make links of dives with these intervals between them."""
    links = [Link(Path("1.toml"), plan_file(**more), 0.0)]
    links += [
        Link(Path(f"{i}.toml"), plan_file(earlier=True, **more), minutes)
        for i, minutes in enumerate(intervals_min, start=2)
    ]
    return links


def test_what_one_dive_leaves_the_next_begins_with():
    first, second = schedules_of_chain(chain(90.0), RULES)
    column = first.plan.water
    assert second.start == rest_at_surface(first.end, 90.0, column.surface_bar)
    carried = second.plan.carried
    # by hand: one half-time of 90 min
    assert carried.cns_pct == pytest.approx(first.oxygen.cns_pct / 2.0)
    assert carried.otu_today == pytest.approx(first.oxygen.otu)
    assert (carried.otu_before_today, carried.day) == (0.0, 1)
    assert second.runtime_min > first.runtime_min
    assert second.oxygen.otu > carried.otu_today
    assert second.verdict.passed


def test_the_half_time_is_a_house_rule():
    slow = RULES.model_copy(update={"cns_half_time_min": 180.0})
    first, second = schedules_of_chain(chain(180.0), slow)
    assert second.plan.carried.cns_pct == pytest.approx(first.oxygen.cns_pct / 2.0)


def test_no_interval_changes_nothing():
    dive = schedule(hypoxic_dive())
    carried = carried_after(dive, 0.0, dive.plan.water)
    assert carried.tissues.n2_bar == pytest.approx(dive.end.n2_bar, abs=1e-14)
    assert carried.tissues.he_bar == pytest.approx(dive.end.he_bar, abs=1e-14)
    assert carried.cns_pct == dive.oxygen.cns_pct
    assert carried.otu_today == dive.oxygen.otu


@pytest.mark.parametrize(("interval_min", "day", "today", "before"), [
    (NIGHT_MIN - 1.0, 1, True, False),   # a long afternoon is the same day
    (NIGHT_MIN, 2, False, True),
    (1260.0, 2, False, True),            # the next day
    (2520.0, 3, False, True),            # a day between, the run goes on
    (NEW_RUN_MIN, 1, False, False),      # two days: a new run
    (30 * 1440.0, 1, False, False),
])  # fmt: skip
def test_days_are_counted_and_doses_go_to_their_day(interval_min, day, today, before):
    dive = schedule(hypoxic_dive())
    carried = carried_after(dive, interval_min, dive.plan.water)
    assert carried.day == day
    assert carried.otu_today == (pytest.approx(dive.oxygen.otu) if today else 0.0)
    assert carried.otu_before_today == (pytest.approx(dive.oxygen.otu) if before else 0.0)


def test_a_week_of_two_dives_a_day_is_summed():
    done = schedules_of_chain(chain(180.0, 1080.0, 180.0, 1080.0, 180.0), RULES)
    last = done[-1].plan.carried
    assert last.day == 3
    own = [dive.oxygen.otu - (dive.plan.carried.otu_today if dive.plan.carried else 0.0)
           for dive in done]  # fmt: skip
    assert last.otu_before_today == pytest.approx(sum(own[:4]))
    assert last.otu_today == pytest.approx(own[4])
    assert all(dive.verdict.passed for dive in done)


def test_an_interval_is_spent_at_the_higher_pressure_of_the_two_places():
    dive = schedule(hypoxic_dive())
    lake = water(WaterKind.FRESH, altitude_m=2000.0)
    up = carried_after(dive, 120.0, lake)
    assert up.tissues == carried_after(dive, 120.0, Water()).tissues
    assert max(up.tissues.n2_bar) > max(rest_at_surface(dive.end, 120.0, lake.surface_bar).n2_bar)
    low = schedule(replace(hypoxic_dive(), water=lake))
    down = carried_after(low, 120.0, Water())
    assert down.tissues == rest_at_surface(low.end, 120.0, 1.01325)


def test_a_dive_in_a_higher_lake_soon_after_is_longer_or_refused():
    sea, hill = plan_file(), plan_file(earlier=True, altitude_m=700.0)
    rested = plan_file(altitude_m=700.0)
    _, after = schedules_of_chain([Link(Path("1"), sea, 0.0), Link(Path("2"), hill, 120.0)], RULES)
    (alone,) = schedules_of_chain([Link(Path("2"), rested, 0.0)], RULES)
    assert after.runtime_min > alone.runtime_min
    peak = plan_file(earlier=True, altitude_m=3000.0, depth_m=20.0)
    with pytest.raises(NoSafeAnswer, match="passes the line at this surface"):
        schedules_of_chain([Link(Path("1"), sea, 0.0), Link(Path("2"), peak, 5.0)], RULES)


def test_a_refusal_of_an_earlier_dive_bears_its_name():
    deep = plan_file(depth_m=80.0)
    links = [Link(Path("1"), deep, 0.0), Link(Path("2"), plan_file(earlier=True), 90.0)]
    with pytest.raises(NoSafeAnswer, match="the earlier dive '80 m': no bottom gas"):
        schedules_of_chain(links, RULES)
    with pytest.raises(NoSafeAnswer, match=r"^no bottom gas"):
        schedules_of_chain(links[:1], RULES)


def test_a_long_chain_ends():
    done = schedules_of_chain(chain(*(1300.0,) * 40, depth_m=30.0, leave_at_min=20.0), RULES)
    assert len(done) == 41
    assert done[-1].plan.carried.day == 41
    assert "pulmonary" in {hazard.code for hazard in done[-1].hazards}
    # the tissues have long come to repeat themselves
    assert done[-1].end.n2_bar == pytest.approx(done[-2].end.n2_bar, abs=1e-6)


def test_the_week_of_the_examples_is_computed_as_a_whole():
    done = schedules_of(WEEK / "6-the-wall.toml", RULES)
    assert [dive.plan.deepest_m for dive in done] == [45, 50, 60, 72, 84, 96]
    assert all(dive.verdict.passed for dive in done)
    days = [dive.plan.carried.day if dive.plan.carried else 1 for dive in done]
    assert days == sorted(days)
