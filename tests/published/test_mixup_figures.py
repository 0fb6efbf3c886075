"""Two figures that the trade gives for fifty per cent breathed too deep."""

from __future__ import annotations

import pytest

from slatewright.decompression.settings import AscentSettings
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import Water
from slatewright.supply.mixup_breath import breathe_wrongly
from slatewright.supply.mixup_moments import Handling, moments_of

TEN_METRES_A_BAR = Water(surface_bar=1.0, bar_per_m=0.1)


@pytest.mark.parametrize(("depth_m", "printed_bar"), [(30.0, 2.0), (60.0, 3.5)])
def test_fifty_per_cent_in_place_of_the_bottom_gas(outside, depth_m, printed_bar):
    plan = Plan(
        "a dive of our own invention",
        UnitSystem.METRIC,
        TEN_METRES_A_BAR,
        AscentSettings(),
        (
            CarriedGas(Mixture.parse("18/45"), Use.BOTTOM, 1.4),
            CarriedGas(Mixture.parse("EAN50"), Use.DECOMPRESSION, 1.6),
        ),
        (Level(depth_m, 20.0),),
    )
    dive = schedule(plan)
    start = next(m for m in moments_of(dive, dropped=False) if m.handling is Handling.MOUTH)
    breath = breathe_wrongly(dive, start, Mixture.parse("EAN50"))
    assert breath.highest_at_m == depth_m
    outside.check(
        topic="Mix-ups",
        item=f"ppO2 of 50 % oxygen at {depth_m:g} m",
        source="practice: 10 m a bar over 1 bar at the surface",
        how="common practice, no published source",
        published=printed_bar,
        ours=breath.highest_ppo2_bar,
        tolerance=1e-9,
        unit="bar",
        reason="exact by that convention",
    )
