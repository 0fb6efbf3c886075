"""A course with a dive on a closed circuit: built up like any other, its skills as far as known."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from slatewright.course.buildup import GasWanted, build_up
from slatewright.course.buildup_course import course_of
from slatewright.course.buildup_gas import gas_of
from slatewright.course.buildup_skills import judged, load_by, skills_of
from slatewright.course.coursefile import plans_beside, read_course_text
from slatewright.course.skill_schedule import propose_skills
from slatewright.course.skillfile import shipped_skills
from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.fill.pricefile import read_prices
from slatewright.physics.mixture import Mixture
from slatewright.supply.loop_supply import loop_supply
from slatewright.supply.reading import planned

EXAMPLES = Path(__file__).parents[3] / "examples"
LOOP = EXAMPLES / "closed-circuit" / "1-the-terrace.toml"
TEXT = """
schema = "slatewright/course/1"
title = "A loop on the Stair"
units = "metric"
[limits]
[[instructor]]
name = "Mirren"
[[student]]
name = "Tove"
deepest_m = 60
helium_before = true
[[dive]]
plan = "../build-up-week/2-the-saddle.toml"
on = 2031-05-05
at = "10:00"
who = ["Mirren", "Tove"]
skills = ["trim"]
[[dive]]
plan = "../closed-circuit/1-the-terrace.toml"
on = 2031-05-05
at = "14:30"
who = ["Mirren", "Tove"]
skills = ["controlled-ascent", "lost-deco-gas"]
"""
LIBRARY, RULES = shipped_skills(), HouseRules()


@pytest.fixture(scope="module")
def built():
    course = course_of(
        read_course_text(TEXT), plans_beside(EXAMPLES / "stair-week" / "course.toml"), text=TEXT
    )
    prices = read_prices(EXAMPLES / "fill-room" / "prices.toml")
    return build_up(course, RULES, load=load_by(LIBRARY), gas=GasWanted(prices))


def test_skills_are_judged_as_far_as_they_apply(built):
    skills = skills_of(built, LIBRARY, RULES)
    loop = skills.dives[1]
    assert loop.closed_circuit
    assert not skills.dives[0].closed_circuit
    own = {one.rule: one for one in skills.findings() if one.dive == "2"}
    assert set(own) == {"depth", "stops", "loop"}  # order was shown before, cylinders not known
    assert own["loop"].skill == "lost-deco-gas"
    assert "not judged on '2', for it is on a closed circuit" in own["loop"].what
    found = {one.code: one for one in judged(built, skills).findings}
    assert found["skill-loop"].severity is Severity.NOTE
    assert "skill-loss" not in found
    assert "skill-cylinders" not in found


def test_no_skill_of_open_circuit_is_proposed_for_a_loop(built):
    skills = skills_of(built, LIBRARY, RULES)
    proposal = propose_skills(
        [skills.dives[1]], LIBRARY, shown=skills.brought, wanted={"lost-deco-gas"}
    )
    (left,) = [one for one in proposal.unplaced if one.skill == "lost-deco-gas"]
    assert any("closed circuit" in why for why in left.why)


def test_the_gas_is_that_of_the_loop_and_bailout_comes_back(built):
    own = planned(LOOP, RULES)
    alone = loop_supply(own.dive, own.team)
    expected = {}
    for each in alone.divers:
        for use in each.cylinders:
            mix = use.carried.mix
            expected[mix] = expected.get(mix, 0.0) + use.used_free_l
    first = gas_of(_first(built), RULES).used_free_l
    both = built.gas.used_free_l
    fed = {mix: both[mix] - first.get(mix, 0.0) for mix in expected}
    # what the first dive left makes the stops longer: that takes oxygen, and diluent none
    oxygen, diluent = Mixture.parse("O2"), Mixture.parse("12/60")
    assert expected[oxygen] < fed[oxygen] < 1.3 * expected[oxygen]
    assert fed[diluent] == pytest.approx(expected[diluent])
    needs = [need for need in built.gas.needs if need.dive == 2]
    assert len(needs) == 8
    for need in needs:
        same = need.left_gauge_bar == pytest.approx(need.gauge_bar)
        assert same is (need.mix not in expected)
    assert built.gas.bill.total > 0
    assert not [note for note in built.gas.notes if "not counted" in note]


def _first(built):
    return replace(built.timeline, dives=built.timeline.dives[:1])


def test_oxygen_is_that_of_the_setpoint(built):
    made = built.timeline.dives[1].made["Tove"]
    assert all(leg.setpoint_bar is not None for leg in made.legs)
    alone = planned(LOOP, RULES).dive
    extra_min = made.runtime_min - alone.runtime_min
    ((_, otu),) = made.days
    # a stop of a minute at 1.4 bar is 1.6 units; breathed at 6 m from a cylinder 12/60 is none
    assert otu == pytest.approx(alone.oxygen.otu + 1.63 * extra_min, abs=1.0)
    assert extra_min > 0


def test_the_first_loop_is_new_and_what_feeds_it_is_no_stage(built):
    words = [thing.words for thing in built.novelty[2].things]
    assert "a closed circuit" in words
    assert not any("besides the back" in word for word in words)
