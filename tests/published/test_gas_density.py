"""[ANTHONY2016] and other statements about gas density, and computed reference densities."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from slatewright.physics.constants import (
    AR_G_PER_MOL,
    HE_G_PER_MOL,
    N2_G_PER_MOL,
    O2_G_PER_MOL,
    ZERO_CELSIUS_K,
)
from slatewright.physics.density import (
    HIGHEST_G_PER_L,
    RECOMMENDED_G_PER_L,
    density_depth,
    gas_density,
    gas_density_g_per_l,
    molar_mass_g_per_mol,
)
from slatewright.physics.mixture import AIR, Mixture
from slatewright.physics.water import Water, WaterKind

AUTHORITIES = Path(__file__).parents[2] / "authorities"
TOPIC = "Gas density"
LIMITS = "Anthony and Mitchell, Respiratory physiology of rebreather diving (2016)"
ROUND = "round statements that circulate"
REFERENCE = "ideal gas law with the molar masses of CoolProp 8.0.0"
REAL = "CoolProp 8.0.0, real gas"
TEN_METRES = Water(WaterKind.EN13319, 1.0, 0.1)


def table(name: str) -> list[dict[str, str]]:
    lines = (AUTHORITIES / f"{name}.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def molar_mass(gas: str) -> float:
    """Return our molar mass of a gas as the table means it: mixtures with pure nitrogen."""
    pure = {"He": (0.0, 1.0), "O2": (1.0, 0.0), "N2": (0.0, 0.0)}
    if gas == "Ar":
        return AR_G_PER_MOL
    if gas == "air":
        rest = (0.7812 * N2_G_PER_MOL + 0.0092 * AR_G_PER_MOL) / (0.7812 + 0.0092)
        return molar_mass_g_per_mol(0.2096, 0.0, rest)
    if gas in pure:
        return molar_mass_g_per_mol(*pure[gas], N2_G_PER_MOL)
    mix = Mixture.parse(gas)
    return molar_mass_g_per_mol(mix.o2, mix.he, N2_G_PER_MOL)


def density_of(row: dict[str, str]) -> float:
    temperature_c = float(row["T_K"]) - ZERO_CELSIUS_K
    return gas_density_g_per_l(molar_mass(row["gas"]), float(row["p_bar"]), temperature_c)


ROWS = table("gas_density_reference")
GASES = sorted({row["gas"] for row in ROWS})


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['gas']}, {r['T_K']} K, {r['p_bar']}")
def test_each_row_ideal_exactly_and_real_within_two_permille(row):
    ours = density_of(row)
    assert ours == pytest.approx(float(row["rho_ideal_g_L"]), abs=1e-5)
    assert ours == pytest.approx(float(row["rho_real_g_L"]), rel=2e-3)


@pytest.mark.parametrize("gas", GASES)
@pytest.mark.parametrize(
    ("column", "source", "tolerance", "relative", "reason"),
    [
        ("rho_ideal_g_L", REFERENCE, 1e-5, False, "printed to five decimals"),
        (
            "rho_real_g_L",
            REAL,
            2e-3,
            True,
            "0.2 %: ours is ideal, as the limits are",
        ),
    ],
)
def test_worst_row_of_each_gas_for_the_record(
    outside, gas, column, source, tolerance, relative, reason
):
    rows = [row for row in ROWS if row["gas"] == gas]
    row = max(rows, key=lambda row: abs(density_of(row) - float(row[column])))
    outside.check(
        topic=TOPIC,
        item=f"{gas} at {row['T_K']} K and {row['p_bar']} bar, the worst of {len(rows)} rows",
        source=source,
        how="computed",
        published=float(row[column]),
        ours=density_of(row),
        tolerance=tolerance * (float(row[column]) if relative else 1.0),
        unit="g/L",
        reason=reason,
    )


def test_air_as_the_trade_mixes_it_weighs_what_air_weighs(outside):
    row = next(r for r in ROWS if (r["gas"], r["T_K"], r["p_bar"]) == ("air", "273.15", "1.01325"))
    outside.check(
        topic=TOPIC,
        item="21 % oxygen and the rest, argon in it, against air of nitrogen, oxygen and argon",
        source=REFERENCE,
        how="computed",
        published=float(row["rho_ideal_g_L"]),
        ours=gas_density(AIR, 0.0, Water()),
        tolerance=0.0005,
        unit="g/L",
        reason="21 % against 20.96 %; without the argon it would be 0.005 too light",
    )


@pytest.mark.parametrize(
    ("depth_m", "published"), [(31.0, RECOMMENDED_G_PER_L), (39.0, HIGHEST_G_PER_L)]
)
def test_the_limits_are_air_at_31_and_39_m_at_zero_degrees(outside, depth_m, published):
    outside.check(
        topic=TOPIC,
        item=f"air at {depth_m:g} m, 0 degC",
        source=LIMITS,
        how="read",
        published=published,
        ours=gas_density(AIR, depth_m, TEN_METRES),
        tolerance=0.05,
        unit="g/L",
        reason="printed to one decimal",
    )
    outside.check(
        topic=TOPIC,
        item=f"depth at which air reaches {published:g} g/L",
        source=LIMITS,
        how="read",
        published=depth_m,
        ours=density_depth(AIR, published, TEN_METRES),
        tolerance=0.5,
        unit="m",
        reason="printed to whole metres",
    )


@pytest.mark.parametrize(
    ("name", "depth_m", "reason"),
    [
        ("air", 40.0, "said without a temperature; at 20 degC 5.94 would round to it"),
        ("EAN32", 34.0, "fits no temperature of a breathed gas: 5.7 at 0 degC, less when warmer"),
        ("18/35", 61.0, "said without a temperature; at 20 degC 5.94 would round to it"),
    ],
)
def test_six_grams_a_litre_is_a_round_number(outside, name, depth_m, reason):
    ours = gas_density(Mixture.parse(name), depth_m, TEN_METRES)
    outside.check(
        topic=TOPIC,
        item=f"{name} at {depth_m:g} m, 0 degC",
        source=ROUND,
        how="read",
        published=6.0,
        ours=ours,
        tolerance=0.25,
        unit="g/L",
        known_difference=True,
        reason=reason,
    )


def test_ean32_at_34_m_is_six_at_no_temperature():
    for temperature_c in (0.0, 10.0, 20.0, 37.0):
        there = gas_density(Mixture(0.32), 34.0, TEN_METRES, temperature_c=temperature_c)
        assert there < 5.75


@pytest.mark.parametrize(
    ("name", "depth_m", "published"),
    [("12/60", 90.0, 6.2), ("10/70", 100.0, 5.6), ("13/50", 93.0, 7.5)],
)
def test_bottom_gases_of_the_trade(outside, name, depth_m, published):
    outside.check(
        topic=TOPIC,
        item=f"{name} at {depth_m:g} m, 0 degC",
        source="common practice, no published source",
        how="common practice, no published source",
        published=published,
        ours=gas_density(Mixture.parse(name), depth_m, TEN_METRES),
        tolerance=0.05,
        unit="g/L",
        reason="to one decimal",
    )


def test_helium_is_the_lightest_and_argon_the_heaviest():
    assert HE_G_PER_MOL < N2_G_PER_MOL < O2_G_PER_MOL < AR_G_PER_MOL
