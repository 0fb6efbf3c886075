"""Truths of any plan: a schedule that passes the second check, or a refusal with its cure."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from itertools import pairwise

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from slatewright.decompression.settings import AscentSettings, OxygenBreaks, WholeMinutes
from slatewright.decompression.tissues import air_saturated
from slatewright.dive.document import document
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import Carried, CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, m_from_feet
from slatewright.physics.water import WaterKind, water

FEW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
STEPS_M = {UnitSystem.METRIC: 3.0, UnitSystem.IMPERIAL: m_from_feet(10.0)}
BOTTOM = ["10/70", "12/60", "15/55", "18/45", "21/35", "25/25", "air", "6/80"]
RICH = ["21/35", "EAN32", "35/25", "EAN50", "EAN80", "O2"]
USUAL = [  # bottom, travel, decompression, and the depths for which the set is carried [m]
    ("21/35", "", "EAN50", 25, 50),
    ("18/45", "", "EAN50 O2", 40, 62),
    ("15/55", "EAN50", "EAN50 O2", 55, 76),
    ("12/60", "EAN32", "EAN32 EAN80", 60, 95),
    ("10/70", "21/35", "21/35 EAN50 O2", 70, 110),
    ("10/70", "EAN50 EAN32", "35/25 EAN50", 40, 100),
    ("6/80", "EAN50 21/35", "21/35 EAN50 O2", 80, 110),
]


@st.composite
def house_rules(draw):
    return HouseRules(
        oxygen_narcotic=draw(st.booleans()),
        oxygen_table=draw(st.sampled_from(["interpolate", "step"])),
        floor_bar=draw(st.sampled_from([0.16, 0.18, 0.21])),
        ppo2_bottom_max_bar=draw(st.sampled_from([1.2, 1.4])),
        ppo2_stop_max_bar=draw(st.sampled_from([1.4, 1.6])),
        ppo2_tolerance_bar=draw(st.sampled_from([0.0, 0.03])),
    )


@st.composite
def carried_gases(draw, rules, step_m):
    """Draw one or two bottom gases, travel and decompression gases, some with a depth."""
    depths_m = st.none() | st.integers(1, 60).map(float)
    levels_m = st.none() | st.integers(2, 20).map(lambda level: level * step_m)
    gases = [
        CarriedGas(Mixture.parse(mix), Use.BOTTOM, rules.ppo2_bottom_max_bar)
        for mix in draw(st.lists(st.sampled_from(BOTTOM), min_size=1, max_size=2, unique=True))
    ]
    gases += [
        CarriedGas(Mixture.parse(mix), Use.TRAVEL, rules.ppo2_bottom_max_bar, draw(depths_m))
        for mix in draw(st.lists(st.sampled_from(RICH[:4]), max_size=2, unique=True))
    ]
    gases += [
        CarriedGas(Mixture.parse(mix), Use.DECOMPRESSION, rules.ppo2_stop_max_bar, draw(levels_m))
        for mix in draw(st.lists(st.sampled_from(RICH), max_size=3, unique=True))
    ]
    return tuple(gases)


def gas_set(draw, rules, step_m, names):
    """Make gases of a usual set, some with a depth."""
    bottom, travel, decompression = ([Mixture.parse(name) for name in n.split()] for n in names)
    depths_m = st.none() | st.integers(5, 40).map(float)
    levels_m = st.none() | st.integers(2, 7).map(lambda level: level * step_m)
    most, at_stops = rules.ppo2_bottom_max_bar, rules.ppo2_stop_max_bar
    return (
        *(CarriedGas(mix, Use.BOTTOM, most) for mix in bottom),
        *(CarriedGas(mix, Use.TRAVEL, most, draw(depths_m)) for mix in travel),
        *(CarriedGas(mix, Use.DECOMPRESSION, at_stops, draw(levels_m)) for mix in decompression),
    )


@st.composite
def plans(draw, units=None, *, usual=True):
    """Draw a plan: of a usual set of gases, or of any gases and stays."""
    units = units or draw(st.sampled_from(list(UnitSystem)))
    step_m, rules = STEPS_M[units], draw(house_rules())
    low = draw(st.sampled_from([0.2, 0.3, 0.5, 0.85]))
    breaks = draw(st.none() | st.builds(
        OxygenBreaks, st.integers(5, 25), st.integers(1, 8), counted=st.booleans()
    ))  # fmt: skip
    levels, leave_min = [], 0.0
    if usual:
        *names, least, most = draw(st.sampled_from(USUAL))
        depth_m = float(draw(st.integers(least, most)))
        levels.append(Level(depth_m, float(draw(st.integers(12, 22)))))
        if draw(st.booleans()):
            higher_m = depth_m - draw(st.integers(3, 12))
            levels.append(Level(higher_m, levels[0].leave_at_min + draw(st.integers(5, 9))))
        gases = gas_set(draw, rules, step_m, names)
    else:
        for depth in draw(st.lists(st.integers(8, 110), min_size=1, max_size=3)):
            leave_min += draw(st.integers(4, 14))
            levels.append(Level(float(depth), leave_min))
        gases = draw(carried_gases(rules, step_m))
    surface = draw(st.sampled_from([0.0, 0.0, 1500.0]))
    carried = Carried(air_saturated(1.01325), cns_pct=draw(st.floats(0.0, 40.0)))
    return Plan(
        title="drawn",
        units=units,
        water=water(draw(st.sampled_from([WaterKind.SEA, WaterKind.FRESH])), altitude_m=surface),
        settings=AscentSettings(
            gradient_low=low, gradient_high=max(low, draw(st.sampled_from([0.7, 0.85, 1.0]))),
            stop_step_m=step_m, last_stop_m=step_m * draw(st.integers(1, 3)),
            to_first_stop_m_per_min=draw(st.sampled_from([3.0, 9.0, 12.0])),
            to_surface_m_per_min=draw(st.sampled_from([1.0, 3.0, 9.0])),
            switch_min=draw(st.sampled_from([0.0, 0.5, 1.0, 2.0])),
            whole_minutes=draw(st.sampled_from(WholeMinutes)), breaks=breaks,
        ),
        gases=gases,
        levels=tuple(levels),
        descent_m_per_min=draw(st.sampled_from([15.0, 20.0, 25.0])),
        carried=draw(st.none() | st.just(carried)),
        rules=rules,
    )  # fmt: skip


def dived(plan):
    """Return the schedule, or None after seeing that the refusal says why and what would do."""
    refused = []
    try:
        return schedule(plan)
    except NoSafeAnswer as answer:
        refused = answer.reasons
    assert refused
    wrong = r"[0-9] m\b" if plan.units is UnitSystem.IMPERIAL else r"[0-9] ft\b"
    for reason in refused:
        said = f"{reason.what} {reason.cure}"
        assert reason.what.strip()
        assert reason.cure.strip()
        assert not {"nan", "inf"} & set(said.split())
        assert not re.search(wrong, said), reason
    return None


@FEW
@given(plans() | plans(usual=False))
def test_a_plan_gets_a_schedule_that_passes_or_a_refusal_with_its_cure(plan):
    dive = dived(plan)
    if dive is None:
        return
    assert dive.verdict.passed, dive.verdict.findings
    for hazard in dive.hazards:
        assert hazard.text
        assert hazard.why
        assert hazard.cure
        assert set(hazard.house_rules) <= set(HouseRules.model_fields)
        assert 0.0 <= hazard.at_min <= dive.runtime_min + 1e-9
        wrong = r"[0-9] m\b" if plan.units is UnitSystem.IMPERIAL else r"[0-9] ft\b"
        assert not re.search(wrong, f"{hazard.text} {hazard.why} {hazard.cure}"), hazard


@FEW
@given(plans())
def test_nothing_is_breathed_outside_floor_and_limit(plan):
    dive = dived(plan)
    assume(dive is not None)
    for leg in dive.legs:
        limits = [gas.ppo2_max_bar for gas in plan.gases if gas.mix == leg.gas]
        for depth_m in (leg.from_m, leg.to_m):
            ppo2 = leg.gas.o2 * (plan.water.surface_bar + plan.water.bar_per_m * depth_m)
            assert ppo2 >= plan.rules.floor_bar - 1e-7
            assert ppo2 <= max(limits) + plan.rules.ppo2_tolerance_bar + 1e-7
    assert not [hazard for hazard in dive.hazards if hazard.code == "hypoxic"]


@FEW
@given(plans(units=UnitSystem.IMPERIAL))
def test_the_same_levels_in_either_system_are_the_same_dive(plan):
    one = dived(plan)
    # a depth off the levels is proposed in the person's own units, and may differ: here it is asked
    chosen_m = {window.left: window.chosen_m for window in one.switches} if one else {}
    asked = tuple(
        replace(gas, switch_m=chosen_m.get(gas.mix)) if gas.use is Use.TRAVEL else gas
        for gas in plan.gases
    )
    plan = replace(plan, gases=asked)
    one, two = dived(plan), dived(replace(plan, units=UnitSystem.METRIC))
    assert (one is None) == (two is None)
    assume(one is not None)
    assert one.legs == two.legs
    codes = [[hazard.code for hazard in dive.hazards if hazard.code != "out-of-range"]
             for dive in (one, two)]  # fmt: skip
    assert codes[0] == codes[1]


@FEW
@given(plans())
def test_the_document_is_json_and_its_legs_are_contiguous(plan):
    dive = dived(plan)
    assume(dive is not None)
    told = json.loads(json.dumps(document(dive), allow_nan=False))
    legs = told["legs"]
    assert (legs[0]["from_m"], legs[0]["start_min"], legs[-1]["to_m"]) == (0.0, 0.0, 0.0)
    for before, after in pairwise(legs):
        assert abs(after["start_min"] - before["start_min"] - before["minutes"]) < 1e-6
        assert abs(after["from_m"] - before["to_m"]) < 1e-6
    assert abs(legs[-1]["start_min"] + legs[-1]["minutes"] - told["runtime_min"]) < 1e-6


def with_mix(plan, old, new):
    gases = tuple(replace(gas, mix=new) if gas.mix == old else gas for gas in plan.gases)
    return replace(plan, gases=gases)


def metres(match, plan):
    number = float(match.group(1))
    return m_from_feet(number) if plan.units is UnitSystem.IMPERIAL else number


def cured(plan, hazard):
    """Apply what a cure says, where it says it in figures; yield plans without the hazard."""
    if match := re.match(r"(\S+) (?:or more helium )?instead of ([^\s;,]+)", hazard.cure):
        yield with_mix(plan, Mixture.parse(match.group(2)), Mixture.parse(match.group(1)))
    if hazard.code == "unused-gas":
        mix = Mixture.parse(hazard.text.split()[0])
        yield replace(plan, gases=tuple(gas for gas in plan.gases if gas.mix != mix))
    if hazard.code == "gainless-change":
        mix = Mixture.parse(re.search(r"change to (\S+)", hazard.text).group(1))
        yield replace(plan, gases=tuple(
            gas for gas in plan.gases if gas.mix != mix or gas.use is not Use.DECOMPRESSION
        ))  # fmt: skip
    if match := re.search(r"ascend at ([0-9.]+)", hazard.cure):
        rate = metres(match, plan)
        names = ("to_first_stop_m_per_min", "between_stops_m_per_min", "to_surface_m_per_min")
        slow = {name: min(rate, getattr(plan.settings, name)) for name in names}
        yield replace(plan, settings=replace(plan.settings, **slow))
    if match := re.search(r"descend slower than ([0-9.]+)", hazard.cure):
        yield replace(plan, descent_m_per_min=metres(match, plan) - 0.01)
    if match := re.search(r"at ([0-9]+) min of run time", hazard.cure):
        last = replace(plan.levels[-1], leave_at_min=float(match.group(1)))
        yield replace(plan, levels=(*plan.levels[:-1], last))
    if match := re.match(r"write ([0-9.]+)", hazard.cure):
        left = Mixture.parse(re.search(r"a change from (\S+)", hazard.text).group(1))
        yield replace(plan, gases=tuple(
            replace(gas, switch_m=metres(match, plan))
            if gas.mix == left and gas.use is Use.TRAVEL else gas for gas in plan.gases
        ))  # fmt: skip


def same(hazard, other):
    """Return whether two hazards are of the same gas, or the same dose or pace."""
    return other.code == hazard.code and (
        hazard.code in {"cns", "pulmonary", "ascent-rate", "nervous-syndrome"}
        or other.text.split(" at ")[0] == hazard.text.split(" at ")[0]
    )


@FEW
@given(plans())
def test_what_a_cure_says_in_figures_takes_the_hazard_away(plan):
    dive = dived(plan)
    assume(dive is not None)
    tried = 0
    for hazard in dive.hazards:
        for other in cured(plan, hazard):
            after = schedule(other)
            tried += 1
            assert not [left for left in after.hazards if same(hazard, left)], hazard
    assume(tried > 0)
