"""What stands beside the schedule: travel gas, oxygen, hazards, house rules, second check."""

from __future__ import annotations

import math
from collections import Counter
from itertools import zip_longest
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright import cautions
from slatewright.cli.console import CAUTION, HEAD, entries, heading, wrapped
from slatewright.cli.words import depth_words, rule_words
from slatewright.decompression.oxygen import daily_allowance_otu
from slatewright.dive import say
from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.paper.reading import setpoints_text
from slatewright.physics.units import Side, depth_label

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from slatewright.cli.gas_badges import Badges
    from slatewright.dive.hazard import Hazard
    from slatewright.dive.plan import Plan
    from slatewright.dive.schedule import Schedule
    from slatewright.dive.travel import SwitchWindow

Lines = list[Text]

_STYLES: Final = {
    Severity.DANGER: f"{CAUTION} reverse",
    Severity.WARNING: CAUTION,
    Severity.NOTE: "magenta",
}
_NEAR_M: Final = 1e-6
_LAST_DAY: Final = 30
"""Where the table of daily oxygen doses ends."""


def travel_notes(dive: Schedule, badges: Badges, width: int) -> Lines:
    """Return each change on the way down: its window, the chosen depth, and why.

    Parameters
    ----------
    dive
        The finished dive.
    badges
        The marks of its gases.
    width
        Columns.
    """
    if not dive.switches:
        return []
    rows: list[tuple[str, str | Text]] = []
    for window in dive.switches:
        gases = badges.of(window.left).append(" to ", "default not bold")
        gases.append_text(badges.of(window.taken))
        chosen = Text(depth_words(window.chosen_m, dive.plan.units), HEAD)
        chosen.append(_why_there(window, dive.plan), "not bold")
        rows += [("change", gases), ("at", chosen), ("window", _window(window, dive.plan))]
    names = ("floor_bar", "ppo2_bottom_max_bar", "ppo2_tolerance_bar")
    rows.append(("rules", _rule_list(dive.plan.rules, names)))
    return [heading("Travel gas"), *entries(rows, width)]


def setpoint_notes(dive: Schedule, badges: Badges, width: int) -> Lines:
    """Return diluent and setpoints of a closed circuit; nothing on open circuit.

    Parameters
    ----------
    dive
        The finished dive.
    badges
        The marks of its gases.
    width
        Columns.
    """
    loop, units = dive.plan.loop, dive.plan.units
    if loop is None:
        return []
    bottom = f"{say.setpoint(loop.bottom_bar)} bar"
    bailout = Text(", ").join(badges.of(gas.mix) for gas in dive.plan.bailout_gases)
    rows: list[tuple[str, str | Text]] = [
        ("diluent", badges.of(loop.diluent)),
        ("down", setpoints_text(loop.down, units, "the surface")),
        ("bottom", bottom),
        ("up", setpoints_text(loop.up, units, "the bottom") or bottom),
        ("bailout", bailout),
    ]
    return [heading("Loop").append("  setpoints, from a depth on", "not bold"),
            *entries(rows, width)]  # fmt: skip


def _window(window: SwitchWindow, plan: Plan) -> str:
    top = depth_label(window.shallowest_m, plan.units, side=Side.DEEP)
    end = depth_label(window.deepest_m, plan.units, side=Side.SHALLOW)
    to_the_bottom = window.deepest_m > plan.levels[0].depth_m - _NEAR_M
    why = "where the dive levels off" if to_the_bottom else f"deeper, {window.left} is hyperoxic"
    if window.shallowest_m > _NEAR_M:
        why = f"shallower, {window.taken} is hypoxic; {why}"
    return f"{top} to {end} ({why})"


def _why_there(window: SwitchWindow, plan: Plan) -> str:
    if window.asked_m is None:
        return ", near the middle of the window: the plan asks for no depth"
    if window.moved:
        return f", not {depth_words(window.asked_m, plan.units)} as asked: outside the window"
    return ", as the plan asks"


