from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from slatewright.decompression.tissues import air_saturated
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Carried, Use
from slatewright.dive.planfile import (
    PlanFile,
    interval_min,
    read_chain,
    read_plan,
    read_plan_file,
)
from slatewright.errors import InputError, PlanFileError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import WaterKind, water

RULES = HouseRules()
WALL = """\
# the wall
schema = "slatewright/plan/1"
title = "The wall, 96 m"
units = "metric"

[water]
kind = "sea"

[model]
gradient_low_pct = 30

[breaks]
gas = "EAN50"

[[gas]]
mix = "10/70"
use = "bottom"

[[gas]]
mix = "EAN50"
use = ["travel", "decompression"]
switch_at_m = 21

[[level]]
depth_m = 96
leave_at_min = 18
"""
FEET = """\
schema = "slatewright/plan/1"
title = "Two hundred feet"
units = "imperial"
[[gas]]
mix = "18/45"
use = "bottom"
[[gas]]
mix = "EAN50"
use = "decompression"
switch_at_ft = 70
[[level]]
depth_ft = 200
stay_min = 15
"""


@pytest.fixture
def read(tmp_path):
    def reader(text):
        path = tmp_path / "plan.toml"
        path.write_bytes(text.encode())
        return read_plan_file(path)

    return reader


@pytest.fixture
def faults(read):
    def finder(text):
        with pytest.raises(PlanFileError) as caught:
            read(text)
        return caught.value.faults

    return finder


# what a good file means


def test_a_metric_file(read):
    plan = read(WALL).to_plan(RULES)
    assert plan.title == "The wall, 96 m"
    assert plan.water == water(WaterKind.SEA, altitude_m=0.0)
    assert [(level.depth_m, level.leave_at_min) for level in plan.levels] == [(96.0, 18.0)]
    assert [(gas.mix, gas.use, gas.ppo2_max_bar, gas.switch_m) for gas in plan.gases] == [
        (Mixture(0.10, 0.70), Use.BOTTOM, 1.4, None),
        (Mixture(0.50), Use.TRAVEL, 1.4, None),
        (Mixture(0.50), Use.DECOMPRESSION, 1.6, 21.0),
    ]
    assert plan.break_gas == Mixture(0.50)
    assert plan.settings.breaks.on_min == 12
    assert plan.settings.gradient_low == pytest.approx(0.3)
    assert (plan.settings.last_stop_m, plan.settings.stop_step_m) == (6.0, 3.0)
    assert plan.carried is None
    assert plan.units is UnitSystem.METRIC


def test_an_imperial_file_is_converted_by_the_definition_of_the_foot(read):
    # 1 ft is 0.3048 m exactly, by definition (international foot; NIST SP 811, from memory)
    plan = read(FEET).to_plan(RULES)
    assert plan.levels[0].depth_m == pytest.approx(60.96, abs=1e-12)
    assert plan.gases[1].switch_m == pytest.approx(21.336, abs=1e-12)
    assert plan.settings.stop_step_m == pytest.approx(3.048, abs=1e-12)
    assert plan.settings.last_stop_m == pytest.approx(6.096, abs=1e-12)
    assert plan.settings.last_level == 2
    assert plan.narcotic_limit_m == pytest.approx(30.48, abs=1e-12)
    assert plan.descent_m_per_min == pytest.approx(18.288, abs=1e-12)
    assert plan.settings.to_surface_m_per_min == pytest.approx(3.048, abs=1e-12)
    assert plan.units is UnitSystem.IMPERIAL


def test_a_stay_counts_from_arrival_and_ends_on_a_whole_minute(read):
    stay = read(WALL.replace("leave_at_min = 18", "stay_min = 12"))
    # by hand: 96 m at 20 m/min are 4.8 min, a change of gas 1 min, the stay 12 min: 17.8 min
    assert stay.to_plan(RULES).levels[0].leave_at_min == 18.0
    arrival = HouseRules(whole_minutes="arrival")
    assert stay.to_plan(arrival).levels[0].leave_at_min == pytest.approx(17.8)
    # 5.8 + 12.2 is 18 already, whatever the last bit of the sum
    even = read(WALL.replace("leave_at_min = 18", "stay_min = 12.2"))
    assert even.to_plan(RULES).levels[0].leave_at_min == 18.0


