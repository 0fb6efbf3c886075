"""[ARIELI2002]: the power-law index, the second opinion on oxygen."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import after_surface, dose_of_legs
from slatewright.physics.mixture import OXYGEN
from slatewright.physics.water import Water

AUTHORITIES = Path(__file__).parents[2] / "authorities"
TOPIC = "Oxygen: second opinion"
ARIELI = "Arieli, Yalov, Goldenshluger, J Appl Physiol 92:248-256 (2002)"
EMPTY = Water(surface_bar=1.01325, bar_per_m=0.101325)  # an atmosphere every 10 m


def rows() -> list[pytest.param]:
    lines = (AUTHORITIES / "arieli_power_law.csv").read_text("utf-8").splitlines()
    table = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [pytest.param(row, id=f"{row['t_min']}min@{row['pO2_atm']}") for row in table]


def exposure(ppo2_atm: float, minutes: float):
    depth_m = (ppo2_atm - 1.0) * 10.0
    leg = Leg(LegKind.STOP, depth_m, depth_m, 0.0, minutes, OXYGEN)
    return dose_of_legs([leg], EMPTY, table="interpolate")


@pytest.mark.parametrize("row", rows())
def test_steady_exposures(outside, row):
    ppo2_atm = float(row["pO2_atm"])
    dose = exposure(ppo2_atm, float(row["t_min"]))
    risk_pct = float(row["risk_pct"])
    checks = (
        ("CNS index", "K_cns", dose.index_k, 5.1e-4, "computed to four digits", "min2 atm^6.8"),
        (
            "lung index", "pulm_index_K", dose.pulmonary_index_k, 2e-5,
            "computed to four decimals", "h2 atm^4.57",
        ),
        (
            "loss of vital capacity", "dVC_pct", dose.vital_capacity_loss_pct, 2e-3,
            "computed to four decimals", "%",
        ),
        (
            "risk", "risk_pct", dose.risk_pct, 0.02,
            "ours takes ln K / 2, with 3.40 where the print has 3.38: up to 2 % of the risk", "%",
        ),
    )  # fmt: skip
    for what, column, ours, share, reason, unit in checks:
        outside.check(
            topic=TOPIC,
            item=f"{what}, {row['t_min']} min at {ppo2_atm:g} atm",
            source=ARIELI,
            how="computed",
            published=float(row[column]),
            ours=ours,
            tolerance=share * float(row[column]),
            unit=unit,
            reason=reason,
        )
    assert dose.risk_pct >= risk_pct - 1e-4  # never below the print


def test_recovery(outside):
    dose = exposure(1.6, 45.0)
    outside.check(
        topic=TOPIC,
        item="CNS index after 30 min at the surface, share left",
        source=ARIELI,
        how="read",
        published=math.exp(-0.079 * 30.0),
        ours=after_surface(dose, 30.0, cns_half_time_min=90.0).index_k / dose.index_k,
        tolerance=1e-12,
        unit="-",
        reason="the formula as read",
    )
