"""Minimum gas: the worst moment, every stop, every minute, up to the next gas."""

from __future__ import annotations

import dataclasses

import pytest

from slatewright.decompression.leg import LegKind
from slatewright.decompression.settings import AscentSettings
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.solving import solve_plan
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.breathing import breathed_amount_mol
from slatewright.supply.kit import ReserveRules
from slatewright.supply.reserves import (
    minimum_gas_mol,
    minimum_gases,
    sharing_l_per_min,
    to_next_gas,
    way_home,
)
from unit.supply.kits import CALM, ROOM_K, WALL, diver

WATER = Water()
BOTTOM = Mixture.parse("18/45")


def plan(*levels, gases=(("EAN50", 21.0),), switch_min=1.0):
    carried = [CarriedGas(BOTTOM, Use.BOTTOM, 1.4)]
    carried += [CarriedGas(Mixture.parse(mix), Use.DECOMPRESSION, 1.6, at_m) for mix, at_m in gases]
    return Plan(
        "made up", UnitSystem.METRIC, WATER, AscentSettings(switch_min=switch_min),
        tuple(carried), tuple(Level(*level) for level in levels),
    )  # fmt: skip


def test_a_way_up_ends_when_the_next_gas_is_in_the_mouth():
    ascent = WALL[4:]
    assert [leg.to_m for leg in to_next_gas(ascent)] == [45.0, 45.0]
    assert to_next_gas(ascent)[-1].switching


def test_each_minute_and_each_stop_counts():
    found = minimum_gases(plan((60.0, 20.0)), ReserveRules(problem_min=1.0, two_tasks_min=2.0))
    worst = found[0]
    assert (worst.at_m, worst.at_min, worst.problem_min) == (60.0, 20.0, 2.0)
    assert (str(worst.next_mix), worst.next_m) == ("EAN50", 21.0)
    by_hand = breathed_amount_mol(1.0, 2.0, WATER.ambient_bar(60.0), ROOM_K)
    for leg in worst.legs:
        middle = (WATER.ambient_bar(leg.from_m) + WATER.ambient_bar(leg.to_m)) / 2
        by_hand += breathed_amount_mol(1.0, leg.minutes, middle, ROOM_K)
    assert worst.per_rmv_mol == pytest.approx(by_hand)
    assert worst.amount_mol(60.0) == pytest.approx(60.0 * by_hand)
    assert worst.ascent_min == pytest.approx(sum(leg.minutes for leg in worst.legs))


def test_the_ascent_is_the_one_owed_after_the_problem():
    dive = plan((60.0, 25.0), gases=())
    planned = solve_plan(dive).solution.runtime_min - 25.0
    owed = sum(leg.minutes for leg in way_home(dive, 0, 5.0))
    later = solve_plan(plan((60.0, 30.0), gases=())).solution.runtime_min - 30.0
    assert owed == pytest.approx(later)
    assert owed > planned


def test_each_stay_has_its_own_way_home():
    found = minimum_gases(plan((60.0, 15.0), (45.0, 22.0)), ReserveRules())
    assert [(row.at_m, row.at_min) for row in found[:2]] == [(60.0, 15.0), (45.0, 22.0)]
    assert found[0].legs[0].kind is LegKind.ASCENT


def test_less_is_needed_the_higher_it_happens():
    found = minimum_gases(plan((60.0, 25.0)), ReserveRules(two_tasks_min=1.0))
    depths = [row.at_m for row in found]
    assert depths == sorted(set(depths), reverse=True)
    amounts = [row.per_rmv_mol for row in found]
    assert amounts == sorted(amounts, reverse=True)
    assert depths[-1] == 21.0
    last = minimum_gases(plan((60.0, 25.0)), ReserveRules(problem_min=1.0, two_tasks_min=3.0))[-1]
    assert last.problem_min == 3.0  # sharing and changing gas coincide


def test_without_another_gas_it_must_last_to_the_surface():
    worst = minimum_gases(plan((40.0, 25.0), gases=()), ReserveRules())[0]
    assert (worst.next_mix, worst.next_m) == (None, 0.0)
    assert worst.legs[-1].to_m == 0.0


def test_a_longer_change_needs_more():
    quick, slow = (
        minimum_gases(plan((60.0, 20.0), switch_min=minutes), ReserveRules())[0].per_rmv_mol
        for minutes in (1.0, 3.0)
    )
    # two minutes more at 21 m, and no less elsewhere
    assert slow - quick >= breathed_amount_mol(1.0, 2.0, WATER.ambient_bar(21.0), ROOM_K) - 1e-9


def test_cold_water_needs_more_moles():
    warm, cold = (
        minimum_gases(plan((60.0, 20.0)), ReserveRules(), kelvin)[0].per_rmv_mol
        for kelvin in (None, 277.15)
    )
    assert cold / warm == pytest.approx(293.15 / 277.15)


def test_two_on_one_supply_are_the_owner_and_the_greediest():
    rates = (28.0, 34.0, 31.0)
    team = [
        diver(rmv=dataclasses.replace(CALM, stressed_l_per_min=rate), name=str(rate))
        for rate in rates
    ]
    assert [sharing_l_per_min(team, i) for i in range(3)] == [62.0, 65.0, 65.0]
    assert sharing_l_per_min(team[:1], 0) == 28.0


def test_no_legs_are_refused():
    with pytest.raises(InputError, match="without legs"):
        minimum_gas_mol((), 1.0, 60.0, WATER)
