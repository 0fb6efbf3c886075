"""Cylinders and people in plan files: what they mean, and what is refused, line by line."""

from __future__ import annotations

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import read_plan_file
from slatewright.errors import PlanFileError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, bar_from_psi
from slatewright.supply.kit import Place, TurnRule
from slatewright.supply.team import team_of

PLAN = """\
schema = "slatewright/plan/1"
title = "The saddle, 50 m"
units = "metric"
[water]
temperature_c = 9
[diver]
name = "Mirren"
rmv_swimming_l_per_min = 17
rmv_stressed_l_per_min = 28
[reserve]
turn_rule = "thirds"
residual_bar = 15
[[gas]]
mix = "18/45"
use = "bottom"
[[gas]]
mix = "EAN50"
use = "decompression"
switch_at_m = 21
[[cylinder]]
gas = "18/45"
size = "twin 12"
pressure_bar = 220
place = "back"
[[cylinder]]
gas = "50%"
size = "stage 11.1"
pressure_bar = 200
[[level]]
depth_m = 50
leave_at_min = 25
"""
PARTNER = """
[[partner]]
name = "Tove"
rmv_swimming_l_per_min = 20
rmv_stressed_l_per_min = 34
gauge = "psi"
"""
OWN = """
[[size]]
name = "my pair"
rated_cuft = 200
rated_psi = 3442
rating = "as held"
material = "steel"
empty_mass_lb = 76
buoyancy_empty_lb = -10
count = 2
"""


@pytest.fixture
def path(tmp_path):
    return tmp_path / "plan.toml"


@pytest.fixture
def team(path):
    def read(text):
        path.write_text(text, encoding="utf-8")
        return team_of(read_plan_file(path), HouseRules(), path)

    return read


@pytest.fixture
def faults(team):
    def find(text):
        with pytest.raises(PlanFileError) as caught:
            team(text)
        return [(fault.where, fault.line, fault.what, fault.right) for fault in caught.value.faults]

    return find


def without(text, *lines):
    return "".join(f"{line}\n" for line in text.splitlines() if line not in lines)


def test_a_file_without_cylinders_has_no_team(team):
    assert (
        team(PLAN.split("[[cylinder]]", maxsplit=1)[0] + "[[level]]\ndepth_m = 50\nstay_min = 9\n")
        is None
    )


def test_what_a_file_means(team):
    found = team(PLAN)
    (mirren,) = found.divers
    assert (mirren.name, mirren.units) == ("Mirren", UnitSystem.METRIC)
    assert mirren.rmv.resting_l_per_min == mirren.rmv.working_l_per_min == 17.0
    back, stage = mirren.kit
    assert (back.cylinder.name, back.mix, back.place) == (
        "twin 12",
        Mixture(0.18, 0.45),
        Place.BACK,
    )
    assert (stage.label, stage.start_gauge_bar, stage.fill_temperature_k) == (
        "stage EAN50", 200.0, 293.15,
    )  # fmt: skip
    assert found.rules.turn_rule is TurnRule.THIRDS
    assert (found.rules.residual_gauge_bar, found.rules.decompression_factor) == (15.0, 1.5)
    assert found.water_temperature_k == pytest.approx(282.15)


def test_a_list_of_names_is_a_cylinder_for_each(team):
    text = PLAN.replace('place = "back"', 'place = "back"\ndiver = ["Tove", "Mirren"]')
    text = text.replace("pressure_bar = 200", 'pressure_bar = 200\ndiver = ["Tove", "Mirren"]')
    mirren, tove = team(text + PARTNER).divers
    assert mirren.kit == tove.kit
    assert tove.units is UnitSystem.IMPERIAL


