"""Oxygen exposure of legs: what is counted, what is carried, what is refused."""

from __future__ import annotations

import math

import pytest

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import (
    OxygenDose,
    after_surface,
    daily_allowance_otu,
    dose_of_legs,
    ppo2_bar,
    running_dose,
    single_limit_min,
    total_allowance_otu,
)
from slatewright.decompression.oxygen_formulas import ppo2_atm
from slatewright.decompression.oxygen_loop import loop_ppo2_bar
from slatewright.errors import InputError
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.water import Water, WaterKind
from slatewright.sources import formulas, working

WATER = Water(surface_bar=1.01325, bar_per_m=0.101325)  # an atmosphere every 10 m
SALT = Water(kind=WaterKind.SEA, bar_per_m=1025.0 * 9.80665 / 1e5)


def stay(depth_m, minutes, gas=OXYGEN, **rest):
    return Leg(LegKind.STOP, depth_m, depth_m, 0.0, minutes, gas, **rest)


def dose(*legs, table="interpolate", **rest):
    return dose_of_legs(legs, WATER, table=table, **rest)


def test_legs_are_summed_and_each_end_is_told():
    legs = [stay(6.0, 20.0), stay(4.0, 30.0), stay(0.0, 10.0, AIR)]
    running = running_dose(legs, WATER, table="interpolate")
    # by hand: 20/45 + 30/150, air at the surface adds nothing
    assert [round(d.cns_pct, 6) for d in running] == [44.444444, 64.444444, 64.444444]
    assert running[-1] == dose(*legs)
    assert running[0].otu == pytest.approx(20.0 * 2.2 ** (5 / 6))


def test_what_is_carried_in_is_added():
    first = dose(stay(6.0, 20.0))
    both = dose(stay(4.0, 30.0), start=first)
    assert both.cns_pct == pytest.approx(100.0 * (20.0 / 45.0 + 30.0 / 150.0))
    assert both.otu == pytest.approx(first.otu + dose(stay(4.0, 30.0)).otu)
    assert both.highest_ppo2_bar == pytest.approx(1.6 * 1.01325)
    assert dose() == OxygenDose()
    assert dose(start=first) is first


def test_below_the_table_the_first_row_holds_and_up_to_half_an_atmosphere_nothing():
    assert dose(stay(0.0, 72.0, Mixture(0.55))).cns_pct == pytest.approx(10.0)
    nothing = dose(stay(0.0, 600.0, Mixture(0.5)))
    assert (nothing.cns_pct, nothing.otu, nothing.index_k) == (0.0, 0.0, 0.0)
    assert nothing.risk_pct == 0.0


def test_beyond_the_tables_the_share_is_infinite_and_the_alarm_rings():
    beyond = dose(stay(18.1, 0.1))
    assert beyond.cns_pct == math.inf
    assert beyond.alarm
    assert dose(stay(18.0, 0.5)).cns_pct == pytest.approx(10.0)
    passing = Leg(LegKind.DESCENT, 17.0, 19.0, 0.0, 0.1, OXYGEN)
    assert dose(passing).cns_pct == math.inf


def test_oxygen_at_6_m_in_salt_water_raises_no_alarm_and_a_real_breach_does():
    given = {"table": "interpolate"}
    assert not dose_of_legs([stay(6.0, 10.0)], SALT, **given).alarm  # 1.616 bar
    assert dose_of_legs([stay(6.0, 10.0)], SALT, tolerance_bar=0.0, **given).alarm
    assert dose_of_legs([stay(6.2, 10.0)], SALT, **given).alarm  # 1.636 bar
    # a breach in passing counts too, and stays on the record
    passing = Leg(LegKind.DESCENT, 4.0, 9.0, 0.0, 0.5, OXYGEN)
    assert running_dose([passing, stay(0.0, 1.0, AIR)], SALT, **given)[-1].alarm


def test_the_higher_row_costs_more():
    leg = stay(5.5, 30.0)  # 1.55 atm
    assert dose(leg).cns_pct == pytest.approx(100.0 * 30.0 / 82.5)
    assert dose(leg, table="step").cns_pct == pytest.approx(100.0 * 30.0 / 45.0)


def test_a_row_that_is_met_by_rounding_is_that_row():
    # 1.4 bar of ambient in bar and back in atm misses 1.4 atm by a digit at the end
    for ppo2 in (0.6, 0.7, 1.1, 1.3, 1.4, 1.6, 2.8):
        near = ppo2_atm(ppo2 * 1.01325) * (1.0 + 1e-15)
        assert single_limit_min(near, table="step") == single_limit_min(ppo2, table="step")


