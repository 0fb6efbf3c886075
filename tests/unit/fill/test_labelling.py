"""What a label says: depths worked out by hand, rounded to the safe side, in the plan's unit."""

from __future__ import annotations

import re

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import parse_plan_file
from slatewright.errors import NoSafeAnswer
from slatewright.fill.checked import check_analyses
from slatewright.fill.labelling import label_of
from slatewright.fill.session import do_fill_file
from slatewright.toml.faults import toml_of

HEAD = """
schema = "slatewright/fill/1"
title = "Labels"
units = "{units}"
date = 2031-05-10
[room]
{room}
[[source]]
name = "helium"
gas = "helium"
[[source]]
name = "oxygen"
gas = "O2"
[[source]]
name = "compressor"
gas = "air"
[[cylinder]]
name = "one"
size = "twin 12"
evacuated = true
test_due = 2033-01-31
oxygen_clean = true
[[fill]]
cylinder = "one"
mix = "{mix}"
to_{p} = {to}
{use}
[[analysis]]
cylinder = "one"
o2_percent = {o2}
he_percent = {he}
by = "Mirren"
at = 2031-05-10T17:40:00
gauge_{p} = {to}
"""
PLAN = """
schema = "slatewright/plan/1"
title = "The saddle"
units = "{units}"
[[gas]]
mix = "18/45"
use = "bottom"
[[gas]]
mix = "EAN50"
use = "decompression"
[[gas]]
mix = "O2"
use = "decompression"
[[level]]
depth_{d} = {depth}
leave_at_min = 20
"""


def checked(tmp_path, mix, o2, he, *, use="", units="metric", room=""):
    p, to = ("bar", 200) if units == "metric" else ("psi", 2900)
    words = f'use = "{use}"' if use else ""
    text = HEAD.format(mix=mix, o2=o2, he=he, use=words, units=units, room=room, p=p, to=to)
    path = tmp_path / "fill.toml"
    path.write_text(text, "utf-8")
    return check_analyses(do_fill_file(path))


def labelled(tmp_path, mix, o2, he, *, plan=None, rules=None, **more):
    found = checked(tmp_path, mix, o2, he, **more)
    (one,) = found.cylinders
    return label_of(one, found.session.file, rules or HouseRules(), plan)


def plan_of(units="metric"):
    d, depth = ("m", 50) if units == "metric" else ("ft", 160)
    text = PLAN.format(units=units, d=d, depth=depth)
    return parse_plan_file(text, toml_of(text, None)).to_plan(HouseRules())


@pytest.mark.parametrize(
    ("mix", "o2", "he", "use", "depth", "not_above"),
    [
        # by hand, EN 13319: (limit / share - 1.01325) · 10 m, down to whole metres
        ("10/70", 10.4, 69.2, "bottom", "124 m", "8 m"),  # 124.48; 0.18/0.104 is 7.17, up to 8
        ("18/45", 18.5, 44.1, "bottom", "65 m", ""),  # 65.54; 0.18/0.185 is less than the surface
        ("21/35", 21.0, 35.0, "travel", "56 m", ""),  # 56.53
        ("EAN50", 50.4, 0.0, "decompression", "21 m", ""),  # 21.61, the next stop is 24
        ("EAN50", 49.2, 0.0, "decompression", "22 m", ""),  # 22.38
        ("O2", 99.4, 0.0, "decompression", "6 m", ""),  # 5.96, and 6 is a stop within tolerance
        ("O2", 99.4, 0.0, "bottom", "3 m", ""),  # 3.95
        ("EAN50", 50.4, 0.0, "", "17 m", ""),  # no use: 1.4 bar, 17.64
        ("12/60", 12.0, 60.0, "bottom", "106 m", "5 m"),  # 106.5; 4.87
    ],
)
def test_depths_worked_out_by_hand(tmp_path, mix, o2, he, use, depth, not_above):
    label = labelled(tmp_path, mix, o2, he, use=use)
    assert (label.depth, label.not_above) == (depth, not_above)


