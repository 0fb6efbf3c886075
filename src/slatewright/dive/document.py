"""The document of a dive: JSON that anyone can re-check (schema ``slatewright/dive/1``)."""

from __future__ import annotations

import math
from typing import Any, Final

from slatewright.decompression.leg import Leg
from slatewright.decompression.tissues import AIR_N2
from slatewright.dive.hazard import Hazard
from slatewright.dive.loop import Loop, Setpoint
from slatewright.dive.schedule import Schedule

SCHEMA: Final = "slatewright/dive/1"


def document(dive: Schedule, *, not_judged: str = "") -> dict[str, Any]:
    """Return a dive as plain data.

    Parameters
    ----------
    dive
        The finished dive.
    not_judged
        Why its gas was not judged; empty for a document that is to be completed with the gas.

    Returns
    -------
    dict
        Depths in metres, times in minutes, pressures in bar absolute, whatever the plan's units;
        ``start_tensions_bar`` only if something was carried in. A CNS share beyond the published
        tables is null.
    """
    plan = dive.plan
    settings = plan.settings
    told: dict[str, Any] = {
        "schema": SCHEMA,
        "title": plan.title,
        "units": str(plan.units),
        "water": {
            "kind": str(plan.water.kind),
            "surface_bar": plan.water.surface_bar,
            "bar_per_m": plan.water.bar_per_m,
        },
        "model": {
            "name": settings.model,
            "gf_low": settings.gradient_low,
            "gf_high": settings.gradient_high,
            "first_stop_m": dive.first_stop_m,
            "stop_step_m": settings.stop_step_m,
            "last_stop_m": settings.last_stop_m,
            "air_n2": AIR_N2,
        },
        "house_rules": plan.rules.model_dump(),
    }
    if plan.carried is not None:
        told["start_tensions_bar"] = {
            "n2": list(dive.start.n2_bar),
            "he": list(dive.start.he_bar),
        }
    if plan.loop is not None:
        told["loop"] = _loop(plan.loop)
    told |= {
        "legs": [_leg(leg) for leg in dive.legs],
        "runtime_min": dive.runtime_min,
        "oxygen": {
            "cns_pct": _finite(dive.oxygen.cns_pct),
            "otu": dive.oxygen.otu,
            "index_k": dive.oxygen.index_k,
            "index_risk_pct": dive.oxygen.risk_pct,
            "highest_ppo2_bar": dive.oxygen.highest_ppo2_bar,
        },
        "supply": [],
        "hazards": [_hazard(hazard) for hazard in dive.hazards],
        "second_check": {
            "passed": dive.verdict.passed,
            "findings": list(dive.verdict.findings),
            "largest_excess_bar": _finite(dive.verdict.largest_excess_bar),
            "checked_levels": dive.verdict.checked_levels,
            "method": dive.verdict.method,
        },
    }
    if not_judged:
        told["not_judged"] = not_judged
    return told


def _leg(leg: Leg) -> dict[str, Any]:
    return {
        "kind": str(leg.kind),
        "from_m": leg.from_m,
        "to_m": leg.to_m,
        "start_min": leg.start_min,
        "minutes": leg.minutes,
        "gas": str(leg.gas),
        "o2": leg.gas.o2,
        "he": leg.gas.he,
        "setpoint_bar": leg.setpoint_bar,
        "changing_gas": leg.switching,
        "break": leg.pause,
    }


def _loop(loop: Loop) -> dict[str, Any]:
    def entries(setpoints: tuple[Setpoint, ...]) -> list[dict[str, float | None]]:
        return [{"bar": setpoint.bar, "from_m": setpoint.from_m} for setpoint in setpoints]

    return {
        "diluent": str(loop.diluent),
        "o2": loop.diluent.o2,
        "he": loop.diluent.he,
        "setpoints_down": entries(loop.down),
        "setpoint_bottom_bar": loop.bottom_bar,
        "setpoints_up": entries(loop.up),
    }


def _hazard(hazard: Hazard) -> dict[str, Any]:
    return {
        "code": hazard.code,
        "severity": str(hazard.severity),
        "at_min": hazard.at_min,
        "at_m": hazard.at_m,
        "text": hazard.text,
        "why": hazard.why,
        "cure": hazard.cure,
        "house_rules": list(hazard.house_rules),
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
