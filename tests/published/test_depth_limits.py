"""Worked examples of oxygen pressure, operating and equivalent depths; and the trade's floors."""

from __future__ import annotations

import pytest

from slatewright.physics import limits, narcosis
from slatewright.physics.mixture import AIR, Mixture
from slatewright.physics.units import m_from_feet
from slatewright.physics.water import Water, WaterKind

TOPIC = "Depth limits and equivalent depths"
NAVY = "US Navy Diving Manual, Revision 4 (2001)"
EAD_PAGE = "Wikipedia, Equivalent air depth"
END_PAGE = "Wikipedia, Equivalent narcotic depth (quoted)"
COURSE = "a course page"

# The examples count from 1 bar at the surface with 10 m to the bar, or in atmospheres of 33 fsw.
TEN_METRES = Water(WaterKind.EN13319, 1.0, 0.1)
ATM_BAR = 1.01325
FSW = Water(WaterKind.SEA, ATM_BAR, ATM_BAR / m_from_feet(33.0))


def ft(depth_m: float) -> float:
    return depth_m / m_from_feet(1.0)


def ppo2_ata(percent: float, depth_fsw: float) -> float:
    return limits.oxygen_pressure(Mixture(percent / 100.0), m_from_feet(depth_fsw), FSW) / ATM_BAR


def ppn2_ata(percent: float, depth_fsw: float) -> float:
    return Mixture(percent / 100.0).n2 * FSW.ambient_bar(m_from_feet(depth_fsw)) / ATM_BAR


def best_percent(limit_ata: float, depth_fsw: float) -> float:
    return limits.best_oxygen_at(m_from_feet(depth_fsw), limit_ata * ATM_BAR, FSW) * 100.0


def ead_fsw(percent: float, depth_fsw: float) -> float:
    mix = Mixture(percent / 100.0)
    return ft(narcosis.equivalent_air_depth(mix, m_from_feet(depth_fsw), FSW))


def end_m(mix: Mixture, depth_m: float, *, oxygen: bool) -> float:
    return narcosis.narcotic_depth(mix, depth_m, TEN_METRES, oxygen_narcotic=oxygen)


WHOLE = "printed to whole numbers"
EXAMPLES = [
    # item, source, how, published, ours, tolerance, unit, reason
    ("richest oxygen for 1.2 ata at 231 fsw", f"{NAVY} 12-5, problem 1", "derived",
     15.0, best_percent(1.2, 231.0), 1e-9, "%", "exact"),
    ("ppO2 of 14 % at 264 fsw", f"{NAVY} 12-5, problem 2", "derived",
     1.26, ppo2_ata(14.0, 264.0), 1e-9, "ata", "exact"),
    ("ppO2 of 16 % at 264 fsw", f"{NAVY} 12-5, problem 2", "derived",
     1.44, ppo2_ata(16.0, 264.0), 1e-9, "ata", "exact"),
    ("oxygen for 0.9 ata at 660 fsw", f"{NAVY} 12-5, problem 3", "derived",
     4.29, best_percent(0.9, 660.0), 0.005, "%", "to two decimals"),
    ("ppO2 of that at 726 fsw", f"{NAVY} 12-5, problem 3", "derived",
     0.986, ppo2_ata(best_percent(0.9, 660.0), 726.0), 0.0005, "ata", "to three decimals"),
    ("ppN2 of 32/68 at 63 fsw", f"{NAVY} 10-2", "read",
     2.0, ppn2_ata(32.0, 63.0), 0.05, "ata", "printed to one decimal"),
    ("equivalent air depth of 32/68 at 63 fsw", f"{NAVY} 10-2, formula", "derived",
     49.6, ead_fsw(32.0, 63.0), 0.05, "fsw", "to one decimal"),
    ("equivalent air depth of EAN36 at 27 m", EAD_PAGE, "read",
     20.0, narcosis.equivalent_air_depth(Mixture(0.36), 27.0, TEN_METRES), 0.5, "m", WHOLE),
    ("equivalent air depth of EAN36 at 90 fsw", EAD_PAGE, "read",
     67.0, ead_fsw(36.0, 90.0), 0.5, "fsw", WHOLE),
    ("ppO2 of EAN40 at 66 fsw", COURSE, "read",
     1.2, ppo2_ata(40.0, 66.0), 1e-9, "ata", "exact"),
    ("ppN2 of EAN32 at 99 fsw", COURSE, "read",
     2.72, ppn2_ata(32.0, 99.0), 1e-9, "ata", "exact"),
    ("depth on air with that ppN2", COURSE, "read",
     80.6, ead_fsw(32.0, 99.0), 0.05, "fsw", "printed to one decimal"),
    ("depth at which air has 1.6 ata of oxygen", COURSE, "read",
     218.0, ft(limits.operating_depth(AIR, 1.6 * ATM_BAR, FSW)), 0.5, "fsw", WHOLE),
    ("narcotic depth of 20/40 at 60 m, oxygen counted", END_PAGE, "read",
     32.0, end_m(Mixture(0.2, 0.4), 60.0, oxygen=True), 1e-9, "m", "exact"),
    ("narcotic depth of 20/40 at 60 m, nitrogen only", END_PAGE, "read",
     25.0, end_m(Mixture(0.2, 0.4), 60.0, oxygen=False), 0.5, "m", "printed 'just over 25'"),
    ("narcotic depth of 18/35 at 60 m, nitrogen only", COURSE, "read",
     31.64, end_m(Mixture(0.18, 0.35), 60.0, oxygen=False), 0.01, "m",
     "the page rounds the pressure to 4.164 bar on the way"),
    ("narcotic depth of 15/55 at 75 m, oxygen counted", COURSE, "read",
     28.0, end_m(Mixture(0.15, 0.55), 75.0, oxygen=True), 0.5, "m", WHOLE),
]  # fmt: skip


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example[0])
def test_worked_example(outside, example):
    item, source, how, published, ours, tolerance, unit, reason = example
    outside.check(
        topic=TOPIC,
        item=item,
        source=source,
        how=how,
        published=published,
        ours=ours,
        tolerance=tolerance,
        unit=unit,
        reason=reason,
    )


def test_the_navys_second_problem_has_one_safe_answer():
    deepest_m = m_from_feet(264.0)
    assert limits.operating_depth(Mixture(0.14, 0.8), 1.3 * ATM_BAR, FSW) > deepest_m
    assert limits.operating_depth(Mixture(0.16, 0.8), 1.3 * ATM_BAR, FSW) < deepest_m


@pytest.mark.parametrize(
    ("percent", "floor_bar", "floor_m"),
    [
        (10.0, 0.18, 8.0),
        (10.0, 0.16, 6.0),
        (12.0, 0.18, 5.0),
        (12.0, 0.16, 3.3),
        (15.0, 0.18, 2.0),
        (15.0, 0.16, 0.7),
    ],
)
def test_hypoxic_floor(outside, percent, floor_bar, floor_m):
    outside.check(
        topic=TOPIC,
        item=f"hypoxic floor of {percent:g} % oxygen at {floor_bar:g} bar, 1 bar at the surface",
        source="common practice, no published source",
        how="common practice, no published source",
        published=floor_m,
        ours=limits.hypoxic_floor(Mixture(percent / 100.0, 0.6), floor_bar, TEN_METRES),
        tolerance=0.05,
        unit="m",
        reason="to one decimal",
    )
