"""What a profile is made of, each with its place on the sheet."""

from __future__ import annotations

from dataclasses import dataclass, field

from slatewright.dive.hazard import Severity
from slatewright.paper.profile_frame import Frame
from slatewright.paper.theme import GasMark
from slatewright.physics.mixture import Mixture


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text.

    Parameters
    ----------
    style
        Its style on the chart: gas, sounding, small, level, caution, shore.
    text
        The text.
    x_px, y_px
        Its centre, from the corner where surface and time zero meet [px].
    over_line
        True if a thin line is broken behind it, as charts break a contour for its figure.
    """

    style: str
    text: str
    x_px: float
    y_px: float
    over_line: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """A gas mark where a gas begins.

    Parameters
    ----------
    letter
        The letter of the gas.
    x_px, y_px
        Its centre [px].
    """

    letter: str
    x_px: float
    y_px: float


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring round a hazard.

    Parameters
    ----------
    severity
        The worst of the hazards within it.
    x_px, y_px
        Its centre [px].
    """

    severity: Severity
    x_px: float
    y_px: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the profile on one gas.

    Parameters
    ----------
    letter
        The letter of the gas.
    points
        Run time [min] and depth [m or ft] of its corners.
    """

    letter: str
    points: tuple[tuple[float, float], ...]


@dataclass(slots=True)
class ProfileSheet:
    """A profile, ready to be drawn.

    Parameters
    ----------
    frame
        The plotting area.
    marks
        The mark of each gas.
    stretches
        The profile, gas by gas.
    ceiling
        Run time [min] and depth [m or ft] of the ceiling, never above the surface.
    words, gas_starts, rings
        What is written and marked.
    """

    frame: Frame
    marks: dict[Mixture, GasMark]
    stretches: list[Stretch]
    ceiling: list[tuple[float, float]]
    words: list[Words] = field(default_factory=list)
    gas_starts: list[Mark] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
