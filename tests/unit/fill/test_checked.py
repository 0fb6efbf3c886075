"""Analyses of a fill file: judged one by one, and the dive with the cylinders of each diver."""

from __future__ import annotations

from pathlib import Path

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import read_plan_file
from slatewright.dive.schedule import schedule
from slatewright.errors import InputError, PlanFileError
from slatewright.fill.checked import TEAM, check_analyses, with_plan
from slatewright.fill.session import do_fill_file
from slatewright.physics.mixture import Mixture
from slatewright.supply.team import team_of

ROOT = Path(__file__).parents[3]
SHELF = ROOT / "examples" / "build-up-week" / "1-the-shelf.toml"
HEAD = """
schema = "slatewright/fill/1"
title = "Cylinders"
units = "metric"
date = 2031-05-10
[[source]]
name = "helium"
gas = "helium"
[[source]]
name = "oxygen"
gas = "O2"
[[source]]
name = "compressor"
gas = "air"
"""
CYLINDER = """
[[cylinder]]
name = "{name}"
size = "twin 12"
evacuated = true
test_due = {due}
oxygen_clean = true
{owner}
[[fill]]
cylinder = "{name}"
mix = "{mix}"
to_bar = 200
"""
ANALYSIS = """
[[analysis]]
cylinder = "{name}"
o2_percent = {o2}
he_percent = {he}
by = "Mirren"
at = 2031-05-10T17:40:00
gauge_bar = {bar}
"""


def row(name, mix, read=None, *, owner="", bar=200, due="2033-01-31"):
    words = f'owner = "{owner}"' if owner else ""
    text = CYLINDER.format(name=name, mix=mix, owner=words, due=due)
    if read is not None:
        text += ANALYSIS.format(name=name, o2=read[0], he=read[1], bar=bar)
    return text


def checked(tmp_path, *rows):
    path = tmp_path / "fill.toml"
    path.write_text(HEAD + "".join(rows), "utf-8")
    return check_analyses(do_fill_file(path))


@pytest.fixture(scope="module")
def dive():
    return schedule(read_plan_file(SHELF).to_plan(HouseRules()))


def gases(dive):
    (bottom,) = dive.plan.bottom_gases
    deco = next(gas for gas in dive.plan.gases if gas not in dive.plan.bottom_gases)
    return bottom.mix, deco.mix


def near(mix, o2=0.3, he=-0.5):
    return (round(mix.o2 * 100 + o2, 1), round(max(0.0, mix.he * 100 + he), 1))


def test_each_cylinder_is_judged(tmp_path):
    found = checked(
        tmp_path,
        row("good", "18/45", (18.4, 44.0)),
        row("bad", "18/45", (19.4, 44.0)),
        row("waits", "EAN50"),
    )
    assert [one.accepted for one in found.cylinders] == [True, False]
    assert found.missing == ("waits",)
    assert not found.fit
    (bad,) = found.cylinders[1:]
    assert bad.judgement.fix.contents.o2 == pytest.approx(0.18, abs=1e-9)
    assert bad.judgement.fix.contents.he == pytest.approx(0.45, abs=1e-9)


def test_all_accepted_is_fit(tmp_path):
    assert checked(tmp_path, row("good", "18/45", (18.0, 45.0))).fit


def test_a_test_that_has_run_out_is_no_cylinder_to_use(tmp_path):
    found = checked(tmp_path, row("old", "18/45", (18.0, 45.0), due="2031-01-31"))
    assert not found.cylinders[0].accepted
    assert "test was valid until" in found.cylinders[0].reasons[0].what


def test_a_pressure_above_the_working_pressure_is_refused(tmp_path):
    with pytest.raises(InputError, match="working pressure"):
        checked(tmp_path, row("high", "18/45", (18.0, 45.0), bar=260))


def test_the_pressure_that_it_settles_to_is_told(tmp_path):
    text = row("warm", "18/45", (18.0, 45.0), bar=210).rstrip() + "\ntemperature_c = 35\n"
    judgement = checked(tmp_path, text).cylinders[0].judgement
    # by the ideal law 211.0 · 293.15 / 308.15 = 200.7 bar absolute; real gas loses a little more
    assert judgement.settled_gauge_bar == pytest.approx(199.0, abs=1.5)
    assert judgement.planned_gauge_bar == 200.0


