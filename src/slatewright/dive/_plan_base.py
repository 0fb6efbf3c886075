"""What the tables of a plan file are made of: texts, mixtures, and quantities in either system."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Final

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    StringConstraints,
)

from slatewright.decompression.tissues import COMPARTMENTS
from slatewright.dive.plan import Use
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import (
    UnitSystem,
    bar_from_psi,
    kg_from_pounds,
    l_from_cubic_feet,
    m_from_feet,
)
from slatewright.toml import tables
from slatewright.toml.faults import refusal
from slatewright.toml.keys import facts, key
from slatewright.toml.tables import PRINTABLE, listed

DEEPEST_M: Final = 200
DEEPEST_FT: Final = 656
LONGEST_MIN: Final = 1440
_INTERVAL: Final = re.compile(r"(?:([0-9]{1,2})\s*d)?\s*(?:([0-9]{1,3}):([0-5][0-9]))?")


def _mixture(text: str) -> str:
    try:
        Mixture.parse(text)
    except InputError as error:
        raise refusal(error.what, error.right) from None
    return text


def interval_min(text: str) -> int:
    """Return the minutes of a surface interval.

    Parameters
    ----------
    text
        Hours and minutes, days before them if need be: ``3:30``, ``1 d 2:30``, ``2 d``.

    Returns
    -------
    int
        Minutes, at least 1 [min].

    Raises
    ------
    InputError
        If it is none of these.
    """
    match = _INTERVAL.fullmatch(text.strip())
    days, hours, minutes = (int(part or 0) for part in match.groups()) if match else (0, 0, 0)
    total_min = (days * 24 + hours) * 60 + minutes
    if not total_min:
        raise InputError(
            f"'{text}' is no surface interval",
            right='hours and minutes, with days if need be: "3:30", "1 d 2:30"',
        )
    return total_min


def known_interval(text: str) -> str:
    """Return the text of an interval, or refuse it as a validator does.

    Parameters
    ----------
    text
        As for `interval_min`.
    """
    try:
        interval_min(text)
    except InputError as error:
        raise refusal(error.what, error.right) from None
    return text


def _sixteen(tensions: tuple[float, ...]) -> tuple[float, ...]:
    if len(tensions) != COMPARTMENTS:
        raise refusal(f"has {len(tensions)} entries", f"{COMPARTMENTS}, one a compartment")
    return tensions


Mix = Annotated[str, AfterValidator(_mixture)]
Uses = Annotated[tuple[Annotated[Use, key("", "", strict=False)], ...], BeforeValidator(listed)]
Tension = Annotated[float, key("", "", unit="bar", ge=0, le=30)]
Tensions = Annotated[tuple[Tension, ...], Field(strict=False), AfterValidator(_sixteen)]
Names = Annotated[
    tuple[Annotated[str, StringConstraints(min_length=1, max_length=60, pattern=PRINTABLE)], ...],
    BeforeValidator(listed),
]
Words = Annotated[str, StringConstraints(min_length=1, max_length=120, pattern=PRINTABLE)]


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


OTHER_UNITS: Final[dict[str, tuple[str, Callable[[float], float]]]] = {
    "m": ("ft", m_from_feet),
    "l": ("cuft", l_from_cubic_feet),
    "bar": ("psi", bar_from_psi),
    "c": ("f", _celsius),
    "kg": ("lb", kg_from_pounds),
}
"""Metric unit to the imperial one that stands in its place in a key, and the way back."""


def twin(name: str) -> str:
    """Return the key that says the same in the other system of units.

    Parameters
    ----------
    name
        A key, such as ``pressure_bar``.

    Returns
    -------
    str
        Such as ``pressure_psi``; the key itself if it has no unit of either system.
    """
    others = {metric: imperial for metric, (imperial, _) in OTHER_UNITS.items()}
    others |= {imperial: metric for metric, imperial in others.items()}
    return "_".join(others.get(part, part) for part in name.split("_"))


class Table(tables.Table):
    """A table of the file, with quantities in either system of units."""

    def metres(self, name: str, units: UnitSystem) -> float | None:
        """Return a length, or a rate, in metres.

        Parameters
        ----------
        name
            The key with ``{}`` where its unit stands, such as ``depth_{}``.
        units
            The units of the file.

        Returns
        -------
        float or None
            What is written or stands in for it; None if nothing does [m] or [m/min].
        """
        return self.metric(name.replace("{}", "{m}"), units)

    def metric(self, name: str, units: UnitSystem) -> float | None:
        """Return a quantity in its metric unit.

        Parameters
        ----------
        name
            The key with its metric unit in braces, such as ``pressure_{bar}``.
        units
            The units of the file.

        Returns
        -------
        float or None
            What is written or stands in for it, in the unit in braces; None if nothing does.
        """
        unit = name[name.index("{") + 1 : name.index("}")]
        other, convert = OTHER_UNITS[unit]
        imperial = units is UnitSystem.IMPERIAL
        own = name.replace(f"{{{unit}}}", other if imperial else unit)
        value = getattr(self, own)
        if value is None:
            value = facts(type(self).model_fields[own])["default"]
        if value is None or not imperial:
            return None if value is None else float(value)
        return convert(float(value))
