"""A cure that can be clicked: written into the plan file, it cures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright.dive.hazard import Change, Mend
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.mending import mended, mended_text
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.schedule import schedule
from slatewright.errors import InputError

RULES = HouseRules()
STRICT = HouseRules(ppo2_stop_max_bar=1.5)
"""A gas may be given up to 1.6 bar by the plan, and is warned of where the house has less."""
METRIC = """\
schema = "slatewright/plan/1"
title = "An invented slope"
units = "metric"
"""
IMPERIAL = METRIC.replace("metric", "imperial")


def gas(mix, use, **keys):
    lines = [f'mix = "{mix}"', f'use = "{use}"', *(f"{key} = {keys[key]}" for key in keys)]
    return "\n[[gas]]\n" + "\n".join(lines) + "\n"


def level(**keys):
    return "\n[[level]]\n" + "\n".join(f"{key} = {keys[key]}" for key in keys) + "\n"


def table(name, **keys):
    return f"\n[{name}]\n" + "\n".join(f"{key} = {keys[key]}" for key in keys) + "\n"


DEEP = gas("18/45", "bottom") + gas("EAN50", "decompression")
CASES = {
    # code of the hazard, and a plan of our own that has it
    "counterdiffusion": METRIC + DEEP + level(depth_m=60, leave_at_min=20),
    "dense-gas": METRIC + DEEP + level(depth_m=60, leave_at_min=20),
    "narcotic": METRIC
    + gas("21/10", "bottom")
    + gas("EAN50", "decompression")
    + level(depth_m=50, leave_at_min=15),
    "narcotic in feet": IMPERIAL
    + gas("21/10", "bottom")
    + gas("EAN50", "decompression")
    + level(depth_ft=165, leave_at_min=15),
    "hyperoxic": METRIC
    + gas("18/45", "bottom")
    + gas("EAN50", "decompression", ppo2_max_bar=1.6, switch_at_m=21)
    + level(depth_m=50, leave_at_min=20),
    "hyperoxic bottom gas": METRIC
    + gas("22/45", "bottom", ppo2_max_bar=1.5)
    + level(depth_m=57, leave_at_min=10),
    "unused-gas": METRIC
    + DEEP
    + gas("EAN40", "decompression", switch_at_m=15)
    + level(depth_m=20, leave_at_min=10),
    "gainless-change": METRIC
    + gas("EAN32", "bottom")
    + gas("EAN50", "decompression")
    + level(depth_m=25, leave_at_min=20),
    "travel-change-moved": METRIC
    + gas("10/70", "bottom")
    + gas("EAN50", "travel", travel_to_m=5)
    + gas("EAN50", "decompression", switch_at_m=21)
    + level(depth_m=80, leave_at_min=12),
    "travel-change-moved in feet": IMPERIAL
    + gas("10/70", "bottom")
    + gas("EAN50", "travel", travel_to_ft=15)
    + gas("EAN50", "decompression", switch_at_ft=70)
    + level(depth_ft=260, leave_at_min=12),
    "nervous-syndrome": METRIC
    + gas("EAN50", "travel")
    + gas("10/70", "bottom")
    + gas("EAN50", "decompression")
    + gas("O2", "decompression")
    + level(depth_m=95, leave_at_min=12),
    "nervous-syndrome in feet": IMPERIAL
    + table("diver", descent_ft_per_min=75)
    + gas("EAN50", "travel")
    + gas("10/70", "bottom")
    + gas("EAN50", "decompression")
    + gas("O2", "decompression")
    + level(depth_ft=310, leave_at_min=12),
    "cns": METRIC
    + gas("18/45", "bottom")
    + gas("EAN50", "decompression")
    + gas("O2", "decompression")
    + level(depth_m=60, leave_at_min=40),
    "pulmonary": METRIC
    + table("carried", n2_bar=[0.76] * 16, he_bar=[0.0] * 16, otu_before_today=1300, day=2)
    + gas("18/45", "bottom")
    + gas("EAN50", "decompression")
    + gas("O2", "decompression")
    + level(depth_m=60, stay_min=25),
    "ascent-rate": METRIC
    + table("ascent", to_first_stop_m_per_min=18, between_stops_m_per_min=12)
    + DEEP
    + level(depth_m=60, leave_at_min=20),
    "unbroken-oxygen": METRIC
    + gas("18/45", "bottom")
    + gas("EAN50", "decompression")
    + gas("O2", "decompression")
    + level(depth_m=60, leave_at_min=32),
    "unbroken-oxygen with breaks": METRIC
    + table("breaks", on_min=45)
    + gas("18/45", "bottom")
    + gas("EAN50", "decompression")
    + gas("O2", "decompression")
    + level(depth_m=60, leave_at_min=36),
}


def found(plan_file, code):
    dive = schedule(plan_file.to_plan(STRICT if code == "hyperoxic" else RULES))
    assert dive.verdict.passed
    return [hazard for hazard in dive.hazards if hazard.code == code]


def about(hazard):
    """Return which hazard it is: the code and the first words, which name the gases."""
    return hazard.code, hazard.text.split(" at ")[0]


@pytest.mark.parametrize("case", CASES)
def test_every_mend_cures_its_hazard(case):
    code = case.split()[0]
    plan_file = read_plan_text(CASES[case])
    hazards = found(plan_file, code)
    assert hazards, "the plan is to have the hazard"
    assert any(hazard.mends for hazard in hazards)
    for hazard in hazards:
        for mend in hazard.mends:
            cured = mended(plan_file, mend)
            assert about(hazard) not in map(about, found(cured, code)), mend.words


@pytest.mark.parametrize("case", CASES)
def test_what_is_not_changed_stays_to_the_letter(case):
    text = CASES[case].replace("title =", "# a note of one's own\ntitle =")
    plan_file = read_plan_text(text)
    for hazard in found(plan_file, case.split()[0]):
        for mend in hazard.mends:
            written = mended_text(text, plan_file, mend)
            assert "# a note of one's own" in written
            assert read_plan_text(written) == read_plan_text(
                mended_text(CASES[case], plan_file, mend)
            )


def test_another_mixture_goes_into_cylinders_and_breaks_too():
    text = (
        METRIC
        + table("diver", rmv_swimming_l_per_min=18, rmv_stressed_l_per_min=30)
        + table("breaks", gas='"21/35"')
        + gas("18/45", "bottom")
        + gas("21/35", "decompression")
        + gas("O2", "decompression")
        + "".join(
            f'\n[[cylinder]]\ngas = "{mix}"\nsize = "{size}"\npressure_bar = 200\n'
            for mix, size in (("18/45", "twin 18"), ("21/35", "stage 11.1"), ("O2", "stage 11.1"))
        )
        + level(depth_m=60, leave_at_min=15)
    )
    mend = Mend("take 22/40", (Change(("gas", "21/35", "mix"), "22/40"),))
    cured = mended(read_plan_text(text), mend)
    assert [row.mix for row in cured.gas] == ["18/45", "22/40", "O2"]
    assert [row.gas for row in cured.cylinder] == ["18/45", "22/40", "O2"]
    assert cured.breaks.gas == "22/40"
    ashore = mended(read_plan_text(text), Mend("leave it", (Change(("gas", "21/35"), None),)))
    assert [row.gas for row in ashore.cylinder] == ["18/45", "O2"]
    assert ashore.breaks.gas is None


def test_a_pressure_goes_into_a_file_of_psi_rounded_down():
    text = (
        IMPERIAL
        + table("diver", rmv_swimming_cuft_per_min=0.7, rmv_stressed_cuft_per_min=1.1)
        + gas("21/35", "bottom")
        + '\n[[cylinder]]\ngas = "21/35"\nsize = "al 80 cuft"\npressure_psi = 2000\n'
        + level(depth_ft=100, leave_at_min=10)
    )
    path = ("cylinder", "the diver", "stage 21/35", "pressure_{bar}")
    cured = mended(read_plan_text(text), Mend("fill", (Change(path, 200.0),)))
    assert cured.cylinder[0].pressure_psi == 2900  # 200 bar are 2,900.75 psi


def test_a_mend_that_does_not_fit_is_refused():
    plan_file = read_plan_text(CASES["dense-gas"])
    for change in (
        Change(("gas", "10/70", "mix"), "12/65"),
        Change(("level", 3, "leave_at_min"), 10.0),
        Change(("cylinder", "nobody", "back", "pressure_{bar}"), 200.0),
        Change(("gas", "18/45"), None),  # the only gas for the bottom
    ):
        with pytest.raises(InputError):
            mended(plan_file, Mend("this", (change,)))


def test_a_note_within_the_tolerance_asks_for_no_change():
    plan_file = read_plan_text(METRIC + gas("21/35", "bottom") + level(depth_m=57, leave_at_min=10))
    for hazard in found(plan_file, "hyperoxic"):
        assert not hazard.mends
    assert replace(found(plan_file, "dense-gas")[0], mends=()).mends == ()
