"""What a slate carries besides the schedule: pressures to turn at, short schedules, an override."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, pressure_needed_label

_LONGEST_NAME: Final = 60
_LONGEST_LINE: Final = 120
MOST_GAUGES: Final = 6
"""Lines of gauges that the front can hold."""
MOST_CASES: Final = 12
MOST_LEVELS: Final = 26
"""Columns and rows of short schedules that one page can hold in legible print."""


@dataclass(frozen=True, slots=True)
class GaugeLine:
    """What one diver reads on one gauge.

    Parameters
    ----------
    diver
        Whose gauge it is.
    cylinder
        The label of the cylinder.
    turn_gauge_bar
        The pressure at which the team turns; None if it does not hang on this gauge [bar].
    minimum_gauge_bar
        The pressure below which two no longer get to the next gas; None if unknown [bar].
    units
        The units of the gauge.
    """

    diver: str
    cylinder: str
    turn_gauge_bar: float | None
    minimum_gauge_bar: float | None
    units: UnitSystem

    @property
    def turn(self) -> str:
        """The pressure to turn at, rounded up, with its unit; empty for none."""
        return self._label(self.turn_gauge_bar)

    @property
    def minimum(self) -> str:
        """The minimum gas, rounded up, with its unit; empty for none."""
        return self._label(self.minimum_gauge_bar)

    def _label(self, gauge_bar: float | None) -> str:
        return "" if gauge_bar is None else pressure_needed_label(gauge_bar, self.units)


@dataclass(frozen=True, slots=True)
class ShortRow:
    """One stop of a short schedule.

    Parameters
    ----------
    depth_m
        Depth [m].
    stop_min
        Whole minutes from arrival [min].
    until_min
        Run time at which it is left, whole [min].
    gas
        What is breathed.
    """

    depth_m: float
    stop_min: int
    until_min: int
    gas: Mixture


@dataclass(frozen=True, slots=True)
class ShortSchedule:
    """A short schedule for one case.

    Parameters
    ----------
    name
        What has happened, in two or three words.
    leave_min
        Run time at which the bottom is left, whole [min].
    rows
        The stops, the deepest first; breaks from oxygen are part of their stop.
    surface_min
        Run time at the surface, whole [min].
    no_way
        Why there is no schedule; empty if there is one. Then there are no rows.
    """

    name: str
    leave_min: int
    rows: tuple[ShortRow, ...]
    surface_min: int
    no_way: str = ""


@dataclass(frozen=True, slots=True)
class SlateExtras:
    """What is printed besides the schedule.

    Parameters
    ----------
    gauges
        Turn pressures and minimum gas, for the front.
    cases
        Short schedules, for the back: one page.
    no_way_home
        Where the dive has no way home, the worst first, such as ``from min 14 if EAN50 is lost``.
    override
        The name of the person on whose word the slate is printed all the same.
    not_judged
        Why nobody knows whether there is gas enough; empty where it was judged.
    """

    gauges: tuple[GaugeLine, ...] = ()
    cases: tuple[ShortSchedule, ...] = ()
    no_way_home: tuple[str, ...] = ()
    override: str | None = None
    not_judged: str = ""


NOTHING_MORE: Final = SlateExtras()


def one_line(text: str, longest: int = _LONGEST_LINE) -> str:
    """Make a person's words fit for one line: no line breaks, no control characters, no novel.

    Parameters
    ----------
    text
        The words.
    longest
        The most characters.

    Returns
    -------
    str
        The words, cut with an ellipsis if they are too long.
    """
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return line if len(line) <= longest else f"{line[: longest - 1]}…"


def banner(extras: SlateExtras) -> str:
    """Return what stands on every page of a slate without a way home; empty if there is one.

    So does a sentence where the way home was not judged.

    Parameters
    ----------
    extras
        What is printed besides the schedule.

    Returns
    -------
    str
        Such as ``NO WAY HOME from min 14 if EAN50 is lost. Printed on the word of M. Fraser.``

    Raises
    ------
    NoSafeAnswer
        If there is no way home and nobody answers for it by name.
    InputError
        If a name is given that is none.
    """
    if extras.override is not None and not any(c.isalpha() for c in extras.override):
        raise InputError(
            f"'{one_line(extras.override, _LONGEST_NAME)}' is no name of a person",
            where="override",
            right="the name of the person who answers for the slate",
        )
    if not extras.no_way_home:
        return one_line(extras.not_judged[:1].upper() + extras.not_judged[1:])
    if extras.override is None:
        cure = "cure the plan; or a person overrides by name, and the slate says so"
        raise NoSafeAnswer(*(Reason(f"no way home {case}", cure) for case in extras.no_way_home))
    name = one_line(extras.override, _LONGEST_NAME)
    more = len(extras.no_way_home) - 1
    others = f", and in {more} more case{'s' if more > 1 else ''}" if more else ""
    return f"NO WAY HOME {one_line(extras.no_way_home[0])}{others}: printed on the word of {name}"


def need_room(gauges: Sequence[GaugeLine], cases: Sequence[ShortSchedule]) -> None:
    """Refuse what cannot be printed legibly.

    Parameters
    ----------
    gauges
        For the front.
    cases
        For the back.

    Raises
    ------
    InputError
        If there are too many of them.
    """
    if len(gauges) > MOST_GAUGES:
        raise InputError(
            f"{len(gauges)} gauges do not fit on the front of a slate",
            right=f"at most {MOST_GAUGES}, or a slate for each diver",
        )
    levels = {row.depth_m for case in cases for row in case.rows}
    if len(cases) > MOST_CASES or len(levels) > MOST_LEVELS:
        raise InputError(
            f"{len(cases)} short schedules with {len(levels)} stop depths do not fit on one page",
            right=f"at most {MOST_CASES} schedules and {MOST_LEVELS} depths",
        )
