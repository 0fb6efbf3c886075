"""What a dive needs filled, and with how many cylinders."""

from __future__ import annotations

from importlib.resources import as_file, files

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.fill.needs import needs_of, owned_for
from slatewright.supply.cylinders import contents_mol
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
