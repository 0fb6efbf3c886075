"""Truths of any dive on a closed circuit: it passes the second check, and so does each bailout."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from slatewright.decompression.leg import LegKind
from slatewright.decompression.second_check import second_check
from slatewright.decompression.settings import AscentSettings
from slatewright.dive.bailout import bailout_from
from slatewright.dive.document import document
from slatewright.dive.loop import Loop, Setpoint
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.errors import NoSafeAnswer
from slatewright.paper.slate_loop import legs_until
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, m_from_feet
from slatewright.physics.water import WaterKind, water

FEW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
STEPS_M = {UnitSystem.METRIC: 3.0, UnitSystem.IMPERIAL: m_from_feet(10.0)}
USUAL = [  # diluent, bailout gases, and the depths for which they are carried [m]
    ("air", "air EAN50", 15, 40),
    ("21/35", "21/35 EAN50", 25, 50),
    ("15/55", "18/45 EAN50", 40, 65),
    ("12/60", "15/55 EAN50 O2", 55, 80),
    ("10/70", "12/65 21/35 EAN50", 65, 100),
]


@st.composite
def plans(draw):
    """Draw a plan on a closed circuit that is meant to be dived."""
    units = draw(st.sampled_from(UnitSystem))
    step_m = STEPS_M[units]
    diluent, bailout, low_m, high_m = draw(st.sampled_from(USUAL))
    depth_m = draw(st.integers(low_m, high_m).map(float))
    bottom_bar = draw(st.sampled_from([1.0, 1.1, 1.2, 1.3]))
    up = [Setpoint(draw(st.sampled_from([1.0, 1.2, bottom_bar])))]
    up += [
        Setpoint(draw(st.sampled_from([1.0, 1.2, 1.3, 1.4])), level * step_m)
        for level in sorted(draw(st.sets(st.integers(2, 12), max_size=3)), reverse=True)
    ]
    down = [Setpoint(0.7)]
    if draw(st.booleans()):
        down.append(Setpoint(draw(st.sampled_from([0.9, 1.0])), draw(st.sampled_from([6.0, 12.0]))))
    gases = [CarriedGas(Mixture.parse(diluent), Use.DILUENT, 1.4)]
    gases += [CarriedGas(Mixture.parse(mix), Use.BAILOUT, 1.6) for mix in bailout.split()]
    stay_min = float(draw(st.integers(12, 45)))
    low = draw(st.integers(20, 90)) / 100.0
    return Plan(
        title="invented",
        units=units,
        water=water(draw(st.sampled_from([WaterKind.FRESH, WaterKind.SEA, WaterKind.EN13319]))),
        settings=AscentSettings(
            gradient_low=low,
            gradient_high=draw(st.integers(round(low * 100), 95)) / 100.0,
            stop_step_m=step_m,
            last_stop_m=step_m * draw(st.sampled_from([1, 2])),
            between_stops_m_per_min=draw(st.sampled_from([3.0, 6.0, 9.0])),
        ),
        gases=tuple(gases),
        levels=(Level(depth_m, stay_min),),
        loop=Loop(Mixture.parse(diluent), tuple(down), bottom_bar, tuple(up)),
    )


def solved(plan):
    try:
        return schedule(plan)
    except NoSafeAnswer as refusal:
        assert all(r.what and r.cure for r in refusal.reasons)  # noqa: PT017 - no test by itself
        assume(False)
        raise


@FEW
@given(plans())
def test_every_dive_passes_the_second_check_on_its_setpoints(plan):
    dive = solved(plan)
    assert dive.verdict.passed, dive.verdict.findings
    loop = plan.loop
    for leg in dive.legs:
        assert leg.gas == loop.diluent
        if leg.kind is LegKind.DESCENT:
            assert leg.setpoint_bar == loop.down_bar(leg.from_m)
        elif leg.kind is LegKind.BOTTOM:
            assert leg.setpoint_bar == loop.bottom_bar
        elif leg.kind is LegKind.STOP:
            assert leg.setpoint_bar == loop.up_bar(leg.to_m)
    told = json.loads(json.dumps(document(dive, not_judged="not asked"), allow_nan=False))
    assert [leg["setpoint_bar"] for leg in told["legs"]] == [g.setpoint_bar for g in dive.legs]


@FEW
@given(plans(), st.floats(0.03, 0.97))
def test_a_bailout_is_an_open_circuit_dive_that_passes_the_second_check(plan, share):
    # from between its levels an ascent rises at the first rate, whatever zone it is in
    plan = replace(plan, settings=replace(plan.settings, between_stops_m_per_min=9.0))
    dive = solved(plan)
    at_min = dive.runtime_min * share
    assume(dive.depth_at(at_min) > 0.1)
    try:
        bailout = bailout_from(dive, at_min, problem_min=1.0)
    except NoSafeAnswer:
        assume(False)
        raise
    legs = (*legs_until(dive.legs, at_min), *bailout.legs)
    assert all(leg.setpoint_bar is None for leg in bailout.legs)
    assert bailout.legs[0].from_m == dive.depth_at(at_min)
    verdict = second_check(
        legs,
        plan.water,
        plan.settings,
        first_stop_m=bailout.solution.first_stop_m,
        ppo2_max_bar=lambda leg: 1.6 if leg.setpoint_bar is None else 2.0,
        start=dive.start,
    )
    # where the dive's own first stop had been reached, its line is kept, though the minutes on open
    # circuit may have made a shallower one enough
    kept = bailout.moment.first_stop_m is not None
    found = [f for f in verdict.findings if not (kept and f.startswith("the first stop"))]
    assert not found


@FEW
@given(plans())
def test_a_loop_at_the_diluents_own_oxygen_is_that_gas_on_open_circuit(plan):
    """A setpoint so low that the diluent always brings more is open circuit on the diluent."""
    assume(plan.loop.diluent.o2 >= 0.18)
    low = replace(plan.loop, down=(Setpoint(0.19),), bottom_bar=0.19, up=())
    rules = plan.rules.model_copy(update={"ppo2_bottom_max_bar": 1.6})
    loop_gas = CarriedGas(plan.loop.diluent, Use.DILUENT, 1.6)
    open_gas = CarriedGas(plan.loop.diluent, Use.BOTTOM, 1.6)
    dive = solved(replace(plan, loop=low, rules=rules, gases=(loop_gas, *plan.gases[1:])))
    other = solved(replace(plan, loop=None, rules=rules, gases=(open_gas,)))
    assert [(g.kind, g.from_m, g.to_m, g.minutes) for g in dive.legs] == [
        (g.kind, g.from_m, g.to_m, g.minutes) for g in other.legs
    ]
    assert dive.oxygen.cns_pct == pytest.approx(other.oxygen.cns_pct)
    assert dive.end.n2_bar == pytest.approx(other.end.n2_bar)
