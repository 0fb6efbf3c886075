from __future__ import annotations

import tomllib
from importlib.resources import files

import pytest

from slatewright.dive.house_rules import (
    SCHEMA,
    HouseRules,
    decided_by,
    house_rule_text,
    read_house_rules,
)
from slatewright.errors import PlanFileError


def written(tmp_path, text):
    path = tmp_path / "rules.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_file_as_shipped_says_what_the_code_has():
    path = files("slatewright.data").joinpath("house-rules.toml")
    raw = tomllib.loads(path.read_text("utf-8"))
    assert raw.pop("schema") == SCHEMA
    assert raw == HouseRules().model_dump()
    assert read_house_rules(path) == read_house_rules(None) == HouseRules()


@pytest.mark.parametrize("name", HouseRules.model_fields)
def test_each_rule_asks_names_choices_and_says_what_it_changes(name):
    question, *choices, changes = house_rule_text(name).splitlines()
    assert "?" in question
    assert choices
    assert changes.startswith("Changes: ")
    annotation = str(HouseRules.model_fields[name].annotation)
    for choice in ("interpolate", "step", "not counted", "run time", "arrival"):
        if f"'{choice}'" in annotation:
            assert f'"{choice}"' in house_rule_text(name)


def test_an_unknown_rule_has_no_text():
    with pytest.raises(KeyError):
        house_rule_text("schema")
    with pytest.raises(KeyError):
        decided_by(HouseRules(), "weather")


def test_decided_by():
    rules = HouseRules(floor_bar=0.16, oxygen_narcotic=False)
    assert decided_by(rules, "floor_bar") == "decided by house rule floor_bar = 0.16"
    assert decided_by(rules, "oxygen_narcotic") == "decided by house rule oxygen_narcotic = false"
    assert decided_by(rules, "breaks") == "decided by house rule breaks = counted"


def test_a_file_overrides_some(tmp_path):
    path = written(tmp_path, f'schema = "{SCHEMA}"\nfloor_bar = 0.16\nbreaks = "not counted"\n')
    assert read_house_rules(path) == HouseRules(floor_bar=0.16, breaks="not counted")


@pytest.mark.parametrize(
    ("line", "what", "right"),
    [
        ("floor_bar = 0.15", "0.15 bar is out of range", "0.16 to 0.21 bar"),
        ("floor_bar = nan", "nan", "0.16 to 0.21"),
        ("density_max_g_per_l = 6.3", "6.3 grams a litre is out of range", "above 0, up to 6.2"),
        ("oxygen_narcotic = 1", "1 is neither true nor false", "oxygen_narcotic = true"),
        ('oxygen_table = "round"', "'round' is none of the choices", "interpolate, step"),
        ("flor_bar = 0.18", "is no key of this table", "floor_bar"),
        ("density_max_g_per_l = 5.0", "is above the most", "not above density_max_g_per_l"),
    ],
)
def test_faults_have_their_line(tmp_path, line, what, right):
    path = written(tmp_path, f'schema = "{SCHEMA}"\n\n{line}\n')
    with pytest.raises(PlanFileError) as caught:
        read_house_rules(path)
    fault = caught.value
    assert what in fault.what
    assert right in fault.right
    assert fault.line == 3
    assert fault.path == path


def test_a_plan_file_is_no_file_of_house_rules(tmp_path):
    path = written(tmp_path, 'schema = "slatewright/plan/1"\nfloor_bar = 0.1\n')
    with pytest.raises(PlanFileError) as caught:
        read_house_rules(path)
    assert [fault.line for fault in caught.value.faults] == [1, 2]
    assert "is no file of house rules" in caught.value.what