def oxygen_notes(dive: Schedule, width: int) -> Lines:
    """Return the oxygen exposure on surfacing.

    Parameters
    ----------
    dive
        The finished dive.
    width
        Columns.
    """
    dose, carried, rules = dive.oxygen, dive.plan.carried, dive.plan.rules
    day = min(carried.day, _LAST_DAY) if carried else 1
    cns = f"{dose.cns_pct:.1f} %" if math.isfinite(dose.cns_pct) else "beyond the published tables"
    cns_basis = f" of a single exposure ({rule_words(rules, 'oxygen_table')})"
    lungs = f" OTU today; day {day} allows {daily_allowance_otu(day):.0f}"
    rows: list[tuple[str, str | Text]] = [
        ("CNS share", Text(cns, HEAD).append(cns_basis, "not bold")),
        ("lungs", Text(f"{dose.otu:.0f}", HEAD).append(lungs, "not bold")),
        (
            "second opinion",
            f"{dose.risk_pct:.1f} % risk of a symptom (power-law index {dose.index_k:.0f})",
        ),
        ("highest ppO2", f"{dose.highest_ppo2_bar:.2f} bar"),
    ]
    if carried:
        brought = (
            f"CNS {carried.cns_pct:.1f} %; {carried.otu_today:.0f} OTU of today, "
            f"{carried.otu_before_today:.0f} of the days before"
        )
        rows.append(("carried in", brought))
    return [heading("Oxygen on surfacing"), *entries(rows, width)]


def hazard_notes(dive: Schedule, width: int) -> Lines:
    """Return the hazards, numbered as in the table.

    Parameters
    ----------
    dive
        The finished dive.
    width
        Columns.
    """
    lines = [heading("Hazards").append(f"  {_count(dive.hazards)}", "not bold")]
    for number, hazard in enumerate(dive.hazards, start=1):
        if number > 1:
            lines.append(Text())
        lines += _hazard(number, hazard, dive.plan, width)
    return lines


def _count(hazards: Sequence[Hazard]) -> str:
    counted = Counter(hazard.severity for hazard in hazards)
    words = [
        f"{counted[severity]} {severity}" + ("s" if counted[severity] > 1 else "")
        for severity in reversed(Severity)
        if counted[severity]
    ]
    return ", ".join(words) or "none found"


def _hazard(number: int, hazard: Hazard, plan: Plan, width: int) -> Lines:
    head = Text("  ").append(f"!{number} {hazard.severity.upper()}", _STYLES[hazard.severity])
    head.append(f"  {hazard.code.replace('-', ' ')}", HEAD)
    if hazard.at_min > 0.0:
        head.append(f"  at {hazard.at_min:.1f} min, {depth_words(hazard.at_m, plan.units)}")
    rows: list[tuple[str, str | Text]] = [("what", hazard.text), ("why", hazard.why)]
    if hazard.cure:
        rows.append(("cure", hazard.cure))
    if hazard.house_rules:
        rows.append(("rules", _rule_list(plan.rules, hazard.house_rules)))
    return [head, *entries(rows, width, indent=5, column=7)]


def _rule_list(rules: HouseRules, names: Iterable[str]) -> str:
    return ", ".join(rule_words(rules, name) for name in names)


def rule_notes(dive: Schedule, source: str, width: int) -> Lines:
    """Return all house rules in force, and what those were as shipped that are not.

    Parameters
    ----------
    dive
        The finished dive.
    source
        Where they come from, in words.
    width
        Columns.
    """
    rules, shipped = dive.plan.rules, HouseRules()
    lines = wrapped(heading("House rules").append(f"  {source}", "not bold"), width)
    texts: Lines = []
    for name in type(rules).model_fields:
        line = Text(f"  {rule_words(rules, name)}")
        if rule_words(rules, name) != rule_words(shipped, name):
            line.append(f"  (shipped: {rule_words(shipped, name).partition(' = ')[2]})", HEAD)
        texts.append(line)
    return [*lines, *_in_columns(texts, width)]


def _in_columns(texts: Lines, width: int) -> Lines:
    """Set short lines in two columns, read downwards, where they fit."""
    column = max(len(text) for text in texts) + 1
    if 2 * column > width:
        return texts
    half = (len(texts) + 1) // 2
    lines = []
    for left, right in zip_longest(texts[:half], texts[half:], fillvalue=Text()):
        line = Text().append_text(left)
        line.pad_right(column - len(left) if right else 0)
        lines.append(line.append_text(right))
    return lines


def check_notes(dive: Schedule, width: int) -> Lines:
    """Return the second check's verdict.

    Parameters
    ----------
    dive
        The finished dive, which has passed: a failed one is not shown.
    width
        Columns.
    """
    verdict = dive.verdict
    head = heading("Second check").append("  passed", HEAD)
    text = f"{verdict.checked_levels} arrivals held against the line; {verdict.method}."
    return [head, *wrapped(Text(text), width, indent=2)]


def caution_notes(width: int) -> Lines:
    """Return the cautions.

    Parameters
    ----------
    width
        Columns.
    """
    lines = [Text("CAUTIONS", CAUTION)]
    for caution in cautions.PLANNING:
        lines += wrapped(Text(caution), width, indent=2)
    return lines
