"""The demo week and the page of the plan file: what is shown to a reader is true."""

from __future__ import annotations

import re
import runpy
from itertools import pairwise
from pathlib import Path

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Use
from slatewright.dive.planfile import read_chain, read_plan_file
from slatewright.physics.density import gas_density
from slatewright.physics.narcosis import narcotic_depth

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples"
PAGE = ROOT / "docs" / "plan-file.md"
RULES = HouseRules()
WEEK = sorted((EXAMPLES / "build-up-week").glob("*.toml"))
ALL = [*WEEK, *sorted((EXAMPLES / "imperial").glob("*.toml"))]


def blocks(language):
    return re.findall(rf"```{language}\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)


def test_the_week_builds_up_in_one_chain():
    links = read_chain(EXAMPLES / "build-up-week" / "6-the-wall.toml")
    assert [link.path for link in links] == WEEK
    depths = [max(level.depth_m for level in link.plan.level) for link in links]
    assert depths == [45, 50, 60, 72, 84, 96]
    # screening rule of the trade, common practice, no published source: at most 12 m deeper a dive
    assert all(deep - before <= 12 for before, deep in pairwise(depths))


@pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)
def test_gases_are_breathable_light_and_clear_where_they_are_breathed(path):
    file = read_plan_file(path)
    plan = file.model_copy(update={"earlier": None}).to_plan(RULES)
    surface_bar = plan.water.surface_bar
    for gas in plan.gases:
        depth_m = plan.deepest_m if gas.use is Use.BOTTOM else gas.switch_m
        assert depth_m is not None
        ppo2_bar = gas.mix.o2 * plan.water.ambient_bar(depth_m)
        assert ppo2_bar <= gas.ppo2_max_bar + RULES.ppo2_tolerance_bar
        assert gas_density(gas.mix, depth_m, plan.water) <= 6.2
        if gas.mix.o2 < 1.0:
            end_m = narcotic_depth(gas.mix, depth_m, plan.water, oxygen_narcotic=True)
            assert end_m <= plan.narcotic_limit_m
    (bottom,) = plan.bottom_gases
    hypoxic = bottom.mix.o2 * surface_bar < RULES.floor_bar
    assert bool(plan.travel_gases) == hypoxic
    for travel in plan.travel_gases:
        assert travel.mix.o2 * surface_bar >= RULES.floor_bar
        assert bottom.mix.o2 * plan.water.ambient_bar(travel.switch_m) >= RULES.floor_bar


def test_the_wall_has_a_hypoxic_bottom_gas_a_travel_gas_and_three_for_decompression():
    plan = read_plan_file(WEEK[-1]).model_copy(update={"earlier": None}).to_plan(RULES)
    uses = [gas.use for gas in plan.gases]
    assert [uses.count(use) for use in (Use.BOTTOM, Use.TRAVEL, Use.DECOMPRESSION)] == [1, 1, 3]
    assert 90.0 <= plan.deepest_m <= 100.0


@pytest.mark.parametrize("text", blocks("toml"), ids=lambda text: text.split('"')[3])
def test_plan_files_on_the_page_are_right(text, tmp_path):
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    plan = read_plan_file(path).model_copy(update={"earlier": None}).to_plan(RULES)
    assert plan.levels


@pytest.mark.parametrize("code", blocks("python"))
def test_code_on_the_page_runs(code, monkeypatch):
    monkeypatch.chdir(ROOT)
    exec(compile(code, str(PAGE), "exec"), {})  # noqa: S102 - the page's own lines


def test_the_page_lists_every_key_as_the_models_have_it():
    builder = runpy.run_path(str(ROOT / "builders" / "plan_file_reference.py"))
    page = PAGE.read_text("utf-8")
    assert builder["written"](page) == page
