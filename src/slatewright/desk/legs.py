"""A leg in words, for the rows of workings."""

from __future__ import annotations

from slatewright.decompression.leg import Leg
from slatewright.paper.reading import depth_text
from slatewright.physics.units import UnitSystem


def act_words(leg: Leg, units: UnitSystem) -> str:
    """Return what is done in a leg, and where: ``stop at 21 m`` or ``ascent 66 to 21 m``.

    Parameters
    ----------
    leg
        The leg.
    units
        The units of the reader.
    """
    what = "changing gas" if leg.switching else "break" if leg.pause else str(leg.kind)
    start, end = _ends(leg, units)
    return f"{what} {'at ' if start == end else ''}{_depths(start, end, units)}"


def minutes_words(leg: Leg, units: UnitSystem) -> str:
    """Return how long a leg takes, and where: ``3.0 min at 21 m``.

    Parameters
    ----------
    leg
        The leg.
    units
        The units of the reader.
    """
    return f"{leg.minutes:.1f} min at {_depths(*_ends(leg, units), units)}"


def _ends(leg: Leg, units: UnitSystem) -> tuple[str, str]:
    return depth_text(leg.from_m, units), depth_text(leg.to_m, units)


def _depths(start: str, end: str, units: UnitSystem) -> str:
    return f"{end if start == end else f'{start} to {end}'} {units.depth_unit}"
