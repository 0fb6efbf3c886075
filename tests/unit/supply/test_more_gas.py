"""Gas that is lacking: written into the plan file by one mend, it is there."""

from __future__ import annotations

import pytest

from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.mending import mended
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.schedule import schedule
from slatewright.supply.supply import supply_of
from slatewright.supply.team import team_of

RULES = HouseRules()
PLAN = """\
schema = "slatewright/plan/1"
title = "An invented ledge"
units = "metric"

[water]
temperature_c = 10

[diver]
name = "Mirren"
rmv_swimming_l_per_min = 18
rmv_resting_l_per_min = 15
rmv_stressed_l_per_min = 30

[[partner]]
name = "Tove"
rmv_swimming_l_per_min = 18
rmv_stressed_l_per_min = 30

[reserve]
turn_rule = "all usable"

[[gas]]
mix = "18/45"
use = "bottom"

[[gas]]
mix = "EAN50"
use = "decompression"

[[cylinder]]
gas = "18/45"
size = "{back}"
pressure_bar = {back_bar}
place = "back"
diver = ["Mirren", "Tove"]

[[cylinder]]
gas = "EAN50"
size = "stage 11.1"
pressure_bar = {stage_bar}
place = "left"
diver = ["Mirren", "Tove"]

[[level]]
depth_m = 55
leave_at_min = {leave}
"""


def judged(plan_file):
    dive = schedule(plan_file.to_plan(RULES))
    return supply_of(dive, team_of(plan_file, RULES)).hazards


def written(back="twin 15", back_bar=230, stage_bar=200, leave=20):
    text = PLAN.format(back=back, back_bar=back_bar, stage_bar=stage_bar, leave=leave)
    return read_plan_text(text)


CASES = {
    "minimum-gas a fuller fill": (written(back_bar=170), "fill back 18/45 to"),
    "minimum-gas a larger pair": (written(back="twin 10"), "carry a twin "),
    "minimum-gas an earlier ascent": (written(back="twin 10"), "leave 55 m at"),
    "decompression-reserve a fuller fill": (written(stage_bar=110), "fill left EAN50 to"),
    "decompression-reserve one more": (written(back="twin 18", stage_bar=205, leave=30), "carry "),
    "out-of-gas a fuller fill": (written(stage_bar=60), "fill left EAN50 to"),
}


def about(hazard):
    return hazard.code, hazard.text.split(" has ")[0]


@pytest.mark.parametrize("case", CASES)
def test_every_mend_cures_its_hazard_for_its_diver(case):
    plan_file, begins = CASES[case]
    hazards = [hazard for hazard in judged(plan_file) if hazard.code == case.split()[0]]
    assert hazards, "the plan is to have the hazard"
    assert any(mend.words.startswith(begins) for one in hazards for mend in one.mends), hazards
    for hazard in hazards:
        for mend in hazard.mends:
            left = judged(mended(plan_file, mend))
            if mend.words.startswith("leave"):
                assert hazard.code not in [one.code for one in left]
                continue
            lacking = {hazard.code, "decompression-reserve", "out-of-gas"}
            name = hazard.text.split()[-1] if " and " in hazard.text else ""
            assert not [
                one
                for one in left
                if about(one) == about(hazard)
                and name in one.text
                and one.code in lacking
                and one.severity is not Severity.NOTE
            ], mend.words


def test_a_shared_cylinder_is_filled_for_all_who_carry_it():
    plan_file = written(stage_bar=110)
    (mend,) = next(one for one in judged(plan_file) if one.code == "decompression-reserve").mends
    back, rich = mended(plan_file, mend).cylinder
    assert back.pressure_bar == 230
    assert rich.pressure_bar > 110
    assert rich.diver == ("Mirren", "Tove")


def test_a_fill_in_psi_is_read_in_tens():
    text = PLAN.format(back="twin 15", back_bar=230, stage_bar=110, leave=20)
    text = text.replace('name = "Mirren"', 'name = "Mirren"\ngauge = "psi"')
    hazard = next(
        one
        for one in judged(read_plan_text(text))
        if one.code == "decompression-reserve" and "Mirren" in one.text
    )
    assert hazard.mends[0].words.endswith("0 psi")
