"""What the sixteen compartments hold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

COMPARTMENTS: Final = 16
WATER_VAPOUR_BAR: Final = 0.0627
"""Alveolar water vapour pressure as the model takes it [bar]."""
AIR_N2: Final = 0.7902
"""Nitrogen and argon in air, for the air-saturated start [-]."""


@dataclass(frozen=True, slots=True)
class Tissues:
    """Inert gas tensions.

    Parameters
    ----------
    n2_bar, he_bar
        Shape (16,): tension of nitrogen and of helium, compartment 1b first [bar].
    """

    n2_bar: tuple[float, ...]
    he_bar: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.n2_bar) != COMPARTMENTS or len(self.he_bar) != COMPARTMENTS:
            raise ValueError(f"tissues have {COMPARTMENTS} compartments")


def air_saturated(surface_bar: float) -> Tissues:
    """Return the tensions of a person who has long breathed air at the surface.

    Parameters
    ----------
    surface_bar
        Ambient pressure at the surface [bar].
    """
    n2_bar = (surface_bar - WATER_VAPOUR_BAR) * AIR_N2
    return Tissues((n2_bar,) * COMPARTMENTS, (0.0,) * COMPARTMENTS)
