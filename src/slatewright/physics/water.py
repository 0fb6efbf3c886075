"""Pressure under water: fresh, EN 13319, sea, TEOS-10, at altitude."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class WaterKind(StrEnum):
    """The convention by which depth becomes pressure."""

    FRESH = "fresh"
    EN13319 = "en13319"
    SEA = "sea"
    TEOS10 = "teos10"


@dataclass(frozen=True, slots=True)
class Water:
    """Surface pressure and weight of a water column.

    Parameters
    ----------
    kind
        The convention.
    surface_bar
        Ambient pressure at the surface [bar].
    bar_per_m
        Pressure gained per metre of depth [bar/m].
    """

    kind: WaterKind = WaterKind.EN13319
    surface_bar: float = 1.01325
    bar_per_m: float = 0.1

    def ambient_bar(self, depth_m: float) -> float:
        """Return the ambient pressure at a depth.

        Parameters
        ----------
        depth_m
            Depth [m].
        """
        return self.surface_bar + depth_m * self.bar_per_m

    def depth_m(self, ambient_bar: float) -> float:
        """Return the depth at an ambient pressure.

        Parameters
        ----------
        ambient_bar
            Ambient pressure [bar].
        """
        return (ambient_bar - self.surface_bar) / self.bar_per_m
