"""What came of an analysis, as its card shows it."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.desk.fill.work import Work
from slatewright.desk.workings import Shown
from slatewright.dive.house_rules import HouseRules
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.checked import CheckedCylinder
from slatewright.fill.labelling import CylinderLabel, label_of
from slatewright.fill.steps import Blend
from slatewright.paper.fill_words import percent_words, step_words
from slatewright.paper.reading import free_text, gauge_text, temperature_text
from slatewright.physics.units import UnitSystem


@dataclass(frozen=True, slots=True)
class FixStep:
    """One step of what puts a cylinder right.

    Parameters
    ----------
    act
        What is opened, or ``drain``.
    reading
        What the gauge reads then, with its unit.
    amount
        How much goes in, or out.
    """

    act: str
    reading: str
    amount: str


@dataclass(frozen=True, slots=True)
class VerdictSeen:
    """What came of an analysis.

    Parameters
    ----------
    accepted
        Whether the cylinder may be used for what was planned.
    read
        What was read, in words.
    off
        By how much it is off, in words; empty if nothing follows.
    reasons
        Why it may not be used.
    fix
        What puts it right, step by step; empty if nothing is needed or at hand.
    fix_read
        At which temperature the fix is read and what it settles to, in words.
    no_fix
        Why there is no fix; empty if there is one or none is needed.
    depth
        The depth to which it may be breathed; None if a plan decides, or it may not be used.
    limit
        At which ppO2 that is, and what decided so.
    not_above
        From which depth down it may be breathed, with its unit; empty if it may anywhere.
    """

    accepted: bool
    read: str
    off: str
    reasons: tuple[Reason, ...]
    fix: tuple[FixStep, ...]
    fix_read: str
    no_fix: str
    depth: Shown | None
    limit: str
    not_above: str


def verdict_of(work: Work, label: str, rules: HouseRules, *, planned: bool) -> VerdictSeen | None:
    """Return what came of the analysis of a cylinder; None if it was not analysed.

    Parameters
    ----------
    work
        The fill file.
    label
        The cylinder.
    rules
        The house rules, for the depth where no plan is chosen.
    planned
        Whether a plan is chosen, whose limits count then.
    """
    checked, session = work.checked, work.session
    if checked is None or session is None:
        return None
    place = next((i for i, one in enumerate(checked.cylinders) if one.label == label), None)
    if place is None:
        return None
    one = checked.cylinders[place]
    units = session.file.units
    depth, limit, not_above = None, "", ""
    if one.accepted and not planned:
        try:
            told = label_of(one, session.file, rules)
        except NoSafeAnswer as refusal:
            limit = "; ".join(reason.what for reason in refusal.reasons)
        else:
            depth, limit, not_above = depth_shown(told), told.limit, told.not_above
    judgement = one.judgement
    fix = None if judgement is None else judgement.fix
    return VerdictSeen(
        accepted=one.accepted,
        read=read_words(one, units),
        off=_off(one, units),
        reasons=tuple(
            Reason(reason.what.removeprefix(f"{label}: "), reason.cure) for reason in one.reasons
        ),
        fix=() if fix is None else _fix(fix, units),
        fix_read="" if fix is None else _fix_read(fix, units),
        no_fix="" if judgement is None else judgement.fix_refused.replace("\n  cure: ", "; "),
        depth=depth,
        limit=limit,
        not_above=not_above,
    )


def depth_shown(label: CylinderLabel) -> Shown:
    """Return the depth of a label, which opens its working.

    Parameters
    ----------
    label
        The label.
    """
    number, _, unit = label.depth.partition(" ")
    return Shown(
        number,
        unit,
        formula="operating-depth",
        values={
            "o2": label.analysed.o2,
            "limit_bar": label.limit_bar,
            "surface_bar": label.water.surface_bar,
            "bar_per_m": label.water.bar_per_m,
        },
    )


def read_words(one: CheckedCylinder, units: UnitSystem) -> str:
    """Return what was read of a cylinder, by whom and when.

    Parameters
    ----------
    one
        The cylinder.
    units
        The units of the gauges.
    """
    analysis = one.analysis
    if analysis.he is None:
        gases = f"oxygen {analysis.o2 * 100.0:.1f} %, helium not analysed"
    else:
        gases = percent_words(analysis.mix)
    shown = f"{gauge_text(analysis.gauge_bar, units)} {units.pressure_unit}"
    at = temperature_text(analysis.temperature_k, units)
    return f"{gases}; {shown} at {at}; by {analysis.by}, {analysis.at:%Y-%m-%d %H:%M}"


def _off(one: CheckedCylinder, units: UnitSystem) -> str:
    judgement = one.judgement
    if judgement is None:
        return ""
    settled, planned = (
        f"{gauge_text(bar, units)} {units.pressure_unit}"
        for bar in (judgement.settled_gauge_bar, judgement.planned_gauge_bar)
    )
    return (
        f"oxygen {judgement.o2_off * 100.0:+.1f}, helium {judgement.he_off * 100.0:+.1f} points; "
        f"settles at {settled}, {planned} planned"
    )


def _fix(fix: Blend, units: UnitSystem) -> tuple[FixStep, ...]:
    return tuple(
        FixStep(said.act, f"{said.reading} {units.pressure_unit}", free_text(step.free_l, units))
        for step, said in zip(fix.steps, step_words(fix, units), strict=True)
    )


def _fix_read(fix: Blend, units: UnitSystem) -> str:
    at = temperature_text(fix.fill_temperature_k, units)
    settled = f"{gauge_text(fix.settled_gauge_bar, units)} {units.pressure_unit}"
    return f"read at {at}, settles at {settled}; then analyse again"