def test_several_levels_by_hand(read):
    more = "\n[[level]]\ndepth_m = 60\nstay_min = 4\n\n[[level]]\ndepth_m = 80\nstay_min = 0\n"
    levels = read(WALL + more).to_plan(RULES).levels
    # 18 min; 36 m up at 9 m/min are 4 min, and 4 min there: 26; 20 m down are 1 min: 27
    assert [level.leave_at_min for level in levels] == [18.0, 26.0, 27.0]


def test_the_changes_of_gas_fall_on_the_way_to_the_first_level(read):
    text = WALL.replace("[[level]]", "[[level]]\ndepth_m = 30\nleave_at_min = 2.5\n\n[[level]]")
    read(text)  # by hand: 30 m at 20 m/min are 1.5 min, a change of gas 1 min
    with pytest.raises(PlanFileError, match=r"before the diver can be at 30 m, at 2\.5 min"):
        read(text.replace("= 2.5", "= 2.4"))
    # what is both travel gas and bottom gas is not changed for itself
    same = text.replace('use = "bottom"', 'use = ["travel", "bottom"]')
    read(same.replace('["travel", "dec', '["dec').replace("= 2.5", "= 1.5"))


def test_limits_come_from_the_house_unless_the_gas_says_otherwise(read):
    rules = HouseRules(ppo2_bottom_max_bar=1.2, ppo2_stop_max_bar=1.5)
    limits = [gas.ppo2_max_bar for gas in read(WALL).to_plan(rules).gases]
    assert limits == [1.2, 1.2, 1.5]
    own = read(WALL.replace('mix = "EAN50"\n', 'mix = "EAN50"\nppo2_max_bar = 1.3\n'))
    assert [gas.ppo2_max_bar for gas in own.to_plan(rules).gases] == [1.2, 1.3, 1.3]


def test_the_rules_decide_whole_minutes_and_breaks(read):
    rules = HouseRules(whole_minutes="arrival", breaks="not counted")
    settings = read(WALL).to_plan(rules).settings
    assert settings.whole_minutes == "arrival"
    assert settings.breaks.counted is False
    assert read(FEET).to_plan(rules).settings.breaks is None


def test_altitude_starts_from_the_sea_unless_told_otherwise(read):
    lake = WALL.replace('kind = "sea"', 'kind = "fresh"\naltitude_m = 2000')
    plan = read(lake).to_plan(RULES)
    assert plan.water.surface_bar < 0.8
    assert plan.carried.tissues == air_saturated(1.01325)
    adapted = lake.replace("[model]", "[diver]\nadapted_altitude_m = 2000\n[model]")
    assert read(adapted).to_plan(RULES).carried is None
    below = WALL.replace('kind = "sea"', 'kind = "sea"\naltitude_m = -400')
    assert read(below).to_plan(RULES).carried is None


def test_carried_figures(read):
    tensions = ", ".join(["0.8"] * 16)
    text = (
        WALL + f"\n[carried]\nn2_bar = [{tensions}]\nhe_bar = [{tensions}]\ncns_pct = 12\nday = 3\n"
    )
    carried = read(text).to_plan(RULES).carried
    assert carried.tissues.n2_bar == carried.tissues.he_bar == (0.8,) * 16
    assert (carried.cns_pct, carried.day, carried.otu_today) == (12.0, 3, 0.0)


def test_windows_text_and_byte_order_mark(read):
    assert read("\ufeff" + WALL.replace("\n", "\r\n")) == read(WALL)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("3:30", 210),
        ("0:45", 45),
        ("26:30", 1590),
        ("1 d 2:30", 1590),
        ("2 d", 2880),
        ("1d 0:00", 1440),
    ],
)
def test_surface_intervals(text, minutes):
    assert interval_min(text) == minutes


@pytest.mark.parametrize("text", ["", "3:60", "3", "3.5", "0:00", "d", "-1:00", "1 d 2", "٣:30"])
def test_no_surface_intervals(text):
    with pytest.raises(InputError):
        interval_min(text)


# what is refused, with the line


