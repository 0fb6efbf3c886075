"""Metric and imperial as equals."""

from __future__ import annotations

from enum import StrEnum
from typing import Final

METRES_PER_FOOT: Final = 0.3048
"""Exact by definition [NIST811]."""


class UnitSystem(StrEnum):
    """The units in which a person reads and writes."""

    METRIC = "metric"
    IMPERIAL = "imperial"
