"""[ISO2533], [ICAO7488]: air pressure at altitude; and what the Navy's examples make of it."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from slatewright.physics.atmosphere import (
    AIR_J_PER_KG_K,
    geopotential_altitude_m,
    standard_atmosphere_bar,
    surface_pressure_bar,
)
from slatewright.physics.constants import (
    AIR_G_PER_MOL,
    DRY_AIR_AR,
    DRY_AIR_N2,
    DRY_AIR_O2,
    STANDARD_ATMOSPHERE_BAR,
    STANDARD_GRAVITY_M_PER_S2,
)
from slatewright.physics.density import molar_mass_g_per_mol
from slatewright.physics.units import m_from_feet

AUTHORITIES = Path(__file__).parents[2] / "authorities"
TOPIC = "Air pressure at altitude"
STANDARD = "ICAO Doc 7488 / ISO 2533:1975, standard atmosphere"
NAVY = "US Navy Diving Manual, Revision 4 Change A (2001)"
CO2 = 0.000314
CO2_G_PER_MOL = 44.0095


def table() -> list[dict[str, float]]:
    lines = (AUTHORITIES / "icao_pressure_altitude.csv").read_text("utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [{key: float(value) for key, value in row.items()} for row in rows]


@pytest.mark.parametrize("row", table(), ids=lambda row: f"{row['altitude_m']:g} m")
def test_each_row_of_the_standard_atmosphere(row):
    altitude_m = row["altitude_m"]
    geopotential = standard_atmosphere_bar(altitude_m) * 1000.0
    assert geopotential == pytest.approx(row["p_hPa_geopotential"], abs=6e-4)
    assert surface_pressure_bar(altitude_m) * 1000.0 == pytest.approx(
        row["p_hPa_if_geometric_altitude"], abs=6e-4
    )


@pytest.mark.parametrize("altitude_m", [500.0, 1000.0, 2000.0, 3000.0])
def test_rows_of_the_standard_atmosphere_for_the_record(outside, altitude_m):
    row = next(row for row in table() if row["altitude_m"] == altitude_m)
    outside.check(
        topic=TOPIC,
        item=f"pressure at {altitude_m:g} m on the map",
        source=STANDARD,
        how="computed",
        published=row["p_hPa_if_geometric_altitude"],
        ours=surface_pressure_bar(altitude_m) * 1000.0,
        tolerance=6e-4,
        unit="hPa",
        reason="printed to three decimals; all 31 rows agree as well",
    )


def test_the_tropopause(outside):
    outside.check(
        topic=TOPIC,
        item="pressure at 11,000 geopotential metres",
        source=STANDARD,
        how="from memory",
        published=226.32,
        ours=standard_atmosphere_bar(11_000.0) * 1000.0,
        tolerance=0.005,
        unit="hPa",
        reason="printed to five figures",
    )


def test_constants_of_the_standard(outside):
    figures = (
        ("specific gas constant of air", 287.05287, AIR_J_PER_KG_K, 5e-6, "J/(kg K)"),
        ("exponent", 5.25588, STANDARD_GRAVITY_M_PER_S2 / (AIR_J_PER_KG_K * 0.0065), 5e-6, ""),
        ("geopotential altitude of 3000 m", 2998.6, geopotential_altitude_m(3000.0), 0.05, "m"),
    )
    for item, published, ours, tolerance, unit in figures:
        outside.check(
            topic=TOPIC,
            item=item,
            source=STANDARD,
            how="from memory",
            published=published,
            ours=ours,
            tolerance=tolerance,
            unit=unit,
            reason="as printed",
        )


def test_air_weighs_what_its_parts_weigh(outside):
    parts = DRY_AIR_N2 + DRY_AIR_O2 + DRY_AIR_AR
    rest_g = molar_mass_g_per_mol(0.0, 0.0, 28.0134) * DRY_AIR_N2 + 39.948 * DRY_AIR_AR
    ours = molar_mass_g_per_mol(1.0, 0.0, 0.0) * DRY_AIR_O2 + rest_g + CO2 * CO2_G_PER_MOL
    outside.check(
        topic=TOPIC,
        item="molar mass of dry air from nitrogen, oxygen, argon and carbon dioxide",
        source=STANDARD,
        how="from memory",
        published=AIR_G_PER_MOL,
        ours=ours,
        tolerance=0.001,
        unit="g/mol",
        reason="neon and the other traces are left out, and atomic weights moved since 1975",
    )
    assert 0.9995 < parts + CO2 < 1.0


@pytest.mark.parametrize(
    ("depth_fsw", "altitude_ft", "published_fsw", "page"),
    [(100.0, 6000.0, 130.0, "9-41"), (85.0, 8000.0, 120.0, "9-44")],
)
def test_sea_level_equivalent_depth(outside, depth_fsw, altitude_ft, published_fsw, page):
    ratio = STANDARD_ATMOSPHERE_BAR / surface_pressure_bar(m_from_feet(altitude_ft))
    outside.check(
        topic=TOPIC,
        item=f"table depth at sea level for {depth_fsw:g} fsw at {altitude_ft:g} ft",
        source=f"{NAVY}, p. {page}",
        how="read",
        published=published_fsw,
        ours=math.ceil(depth_fsw * ratio / 10.0) * 10.0,
        tolerance=0.0,
        unit="fsw",
        reason="rounded up to the next depth of the table, by tens",
    )


def test_stop_depth_at_altitude(outside):
    ratio = surface_pressure_bar(m_from_feet(8000.0)) / STANDARD_ATMOSPHERE_BAR
    outside.check(
        topic=TOPIC,
        item="depth at 8000 ft of a stop at 30 fsw",
        source=f"{NAVY}, p. 9-44",
        how="read",
        published=22.0,
        ours=30.0 * ratio,
        tolerance=0.5,
        unit="fsw",
        reason="printed to whole feet",
    )
