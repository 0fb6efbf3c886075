"""Whether there is enough, on the terminal: all gauges side by side, minimum gas, who carries."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import HEAD, SOFT, entries, heading, wrapped
from slatewright.cli.words import depth_words
from slatewright.paper.reading import depth_text, minutes_down, minutes_up
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import (
    pressure_left_label,
    pressure_needed_label,
    volume_left_label,
    volume_needed_label,
)
from slatewright.supply.gauges import Look, gauge_blocks, minimum_rows
from slatewright.supply.turn import GAUGE_STEP

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from slatewright.cli.gas_badges import Badges
    from slatewright.physics.mixture import Mixture
    from slatewright.physics.units import UnitSystem
    from slatewright.supply.gauges import GaugeBlock, GaugeRow
    from slatewright.supply.matching import DiverSupply
    from slatewright.supply.supply import Supply

Lines = list[Text]

_LOOK: Final = 16
_MIN: Final = 5
_DEPTH: Final = 6
_GAUGE: Final = 10
_LONGEST_NAME: Final = _GAUGE - 1
_BOLD: Final = {Look.TURN, Look.MINIMUM, Look.RESERVE}


def supply_notes(supply: Supply, badges: Badges, width: int) -> Lines:
    """Return the gas of a dive.

    Parameters
    ----------
    supply
        The gas of the dive.
    badges
        The marks of its gases.
    width
        Columns.
    """
    steps = " or ".join(dict.fromkeys(_step(own) for own in supply.divers))
    told = f"  rounded to the safe side, what must be there to {steps}"
    lines = [*wrapped(heading("Supply").append(told, "not bold"), width), *_heads(supply)]
    for block in gauge_blocks(supply):
        lines += _block(block, supply, badges)
    lines += [Text(), *_minimum(supply, badges, width), Text(), *_team(supply, width)]
    return lines


def _step(own: DiverSupply) -> str:
    units = own.diver.units
    return f"{GAUGE_STEP[units]:g} {units.pressure_unit}"


def _heads(supply: Supply) -> Lines:
    names = "".join(f"{_short(own.diver.name):>{_GAUGE}}" for own in supply.divers)
    units = "".join(f"{own.diver.units.pressure_unit:>{_GAUGE}}" for own in supply.divers)
    depth_unit = supply.plan.units.depth_unit
    return [
        Text(f"  {'':<{_LOOK}}{'min':>{_MIN}}{depth_unit:>{_DEPTH}}").append(names, HEAD),
        Text(f"  {'':<{_LOOK + _MIN + _DEPTH}}{units}", SOFT),
    ]


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}."


def _block(block: GaugeBlock, supply: Supply, badges: Badges) -> Lines:
    head = Text("  ").append_text(_cylinder(block.label, block.mix, badges))
    head.append(f"  {_sizes(block, supply)}", SOFT)
    return [head, *(_row(row, supply) for row in block.rows)]


def _cylinder(label: str, mix: Mixture, badges: Badges) -> Text:
    """Return a cylinder by the badge of its gas and what else its label says."""
    rest = label.removesuffix(str(mix)).strip()
    badge = badges.of(mix)
    return badge.append(f", {rest}", "default not bold") if rest else badge


def _sizes(block: GaugeBlock, supply: Supply) -> str:
    known = dict.fromkeys(size for size in block.sizes if size is not None)
    if len(known) == 1 and None not in block.sizes:
        return next(iter(known))
    pairs = zip(supply.divers, block.sizes, strict=True)
    return ", ".join(f"{own.diver.name} {size}" for own, size in pairs if size is not None)


def _row(row: GaugeRow, supply: Supply) -> Text:
    units = supply.plan.units
    minute = "" if row.at_min is None else str(minutes_up(row.at_min))
    depth = "" if row.at_m is None else depth_text(row.at_m, units)
    line = Text(f"    {row.look:<{_LOOK - 2}}", "" if row.look in _BOLD else SOFT)
    line.append(f"{minute:>{_MIN}}{depth:>{_DEPTH}}", "not dim")
    for own, bar in zip(supply.divers, row.gauges_bar, strict=True):
        line.append(
            f"{_gauge(bar, own.diver.units, needed=row.look.is_needed):>{_GAUGE}}",
            HEAD if row.look in _BOLD else "not dim",
        )
    return line


def _gauge(bar: float | None, units: UnitSystem, *, needed: bool) -> str:
    """Return a pressure without its unit; a dash for none."""
    if bar is None:
        return "-"
    label = (pressure_needed_label if needed else pressure_left_label)(bar, units)
    return label.removesuffix(units.pressure_unit).strip()


def _minimum(supply: Supply, badges: Badges, width: int) -> Lines:
    units = supply.plan.units
    two = "two" if len(supply.divers) > 1 else "one"
    told = f"Minimum gas: what brings {two}, stressed, from a depth to the next gas"
    lines = wrapped(Text(told, HEAD), width, indent=2)
    columns = f"{'problem':>9}{'ascent':>8}  "
    names = "".join(f"{_short(own.diver.name):>{_GAUGE}}" for own in supply.divers)
    before = _LOOK + _MIN + _DEPTH - len(columns)
    lines.append(Text(f"  {'from':<{before}}{columns}").append(names, HEAD))
    last: tuple[str, str] | None = None
    for row in minimum_rows(supply):
        minimum = row.minimum
        goal = "the surface" if minimum.next_mix is None else ""
        if minimum.next_mix is not None:
            goal = f"{minimum.next_mix} at {depth_words(minimum.next_m, units)}"
        if (row.label, goal) != last:
            last = (row.label, goal)
            head = Text("  ").append_text(_cylinder(row.label, minimum.mix, badges))
            lines.append(head.append(f"  to {goal}", SOFT))
        place = f"  {depth_words(minimum.at_m, units)}"
        problem = f"{minimum.problem_min:g} min"
        ascent = f"{minutes_up(minimum.ascent_min)} min"
        line = Text(f"  {place:<{before}}{problem:>9}{ascent:>8}  ")
        for own, bar in zip(supply.divers, row.gauges_bar, strict=True):
            line.append(f"{_gauge(bar, own.diver.units, needed=True):>{_GAUGE}}")
        lines.append(line)
    return lines


def _team(supply: Supply, width: int) -> Lines:
    rows: list[tuple[str, str | Text]] = []
    if len(supply.divers) > 1:
        carries = [
            f"{own.diver.name} carries for {own.carries_for.name} ({_rate(own, supply)})"
            for own in supply.divers
            if own.carries_for is not None
        ]
        rows.append(("reserve", f"{', '.join(carries)}: both together, in stress"))
    rows.append(("turn", _turn(supply)))
    rows.append(("one minute", _price(supply)))
    return entries(rows, width)


def _rate(own: DiverSupply, supply: Supply) -> str:
    return f"{volume_needed_label(own.sharing_l_per_min, supply.plan.units)}/min"


def _turn(supply: Supply) -> str:
    rule = supply.team.rules.turn_rule
    decides = next(own for own in supply.divers if own.turn.decides)
    usable = volume_left_label(
        free_litres(supply.turn_mix, decides.turn.usable_mol), supply.plan.units
    )
    who = f"{decides.diver.name} decides for all: " if len(supply.divers) > 1 else ""
    said = f"by the rule '{rule}': {who}{usable} of {supply.turn_mix} beyond the minimum gas"
    if decides.turn_min is None:
        return f"{said}; the planned stay ends before anybody comes to the turn"
    return f"{said}; the planned dive comes to the turn at {minutes_down(decides.turn_min)} min"


def _price(supply: Supply) -> str:
    units, level = supply.plan.units, supply.plan.levels[-1]
    price = supply.price
    if price is None:
        return "one more at the bottom, and there is no safe dive"
    there = _amounts(price.at_depth_mol, units)
    above = _amounts(price.above_mol, units)
    more = minutes_up(abs(price.ascent_min))
    time = f"{more} min {'less' if price.ascent_min < 0.0 else 'more'} of ascent"
    return (
        f"one more at {depth_words(level.depth_m, units)} costs {supply.divers[0].diver.name} "
        f"{there} there; above, {time}{f' and {above}' if above else ''}"
    )


def _amounts(amounts_mol: Mapping[Mixture, float], units: UnitSystem) -> str:
    told: Sequence[str] = [
        f"{volume_needed_label(free_litres(mix, mol), units)} of {mix}"
        if mol > 0.0
        else f"{volume_left_label(free_litres(mix, -mol), units)} less of {mix}"
        for mix, mol in amounts_mol.items()
        if abs(mol) > _CRUMB_MOL
    ]
    return ", ".join(told)


_CRUMB_MOL: Final = 1e-6