def test_an_imperial_file(team):
    text = PLAN.replace('"metric"', '"imperial"').replace("depth_m = 50", "depth_ft = 160")
    text = text.replace("temperature_c = 9", "temperature_f = 50").replace(
        "at_m = 21", "at_ft = 70"
    )
    text = text.replace("l_per_min = 17", "cuft_per_min = 0.6").replace(
        "l_per_min = 28", "cuft_per_min = 1"
    )
    text = text.replace("residual_bar = 15", "residual_psi = 200\ninflation_cuft = 3")
    text = text.replace("pressure_bar = 220", "pressure_psi = 3200").replace("twin 12", "my pair")
    text = text.replace("pressure_bar = 200", "pressure_psi = 3000\nfill_temperature_f = 59")
    text = text.replace("stage 11.1", "al 80 cuft")
    found = team(text + OWN)
    assert found.water_temperature_k == pytest.approx(283.15)
    assert found.rules.residual_gauge_bar == pytest.approx(bar_from_psi(200.0))
    # 3 cubic feet of 28.316 846 592 L, exact by the definition of the foot
    assert found.rules.inflation_free_l == pytest.approx(84.950539776)
    back, stage = found.divers[0].kit
    assert stage.fill_temperature_k == pytest.approx(288.15)
    assert back.cylinder.count == 2
    assert back.cylinder.water_volume_l == pytest.approx(25.4, abs=0.1)  # twin of 100 cubic feet
    assert back.cylinder.working_gauge_bar == pytest.approx(237.3, abs=0.05)
    assert back.cylinder.empty_mass_kg == pytest.approx(34.47, abs=0.01)
    # displaces its own mass in fresh water less the ten pounds by which it sinks
    assert back.cylinder.external_volume_l == pytest.approx((76 - 10) * 0.45359237, abs=1e-6)
    assert found.divers[0].rmv.swimming_l_per_min == pytest.approx(16.99, abs=0.01)


def test_a_gas_without_cylinder(faults):
    text = PLAN.replace('gas = "50%"', 'gas = "18/45"')
    assert faults(text) == [
        ("gas[2]", 16, "there is no cylinder of EAN50", '[[cylinder]] with gas = "EAN50"'),
    ]


def test_each_of_the_team_needs_each_gas(faults):
    text = PLAN.replace('place = "back"', 'place = "back"\ndiver = ["Tove", "Mirren"]')
    ((where, _, what, right),) = faults(text + PARTNER)
    assert (where, what) == ("gas[2]", "Tove has no cylinder of EAN50")
    assert right == '[[cylinder]] with gas = "EAN50" and diver = "Tove"'
    ((where, _, what, _),) = faults(PLAN + PARTNER)
    assert (where, what) == ("partner[1]", "Tove has no cylinder")


def test_a_cylinder_of_a_gas_that_is_not_planned(faults):
    text = PLAN + '[[cylinder]]\ngas = "O2"\nsize = "stage 7"\npressure_bar = 200\n'
    ((where, line, what, right),) = faults(text)
    assert (where, line, what) == ("cylinder[3].gas", 33, "O2 is no gas of this plan")
    assert right.startswith("one of 18/45, EAN50, or a [[gas]]")


def test_a_pressure_above_the_working_pressure(faults):
    ((where, line, what, right),) = faults(PLAN.replace("bar = 220", "bar = 250"))
    assert (where, line) == ("cylinder[1].pressure_bar", 23)
    assert what == "cylinder 'twin 12': 250 bar is above its working pressure of 232 bar"
    assert "at most 232 bar" in right


def test_an_unknown_size_is_answered_with_the_nearest(faults):
    ((where, line, what, right),) = faults(PLAN.replace("stage 11.1", "stage 11.2"))
    assert (where, line) == ("cylinder[2].size", 27)
    assert "'stage 11.2'" in what
    assert "'stage 11.1'" in right
    ((_, _, _, right),) = faults(PLAN.replace("twin 12", "my pear") + OWN)
    assert right.startswith("perhaps your own 'my pair'")


