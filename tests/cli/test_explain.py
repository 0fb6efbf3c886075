"""``slatewright explain``: the list, the source of each formula, and the working on a board."""

from __future__ import annotations

import json
import math
import re

import pytest

from slatewright.sources import references
from slatewright.sources.formulary import all_formulas


def names():
    return [formula.name for formula in all_formulas()]


def test_the_list_has_every_formula_under_a_topic(run):
    text = run("explain").stdout
    for formula in all_formulas():
        assert re.search(rf"^  {formula.name} ", text, re.MULTILINE), formula.name
    assert re.search(r"^Oxygen at depth", text, re.MULTILINE)


def test_no_formula_of_the_package_is_missed():
    """What the text of the sources says must be what the register holds after importing it all."""
    assert {"operating-depth", "real-gas-contents", "pulmonary-dose"} <= set(names())
    assert len(names()) >= 25


@pytest.mark.parametrize("name", ["operating-depth", "pulmonary-dose", "rule-of-fifths"])
def test_one_formula_with_signs_units_and_source(run, name):
    formula = next(f for f in all_formulas() if f.name == name)
    text = run("explain", name).stdout
    flat = " ".join(text.split())
    assert formula.equation in text
    for parameter, symbol in formula.symbols.items():
        assert f"{symbol.sign} " in text
        assert f"{parameter}=..." in text
    for source in formula.source:
        assert source in flat
    for key in re.findall(r"\[([A-Z]\w+)\]", "".join(formula.source)):
        assert references()[key].text in flat


def test_every_formula_can_be_shown(run):
    for name in names():
        done = run("explain", name)
        assert done.exit_code == 0, name
        assert max(map(len, done.stdout.splitlines())) <= 80, name


def test_the_working_of_an_operating_depth(run):
    """By hand: 1.4 / 0.32 = 4.375 bar, less 1.01325, over 0.1 bar/m: 33.6175 m."""
    text = run("explain", "operating-depth", "o2=0.32", "limit_bar=1.4").stdout
    assert "= depth_at_pressure_m(1.4 / 0.32, 1.01325, 0.1)" in text
    assert "= (4.375 - 1.01325) / 0.1" in text
    assert text.rstrip().endswith("= 33.6175 m")
    assert "assumed: standard pressure at sea level" in " ".join(text.split())


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        (["mix=10/70", "depth=300ft"], 0.1 * (1.01325 + 91.44 * 0.1)),
        (["o2=32%", "depth_m=30"], 0.32 * (1.01325 + 3.0)),
        (["f_O2=0.21", "d=0", "p_s=0.8"], 0.21 * 0.8),
        (["mix=EAN50", "depth=21m", "surface=14.7psi"], 0.5 * (14.7 * 0.0689475729 + 2.1)),
        (["mix=O2", "depth= 6 m", "bar_per_m=0.1005"], 1.01325 + 6 * 0.1005),
    ],
)
def test_values_as_a_person_types_them(run, words, shown):
    text = run("explain", "oxygen-pressure", *words).stdout
    assert float(text.split()[-2]) == pytest.approx(shown, rel=1e-5)


def test_a_house_rule_stands_in_for_what_was_left_out(run, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text('schema = "slatewright/house-rules/1"\nfloor_bar = 0.2\n')
    text = run("explain", "hypoxic-floor", "mix=10/70", "--house", own).stdout
    assert "p_min = 0.2 bar" in text
    assert "assumed: house rule floor_bar" in " ".join(text.split())
    assert f"{(0.2 / 0.1 - 1.01325) / 0.1:.4f}".rstrip("0") in text


def test_decisions_and_inner_workings_are_shown(run):
    text = run("explain", "narcotic-depth-nitrogen-only", "mix=10/70", "depth=3").stdout
    assert re.search(r"equivalent_m < 0\.0\?  .*: yes", text)
    assert "\u2502   Ambient pressure at a depth" in text


@pytest.mark.parametrize(
    ("name", "words", "says"),
    [
        ("oxygen-pressure", ["mix=10/70", "depth=900"], "0 to 350 m"),
        ("oxygen-pressure", ["o2=32", "depth=30"], "0 to 1"),
        ("hypoxic-floor", ["o2=0"], "no value"),
        ("pulmonary-dose", ["minutes=-1", "ppo2_start=1", "ppo2_end=1"], "0 min or more"),
    ],
)
def test_outside_its_range_a_formula_gives_no_answer(run, name, words, says):
    done = run("explain", name, *words)
    assert done.exit_code == 3
    assert done.stdout == ""
    assert says in done.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["oxygen-presure"], "oxygen-pressure"),
        (["oxygen-pressure", "mix=10/70"], "no value for depth_m"),
        (["oxygen-pressure", "depth"], "no name=value"),
        (["oxygen-pressure", "depth="], "no name=value"),
        (["oxygen-pressure", "depth=nan", "mix=air"], "no number"),
        (["oxygen-pressure", "depth=9e999", "mix=air"], "no finite number"),
        (["oxygen-pressure", "depth=30,5", "mix=air"], "right would be"),
        (["oxygen-pressure", "depth=30psi", "mix=air"], "'psi' is no unit for this"),
        (["oxygen-pressure", "depth=30", "d=30", "mix=air"], "given twice"),
        (["oxygen-pressure", "mix=50", "depth=3"], "EAN50"),
        (["oxygen-pressure", "speed=3"], "no symbol 'speed'"),
        (["water-weight", "mix=air"], "asks for no mixture"),
        (["equivalent-air-depth", "mix=18/45", "depth=30"], "has helium"),
    ],
)
def test_values_that_cannot_be_used(run, words, says):
    done = run("explain", *words)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert says in done.stderr
    assert "right would be" in done.stderr


def test_json_of_list_formula_and_working(run):
    listed = json.loads(run("explain", "--json").stdout)
    assert [f["name"] for f in listed["formulas"]] == names()
    one = json.loads(run("explain", "oxygen-pressure", "--json").stdout)
    assert one["formula"] in listed["formulas"]
    worked = json.loads(
        run("explain", "oxygen-pressure", "mix=10/70", "depth=100", "--json").stdout
    )
    assert worked["result"] == pytest.approx(0.1 * 11.01325, rel=1e-12)
    assert set(worked["assumed"]) == {"surface_bar", "bar_per_m"}
    assert worked["steps"][-1]["inner"][0]["formula"] == "ambient-pressure"


def test_the_example_that_a_formula_gives_can_be_typed(run):
    """Each name=... filled with a number inside its range gives a working, or says why not."""
    for formula in all_formulas():
        words = []
        for name, symbol in formula.symbols.items():
            low = 0.0 if symbol.low is None else symbol.low
            high = symbol.high if symbol.high is not None else max(low * 2.0, 1.0)
            words.append(f"{name}={low + (high - low) * 0.6}")
        done = run("explain", formula.name, *words)
        assert done.exit_code in {0, 3}, (formula.name, done.stderr)
        if done.exit_code == 0:
            assert math.isfinite(float(re.findall(r"= (-?[\d.e+-]+)", done.stdout)[-1]))
