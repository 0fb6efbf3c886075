"""Dives on a closed circuit: legs at setpoint, what the loop holds, hazards and their cures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.dive.breathed import breathed_along
from slatewright.dive.document import document
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.loop import Loop, Setpoint
from slatewright.dive.loop_gas import breathed_mix
from slatewright.dive.schedule import schedule
from slatewright.physics.density import gas_density
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water
from unit.dive.plans import gas, hazard, hazards, plan_of, refusal

WATER = Water()  # 1.01325 bar at the surface, 0.1 bar/m
DILUENT = Mixture(0.12, 0.6)
SURFACE = (Setpoint(0.7),)


def dive_of(
    diluent="12/60",
    depth_m=66.0,
    leave_at_min=22.0,
    *,
    down=SURFACE,
    bottom_bar=1.2,
    up=(),
    bailout=("18/45", "EAN50"),
    ppo2_max_bar=None,
    **more,
):
    """Plan a dive on a loop."""
    return plan_of(
        [gas(diluent, "diluent", None, ppo2_max_bar), *(gas(mix, "bailout") for mix in bailout)],
        [(depth_m, leave_at_min)],
        loop=Loop(Mixture.parse(diluent), tuple(down), bottom_bar, tuple(up)),
        **more,
    )


def test_the_legs_carry_the_setpoint_of_their_place():
    plan = dive_of(
        down=(Setpoint(0.7), Setpoint(1.0, 20.0)),
        up=(Setpoint(1.2), Setpoint(1.3, 30.0), Setpoint(1.4, 12.0)),
    )
    dive = schedule(plan)
    assert dive.verdict.passed
    descents = [leg for leg in dive.legs if leg.kind is LegKind.DESCENT]
    assert [(leg.from_m, leg.to_m, leg.setpoint_bar) for leg in descents] == [
        (0.0, 20.0, 0.7),
        (20.0, 66.0, 1.0),
    ]
    assert not any(leg.switching for leg in dive.legs)  # a change of setpoint takes no time
    for leg in dive.legs:
        if leg.kind is LegKind.STOP:
            expected = 1.2 if leg.to_m > 30.0 else 1.3 if leg.to_m > 12.0 else 1.4
            assert leg.setpoint_bar == expected


def test_two_stays_are_both_at_the_setpoint_of_the_bottom():
    plan = dive_of()
    plan = replace(plan, levels=(plan.levels[0], replace(plan.levels[0], depth_m=45.0,
                                                         leave_at_min=32.0)))  # fmt: skip
    dive = schedule(plan)
    assert dive.verdict.passed
    bottoms = [leg for leg in dive.legs if leg.kind is LegKind.BOTTOM]
    assert [(leg.to_m, leg.setpoint_bar) for leg in bottoms] == [(66.0, 1.2), (45.0, 1.2)]


@pytest.mark.parametrize(
    ("at_m", "setpoint_bar", "o2", "he"),
    [
        # by hand, 1.01325 bar at the surface: 66 m are 7.61325 bar. 1.2 of it is oxygen; of the
        # rest 0.6 / 0.88 is helium
        (66.0, 1.2, 1.2 / 7.61325, (1 - 1.2 / 7.61325) * 0.6 / 0.88),
        # the diluent alone brings 0.9136 bar there: a setpoint of 0.7 is not held
        (66.0, 0.7, 0.12, 0.6),
        # at the surface a setpoint of 1.2 is more than there is: all oxygen
        (0.0, 1.2, 1.0, 0.0),
    ],
)
def test_the_gas_in_the_loop(at_m, setpoint_bar, o2, he):
    leg = Leg(LegKind.BOTTOM, at_m, at_m, 0.0, 1.0, DILUENT, setpoint_bar)
    mix = breathed_mix(leg, at_m, WATER)
    assert mix.o2 == pytest.approx(o2)
    assert mix.he == pytest.approx(he)


def test_what_is_breathed_along_the_dive_is_the_loops_gas():
    dive = schedule(dive_of())
    for found in breathed_along(dive):
        there = breathed_mix(found.leg, found.leg.to_m, dive.plan.water)
        held = min(found.leg.setpoint_bar, dive.plan.water.ambient_bar(found.leg.to_m))
        brought = 0.12 * dive.plan.water.ambient_bar(found.leg.to_m)
        assert found.ppo2_end_bar == pytest.approx(max(held, brought))
        assert found.density_end_g_per_l == pytest.approx(
            gas_density(there, found.leg.to_m, dive.plan.water)
        )


def test_between_the_ends_of_what_is_breathed_both_figures_change_evenly():
    dive = schedule(dive_of(down=(Setpoint(0.7),), up=(Setpoint(1.2), Setpoint(1.4, 12.0))))
    along, water = breathed_along(dive), dive.plan.water
    # the loop falls below 1.4 bar on the way from 6 m, and the diluent brings 0.7 bar at 48 m
    assert len(along) == len(dive.legs) + 2
    assert along[0].leg.to_m == pytest.approx((0.7 / 0.12 - water.surface_bar) / water.bar_per_m)
    assert sum(one.leg.minutes for one in along) == pytest.approx(dive.runtime_min)
    for one in along:
        middle_m = 0.5 * (one.leg.from_m + one.leg.to_m)
        halfway_bar = 0.5 * (one.ppo2_start_bar + one.ppo2_end_bar)
        assert ppo2_bar(one.leg, middle_m, water) == pytest.approx(halfway_bar)
        halfway = 0.5 * (one.density_start_g_per_l + one.density_end_g_per_l)
        there = breathed_mix(one.leg, middle_m, water)
        assert gas_density(there, middle_m, water) == pytest.approx(halfway)


def test_the_document_tells_of_the_loop():
    told = document(schedule(dive_of()), not_judged="not asked")
    assert told["loop"]["setpoints_down"] == [{"bar": 0.7, "from_m": None}]
    assert told["loop"]["setpoint_bottom_bar"] == 1.2
    assert {leg["setpoint_bar"] for leg in told["legs"]} == {0.7, 1.2}
    assert "loop" not in document(schedule(replace(dive_of(), loop=None, gases=(
        gas("18/45", "bottom"), gas("EAN50", "decompression")))))  # fmt: skip


# ---- refused


def test_a_setpoint_over_the_house_rule_is_refused():
    reason = refusal(dive_of(bottom_bar=1.5))
    assert "setpoint of 1.5 bar at the bottom is over the limit of 1.4 bar" in reason.what
    assert schedule(dive_of(bottom_bar=1.4)).verdict.passed


def test_a_setpoint_over_the_house_rule_for_stops_is_refused_on_the_way_up_alone():
    rules = HouseRules(ppo2_stop_max_bar=1.4)
    up = (Setpoint(1.2), Setpoint(1.5, 12.0))
    assert "on the way up" in refusal(dive_of(up=up, rules=rules)).what
    assert schedule(dive_of(up=up)).verdict.passed


def test_a_diluent_that_is_over_the_limit_by_itself_is_refused_with_one_that_is_not():
    reason = refusal(dive_of("21/35", bailout=("18/45", "EAN50")))
    assert "whatever the setpoint" in reason.what
    assert "15" in reason.cure  # 1.2 bar of 7.61 are 15.7 %
    assert schedule(dive_of("15/55")).verdict.passed


# ---- hazards


def test_dense_gas_is_that_of_the_loop_and_the_cure_cures_it():
    found = hazard(dive_of("12/40", depth_m=66.0), "dense-gas")
    assert found.severity == "danger"
    leg = Leg(LegKind.BOTTOM, 66.0, 66.0, 0.0, 1.0, Mixture(0.12, 0.4), 1.2)
    density = gas_density(breathed_mix(leg, 66.0, WATER), 66.0, WATER)
    assert density > gas_density(Mixture(0.12, 0.4), 66.0, WATER)  # oxygen is the heavier
    assert f"{density:.1f} g/L" in found.text
    better = found.mends[0].changes[0].value
    assert f"{better} as diluent" in found.cure
    assert hazards(dive_of(better), "dense-gas") == []


def test_narcosis_is_that_of_the_loop():
    found = hazard(dive_of("15/40", depth_m=60.0), "narcotic")
    # by hand, oxygen counted: of 7.01325 bar 1.2 are oxygen, of the rest 0.40 / 0.85 helium; what
    # is neither is as narcotic as air at (1.2 + 5.81325 * 0.45 / 0.85 - 1.01325) / 0.1 = 32.65 m;
    # the diluent itself, with 60 % of it narcotic, at (7.01325 * 0.6 - 1.01325) / 0.1 = 31.95 m
    assert "32.7 m" in found.text
    assert hazards(dive_of(found.mends[0].changes[0].value, depth_m=60.0), "narcotic") == []


def test_a_diluent_richer_than_the_setpoint_is_warned_of():
    found = hazard(dive_of("15/55", bottom_bar=1.0, down=(Setpoint(0.7),)), "diluent-hyperoxic")
    assert "1.14 bar" in found.text  # 0.15 * 7.61325
    assert "setpoint of 0.7 bar" in found.text  # the one in force on arrival
    assert hazards(dive_of("8/60", bailout=("18/45", "EAN50")), "diluent-hyperoxic") == []


def test_a_diluent_that_is_hypoxic_shallow_is_warned_of_where_time_is_spent():
    found = hazard(dive_of("6/70"), "diluent-hypoxic")
    # the floor: (0.18 / 0.06 - 1.01325) / 0.1 = 19.87 m
    assert "above 19.9 m" in found.text
    assert "min of stops" in found.text
    assert found.at_m < 19.9
    assert hazards(dive_of("21/35", depth_m=40.0), "diluent-hypoxic") == []


def test_a_setpoint_above_the_pressure_of_a_stop_is_warned_of():
    plan = dive_of(up=(Setpoint(1.2), Setpoint(1.6, 6.0)), ascent={"last_stop_m": 3.0})
    found = hazard(plan, "setpoint-not-held")
    assert found.at_m == 3.0
    assert "1.31 bar" in found.text
    assert hazards(dive_of(up=(Setpoint(1.2), Setpoint(1.6, 6.0))), "setpoint-not-held") == []


@pytest.mark.parametrize(
    ("bailout", "what"),
    [
        (("EAN50",), "from 66 m up to 63 m"),  # nothing at depth
        (("10/70",), "from 9 m up to 6 m"),  # nothing near the surface
        (("18/45",), None),
    ],
)
def test_a_minute_without_bailout_is_a_danger(bailout, what):
    found = hazards(dive_of(bailout=bailout), "no-bailout")
    assert bool(found) == (what is not None)
    if what:
        assert found[0].severity == "danger"
        assert what in found[0].text


def test_oxygen_at_setpoint_over_the_limits_names_a_setpoint_that_was_tried():
    plan = dive_of(depth_m=45.0, leave_at_min=60.0, bottom_bar=1.4, up=(Setpoint(1.4),))
    found = hazard(plan, "cns")
    assert "at a setpoint of 1.4 bar" in found.cure
    assert "no setpoint above" in found.cure
    tenth = float(found.cure.split("no setpoint above ")[1].split(" bar")[0])
    assert schedule(replace(plan, loop=plan.loop.no_higher(tenth))).oxygen.cns_pct <= 80.0
    higher = schedule(replace(plan, loop=plan.loop.no_higher(tenth + 0.1)))
    assert higher.oxygen.cns_pct > 80.0


def test_within_the_tolerance_is_a_note_and_a_diluents_own_limit_a_warning():
    assert hazard(dive_of(bottom_bar=1.42), "hyperoxic").severity == "note"
    own = dive_of(bottom_bar=1.5, ppo2_max_bar=1.5)
    assert hazard(own, "hyperoxic").severity == "warning"
