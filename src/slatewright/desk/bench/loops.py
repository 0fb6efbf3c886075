"""A closed circuit as the page shows it: setpoints, what feeds each loop, absorbent, bailout."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from markupsafe import Markup

from slatewright.desk.bench.gauges import WIDTH, flat_gauge, gauge_picture
from slatewright.desk.bench.profile_drawing import marks_of
from slatewright.desk.bench.result import Result
from slatewright.desk.bench.tables import GasSeen
from slatewright.desk.workings import Shown
from slatewright.dive import say
from slatewright.paper.reading import depth_text, minutes_up, setpoints_text
from slatewright.paper.theme import mixture_name
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import (
    pressure_left_label,
    volume_left_label,
    volume_needed_label,
)
from slatewright.supply.loop import is_oxygen
from slatewright.supply.loop_bailout import open_kit
from slatewright.supply.loop_supply import NOT_LOOKED_AT

if TYPE_CHECKING:
    from slatewright.paper.theme import GasMark
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.units import UnitSystem
    from slatewright.supply.consumption import CylinderUse
    from slatewright.supply.kit import Diver
    from slatewright.supply.loop_bailout import BailoutNeed
    from slatewright.supply.loop_divers import Scrubber

NOT_SHOWN: Final = (
    f"{NOT_LOOKED_AT[:1].upper()}{NOT_LOOKED_AT[1:]}, nor what one more minute at the bottom costs."
)


@dataclass(frozen=True, slots=True)
class Feeding:
    """A cylinder that feeds a loop.

    Parameters
    ----------
    name
        ``diluent`` or ``oxygen``.
    gas
        What is in it; oxygen has no mark.
    size
        Its vessel.
    picture
        The flat gauge, as SVG.
    start, end
        What it shows before and after the dive.
    used
        What the dive takes of it.
    ends
        When it can give no more; empty if that never happens.
    """

    name: str
    gas: GasSeen
    size: str
    picture: Markup
    start: Shown
    end: Shown
    used: Shown
    ends: str


@dataclass(frozen=True, slots=True)
class Absorbent:
    """The absorbent of a loop.

    Parameters
    ----------
    breathed
        For how long it will have been breathed.
    stated
        How long it lasts, as it is stated, in words.
    short
        Whether that is not enough, or nothing is stated.
    """

    breathed: Shown
    stated: str
    short: bool


@dataclass(frozen=True, slots=True)
class Bailout:
    """A bailout gas in the minute from which the way home leaves the least of it.

    Parameters
    ----------
    gas
        The gas.
    cylinders
        The vessels that hold it.
    picture
        What is needed of what is there, as SVG.
    needed, there
        Both in figures.
    at
        When and where the loop fails then.
    lacks
        Whether it is not enough.
    """

    gas: GasSeen
    cylinders: str
    picture: Markup
    needed: Shown
    there: Shown
    at: str
    lacks: bool


@dataclass(frozen=True, slots=True)
class LoopOf:
    """The loop of a diver.

    Parameters
    ----------
    name
        Who.
    feeding
        What feeds it, diluent first.
    absorbent
        Its absorbent.
    bailout
        Each bailout gas.
    """

    name: str
    feeding: tuple[Feeding, ...]
    absorbent: Absorbent
    bailout: tuple[Bailout, ...]


def setpoints_of(result: Result) -> tuple[tuple[str, str], ...]:
    """Return what a loop is set to, in words; empty on open circuit.

    Parameters
    ----------
    result
        The dive.
    """
    plan, units = result.dive.plan, result.units
    loop = plan.loop
    if loop is None:
        return ()
    bottom = f"{say.setpoint(loop.bottom_bar)} bar"
    return (
        ("setpoint on the way down", setpoints_text(loop.down, units, "the surface")),
        ("at the bottom", bottom),
        ("on the way up", setpoints_text(loop.up, units, "the bottom") or bottom),
    )


def loops_of(result: Result, gases: dict[Mixture, GasSeen], how: str) -> tuple[LoopOf, ...]:
    """Return the loops of a team; empty on open circuit.

    Parameters
    ----------
    result
        The dive.
    gases
        Its gases.
    how
        The path under which its accounts are served.
    """
    marks = marks_of(result.dive)

    def gas_of(mix: Mixture) -> GasSeen:
        return gases.get(mix) or GasSeen(mixture_name(mix), Markup(), Markup(), "")

    return tuple(
        LoopOf(
            name=own.diver.name,
            feeding=tuple(
                _feeding(
                    use,
                    gas_of(use.carried.mix),
                    marks.get(use.carried.mix),
                    (own.diver.units, result.units),
                    f"{how}/feeding/{number}/{position}",
                )
                for position, use in enumerate(own.cylinders)
            ),
            absorbent=_absorbent(own.scrubber, f"{how}/absorbent/{number}"),
            bailout=tuple(
                _bailout(
                    own.diver,
                    need,
                    gas_of(need.mix),
                    marks[need.mix],
                    result.units,
                    f"{how}/bailout/{number}/{position}",
                )
                for position, need in enumerate(own.bailout)
            ),
        )
        for number, own in enumerate(result.loops)
    )


def _feeding(
    use: CylinderUse,
    gas: GasSeen,
    mark: GasMark | None,
    units: tuple[UnitSystem, UnitSystem],
    account: str,
) -> Feeding:
    """Return a cylinder of a loop; the units are those of the gauge and of the reader."""
    gauge, reader = units
    ends = use.out_min is not None
    return Feeding(
        name="oxygen" if is_oxygen(use.carried.mix) else "diluent",
        gas=gas,
        size=use.carried.cylinder.name,
        picture=gauge_picture(use, gauge, mark, lacks=ends),
        start=Shown(pressure_left_label(use.start.gauge_bar, gauge)),
        end=Shown(pressure_left_label(use.end.gauge_bar, gauge), account=account),
        used=Shown(volume_needed_label(use.used_free_l, reader), account=account),
        ends=f"nothing from {use.out_min:.0f} min on" if use.out_min is not None else "",
    )


def _absorbent(found: Scrubber, account: str) -> Absorbent:
    breathed_min = found.used_min + found.breathed_min
    if found.lasts_min is None:
        stated = f"nothing is stated for {found.work} in this water"
    else:
        stated = (
            f"of {found.lasts_min:g} min stated for {found.work} in this water, "
            f"{found.reserve_min:g} min kept back"
        )
    left_min = found.left_min
    return Absorbent(
        breathed=Shown(str(minutes_up(breathed_min)), "min", account=account),
        stated=stated,
        short=left_min is None or left_min < found.reserve_min,
    )


def _bailout(
    diver: Diver,
    need: BailoutNeed,
    gas: GasSeen,
    mark: GasMark,
    units: UnitSystem,
    account: str,
) -> Bailout:
    needed = volume_needed_label(free_litres(need.mix, need.needed_mol), units)
    there = volume_left_label(free_litres(need.mix, need.available_mol), units)
    held = [one for one in open_kit(diver).kit if one.mix == need.mix]
    return Bailout(
        gas=gas,
        cylinders=", ".join(one.cylinder.name for one in held),
        picture=_need_picture(need, mark, f"{needed} needed of {there}"),
        needed=Shown(needed, account=account),
        there=Shown(there),
        at=f"{need.at_min:.0f} min, {depth_text(need.at_m, units)} {units.depth_unit}",
        lacks=not need.enough,
    )


def _need_picture(need: BailoutNeed, mark: GasMark, said: str) -> Markup:
    """Draw what is there of a gas: the pale part is what the worst way home takes."""
    share = need.needed_mol / need.available_mol if need.available_mol > 0.0 else 1.0
    left = WIDTH * max(0.0, 1.0 - share)
    return flat_gauge(left, WIDTH, mark, f"{need.mix}: {said}", lacks=not need.enough)
