"""The dives of a logbook as a line of soundings: how deep, when, with helium or without."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive

_BANDS: Final = {DepthUnit.METRES: 15, DepthUnit.FEET: 50}
"""Each band of water is as deep, in the unit in which most dives were logged [m or ft]."""
BAND_PX: Final = 18
_LEAST_BANDS: Final = 2
_MOST_BANDS: Final = 7
_TOP: Final = 8
_FOOT: Final = 22
_RIGHT: Final = 44
_STEP_PX: Final = 3
"""Two leads stand at least so far apart; of those that would stand closer the deepest is drawn."""
_LEAST_YEAR_PX: Final = 44


@dataclass(frozen=True, slots=True)
class Lead:
    """The deepest dive of some days, as a line from the surface down.

    Parameters
    ----------
    x, y
        Where it ends [px].
    helium
        Whether a gas with helium was breathed on it.
    says
        Day and depth as logged.
    """

    x: int
    y: int
    helium: bool
    says: str


@dataclass(frozen=True, slots=True)
class Soundings:
    """A drawing of a logbook.

    Parameters
    ----------
    width, height
        Its size [px].
    top
        Where the surface lies [px].
    foot
        Where the deepest band ends [px].
    bands
        Top of each band, its class, and the depth at its lower edge.
    leads
        The dives.
    years
        Where each year begins, and which.
    says
        All of it in a sentence, for who cannot see it.
    """

    width: int
    height: int
    top: int
    foot: int
    bands: tuple[tuple[int, str, str], ...]
    leads: tuple[Lead, ...]
    years: tuple[tuple[int, str], ...]
    says: str


def soundings(dives: Sequence[LoggedDive], width: int) -> Soundings | None:
    """Return the drawing of a logbook; None without dives.

    Parameters
    ----------
    dives
        The dives, in any order.
    width
        The width of the drawing [px].
    """
    if not dives:
        return None
    first = min(dive.on_date for dive in dives)
    last = max(dive.on_date for dive in dives)
    days = max((last - first).days, 1)
    room = width - _RIGHT - 2 * _STEP_PX

    def x_of(day: date) -> int:
        return _STEP_PX + round((day - first).days / days * room)

    deepest: dict[int, LoggedDive] = {}
    for dive in dives:
        slot = x_of(dive.on_date) // _STEP_PX
        if slot not in deepest or dive.greatest.metres > deepest[slot].greatest.metres:
            deepest[slot] = dive
    feet = sum(dive.greatest.unit is DepthUnit.FEET for dive in dives)
    unit = DepthUnit.FEET if 2 * feet > len(dives) else DepthUnit.METRES
    band_m = LoggedDepth(_BANDS[unit], unit).metres
    most_m = max(dive.greatest.metres for dive in dives)
    bands = min(max(int(most_m // band_m) + 1, _LEAST_BANDS), _MOST_BANDS)
    foot = _TOP + bands * BAND_PX
    leads = tuple(
        Lead(
            slot * _STEP_PX,
            min(round(_TOP + dive.greatest.metres / band_m * BAND_PX), foot),
            any(mix.he > 0.0 for mix in dive.mixes),
            f"{dive.on_date}, {dive.greatest}",
        )
        for slot, dive in sorted(deepest.items())
    )
    years: list[tuple[int, str]] = []
    for year in range(first.year, last.year + 1):
        x = x_of(max(date(year, 1, 1), first))
        if x > room - _LEAST_YEAR_PX / 2 and years:
            continue
        if not years or x - years[-1][0] >= _LEAST_YEAR_PX:
            years.append((x, str(year)))
    deep = max(dives, key=lambda dive: dive.greatest.metres)
    return Soundings(
        width=width,
        height=foot + _FOOT,
        top=_TOP,
        foot=foot,
        bands=tuple(
            (_TOP + i * BAND_PX, f"water-{i + 1}", f"{(i + 1) * _BANDS[unit]} {unit}")
            for i in range(bands)
        ),
        leads=leads,
        years=tuple(years),
        says=f"{len(dives)} dives from {first} to {last}, the deepest {deep.greatest} "
        f"on {deep.on_date}",
    )
