"""The plan file of a closed circuit: what it means in both systems, every fault by its line."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from slatewright.dive.hazard import Change, Mend
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.loop import Metabolism, ScrubberRow, Setpoint
from slatewright.dive.mending import mended_text
from slatewright.dive.other_units import in_other_units
from slatewright.dive.plan import Use
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.planfile import read_plan_file, write_plan_file
from slatewright.dive.schedule import schedule
from slatewright.errors import PlanFileError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import l_from_cubic_feet, m_from_feet

TERRACE = Path(__file__).parents[3] / "examples" / "closed-circuit" / "1-the-terrace.toml"
TEXT = TERRACE.read_text("utf-8")
RULES = HouseRules()
IMPERIAL = """
schema = "slatewright/plan/1"
title = "The quarry on a loop, 220 ft"
units = "imperial"

[loop]
diluent = "12/60"
setpoint_down = [{ bar = 0.7 }, { bar = 1.0, from_ft = 60 }]
setpoint_bottom_bar = 1.2
setpoint_up = [{ bar = 1.2 }, { bar = 1.4, from_ft = 40 }]
volume_cuft = 0.25
oxygen_swimming_cuft_per_min = 0.045
scrubber = [{ work = "working", lasts_min = 150, water_temperature_f = 40 }]

[[gas]]
mix = "12/60"
use = "diluent"

[[gas]]
mix = "18/45"
use = "bailout"
ppo2_max_bar = 1.5
switch_at_ft = 220

[[gas]]
mix = "EAN50"
use = "bailout"

