"""The signs that the formulas of this folder share: one meaning, one sign, one unit."""

from __future__ import annotations

from typing import Final

from slatewright.sources import Symbol

DEPTH: Final = Symbol("d", "m", "depth", 0.0, 350.0)
AMBIENT: Final = Symbol("p", "bar", "ambient pressure", 0.0)
SURFACE: Final = Symbol("p_s", "bar", "ambient pressure at the surface", 0.5, 1.1)
WEIGHT: Final = Symbol("w", "bar/m", "pressure gained per metre of depth", 0.09, 0.11)
O2: Final = Symbol("f_O2", "-", "mole fraction of oxygen", 0.0, 1.0)
HE: Final = Symbol("f_He", "-", "mole fraction of helium", 0.0, 1.0)
TEMPERATURE_K: Final = Symbol("T", "K", "temperature", 250.0, 350.0)
COMPRESSIBILITY: Final = Symbol("Z", "-", "compressibility, 1 for an ideal gas", 0.5, 2.0)
