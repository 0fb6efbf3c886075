"""[TEOS10]: pressure under water against its reference library and a table made with it."""

from __future__ import annotations

import csv
from pathlib import Path

import gsw
import numpy as np
import pytest

from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.water import Water, WaterKind, ambient_pressure_bar, water

AUTHORITIES = Path(__file__).parents[2] / "authorities"
TOPIC = "Pressure under water"
LIBRARY = "gsw, the reference library of TEOS-10 (2010)"
TABLE = "table of absolute pressures made with gsw 3.6.23"
LATITUDES = (0, 25, 45, 60)


def table() -> list[dict[str, float]]:
    lines = (AUTHORITIES / "pressure_at_depth_teos10.csv").read_text("utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [{key: float(value) for key, value in row.items()} for row in rows]


def worst(column: str, column_of_water: Water) -> tuple[dict[str, float], float]:
    """Return the row that our pressure misses most, and our pressure there."""
    pairs = [(row, column_of_water.ambient_bar(row["depth_m"])) for row in table()]
    return max(pairs, key=lambda pair: abs(pair[0][column] - pair[1]))


@pytest.mark.parametrize("latitude_deg", LATITUDES)
def test_the_chord_follows_the_table(outside, latitude_deg):
    column = f"p_lat{latitude_deg}"
    row, ours = worst(column, water(WaterKind.TEOS10, latitude_deg=latitude_deg, deepest_m=120.0))
    outside.check(
        topic=TOPIC,
        item=f"TEOS-10 at latitude {latitude_deg}, 0 to 120 m: worst row, {row['depth_m']:g} m",
        source=TABLE,
        how="computed",
        published=row[column],
        ours=ours,
        tolerance=0.001,
        unit="bar",
        reason="sea water is compressible and ours is a chord; 0.001 bar are 1 cm",
    )


@pytest.mark.parametrize(
    ("column", "kind", "tolerance", "reason"),
    [
        ("p_fresh_rho1000_g9.80665", WaterKind.FRESH, 6e-6, "printed to five decimals"),
        ("p_1025_g9.80665", WaterKind.SEA, 6e-6, "printed to five decimals"),
        ("p_10m_per_bar", WaterKind.EN13319, 6e-6, "printed to five decimals"),
    ],
)
def test_constant_densities_follow_the_table(outside, column, kind, tolerance, reason):
    row, ours = worst(column, water(kind))
    outside.check(
        topic=TOPIC,
        item=f"{kind} water, 0 to 120 m: worst row, {row['depth_m']:g} m",
        source=TABLE,
        how="computed",
        published=row[column],
        ours=ours,
        tolerance=tolerance,
        unit="bar",
        reason=reason,
    )


@pytest.mark.parametrize("latitude_deg", [0.0, 43.5, -43.5, 90.0])
@pytest.mark.parametrize("deepest_m", [60.0, 100.0, 120.0])
def test_the_chord_errs_deep_above_its_end_and_a_little_shallow_below(
    outside, latitude_deg, deepest_m
):
    chord = water(WaterKind.TEOS10, latitude_deg=latitude_deg, deepest_m=deepest_m)
    depths_m = np.linspace(0.0, 120.0, 481)
    live_bar = STANDARD_ATMOSPHERE_BAR + gsw.p_from_z(-depths_m, latitude_deg) / 10.0
    ours_bar = ambient_pressure_bar(depths_m, chord.surface_bar, chord.bar_per_m)
    departure_bar = ours_bar - live_bar
    inside = depths_m <= deepest_m
    assert departure_bar[inside].min() > -1e-12  # never towards too little pressure
    assert departure_bar[inside].max() > 1e-5  # the curve is real: the check could fail
    for part, where in ((inside, "down to its end"), (~inside, "below its end, to 120 m")):
        if not part.any():
            continue
        at = np.flatnonzero(part)[np.abs(departure_bar[part]).argmax()]
        outside.check(
            topic=TOPIC,
            item=f"TEOS-10 chord to {deepest_m:g} m at latitude {latitude_deg:g}, {where}: "
            f"largest departure, at {depths_m[at]:g} m",
            source=LIBRARY,
            how="computed",
            published=float(live_bar[at]),
            ours=float(ours_bar[at]),
            tolerance=0.001 if part is inside else 0.002,
            unit="bar",
            reason="a chord of a curve: on the deep side to its end, on the shallow side below",
        )


def test_a_lake_of_the_sea_at_altitude_only_loses_air_pressure():
    low = water(WaterKind.TEOS10, latitude_deg=40.0)
    high = water(WaterKind.TEOS10, latitude_deg=40.0, altitude_m=1000.0)
    assert high.bar_per_m == low.bar_per_m
    assert high.surface_bar < low.surface_bar


def test_a_warm_sea_is_lighter_than_the_reference_ocean(outside):
    row = table()[-1]
    ours = water(WaterKind.TEOS10, latitude_deg=45.0, deepest_m=120.0).ambient_bar(120.0)
    outside.check(
        topic=TOPIC,
        item="sea of 20 degC at latitude 45, 120 m",
        source=TABLE,
        how="computed",
        published=row["p_sea20C_lat45"],
        ours=ours,
        tolerance=0.01,
        unit="bar",
        known_difference=True,
        reason="TEOS-10's pressure at a depth is that of the standard ocean at 0 degC; a sea of "
        "20 degC is 0.3 % lighter, so ours errs by 0.4 m towards deep",
    )
    assert ours > row["p_sea20C_lat45"]
