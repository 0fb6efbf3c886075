"""How the terminal names a depth, a water, a house rule."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from slatewright.dive.house_rules import decided_by
from slatewright.paper.reading import depth_text
from slatewright.physics.water import WaterKind

if TYPE_CHECKING:
    from slatewright.dive.house_rules import HouseRules
    from slatewright.physics.units import UnitSystem
    from slatewright.physics.water import Water

_WATERS: Final = {
    WaterKind.FRESH: "fresh water",
    WaterKind.EN13319: "EN 13319 water",
    WaterKind.SEA: "sea water",
    WaterKind.TEOS10: "TEOS-10 sea water",
}


def depth_words(depth_m: float, units: UnitSystem) -> str:
    """Return a depth with its unit, such as ``36 m`` or ``120 ft``.

    Parameters
    ----------
    depth_m
        Depth [m].
    units
        The units of the reader.
    """
    return f"{depth_text(depth_m, units)} {units.depth_unit}"


def water_words(water: Water) -> str:
    """Return what a dive is made in.

    Parameters
    ----------
    water
        Its kind and the pressure at its surface.
    """
    return f"{_WATERS[water.kind]}, {water.surface_bar:.3f} bar at the surface"


def rule_words(rules: HouseRules, name: str) -> str:
    """Return a house rule with its value, such as ``floor_bar = 0.18``.

    Parameters
    ----------
    rules
        The rules in force.
    name
        The rule.
    """
    return decided_by(rules, name).removeprefix("decided by house rule ")