# ruff: noqa: E501 - a table reads best with a row a line
@pytest.mark.parametrize(
    ("old", "new", "line", "where", "what", "right"),
    [
        ("depth_m = 96", "dept_m = 96", 25, "level[1].dept_m", "no key", "depth_m"),
        ("depth_m = 96", "depth_ft = 315", 25, "level[1].depth_ft", "other system", "depth_m"),
        ("depth_m = 96", "", 24, "level[1].depth_m", "missing", "depth_m"),
        ("depth_m = 96", "depth_m = -96", 25, "level[1].depth_m", "-96 metres", "1 to 200 metres"),
        ("depth_m = 96", "depth_m = 201", 25, "level[1].depth_m", "out of range", "1 to 200"),
        ("depth_m = 96", "depth_m = nan", 25, "level[1].depth_m", "nan", "1 to 200"),
        ("depth_m = 96", "depth_m = inf", 25, "level[1].depth_m", "inf", "1 to 200"),
        ("depth_m = 96", f"depth_m = 1{'0' * 400}", 25, "level[1].depth_m", "that is", "1 to 200"),
        ("depth_m = 96", 'depth_m = "96"', 25, "level[1].depth_m", "'96' is not a number", "60"),
        ("depth_m = 96", "depth_m = true", 25, "level[1].depth_m", "true is not a number", "60"),
        ("depth_m = 96", "depth_m = 09:30:00", 25, "level[1].depth_m", "not a number", "60"),
        ("min = 18", "min = 5", 26, "level[1].leave_at_min", "at 5.8 min", "5.8 or later"),
        ("min = 18", "min = 18\nstay_min = 3", 27, "level[1].stay_min", "both", "one of them"),
        ("leave_at_min = 18", "", 24, "level[1].stay_min", "neither", "one of them"),
        ("18\n", "18\n[[level]]\ndepth_m = 50\nleave_at_min = 18", 29, "level[2].leave_at_min", "not after", "order"),
        ("18\n", "18\n[[level]]\ndepth_m = 50\nleave_at_min = 20", 29, "level[2].leave_at_min", "at 23.2", "23.2"),
        ('"10/70"', '"10/95"', 16, "gas[1].mix", "no mixture", "10/70"),
        ('"10/70"', '"nitrogen"', 16, "gas[1].mix", "no mixture", "10/70"),
        ('"10/70"', "10", 16, "gas[1].mix", "10 is not a text", "12/65"),
        ('use = "bottom"', 'use = "deep"', 17, "gas[1].use", "none of the choices", "travel, bottom"),
        ('use = "bottom"', "", 15, "gas[1].use", "missing", "bottom"),
        ('use = "bottom"', "use = []", 17, "gas[1].use", "empty", "bottom"),
        ('use = "bottom"', "use = 3", 17, "gas[1].use", "not a list", "bottom"),
        ('use = "bottom"', 'use = "travel"', 15, "gas", "no gas is carried for the bottom", "bottom"),
        ('"bottom"', '"bottom"\nswitch_at_m = 60', 18, "gas[1].switch_at_m", "decompression", "use ="),
        ('"bottom"', '"bottom"\nppo2_max_bar = 1.7', 18, "gas[1].ppo2_max_bar", "1.7 bar", "0.5 to 1.6"),
        ("switch_at_m = 21", "switch_at_m = 20", 22, "gas[2].switch_at_m", "no level", "18 m or 21 m"),
        ("switch_at_m = 21", "switch_at_m = 3", 22, "gas[2].switch_at_m", "above the last stop", "below"),
        ("switch_at_m = 21", "switch_at_m = 99", 22, "gas[2].switch_at_m", "deeper", "at most 96 m"),
        ("switch_at_m = 21", "travel_to_m = 97", 22, "gas[2].travel_to_m", "first level", "at most 96 m"),
        ('["travel", "decompression"]', '"travel"', 22, "gas[2].switch_at_m", "belongs", "travel_to_m"),
        ('mix = "EAN50"\n', 'mix = "10/70"\n', 13, "breaks.gas", "EAN50 is not carried", "10/70"),
        ('["travel",', '["travel", "travel",', 21, "gas[2].use", "already carried", "once"),
        ("gradient_low_pct = 30", "last_stop_m = 5", 10, "model.last_stop_m", "no multiple", "3 m or 6 m"),
        ("low_pct = 30", "low_pct = 90", 10, "model.gradient_low_pct", "90 is above", "low not above"),
        ("low_pct = 30", "high_pct = 20", 10, "model.gradient_high_pct", "30 is above", "low not"),
        ('kind = "sea"', 'kind = "salt"', 7, "water.kind", "none of the choices", "fresh, en13319"),
        ('kind = "sea"', 'kind = "teos10"', 6, "water.latitude_deg", "missing", "36"),
        ('kind = "sea"', "altitude_m = 9000", 7, "water.altitude_m", "out of range", "-500 to 5000"),
        ("[water]\nkind", "water.kind", 6, "", "", ""),
        ('gas = "EAN50"', 'gas = "O2"', 13, "breaks.gas", "not carried", "EAN50"),
        ('gas = "EAN50"', "on_min = 1.5", 13, "breaks.on_min", "not a whole number", "1 to 120"),
        ("# the wall", "colour = 3", 1, "colour", "no key", "one of schema, title"),
        ('title = "The wall, 96 m"', "", 1, "title", "missing", "title ="),
        ('title = "The wall, 96 m"', 'title = ""', 3, "title", "empty", "title ="),
        ('title = "The wall, 96 m"', r'title = "a\nb"', 3, "title", "cannot be printed", "title ="),
        ("slatewright/plan/1", "slatewright/plan/9", 2, "schema", "none of the", "slatewright/plan/1"),
        ('units = "metric"', 'units = "feet"', 4, "units", "none of the", "metric, imperial"),
        ("# the wall", "water = 3\n# ", None, "", "", ""),
    ],
)  # fmt: skip
def test_refused(faults, read, old, new, line, where, what, right):
    assert old in WALL
    text = WALL.replace(old, new, 1)
    if not where:  # a form that is right, or a fault of TOML itself
        if line is None:
            assert len(faults(text)) == 1
        else:
            assert read(text) == read(WALL)
        return
    found = faults(text)
    assert [(fault.line, fault.where) for fault in found] == [(line, where)], str(found[0])
    assert what in found[0].what
    assert right in found[0].right


