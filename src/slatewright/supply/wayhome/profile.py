"""The dive from which ascents begin: minutes, tensions, gas left, and the line of the plan.

An ascent that begins after the first stop of the plan keeps the plan's gradient line, which runs
from the low factor at that stop to the high one at the surface, and the plan's whole minutes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from slatewright.decompression.along import tensions_at
from slatewright.supply.wayhome.moments import (
    Columns,
    Left,
    Moments,
    deeper_legs,
    first_stop_level,
    left_at,
    moments_of,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from slatewright.decompression.leg import Leg
    from slatewright.decompression.tissues import Tissues
    from slatewright.dive.plan import Plan
    from slatewright.physics.mixture import Mixture
    from slatewright.supply.kit import Team


@dataclass(frozen=True, eq=False)
class Profile:
    """A dive up to each of its minutes.

    Parameters
    ----------
    moments
        The minutes.
    tension_bar
        Shape (n, 32): tensions at each [bar].
    left
        What each diver has left, in the order of the team.
    first_stop
        Shape (n,): level of the first stop where it has been reached, else 0.
    """

    moments: Moments
    tension_bar: NDArray[np.float64]
    left: tuple[Left, ...]
    first_stop: NDArray[np.int64]


def profile_of(
    legs: Sequence[Leg],
    first_stop_m: float | None,
    start: Tissues,
    plan: Plan,
    team: Team,
    mixes: Sequence[Mixture],
    *,
    deeper_m: float = 0.0,
    columns: Columns = Columns.EVERY_MINUTE,
) -> Profile:
    """Follow a dive minute by minute.

    Parameters
    ----------
    legs, first_stop_m
        The finished dive and its first stop [m].
    start
        Tensions at the start.
    plan, team
        The plan, and who dives it with what.
    mixes
        All gases, as they are numbered.
    deeper_m
        By how much the stays are deeper; then only the time up to leaving the last one counts [m].

    columns
        Which minutes are looked at.

    Returns
    -------
    Profile
        Its minutes.

    Raises
    ------
    InputError
        If a diver has no cylinder of a gas that the dive breathes.
    """
    if deeper_m > 0.0:
        legs, first_stop_m = deeper_legs(legs, deeper_m), None
    moments = moments_of(legs, plan, mixes, whole=deeper_m == 0.0, columns=columns)
    return Profile(
        moments,
        tensions_at(legs, moments.minutes, plan.settings, plan.water, start),
        tuple(left_at(moments, legs, diver, team, plan.water, mixes) for diver in team.divers),
        first_stop_level(legs, first_stop_m, moments, plan),
    )