def test_stepping_an_ascent_by_hand():
    # 1.6 to 1.4 atm in 2 min: a minute on the row 1.6, a minute on the row 1.5
    leg = Leg(LegKind.ASCENT, 6.0, 4.0, 0.0, 2.0, OXYGEN)
    assert dose(leg, table="step").cns_pct == pytest.approx(100.0 / 45.0 + 100.0 / 120.0)


def test_interpolating_an_ascent_by_hand():
    # 1.6 to 1.5 atm in 1 min, limit 45 to 120: 100 ln(120/45) / 75
    leg = Leg(LegKind.ASCENT, 6.0, 5.0, 0.0, 1.0, OXYGEN)
    assert dose(leg).cns_pct == pytest.approx(100.0 * math.log(120.0 / 45.0) / 75.0)


def test_a_closed_circuit_keeps_its_setpoint_where_it_can():
    leg = stay(30.0, 10.0, Mixture(0.1, 0.7), setpoint_bar=1.3)
    assert ppo2_bar(leg, 30.0, WATER) == 1.3
    assert ppo2_bar(leg, 1.0, WATER) == pytest.approx(1.1 * 1.01325)
    rich = stay(30.0, 10.0, Mixture(0.5), setpoint_bar=1.3)
    assert ppo2_bar(rich, 30.0, WATER) == pytest.approx(2.0 * 1.01325)
    assert loop_ppo2_bar(0.4, 4.0, 1.3) == 1.3
    open_circuit = stay(30.0, 10.0, Mixture(0.1, 0.7))
    assert ppo2_bar(open_circuit, 30.0, WATER) == pytest.approx(0.4 * 1.01325)


def test_the_index_recovers_while_ppo2_is_low_and_the_lungs_do_not():
    loaded = dose(stay(6.0, 30.0))
    later = dose(stay(0.0, 10.0, AIR), start=loaded)
    assert later.index_k == pytest.approx(loaded.index_k * math.exp(-0.79))
    assert later.risk_pct < loaded.risk_pct
    assert later.pulmonary_index_k == loaded.pulmonary_index_k
    assert later.cns_pct == loaded.cns_pct  # at the surface only `after_surface` lowers it


def test_after_a_half_time_at_the_surface_half_is_left():
    loaded = dose(stay(7.0, 30.0))
    later = after_surface(loaded, 90.0, cns_half_time_min=90.0)
    assert later.cns_pct == pytest.approx(loaded.cns_pct / 2.0)
    assert later.otu == loaded.otu
    assert later.pulmonary_index_k == loaded.pulmonary_index_k
    assert loaded.alarm
    assert not later.alarm
    assert later.highest_ppo2_bar == 0.0
    assert after_surface(loaded, 0.0, cns_half_time_min=90.0).cns_pct == loaded.cns_pct


@pytest.mark.parametrize(("day", "allowed"), [(1, 850), (2, 700), (10, 310), (14, 300), (30, 300)])
def test_allowances(day, allowed):
    assert daily_allowance_otu(day) == allowed
    assert total_allowance_otu(day) == day * allowed


@pytest.mark.parametrize("day", [0, -1, 31])
def test_days_that_the_table_does_not_have_are_refused(day):
    with pytest.raises(InputError, match="no day"):
        daily_allowance_otu(day)


def test_bad_input_is_refused():
    with pytest.raises(InputError, match="interpolate or step"):
        dose(stay(6.0, 10.0), table="guess")
    with pytest.raises(InputError, match="interpolate or step"):
        single_limit_min(1.4, table="")
    with pytest.raises(InputError, match="is none"):
        single_limit_min(math.nan, table="step")
    for bad in (stay(math.nan, 10.0), stay(6.0, -1.0), stay(6.0, math.inf), stay(6.0, math.nan)):
        with pytest.raises(InputError, match="no oxygen dose"):
            dose(bad)
    for minutes in (-1.0, math.nan, math.inf):
        with pytest.raises(InputError, match="surface interval"):
            after_surface(OxygenDose(), minutes, cns_half_time_min=90.0)
    with pytest.raises(InputError, match="half-time"):
        after_surface(OxygenDose(), 10.0, cns_half_time_min=0.0)


@pytest.mark.parametrize(
    "one",
    [
        pytest.param(f, id=f.name)
        for f in formulas()
        if f.function.__module__.endswith("oxygen_formulas")
    ],
)
def test_each_formula_works_on_the_board(one):
    given = {
        name: 1.5 if symbol.low is None or symbol.low <= 1.5 else symbol.low + 1.0
        for name, symbol in one.symbols.items()
    }
    if one.name == "oxygen-limit":
        given |= {"row_below": 1.4, "row_above": 1.6, "limit_below_min": 150.0}
    shown = working(one, **given)
    assert shown.result == one.function(**given)
    assert shown.steps
