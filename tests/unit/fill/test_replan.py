"""The dive with what was analysed: what differs, and when it can no longer be made."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import read_plan_file
from slatewright.dive.schedule import schedule
from slatewright.errors import InputError, NoSafeAnswer
from slatewright.fill.replan import differences, recomputed, with_analysed
from slatewright.fill.tolerance import Tolerance
from slatewright.physics.limits import operating_depth
from slatewright.physics.mixture import Mixture

PLANNED = Mixture(0.18, 0.45)
SHELF = Path(__file__).parents[3] / "examples" / "build-up-week" / "1-the-shelf.toml"


@pytest.fixture(scope="module")
def plan():
    return read_plan_file(SHELF).to_plan(HouseRules())


def test_the_plan_takes_the_analysed_gas(plan):
    (bottom,) = plan.bottom_gases
    analysed = Mixture(0.186, 0.437)
    after = with_analysed(plan, {bottom.mix: analysed})
    assert [gas.mix for gas in after.bottom_gases] == [analysed]
    assert len(after.gases) == len(plan.gases)
    assert [g.mix for g in after.gases if g.mix != analysed] == [
        g.mix for g in plan.gases if g.mix != bottom.mix
    ]


def test_what_is_not_carried_or_the_same_twice_is_refused(plan):
    with pytest.raises(InputError, match="no gas of the plan"):
        with_analysed(plan, {Mixture(0.123, 0.5): PLANNED})
    one, other = list(dict.fromkeys(gas.mix for gas in plan.gases))[:2]
    with pytest.raises(InputError, match="analysed as the same"):
        with_analysed(plan, {one: other})


def test_differences_that_matter(plan):
    (bottom,) = plan.bottom_gases
    rich = Mixture(bottom.mix.o2 + 0.008, bottom.mix.he - 0.019)
    before = schedule(plan)
    after = schedule(with_analysed(plan, {bottom.mix: rich}))
    found = differences(before, after)
    (depth,) = [d for d in found if d.what == "operating depth"]
    shallower = operating_depth(rich, bottom.ppo2_max_bar, plan.water)
    # to the tenth, towards the surface, worked out here by itself
    assert depth.after == f"{int(shallower * 10) / 10:g} m"
    assert depth.worse
    again = {d.what: d for d in differences(after, before)}
    assert not again["operating depth"].worse


def test_longer_stops_are_told(plan):
    """Nitrogen in place of a tenth of helium: far outside, so that stops surely change."""
    (bottom,) = plan.bottom_gases
    light = Mixture(bottom.mix.o2, bottom.mix.he - 0.10)
    before, after = schedule(plan), schedule(with_analysed(plan, {bottom.mix: light}))
    found = differences(before, after)
    changed = [d for d in found if d.what in {"stop", "run time"}]
    assert changed
    gained_min = sum(
        float(d.after.removesuffix(" min")) - float(d.before.removesuffix(" min"))
        for d in found
        if d.what == "stop"
    )
    assert gained_min == pytest.approx(after.runtime_min - before.runtime_min, abs=1.5)


def test_a_gas_within_tolerance_may_still_make_the_plan_impossible(plan):
    (bottom,) = plan.bottom_gases
    lean = Mixture(bottom.mix.o2 - 0.009, bottom.mix.he)
    assert Tolerance().holds(lean.o2 - bottom.mix.o2, 0.0)
    done = recomputed(plan, {bottom.mix: lean})
    assert done.after is None
    assert "conscious at the surface" in done.refused[0].what
    fine = recomputed(plan, {bottom.mix: Mixture(bottom.mix.o2 + 0.004, bottom.mix.he)})
    assert fine.after is not None
    assert fine.changes == differences(fine.before, fine.after)


def test_no_difference_without_one(plan):
    dive = schedule(plan)
    assert differences(dive, dive) == ()


def test_a_richer_gas_that_may_no_longer_be_breathed_is_refused_by_the_solver(plan):
    deco = next(gas for gas in plan.gases if gas not in plan.bottom_gases)
    rich = with_analysed(
        replace(plan, gases=tuple(
            replace(gas, switch_m=21.0) if gas == deco else gas for gas in plan.gases
        )),
        {deco.mix: Mixture(deco.mix.o2 + 0.06)},
    )  # fmt: skip
    with pytest.raises(NoSafeAnswer, match="over its limit"):
        schedule(rich)
