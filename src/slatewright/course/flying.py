"""Flying after diving: the earliest hour, by what a workshop published and by habit.

[SHEFFIELD2004] gives least times for cabins at 600 to 2,400 m after dives that need no stops; after
dives with stops there was little to go by, and it says "substantially longer than 18 hours" without
a number. The number is then the instructor's: 24 to 48 h by habit (common practice, no published
source), 48 h where nothing else is chosen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

AFTER_ONE_NO_STOP_H: Final = 12.0
"""After a single dive without stops [SHEFFIELD2004], from memory."""
AFTER_SEVERAL_NO_STOP_H: Final = 18.0
"""After several dives a day or several days of dives without stops [SHEFFIELD2004], from memory."""
AFTER_STOPS_MORE_THAN_H: Final = 18.0
"""After dives with stops: substantially longer than this [SHEFFIELD2004]."""
HABIT_AFTER_STOPS_H: Final = (24.0, 48.0)
"""What divers wait after dives with stops: common practice, no published source."""
_COUNTED: Final = timedelta(hours=48)
"""Dives that lie no further back than this from one another count together: our choice, on the
safe side; the workshop speaks of multi-day diving and gives no span."""


@dataclass(frozen=True, slots=True)
class Surfaced:
    """The end of a dive.

    Parameters
    ----------
    at
        When its diver surfaced, local time.
    stops
        Whether it needed stops.
    """

    at: datetime
    stops: bool


@dataclass(frozen=True, slots=True)
class Flying:
    """When somebody may fly.

    Parameters
    ----------
    earliest
        Not before, local time.
    after_h
        Hours after the dive that decides [h].
    last
        That dive's end.
    because
        Why, a sentence.
    """

    earliest: datetime
    after_h: float
    last: datetime
    because: str


def hours_before_flying_h(*, stops: bool, several: bool, after_stops_h: float) -> float:
    """Return how long a dive keeps its diver on the ground.

    Parameters
    ----------
    stops
        Whether it needed stops.
    several
        Whether there were other dives within the two days before.
    after_stops_h
        What the instructor has chosen for dives with stops, above 18 [h].

    Returns
    -------
    float
        Hours from surfacing [h].

    Notes
    -----
    [SHEFFIELD2004].
    """
    if stops:
        return after_stops_h
    return AFTER_SEVERAL_NO_STOP_H if several else AFTER_ONE_NO_STOP_H


def earliest_flight(dives: Sequence[Surfaced], after_stops_h: float) -> Flying | None:
    """Return when somebody may fly.

    Parameters
    ----------
    dives
        The person's dives.
    after_stops_h
        What the instructor has chosen for dives with stops, above 18 [h].

    Returns
    -------
    Flying or None
        By the dive that keeps the person longest; None without a dive.
    """
    found: list[Flying] = []
    for dive in dives:
        others = [other for other in dives if other is not dive and other.at <= dive.at]
        several = any(dive.at - other.at <= _COUNTED for other in others)
        hours = hours_before_flying_h(
            stops=dive.stops, several=several, after_stops_h=after_stops_h
        )
        if dive.stops:
            because = (
                f"after a dive with stops, substantially longer than "
                f"{AFTER_STOPS_MORE_THAN_H:.0f} h; {hours:g} h are chosen here"
            )
        elif several:
            because = f"{hours:g} h after several dives without stops"
        else:
            because = f"{hours:g} h after a single dive without stops"
        found.append(Flying(dive.at + timedelta(hours=hours), hours, dive.at, because))
    return max(found, key=lambda flying: flying.earliest, default=None)