def test_the_limit_is_stated(tmp_path):
    assert labelled(tmp_path, "EAN50", 50, 0, use="decompression").limit == (
        "ppO2 1.6 bar: house rule, at stops"
    )
    assert "no use is named, so the lowest counts" in labelled(tmp_path, "EAN50", 50, 0).limit
    oxygen = labelled(tmp_path, "O2", 100, 0, use="decompression")
    assert oxygen.limit == "ppO2 1.6 bar, 1.613 within tolerance: house rule, at stops"
    assert oxygen.ppo2_bar == pytest.approx(1.61325)  # 6 m of EN 13319 water by hand


def test_without_tolerance_oxygen_ends_at_five(tmp_path):
    strict = replace_rules(ppo2_tolerance_bar=0.0)
    assert labelled(tmp_path, "O2", 100, 0, use="decompression", rules=strict).depth == "5 m"


def replace_rules(**changes):
    return HouseRules(**(HouseRules().model_dump() | changes))


def test_a_stricter_house(tmp_path):
    strict = replace_rules(ppo2_bottom_max_bar=1.2, floor_bar=0.21)
    label = labelled(tmp_path, "10/70", 10, 70, use="bottom", rules=strict)
    assert label.depth == "109 m"  # 109.87
    assert label.not_above == "11 m"  # 10.87
    assert label.floor_bar == 0.21


def test_the_plan_decides_unit_water_and_limit(tmp_path):
    label = labelled(tmp_path, "EAN50", 50, 0, plan=plan_of())
    assert label.limit == "ppO2 1.6 bar: the plan, at stops"
    assert label.title == "The saddle"
    feet = labelled(tmp_path, "EAN50", 50, 0, plan=plan_of("imperial"))
    # by hand: (1.6 / 0.5 - 1.01325) · 10 / 0.3048 = 71.74
    assert feet.depth == "71 ft"
    assert labelled(tmp_path, "O2", 99.5, 0, plan=plan_of("imperial")).depth == "20 ft"
    bottom = labelled(tmp_path, "18/45", 17.6, 44, plan=plan_of("imperial"))
    # by hand: 0.18 / 0.176 is 1.0227 bar, 0.31 ft below the surface
    assert (bottom.depth, bottom.not_above) == ("227 ft", "1 ft")


def test_a_file_in_feet_without_a_plan(tmp_path):
    label = labelled(tmp_path, "EAN50", 50, 0, units="imperial", use="decompression")
    assert (label.depth, label.pressure) == ("71 ft", "2900 psi")
    high = labelled(
        tmp_path, "EAN50", 50, 0, units="imperial", use="decompression", room="altitude_ft = 8000"
    )
    assert int(high.depth.removesuffix(" ft")) > 71  # less air above: the same ppO2 lies deeper


@pytest.mark.parametrize("tenths", range(495, 506))
def test_never_deeper_than_the_limit_with_its_tolerance(tmp_path, tenths):
    label = labelled(tmp_path, "EAN50", tenths / 10, 0, use="decompression")
    metres = int(re.fullmatch(r"(\d+) m", label.depth)[1])
    ppo2 = tenths / 1000 * (1.01325 + metres / 10)
    assert ppo2 <= 1.6 + 0.03 + 1e-9
    assert tenths / 1000 * (1.01325 + (metres + 1) / 10) > 1.6


def test_what_was_refused_gets_none(tmp_path):
    found = checked(tmp_path, "18/45", 25, 40)
    (one,) = found.cylinders
    assert not one.accepted
    with pytest.raises(NoSafeAnswer, match="points off"):
        label_of(one, found.session.file, HouseRules())


def test_oxygen_needs_no_helium_analysis(tmp_path):
    path = tmp_path / "fill.toml"
    text = HEAD.format(
        mix="O2", o2=99.1, he=0, use="", units="metric", room="", p="bar", to=200
    ).replace("he_percent = 0\n", "")
    path.write_text(text, "utf-8")
    found = check_analyses(do_fill_file(path))
    label = label_of(found.cylinders[0], found.session.file, HouseRules())
    assert not label.helium_read
    path.write_text(text.replace("99.1", "97.5"), "utf-8")
    (one,) = check_analyses(do_fill_file(path)).cylinders
    assert not one.accepted
    assert "only oxygen was analysed" in one.reasons[0].what
