"""The bench as it stands: the sheet, what follows from it, and what is wrong."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, replace
from typing import Any, Final

from slatewright.desk.bench.answers import answer_to, last_good, sheet_typed
from slatewright.desk.bench.asked import Asked, last, lines
from slatewright.desk.bench.earlier import (
    Earlier,
    chosen_in,
    earlier_of,
)
from slatewright.desk.bench.form import Fields
from slatewright.desk.bench.result import Result
from slatewright.desk.bench.seen import Seen, seen_of, width_of
from slatewright.desk.bench.sheet import Sheet, sheet_of
from slatewright.desk.bench.variants import Comparison, comparison_of
from slatewright.desk.bench.work import (
    Work,
    cured,
    work_of_text,
)
from slatewright.desk.problem import Fault, problem_of
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.other_units import in_other_units
from slatewright.dive.plan_text import read_plan_text
from slatewright.dive.planfile import write_plan_file
from slatewright.errors import InputError, NoSafeAnswer, SlatewrightError
from slatewright.physics.units import UnitSystem
from slatewright.store.plan_records import SavedPlan
from slatewright.store.plans import get_plan
from slatewright.store.session import Session
from slatewright.supply.catalogue import catalogue

_OTHER: Final = {
    UnitSystem.METRIC: UnitSystem.IMPERIAL,
    UnitSystem.IMPERIAL: UnitSystem.METRIC,
}


@dataclass(frozen=True, slots=True)
class Stand:
    """The bench as it stands; see `slatewright.desk.pages.bench.Bench`.

    Parameters
    ----------
    plan_id, title, version, path, trashed
        The plan as it is kept, and its bench.
    text, typed, saved, sheet, earlier, faults
        The sheet.
    seen, old, reasons, units, other_units, beside, comparison, width_px
        What follows from it.
    said, focus, sizes
        What is said besides.
    """

    plan_id: int
    title: str
    version: int
    path: str
    trashed: bool
    text: str
    typed: str
    saved: bool
    sheet: Sheet | None
    earlier: Earlier | None
    seen: Seen | None
    old: bool
    faults: tuple[Fault, ...]
    reasons: tuple[Fault, ...]
    units: UnitSystem
    other_units: UnitSystem
    beside: str
    comparison: Comparison | None
    width_px: int
    said: str
    focus: str
    sizes: tuple[str, ...]

    def parts(self) -> dict[str, Any]:
        """Return the fields by name."""
        return {field.name: getattr(self, field.name) for field in dataclasses.fields(self)}


def stand_kept(session: Session, plan_id: int, rules: HouseRules, room: str = "") -> Stand:
    """Return the bench of a plan as it is kept.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    rules
        The house rules.
    room
        The room for the charts, as the browser told it [px].

    Raises
    ------
    NoSuchRecord
        If there is no such plan.
    """
    plan = get_plan(session, plan_id)
    work = work_of_text(plan.text)
    chosen = chosen_in(plan.earlier_plan_id, work.data)
    asked = Asked(chosen=chosen, width=room, version=plan.version)
    return _stand(session, plan, rules, work, asked)


def stand_of_text(
    session: Session, plan_id: int, rules: HouseRules, text: str, room: str = ""
) -> Stand:
    """Return the bench with another text laid on it.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    rules
        The house rules.
    text
        The text.
    room
        As for `stand_kept`.
    """
    plan, work = get_plan(session, plan_id), work_of_text(text)
    names_one = work.data is not None and "earlier" in work.data
    chosen = chosen_in(plan.earlier_plan_id if names_one else None, work.data)
    asked = Asked(chosen=chosen, width=room, version=plan.version)
    return _stand(session, plan, rules, work, asked, said="laid on the sheet, not saved yet")


def stand_typed(
    session: Session, plan_id: int, rules: HouseRules, form: Fields, *, fields: bool = True
) -> Stand:
    """Return the bench for a sheet as it was typed.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    rules
        The house rules.
    form
        The sheet.
    fields
        Whether the fields are shown anew; they need not be while they are typed into.
    """
    asked = Asked.by(form)
    plan, work = get_plan(session, plan_id), sheet_typed(session, form, asked)
    return _stand(session, plan, rules, work, asked, fields=fields)


def turned(session: Session, plan_id: int, rules: HouseRules, form: Fields) -> Stand:
    """Return the bench after something was done to the sheet.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.
    rules
        The house rules.
    form
        The sheet; ``do`` says what is done: ``add:gas``, ``drop:gas:1``, ``text`` for another
        text in ``whole``, ``mend`` for a cure in ``mend``, ``convert``, ``aside``, ``swap``,
        ``alone``.
    """
    plan, asked = get_plan(session, plan_id), Asked.by(form)
    mend = last(form, "mend")
    if mend:
        return _mended(session, plan, rules, sheet_typed(session, form, asked), asked, mend)
    if asked.do == "text":
        return _laid_on(session, plan, rules, form, asked)
    work = sheet_typed(session, form, asked)
    if asked.do == "convert":
        return _converted(session, plan, rules, work, asked)
    if asked.do == "swap" and asked.beside:
        work, asked = work_of_text(asked.beside), replace(asked, beside=work.text)
    elif asked.do in {"aside", "alone"}:
        asked = replace(asked, beside=work.text if asked.do == "aside" else "")
    return _stand(session, plan, rules, work, asked, focus=_added(asked.do, work))


def _laid_on(
    session: Session, plan: SavedPlan, rules: HouseRules, form: Fields, asked: Asked
) -> Stand:
    """Lay another text on the sheet, such as one that it had before."""
    work = work_of_text(lines(last(form, "whole")))
    names_one = work.data is not None and "earlier" in work.data
    chosen = asked.chosen if names_one else ""
    chosen = chosen or chosen_in(plan.earlier_plan_id if names_one else None, work.data)
    return _stand(session, plan, rules, work, replace(asked, chosen=chosen))


def _added(do: str, work: Work) -> str:
    table = do.removeprefix("add:")
    rows = (work.data or {}).get(table, []) if do.startswith("add:") else []
    return f"{table}.{len(rows) - 1}" if rows else ""


def _mended(
    session: Session, plan: SavedPlan, rules: HouseRules, work: Work, asked: Asked, mend: str
) -> Stand:
    if not work.text:
        return _stand(session, plan, rules, work, asked, said="mend the faults first")
    try:
        cure = cured(work, mend)
    except InputError as error:
        stand = _stand(session, plan, rules, work, asked)
        return replace(stand, said=error.message().replace("\n", "; "))
    return _stand(session, plan, rules, cure, asked, said="written into the plan")


def _converted(
    session: Session, plan: SavedPlan, rules: HouseRules, work: Work, asked: Asked
) -> Stand:
    if not work.text:
        return _stand(session, plan, rules, work, asked, said="mend the faults first")
    other = in_other_units(read_plan_text(work.text))
    text = write_plan_file(other, work.text)
    said = f"converted to {other.units} units: depths, rates and fills are rounded, look at each"
    return _stand(session, plan, rules, work_of_text(text), replace(asked, view=""), said=said)


def _stand(
    session: Session,
    plan: SavedPlan,
    rules: HouseRules,
    work: Work,
    asked: Asked,
    *,
    said: str = "",
    focus: str = "",
    fields: bool = True,
) -> Stand:
    path = f"/bench/{plan.id}"
    faults, reasons, result, old = work.faults, tuple[Fault, ...](), None, False
    title = str((work.data or {}).get("title", plan.title))
    if work.text:
        try:
            result = answer_to(session, plan, rules, work.text, asked, title)
        except NoSafeAnswer as refusal:
            reasons = problem_of(refusal).faults
        except SlatewrightError as error:
            faults = problem_of(error).faults
    text = work.text or asked.base
    if result is None and (faults or reasons):
        result, old = last_good(session, plan, rules, asked), True
        text = result.text if result is not None and not work.text else text
    units = result.units if result else _units_of(work)
    width_px = width_of(asked.width)
    return Stand(
        plan_id=plan.id,
        title=plan.title,
        version=asked.version or plan.version,
        path=path,
        trashed=plan.trashed_at is not None,
        text=text,
        typed=work.typed if work.data is None or not text else "",
        saved=work.text == plan.text,
        sheet=None if work.data is None or not fields else sheet_of(work.data, faults),
        earlier=None
        if work.data is None or not fields
        else earlier_of(session, plan.id, asked.chosen, work.data, faults),
        seen=None if result is None else seen_of(result, path, width_px),
        old=old and result is not None,
        faults=faults,
        reasons=reasons,
        units=units,
        other_units=_OTHER[units],
        beside=asked.beside,
        comparison=_comparison(session, plan, rules, asked, result, path),
        width_px=width_px,
        said=said,
        focus=focus,
        sizes=tuple(catalogue()),
    )


def _comparison(
    session: Session,
    plan: SavedPlan,
    rules: HouseRules,
    asked: Asked,
    now: Result | None,
    path: str,
) -> Comparison | None:
    if not asked.beside or now is None:
        return None
    try:
        kept = answer_to(session, plan, rules, asked.beside, replace(asked, view=now.units))
    except SlatewrightError:
        return None
    return comparison_of(kept, now, path)


def _units_of(work: Work) -> UnitSystem:
    imperial = (work.data or {}).get("units") == "imperial"
    return UnitSystem.IMPERIAL if imperial else UnitSystem.METRIC
