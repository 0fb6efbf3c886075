"""The gas of whole dives: what is enough, what is not, and what would cure it."""

from __future__ import annotations

import dataclasses
import json
from functools import cache
from pathlib import Path

import pytest

from slatewright.decompression.settings import AscentSettings
from slatewright.dive.chain import schedules_of
from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.planfile import read_plan_file
from slatewright.dive.schedule import schedule
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.breathing import breathed_amount_mol
from slatewright.supply.consumption import breathed_before_mol, when_breathed
from slatewright.supply.kit import Place, ReserveRules, Team, TurnRule
from slatewright.supply.supply import supply_of
from slatewright.supply.supply_document import reserves_document, supply_document
from slatewright.supply.team import team_of
from unit.supply.kits import CALM, carried, diver

EXAMPLES = Path(__file__).parents[3] / "examples"
WEEK = sorted((EXAMPLES / "build-up-week").glob("*.toml"))
QUARRY = EXAMPLES / "imperial" / "quarry-200ft.toml"
RULES = HouseRules()
WATER = Water()
BOTTOM, RICH = Mixture.parse("18/45"), Mixture.parse("EAN50")


@cache
def dived(*levels):
    gases = (
        CarriedGas(BOTTOM, Use.BOTTOM, 1.4),
        CarriedGas(RICH, Use.DECOMPRESSION, 1.6, 21.0),
    )
    stays = tuple(Level(*level) for level in levels or ((50.0, 20.0),))
    return schedule(Plan("made up", UnitSystem.METRIC, WATER, AscentSettings(), gases, stays))


def pair(back_l=15.0, bar=230.0, rich_bar=200.0):
    return (
        carried("18/45", Place.BACK, back_l, 2, bar),
        carried("EAN50", Place.LEFT, bar=rich_bar),
    )


def team(*divers, kelvin=285.0, **rules):
    return Team(divers or (diver(*pair()), diver(*pair(), name="Tove")),
                ReserveRules(**rules), kelvin)  # fmt: skip


def codes(supply):
    return [(str(hazard.severity), hazard.code) for hazard in supply.hazards]


# the demo dives


def test_the_demo_week_has_enough_gas():
    for path, dive in zip(WEEK, schedules_of(WEEK[-1], RULES), strict=True):
        supply = supply_of(dive, team_of(read_plan_file(path), RULES, path))
        assert supply.hazards == (), path.stem
        assert [own.diver.name for own in supply.divers] == ["Mirren", "Tove", "Casper"]
        # Casper breathes most, and Mirren and Tove alike
        carries = [own.carries_for.name for own in supply.divers]
        assert carries == ["Casper", "Casper", "Mirren"]


def test_the_quarry_has_enough_gas_for_one_at_work():
    supply = supply_of(schedules_of(QUARRY, RULES)[-1], team_of(read_plan_file(QUARRY), RULES))
    assert supply.hazards == ()
    jory = supply.divers[1]
    assert jory.turn.decides
    turn_bar = jory.cylinders[0].turn_gauge_bar
    assert turn_bar / 6.894757293 == pytest.approx(round(turn_bar / 6.894757293))  # hundreds of psi


# enough


def test_enough_with_the_turn_at_the_minimum_gas():
    supply = supply_of(dived(), team())
    assert codes(supply) == []
    assert supply.enough
    own = supply.divers[0]
    back = own.cylinders[0]
    # turning on all usable gas, only the minimum gas is left to breathe
    assert back.reserve_mol == pytest.approx(own.kept_of(BOTTOM).minimum_mol)
    assert back.turn_gauge_bar == back.reserve_gauge_bar
    left_mol = own.kept_of(BOTTOM).available_mol - own.turn.use_mol
    assert left_mol == pytest.approx(supply.stays[0].amount_mol(60.0))


def test_the_turn_is_reached_where_it_is_said():
    supply = supply_of(dived(), team(turn_rule=TurnRule.SIXTHS))
    own = supply.divers[0]
    moment = when_breathed(supply.legs, own.diver, supply.team.rules, WATER, BOTTOM,
                           own.turn.use_mol, water_temperature_k=285.0)  # fmt: skip
    assert own.turn_min == pytest.approx(moment[0])
    assert 0.0 < own.turn_min < 20.0


def test_minimum_gas_by_depth_has_a_gauge_for_each_diver():
    imperial = dataclasses.replace(diver(*pair(12.0), name="Tove"), units=UnitSystem.IMPERIAL)
    supply = supply_of(dived(), team(diver(*pair()), imperial))
    shown = [
        [supply.minimum_gauges_bar(row, own)["back 18/45"] for own in supply.divers]
        for row in supply.minimum
    ]
    assert len(shown) >= 3
    for big, small in shown:
        assert big % 5.0 == 0.0
        assert (small / 6.894757293) % 1.0 == pytest.approx(0.0, abs=1e-6)
        assert small > big  # the same litres in less room
    assert [big for big, _ in shown] == sorted((big for big, _ in shown), reverse=True)


def test_the_least_well_supplied_decides():
    small = diver(*pair(12.0, 180.0), name="Tove")
    supply = supply_of(dived(), team(diver(*pair()), small, turn_rule=TurnRule.THIRDS))
    first, second = supply.divers
    assert (first.turn.decides, second.turn.decides) == (False, True)
    assert first.turn.use_mol == pytest.approx(second.turn.use_mol)  # they breathe alike


