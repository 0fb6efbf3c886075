"""Plans of our own invention for the tests of dive, and what a cure says turned into a plan."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from slatewright.decompression.settings import AscentSettings
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan import CarriedGas, Level, Plan, Use
from slatewright.dive.schedule import schedule
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, m_from_feet
from slatewright.physics.water import Water, WaterKind, water

FRESH, SEA = water(WaterKind.FRESH), water(WaterKind.SEA)
RULES = HouseRules()


def gas(mix, use, at_m=None, ppo2_max_bar=None):
    """Make a carried gas: ``gas("EAN50", "travel", 15.0)``."""
    use = Use(use)
    if ppo2_max_bar is None:
        ppo2_max_bar = 1.6 if use in {Use.DECOMPRESSION, Use.BAILOUT} else 1.4
    return CarriedGas(Mixture.parse(mix), use, ppo2_max_bar, at_m)


def plan_of(gases, levels, *, ascent=None, imperial=False, **more):
    """Make a plan: gases as `gas` makes them, levels of depth [m] and run time of leaving [min]."""
    given = {"stop_step_m": m_from_feet(10.0), "last_stop_m": m_from_feet(20.0)} if imperial else {}
    return Plan(
        title="invented",
        units=UnitSystem.IMPERIAL if imperial else UnitSystem.METRIC,
        water=more.pop("water", Water()),
        settings=AscentSettings(**(given | (ascent or {}))),
        gases=tuple(gases),
        levels=tuple(Level(*level) for level in levels),
        **more,
    )


def hypoxic_dive(*, travel_at_m=None, **more):
    """Plan 90 m for 20 min on 10/70 with EAN50 as travel and decompression gas, and oxygen."""
    return plan_of(
        [
            gas("10/70", "bottom"),
            gas("EAN50", "travel", travel_at_m),
            gas("EAN50", "decompression", None),
            gas("O2", "decompression", None),
        ],
        [(90.0, 20.0)],
        **more,
    )


def with_mix(plan, old, new, uses=tuple(Use)):
    """Carry a mixture in another's place."""
    swapped = (
        replace(gas, mix=new) if gas.mix == Mixture.parse(old) and gas.use in uses else gas
        for gas in plan.gases
    )
    return replace(plan, gases=tuple(swapped))


def hazards(plan, code):
    """Return the hazards of a code, after seeing that the second check passes."""
    dive = schedule(plan)
    assert dive.verdict.passed, dive.verdict.findings
    return [hazard for hazard in dive.hazards if hazard.code == code]


def hazard(plan, code):
    """Return the one hazard of a code."""
    (found,) = hazards(plan, code)
    return found


def refusal(plan):
    """Return the reason for which a plan is refused."""
    with pytest.raises(NoSafeAnswer) as caught:
        schedule(plan)
    reason = caught.value.reasons[0]
    assert reason.what
    assert reason.cure
    return reason


def oxygen_in(text, after=""):
    """Return both ends of a range of oxygen that a sentence names, as mixtures without helium."""
    match = re.search(rf"{after}.*?with ([0-9.]+)(?: to ([0-9.]+))? % oxygen", text)
    assert match, text
    low, high = match.group(1), match.group(2) or match.group(1)
    return float(low) / 100.0, float(high) / 100.0


def metres_in(text, before):
    """Return the depth that stands in a sentence right before some words [m]."""
    match = re.search(rf"([0-9.]+) (m|ft){re.escape(before)}", text)
    assert match, text
    number = float(match.group(1))
    return number if match.group(2) == "m" else m_from_feet(number)
