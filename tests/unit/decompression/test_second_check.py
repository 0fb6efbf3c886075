"""The second check finds what is broken, and passes what is not."""

from __future__ import annotations

import ast
import math
from dataclasses import replace
from pathlib import Path

import pytest

from slatewright.decompression import integration, leg_checks, second_check
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.second_check import could_leave_earlier
from slatewright.decompression.settings import AscentSettings, OxygenBreaks
from slatewright.decompression.tissues import Tissues
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.water import Water

WATER = Water()
SETTINGS = AscentSettings(gradient_low=0.4, gradient_high=0.85)
DEEP, LEAN = Mixture(0.18, 0.45), Mixture(0.50)
FIRST_STOP_M = 24.0
# 54 m for 25 min, invented; the shortest stops of whole minutes, each walked minute by minute
STOPS = {24.0: 1.0, 21.0: 1.0, 18.0: 1.0, 15.0: 2.0, 12.0: 3.0, 9.0: 4.0, 6.0: 26.0}


def limit_bar(leg: Leg) -> float:
    return 1.6 if leg.gas == LEAN or leg.kind is LegKind.STOP else 1.4


def dive(stops=STOPS, bottom=DEEP) -> list[Leg]:
    way = [(LegKind.DESCENT, 54.0, 3.0, bottom), (LegKind.BOTTOM, 54.0, 22.0, bottom)]
    depth_m, gas = 54.0, bottom
    for stop_m, minutes in stops.items():
        way.append((LegKind.ASCENT, stop_m, (depth_m - stop_m) / 9.0, gas))
        depth_m = stop_m
        if stop_m == 21.0:
            gas = LEAN
        way.append((LegKind.STOP, stop_m, minutes, gas))
    way.append((LegKind.ASCENT, 0.0, depth_m / 9.0, gas))
    legs, depth_m, now_min = [], 0.0, 0.0
    for kind, to_m, minutes, breathed in way:
        legs.append(Leg(kind, depth_m, to_m, now_min, minutes, breathed))
        depth_m, now_min = to_m, now_min + minutes
    return legs


def check(legs, **changes):
    given = {"first_stop_m": FIRST_STOP_M, "ppo2_max_bar": limit_bar} | changes
    return second_check.second_check(legs, WATER, given.pop("settings", SETTINGS), **given)


def shifted(legs, index, leg):
    """Put a leg in place of another and move all later ones in time."""
    later = leg.minutes - legs[index].minutes
    moved = [replace(after, start_min=after.start_min + later) for after in legs[index + 1 :]]
    return [*legs[:index], leg, *moved]


def stop_at(legs, depth_m):
    return next(i for i, leg in enumerate(legs) if leg.kind is LegKind.STOP and leg.to_m == depth_m)


def test_a_sound_dive_passes():
    verdict = check(dive())
    assert verdict.passed, verdict.findings
    assert verdict.findings == ()
    assert -0.05 < verdict.largest_excess_bar <= 0.0
    # 51 .. 6 m in steps of 3 m, 3 m on the way from the last stop, and the surface
    assert verdict.checked_levels == 18
    assert "Runge-Kutta" in verdict.method


@pytest.mark.parametrize("depth_m", STOPS)
def test_each_stop_cut_short_by_a_minute_is_found(depth_m):
    legs = dive()
    index = stop_at(legs, depth_m)
    stop = legs[index]
    shorter = replace(stop, minutes=max(stop.minutes - 1.0, 1e-3))
    verdict = check(shifted(legs, index, shorter))
    assert not verdict.passed
    assert any("left too early" in finding for finding in verdict.findings)
    assert verdict.largest_excess_bar > second_check.LINE_TOLERANCE_BAR


@pytest.mark.parametrize("depth_m", STOPS)
def test_no_stop_can_lose_a_minute_and_a_longer_one_can(depth_m):
    legs = dive()
    index = stop_at(legs, depth_m)
    assert not could_leave_earlier(legs, index, WATER, SETTINGS, first_stop_m=FIRST_STOP_M)
    longer = shifted(legs, index, replace(legs[index], minutes=legs[index].minutes + 1.0))
    assert could_leave_earlier(longer, index, WATER, SETTINGS, first_stop_m=FIRST_STOP_M)