def test_earlier_and_carried_exclude_each_other(faults):
    tensions = ", ".join(["0.8"] * 16)
    both = (
        f"[carried]\nn2_bar = [{tensions}]\nhe_bar = [{tensions}]\n"
        '[earlier]\nplan = "x.toml"\nsurface_interval = "3:30"\n'
    )
    (fault,) = faults(WALL + both)
    assert "both say" in fault.what


def test_tensions_are_sixteen_and_the_line_is_that_of_the_bad_one(faults):
    rows = ",\n".join(["0.8"] * 15 + ["-0.8"])
    found = faults(WALL + f"[carried]\nn2_bar = [\n{rows}]\nhe_bar = [0.1]\n")
    assert [(fault.line, fault.where) for fault in found] == [
        (44, "carried.n2_bar[16]"),
        (45, "carried.he_bar"),
    ]
    assert "has 1 entries" in found[1].what


def test_altitude_contradictions(faults):
    text = WALL.replace("[model]", "[diver]\nadapted_altitude_m = 300\n[model]")
    (fault,) = faults(text)
    assert "above the water" in fault.what
    sea = text.replace("300", "0") + '[earlier]\nplan = "x.toml"\nsurface_interval = "3:30"\n'
    (fault,) = faults(sea)
    assert "only one of them" in fault.right


def test_every_fault_is_named_at_once_in_the_order_of_lines(faults):
    text = (
        WALL.replace('"sea"', '"see"')
        .replace("low_pct = 30", "low_pct = 95")
        .replace('"10/70"', '"10/95"')
        .replace("depth_m = 96", "depth_m = 960")
        .replace("title", "titel")
    )
    found = faults(text)
    assert [fault.line for fault in found] == [3, 7, 10, 16, 25]
    message = str(found[0])
    assert message.count("plan.toml:") == 5
    assert message.count("right would be:") == 5


@pytest.mark.parametrize(
    ("text", "line", "right"),
    [
        ('title = "x"\nunits = metric\n', 2, "in quotes"),
        ("[[level]]\ndepth_m = 4,5\n", 2, "decimal point"),
        ("a = 1\na = 2\n", 2, "once"),
        ("a = 1\n\nb = [1,\n", 3, ""),
        ("nonsense\n", 1, "key = value"),
        ("[water]\n[water]\n", 2, "once"),
    ],
)
def test_faults_of_toml_itself(faults, text, line, right):
    (fault,) = faults(text)
    assert fault.line == line
    assert right in fault.right


def test_files_that_cannot_be_read(tmp_path):
    with pytest.raises(PlanFileError, match="no such file"):
        read_plan_file(tmp_path / "none.toml")
    with pytest.raises(PlanFileError, match="directory"):
        read_plan_file(tmp_path)
    odd = tmp_path / "odd.toml"
    odd.write_bytes(b'schema = "x"\ntitle = "\xff"\n')
    with pytest.raises(PlanFileError, match=r"odd\.toml:2: is not UTF-8"):
        read_plan_file(odd)


