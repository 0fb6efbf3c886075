"""What a dive needs filled, and with how many cylinders."""

from __future__ import annotations

from importlib.resources import as_file, files

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.fill.needs import needs_of, needs_of_loop, owned_for
from slatewright.supply.cylinders import contents_mol
from slatewright.supply.loop_supply import loop_supply
from slatewright.supply.reading import planned
from slatewright.supply.supply import supply_of


@pytest.fixture(scope="module")
def supply():
    with as_file(files("slatewright.data") / "examples" / "build-up-week") as week:
        dive = planned(week / "6-the-wall.toml", HouseRules())
    return supply_of(dive.dive, dive.team)


def test_each_cylinder_of_each_diver_is_a_need(supply):
    needs = needs_of(supply, 3)
    assert len(needs) == sum(len(diver.cylinders) for diver in supply.divers) == 15
    assert {need.dive for need in needs} == {3}
    assert {need.owner for need in needs} == {"Mirren", "Tove", "Casper"}


def test_what_comes_back_is_what_was_not_breathed(supply):
    needs = iter(needs_of(supply, 1))
    for diver in supply.divers:
        for each in diver.cylinders:
            need = next(needs)
            before_mol, after_mol = (
                contents_mol(need.cylinder, need.mix, gauge_bar, 293.15)
                for gauge_bar in (need.gauge_bar, need.left_gauge_bar)
            )
            gone_mol = before_mol - after_mol
            assert gone_mol == pytest.approx(each.use.used_mol, rel=1e-6)


def test_cylinders_are_as_many_as_the_dive_that_needs_most(supply):
    needs = (*needs_of(supply, 1), *needs_of(supply, 2)[:-2])
    owned = owned_for(needs)
    assert len(owned) == 15
    assert len({own.receiver.label for own in owned}) == 15


def test_a_loop_needs_little_and_its_bailout_comes_back_full():
    with as_file(files("slatewright.data") / "examples" / "closed-circuit") as folder:
        found = planned(folder / "1-the-terrace.toml", HouseRules())
    supply = loop_supply(found.dive, found.team)
    needs = needs_of_loop(supply, 1)
    assert len(needs) == sum(len(own.diver.kit) for own in supply.divers) == 8
    fed = {use.carried.mix: use for use in supply.divers[0].cylinders}
    for need in needs[:4]:
        if need.cylinder.name == "single 3":
            gone_mol = contents_mol(need.cylinder, need.mix, need.gauge_bar, 293.15)
            gone_mol -= contents_mol(need.cylinder, need.mix, need.left_gauge_bar, 293.15)
            assert gone_mol == pytest.approx(fed[need.mix].used_mol, rel=1e-6)
            assert gone_mol > 1
        else:
            assert need.left_gauge_bar == need.gauge_bar > 190
