"""The small print of a slate: model, verdict of the second check, house rules that decided."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from slatewright.physics.water import WaterKind

if TYPE_CHECKING:
    from slatewright.dive.schedule import Schedule
    from slatewright.physics.water import Water

_WATERS: Final = {
    WaterKind.FRESH: "fresh water",
    WaterKind.EN13319: "EN 13319 water",
    WaterKind.SEA: "sea water",
    WaterKind.TEOS10: "TEOS-10 sea water",
}
_UNITS: Final = {
    "_g_per_l": "g/L",
    "_bar": "bar",
    "_min": "min",
    "_c": "°C",
}


def foot_lines(schedule: Schedule, *, rounded_up: bool) -> list[str]:
    """Write the small print.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.
    rounded_up
        True if run times on the slate were rounded up.

    Returns
    -------
    list[str]
        Model, check, rounding if there was any, house rules; one sentence or list each.
    """
    settings = schedule.plan.settings
    factors = f"{settings.gradient_low * 100:g}/{settings.gradient_high * 100:g}"
    lines = [
        f"{settings.model}, gradient factors {factors}, {_water(schedule.plan.water)}",
        f"Second check passed: {schedule.verdict.checked_levels} levels, {schedule.verdict.method}",
    ]
    if rounded_up:
        # the extra fraction at a deep stop must not be taken from the next one
        lines.append(
            "Stop minutes count from arrival and run times are rounded up: leave at the later."
        )
    lines.append("House rules: " + ", ".join(_house_rules(schedule)))
    return lines


def _water(water: Water) -> str:
    """Name the water, and the pressure at its surface where that is not the standard one."""
    name = _WATERS[water.kind]
    at_sea_level = round(water.surface_bar, 3) == round(STANDARD_ATMOSPHERE_BAR, 3)
    return name if at_sea_level else f"{name} under {water.surface_bar:.3f} bar"


def _house_rules(schedule: Schedule) -> list[str]:
    """Name each house rule that decided, with its value, in the order of their first mention."""
    names = ["whole_minutes"]
    if schedule.plan.settings.breaks is not None:
        names.append("breaks")
    for hazard in schedule.hazards:
        names.extend(hazard.house_rules)
    return [_rule(schedule, name) for name in dict.fromkeys(names)]


def _rule(schedule: Schedule, name: str) -> str:
    """Write one house rule in words; what is no field of the rules is printed as it came."""
    value = getattr(schedule.plan.rules, name, None)
    if value is None:
        return name
    ending = next((ending for ending in _UNITS if name.endswith(ending)), "")
    words = name.removesuffix(ending).replace("_", " ")
    if isinstance(value, bool):
        return f"{words} {'yes' if value else 'no'}"
    number = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{words} {number} {_UNITS[ending]}" if ending else f"{words} {number}"