def test_each_diver_has_a_dive(tmp_path, dive):
    bottom, deco = gases(dive)
    found = with_plan(
        checked(
            tmp_path,
            row("M back", bottom, near(bottom), owner="Mirren"),
            row("M deco", deco, near(deco, -0.4, 0.0), owner="Mirren"),
            row("T back", bottom, near(bottom, 0.5, -1.0), owner="Tove"),
            row("other", "33/33", (33, 33), owner="Tove"),
        ),
        dive,
        None,
    )
    assert [one.who for one in found.replans] == [("Mirren",), ("Tove",)]
    mirren, tove = found.replans
    assert set(mirren.analysed) == {bottom, deco}
    assert set(tove.analysed) == {bottom}
    assert found.no_gas_of_the_plan == ("other",)
    assert not found.gas_judged
    for one in found.replans:
        used = {leg.gas for leg in one.outcome.after.legs}
        assert set(one.analysed.values()) <= used
        assert not set(one.analysed) & used


def test_cylinders_without_owner_are_everybodys(tmp_path, dive):
    bottom, deco = gases(dive)
    found = with_plan(checked(tmp_path, row("back", bottom, near(bottom))), dive, None)
    assert [one.who for one in found.replans] == [(TEAM,)]
    both = with_plan(
        checked(
            tmp_path,
            row("M back", bottom, near(bottom), owner="Mirren"),
            row("T back", bottom, near(bottom), owner="Tove"),
            row("deco", deco, near(deco, -0.4, 0.0)),
        ),
        dive,
        None,
    )
    assert [one.who for one in both.replans] == [("Mirren", "Tove")]  # the same gases: one dive


def test_a_closed_circuit_is_not_computed_again_and_what_to_do_is_said(tmp_path):
    plan = read_plan_file(ROOT / "examples" / "closed-circuit" / "1-the-terrace.toml")
    found = checked(tmp_path, row("bailout", "18/45", (18.2, 44.8)))
    assert found.cylinders[0].accepted
    for team in (None, team_of(plan, HouseRules())):
        with pytest.raises(InputError, match="is a dive on a closed circuit") as error:
            with_plan(found, schedule(plan.to_plan(HouseRules())), team)
        assert error.value.right.startswith("the analyses without the plan")


def test_two_cylinders_of_a_mix_make_two_dives(tmp_path, dive):
    bottom, _ = gases(dive)
    rows = [row(f"{i}", bottom, near(bottom, i / 10), owner="Mirren") for i in range(3)]
    found = with_plan(checked(tmp_path, *rows), dive, None)
    assert len(found.replans) == 3
    many = [row(f"{i}", bottom, near(bottom, i / 10 - 0.8, 0.0), owner="Mirren") for i in range(17)]
    with pytest.raises(InputError, match="dives of one plan"):
        with_plan(checked(tmp_path, *many), dive, None)


def test_a_dive_that_cannot_be_made_is_not_fit(tmp_path, dive):
    bottom, _ = gases(dive)
    lean = Mixture(bottom.o2 - 0.009, bottom.he)
    found = with_plan(
        checked(tmp_path, row("back", bottom, (lean.o2 * 100, lean.he * 100))), dive, None
    )
    assert found.cylinders[0].accepted
    assert found.replans[0].refused
    assert not found.fit


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ('cylinder = "good"\no2', 'cylinder = "bad"\no2', "no \\[\\[fill\\]\\] says"),
        ("o2_percent = 18", "o2_percent = 70", "more than the whole"),
        ("gauge_bar = 200", "", "is missing"),
        ("gauge_bar = 200", "gauge_psi = 2900", "no key of a file in metric units"),
        ("T17:40:00", "", "does not fit"),
        ('by = "Mirren"', 'by = ""', "is empty"),
        ("o2_percent = 18", "o2_percent = 0", "out of range"),
    ],
)
def test_faults_have_their_line(tmp_path, old, new, what):
    text = row("good", "18/45", (18, 45))
    assert old in text
    with pytest.raises(PlanFileError, match=what) as caught:
        checked(tmp_path, text.replace(old, new))
    assert all(fault.line > 0 for fault in caught.value.faults)


def test_an_analysis_twice_is_refused(tmp_path):
    again = ANALYSIS.format(name="good", o2=18, he=45, bar=200)
    with pytest.raises(PlanFileError, match="analysed twice"):
        checked(tmp_path, row("good", "18/45", (18, 45)), again)