# not enough


def test_gas_that_ends_is_a_danger_with_its_minute():
    supply = supply_of(dived(), team(diver(*pair(bar=60.0)), diver(*pair(), name="Tove")))
    ends = next(hazard for hazard in supply.hazards if hazard.code == "out-of-gas")
    assert ends.severity is Severity.DANGER
    assert ends.text.startswith("Mirren has no 18/45 from ")
    assert "at 50 m" in ends.text
    assert ends.at_min == pytest.approx(supply.divers[0].cylinders[0].use.out_min)
    assert not supply.enough


def test_too_little_for_two_is_a_danger_and_its_cure_cures():
    thin = diver(*pair(bar=150.0), name="Tove")
    supply = supply_of(dived(), team(diver(*pair()), thin))
    assert codes(supply) == [("danger", "minimum-gas")]
    (hazard,) = supply.hazards
    assert (hazard.at_min, hazard.at_m) == (20.0, 50.0)
    assert "Tove has" in hazard.text
    minute = int(hazard.cure.split(" by ")[1].split()[0])
    assert 0 < minute < 20
    assert supply_of(dived((50.0, float(minute))), team(diver(*pair()), thin)).enough
    assert not supply_of(dived((50.0, minute + 1.0)), team(diver(*pair()), thin)).enough
    litres = float(hazard.cure.split()[0])
    kept = supply.divers[1].kept_of(BOTTOM)
    lacking_l = free_litres(BOTTOM, kept.needed_mol - kept.available_mol)
    assert lacking_l <= litres < lacking_l + 1.0


def test_one_who_meets_a_deeper_stay_first_needs_the_minimum_gas_there():
    levels = ((60.0, 18.0), (30.0, 26.0))
    kit = pair(bar=170.0)
    supply = supply_of(dived(*levels), team(diver(*kit), diver(*kit, name="Tove")))
    first = next(h for h in supply.hazards if h.code == "minimum-gas")
    assert (first.at_min, first.at_m) == (18.0, 60.0)
    kept = supply.divers[0].kept_of(BOTTOM)
    used = breathed_before_mol(supply.legs, supply.divers[0].diver, supply.team.rules, WATER,
                               285.0, until_min=18.0)[BOTTOM]  # fmt: skip
    assert kept.needed_mol == pytest.approx(used + supply.stays[0].amount_mol(60.0))


def test_decompression_gas_with_less_than_the_factor_is_a_warning():
    plain = supply_of(dived(), team())
    need = plain.divers[0].kept_of(RICH)
    assert need.needed_mol == pytest.approx(1.5 * need.after_mol)
    bar = 200.0 * need.needed_mol / need.available_mol
    thin = diver(*pair(rich_bar=bar), name="Tove")  # residual pressure makes that too little
    supply = supply_of(dived(), team(diver(*pair()), thin))
    assert codes(supply) == [("warning", "decompression-reserve")]
    assert supply.enough
    assert codes(supply_of(dived(), team(diver(*pair()), thin, decompression_factor=1.2))) == []


def test_a_stay_longer_than_the_rule_is_a_warning():
    supply = supply_of(dived(), team(turn_rule=TurnRule.SIXTHS))
    assert codes(supply) == [("warning", "turn-rule")]
    assert "by the rule of sixths" in supply.hazards[0].text


def test_what_is_assumed_is_said():
    supply = supply_of(dived(), team(diver(*pair()), kelvin=None))
    assert codes(supply) == [("note", "water-temperature"), ("note", "one-diver")]


def test_a_gas_without_cylinder_is_refused():
    with pytest.raises(InputError, match="no cylinder of it"):
        supply_of(dived(), team(diver(*pair()[:1])))


# the price of a minute


def test_a_minute_is_paid_at_depth_and_above():
    supply = supply_of(dived(), team())
    price = supply.price
    rate = breathed_amount_mol(CALM.swimming_l_per_min, 1.0, WATER.ambient_bar(50.0), 285.0)
    assert price.at_depth_mol[BOTTOM] == pytest.approx(rate)
    later = dived((50.0, 21.0))
    assert price.ascent_min == pytest.approx(later.runtime_min - dived().runtime_min - 1.0)
    whole = [
        sum(breathed_before_mol(dive.legs, supply.divers[0].diver, supply.team.rules, WATER,
                                285.0).values())
        for dive in (dived(), later)
    ]  # fmt: skip
    paid = sum(price.at_depth_mol.values()) + sum(price.above_mol.values())
    assert paid == pytest.approx(whole[1] - whole[0])


# the document


def test_the_document_is_plain_data_with_the_keys_of_the_contract():
    supply = supply_of(dived(), team())
    entries = json.loads(json.dumps(supply_document(supply)))
    assert len(entries) == 4
    keys = {"gas", "cylinder", "used_l", "reserve_l", "start_bar", "end_bar", "contents_l"}
    for entry in entries:
        assert keys <= set(entry)
        assert entry["readings"][0]["free_l"] - entry["readings"][-1]["free_l"] == (
            pytest.approx(entry["used_l"])
        )
    told = json.loads(json.dumps(reserves_document(supply)))
    assert told["enough"] is True
    assert told["minimum"][0]["divers"][1]["name"] == "Tove"
    assert told["bottom_minute"]["at_depth_l"]["18/45"] > 0.0
