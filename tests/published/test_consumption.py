"""Consumption and duration of gas: worked examples of the Navy's manual, by the ideal law."""

from __future__ import annotations

import pytest

from slatewright.decompression.leg import Leg, LegKind
from slatewright.physics.mixture import AIR
from slatewright.physics.real_gas import FREE_GAS_K, real_gas_contents_mol
from slatewright.physics.units import bar_from_psi, l_from_cubic_feet, m_from_feet, psi_from_bar
from slatewright.physics.water import Water, WaterKind
from slatewright.supply.breathing import (
    breathed_amount_mol,
    breathed_in_leg_mol,
    breathing_duration_min,
)

TOPIC = "Consumption and duration"
NAVY = "US Navy Diving Manual, Revision 4 with Change A (2001)"
ATM_BAR = bar_from_psi(14.7)
FSW = Water(WaterKind.SEA, ATM_BAR, ATM_BAR / m_from_feet(33.0))  # 33 fsw to the atmosphere
EMERGENCY = Water(WaterKind.SEA, ATM_BAR, bar_from_psi(0.445) / m_from_feet(1.0))
SCF_MOL = breathed_amount_mol(l_from_cubic_feet(1.0), 1.0, ATM_BAR, FREE_GAS_K)
ACFM = l_from_cubic_feet(1.4)
FLOODABLE_L = l_from_cubic_feet(0.399)


def ideal_scf(psi: float) -> float:
    """Return the standard cubic feet in the emergency cylinder by the ideal law."""
    return real_gas_contents_mol(bar_from_psi(psi), FLOODABLE_L, 1.0, FREE_GAS_K) / SCF_MOL


def breathed_scf(from_fsw: float, to_fsw: float, minutes: float) -> float:
    kind = LegKind.BOTTOM if from_fsw == to_fsw else LegKind.ASCENT
    leg = Leg(kind, m_from_feet(from_fsw), m_from_feet(to_fsw), 0.0, minutes, AIR)
    return breathed_in_leg_mol(leg, ACFM, FSW) / SCF_MOL


def at_ata(ata: float) -> float:
    return breathed_amount_mol(ACFM, 1.0, ata * ATM_BAR, FREE_GAS_K) / SCF_MOL


LEAST_PSI = psi_from_bar(EMERGENCY.ambient_bar(m_from_feet(300.0)) - ATM_BAR) + 185.0
USED = breathed_scf(190.0, 190.0, 3.0) + breathed_scf(190.0, 0.0, 7.0)
ROUNDED = "printed to two decimals"
EXAMPLES = [
    # item, place, printed, ours, tolerance, unit, reason
    ("least pressure at 300 fsw, 185 psi over bottom", "15-8", 318.5, LEAST_PSI, 1e-6, "psi",
     "exact, with the manual's 0.445 psi to the foot"),
    ("emergency gas at 2,681 psi, 14.7 added", "15-8", 73.2, ideal_scf(2681.0 + 14.7), 0.05,
     "scf", "printed to one decimal"),
    ("demand of 1.4 acfm at 10.09 ata", "15-8", 14.13, at_ata(10.09), 0.005, "scfm", ROUNDED),
    ("duration of the emergency gas", "15-8", 5.18,
     breathing_duration_min(ideal_scf(2681.0 + 14.7) * SCF_MOL, ACFM, 10.09 * ATM_BAR, FREE_GAS_K),
     0.005, "min", ROUNDED),
    ("3 min at 190 fsw, 1.4 acfm", "p. 8-3", 28.38, breathed_scf(190.0, 190.0, 3.0), 0.005, "scf",
     f"{ROUNDED}; the 3 min are inferred from the result"),
    ("190 fsw to the surface in 7 min, at the mean depth", "p. 8-3", 38.01,
     breathed_scf(190.0, 0.0, 7.0), 0.005, "scf", f"{ROUNDED}; the manual rounds 6:20 up to 7 min"),
    ("pressure for both, 135 psi over bottom, nothing added", "p. 8-3", 2580.95,
     USED / ideal_scf(1.0) + 135.0, 0.2, "psi", "the manual adds figures rounded to two decimals"),
    ("1.4 acfm at 132 fsw", "12, problem 1", 7.0, breathed_scf(132.0, 132.0, 1.0), 1e-9, "acfm",
     "exact, at 33 fsw to the atmosphere"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("item", "place", "printed", "ours", "tolerance", "unit", "reason"),
    EXAMPLES,
    ids=[row[0] for row in EXAMPLES],
)
def test_navy_examples(outside, item, place, printed, ours, tolerance, unit, reason):
    outside.check(
        topic=TOPIC,
        item=item,
        source=f"{NAVY}, {place}",
        how="read",
        published=printed,
        ours=ours,
        tolerance=tolerance,
        unit=unit,
        reason=reason,
    )


def test_the_scuba_formula_adds_nothing(outside):
    """The duration formula counts gauge pressure only: 72.8 scf from the same cylinder."""
    outside.check(
        topic=TOPIC,
        item="gas at 2,681 psi, nothing added",
        source=f"{NAVY}, p. 7-14: (Pc - Pm)/14.7 times floodable volume",
        how="derived",
        published=72.8,
        ours=ideal_scf(2681.0),
        tolerance=0.05,
        unit="scf",
        reason="to one decimal",
    )
