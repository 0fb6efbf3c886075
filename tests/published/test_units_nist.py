"""[NIST811], [CODATA2018], [IUPAC2005]: factors and constants against what is printed."""

from __future__ import annotations

import pytest
from scipy import constants as scipy_constants

from slatewright.physics import constants, units

TOPIC = "Units and constants"
NIST = "NIST Special Publication 811 (2008), appendix B"
CODATA = "CODATA, as tabled in SciPy"
IUPAC = "IUPAC, Atomic weights of the elements 2021, intervals of the standard atomic weight"


@pytest.mark.parametrize(
    ("item", "published", "ours", "tolerance"),
    [
        ("pound-force per square inch", 6.894757e3, units.BAR_PER_PSI * 1e5, 5e-4),
        ("foot", 3.048e-1, units.m_from_feet(1.0), 0.0),
        ("cubic foot", 2.831685e-2, units.l_from_cubic_feet(1.0) / 1000.0, 5e-9),
        ("standard atmosphere", 1.01325e5, constants.STANDARD_ATMOSPHERE_BAR * 1e5, 0.0),
        ("standard gravity", 9.80665, constants.STANDARD_GRAVITY_M_PER_S2, 0.0),
    ],
)
def test_factors(outside, item, published, ours, tolerance):
    outside.check(
        topic=TOPIC,
        item=f"{item}, in SI units",
        source=NIST,
        how="from memory",
        published=published,
        ours=ours,
        tolerance=tolerance,
        reason="exact, or as many figures as are printed",
    )


@pytest.mark.parametrize(
    ("item", "published", "ours", "tolerance"),
    [
        ("gas constant", scipy_constants.R, constants.GAS_CONSTANT_J_PER_MOL_K, 1e-9),
        ("pounds per square inch", scipy_constants.psi, units.BAR_PER_PSI * 1e5, 1e-9),
        ("atmosphere", scipy_constants.atm, constants.STANDARD_ATMOSPHERE_BAR * 1e5, 1e-9),
        ("zero Celsius", scipy_constants.zero_Celsius, constants.ZERO_CELSIUS_K, 0.0),
    ],
)
def test_constants(outside, item, published, ours, tolerance):
    outside.check(
        topic=TOPIC,
        item=item,
        source=CODATA,
        how="computed",
        published=published,
        ours=ours,
        tolerance=tolerance,
        reason="both follow from the same exact definitions",
    )


@pytest.mark.parametrize(
    ("item", "low", "high", "ours"),
    [
        ("oxygen", 15.99903, 15.99977, constants.O2_G_PER_MOL / 2.0),
        ("nitrogen", 14.00643, 14.00728, constants.N2_G_PER_MOL / 2.0),
        ("argon", 39.792, 39.963, constants.AR_G_PER_MOL),
    ],
)
def test_atomic_weights_lie_in_todays_intervals(outside, item, low, high, ours):
    outside.check(
        topic=TOPIC,
        item=f"atomic weight of {item}, middle of the interval",
        source=IUPAC,
        how="from memory",
        published=(low + high) / 2.0,
        ours=ours,
        tolerance=(high - low) / 2.0,
        reason="half the width of the interval",
    )
