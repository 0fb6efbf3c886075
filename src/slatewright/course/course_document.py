"""A build-up as data for JSON."""

from __future__ import annotations

import math
from typing import Any, Final

from slatewright.course.buildup import NOT_JUDGED, BuildUp
from slatewright.course.buildup_course import Limits
from slatewright.course.buildup_timeline import Timed
from slatewright.dive.planfile import interval_min

SCHEMA: Final = "slatewright/build-up/1"


def buildup_document(built: BuildUp) -> dict[str, Any]:
    """Return a build-up as data.

    Parameters
    ----------
    built
        The build-up.

    Returns
    -------
    dict
        Depths in metres, times in minutes, money as texts; a CNS share beyond the published tables
        is null.
    """
    return {
        "schema": SCHEMA,
        "title": built.course.title,
        "units": str(built.course.units),
        "limits": _limits(built.course.limits),
        "clean": built.clean,
        "dives": [_dive(built, timed) for timed in built.timeline.dives],
        "days": {
            name: [
                {
                    "day": day.day.isoformat(),
                    "day_of_run": day.day_of_run,
                    "dived_days": day.dived_days,
                    "otu": day.otu,
                    "run_otu": day.run_otu,
                    "allowed_otu": day.allowed_otu,
                    "allowed_run_otu": day.allowed_run_otu,
                }
                for day in days
            ]
            for name, days in built.timeline.days.items()
        },
        "findings": [
            {
                "code": one.code,
                "severity": str(one.severity),
                "dive": one.dive,
                "elsewhere": one.elsewhere,
                "who": list(one.who),
                "at": None if one.at is None else one.at.isoformat(),
                "text": one.text,
                "why": one.why,
                "cure": one.cure,
                "limits": list(one.limits),
                "mends": [
                    {
                        "words": mend.words,
                        "moves": [
                            {"dive": move.dive, "to": move.to.isoformat()} for move in mend.moves
                        ],
                    }
                    for mend in one.mends
                ],
            }
            for one in built.findings
        ],
        "flying": {
            name: None
            if flying is None
            else {
                "earliest": flying.earliest.isoformat(),
                "after_h": flying.after_h,
                "because": flying.because,
            }
            for name, flying in built.flying.items()
        },
        "gas": []
        if built.gas is None
        else [
            {
                "mix": str(mix),
                "used_free_l": used,
                "filled_free_l": built.gas.filled_free_l.get(mix, 0.0),
            }
            for mix, used in built.gas.used_free_l.items()
        ],
        "cost": _cost(built),
        "gas_notes": [] if built.gas is None else list(built.gas.notes),
        "not_judged": list(NOT_JUDGED),
    }


def _limits(limits: Limits) -> dict[str, Any]:
    table = limits.table
    return {
        "step_m": limits.step.m,
        "step_ft": limits.step.ft,
        "step_from": table.step_from,
        "first_helium_beyond_m": limits.first_helium_beyond.m,
        "first_helium_beyond_ft": limits.first_helium_beyond.ft,
        "deepest_m": limits.deepest.m,
        "deepest_ft": limits.deepest.ft,
        "dives_a_day": table.dives_a_day,
        "dives_before_rest": table.dives_before_rest,
        "least_interval_min": interval_min(table.least_interval),
        "students_per_instructor": table.students_per_instructor,
        "new_a_dive": table.new_a_dive,
        "task_load": table.task_load,
        "task_load_rise": table.task_load_rise,
        "least_dives": table.least_dives,
        "least_runtime_min": table.least_runtime_min,
        "fly_after_h": table.fly_after_h,
        "first_start": limits.first_start.isoformat("minutes"),
        "last_start": limits.last_start.isoformat("minutes"),
    }


def _cost(built: BuildUp) -> dict[str, Any] | None:
    gas = built.gas
    if gas is None or gas.bill is None:
        return None
    return {
        "currency": gas.bill.currency,
        "fills": str(gas.bill.total),
        "ordered": None if gas.order_cost is None else str(gas.order_cost),
        "lines": [
            {
                "gas": line.gas,
                "free_l": str(line.free_l),
                "fills": line.fills,
                "cost": str(line.cost),
            }
            for line in gas.bill.lines
        ],
    }


def _dive(built: BuildUp, timed: Timed) -> dict[str, Any]:
    dive = timed.dive
    novelty = None if dive.elsewhere else built.novelty.get(dive.number)
    return {
        "number": dive.number,
        "elsewhere": dive.elsewhere,
        "plan": dive.plan_word,
        "title": dive.plan.title,
        "starts": dive.start.isoformat(),
        "deepest_m": dive.deepest.depth_m,
        "runtime_min": timed.runtime_min,
        "surfaced": None if timed.surfaced is None else timed.surfaced.isoformat(),
        "new": [] if novelty is None else [thing.words for thing in novelty.things],
        "skills": list(dive.skills),
        "load": None if dive.elsewhere else built.load.get(dive.number),
        "divers": [
            {
                "name": name,
                "interval_min": made.interval_min,
                "cns_pct": made.dose.cns_pct if math.isfinite(made.dose.cns_pct) else None,
                "otu": made.dose.otu,
            }
            for name, made in timed.made.items()
        ],
        "refused": [reason.what for reason in timed.refusal],
    }
