"""The schedule as a table for the terminal: fixed columns, a heavy rule where the gas changes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT
from slatewright.paper.dive_rows import Change, Row, Way, dive_lines, hazards_by_row
from slatewright.paper.reading import depth_text

if TYPE_CHECKING:
    from slatewright.cli.gas_badges import Badges
    from slatewright.dive.schedule import Schedule
    from slatewright.physics.units import UnitSystem

_ACT: Final = 9
_NUMBER: Final = 7
_GAS: Final = 15
_PPO2: Final = 5
WIDTH: Final = _ACT + 3 * _NUMBER + 3 + _GAS + _PPO2
"""Columns from the first letter to the last digit of ppO2."""


def dive_table(dive: Schedule, badges: Badges) -> list[Text]:
    """Return the lines of the schedule.

    Parameters
    ----------
    dive
        The finished dive.
    badges
        The marks of its gases.
    """
    units = dive.plan.units
    lines = dive_lines(dive)
    marked = hazards_by_row(lines, dive.hazards)
    table = _head(units)
    for position, line in enumerate(lines):
        if isinstance(line, Row):
            table.append(_row(line, units, badges, marked.get(position, ())))
        elif isinstance(line, Change):
            table.append(_change(line, units, badges))
        else:
            table.append(_way(line, units))
    for text in table:
        text.pad_left(1)
    return table


def _cells(act: str, leave: str, depth: str, stop: str) -> str:
    numbers = "".join(f"{cell:>{_NUMBER}}" for cell in (leave, depth, stop))
    return f"{act:<{_ACT}}{numbers}   "


def _head(units: UnitSystem) -> list[Text]:
    names = _cells("", "leave", "depth", "stop") + f"{'gas':<{_GAS}}{'ppO2':>{_PPO2}}"
    under = _cells("", "min", units.depth_unit, "min") + f"{'':<{_GAS}}{'bar':>{_PPO2}}"
    return [Text(names, HEAD), Text(under, SOFT)]


def _row(row: Row, units: UnitSystem, badges: Badges, hazards: tuple[int, ...]) -> Text:
    depth = depth_text(row.depth_m, units)
    stop = "" if row.stop_min is None else str(row.stop_min)
    cells = _cells(row.act, str(row.leave_min), depth, stop)
    line = Text(cells)
    line.stylize(SOFT, 0, _ACT)
    line.stylize(HEAD, _ACT, _ACT + _NUMBER)
    badge = badges.breathed(row.gas, row.setpoint_bar)
    badge.pad_right(max(_GAS - len(badge), 0))
    line.append_text(badge).append(f"{row.ppo2_bar:>{_PPO2}.2f}", "not bold")
    if hazards:
        line.append(f"  {_marks(hazards)}", CAUTION)
    return line


def _marks(hazards: tuple[int, ...]) -> str:
    """Return the marks of hazards, three and more in a row as one, such as ``!1-!4 !6``."""
    runs: list[list[int]] = []
    for number in hazards:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = (
        [f"!{run[0] + 1}-!{run[-1] + 1}"] if len(run) > 2 else [f"!{number + 1}" for number in run]
        for run in runs
    )
    return " ".join(mark for marks in told for mark in marks)


def _change(change: Change, units: UnitSystem, badges: Badges) -> Text:
    place = f" {depth_text(change.depth_m, units)} {units.depth_unit} "
    before = _ACT + 2 * _NUMBER - len(place) + len(f" {units.depth_unit} ")
    words = (
        Text(f" {change.verb} ", HEAD)
        .append_text(badges.breathed(change.gas, change.setpoint_bar))
        .append(" ")
    )
    line = Text("\u2501" * before + place + "\u2501\u2501").append_text(words)
    return line.append("\u2501" * max(WIDTH - len(line), 2))


def _way(way: Way, units: UnitSystem) -> Text:
    arrow = "\u2193" if way.act == "descend" else "\u2191"
    rate = depth_text(way.rate_m_per_min, units)
    place = f"{arrow} {rate} {units.depth_unit}/min"
    return Text(f"{way.act:<{_ACT}}{place:>{2 * _NUMBER + len(units.depth_unit) + 5}}", SOFT)
