"""Closed circuit: the gas in the loop by hand-worked examples, oxygen by the published limits."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from slatewright.decompression.along import tensions_at
from slatewright.decompression.leg import Leg, LegKind
from slatewright.decompression.oxygen import dose_of_legs, ppo2_bar, single_limit_min
from slatewright.decompression.oxygen_formulas import ppo2_atm
from slatewright.decompression.settings import AscentSettings
from slatewright.decompression.tissues import air_saturated
from slatewright.dive.loop_gas import breathed_mix
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR as ATM_BAR
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.units import m_from_feet
from slatewright.physics.water import Water, WaterKind
from slatewright.supply.loop_formulas import metabolic_oxygen_mol

AUTHORITIES = Path(__file__).parents[2] / "authorities"
TOPIC = "Closed circuit"
NAVY = "US Navy Diving Manual, Revision 4 with Change A (2001)"
NOAA = "NOAA Diving Manual, 3rd ed. (1991)"
FSW = Water(WaterKind.SEA, ATM_BAR, ATM_BAR / m_from_feet(33.0))  # 33 fsw to the atmosphere
DALTON = "Dalton's law, worked by hand"


def raw(name: str) -> list[dict[str, str]]:
    lines = (AUTHORITIES / f"{name}.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def on_loop(fsw: float, setpoint_atm: float, diluent: Mixture, minutes: float = 1.0) -> Leg:
    depth_m = m_from_feet(fsw)
    return Leg(LegKind.STOP, depth_m, depth_m, 0.0, minutes, diluent, setpoint_atm * ATM_BAR)


def atm_of(gas: str, fsw: float, setpoint_atm: float, diluent: Mixture) -> float:
    """Return the partial pressure of a gas in the loop [atm]."""
    mix = breathed_mix(on_loop(fsw, setpoint_atm, diluent), m_from_feet(fsw), FSW)
    share = {"o2": mix.o2, "he": mix.he, "n2": mix.n2}[gas]
    return share * (fsw + 33.0) / 33.0


def share_of_oxygen(fsw: float, setpoint_atm: float) -> float:
    diluent = Mixture(0.02, 0.98)
    return 100.0 * breathed_mix(on_loop(fsw, setpoint_atm, diluent), m_from_feet(fsw), FSW).o2


EXAMPLES = [
    # item, source, how, published, ours, tolerance, unit, reason
    ("oxygen in a loop that keeps 0.9 ata at 660 fsw", f"{NAVY}, 12-5 problem 3", "derived", 4.29,
     share_of_oxygen(660.0, 0.9), 0.005, "%", "question read, answer derived; two decimals"),
    ("oxygen in a loop that keeps 1.2 ata at 231 fsw", f"{NAVY}, 12-5 problem 1", "derived", 15.0,
     share_of_oxygen(231.0, 1.2), 1e-6, "%", "question read, answer derived; 8 ata exactly"),
    ("ppO2 of a flush with 14 % oxygen at 264 fsw", f"{NAVY}, 12-5 problem 2", "derived", 1.26,
     atm_of("o2", 264.0, 0.7, Mixture(0.14, 0.86)), 1e-6, "atm",
     "question read, answer derived; the setpoint is below what the diluent brings"),
    ("nitrogen at 63 fsw and 0.931 atm, as on 32/68", f"{NAVY}, 10-2", "read", 2.0,
     atm_of("n2", 63.0, 0.32 * 96.0 / 33.0, AIR), 0.03, "atm",
     "printed as 2.0; exactly 1.978, by the manual's own fractions"),
    # 130 fsw are 4.9394 atm; of it 1.3 are oxygen, the rest is nitrogen
    ("nitrogen at 130 fsw and 1.3 atm, diluent air", DALTON, "derived", 163.0 / 33.0 - 1.3,
     atm_of("n2", 130.0, 1.3, AIR), 1e-9, "atm", "exact"),
    # 297 fsw are 10 atm; 8.7 of it are not oxygen, 70 of 90 parts of that helium
    ("helium at 297 fsw and 1.3 atm, diluent 10/70", DALTON, "derived", 8.7 * 7.0 / 9.0,
     atm_of("he", 297.0, 1.3, Mixture(0.10, 0.70)), 1e-9, "atm", "exact"),
    # at the surface there is 1 atm in all
    ("oxygen at the surface and 1.3 atm", DALTON, "derived", 1.0,
     atm_of("o2", 0.0, 1.3, Mixture(0.10, 0.70)), 1e-9, "atm", "exact"),
    # the mole of an ideal gas at 0 degC and 1 atm
    ("22.414 L of oxygen used up", "CODATA, molar volume at 0 degC and 1 atm", "from memory", 1.0,
     metabolic_oxygen_mol(22.413_969_54, 1.0), 1e-8, "mol", "dry gas at 0 degC and 1 atm"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("item", "source", "how", "published", "ours", "tolerance", "unit", "reason"),
    EXAMPLES,
    ids=[row[0] for row in EXAMPLES],
)
def test_the_gas_in_a_loop(outside, item, source, how, published, ours, tolerance, unit, reason):
    outside.check(topic=TOPIC, item=item, source=source, how=how, published=published, ours=ours,
                  tolerance=tolerance, unit=unit, reason=reason)  # fmt: skip


INSPIRED = [
    # By hand: dry pressure less setpoint is inert. 40 m of 0.1 bar/m: 5.01325 - 0.0627 = 4.95055;
    # less 1.3: 3.65055; of air as diluent all of it nitrogen
    ("nitrogen, 40 m, 1.3 bar, diluent air", 40.0, 1.3, AIR, 0, 3.65055),
    # 90 m: 10.01325 - 0.0627 - 1.2 = 8.75055, of it 20 / 90 nitrogen, 70 / 90 helium
    ("nitrogen, 90 m, 1.2 bar, diluent 10/70", 90.0, 1.2, Mixture(0.10, 0.70), 0, 1.94457),
    ("helium, 90 m, 1.2 bar, diluent 10/70", 90.0, 1.2, Mixture(0.10, 0.70), 16, 6.80598),
    # 6 m at 1.6 bar: 1.61325 - 0.0627 is less than the setpoint: nothing inert is left
    ("nitrogen, 6 m, 1.6 bar, diluent air", 6.0, 1.6, AIR, 0, 0.0),
]


@pytest.mark.parametrize(
    ("item", "depth_m", "setpoint_bar", "diluent", "place", "by_hand"),
    INSPIRED,
    ids=[row[0] for row in INSPIRED],
)
def test_a_fast_compartment_comes_to_the_inspired_pressure(
    outside, item, depth_m, setpoint_bar, diluent, place, by_hand
):
    stay = Leg(LegKind.STOP, depth_m, depth_m, 0.0, 400.0, diluent, setpoint_bar)
    (found,) = tensions_at([stay], [400.0], AscentSettings(), Water(), air_saturated(ATM_BAR))
    outside.check(
        topic=TOPIC,
        item=f"inspired {item}",
        source="inspired gas: ambient less 0.0627 bar of water vapour less oxygen, by hand",
        how="derived",
        published=by_hand,
        ours=float(found[place]),
        tolerance=1e-5,
        unit="bar",
        reason="the tension of the fastest compartment after 80 half-times; five decimals by hand",
    )


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(row, id=row["pO2_atm"])
        for row in raw("noaa_oxygen_limits")
        if float(row["pO2_atm"]) >= 1.2
    ],
)
def test_a_stay_at_setpoint_as_long_as_the_published_limit_is_a_whole_share(outside, row):
    setpoint_atm, minutes = float(row["pO2_atm"]), float(row["single_min"])
    stay = on_loop(150.0, setpoint_atm, Mixture(0.15, 0.55), minutes)
    outside.check(
        topic=TOPIC,
        item=f"{minutes:g} min at a setpoint of {setpoint_atm:g} atm",
        source=NOAA,
        how="read",
        published=100.0,
        ours=dose_of_legs([stay], FSW, table="interpolate").cns_pct,
        tolerance=1e-6,
        unit="%",
        reason="the share of a row is its minutes by its limit",
    )


def test_a_revision_of_the_limit_at_1_3_atmospheres(outside):
    outside.check(
        topic=TOPIC,
        item="limit at a setpoint of 1.3 atm, working",
        source="Hoyt et al., Diving and Hyperbaric Medicine (2025), summary",
        how="read",
        published=240.0,
        ours=single_limit_min(1.3, table="interpolate"),
        tolerance=1.0,
        unit="min",
        reason="the limits are those of 1991, which are shorter; a longer one is not adopted",
        known_difference=True,
    )


SINGLE = [row for row in raw("usn_closed_circuit_o2_limits") if row["table"] == "single_depth"]


@pytest.mark.parametrize("row", SINGLE, ids=[row["depth_fsw"] for row in SINGLE])
def test_oxygen_alone_in_the_loop(outside, row):
    fsw, minutes = float(row["depth_fsw"]), float(row["minutes"])
    leg = on_loop(fsw, 1.6, OXYGEN)
    atm = ppo2_atm(ppo2_bar(leg, m_from_feet(fsw), FSW))
    outside.check(
        topic=TOPIC,
        item=f"ppO2 of a loop of oxygen at {fsw:g} fsw",
        source=DALTON,
        how="derived",
        published=(fsw + 33.0) / 33.0,
        ours=atm,
        tolerance=1e-9,
        unit="atm",
        reason="the diluent is richer than any setpoint",
    )
    dose = dose_of_legs([on_loop(fsw, 1.6, OXYGEN)], FSW, table="interpolate")
    assert dose.alarm  # whatever its minutes, it is far above 1.6 bar
    limit_min = single_limit_min(atm, table="interpolate")
    outside.check(
        topic=TOPIC,
        item=f"limit of one exposure on oxygen at {fsw:g} fsw",
        source=f"{NAVY}, Table 18-4",
        how="read",
        published=minutes,
        ours=limit_min,
        tolerance=0.5,
        unit="min",
        reason="ours are the exceptional exposures of [NOAA1991], 45 min at most; the Navy's are "
        "for trained oxygen divers. No setpoint above 1.6 bar is accepted, and an alarm is raised",
        known_difference=True,
    )


def test_no_limit_of_ours_is_longer_where_a_setpoint_can_be():
    """Up to 1.6 atm, where setpoints end, ours stay below the Navy's first row, 25 fsw."""
    assert single_limit_min(1.6, table="interpolate") < float(SINGLE[0]["minutes"])
