"""A plan written in the other system of units: a dive that a diver would write there."""

from __future__ import annotations

from pathlib import Path

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.other_units import in_other_units
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.planfile import write_plan_file
from slatewright.dive.schedule import schedule
from slatewright.supply.team import team_of

EXAMPLES = Path(__file__).parents[3] / "examples"
FILES = sorted([*(EXAMPLES / "build-up-week").glob("*.toml"), *(EXAMPLES / "imperial").glob("*")])
RULES = HouseRules()


def without_earlier(path):
    return read_plan_text(path.read_text("utf-8")).model_copy(update={"earlier": None})


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_it_is_nearly_the_same_dive_and_never_a_shallower_one(path):
    plan_file = without_earlier(path)
    other = in_other_units(plan_file)
    assert other.units is not plan_file.units
    plan, again = plan_file.to_plan(RULES), other.to_plan(RULES)
    for level, same in zip(plan.levels, again.levels, strict=True):
        assert level.depth_m - 1e-9 <= same.depth_m <= level.depth_m + 1.0
    assert schedule(again).verdict.passed
    # ten feet are a little more than three metres, so that run times differ by some minutes
    assert schedule(again).runtime_min == pytest.approx(schedule(plan).runtime_min, rel=0.1)
    assert read_plan_text(write_plan_file(other)) == other


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_fills_are_not_higher_breathing_and_reserves_not_lower(path):
    plan_file = without_earlier(path)
    team, again = team_of(plan_file, RULES), team_of(in_other_units(plan_file), RULES)
    for diver, same in zip(team.divers, again.divers, strict=True):
        assert same.rmv.swimming_l_per_min >= diver.rmv.swimming_l_per_min - 1e-9
        assert same.rmv.stressed_l_per_min >= diver.rmv.stressed_l_per_min - 1e-9
        for held, kept in zip(diver.kit, same.kit, strict=True):
            assert kept.cylinder == held.cylinder
            assert held.start_gauge_bar - 1.1 <= kept.start_gauge_bar <= held.start_gauge_bar + 1e-9
    # where nothing is written, each system has its own default: 10 bar, 150 psi
    assert again.rules.residual_gauge_bar >= min(team.rules.residual_gauge_bar, 10.0) - 1e-9
    assert again.rules.inflation_free_l >= team.rules.inflation_free_l - 1e-9


def test_levels_count_as_a_diver_counts_them():
    text = (EXAMPLES / "build-up-week" / "6-the-wall.toml").read_text("utf-8")
    other = in_other_units(read_plan_text(text))
    assert other.model.last_stop_ft == 10
    assert [gas.switch_at_ft for gas in other.gas] == [None, 150, 70, 20]
    assert other.gas[1].travel_to_ft == 120
    assert other.level[0].depth_ft == 315  # 96 m are 314.96 ft
    assert other.ascent.to_first_stop_ft_per_min == 30
    assert other.water.temperature_f == 52
    assert other.earlier == read_plan_text(text).earlier