def test_a_stage_over_its_operating_depth(faults):
    ((where, line, what, right),) = faults(PLAN.replace("switch_at_m = 21", "switch_at_m = 24"))
    assert (where, line) == ("gas[2].switch_at_m", 19)
    # 1.63 bar at 50 %: 3.26 bar absolute, 22.4 m at 10 m a bar
    assert what == "24 m is over the operating depth of EAN50, 22 m at 1.6 bar"
    assert right == "at most 22 m, or a leaner gas"


def test_two_of_one_label(faults):
    more = '[[cylinder]]\ngas = "EAN50"\nsize = "stage 7"\npressure_bar = 200\n'
    ((where, _, what, _),) = faults(PLAN + more)
    assert where == "cylinder[3].label"
    assert what == "Mirren already has one called 'stage EAN50', cylinder[2]"


def test_breathing_is_needed_with_cylinders_and_only_then(faults, team):
    text = without(PLAN, "rmv_swimming_l_per_min = 17", "rmv_stressed_l_per_min = 28")
    assert [fault[0] for fault in faults(text)] == [
        "diver.rmv_swimming_l_per_min", "diver.rmv_stressed_l_per_min",
    ]  # fmt: skip
    text = PLAN.replace("[reserve]", "works_at_depth = true\n[reserve]")
    assert [fault[0] for fault in faults(text)] == ["diver.rmv_working_l_per_min"]
    text = PLAN.replace("stressed_l_per_min = 28", "stressed_l_per_min = 16")
    assert [fault[0] for fault in faults(text)] == ["diver.rmv_stressed_l_per_min"]


def test_names(faults):
    text = PLAN.replace('place = "back"', 'diver = "Casper"') + PARTNER
    assert ("cylinder[1].diver", "'Casper' is not of the team") in [
        (where, what) for where, _, what, _ in faults(text)
    ]
    twice = PLAN + PARTNER.replace("Tove", "Mirren")
    assert faults(twice)[0][2] == "there is already one called 'Mirren'"
    crowd = PLAN + "".join(PARTNER.replace("Tove", name) for name in ("A", "B", "C"))
    assert "4 divers are no team" in [what for _, _, what, _ in faults(crowd)]


def test_the_other_systems_keys(faults):
    wrong = PLAN.replace("pressure_bar = 200", "pressure_psi = 2900")
    found = {where: right for where, _, _, right in faults(wrong)}
    assert found["cylinder[2].pressure_psi"] == "pressure_bar, with the figure converted by you"
    wrong = PLAN.replace("temperature_c = 9", "temperature_f = 48")
    assert faults(wrong)[0][3] == "temperature_c, with the figure converted by you"


@pytest.mark.parametrize(
    ("line", "instead", "key"),
    [
        ("rated_cuft = 200\n", "", "water_volume_l"),
        ("rated_cuft = 200\n", "water_volume_l = 24\nrated_cuft = 200\n", "water_volume_l"),
        ("rated_psi = 3442\n", "", "rated_psi"),
        ("empty_mass_lb = 76\n", "", "empty_mass_kg"),
        ("buoyancy_empty_lb = -10\n", "", "external_volume_l"),
        ("buoyancy_empty_lb = -10\n", "buoyancy_empty_lb = -60\n", ""),
        ("rated_psi = 3442\n", "rated_psi = 3442\nworking_bar = 232\nworking_psi = 3400\n",
         "working_psi"),
    ],
)  # fmt: skip
def test_sizes_that_cannot_be(faults, line, instead, key):
    assert line in OWN
    found = faults(PLAN.replace("twin 12", "my pair") + OWN.replace(line, instead))
    assert f"size[1].{key}".removesuffix(".") in [where for where, *_ in found]


def test_a_fault_without_a_file_names_no_line(path):
    path.write_text(PLAN.replace("bar = 220", "bar = 250"), encoding="utf-8")
    with pytest.raises(PlanFileError, match=r"^plan: cylinder\[1\]\.pressure_bar: cylinder"):
        team_of(read_plan_file(path))