def test_minutes_of_a_change_of_gas_cannot_be_saved():
    legs = dive({**STOPS, 6.0: 60.0})
    index = stop_at(legs, 6.0)
    assert could_leave_earlier(legs, index, WATER, SETTINGS, first_stop_m=FIRST_STOP_M)
    legs[index] = replace(legs[index], switching=True)
    assert not could_leave_earlier(legs, index, WATER, SETTINGS, first_stop_m=FIRST_STOP_M)


def test_what_is_no_stop_cannot_lose_a_minute():
    assert not could_leave_earlier(dive(), 0, WATER, SETTINGS, first_stop_m=FIRST_STOP_M)


def broken(change):
    legs = dive()
    change(legs)
    return legs


def gap_in_time(legs):
    legs[4:] = [replace(leg, start_min=leg.start_min + 0.5) for leg in legs[4:]]


def gap_in_depth(legs):
    legs[2] = replace(legs[2], from_m=57.0)


def wrong_depth(legs):
    index = stop_at(legs, 12.0)
    legs[index - 1] = replace(legs[index - 1], to_m=13.0)
    legs[index] = replace(legs[index], from_m=13.0, to_m=13.0)
    legs[index + 1] = replace(legs[index + 1], from_m=13.0)


def hyperoxic(legs):
    index = stop_at(legs, 9.0)
    legs[index] = replace(legs[index], gas=OXYGEN)


def too_fast(legs):
    index = stop_at(legs, 24.0) - 1
    legs[:] = shifted(legs, index, replace(legs[index], minutes=30.0 / 12.0))


def ends_under_water(legs):
    legs[-1] = replace(legs[-1], to_m=3.0)


def begins_under_water(legs):
    legs[0] = replace(legs[0], from_m=10.0)


def stop_that_rises(legs):
    index = stop_at(legs, 9.0)
    legs[index] = replace(legs[index], to_m=6.0)
    legs[index + 1] = replace(legs[index + 1], from_m=6.0)


def ascent_that_descends(legs):
    legs[0] = replace(legs[0], kind=LegKind.ASCENT)


def surface_inside(legs):
    legs[0] = replace(legs[0], kind=LegKind.SURFACE)


def no_number(legs):
    legs[3] = replace(legs[3], minutes=math.nan)


def no_time(legs):
    legs[3] = replace(legs[3], minutes=0.0)


def no_setpoint(legs):
    legs[3] = replace(legs[3], setpoint_bar=-1.0)


def nothing(legs):
    legs.clear()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (gap_in_time, "the leg before it ends at minute"),
        (gap_in_depth, "the leg before it ends at 54 m"),
        (wrong_depth, "stands on no level"),
        (hyperoxic, "hyperoxic at 9.0 m, ppO2 1.913 bar over 1.63"),
        (too_fast, "rises at 12.00 m/min, allowed are 9"),
        (ends_under_water, "ends at 3 m and not at the surface"),
        (begins_under_water, "begins at 10 m and not at the surface"),
        (stop_that_rises, "does not go where a leg of its kind goes"),
        (ascent_that_descends, "does not go where a leg of its kind goes"),
        (surface_inside, "one dive at a time"),
        (no_number, "no number"),
        (no_time, "takes no time"),
        (no_setpoint, "setpoint of -1 bar"),
        (nothing, "no legs"),
    ],
)
def test_each_fault_is_found(change, words):
    verdict = check(broken(change))
    assert not verdict.passed
    assert any(words in finding for finding in verdict.findings), verdict.findings


def test_a_bottom_gas_that_is_hypoxic_at_the_surface_is_found_on_the_way_down():
    verdict = check(dive(bottom=Mixture(0.12, 0.60)))
    assert any(
        finding.startswith("leg 1") and "hypoxic at 0.0 m" in finding
        for finding in verdict.findings
    )


def test_the_floor_and_the_tolerance_are_kept_to_the_digit():
    legs = dive()
    at_surface_bar = 0.18 * WATER.surface_bar
    assert check(legs, floor_bar=at_surface_bar).passed
    assert not check(legs, floor_bar=at_surface_bar + 1e-6).passed
    richest_bar = 0.5 * WATER.ambient_bar(21.0)
    assert check(legs, tolerance_bar=richest_bar - 1.55, ppo2_max_bar=lambda _: 1.55).passed
    assert not check(
        legs, tolerance_bar=richest_bar - 1.55 - 1e-6, ppo2_max_bar=lambda _: 1.55
    ).passed


