"""The small print of a slate: model, verdict of the second check, house rules that decided."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from slatewright.paper.as_printed import Column
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
_LEAVE: Final = {
    (Column.UNTIL, True): "Leave a stop at its run time. Stop minutes are rounded up; who goes by "
    "them alone passes the second check too.",
    (Column.UNTIL, False): "Leave a stop at its run time: stop minutes are rounded up, and alone "
    "did not pass the second check.",
    (Column.STOP, True): "Leave a stop when its minutes since arrival are over. Run times are "
    "rounded up; who goes by them alone passes the second check too.",
    (Column.STOP, False): "Leave a stop when its minutes since arrival are over: run times are "
    "rounded up, and alone did not pass the second check.",
}
_UNITS: Final = {
    "_g_per_l": "g/L",
    "_bar": "bar",
    "_min": "min",
    "_c": "°C",
}


def foot_lines(schedule: Schedule, *, decides: Column, both: bool) -> list[str]:
    """Write the small print.

    Parameters
    ----------
    schedule
        The finished schedule with its verdict.
    decides
        The column by which a stop is left.
    both
        True if a diver who goes by the other column alone passes the second check too.

    Returns
    -------
    list[str]
        Model, check, which column to go by, house rules; one sentence or list each.
    """
    settings = schedule.plan.settings
    factors = f"{settings.gradient_low * 100:g}/{settings.gradient_high * 100:g}"
    lines = [
        f"{settings.model}, gradient factors {factors}, {_water(schedule.plan.water)}",
        f"Second check passed: {schedule.verdict.checked_levels} levels, {schedule.verdict.method}",
    ]
    lines.append(_LEAVE[decides, both])
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
    if not ending:
        return f"{words} {number}"
    unit = _UNITS[ending].replace("/", "/\u2060")  # no line ends within a unit, or before it
    return f"{words} {number}\u00a0{unit}"
