"""What the grid assumes about failures, and what an emergency allows.

House rules hold in every cell first. Where they leave no way home, these allowances are tried, and
what is taken of them is named in the verdict: it is a compromise, never 'gets home'.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from slatewright.errors import InputError

if TYPE_CHECKING:
    from slatewright.decompression.settings import AscentSettings


@dataclass(frozen=True, slots=True)
class WayHomeRules:
    """How bad failures are, and how far an emergency may go.

    Parameters
    ----------
    delays_min
        Minutes lost at depth, one failure each [min].
    deeper_levels
        Levels deeper than planned, one failure each.
    slower_share
        The rate of a slow ascent, as a share of the planned rates, 0 to 1 [-].
    emergency_ppo2_bar
        The highest ppO2 breathed where nothing else leads home (1.8 atm is allowed for 60 min in
        exceptional exposures [NOAA1991]) [bar].
    emergency_floor_bar
        The lowest ppO2 breathed where nothing else leads home (0.16 at the least: common practice,
        no published source) [bar].
    gradient_steps
        In how many steps gradient factors are raised to the bare line of the model, 100/100, where
        gas ends before the stops do.

    Raises
    ------
    InputError
        If a figure is out of its range.
    """

    delays_min: tuple[float, ...] = (3.0, 5.0)
    deeper_levels: tuple[int, ...] = (1, 2)
    slower_share: float = 2.0 / 3.0
    emergency_ppo2_bar: float = 1.8
    emergency_floor_bar: float = 0.16
    gradient_steps: int = 8

    def __post_init__(self) -> None:
        if not all(0.0 < delay <= 60.0 for delay in self.delays_min):
            raise InputError("delays are out of range", where="delays_min", right="3 and 5 min")
        if not all(1 <= levels <= 10 for levels in self.deeper_levels):
            raise InputError("levels are out of range", where="deeper_levels", right="1 and 2")
        if not 0.1 <= self.slower_share < 1.0:
            raise InputError(
                f"a slow ascent at {self.slower_share:g} of the planned rate is none",
                where="slower_share",
                right="0.1 to less than 1, such as two thirds",
            )
        if not 1.6 <= self.emergency_ppo2_bar <= 2.0:
            raise InputError(
                f"a ppO2 of {self.emergency_ppo2_bar:g} bar is no allowance for an emergency",
                where="emergency_ppo2_bar",
                right="1.6 to 2.0 bar",
            )
        if not 0.16 <= self.emergency_floor_bar <= 0.21:
            raise InputError(
                f"a floor of {self.emergency_floor_bar:g} bar is none",
                where="emergency_floor_bar",
                right="0.16 to 0.21 bar",
            )
        if not 1 <= self.gradient_steps <= 64:
            raise InputError("gradient steps are out of range", where="gradient_steps", right="8")


def slow_settings(settings: AscentSettings, share: float) -> AscentSettings:
    """Return settings with slower ascents.

    Parameters
    ----------
    settings
        The planned ones.
    share
        The rates, as a share of the planned ones [-].
    """
    return replace(
        settings,
        to_first_stop_m_per_min=settings.to_first_stop_m_per_min * share,
        between_stops_m_per_min=settings.between_stops_m_per_min * share,
        to_surface_m_per_min=settings.to_surface_m_per_min * share,
    )
