"""A build-up as data for JSON."""

from __future__ import annotations

from typing import Any, Final

from slatewright.course.buildup import NOT_JUDGED, BuildUp
from slatewright.course.buildup_timeline import Timed

SCHEMA: Final = "slatewright/build-up/1"


def buildup_document(built: BuildUp) -> dict[str, Any]:
    """Return a build-up as data.

    Parameters
    ----------
    built
        The build-up.
    """
    return {
        "schema": SCHEMA,
        "clean": built.clean,
        "dives": [_dive(built, timed) for timed in built.timeline.dives],
        "days": {
            name: [
                {
                    "day": day.day.isoformat(),
                    "day_of_run": day.day_of_run,
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
        "not_judged": list(NOT_JUDGED),
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
        "runtime_min": None if timed.schedule is None else timed.schedule.runtime_min,
        "new": [] if novelty is None else [thing.words for thing in novelty.things],
        "skills": list(dive.skills),
        "load": None if dive.elsewhere else built.load.get(dive.number),
        "divers": [
            {
                "name": name,
                "interval_min": made.interval_min,
                "cns_pct": made.dose.cns_pct,
                "otu": made.dose.otu,
            }
            for name, made in timed.made.items()
        ],
        "refused": [reason.what for reason in timed.refusal],
    }
