"""What is breathed along a dive: ppO2 and density at both ends of every leg."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.decompression.leg import Leg
from slatewright.decompression.oxygen import ppo2_bar
from slatewright.dive.finished import Finished
from slatewright.dive.loop_gas import breathed_mix
from slatewright.dive.schedule import highest_ppo2_bar
from slatewright.physics.density import gas_density


@dataclass(frozen=True, slots=True)
class Breathed:
    """What is breathed in a leg; between its ends both figures change evenly, as depth does.

    On a closed circuit they may have a corner in between.

    Parameters
    ----------
    leg
        The leg.
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
    """
    return tuple(_breathed(dive, leg) for leg in dive.legs)


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
