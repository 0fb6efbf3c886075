"""Rigs in plan files: what is needed, in which units, and what is written back."""

from __future__ import annotations

import tomllib

import pytest

from slatewright.dive.other_units import in_other_units
from slatewright.dive.planfile import parse_plan_file, write_plan_file
from slatewright.errors import PlanFileError
from slatewright.supply.rig import Rig, Suit
from slatewright.supply.team import team_of

RIG = """wing_lift_kg = 20
droppable_kg = 2
fixed_ballast_kg = 4
suit = "wetsuit"
suit_gas_l = 8
person_buoyancy_kg = -1.5
second_lift_kg = 10
"""
HEAD = """schema = "slatewright/plan/1"
title = "made up"
units = "metric"
[diver]
name = "Mirren"
rmv_swimming_l_per_min = 18
rmv_stressed_l_per_min = 30
"""
PARTNER = """[[partner]]
name = "Tove"
rmv_swimming_l_per_min = 18
rmv_stressed_l_per_min = 30
"""
REST = """[[gas]]
mix = "18/45"
use = "bottom"
[[level]]
depth_m = 50
leave_at_min = 20
"""
CYLINDER = """[[cylinder]]
gas = "18/45"
size = "twin 15"
pressure_bar = 220
place = "back"
diver = ["Mirren", "Tove"]
"""


def read(text):
    return parse_plan_file(text, tomllib.loads(text))


def faults(text):
    with pytest.raises(PlanFileError) as caught:
        read(text)
    return [str(fault) for fault in caught.value.faults]


def test_both_have_their_own_rig_and_none_is_made_up():
    text = f"{HEAD}[rig]\n{RIG}{PARTNER}{REST}{CYLINDER}"
    first, second = team_of(read(text)).divers
    assert first.rig == Rig(20.0, 2.0, 4.0, Suit.WETSUIT, 8.0, -1.5, 10.0)
    assert second.rig is None


@pytest.mark.parametrize(
    "own",
    [
        f"[partner.rig]\n{RIG}",
        f"rig = {{ {', '.join(RIG.splitlines())} }}\n",
        "".join(f"rig.{line}\n" for line in RIG.splitlines()),
    ],
    ids=["header", "inline", "dotted"],
)
def test_a_partner_has_a_rig_however_it_is_written_and_written_into(own):
    text = f"{HEAD}{PARTNER}{own}{REST}{CYLINDER}"
    plan = read(text)
    first, second = team_of(plan).divers
    assert first.rig is None
    assert second.rig == Rig(20.0, 2.0, 4.0, Suit.WETSUIT, 8.0, -1.5, 10.0)
    assert write_plan_file(plan, text) == text
    lines = text.splitlines(keepends=True)
    less = "".join(line for line in lines if not line.endswith("droppable_kg = 2\n"))
    less = less.replace("droppable_kg = 2, ", "")
    assert read(less) != plan
    assert read(write_plan_file(plan, less)) == plan


def test_a_partner_is_added_after_one_with_a_rig_under_a_header():
    text = f"{HEAD}{PARTNER}[partner.rig]\n{RIG}{REST}{CYLINDER}"
    third = PARTNER.replace("Tove", "Casper")
    cylinder = CYLINDER.replace('"Tove"', '"Tove", "Casper"')
    more = read(f"{HEAD}{PARTNER}[partner.rig]\n{RIG}{third}{REST}{cylinder}")
    written = write_plan_file(more, text)
    assert read(written) == more
    assert "[partner.rig]" in written


@pytest.mark.parametrize("key", ["wing_lift_kg", "suit_gas_l", "person_buoyancy_kg", "suit"])
@pytest.mark.parametrize("whose", ["rig", "partner[1].rig"])
def test_what_would_be_a_guess_is_asked_for(key, whose):
    rig = "".join(line + "\n" for line in RIG.splitlines() if not line.startswith(f"{key} ="))
    head = "[rig]\n" if whose == "rig" else f"{PARTNER}[partner.rig]\n"
    tail = PARTNER if whose == "rig" else ""
    (told,) = faults(f"{HEAD}{head}{rig}{tail}{REST}{CYLINDER}")
    assert f"{whose}.{key}" in told
    assert "is missing" in told


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("wing_lift_kg = 20", "wing_lift_lb = 45", "other system"),
        ("suit_gas_l = 8", "suit_gas_cuft = 0.3", "other system"),
        ("wing_lift_kg = 20", "wing_lift_kg = -1", "-1 kilograms is out of range"),
        ("droppable_kg = 2", "droppable_kg = 101", "101 kilograms is out of range"),
        ('"wetsuit"', '"dry"', "one of wetsuit, drysuit"),
        ("droppable_kg", "dropable_kg", "droppable_kg"),
    ],
)
@pytest.mark.parametrize("head", ["[rig]\n", f"{PARTNER}[partner.rig]\n"])
def test_what_is_wrong_is_named_with_its_line(old, new, said, head):
    tail = PARTNER if head == "[rig]\n" else ""
    text = f"{HEAD}{head}{RIG.replace(old, new)}{tail}{REST}{CYLINDER}"
    told = faults(text)
    line = next(n for n, row in enumerate(text.splitlines(), 1) if new in row)
    assert any(said in one and f"{line}" in one for one in told), told


def test_a_rig_without_cylinders_is_refused():
    (told,) = faults(f"{HEAD}[rig]\n{RIG}{REST}")
    assert "there is a rig and no cylinders" in told


def test_pounds_and_cubic_feet_are_converted():
    text = f"{HEAD}[rig]\n{RIG}{PARTNER}[partner.rig]\n{RIG}{REST}{CYLINDER}"
    imperial = in_other_units(read(text))
    assert imperial.rig.wing_lift_lb == pytest.approx(20 / 0.45359237, abs=0.005)  # NIST SP 811
    for diver in team_of(imperial).divers:
        assert diver.rig.wing_lift_kg == pytest.approx(20.0, abs=0.0025)
        assert diver.rig.person_buoyancy_kg == pytest.approx(-1.5, abs=0.0025)
        assert diver.rig.suit_gas_l == pytest.approx(8.0, abs=0.015)
    back = in_other_units(imperial)
    assert back.partner[0].rig.fixed_ballast_kg == pytest.approx(4.0, abs=0.01)