[[level]]
depth_ft = 220
leave_at_min = 22
"""


def faults(text):
    """Return line, key and sentence of each fault of a text."""
    with pytest.raises(PlanFileError) as caught:
        read_plan_text(text)
    first = caught.value
    return [(fault.line, fault.where, fault.what) for fault in (first, *first.others)]


def line_of(text, part):
    return next(i for i, line in enumerate(text.splitlines(), start=1) if part in line)


def test_the_terrace_means_what_it_says():
    plan = read_plan_file(TERRACE).to_plan(RULES)
    loop = plan.loop
    assert loop.diluent == Mixture(0.12, 0.6)
    assert loop.down == (Setpoint(0.7), Setpoint(1.0, 20.0))
    assert loop.bottom_bar == 1.2
    assert loop.up == (Setpoint(1.2), Setpoint(1.3, 30.0), Setpoint(1.4, 12.0))
    assert loop.volume_l == 7.0
    assert loop.metabolism == Metabolism(0.9, 1.3, 1.3)
    assert loop.scrubber == (ScrubberRow("swimming", 150, 4.0), ScrubberRow("swimming", 190, 10.0))
    assert [gas.use for gas in plan.gases] == [Use.DILUENT, Use.BAILOUT, Use.BAILOUT]
    assert [gas.ppo2_max_bar for gas in plan.gases] == [1.4, 1.6, 1.6]


def test_feet_and_cubic_feet_mean_the_same_as_metres_and_litres():
    plan = read_plan_text(IMPERIAL).to_plan(RULES)
    assert plan.loop.down[1].from_m == pytest.approx(m_from_feet(60))
    assert plan.loop.up[1].from_m == pytest.approx(m_from_feet(40))
    assert plan.loop.volume_l == pytest.approx(l_from_cubic_feet(0.25))
    assert plan.loop.metabolism.resting_l_per_min == pytest.approx(l_from_cubic_feet(0.045))
    assert plan.loop.scrubber[0].water_temperature_c == pytest.approx(40 / 9)
    dive = schedule(plan)
    assert dive.verdict.passed
    changes = {
        after.setpoint_bar: after.from_m
        for before, after in pairwise(dive.legs)
        if before.setpoint_bar != after.setpoint_bar
    }
    assert changes == pytest.approx(
        {1.0: m_from_feet(60), 1.2: m_from_feet(220), 1.4: m_from_feet(40)}
    )


@pytest.mark.parametrize("text", [TEXT, IMPERIAL], ids=["metric", "imperial"])
def test_it_is_written_back_and_written_in_the_other_units(text):
    plan = read_plan_text(text)
    assert write_plan_file(plan, text) == text
    assert read_plan_text(write_plan_file(plan)) == plan
    other = in_other_units(plan)
    assert read_plan_text(write_plan_file(other)) == other
    here, there = plan.to_plan(RULES), other.to_plan(RULES)
    assert there.loop.setpoints_bar == here.loop.setpoints_bar
    assert there.loop.volume_l == pytest.approx(here.loop.volume_l, rel=0.02)
    # nobody uses up less, and no absorbent is stated for colder water than it was
    assert there.loop.metabolism.swimming_l_per_min >= here.loop.metabolism.swimming_l_per_min
    for row, again in zip(here.loop.scrubber, there.loop.scrubber, strict=True):
        assert again.water_temperature_c >= row.water_temperature_c - 1e-9
    assert schedule(there).verdict.passed


def test_another_diluent_is_written_wherever_it_stands():
    changes = (Change(("gas", "12/60", "mix"), "12/65"),)
    text = mended_text(TEXT, read_plan_text(TEXT), Mend("take 12/65", changes))
    assert "12/60" not in re.sub(r"#.*", "", text)
    assert text.count("12/65") == 3  # the loop, the gas, the cylinder


FAULTY = {
    "no such diluent": ('diluent = "12/60"', 'diluent = "10/70"', "loop.diluent", "no diluent"),
    "two diluents": (
        '[[gas]]\nmix = "18/45"\nuse = "bailout"',
        '[[gas]]\nmix = "18/45"\nuse = ["bailout", "diluent"]',
        "gas[2].use",
        "second diluent",
    ),
    "a setpoint above all limits": (
        "setpoint_bottom_bar = 1.2", "setpoint_bottom_bar = 1.7", "loop.setpoint_bottom_bar", "1.7",
    ),
    "a setpoint that the surface has not": (
        "{ bar = 0.7 }", "{ bar = 1.2 }", "loop.setpoint_down[1].bar", "cannot be had",
    ),
    "a setpoint that 3 m have not": (
        "bar = 1.0, from_m = 20 }]", "bar = 1.4, from_m = 3 }]", "loop.setpoint_down[2].bar",
        "cannot be had at 3 m",
    ),
    "a first entry with a depth": (
        "[{ bar = 0.7 },", "[{ bar = 0.7, from_m = 3 },", "loop.setpoint_down[1].from_m", "surface",
    ),
    "a later entry without a depth": (
        "{ bar = 1.0, from_m = 20 }", "{ bar = 1.0 }", "loop.setpoint_down[2].from_m", "missing",
    ),
    "a change below the first stay": (
        "from_m = 20 }]", "from_m = 70 }]", "loop.setpoint_down[2].from_m", "not above",
    ),
    "entries out of order": (
        "{ bar = 1.3, from_m = 30 }, { bar = 1.4, from_m = 12 }",
        "{ bar = 1.4, from_m = 12 }, { bar = 1.3, from_m = 30 }",
        "loop.setpoint_up[3].from_m",
        "does not come after",
    ),
    "a change off the levels": (
        "from_m = 12 }]", "from_m = 10 }]", "loop.setpoint_up[3].from_m", "no level",
    ),
    "a key of the other system": (
        "from_m = 12 }]", "from_ft = 40 }]", "loop.setpoint_up[3].from_ft", "other system",
    ),
    "no volume": ("volume_l = 7\n", "", "loop.volume_l", "missing"),
    "no oxygen used": (
        "oxygen_swimming_l_per_min = 1.3\n", "", "loop.oxygen_swimming_l_per_min", "missing",
    ),
    "more oxygen at rest": (
        "oxygen_resting_l_per_min = 0.9", "oxygen_resting_l_per_min = 1.9",
        "loop.oxygen_resting_l_per_min", "more than",
    ),
    "an absorbent better in colder water": (
        "lasts_min = 150", "lasts_min = 200", "loop.scrubber[2].lasts_min", "less than",
    ),
    "a decompression gas": (
        'mix = "EAN50"\nuse = "bailout"', 'mix = "EAN50"\nuse = "decompression"', "gas[3].use",
        "on a [loop]",
    ),
    "a loop fed with bailout": (
        'gas = "18/45"\nsize = "twin 8.5"\npressure_bar = 225\nplace = "back"',
        'gas = "18/45"\nsize = "twin 8.5"\npressure_bar = 225\nplace = "loop"',
        "cylinder[3].gas", "neither oxygen nor the diluent",
    ),
    "breaks": (
        "[reserve]", "[breaks]\non_min = 12\n\n[reserve]", "breaks", "open circuit",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "where", "what"), FAULTY.values(), ids=FAULTY.keys())
def test_every_fault_is_told_with_its_line(old, new, where, what):
    assert TEXT.count(old) == 1
    text = TEXT.replace(old, new)
    found = faults(text)
    told = [(line, sentence) for line, at, sentence in found if at.startswith(where)]
    assert told, found
    assert any(what in sentence for _, sentence in told), found
    key = where.split(".")[0].split("[")[0]
    assert min(line for line, _ in told) >= line_of(text, f"[{key}]")


def test_a_setpoint_out_of_reach_names_the_line_of_its_list():
    text = TEXT.replace("{ bar = 0.7 }", "{ bar = 1.2 }")
    (found,) = faults(text)
    assert found[0] == line_of(text, "setpoint_down")


def test_no_bailout_and_no_oxygen_are_refused():
    lost = ('mix = "18/45"', 'mix = "EAN50"', 'gas = "18/45"', 'gas = "EAN50"', 'gas = "O2"')
    kept = [part for part in TEXT.split("\n\n") if not any(name in part for name in lost)]
    text = "\n\n".join(kept)
    told = [what for _, _, what in faults(text)]
    assert sum("no gas is carried for bailout" in what for what in told) == 1
    assert sum("no oxygen that feeds the loop" in what for what in told) == 2  # of each of the two


def test_a_loop_needs_its_own_uses_and_open_circuit_has_none_of_them():
    text = TEXT.replace('place = "loop"', 'place = "stage"')
    text = "\n\n".join(part for part in text.split("\n\n") if not part.startswith("[loop]"))
    told = [what for _, _, what in faults(text)]
    assert sum("there is no [loop]" in what for what in told) == 3


@pytest.mark.parametrize(
    ("work", "water_c", "minutes"),
    [
        ("swimming", 11.0, 190),
        ("resting", 11.0, 190),  # stated for harder work, and so for lighter
        ("swimming", 10.0, 190),
        ("swimming", 9.9, 150),
        ("swimming", 3.0, None),  # colder than anything stated
        ("working", 11.0, None),  # harder than anything stated
        ("swimming", None, None),  # the water is unknown, and no entry is for any water
    ],
)
def test_the_absorbent_lasts_as_long_as_is_stated_and_nothing_is_made_up(work, water_c, minutes):
    assert read_plan_file(TERRACE).to_plan(RULES).loop.scrubber_min(work, water_c) == minutes
