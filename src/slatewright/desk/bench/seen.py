"""What the bench page shows of a computed plan."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from slatewright.cautions import NO_CYLINDERS
from slatewright.desk.bench.along_drawing import density_picture, ppo2_picture
from slatewright.desk.bench.figures import Figure, figures_of
from slatewright.desk.bench.gauges import GaugesOf, gauges_of
from slatewright.desk.bench.loops import NOT_SHOWN, LoopOf, loops_of, setpoints_of
from slatewright.desk.bench.minute import Minute, minute_of
from slatewright.desk.bench.profile_drawing import profile_picture
from slatewright.desk.bench.result import Result
from slatewright.desk.bench.tables import (
    Card,
    GasSeen,
    Line,
    cards_of,
    gases_of,
    legend_of,
    schedule_of,
)
from slatewright.desk.workings import Shown
from slatewright.dive.hazard import Severity
from slatewright.physics.units import UnitSystem

USUAL_WIDTH_PX = 860
LEAST_WIDTH_PX = 300
MOST_WIDTH_PX = 1400
_SHORT = {
    "out-of-gas", "minimum-gas", "decompression-reserve",
    "no-bailout", "bailout-gas", "loop-gas", "scrubber",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Seen:
    """A computed plan as the page shows it.

    Parameters
    ----------
    key
        What the result is kept under.
    title
        The plan's title.
    units
        The units of the reader.
    earlier
        How many dives come before it.
    figures
        The figures of the head.
    check
        The second check's verdict.
    gases
        The gases, leanest first.
    profile, ppo2, density
        The charts, as SVG.
    lines
        The schedule.
    cards
        The hazards.
    dangers, warnings, notes
        How many there are of each.
    team
        The cylinders of each diver; empty on a closed circuit.
    setpoints
        What the loop of a closed circuit is set to, name and words; empty on open circuit.
    loops
        The loop of each diver; empty on open circuit.
    loops_lack
        What is not shown of a closed circuit, a sentence; empty on open circuit.
    gas_missing
        Why nobody knows whether there is gas enough; empty if it is known.
    no_cylinders
        Whether that is because the plan names none.
    minute
        The price of one more minute at the bottom; None if nobody knows the gas, and on a closed
        circuit.
    enough
        Whether each diver has what is to be there of each gas, and of absorbent.
    way
        The path of the way home; empty if it cannot be judged.
    """

    key: str
    title: str
    units: UnitSystem
    earlier: int
    figures: tuple[Figure, ...]
    check: Shown
    gases: tuple[GasSeen, ...]
    profile: Markup
    ppo2: Markup
    density: Markup
    lines: tuple[Line, ...]
    cards: tuple[Card, ...]
    dangers: int
    warnings: int
    notes: int
    team: tuple[GaugesOf, ...]
    setpoints: tuple[tuple[str, str], ...]
    loops: tuple[LoopOf, ...]
    loops_lack: str
    gas_missing: str
    no_cylinders: bool
    minute: Minute | None
    enough: bool
    way: str


def seen_of(result: Result, bench: str, width_px: float) -> Seen:
    """Return what the page shows of a computed plan.

    Parameters
    ----------
    result
        The plan, computed.
    bench
        The path of its bench.
    width_px
        The room for the charts [px].
    """
    how = f"{bench}/how/{result.key}"
    gases = gases_of(result)
    counted = [hazard.severity for hazard in result.hazards]
    verdict = result.dive.verdict
    return Seen(
        key=result.key,
        title=result.dive.plan.title,
        units=result.units,
        earlier=result.earlier,
        figures=figures_of(result, how),
        check=Shown("passed" if verdict.passed else "failed", account=f"{how}/check"),
        gases=legend_of(result, gases),
        profile=profile_picture(result.dive, width_px),
        ppo2=ppo2_picture(result.dive, result.along, width_px),
        density=density_picture(result.dive, result.along, width_px),
        lines=schedule_of(result, gases, how),
        cards=cards_of(result),
        dangers=counted.count(Severity.DANGER),
        warnings=counted.count(Severity.WARNING),
        notes=counted.count(Severity.NOTE),
        team=gauges_of(result, gases, how),
        setpoints=setpoints_of(result),
        loops=loops_of(result, gases, how),
        loops_lack=NOT_SHOWN if result.loops else "",
        gas_missing=result.gas_missing,
        no_cylinders=result.gas_missing == NO_CYLINDERS,
        minute=minute_of(result, how),
        enough=not _SHORT & {hazard.code for hazard in result.hazards},
        way=f"{bench}/way/{result.key}" if result.has_way else "",
    )


def width_of(text: str) -> int:
    """Return the room for the charts that a form states, within what is sensible [px].

    Parameters
    ----------
    text
        What it states.
    """
    width = int(text) if text.isdecimal() and len(text) < 6 else USUAL_WIDTH_PX
    return min(max(width, LEAST_WIDTH_PX), MOST_WIDTH_PX)
