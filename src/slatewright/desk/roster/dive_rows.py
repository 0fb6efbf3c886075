"""A logged dive, in a row of a table."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from slatewright.logs.logged import Circuit, LoggedDive, Role
from slatewright.paper.theme import mixture_name


@dataclass(frozen=True, slots=True)
class DiveRow:
    """A logged dive.

    Parameters
    ----------
    id
        Its number in the records; 0 if it is not kept.
    on_date
        The day.
    start
        When it began; empty if the log does not say.
    depth
        The greatest depth, as logged.
    minutes
        How long it was.
    gas
        What was breathed; empty if the log does not say.
    more
        What is unusual about it: stops, closed circuit, a part other than a diver's.
    partners, place
        With whom, and where.
    origin
        Where the entry comes from.
    """

    id: int
    on_date: date
    start: str
    depth: str
    minutes: str
    gas: str
    more: str
    partners: str
    place: str
    origin: str


def dive_row(dive: LoggedDive, number: int = 0) -> DiveRow:
    """Return a dive as a row.

    Parameters
    ----------
    dive
        The dive.
    number
        Its number in the records; 0 if it is not kept.
    """
    unusual = []
    if dive.decompression:
        unusual.append("stops")
    if dive.circuit is not Circuit.OPEN:
        unusual.append(str(dive.circuit))
    if dive.role is not Role.DIVER:
        unusual.append(str(dive.role))
    origin = dive.origin
    return DiveRow(
        id=number,
        on_date=dive.on_date,
        start="" if dive.began_at is None else f"{dive.began_at:%H:%M}",
        depth=str(dive.greatest),
        minutes=f"{dive.minutes:.4g} min",
        gas=", ".join(mixture_name(mix) for mix in dive.mixes),
        more=", ".join(unusual),
        partners=", ".join(dive.partners),
        place=dive.place,
        origin=f"{origin.name}, line {origin.line}" if origin.line else origin.name,
    )
