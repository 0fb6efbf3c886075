"""Two variants of a plan beside each other."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from slatewright.desk.bench.figures import figures_of
from slatewright.desk.bench.profile_drawing import profile_picture
from slatewright.desk.bench.result import Result
from slatewright.desk.workings import Shown
from slatewright.dive.hazard import Severity
from slatewright.paper.reading import minutes_up
from slatewright.physics.mixture import Mixture
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import volume_needed_label

NARROW_PX = 430


@dataclass(frozen=True, slots=True)
class Variant:
    """One of two variants.

    Parameters
    ----------
    name
        What it is called here.
    picture
        Its profile, as SVG.
    """

    name: str
    picture: Markup


@dataclass(frozen=True, slots=True)
class Compared:
    """A figure of both.

    Parameters
    ----------
    what
        What it is.
    kept, now
        The numbers.
    differs
        Whether they are different.
    """

    what: str
    kept: Shown
    now: Shown
    differs: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two variants of a plan.

    Parameters
    ----------
    kept, now
        The one that was set aside, and the one on the sheet.
    rows
        Their figures.
    """

    kept: Variant
    now: Variant
    rows: tuple[Compared, ...]


def comparison_of(kept: Result, now: Result, bench: str) -> Comparison:
    """Set two variants beside each other.

    Parameters
    ----------
    kept, now
        The one that was set aside, and the one on the sheet, in the same units.
    bench
        The path of the bench.
    """
    both = [(one, figures_of(one, f"{bench}/how/{one.key}")) for one in (kept, now)]
    rows = [
        _compared(left.label, left.number, right.number)
        for left, right in zip(both[0][1], both[1][1], strict=True)
    ]
    counts = [_counted(one) for one in (kept, now)]
    rows.insert(1, _compared("time on the way up", *(_rising(one) for one in (kept, now))))
    rows += [
        _compared(what, Shown(counts[0].get(what, "0")), Shown(counts[1].get(what, "0")))
        for what in ("dangers", "warnings")
    ]
    gases = [_breathed(one) for one in (kept, now)]
    for what in dict.fromkeys((*gases[0], *gases[1])):
        none = Shown("none")
        rows.append(_compared(what, *(own.get(what, none) for own in gases)))
    return Comparison(
        kept=Variant("set aside", profile_picture(kept.dive, NARROW_PX)),
        now=Variant("on the sheet", profile_picture(now.dive, NARROW_PX)),
        rows=tuple(rows),
    )


def _compared(what: str, kept: Shown, now: Shown) -> Compared:
    return Compared(what, kept, now, differs=(kept.text, kept.unit) != (now.text, now.unit))


def _rising(one: Result) -> Shown:
    return Shown(str(minutes_up(one.dive.runtime_min - one.dive.bottom_left_min)), "min")


def _counted(one: Result) -> dict[str, str]:
    severities = [hazard.severity for hazard in one.hazards]
    return {
        "dangers": str(severities.count(Severity.DANGER)),
        "warnings": str(severities.count(Severity.WARNING)),
    }


def _breathed(one: Result) -> dict[str, Shown]:
    """Return what the plan's diver breathes of each gas, or what the loop takes of it."""

    def free(mix: Mixture, amount_mol: float) -> Shown:
        return Shown(volume_needed_label(free_litres(mix, amount_mol), one.units))

    if one.loops:
        uses = one.loops[0].cylinders
        mixes = dict.fromkeys(use.carried.mix for use in uses)
        used = {mix: sum(u.used_mol for u in uses if u.carried.mix == mix) for mix in mixes}
        return {f"{mix} for the loop": free(mix, mol) for mix, mol in used.items()}
    if one.gas is None:
        return {}
    return {
        f"{gas.mix} breathed": free(gas.mix, gas.before_mol + gas.after_mol)
        for gas in one.gas.divers[0].kept
    }
