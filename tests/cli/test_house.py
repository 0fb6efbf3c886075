"""``slatewright house``: what each rule asks, what is in force, and a file to begin with."""

from __future__ import annotations

import json
import tomllib

from slatewright.dive.house_rules import HouseRules, house_rule_text


def test_each_rule_with_value_question_and_what_it_changes(run):
    text = run("house").stdout
    flat = " ".join(text.split())
    assert text.startswith("House rules as shipped\n")
    for name in HouseRules.model_fields:
        assert f"\n{name} = " in text
        for line in house_rule_text(name).splitlines():
            assert line in flat
    assert max(map(len, text.splitlines())) <= 80


def test_a_written_file_says_what_is_shipped_and_can_be_used(run, tmp_path):
    own = tmp_path / "own.toml"
    assert f"are in {own}" in " ".join(run("house", "--write", own).stdout.split())
    told = json.loads(run("house", "--house", own, "--json").stdout)
    assert told["file"] == str(own)
    assert told["rules"] == HouseRules().model_dump()
    assert "# Which is the lowest ppO2 that is breathed?" in own.read_text()
    own.write_text(own.read_text().replace("floor_bar = 0.18", "floor_bar = 0.2"))
    text = run("house", "--house", own).stdout
    assert "floor_bar = 0.2  (shipped: 0.18)" in text
    assert f"House rules from {own}" in " ".join(text.split())


def test_a_file_that_is_there_is_not_overwritten(run, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text("# mine")
    done = run("house", "--write", own)
    assert done.exit_code == 2
    assert "may hold choices of yours" in done.stderr
    assert own.read_text() == "# mine"


def test_the_place_for_ones_own_rules_is_named_and_made(run, tmp_path):
    place = tmp_path / "config" / "slatewright" / "house-rules.toml"
    assert str(place) in run("house").stdout.replace("\n", "").replace("--write", "--write ")
    done = run("house", "--write", place)
    assert done.exit_code == 0
    assert "It is used from now on." in done.stdout
    assert tomllib.loads(place.read_text())["schema"] == "slatewright/house-rules/1"
    assert json.loads(run("house", "--json").stdout)["file"] == str(place)


def test_a_folder_that_does_not_exist(run, tmp_path):
    done = run("house", "--write", tmp_path / "none" / "own.toml")
    assert done.exit_code == 2
    assert "there is no folder" in done.stderr
