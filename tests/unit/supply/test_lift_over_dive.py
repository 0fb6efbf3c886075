"""Lift over whole dives: what the cylinders hold, and what becomes of the hazards."""

from __future__ import annotations

import dataclasses
import json
from functools import cache

import pytest

from slatewright.decompression.settings import AscentSettings
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.buoyancy import cylinder_buoyancy_kg, water_density_kg_per_m3
from slatewright.supply.consumption import Occasion, use_of_legs
from slatewright.supply.full_document import full_document
from slatewright.supply.judged import judge
from slatewright.supply.kit import Place, ReserveRules, Team
from slatewright.supply.lift_over_dive import lift_over, moments_of
from slatewright.supply.rig import Rig, Suit
from unit.supply.kits import carried, diver

WATER = Water()
RULES = ReserveRules(inflation_free_l=60.0, surface_swim_min=4.0)
KELVIN = 285.0
O2_G, HE_G = 31.998, 4.0026
N2_G = (0.78084 * 28.014 + 0.00934 * 39.948) / (0.78084 + 0.00934)
"""Grams a mole by the standard atomic weights; nitrogen comes with the argon of air (by the make-up
of dry air in ISO 2533); all from memory."""
KIT = (carried("18/45", Place.BACK, 15.0, 2, 230.0), carried("EAN50", Place.LEFT, bar=200.0))
RIG = Rig(25.0, 2.0, 6.0, Suit.DRYSUIT, 8.0, 0.0, 15.0)


@cache
def dive():
    gases = (
        CarriedGas(Mixture.parse("18/45"), Use.BOTTOM, 1.4),
        CarriedGas(Mixture.parse("EAN50"), Use.DECOMPRESSION, 1.6, 21.0),
    )
    stays = (Level(50.0, 20.0),)
    return schedule(Plan("made up", UnitSystem.METRIC, WATER, AscentSettings(), gases, stays))


def with_rig(rig, name="Mirren"):
    return dataclasses.replace(diver(*KIT, name=name), rig=rig)


@cache
def judged(*rigs):
    names = ("Mirren", "Tove")
    divers = tuple(with_rig(rig, name) for rig, name in zip(rigs, names, strict=True))
    return judge(dive(), Team(divers, RULES, KELVIN))


def test_the_moments_hold_what_the_gauges_say():
    legs = dive().legs
    moments = moments_of(legs, diver(*KIT), RULES, WATER, KELVIN)
    assert len(moments) == 1 + 2 * len(legs)
    uses = use_of_legs(legs, diver(*KIT), RULES, WATER, KELVIN)
    for position, use in enumerate(uses):
        assert moments[0].amounts_mol[position] == pytest.approx(use.start.amount_mol)
        for reading in use.readings[1:]:
            held = [
                moment.amounts_mol[position]
                for moment in moments[1:]
                if moment.at_min == pytest.approx(reading.at_min)
                and moment.at_m == pytest.approx(reading.at_m)
            ]
            assert held, reading
            assert held[0] == pytest.approx(reading.amount_mol), reading
        assert {reading.occasion for reading in use.readings} >= {Occasion.START, Occasion.END}


def test_the_figures_are_those_of_the_gas_that_left():
    (lift,) = lift_over(dive(), Team((with_rig(RIG),), RULES, KELVIN))
    points = lift.balance.points
    density = water_density_kg_per_m3(WATER)
    uses = use_of_legs(dive().legs, lift.diver, RULES, WATER, KELVIN)
    for point, reading in ((points[0], "start"), (points[-1], "end")):
        own = sum(
            cylinder_buoyancy_kg(use.carried.cylinder, use.carried.mix,
                                 getattr(use, reading).amount_mol, density)
            for use in uses
        )  # fmt: skip
        assert point.cylinders_kg == pytest.approx(own)
    # a drysuit keeps its volume, so the diver gains just the mass of the gas that was used
    grams = {"18/45": 0.18 * O2_G + 0.45 * HE_G + 0.37 * N2_G, "EAN50": 0.5 * (O2_G + N2_G)}
    used_kg = sum(use.used_mol * grams[str(use.carried.mix)] / 1000.0 for use in uses)
    gained = points[-1].net_kg - points[0].net_kg
    assert gained == pytest.approx(used_kg, rel=1e-3)
    assert lift.balance.heaviest == points[0]


def test_a_wetsuit_is_heaviest_at_depth():
    rig = dataclasses.replace(RIG, suit=Suit.WETSUIT)
    (lift,) = lift_over(dive(), Team((with_rig(rig),), RULES, KELVIN))
    assert lift.balance.heaviest.at_m == 50.0
    assert lift.balance.lightest.at_min > 20.0


def test_a_balanced_rig_has_no_hazard():
    assert not [h for h in judged(RIG, RIG).schedule.hazards if h.code in
                {"floats", "beyond-wing", "heavy-without-wing"}]  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"person_buoyancy_kg": 30.0}, "floats"),
        ({"wing_lift_kg": 1.0}, "beyond-wing"),
        ({"second_lift_kg": 0.0, "droppable_kg": 0.0}, "heavy-without-wing"),
    ],
)
def test_hazards_of_lift_stand_among_the_others_with_the_name(changes, code):
    found = judged(RIG, dataclasses.replace(RIG, **changes)).schedule.hazards
    told = [hazard for hazard in found if hazard.code == code]
    assert told
    assert all(hazard.text.startswith("Tove: ") and hazard.cure for hazard in told)
    assert all(hazard.at_min >= 0.0 for hazard in told)
    ranks = [["danger", "warning", "note"].index(str(hazard.severity)) for hazard in found]
    assert ranks == sorted(ranks)


def test_the_document_tells_figures_or_why_not():
    mirren, tove = json.loads(json.dumps(full_document(judged(RIG, None))))["lift"]
    assert tove == {"name": "Tove", "not_judged": "no rig in the plan"}
    assert mirren["rig"]["suit"] == "drysuit"
    nets = [point["net_kg"] for point in mirren["points"]]
    assert mirren["heaviest"]["net_kg"] == min(nets)
    for point in mirren["points"]:
        parts = ("cylinders_kg", "suit_kg", "ballast_kg", "person_kg")
        assert point["net_kg"] == pytest.approx(sum(point[part] for part in parts))
    assert any("carried all the way" in text for text in mirren["assumptions"])
