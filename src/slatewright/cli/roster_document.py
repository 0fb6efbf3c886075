"""People as plain data: ``slatewright/roster/1``."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from slatewright.cli.roster_view import Listed

SCHEMA: Final = "slatewright/roster/1"


def roster_document(people: Sequence[Listed], today: date) -> dict[str, Any]:
    """Return people as plain data.

    Parameters
    ----------
    people
        Who.
    today
        The day for which it is.

    Returns
    -------
    dict
        Ready for JSON.
    """
    return {"schema": SCHEMA, "today": str(today), "people": [_person(one) for one in people]}


def _person(one: Listed) -> dict[str, Any]:
    told = one.line
    deepest = told.deepest
    return {
        "name": told.name,
        "number": one.number,
        "born_on": _day(one.born_on),
        "age": told.age,
        "medical": {"until": _day(told.medical_until), "valid": told.medical_valid},
        "cards": [
            {
                "title": card.title,
                "level": card.level,
                "kinds": sorted(card.kinds),
                "issued_on": _day(card.issued_on),
                "number": card.number,
            }
            for card in told.cards
        ],
        "dives": told.dives,
        "deepest": None if deepest is None else {"depth": deepest.value, "unit": str(deepest.unit)},
        "helium_dives": told.helium_dives,
        "last_dive": _day(told.last_dive),
        "logbooks": [{"name": name, "dives": count} for name, count in one.logbooks],
        "set_aside": [
            {
                "logbook": row.logbook,
                "line": row.line,
                "text": row.text,
                "reasons": list(row.reasons),
            }
            for row in one.aside
        ],
        "twice": [
            {
                "first": twin.first,
                "second": twin.second,
                "on": str(twin.on_date),
                "sameness": twin.sameness,
                "why": twin.why,
                "counted_once": twin.once,
            }
            for twin in one.twins
        ],
        "notes": list(one.notes),
    }


def _day(day: date | None) -> str | None:
    return None if day is None else str(day)
