"""The gas of a closed circuit on the terminal: what feeds the loop, absorbent, bailout."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT, heading, wrapped
from slatewright.cli.words import depth_words
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import (
    pressure_left_label,
    volume_left_label,
    volume_needed_label,
)
from slatewright.supply.loop import is_oxygen
from slatewright.supply.loop_supply import NOT_LOOKED_AT

if TYPE_CHECKING:
    from slatewright.cli.gas_badges import Badges
    from slatewright.physics.units import UnitSystem
    from slatewright.supply.consumption import CylinderUse
    from slatewright.supply.loop_bailout import BailoutNeed
    from slatewright.supply.loop_divers import DiverLoop
    from slatewright.supply.loop_supply import LoopSupply

Lines = list[Text]


def bailout_in_short(found: LoopSupply) -> Text:
    """Say above all else whether each diver can come home on open circuit.

    Parameters
    ----------
    found
        The dive with its gas.
    """
    if found.deadly:
        return Text(f"NO WAY HOME: {found.deadly[0].text}", CAUTION)
    return Text("Bailout: each diver's own brings home from every minute of the dive")


def loop_notes(found: LoopSupply, badges: Badges, width: int) -> Lines:
    """Return the gas of a dive on a closed circuit, diver by diver.

    Parameters
    ----------
    found
        The dive with its gas.
    badges
        The marks of its gases.
    width
        Columns.
    """
    lines = [heading("Loop and bailout").append("  rounded to the safe side", "not bold")]
    units = found.plan.units
    for own in found.divers:
        lines.append(Text(f"  {own.diver.name}", HEAD))
        for use in own.cylinders:
            lines += wrapped(_feeding(use, own, units), width, indent=4)
        lines += wrapped(_scrubber(own), width, indent=4)
        for need in own.bailout:
            lines += wrapped(_bailout(need, badges, units), width, indent=4)
    return [
        *lines,
        *wrapped(Text(f"{NOT_LOOKED_AT[0].upper()}{NOT_LOOKED_AT[1:]}.", SOFT), width, indent=2),
    ]


def _feeding(use: CylinderUse, own: DiverLoop, units: UnitSystem) -> Text:
    name = "oxygen" if is_oxygen(use.carried.mix) else "diluent"
    gauges = own.diver.units
    start, end = (pressure_left_label(r.gauge_bar, gauges) for r in (use.start, use.end))
    used = volume_needed_label(use.used_free_l, units)
    text = Text(f"{name:<10}", SOFT).append(f"{start} to {end}", "bold not dim")
    text.append(f", {used} used, {use.carried.cylinder.name}", "not dim")
    if use.out_min is not None:
        text.append(f"; ENDS at {use.out_min:.0f} min", CAUTION)
    return text


def _scrubber(own: DiverLoop) -> Text:
    found = own.scrubber
    text = Text(f"{'absorbent':<10}", SOFT)
    breathed = f"{found.used_min + found.breathed_min:.0f} min"
    if found.lasts_min is None:
        return text.append(f"{breathed}; nothing is stated for {found.work} in this water", CAUTION)
    text.append(breathed, "bold not dim")
    return text.append(
        f" of {found.lasts_min:g} min stated for {found.work} in this water, "
        f"{found.reserve_min:g} min kept back",
        "not dim",
    )


def _bailout(need: BailoutNeed, badges: Badges, units: UnitSystem) -> Text:
    needed = volume_needed_label(free_litres(need.mix, need.needed_mol), units)
    there = volume_left_label(free_litres(need.mix, need.available_mol), units)
    text = Text(f"{'bailout':<10}", SOFT).append_text(badges.of(need.mix))
    text.append(f"  {needed} needed of {there}", HEAD if need.enough else CAUTION)
    return text.append(
        f", at most from {need.at_min:.0f} min, {depth_words(need.at_m, units)}", "not bold not dim"
    )
