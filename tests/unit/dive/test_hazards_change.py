"""Hazards of changes of gas, and what cures them."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from slatewright.decompression.settings import OxygenBreaks
from slatewright.dive.hazard import Severity
from slatewright.dive.plan import Use
from slatewright.dive.schedule import schedule
from slatewright.dive.trials import runtime_without
from slatewright.physics.mixture import Mixture
from unit.dive.plans import gas, hazard, hazards, hypoxic_dive, plan_of, with_mix


@pytest.mark.parametrize("bottom", ["18/45", "15/55", "12/65"])
def test_the_helium_that_the_cure_names_cures_it_and_less_does_not(bottom):
    gases = [gas(bottom, "bottom"), gas("EAN32", "travel"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(55.0, 15.0)])
    (found,) = [one for one in hazards(plan, "counterdiffusion") if "to EAN50" in one.text]
    assert found.severity is Severity.WARNING
    assert found.at_m == 21.0
    enough = Mixture.parse(re.match(r"(\S+) or more helium", found.cure).group(1))
    for more, cured in ((0.0, True), (0.05, True), (-0.01, False)):
        mix = Mixture(enough.o2, enough.he + more)
        left = hazards(with_mix(plan, "EAN50", mix), "counterdiffusion")
        assert not left if cured else left


def test_neither_another_depth_nor_a_step_between_cures_it():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression", 9.0)]
    plan = plan_of(gases, [(55.0, 15.0)])
    assert hazards(plan, "counterdiffusion")
    between = replace(plan, gases=(*gases, gas("35/25", "decompression")))
    assert hazards(between, "counterdiffusion")


def test_its_figures_are_those_by_hand():
    gases = [gas("18/45", "bottom"), gas("EAN50", "decompression", 21.0)]
    found = hazard(plan_of(gases, [(55.0, 15.0)]), "counterdiffusion")
    # 3.11325 bar: nitrogen 0.13 * p = 0.405, helium 0.45 * p = 1.401, a fifth of it 0.280
    assert "0.40 bar while helium falls by 1.40 bar" in found.text
    assert "(0.28 bar)" in found.text


def test_breaks_from_oxygen_are_no_counterdiffusion():
    plan = hypoxic_dive(ascent={"breaks": OxygenBreaks(12, 6)})
    assert [one.at_m for one in hazards(plan, "counterdiffusion")] == [21.0]


def test_a_gas_never_breathed_is_told_and_leaving_it_ashore_cures_it():
    plan = hypoxic_dive()
    more = replace(plan, gases=(*plan.gases, gas("EAN40", "decompression", 15.0)))
    found = hazard(more, "unused-gas")
    assert found.severity is Severity.NOTE
    assert "EAN40 is carried and never breathed" in found.text
    assert not hazards(plan, "unused-gas")


def test_a_change_that_gains_nothing_is_told_and_leaving_it_out_costs_less_than_a_minute():
    gases = [gas("EAN32", "bottom"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(25.0, 20.0)])
    found = hazard(plan, "gainless-change")
    assert found.at_m == 21.0
    alone = replace(plan, gases=gases[:1])
    assert schedule(alone).runtime_min < schedule(plan).runtime_min + 1.0
    assert not hazards(alone, "gainless-change")


def test_a_change_that_takes_no_time_and_needs_no_stop_is_judged_too():
    # the gas is breathed on an ascent only, and on no stop
    gases = [gas("air", "bottom"), gas("EAN50", "decompression")]
    plan = plan_of(gases, [(30.0, 5.0)], ascent={"switch_min": 0.0})
    assert hazard(plan, "gainless-change").at_m == 21.0


def test_a_change_that_gains_is_not():
    assert not hazards(hypoxic_dive(), "gainless-change")


def test_a_gas_that_is_for_the_bottom_too_is_not_called_gainless():
    gases = [gas("21/35", "bottom"), gas("21/35", "decompression"), gas("EAN50", "decompression")]
    assert not hazards(plan_of(gases, [(50.0, 20.0)]), "gainless-change")


def test_a_travel_gas_is_only_left_out_on_the_way_up():
    gases = [gas("15/55", "bottom"), gas("EAN32", "travel"), gas("EAN32", "decompression"),
             gas("EAN50", "decompression")]  # fmt: skip
    plan = plan_of(gases, [(40.0, 8.0)])
    for found in hazards(plan, "gainless-change"):
        mix = re.match(r"do not change to (\S+) on the way up", found.cure).group(1)
        rest = tuple(
            one for one in gases
            if one.mix != Mixture.parse(mix) or one.use is not Use.DECOMPRESSION
        )  # fmt: skip
        left = schedule(replace(plan, gases=rest))
        assert left.runtime_min < schedule(plan).runtime_min + 1.0
    assert hazards(plan, "gainless-change")


def test_a_gas_without_which_there_is_no_way_is_not_gainless():
    plan = plan_of([gas("10/70", "bottom"), gas("EAN32", "travel"),
                    gas("EAN32", "decompression")], [(30.0, 6.0)])  # fmt: skip
    assert runtime_without(plan, plan.gases[2]) is None
    assert not hazards(plan, "gainless-change")
