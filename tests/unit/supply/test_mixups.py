"""Mix-ups: what the wrong cylinder does, where, and who would notice."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import pairwise

import pytest

from slatewright.decompression.settings import AscentSettings, OxygenBreaks
from slatewright.dive.hazard import Severity
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.dive.solving import solve_plan
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.kit import Place, ReserveRules, Team
from slatewright.supply.mixup_breath import Harm
from slatewright.supply.mixup_moments import Handling, moments_of
from slatewright.supply.mixup_waiting import swap_on_the_line
from slatewright.supply.mixup_words import Who
from slatewright.supply.mixups import mixups
from unit.supply.kits import carried, diver

BACK, TRAVEL, FIFTY, OXYGEN = (Mixture.parse(name) for name in ("10/70", "21/35", "EAN50", "O2"))
PLAN = Plan(
    "The wall of our own invention, 96 m",
    UnitSystem.METRIC,
    Water(),
    AscentSettings(last_stop_m=3.0, breaks=OxygenBreaks(12, 6)),
    (
        CarriedGas(BACK, Use.BOTTOM, 1.4),
        CarriedGas(TRAVEL, Use.TRAVEL, 1.4, 36.0),
        CarriedGas(TRAVEL, Use.DECOMPRESSION, 1.6, 45.0),
        CarriedGas(FIFTY, Use.DECOMPRESSION, 1.6, 21.0),
        CarriedGas(OXYGEN, Use.DECOMPRESSION, 1.6, 6.0),
    ),
    (Level(96.0, 18.0),),
    break_gas=TRAVEL,
)
KIT = (
    carried("10/70", Place.BACK, 18.0, 2, 220.0),
    carried("21/35", label="left 21/35"),
    carried("EAN50", label="right 50"),
    carried("O2", label="oxygen"),
)
TEAM = Team((diver(*KIT), diver(*KIT, name="Iain")), ReserveRules())


@pytest.fixture(scope="module")
def dive():
    return schedule(PLAN)


@pytest.fixture(scope="module")
def found(dive):
    return mixups(dive, TEAM)


def one(found, handling, right, wrong, *, depth_m=None):
    (mixup,) = {
        (m.moment.at_min): m
        for m in found.found
        if m.diver == m.wrong_of == "Mirren"
        and m.moment.handling is handling
        and (m.right.mix, m.wrong.mix) == (right, wrong)
        and (depth_m is None or m.moment.at_m == depth_m)
    }.values()
    return mixup


def test_every_moment_at_which_a_cylinder_is_handled_is_found(dive):
    moments = moments_of(dive, dropped=True)
    told = [(m.handling, str(m.gas), m.at_m) for m in moments]
    assert told[:5] == [
        (Handling.MOUTH, "21/35", 0.0),
        (Handling.DROP, "O2", 6.0),
        (Handling.DROP, "EAN50", 21.0),
        (Handling.CHANGE_DOWN, "10/70", 36.0),
        (Handling.DROP, "21/35", 45.0),
    ]
    assert told[5:11] == [
        (handling, gas, depth_m)
        for gas, depth_m in (("21/35", 45.0), ("EAN50", 21.0), ("O2", 6.0))
        for handling in (Handling.PICK_UP, Handling.CHANGE_UP)
    ]
    assert [m.handling for m in moments[11:13]] == [Handling.BREAK, Handling.BACK]
    assert all(a.at_min <= b.at_min for a, b in pairwise(moments))


def test_what_is_carried_throughout_is_neither_dropped_nor_picked_up(dive):
    handled = {m.handling for m in moments_of(dive, dropped=False)}
    assert not handled & {Handling.DROP, Handling.PICK_UP}
    assert all(m.waits is None for m in mixups(dive, TEAM, dropped=False).found)


def test_oxygen_at_the_change_to_fifty_is_deadly(found):
    mixup = one(found, Handling.CHANGE_UP, FIFTY, OXYGEN)
    assert mixup.breath.ppo2_bar == pytest.approx(1.01325 + 2.1)  # pure oxygen: the ambient
    assert mixup.harm is Harm.DEADLY
    assert mixup.severity is Severity.DANGER
    assert "3.11 bar" in mixup.text
    assert "21 m" in mixup.text
    assert "convulsion" in mixup.text


def test_a_wrong_gas_on_the_way_down_is_judged_where_it_gets_worst(found):
    mixup = one(found, Handling.CHANGE_DOWN, BACK, FIFTY)
    assert mixup.breath.ppo2_bar == pytest.approx(0.5 * 4.61325)
    assert mixup.breath.highest_at_m == 96.0
    assert mixup.breath.highest_ppo2_bar == pytest.approx(0.5 * 10.61325)
    assert "5.31 bar at 96 m" in mixup.text


def test_bottom_gas_at_the_surface_takes_consciousness(found):
    mixup = one(found, Handling.MOUTH, TRAVEL, BACK)
    assert mixup.breath.hypoxic
    assert mixup.harm is Harm.DEADLY
    assert "without warning" in mixup.text
    assert mixup.noticed[-1].who is Who.NOBODY


def test_a_lean_gas_at_the_stops_leaves_the_diver_above_the_ceiling(found):
    mixup = one(found, Handling.CHANGE_UP, FIFTY, TRAVEL)
    assert mixup.breath.above_ceiling_m > 0.5
    assert mixup.harm > Harm.DIFFERENT
    assert "above the ceiling" in mixup.text


def test_the_depth_on_the_label_does_not_give_a_lean_gas_away(found):
    lean, rich = (one(found, Handling.CHANGE_UP, FIFTY, mix) for mix in (TRAVEL, OXYGEN))
    assert "only if the mix is read" in lean.noticed[1].text
    assert "reads '6 m'" in rich.noticed[1].text
    assert {lean.noticed[1].who, rich.noticed[1].who} == {Who.PARTNER}


def test_a_swap_on_the_line_is_found_at_the_deeper_place(dive, found):
    waits = one(found, Handling.DROP, OXYGEN, FIFTY).waits
    assert (waits.missing, waits.found) == (FIFTY, OXYGEN)
    assert (waits.at_m, waits.missing_at_m) == (21.0, 6.0)
    assert waits.extra_min > 5.0
    assert waits == one(found, Handling.DROP, FIFTY, OXYGEN).waits  # the same, seen from below


def test_until_the_discovery_the_dive_goes_as_planned(dive):
    solved = solve_plan(PLAN)
    drops = [m for m in moments_of(dive, dropped=True) if m.handling is Handling.DROP]
    waits = swap_on_the_line(dive, solved, drops, (OXYGEN, FIFTY), TEAM.divers[0], TEAM)
    without = tuple(gas for gas in PLAN.gases if gas.mix != FIFTY)
    none = solve_plan(replace(PLAN, gases=without)).solution
    # fifty breathed from 6 m on helps nothing where oxygen hangs in the hand: as if it were lost
    assert waits.runtime_min == pytest.approx(none.runtime_min)


def test_gas_that_does_not_last_is_named(dive):
    poor = diver(*(replace(c, start_gauge_bar=60.0) if c.mix == TRAVEL else c for c in KIT))
    waits = one(mixups(dive, Team((poor,), ReserveRules())), Handling.DROP, OXYGEN, FIFTY).waits
    assert [str(out.gas) for out in waits.runs_out] == ["21/35"]
    assert not waits.gets_home
    assert dive.bottom_left_min < waits.runs_out[0].at_min < waits.runtime_min


def test_a_hypoxic_bottom_gas_is_no_way_home():
    """Without the fifty, 6/85 would have to be breathed where it cannot be."""
    lean = Mixture.parse("6/85")
    plan = replace(
        PLAN,
        settings=AscentSettings(last_stop_m=6.0),
        break_gas=None,
        gases=(
            CarriedGas(lean, Use.BOTTOM, 1.4),
            CarriedGas(TRAVEL, Use.TRAVEL, 1.4, 36.0),
            CarriedGas(FIFTY, Use.DECOMPRESSION, 1.6, 21.0),
            CarriedGas(OXYGEN, Use.DECOMPRESSION, 1.6, 6.0),
        ),
    )
    kit = (carried("6/85", Place.BACK, 18.0, 2, 220.0), *KIT[1:])
    waits = one(
        mixups(schedule(plan), Team((diver(*kit),), ReserveRules())), Handling.DROP, OXYGEN, FIFTY
    )
    assert waits.waits.runtime_min is None
    assert not waits.waits.gets_home
    assert waits.waits.no_way
    assert waits.harm is Harm.DEADLY
    assert "No ascent can be made" in waits.text


def test_what_is_in_the_mouth_is_not_dropped(found):
    swapped = {
        frozenset((m.right.mix, m.wrong.mix))
        for m in found.found
        if m.moment.handling is Handling.DROP
    }
    assert swapped == {frozenset((FIFTY, OXYGEN))}  # 21/35 is breathed down to 36 m


def test_which_two_must_never_look_alike(found):
    never = found.never_alike
    assert set(never.gases) == {TRAVEL, OXYGEN}  # 5.5 bar at 45 m, worse than any of the hanging
    assert found.alike[0].on_the_back  # oxygen for bottom gas is worse still, but looks different
    assert "left 21/35" in never.text
    assert "oxygen" in never.text
    assert [pair.worst.rank for pair in found.alike] == sorted(
        (pair.worst.rank for pair in found.alike), reverse=True
    )


def test_the_order_in_which_they_are_dropped(found):
    assert [str(drop.gas) for drop in found.drops] == ["O2", "EAN50", "21/35"]
    assert "O2 at 6 m, EAN50 at 21 m, 21/35 at 45 m" in found.order_text


def test_a_partners_cylinder_is_taken_only_from_where_all_hang(found):
    others = {m.moment.handling for m in found.found if m.wrong_of != m.diver}
    assert others == {Handling.PICK_UP}


def test_an_imperial_plan_is_told_in_feet(dive):
    plan = replace(dive.plan, units=UnitSystem.IMPERIAL)
    told = mixups(replace(dive, plan=plan), TEAM)
    assert "69 ft" in one(told, Handling.CHANGE_UP, FIFTY, OXYGEN).text.replace("68.9", "69")
    assert " m " not in told.order_text


def test_it_is_json_without_infinities(found):
    told = json.loads(json.dumps(found.document(), allow_nan=False))
    assert told["schema"] == "slatewright/mixups/1"
    first = told["found"][0]
    assert first["right"] == {"label": "back 10/70", "gas": "10/70", "place": "back"}
    assert first["harm"] == "deadly"
    assert len(told["found"]) == len(found.found)


def test_a_gas_without_a_cylinder_is_refused(dive):
    with pytest.raises(InputError, match="no cylinder"):
        mixups(dive, Team((diver(*KIT[:3]),), ReserveRules()))
