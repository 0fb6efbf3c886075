"""Gas of a loop worked out by hand, charged to cylinders; absorbent and bailout that end."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from slatewright.decompression.leg import Leg, LegKind
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.loop import Loop, Metabolism, ScrubberRow, Setpoint
from slatewright.dive.mending import mended
from slatewright.dive.planfile import read_plan_file
from slatewright.dive.schedule import schedule
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.kit import Diver, Place, ReserveRules, Rmv
from slatewright.supply.loop import charge_loop, loop_use
from slatewright.supply.loop_bailout import breathed_in_bailout_mol, own_bailout
from slatewright.supply.loop_balance import Counted
from slatewright.supply.loop_document import loop_document
from slatewright.supply.loop_supply import loop_supply
from slatewright.supply.team import team_of

WATER = Water()  # 1.01325 bar at the surface, 0.1 bar/m
RULES = HouseRules()
DILUENT = Mixture(0.12, 0.6)
TERRACE = Path(__file__).parents[3] / "examples" / "closed-circuit" / "1-the-terrace.toml"
R = 8.31446261815324
KELVIN = 293.15
PER_BAR = 1e5 * 0.007 / (R * KELVIN)  # 7 L, mol for each bar
PER_LITRE = 101325 * 0.001 / (R * 273.15)  # a litre dry at 0 degC and 1 atm is 1/22.414 mol
LOOP = Loop(DILUENT, (Setpoint(0.7),), 1.2, (), 7.0, Metabolism(0.8, 1.2, 1.8))
ALONE = Diver("Mirren", UnitSystem.METRIC, Rmv(18.0, 22.0, 15.0, 30.0), ())


def leg(kind, from_m, to_m, minutes, setpoint_bar, start_min=0.0, mix=DILUENT):
    return Leg(LegKind(kind), from_m, to_m, start_min, minutes, mix, setpoint_bar)


def use_of(*legs, diver=ALONE, loop=LOOP, **rules):
    return loop_use(legs, loop, diver, ReserveRules(**rules), WATER, KELVIN)


def test_a_stay_takes_the_oxygen_that_is_used_up_and_nothing_else():
    (found,) = use_of(leg("bottom", 40.0, 40.0, 10.0, 1.2)).legs
    # 1.2 L/min for 10 min: 12 / 22.414 = 0.5354 mol
    assert found.flows.used_mol == pytest.approx(0.5354, abs=5e-5)
    assert found.flows.oxygen_mol == pytest.approx(found.flows.used_mol)
    assert found.flows.diluent_mol == found.flows.vented_oxygen_mol == 0.0
    assert found.ppo2_bar == pytest.approx(1.2)


def test_phases_use_up_what_is_stated_for_them():
    resting = use_of(leg("stop", 6.0, 6.0, 10.0, 1.2)).total.used_mol
    working = use_of(leg("bottom", 40.0, 40.0, 10.0, 1.2),
                     diver=replace(ALONE, works_at_depth=True)).total.used_mol  # fmt: skip
    assert resting == pytest.approx(8.0 * PER_LITRE)
    assert working == pytest.approx(18.0 * PER_LITRE)


def test_the_loop_is_filled_before_the_dive():
    use = use_of(leg("bottom", 0.0, 0.0, 1.0, 0.7))
    # 1.01325 bar: 0.7 oxygen, 0.31325 inert gas, which 0.31325 / 0.88 = 0.35597 of diluent brings
    assert use.filling.diluent_mol == pytest.approx(0.35597 * PER_BAR, rel=2e-5)
    assert use.filling.oxygen_mol == pytest.approx((1.01325 - 0.35597) * PER_BAR, rel=2e-5)


def test_a_slow_descent_takes_the_diluent_that_its_pressure_asks_for():
    # 1 m/min from 0 to 20 m: 2 bar more, all of it inert: 2 / 0.88 bar of diluent, which brings
    # 0.12 * 2 / 0.88 = 0.2727 bar of oxygen in 20 min; that much less has to be added
    found = use_of(leg("descent", 0.0, 20.0, 20.0, 0.7)).legs[0]
    assert found.flows.diluent_mol == pytest.approx(2.0 / 0.88 * PER_BAR)
    assert found.flows.oxygen_mol == pytest.approx(24.0 * PER_LITRE - 0.12 * 2.0 / 0.88 * PER_BAR)
    assert found.flows.vented_inert_mol == 0.0


def test_a_fast_descent_carries_the_ppo2_above_the_setpoint_and_the_diver_brings_it_down():
    down = leg("descent", 0.0, 60.0, 3.0, 0.7)
    use = use_of(down, leg("bottom", 60.0, 60.0, 30.0, 1.0, 3.0))
    descent, stay = use.legs
    # no oxygen is added: 6 bar of pressure and 3.6 L used up are made up by diluent, and 12 % of
    # that is oxygen
    diluent_bar = 6.0 + 3.6 * PER_LITRE / PER_BAR
    assert descent.flows.oxygen_mol == 0.0
    assert descent.flows.diluent_mol == pytest.approx(diluent_bar * PER_BAR)
    rose_bar = 0.7 + 0.12 * diluent_bar - 3.6 * PER_LITRE / PER_BAR
    assert descent.ppo2_bar == pytest.approx(rose_bar)
    assert rose_bar > 0.8
    assert stay.ppo2_bar == pytest.approx(1.0)


def test_a_lower_setpoint_is_reached_by_breathing_alone():
    high = leg("bottom", 30.0, 30.0, 5.0, 1.4)
    use = use_of(high, leg("bottom", 30.0, 30.0, 60.0, 1.2, 5.0))
    # 0.2 bar of 7 L too much. Every litre used up is made up by diluent, 12 % oxygen: 0.88 of it
    # counts. Until then nothing but diluent is added, then oxygen
    until_min = 0.2 * PER_BAR / (0.88 * 1.2 * PER_LITRE)
    flows = use.legs[1].flows
    assert flows.diluent_mol == pytest.approx(until_min * 1.2 * PER_LITRE)
    assert flows.oxygen_mol == pytest.approx((60.0 - until_min) * 1.2 * PER_LITRE)
    assert flows.vented_oxygen_mol == 0.0


def test_a_higher_setpoint_is_flushed_for():
    low = leg("bottom", 30.0, 30.0, 5.0, 1.0)
    flows = use_of(low, leg("bottom", 30.0, 30.0, 1e-9, 1.3, 5.0)).legs[1].flows
    # 4.01325 bar: inert gas from 3.01325 to 2.71325 bar, so 4.01325 ln(3.01325 / 2.71325) bar
    flushed = 4.01325 * math.log(3.01325 / 2.71325) * PER_BAR
    assert flows.oxygen_mol == pytest.approx(flushed)
    assert flows.vented_inert_mol == pytest.approx(0.3 * PER_BAR)
    assert flows.vented_oxygen_mol == pytest.approx(flushed - 0.3 * PER_BAR)


def test_an_ascent_vents_inert_gas_by_pressure_and_oxygen_by_a_logarithm():
    flows = use_of(leg("ascent", 60.0, 20.0, 4.0, 1.2)).legs[0].flows
    # 7.01325 to 3.01325 bar at 1.2: 4 bar of inert gas, and 1.2 ln(5.81325 / 1.81325) of oxygen
    oxygen = 1.2 * math.log(5.81325 / 1.81325) * PER_BAR
    assert flows.vented_inert_mol == pytest.approx(4.0 * PER_BAR)
    assert flows.vented_oxygen_mol == pytest.approx(oxygen)
    assert flows.oxygen_mol == pytest.approx(oxygen + 4.8 * PER_LITRE)


def test_an_ascent_above_the_setpoint_adds_nothing():
    counted = Counted(PER_BAR, 0.21)
    counted.fill(4.0, 0.4)
    assert counted.ppo2_bar == pytest.approx(0.84)  # the diluent brings more
    flows = counted.pass_time(4.0, 2.0, 2.0, 0.3, 0.0)
    # nobody breathes: the mixture is vented as it is
    assert flows.oxygen_mol == flows.diluent_mol == 0.0
    assert counted.ppo2_bar == pytest.approx(0.42)
    assert flows.vented_oxygen_mol == pytest.approx(0.42 * PER_BAR)


def test_a_swim_at_the_surface_is_breathed_from_the_loop():
    down = leg("descent", 0.0, 20.0, 1.0, 0.7)
    without, swum = use_of(down), use_of(down, surface_swim_min=5.0)
    assert swum.minutes == without.minutes + 5.0
    assert swum.total.used_mol - without.total.used_mol == pytest.approx(6.0 * PER_LITRE)


def test_what_is_not_known_is_refused():
    with pytest.raises(InputError, match="volume"):
        use_of(leg("bottom", 9.0, 9.0, 1.0, 0.7), loop=replace(LOOP, volume_l=None))
    with pytest.raises(InputError, match="open circuit"):
        use_of(leg("bottom", 9.0, 9.0, 1.0, None))
    with pytest.raises(InputError, match="does not dilute"):
        Counted(PER_BAR, 1.0)


# ---- the terrace: cylinders, absorbent, bailout


def terrace(**more):
    """Return the schedule and the team of the example, with another plan if asked for."""
    file = read_plan_file(TERRACE)
    plan = file.to_plan(RULES)
    loop = replace(plan.loop, **more.pop("loop", {}))
    plan = replace(plan, loop=loop, **more)
    return schedule(plan), team_of(file, RULES)


def codes(found, code):
    return [hazard for hazard in found.schedule.hazards if hazard.code == code]


def test_the_example_is_sound():
    found = loop_supply(*terrace())
    assert found.schedule.verdict.passed
    assert found.refusal is None
    codes = [hazard.code for hazard in found.schedule.hazards]
    assert codes == ["diluent-hypoxic", "way-home-compromised"]


def test_cylinders_give_what_the_loop_took_and_wing_and_suit_take_diluent():
    dive, team = terrace()
    rules = replace(team.rules, inflation_free_l=60.0)
    diver = team.divers[0]
    use = loop_use(dive.legs, dive.plan.loop, diver, rules, dive.plan.water, 284.15)
    diluent, oxygen = charge_loop(use, diver, rules, dive.plan.water, 284.15)
    assert (str(diluent.carried.mix), str(oxygen.carried.mix)) == ("12/60", "O2")
    assert diluent.breathed_mol == pytest.approx(use.total.diluent_mol)
    assert free_litres(DILUENT, diluent.inflation_mol) == pytest.approx(60.0)
    assert oxygen.used_mol == pytest.approx(use.total.oxygen_mol)
    assert oxygen.inflation_mol == 0.0
    for cylinder in (diluent, oxygen):
        start, end = cylinder.start, cylinder.end
        assert start.amount_mol - end.amount_mol == pytest.approx(cylinder.used_mol)
        assert start.gauge_bar > end.gauge_bar > 0.0
        assert cylinder.out_min is None


def test_oxygen_that_ends_is_a_danger_with_its_minute_and_a_cure_that_was_tried():
    dive, team = terrace()
    kit = tuple(
        replace(held, start_gauge_bar=45.0) if str(held.mix) == "O2" else held
        for held in team.divers[0].kit
    )
    found = loop_supply(dive, replace(team, divers=(replace(team.divers[0], kit=kit),)))
    (hazard,) = codes(found, "loop-gas")
    assert hazard.severity == "danger"
    assert "no oxygen for the loop from" in hazard.text
    use = next(c for c in found.divers[0].cylinders if str(c.carried.mix) == "O2")
    assert use.out_min == pytest.approx(hazard.at_min)
    assert 0.0 < use.out_min < dive.runtime_min
    assert found.refusal is not None
    assert hazard.mends
    for mend in hazard.mends:
        cured = team_of(mended(read_plan_file(TERRACE), mend), RULES)
        again = loop_supply(dive, replace(team, divers=(cured.divers[0],)))
        assert codes(again, "loop-gas") == []


def test_a_thin_reserve_of_oxygen_is_a_warning():
    dive, team = terrace()
    found = loop_supply(dive, replace(team, rules=replace(team.rules, decompression_factor=4.0)))
    assert {hazard.severity for hazard in codes(found, "loop-gas")} == {"warning"}
    assert found.refusal is None


@pytest.mark.parametrize(
    ("lasts_min", "used_min", "severity"),
    [(120.0, 0.0, None), (100.0, 0.0, "warning"), (70.0, 0.0, "danger"), (120.0, 60.0, "danger")],
)
def test_absorbent_is_held_against_what_is_stated(lasts_min, used_min, severity):
    loop = {"scrubber": (ScrubberRow("working", lasts_min),), "scrubber_used_min": used_min}
    dive, team = terrace(loop=loop)
    assert dive.runtime_min == 77.0  # with 30 min kept back 107 are needed
    found = codes(loop_supply(dive, team), "scrubber")
    assert [hazard.severity for hazard in found] == ([severity] * 2 if severity else [])
    if not found:
        return
    ends_min = lasts_min - used_min - (0.0 if severity == "danger" else 30.0)
    assert found[0].at_min == pytest.approx(ends_min)
    for mend in found[0].mends:
        left_min = mend.changes[0].value
        shorter = replace(dive.plan, levels=(replace(dive.plan.levels[0], leave_at_min=left_min),))
        assert codes(loop_supply(schedule(shorter), team), "scrubber") == []


def test_absorbent_of_which_nothing_is_stated_is_a_warning_and_no_guess():
    dive, team = terrace(loop={"scrubber": (ScrubberRow("resting", 500.0),)})
    found = codes(loop_supply(dive, team), "scrubber")
    assert {hazard.severity for hazard in found} == {"warning"}
    assert "nothing is stated" in found[0].text


def test_too_little_bailout_is_a_danger_at_the_worst_minute_and_the_cure_cures_it():
    dive, team = terrace()
    small = tuple(
        replace(held, start_gauge_bar=60.0) if str(held.mix) == "EAN50" else held
        for held in team.divers[0].kit
    )
    one = replace(team, divers=(replace(team.divers[0], kit=small),))
    found = loop_supply(dive, one)
    (hazard,) = codes(found, "bailout-gas")
    assert (hazard.severity, hazard.at_min, hazard.at_m) == ("danger", 22.0, 66.0)
    assert found.refusal is not None
    assert hazard.mends
    need = next(need for need in found.divers[0].bailout if str(need.mix) == "EAN50")
    assert not need.enough
    assert need.needed_mol - need.available_mol == pytest.approx(need.lacking_mol)


def test_what_feeds_the_loop_is_no_bailout():
    _, team = terrace()
    held = own_bailout(team.divers[0], team, WATER)
    assert set(map(str, held)) == {"18/45", "EAN50"}
    feeding = [c.place for c in team.divers[0].kit if str(c.mix) in {"O2", "12/60"}]
    assert feeding == [Place.LOOP, Place.LOOP]


def test_a_bailout_is_breathed_fast_until_its_first_stop_by_hand():
    from slatewright.dive.bailout import bailout_from  # noqa: PLC0415 - for this test alone

    dive, team = terrace()
    bailout = bailout_from(dive, 22.0, problem_min=2.0)
    diver, water = team.divers[0], dive.plan.water
    litres, stressed = {}, True
    for one in bailout.legs:
        stressed = stressed and one.kind is not LegKind.STOP
        calm = 15.0 if one.kind is LegKind.STOP else 17.0
        mean_bar = water.ambient_bar((one.from_m + one.to_m) / 2.0)
        rate = 28.0 if stressed else calm
        litres[one.gas] = litres.get(one.gas, 0.0) + rate * one.minutes * mean_bar / 1.01325
    # without a temperature of the water, RMV times atmospheres is free gas at 20 degC
    found = breathed_in_bailout_mol(bailout, diver, water)
    for mix, needed in litres.items():
        moles = needed * 101325 * 0.001 / (R * KELVIN)
        assert found[mix] == pytest.approx(moles)


def test_the_document_tells_of_each_diver():
    told = loop_document(loop_supply(*terrace()))
    assert [diver["name"] for diver in told["loop"]["divers"]] == ["Mirren", "Tove"]
    diver = told["loop"]["divers"][0]
    assert len(diver["legs"]) == len(told["legs"])
    assert "not_judged" in told


def test_a_dive_on_open_circuit_is_refused():
    dive, team = terrace()
    with pytest.raises(InputError, match="open circuit"):
        loop_supply(replace(dive, plan=replace(dive.plan, loop=None)), team)
