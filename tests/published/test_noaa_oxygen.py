"""[NOAA1991]: the oxygen table, and what our CNS share makes of it."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import TABLE_RULES, dose_of_legs, single_limit_min
from slatewright.physics.mixture import OXYGEN, Mixture
from slatewright.physics.water import Water

AUTHORITIES = Path(__file__).parents[2] / "authorities"
NOAA = "NOAA Diving Manual, 3rd ed. (1991)"
TOPIC = "Oxygen: central nervous system"
READ = {"1.2", "1.3", "1.4", "1.5", "1.6"}
EMPTY = Water(surface_bar=1.01325, bar_per_m=0.101325)  # an atmosphere every 10 m
PRINTED = "the share of a row is its minutes by its limit"


def raw(name: str) -> list[dict[str, str]]:
    lines = (AUTHORITIES / f"{name}.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def breathing(ppo2_atm: float, minutes: float) -> Leg:
    """Return a stay at this ppO2: on oxygen at depth, below 1 atm on a mix at the surface."""
    if ppo2_atm < 1.0:
        return Leg(LegKind.STOP, 0, 0, 0.0, minutes, Mixture(ppo2_atm))
    depth_m = (ppo2_atm - 1.0) * 10.0
    return Leg(LegKind.STOP, depth_m, depth_m, 0.0, minutes, OXYGEN)


def cns_pct(ppo2_atm: float, minutes: float, table: str = "interpolate") -> float:
    return dose_of_legs([breathing(ppo2_atm, minutes)], EMPTY, table=table).cns_pct


@pytest.mark.parametrize("table", TABLE_RULES)
@pytest.mark.parametrize(
    "row", [pytest.param(row, id=row["pO2_atm"]) for row in raw("noaa_oxygen_limits")]
)
def test_single_exposure_limits(outside, row, table):
    outside.check(
        topic=TOPIC,
        item=f"{row['single_min']} min at {row['pO2_atm']} atm, {table}",
        source=NOAA,
        how="read" if row["pO2_atm"] in READ else "from memory",
        published=100.0,
        ours=cns_pct(float(row["pO2_atm"]), float(row["single_min"]), table),
        tolerance=1e-9,
        unit="%",
        reason=PRINTED,
    )
    outside.check(
        topic=TOPIC,
        item=f"share of a minute at {row['pO2_atm']} atm, {table}",
        source=NOAA,
        how="computed",
        published=float(row["CNS_pct_per_min_single"]),
        ours=cns_pct(float(row["pO2_atm"]), 1.0, table),
        tolerance=5.1e-5,
        unit="%",
        reason="computed from the table to four decimals",
    )


def test_ten_minutes_at_1_4_atm(outside):
    outside.check(
        topic=TOPIC,
        item="10 min at 1.4 atm",
        source=NOAA,
        how="derived",
        published=6.67,
        ours=cns_pct(1.4, 10.0),
        tolerance=0.005,
        unit="%",
        reason="10 by 150, to two decimals",
    )


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(row, id=row["pO2_atm"])
        for row in raw("noaa_oxygen_exceptional")
        if float(row["pO2_atm"]) > 1.6
    ],
)
def test_exceptional_limits_above_1_6_atm(outside, row):
    held = float(row["pO2_atm"]) < 1.9
    outside.check(
        topic=TOPIC,
        item=f"exceptional exposure at {row['pO2_atm']} atm",
        source=NOAA,
        how="read",
        published=float(row["minutes"]),
        ours=single_limit_min(float(row["pO2_atm"]), table="interpolate"),
        tolerance=1e-9,
        unit="min",
        reason="held at the 45 min of 1.6 atm: a higher ppO2 must not earn a longer limit"
        if held
        else "the row as printed",
        known_difference=held,
    )


@pytest.mark.parametrize(
    ("source", "how", "ppo2", "published", "reason"),
    [
        (
            "NOAA exceptional exposures, as quoted",
            "read",
            1.4,
            160.0,
            "the normal limit of 150 min holds up to 1.6 atm; exceptional ones are used above only",
        ),
        (
            "NOAA exceptional exposures, 1991 print",
            "from memory",
            1.4,
            180.0,
            "quoted as 160 elsewhere; neither is used up to 1.6 atm",
        ),
        (
            "Hoyt et al., Diving Hyperb Med (2025)",
            "read",
            1.3,
            240.0,
            "240 min active (and 240 at rest) by the workshop of 2025; the table of 1991 is kept",
        ),
        (
            "US Navy mixed-gas oxygen limits, quoted in a workshop of 2000",
            "read",
            1.3,
            60.0,
            "an older and much stricter table; the one of 1991 is kept",
        ),
    ],
)
def test_tables_that_disagree(outside, source, how, ppo2, published, reason):
    outside.check(
        topic=TOPIC,
        item=f"limit at {ppo2} atm",
        source=source,
        how=how,
        published=published,
        ours=single_limit_min(ppo2, table="interpolate"),
        tolerance=1.0,
        unit="min",
        reason=reason,
        known_difference=True,
    )


def test_between_rows_the_two_rules_differ_and_stepping_is_the_stricter():
    # the table prints nothing between rows: 1.55 atm is 82.5 min by interpolation, 45 by stepping
    assert single_limit_min(1.55, table="interpolate") == pytest.approx(82.5)
    assert single_limit_min(1.55, table="step") == 45.0
    assert single_limit_min(2.2, table="step") == 10.0


def test_the_limit_never_grows_with_ppo2():
    for table in TABLE_RULES:
        limits = [single_limit_min(n / 1000.0, table=table) for n in range(3000)]
        assert limits == sorted(limits, reverse=True)
        assert limits[500] == math.inf
        assert limits[501] == 720.0
        assert limits[2800] == 5.0
        assert limits[2801] == 0.0
