"""Analyses on the terminal: accepted or refused, the fix, and the dive with what was analysed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright import cautions
from slatewright.cli.console import CAUTION, HEAD, SOFT, entries, heading, wrapped
from slatewright.fill.labelling import label_of
from slatewright.paper.fill_words import percent_words, step_words
from slatewright.paper.reading import free_text, gauge_text, temperature_text
from slatewright.paper.theme import mixture_name

if TYPE_CHECKING:
    from rich.console import Console

    from slatewright.dive.house_rules import HouseRules
    from slatewright.dive.plan import Plan
    from slatewright.fill.checked import Checked, CheckedCylinder, Replan
    from slatewright.fill.replan import Difference
    from slatewright.fill.steps import Blend
    from slatewright.physics.units import UnitSystem

Lines = list[Text]

_INDENT: Final = 3
_NAMES: Final = {
    "operating depth": "no deeper than",
    "hypoxic floor": "not above",
    "turn at": "turn at",
    "keep": "keep",
}


def show_checked(console: Console, checked: Checked, plan: Plan | None, rules: HouseRules) -> None:
    """Print what the analyses of a fill file come to.

    Parameters
    ----------
    console
        Where to.
    checked
        The analyses.
    plan
        The plan; None if there is none.
    rules
        The house rules.
    """
    width = console.width
    title = Text(checked.session.file.title, HEAD)
    blocks = [wrapped(title, width)]
    blocks += [
        _cylinder(i, one, checked, plan, rules, width) for i, one in enumerate(checked.cylinders, 1)
    ]
    blocks += [_missing(checked, width)]
    blocks += _dives(checked, plan, width)
    blocks += [[Text("CAUTIONS", CAUTION), *wrapped(Text(cautions.SHORT), width, indent=2)]]
    for block in blocks:
        if block and block is not blocks[0]:
            console.print()
        for line in block:
            console.print(line, soft_wrap=True)


def _cylinder(
    number: int,
    one: CheckedCylinder,
    checked: Checked,
    plan: Plan | None,
    rules: HouseRules,
    width: int,
) -> Lines:
    units = checked.session.file.units
    head = Text(f"{number}  {one.label.upper()}  {mixture_name(one.planned)}  ", HEAD)
    head.append("accepted" if one.accepted else "REFUSED", HEAD if one.accepted else CAUTION)
    lines = [*wrapped(head, width)]
    rows: list[tuple[str, str | Text]] = [("read", _read(one, units))]
    judgement = one.judgement
    if judgement is not None:
        off = (
            f"oxygen {judgement.o2_off * 100.0:+.1f}, helium {judgement.he_off * 100.0:+.1f} points"
        )
        settled, planned = (
            f"{gauge_text(bar, units)} {units.pressure_unit}"
            for bar in (judgement.settled_gauge_bar, judgement.planned_gauge_bar)
        )
        rows.append(("off by", f"{off}; settles at {settled}, {planned} planned"))
    if one.accepted:
        label = label_of(one, checked.session.file, rules, plan)
        depth = Text(f"no deeper than {label.depth}", HEAD).append(f" ({label.limit})", "not bold")
        if label.not_above:
            depth.append(f"; NOT AT THE SURFACE: from {label.not_above} down", HEAD)
        rows.append(("label", depth))
    for reason in one.reasons:
        rows.append(("because", Text(reason.what.removeprefix(f"{one.label}: "), CAUTION)))
        if reason.cure:
            rows.append(("cure", reason.cure))
    if judgement is not None and not one.accepted:
        rows.append(_fix(judgement.fix, judgement.fix_refused, units))
    return [*lines, *entries(rows, width, indent=_INDENT)]


def _read(one: CheckedCylinder, units: UnitSystem) -> str:
    analysis = one.analysis
    if analysis.he is None:
        gases = f"oxygen {analysis.o2 * 100.0:.1f} %, helium not analysed"
    else:
        gases = percent_words(analysis.mix)
    shown = f"{gauge_text(analysis.gauge_bar, units)} {units.pressure_unit}"
    at = temperature_text(analysis.temperature_k, units)
    return f"{gases}; {shown} at {at}; by {analysis.by}, {analysis.at:%Y-%m-%d %H:%M}"


def _fix(fix: Blend | None, refused: str, units: UnitSystem) -> tuple[str, Text]:
    if fix is None:
        return ("no fix", Text(refused.replace("\n  cure: ", "; ")))
    words = step_words(fix, units)
    told = [
        f"{number} {said.act} to {said.reading} {units.pressure_unit} "
        f"({free_text(step.free_l, units)})"
        for number, (step, said) in enumerate(zip(fix.steps, words, strict=True), 1)
    ]
    at = temperature_text(fix.fill_temperature_k, units)
    settled = f"{gauge_text(fix.settled_gauge_bar, units)} {units.pressure_unit}"
    text = f"{'; '.join(told)}; read at {at}, settles at {settled}; then analyse again"
    return ("fix", Text(text, HEAD))


def _missing(checked: Checked, width: int) -> Lines:
    if not checked.missing:
        return []
    lines = [Text("NOT ANALYSED", CAUTION)]
    return [*lines, *wrapped(Text(", ".join(checked.missing)), width, indent=2)]


def _dives(checked: Checked, plan: Plan | None, width: int) -> list[Lines]:
    if plan is None:
        told = 'no plan is named, so no dive was computed again: plan = "..." or --plan'
        return [wrapped(Text(told, SOFT), width)]
    blocks = []
    if checked.no_gas_of_the_plan:
        names = ", ".join(checked.no_gas_of_the_plan)
        told = f"{plan.title} carries no such gas, judged by itself only: {names}"
        blocks.append(wrapped(Text(told, SOFT), width))
    return [*blocks, *(_dive(one, checked, plan, width) for one in checked.replans)]


def _dive(replan: Replan, checked: Checked, plan: Plan, width: int) -> Lines:
    who = " and ".join(replan.who)
    head = heading(plan.title).append(f"  with the cylinders of {who}", "not bold")
    lines = wrapped(head, width)
    gases = ", ".join(f"{planned} is {mix}" for planned, mix in replan.analysed.items())
    lines += wrapped(Text(gases, SOFT), width, indent=2)
    for reason in replan.refused:
        rows: list[tuple[str, str | Text]] = [("NO DIVE", Text(reason.what, CAUTION))]
        if reason.cure:
            rows.append(("cure", reason.cure))
        lines += entries(rows, width)
    changes = (*replan.outcome.changes, *replan.gas_changes)
    if replan.outcome.after is None:
        return lines
    if not changes:
        lines += wrapped(Text("nothing that matters is other than planned"), width, indent=2)
    for change in changes:
        lines += _change(change, width)
    if not checked.gas_judged:
        told = "gas supply and way home were not looked at: the plan names no cylinders"
        lines += wrapped(Text(told, SOFT), width, indent=2)
    return lines


def _change(change: Difference, width: int) -> Lines:
    style = CAUTION if change.worse else ""
    sign = "!" if change.worse else "-"
    if change.what == "hazard":
        words = f"new: {change.after}" if change.after else f"gone: {change.before}"
        return wrapped(Text(f"{sign} {words}", style), width, indent=2)
    name = _NAMES.get(change.what, change.what)
    where = f" {change.where}" if change.where else ""
    text = Text(f"{sign} {name}{where}: {change.before} planned, ", style)
    return wrapped(text.append(f"now {change.after}", f"{style} bold".strip()), width, indent=2)
