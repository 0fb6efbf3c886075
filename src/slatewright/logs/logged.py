"""A dive as its diver logged it: depth in the unit of the log, and no more than was said."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from typing import Final

from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import m_from_feet

DEEPEST_M: Final = 350.0
"""Deeper than any dive with lungs full of gas and no bell; more is a slip of the pen."""
LONGEST_MIN: Final = 1440.0


class DepthUnit(StrEnum):
    """The unit in which a depth was logged."""

    METRES = "m"
    FEET = "ft"


class Role(StrEnum):
    """In what part somebody dived."""

    DIVER = "diver"
    STUDENT = "student"
    ASSISTANT = "assistant"
    INSTRUCTOR = "instructor"


class Circuit(StrEnum):
    """How the gas went."""

    OPEN = "open circuit"
    CLOSED = "closed circuit"


@dataclass(frozen=True, slots=True)
class LoggedDepth:
    """A depth as it was logged.

    Parameters
    ----------
    value
        The depth, in its unit [m or ft].
    unit
        The unit.

    Raises
    ------
    InputError
        If nobody dives as deep.
    """

    value: float
    unit: DepthUnit = DepthUnit.METRES

    def __post_init__(self) -> None:
        if not 0.0 < self.metres <= DEEPEST_M:  # also when it is no number
            raise InputError(
                f"{self.value:g} {self.unit} is no greatest depth of a dive",
                where="depth",
                right=f"more than 0, at most {DEEPEST_M:g} m",
            )

    @property
    def metres(self) -> float:
        """The same in metres, for sums and charts; rules are judged in the unit of the log [m]."""
        return self.value if self.unit is DepthUnit.METRES else m_from_feet(self.value)

    def __str__(self) -> str:
        return f"{self.value:g} {self.unit}"


@dataclass(frozen=True, slots=True)
class Origin:
    """Where an entry comes from, so that it can be looked up.

    Parameters
    ----------
    name
        The name of the file, or ``by hand``.
    line
        The line in it, counted from 1; 0 if there is none.
    """

    name: str
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedDive:
    """A logged dive.

    Parameters
    ----------
    on_date
        The day on which it began, by the clock at the place: a dive over midnight belongs to it.
    began_at
        When it began, by that clock; None if the log does not say.
    minutes
        From leaving the surface to reaching it again [min].
    greatest
        The greatest depth.
    mixes
        The gases breathed; empty if the log does not say.
    circuit
        Open or closed.
    role
        In what part the diver dived.
    decompression
        Whether stops were needed; None if the log does not say.
    partners
        With whom.
    equipment
        Words for what was carried, in small letters, such as ``twinset``, ``stage``, ``drysuit``.
    number
        The number in the logbook, as written there.
    place, remark
        As written.
    origin
        Where the entry comes from.

    Raises
    ------
    InputError
        If it lasted longer than a day, or no time.
    """

    on_date: date
    minutes: float
    greatest: LoggedDepth
    began_at: time | None = None
    mixes: tuple[Mixture, ...] = ()
    circuit: Circuit = Circuit.OPEN
    role: Role = Role.DIVER
    decompression: bool | None = None
    partners: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    number: str = ""
    place: str = ""
    remark: str = ""
    origin: Origin = Origin("by hand")

    def __post_init__(self) -> None:
        if not 0.0 < self.minutes <= LONGEST_MIN or not math.isfinite(self.minutes):
            raise InputError(
                f"{self.minutes:g} min is no length of a dive",
                where="minutes",
                right=f"more than 0, at most {LONGEST_MIN:g} min",
            )

    @property
    def ended(self) -> datetime | None:
        """When it ended, by the clock at the place; None if its beginning is not known."""
        if self.began_at is None:
            return None
        return datetime.combine(self.on_date, self.began_at) + timedelta(minutes=self.minutes)
