"""Readiness as plain data: JSON that anyone can re-check, ``slatewright/readiness/1``.

Each dive that a rule speaks of stands once in ``dives``; rules refer to it by its position there,
counted from 0. Its depth is in the unit in which it was logged.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, Final

from slatewright.course.candidates import Certificate
from slatewright.course.pace import Forecast
from slatewright.course.readiness import Judged, Readiness, RuleResult, WayResult
from slatewright.course.readiness_parts import PartResult
from slatewright.course.rule_counting import Remark
from slatewright.course.waivers import Waiver
from slatewright.logs.logged import LoggedDive

SCHEMA: Final = "slatewright/readiness/1"


def readiness_document(ready: Readiness) -> dict[str, Any]:
    """Return a candidate's readiness as plain data.

    Parameters
    ----------
    ready
        What came of the standards.

    Returns
    -------
    dict
        Ready for JSON.
    """
    register = _Register(ready.candidate.dives)
    standards = [_judged(one, register) for one in ready.judged]
    medical = ready.medical
    return {
        "schema": SCHEMA,
        "candidate": ready.candidate.name,
        "today": str(ready.today),
        "standards": standards,
        "medical": {
            "until": _day(medical.until),
            "days": [str(day) for day in medical.days],
            "outside": [str(day) for day in medical.outside],
            "valid": medical.valid,
            "says": medical.says,
        },
        "dives": [_dive(dive) for dive in register.spoken_of],
    }


class _Register:
    """The dives of which the document speaks, each with its position."""

    def __init__(self, dives: Iterable[LoggedDive]) -> None:
        self.spoken_of: list[LoggedDive] = []
        self._positions: dict[int, int] = {}
        self._kept = tuple(dives)  # so that no other object takes the identity of one of them

    def position(self, dive: LoggedDive) -> int:
        position = self._positions.get(id(dive))
        if position is None:
            position = self._positions[id(dive)] = len(self.spoken_of)
            self.spoken_of.append(dive)
        return position

    def positions(self, dives: Iterable[LoggedDive]) -> list[int]:
        return [self.position(dive) for dive in dives]

    def remarks(self, remarks: Iterable[Remark]) -> list[dict[str, Any]]:
        return [
            {"dive": self.position(one.dive), "about": one.about, "why": one.why} for one in remarks
        ]


def _judged(judged: Judged, register: _Register) -> dict[str, Any]:
    standard = judged.standard
    return {
        "id": standard.id,
        "title": standard.title,
        "side": str(standard.side),
        "example": standard.example,
        "notes": list(standard.notes),
        "ready": judged.ready,
        "all_met": judged.all_met,
        **_forecast(judged.forecast),
        "rules": [_rule(one, register) for one in judged.rules],
        "stray_waivers": [{"rule": one.rule, **_waiver(one)} for one in judged.stray_waivers],
    }


def _rule(result: RuleResult, register: _Register) -> dict[str, Any]:
    part = result.part
    return {
        "id": result.rule.id,
        "says": result.rule.says,
        "notes": list(result.rule.notes),
        "state": str(result.state),
        "of": part.of,
        "count": part.count,
        "needed": part.needed,
        "waiver": None if result.waiver is None else _waiver(result.waiver),
        **_forecast(result.forecast),
        "working": list(result.working),
        "ways": [_way(way, register) for way in result.ways],
    }


def _way(way: WayResult, register: _Register) -> dict[str, Any]:
    return {
        "met": way.met,
        **_forecast(way.forecast),
        "parts": [_part(part, register) for part in way.parts],
    }


def _part(part: PartResult, register: _Register) -> dict[str, Any]:
    return {
        "asks": part.asks,
        "of": part.of,
        "count": part.count,
        "needed": part.needed,
        "met": part.met,
        "may_be_met": part.may_be_met,
        "missing": part.missing,
        **_forecast(part.forecast),
        "working": list(part.working),
        "counted": register.positions(part.counted),
        "certificates": [_certificate(one) for one in part.certificates],
        "borders": register.remarks(part.borders),
        "near": register.remarks(part.near),
        "unknown": register.remarks(part.unknown),
    }


def _forecast(forecast: Forecast) -> dict[str, Any]:
    return {
        "ready_on": _day(forecast.on),
        "forecast": forecast.says,
        "lapses_on": _day(forecast.lapses_on),
    }


def _waiver(waiver: Waiver) -> dict[str, str]:
    return {"reason": waiver.reason, "by": waiver.by, "on": str(waiver.on)}


def _certificate(card: Certificate) -> dict[str, Any]:
    return {
        "title": card.title,
        "level": card.level,
        "kinds": sorted(card.kinds),
        "issued_on": _day(card.issued_on),
        "number": card.number,
    }


def _dive(dive: LoggedDive) -> dict[str, Any]:
    return {
        "number": dive.number,
        "on": str(dive.on_date),
        "began": None if dive.began_at is None else dive.began_at.isoformat("minutes"),
        "minutes": dive.minutes,
        "depth": dive.greatest.value,
        "unit": str(dive.greatest.unit),
        "mixes": [str(mix) for mix in dive.mixes],
        "circuit": str(dive.circuit),
        "role": str(dive.role),
        "decompression": dive.decompression,
        "partners": list(dive.partners),
        "equipment": list(dive.equipment),
        "place": dive.place,
        "origin": {"name": dive.origin.name, "line": dive.origin.line},
    }


def _day(day: date | None) -> str | None:
    return None if day is None else str(day)