def test_a_limit_that_is_no_number_lets_nothing_pass():
    assert not check(dive(), ppo2_max_bar=lambda _: math.nan).passed


@pytest.mark.parametrize(
    ("claim_m", "words"),
    [
        (27.0, "it lies shallower"),
        (21.0, "left too early"),
        (None, "left too early"),
        (20.0, "is no level"),
        (60.0, "does not lie on the way up"),
    ],
)
def test_a_wrong_first_stop_is_found(claim_m, words):
    verdict = check(dive(), first_stop_m=claim_m)
    assert not verdict.passed
    assert any(words in finding for finding in verdict.findings), verdict.findings


def test_more_gas_in_the_body_at_the_start_is_not_overlooked():
    loaded = Tissues((1.5,) * 16, (0.3,) * 16)
    assert not check(dive(), start=loaded).passed


def test_other_gradient_factors_are_not_overlooked():
    assert not check(dive(), settings=AscentSettings(gradient_low=0.3, gradient_high=0.8)).passed


def test_a_break_that_earns_nothing_earns_nothing():
    legs = dive()
    index = stop_at(legs, 6.0)
    legs[index] = replace(legs[index], pause=True)
    counted = replace(SETTINGS, breaks=OxygenBreaks(12, 6, counted=True))
    assert check(legs, settings=counted).passed
    not_counted = replace(SETTINGS, breaks=OxygenBreaks(12, 6, counted=False))
    assert not check(legs, settings=not_counted).passed


def test_a_dive_without_stops_passes_under_the_low_line():
    legs = [
        Leg(LegKind.DESCENT, 0.0, 12.0, 0.0, 1.0, AIR),
        Leg(LegKind.BOTTOM, 12.0, 12.0, 1.0, 9.0, AIR),
        Leg(LegKind.ASCENT, 12.0, 0.0, 10.0, 12.0 / 9.0, AIR),
        Leg(LegKind.SURFACE, 0.0, 0.0, 10.0 + 12.0 / 9.0, 60.0, AIR),
    ]
    verdict = check(legs, first_stop_m=None)
    assert verdict.passed, verdict.findings
    too_long = shifted(legs, 1, replace(legs[1], minutes=120.0))
    assert not check(too_long, first_stop_m=None).passed


def test_a_dive_above_all_levels_rises_at_the_last_rate():
    legs = [
        Leg(LegKind.DESCENT, 0.0, 2.0, 0.0, 1.0, AIR),
        Leg(LegKind.BOTTOM, 2.0, 2.0, 1.0, 9.0, AIR),
        Leg(LegKind.ASCENT, 2.0, 0.0, 10.0, 0.25, AIR),
    ]
    quick_last = replace(SETTINGS, to_first_stop_m_per_min=3.0)
    assert check(legs, first_stop_m=None, settings=quick_last).passed
    slow_last = replace(SETTINGS, to_surface_m_per_min=3.0)
    assert not check(legs, first_stop_m=None, settings=slow_last).passed


def test_an_ascent_between_two_bottoms_is_held_against_the_low_line():
    legs = [
        Leg(LegKind.DESCENT, 0.0, 45.0, 0.0, 2.5, AIR),
        Leg(LegKind.BOTTOM, 45.0, 45.0, 2.5, 30.0, AIR),
        Leg(LegKind.ASCENT, 45.0, 6.0, 32.5, 39.0 / 9.0, AIR),
        Leg(LegKind.BOTTOM, 6.0, 6.0, 32.5 + 39.0 / 9.0, 300.0, AIR),
        Leg(LegKind.ASCENT, 6.0, 0.0, 332.5 + 39.0 / 9.0, 6.0 / 9.0, AIR),
    ]
    verdict = check(legs, first_stop_m=None)
    assert any(finding.startswith("leg 3 ") for finding in verdict.findings)


@pytest.mark.parametrize("module", [second_check, integration, leg_checks])
def test_nothing_of_the_solver_is_imported(module):
    tree = ast.parse(Path(module.__file__).read_text("utf-8"))
    imported = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    imported |= {
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import)
        for alias in node.names
    }
    ours = {name.rpartition(".")[2] for name in imported if name and "slatewright" in name}
    assert ours <= {
        *("coefficients", "integration", "leg", "leg_checks", "settings", "tissues"),
        *("mixture", "water"),
    }
