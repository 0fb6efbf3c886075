"""A plan file that is a text and no file: what is kept in the store, or typed on a page."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from slatewright.dive._plan_contradictions import arrivals_min
from slatewright.dive.plan import Use
from slatewright.dive.planfile import PlanFile, parse_plan_file
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.toml.faults import toml_of


@dataclass(frozen=True, slots=True)
class Outline:
    """What a plan is about, at a glance.

    Parameters
    ----------
    title
        Its title.
    units
        The units in which it is written.
    levels
        Depth [m] and run time at which it is left [min], of each stay in order of time.
    gases
        The mixtures carried, bottom gases first, then the others from lean to rich.
    """

    title: str
    units: UnitSystem
    levels: tuple[tuple[float, float], ...]
    gases: tuple[Mixture, ...]

    @property
    def deepest_m(self) -> float:
        """The greatest depth [m]."""
        return max(depth_m for depth_m, _ in self.levels)

    @property
    def bottom_min(self) -> float:
        """Run time at which the last stay is left [min]."""
        return self.levels[-1][1]


def read_plan_text(text: str, path: Path | None = None) -> PlanFile:
    """Read a plan file from its text.

    Parameters
    ----------
    text
        The text.
    path
        What to call the file in messages; None for just "plan".

    Returns
    -------
    PlanFile
        What it says.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    return parse_plan_file(text, toml_of(text, path), path)


def outline_of(plan: PlanFile, *, whole_minutes: bool = True) -> Outline:
    """Return what a plan is about.

    Parameters
    ----------
    plan
        The plan file.
    whole_minutes
        Whether a stay given in minutes ends on a whole minute of run time, as the house rule
        `whole_minutes` says.
    """
    bottom = {gas.mixture for gas in plan.gas if Use.BOTTOM in gas.use}
    return Outline(
        title=plan.title,
        units=plan.units,
        levels=tuple(
            (level.metres("depth_{}", plan.units) or 0.0, left_min)
            for level, (_, left_min) in zip(
                plan.level, arrivals_min(plan, whole_minutes=whole_minutes), strict=True
            )
        ),
        gases=tuple(
            sorted(
                {gas.mixture for gas in plan.gas},
                key=lambda mix: (mix not in bottom, mix.o2, -mix.he),
            )
        ),
    )