def test_a_plan_file_made_in_code_is_checked_too(read):
    good = read(WALL).model_dump(mode="json", by_alias=True, exclude_unset=True)
    assert PlanFile.model_validate(good) == read(WALL)
    good["model"]["last_stop_m"] = 5.0
    with pytest.raises(ValueError, match="no multiple"):
        PlanFile.model_validate(good)


# one dive after another


def chain(tmp_path, *links):
    """Write WALL as several files; each link is (name, name of the earlier, interval)."""
    for name, earlier, interval in links:
        tail = (
            f'\n[earlier]\nplan = "{earlier}"\nsurface_interval = "{interval}"\n' if earlier else ""
        )
        (tmp_path / name).write_text(WALL.replace("The wall", name) + tail, encoding="utf-8")
    return tmp_path / links[-1][0]


def test_a_chain_is_read_in_order_of_time(tmp_path):
    last = chain(
        tmp_path, ("a.toml", "", ""), ("b.toml", "a.toml", "22:00"), ("c.toml", "./b.toml", "1 d")
    )
    links = read_chain(last)
    assert [link.path.name for link in links] == ["a.toml", "b.toml", "c.toml"]
    assert [link.interval_min for link in links] == [0.0, 1320.0, 1440.0]


def test_what_the_earlier_dive_left_is_asked_for_and_carried_in(tmp_path):
    last = chain(tmp_path, ("a.toml", "", ""), ("b.toml", "a.toml", "3:30"))
    left, asked = Carried(air_saturated(1.0), cns_pct=7.0), []

    def compute(path, minutes):
        asked.append((path.name, minutes))
        return left

    assert read_plan(last, rules=RULES, compute_carried=compute).carried is left
    assert asked == [("a.toml", 210.0)]
    first = read_plan(tmp_path / "a.toml", rules=RULES, compute_carried=compute)
    assert first.carried is None
    assert len(asked) == 1


def test_nothing_is_guessed_about_an_earlier_dive(tmp_path):
    last = chain(tmp_path, ("a.toml", "", ""), ("b.toml", "a.toml", "3:30"))
    with pytest.raises(InputError, match="not at hand"):
        read_plan(last, rules=RULES)
    with pytest.raises(InputError, match="no earlier dive"):
        read_plan_file(tmp_path / "a.toml").to_plan(RULES, Carried(air_saturated(1.0)))


def test_loops_and_missing_files_have_their_line(tmp_path):
    last = chain(
        tmp_path,
        ("a.toml", "c.toml", "1:00"),
        ("b.toml", "a.toml", "1:00"),
        ("c.toml", "b.toml", "1:00"),
    )
    with pytest.raises(PlanFileError, match=r"a\.toml:29: earlier\.plan: .*a loop"):
        read_chain(last)
    with pytest.raises(PlanFileError, match="a loop"):
        read_chain(chain(tmp_path, ("self.toml", "self.toml", "1:00")))
    with pytest.raises(
        PlanFileError, match=r"d\.toml:29: earlier\.plan: there is no file 'z\.toml'"
    ):
        read_chain(chain(tmp_path, ("d.toml", "z.toml", "1:00")))


def test_a_fault_in_an_earlier_file_names_that_file(tmp_path):
    last = chain(tmp_path, ("a.toml", "", ""), ("b.toml", "a.toml", "3:30"))
    first = tmp_path / "a.toml"
    first.write_text(first.read_text().replace("depth_m = 96", "depth_m = 960"))
    with pytest.raises(PlanFileError) as caught:
        read_plan(last, rules=RULES)
    assert (caught.value.path.name, caught.value.line) == ("a.toml", 25)


def test_a_good_file_is_read_without_the_parsers_for_faults_and_changes(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_text(WALL)
    code = (
        "import sys; from pathlib import Path\n"
        "from slatewright.dive.planfile import read_plan_file\n"
        f"read_plan_file(Path({str(path)!r}))\n"
        "print({'tree_sitter', 'tomlkit', 'numba', 'gsw', 'scipy'} & set(sys.modules))"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (ran.stdout.strip(), ran.stderr) == ("set()", "")


def test_the_path_of_an_earlier_plan_counts_from_its_own_folder(tmp_path, monkeypatch):
    folder = tmp_path / "week"
    folder.mkdir()
    last = chain(folder, ("a.toml", "", ""), ("b.toml", "a.toml", "3:30"))
    monkeypatch.chdir(tmp_path)
    links = read_chain(Path("week") / last.name)
    assert links[0].path == Path("week/a.toml")
