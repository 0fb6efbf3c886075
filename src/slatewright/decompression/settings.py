"""What a person may choose about the model and the ascent."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slatewright.errors import InputError

LONGEST_ASCENT_MIN = 1440.0
"""A dive whose obligation does not end within a day is refused [min]."""


class WholeMinutes(StrEnum):
    """Which minutes of a stop are whole: those of the run time, or those since arrival."""

    RUN_TIME = "run time"
    ARRIVAL = "arrival"


@dataclass(frozen=True, slots=True)
class OxygenBreaks:
    """Breaks from oxygen to a leaner gas.

    Parameters
    ----------
    on_min
        Minutes on oxygen before a break, whole, at least 1 [min].
    off_min
        Minutes of the break, whole, at least 1 [min].
    counted
        True if the break's minutes earn decompression, as the model says; False if they only
        cost: no tension falls during them.
    """

    on_min: int
    off_min: int
    counted: bool = True


@dataclass(frozen=True, slots=True)
class AscentSettings:
    """The model and the way up.

    Parameters
    ----------
    model
        ``ZH-L16C`` (default), ``ZH-L16B`` or ``ZH-L16A``.
    gradient_low, gradient_high
        Gradient factors, 0 < low <= high <= 1 [-].
    stop_step_m
        Distance between levels [m].
    last_stop_m
        The shallowest level, a multiple of the step [m].
    to_first_stop_m_per_min, between_stops_m_per_min, to_surface_m_per_min
        Ascent rates by zone: up to the first stop, between stops, from the last stop up [m/min].
    switch_min
        Minutes that a change of gas takes, during which the gas being left is breathed [min].
    whole_minutes
        Which minutes of a stop are whole.
    breaks
        Breaks from oxygen, or None.

    Raises
    ------
    InputError
        If a value is out of its range.
    """

    model: str = "ZH-L16C"
    gradient_low: float = 0.3
    gradient_high: float = 0.8
    stop_step_m: float = 3.0
    last_stop_m: float = 6.0
    to_first_stop_m_per_min: float = 9.0
    between_stops_m_per_min: float = 9.0
    to_surface_m_per_min: float = 9.0
    switch_min: float = 1.0
    whole_minutes: WholeMinutes = WholeMinutes.RUN_TIME
    breaks: OxygenBreaks | None = None

    def __post_init__(self) -> None:
        if not 0.0 < self.gradient_low <= self.gradient_high <= 1.0:
            raise InputError(
                f"gradient factors {self.gradient_low * 100:g}/{self.gradient_high * 100:g} are "
                "out of range",
                right="low above 0, high at most 100, and low not above high: 30/80",
            )
        if not self.stop_step_m > 0.0:
            raise InputError("the stop step must be above zero", right="3 m or 10 ft")
        levels = self.last_stop_m / self.stop_step_m
        if levels < 1.0 - 1e-9 or abs(levels - round(levels)) > 1e-6:
            raise InputError(
                f"a last stop at {self.last_stop_m:g} m is no multiple of the step of "
                f"{self.stop_step_m:g} m",
                right="a multiple of the step, such as 6 m with steps of 3 m",
            )
        rates = (
            self.to_first_stop_m_per_min,
            self.between_stops_m_per_min,
            self.to_surface_m_per_min,
        )
        if not all(0.0 < rate <= 60.0 for rate in rates):
            raise InputError("ascent rates lie above 0 and up to 60 m/min", right="9 m/min")
        if not 0.0 <= self.switch_min <= 10.0:
            raise InputError("a change of gas takes 0 to 10 minutes", right="1")

    @property
    def last_level(self) -> int:
        """The last stop, counted in steps from the surface."""
        return round(self.last_stop_m / self.stop_step_m)
