"""Constants of nature and of convention, each typed once; the others follow from them.

Masses are the single-valued standard atomic weights of 2005 [IUPAC2005], which the equation of
state [GERG2008] uses too. Since 2009 the tables print intervals for oxygen, nitrogen and argon,
because sources on Earth differ; the values here lie inside them.
"""

from __future__ import annotations

from typing import Final

STANDARD_GRAVITY_M_PER_S2: Final = 9.80665
"""Exact by convention [SI2019]."""

PASCAL_PER_BAR: Final = 1e5
"""Exact by definition [NIST811]."""

STANDARD_ATMOSPHERE_BAR: Final = 1.01325
"""Exact by convention [NIST811]; also the sea-level pressure of [ISO2533]."""

BOLTZMANN_J_PER_K: Final = 1.380649e-23
"""Exact since 2019 [SI2019]."""

AVOGADRO_PER_MOL: Final = 6.02214076e23
"""Exact since 2019 [SI2019]."""

GAS_CONSTANT_J_PER_MOL_K: Final = BOLTZMANN_J_PER_K * AVOGADRO_PER_MOL
"""Molar gas constant, 8.314462618... [CODATA2018]."""

ZERO_CELSIUS_K: Final = 273.15
"""Exact by definition [NIST811]."""

_OXYGEN_ATOM_G_PER_MOL: Final = 15.9994
_NITROGEN_ATOM_G_PER_MOL: Final = 14.0067

HE_G_PER_MOL: Final = 4.002602
"""Molar mass of helium [IUPAC2005]."""

O2_G_PER_MOL: Final = 2.0 * _OXYGEN_ATOM_G_PER_MOL
"""Molar mass of oxygen, from its atom [IUPAC2005]."""

N2_G_PER_MOL: Final = 2.0 * _NITROGEN_ATOM_G_PER_MOL
"""Molar mass of pure nitrogen, from its atom [IUPAC2005]."""

AR_G_PER_MOL: Final = 39.948
"""Molar mass of argon [IUPAC2005]."""

DRY_AIR_N2: Final = 0.78084
"""Mole fraction of nitrogen in clean dry air [ISO2533]."""

DRY_AIR_O2: Final = 0.209476
"""Mole fraction of oxygen in clean dry air [ISO2533]."""

DRY_AIR_AR: Final = 0.00934
"""Mole fraction of argon in clean dry air [ISO2533]."""

ATMOSPHERIC_N2_G_PER_MOL: Final = (DRY_AIR_N2 * N2_G_PER_MOL + DRY_AIR_AR * AR_G_PER_MOL) / (
    DRY_AIR_N2 + DRY_AIR_AR
)
"""Molar mass of nitrogen with the argon that comes with it from air, 28.154.

The trade counts argon as nitrogen. Where mass matters, what is neither oxygen nor helium is taken
to be this: air then weighs what it does, 0.4 % more than with pure nitrogen, and a mix made from
bottled nitrogen errs on the dense side.
"""

AIR_G_PER_MOL: Final = 28.964420
"""Molar mass of clean dry air at sea level [ISO2533]."""
