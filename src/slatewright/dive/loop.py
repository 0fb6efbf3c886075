"""The closed circuit of a plan: its setpoints by depth, and what a person states of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from slatewright.physics.mixture import Mixture

_NEAR_M: Final = 1e-6
WORK: Final = ("resting", "swimming", "working")
"""From light to hard."""


@dataclass(frozen=True, slots=True)
class Setpoint:
    """What a loop keeps from a depth on, in the direction of travel.

    Parameters
    ----------
    bar
        The ppO2 [bar].
    from_m
        The depth; None from the beginning of the way [m].
    """

    bar: float
    from_m: float | None = None


@dataclass(frozen=True, slots=True)
class Metabolism:
    """The oxygen that a diver uses up, by phase, counted dry at 0 degC and 1.01325 bar.

    Parameters
    ----------
    resting_l_per_min, swimming_l_per_min, working_l_per_min
        At stops; on the way down, at depth and on the way up; at work at depth [L/min].
    """

    resting_l_per_min: float
    swimming_l_per_min: float
    working_l_per_min: float


@dataclass(frozen=True, slots=True)
class ScrubberRow:
    """How long the absorbent lasts, as a person states it.

    Parameters
    ----------
    work
        One of `WORK`; it holds for lighter work too.
    lasts_min
        Minutes [min].
    water_temperature_c
        The coldest water for which it is stated; None for any [degC].
    """

    work: str
    lasts_min: float
    water_temperature_c: float | None = None


@dataclass(frozen=True, slots=True)
class Loop:
    """A closed circuit.

    Parameters
    ----------
    diluent
        The diluent.
    down
        Setpoints on the way to the first stay, by falling depth.
    bottom_bar
        Setpoint from the first stay to the end of the last [bar].
    up
        Setpoints on the way up, from the first level on, by rising depth.
    volume_l
        Gas in loop and lungs, at ambient pressure; None if nothing is said of it [L].
    metabolism
        Oxygen used up; None if nothing is said of it.
    scrubber
        How long the absorbent lasts; empty if nothing is said of it.
    scrubber_used_min
        Minutes already breathed on this absorbent [min].
    scrubber_reserve_min
        Minutes of it that are kept back [min].
    """

    diluent: Mixture
    down: tuple[Setpoint, ...]
    bottom_bar: float
    up: tuple[Setpoint, ...]
    volume_l: float | None = None
    metabolism: Metabolism | None = None
    scrubber: tuple[ScrubberRow, ...] = ()
    scrubber_used_min: float = 0.0
    scrubber_reserve_min: float = 0.0

    @property
    def setpoints_bar(self) -> tuple[float, ...]:
        """Every setpoint once, in the order in which they occur [bar]."""
        every = (*(s.bar for s in self.down), self.bottom_bar, *(s.bar for s in self.up))
        return tuple(dict.fromkeys(every))

    def no_higher(self, most_bar: float) -> Loop:
        """Return the same loop with no setpoint above a ppO2.

        Parameters
        ----------
        most_bar
            The highest setpoint [bar].
        """

        def lowered(entries: tuple[Setpoint, ...]) -> tuple[Setpoint, ...]:
            return tuple(replace(entry, bar=min(entry.bar, most_bar)) for entry in entries)

        return replace(
            self,
            down=lowered(self.down),
            bottom_bar=min(self.bottom_bar, most_bar),
            up=lowered(self.up),
        )

    def down_bar(self, depth_m: float) -> float:
        """Return the setpoint on the way down from a depth on [bar].

        Parameters
        ----------
        depth_m
            Depth [m].
        """
        reached = [s.bar for s in self.down if s.from_m is None or s.from_m <= depth_m + _NEAR_M]
        return reached[-1] if reached else self.bottom_bar

    def up_bar(self, depth_m: float) -> float:
        """Return the setpoint on the way up from a depth on [bar].

        Parameters
        ----------
        depth_m
            Depth of a level [m].
        """
        reached = [s.bar for s in self.up if s.from_m is None or s.from_m >= depth_m - _NEAR_M]
        return reached[-1] if reached else self.bottom_bar

    def scrubber_min(self, work: str, water_temperature_c: float | None) -> float | None:
        """Return how long the absorbent lasts at some work in some water, as it is stated.

        Nothing is worked out between rows. A row counts for its own work and lighter, and for water
        of its temperature or warmer; of those that count the longest holds, as each of them is a
        statement that it lasts so long at least.

        Parameters
        ----------
        work
            One of `WORK`.
        water_temperature_c
            Temperature of the water; None if unknown: then only rows for any water count [degC].

        Returns
        -------
        float or None
            Minutes; None if no row says anything of it [min].
        """
        water_c = -math.inf if water_temperature_c is None else water_temperature_c
        stated = [
            row.lasts_min
            for row in self.scrubber
            if WORK.index(row.work) >= WORK.index(work)
            and (row.water_temperature_c is None or row.water_temperature_c <= water_c)
        ]
        return max(stated, default=None)
