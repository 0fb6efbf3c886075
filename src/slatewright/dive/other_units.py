"""A plan file written in the other system of units: what a diver would write there."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Final

from slatewright.dive._plan_base import twin
from slatewright.dive.mending import plan_data
from slatewright.dive.planfile import PlanFile
from slatewright.physics.units import (
    UnitSystem,
    bar_from_psi,
    cubic_feet_from_l,
    feet_from_m,
    kg_from_pounds,
    l_from_cubic_feet,
    m_from_feet,
    pounds_from_kg,
    psi_from_bar,
)

_FEET_A_LEVEL: Final = 10.0 / 3.0
"""Levels of 3 m are levels of 10 ft where a diver writes them."""
_SLACK: Final = 1e-6
_TOP: Final = ("size",)
"""Tables whose units are those of their maker."""
_MASSES: Final = ("_kg", "_lb")
_IN_BAR_ALWAYS: Final = ("ppo2_max_bar", "setpoint_bottom_bar", "bar")
"""A ppO2 is in bar in any file."""


def in_other_units(plan: PlanFile) -> PlanFile:
    """Return a plan file in the other system of units.

    Parameters
    ----------
    plan
        The plan file.

    Returns
    -------
    PlanFile
        Depths of stays are rounded to the next whole metre or foot downwards. Stops, changes of
        gas, rates and limits that count in levels go on counting in levels, 3 m for 10 ft; others
        are rounded down, and so are fills. Breathing and what is kept back are rounded up; a rig's
        figures are rounded to the nearest, as no side is the safe one. It is
        another dive, if only by little, and is to be looked at.

    Raises
    ------
    pydantic.ValidationError
        If what is rounded contradicts itself, as depths at the very end of a range may.
    """
    metric = plan.units is UnitSystem.IMPERIAL
    data = plan_data(plan)
    data["units"] = str(UnitSystem.METRIC if metric else UnitSystem.IMPERIAL)
    for name, value in data.items():
        if name in _TOP:
            continue
        if isinstance(value, dict):
            data[name] = _table(value, metric=metric)
        elif isinstance(value, list):
            data[name] = [
                _table(row, metric=metric) if isinstance(row, dict) else row for row in value
            ]
    return PlanFile.model_validate(data)


def _table(table: dict[str, Any], *, metric: bool) -> dict[str, Any]:
    converted: dict[str, Any] = {}
    for key, value in table.items():
        other = twin(key)
        if isinstance(value, dict):
            converted[key] = _table(value, metric=metric)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            converted[key] = [_table(row, metric=metric) for row in value]
        elif other == key or key in _IN_BAR_ALWAYS or not isinstance(value, int | float):
            converted[key] = value
        else:
            nearest = key.startswith(("suit_gas", "volume")) or key[-3:] in _MASSES
            convert = _of_rig if nearest else _convert
            converted[other] = _plain(convert(key, float(value), metric=metric))
    return converted


def _convert(key: str, value: float, *, metric: bool) -> float:
    """Return a value in the unit of the other system, rounded as a diver would write it."""
    parts = key.split("_")
    if parts[0] in {"last", "stop", "switch", "from"}:
        return _level(value, metric=metric)
    if "temperature" in key:
        exact = (value - 32.0) / 1.8 if metric else value * 1.8 + 32.0
        # the coldest water for which an absorbent is stated may become no colder
        return _up(exact, 1.0) if parts[0] == "water" else round(exact)
    if parts[0] in {"rmv", "inflation", "oxygen"}:
        fine = 0.1 if parts[0] == "oxygen" else 1.0
        exact = l_from_cubic_feet(value) if metric else cubic_feet_from_l(value)
        return _up(exact, fine * (fine if metric else 0.01))
    if parts[0] == "residual":
        return _up(bar_from_psi(value), 1.0) if metric else _up(psi_from_bar(value), 10.0)
    if parts[0] == "pressure":
        return _down(bar_from_psi(value), 1.0) if metric else _down(psi_from_bar(value), 10.0)
    return _length(key, value, metric=metric)


def _of_rig(key: str, value: float, *, metric: bool) -> float:
    """Return a mass, or the gas of a suit or a loop: too much and too little would be a danger."""
    if key[-3:] in _MASSES:
        return round(kg_from_pounds(value) if metric else pounds_from_kg(value), 2)
    return round(l_from_cubic_feet(value), 1) if metric else round(cubic_feet_from_l(value), 3)


def _length(key: str, value: float, *, metric: bool) -> float:
    exact = m_from_feet(value) if metric else feet_from_m(value)
    rounded: Callable[[float, float], float] = _up if key.startswith("depth") else _down
    if key.startswith(("altitude", "adapted")):
        return round(exact)
    if "per_min" in key or key.startswith(("travel", "narcotic")):
        nominal = value / _FEET_A_LEVEL if metric else value * _FEET_A_LEVEL
        # a rate or a limit that counts in levels goes on counting in levels
        return nominal if abs(nominal - round(nominal)) < _SLACK else rounded(exact, 1.0)
    return rounded(exact, 1.0)


def _level(value: float, *, metric: bool) -> float:
    return value / _FEET_A_LEVEL if metric else value * _FEET_A_LEVEL


def _up(value: float, step: float) -> float:
    return math.ceil(value / step - _SLACK) * step


def _down(value: float, step: float) -> float:
    return math.floor(value / step + _SLACK) * step


def _plain(number: float) -> int | float:
    rounded = round(number, 4)
    return int(rounded) if rounded == int(rounded) else rounded
