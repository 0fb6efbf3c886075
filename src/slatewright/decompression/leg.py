"""A finished leg of a dive: what solver, oxygen, second check, chart and paper all speak of."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slatewright.physics.mixture import Mixture


class LegKind(StrEnum):
    """What a diver does during a leg."""

    DESCENT = "descent"
    BOTTOM = "bottom"
    ASCENT = "ascent"
    STOP = "stop"
    SURFACE = "surface"


@dataclass(frozen=True, slots=True)
class Leg:
    """A stretch of the dive at a constant rate of depth on one gas.

    Parameters
    ----------
    kind
        What the diver does.
    from_m, to_m
        Depth at its start and end [m].
    start_min
        Run time at its start [min].
    minutes
        Its length [min].
    gas
        What is breathed (on a closed circuit: the diluent).
    setpoint_bar
        The ppO2 that a closed circuit keeps [bar]; None on open circuit.
    switching
        True for the minutes in which a gas is being changed; ``gas`` is then the gas being left.
    pause
        True for a break from oxygen to a leaner gas.
    """

    kind: LegKind
    from_m: float
    to_m: float
    start_min: float
    minutes: float
    gas: Mixture
    setpoint_bar: float | None = None
    switching: bool = False
    pause: bool = False

    @property
    def end_min(self) -> float:
        """Run time at its end [min]."""
        return self.start_min + self.minutes
