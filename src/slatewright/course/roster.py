"""A person of the roster in a line: age, clearance, cards, and what the logbook comes to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from slatewright.course.candidates import Candidate, Certificate
from slatewright.course.rule_periods import age_on
from slatewright.logs.logged import LoggedDepth


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterLine:
    """A person, and what the logbook comes to up to a day.

    Parameters
    ----------
    name
        The name.
    age
        In whole years; None if the birthday is not known.
    medical_until
        The last day of the clearance; None if there is none.
    medical_valid
        Whether it is valid on the day.
    cards
        The cards held.
    dives
        How many dives are logged.
    deepest
        The greatest depth, in the unit in which it was logged; None without dives.
    helium_dives
        On how many of them a gas with helium was breathed.
    last_dive
        The day of the last; None without dives.
    """

    name: str
    age: int | None
    medical_until: date | None
    medical_valid: bool
    cards: tuple[Certificate, ...]
    dives: int
    deepest: LoggedDepth | None
    helium_dives: int
    last_dive: date | None


def roster_line(candidate: Candidate, today: date) -> RosterLine:
    """Return a person in a line.

    Parameters
    ----------
    candidate
        The person.
    today
        The day; dives of later days are not counted.
    """
    dives = [dive for dive in candidate.dives if dive.on_date <= today]
    until = candidate.medical_until
    return RosterLine(
        name=candidate.name,
        age=None if candidate.born_on is None else age_on(candidate.born_on, today),
        medical_until=until,
        medical_valid=until is not None and today <= until,
        cards=candidate.certificates,
        dives=len(dives),
        deepest=max((dive.greatest for dive in dives), key=lambda d: d.metres, default=None),
        helium_dives=sum(any(mix.he > 0.0 for mix in dive.mixes) for dive in dives),
        last_dive=max((dive.on_date for dive in dives), default=None),
    )
