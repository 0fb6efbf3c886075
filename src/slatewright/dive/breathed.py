"""What is breathed along a dive: ppO2 and density at both ends of every leg."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.dive.finished import Finished
from slatewright.dive.loop_gas import breathed_mix
from slatewright.dive.schedule import highest_ppo2_bar
from slatewright.physics.density import gas_density
from slatewright.physics.water import Water

_NEAR: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Breathed:
    """What is breathed in a leg; between its ends both figures change evenly, as depth does.

    Parameters
    ----------
    leg
        The leg, or on a closed circuit the part of one.
    ppo2_start_bar, ppo2_end_bar
        ppO2 at its ends [bar].
    limit_bar
        The highest ppO2 for the use that the gas has there, tolerance not included [bar].
    density_start_g_per_l, density_end_g_per_l
        Density at its ends, at the temperature of the house rule [g/L].
    """

    leg: Leg
    ppo2_start_bar: float
    ppo2_end_bar: float
    limit_bar: float
    density_start_g_per_l: float
    density_end_g_per_l: float


def breathed_along(dive: Finished) -> tuple[Breathed, ...]:
    """Return what is breathed in each leg of a dive, in order of time.

    Parameters
    ----------
    dive
        The finished dive.

    Returns
    -------
    tuple
        One entry a leg. A leg on a closed circuit in which the loop begins to hold its setpoint, or
        cannot hold it any more, is told in parts.
    """
    water = dive.plan.water
    return tuple(_breathed(dive, part) for leg in dive.legs for part in _even(leg, water))


def _even(leg: Leg, water: Water) -> Iterator[Leg]:
    """Cut a leg on a loop where all pressure is the setpoint, and where the diluent brings it."""
    start_bar, end_bar = water.ambient_bar(leg.from_m), water.ambient_bar(leg.to_m)
    if leg.setpoint_bar is None or abs(end_bar - start_bar) < _NEAR:
        yield leg
        return
    corners = [leg.setpoint_bar, leg.setpoint_bar / max(leg.gas.o2, _NEAR)]
    shares = sorted((corner - start_bar) / (end_bar - start_bar) for corner in corners)
    inside = [share for share in shares if _NEAR < share < 1.0 - _NEAR]
    for low, high in pairwise([0.0, *inside, 1.0]):
        from_m, to_m = (leg.from_m + (leg.to_m - leg.from_m) * share for share in (low, high))
        yield replace(
            leg,
            from_m=from_m,
            to_m=to_m,
            start_min=leg.start_min + leg.minutes * low,
            minutes=leg.minutes * (high - low),
        )


def _breathed(dive: Finished, leg: Leg) -> Breathed:
    plan = dive.plan
    celsius = plan.rules.density_temperature_c

    def density(at_m: float) -> float:
        return gas_density(
            breathed_mix(leg, at_m, plan.water), at_m, plan.water, temperature_c=celsius
        )

    return Breathed(
        leg=leg,
        ppo2_start_bar=ppo2_bar(leg, leg.from_m, plan.water),
        ppo2_end_bar=ppo2_bar(leg, leg.to_m, plan.water),
        limit_bar=highest_ppo2_bar(plan, leg),
        density_start_g_per_l=density(leg.from_m),
        density_end_g_per_l=density(leg.to_m),
    )
