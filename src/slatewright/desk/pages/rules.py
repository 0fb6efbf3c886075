"""The house rules of a workspace: what each decides, how it is shipped, and the choice."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from typing import Any, Final, Literal, get_args, get_origin

from fastapi import APIRouter
from starlette.responses import Response

from slatewright.desk.bench.asked import Asked
from slatewright.desk.frame import Page
from slatewright.desk.pages.bench import Typed
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.dive.house_rules import SCHEMA, HouseRules, house_rule_text, house_rules_of
from slatewright.errors import PlanFileError
from slatewright.store.faults import StaleRecord
from slatewright.store.settings import HOUSE_RULES, get_setting, save_setting
from slatewright.toml.write import fresh, merged

router = APIRouter()


@dataclass(frozen=True, slots=True)
class RuleSeen:
    """A house rule.

    Parameters
    ----------
    name
        Its name in a file.
    question
        What it asks.
    told
        Who chooses what, and what it changes.
    options
        Value and words of each choice; empty for a number.
    unit
        The unit of a number.
    standing_in
        What stands unless it is chosen.
    value
        What is chosen; empty for nothing.
    wrong
        What is wrong with it; empty if nothing is.
    """

    name: str
    question: str
    told: tuple[str, ...]
    options: tuple[tuple[str, str], ...]
    unit: str
    standing_in: str
    value: str
    wrong: str


@dataclass(frozen=True, slots=True)
class Rules:
    """All house rules.

    Parameters
    ----------
    version
        The version that the choices were made from; 0 if none was ever saved.
    rules
        In the order of the file.
    faults
        What is wrong with the choices as a whole, or what another window has saved meanwhile.
    said
        What was done; empty if nothing was.
    """

    version: int
    rules: tuple[RuleSeen, ...]
    faults: tuple[Fault, ...]
    said: str


PAGE: Final = Page(
    "rules", "House rules", "rules.html", Rules, path="/rules", label="House rules", order=85
)
PAGES: Final = (PAGE,)
_SIGNS: Final = {"c": "\u00b0C"}


@router.get("/rules")
def rules(visit: OnVisit, saved: str = "") -> Response:
    """Show the house rules.

    Parameters
    ----------
    visit
        The request.
    saved
        Not empty after they were saved.
    """
    version, text = _kept(visit)
    faults = _faults_of(text)
    said = f"Saved as version {version}." if saved and version else ""
    return visit.show(PAGE, _seen(version, _data_of(text), faults, said=said))


@router.post("/rules")
def save(visit: OnVisit, form: Typed) -> Response:
    """Save the choices; what is left empty stays as it is shipped.

    Parameters
    ----------
    visit
        The request.
    form
        The choices by their names, and the version that they were made from.
    """
    typed = {name: str(form.get(name, "")).strip() for name in HouseRules.model_fields}
    version = Asked.by(form).version
    stored, before = _kept(visit)
    data = {"schema": SCHEMA} | {name: _value(name, text) for name, text in typed.items() if text}
    try:
        text = merged(before, data) if before and _is_toml(before) else fresh(data)
        house_rules_of(text)
    except PlanFileError as error:
        return visit.show(PAGE, _seen(version, data, problem_of(error).faults), status=422)
    try:
        with visit.store.write() as session:
            save_setting(session, HOUSE_RULES, version, text, now=visit.now)
    except StaleRecord as stale:
        theirs = _data_of(stale.text)
        other = tuple(
            Fault(f"another window has chosen {theirs.get(name, 'nothing')} for {name} meanwhile")
            for name in HouseRules.model_fields
            if theirs.get(name) != data.get(name)
        )
        told = Fault("below are your choices; saving once more lets them stand")
        return visit.show(PAGE, _seen(stored, data, (*other, told)), status=409)
    return visit.go("/rules?saved=yes")


def _kept(visit: Visit) -> tuple[int, str]:
    with visit.store.read() as session:
        kept = get_setting(session, HOUSE_RULES)
    return (0, "") if kept is None else (kept.version, kept.value)


def _seen(
    version: int, data: dict[str, Any], faults: tuple[Fault, ...], *, said: str = ""
) -> Rules:
    names = tuple(HouseRules.model_fields)
    wrong = {fault.where: fault for fault in faults if fault.where in names}
    return Rules(
        version=version,
        rules=tuple(
            _rule(name, data.get(name), wrong.get(name)) for name in HouseRules.model_fields
        ),
        faults=faults,
        said=said,
    )


def _rule(name: str, chosen: object, fault: Fault | None) -> RuleSeen:
    info = HouseRules.model_fields[name]
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    unit = str(extra.get("unit", ""))
    question, *told = house_rule_text(name).splitlines()
    wrong = ""
    if fault is not None:
        wrong = fault.what + (f"; right would be: {fault.right}" if fault.right else "")
    return RuleSeen(
        name=name,
        question=question.partition(" [")[0],
        told=tuple(told),
        options=tuple((_written(value), _written(value)) for value in _choices(name)),
        unit=_SIGNS.get(unit, unit),
        standing_in=_written(info.default),
        value="" if chosen is None else _written(chosen),
        wrong=wrong,
    )


def _choices(name: str) -> tuple[object, ...]:
    annotation = HouseRules.model_fields[name].annotation
    if annotation is bool:
        return (True, False)
    return get_args(annotation) if get_origin(annotation) is Literal else ()


def _value(name: str, text: str) -> object:
    """Return a choice as the file has it; what is no number stays as it was typed."""
    if HouseRules.model_fields[name].annotation is bool:
        return {"true": True, "false": False}.get(text, text)
    if _choices(name):
        return text
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return text


def _written(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _data_of(text: str) -> dict[str, Any]:
    return tomllib.loads(text) if text and _is_toml(text) else {}


def _is_toml(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        return False
    return True


def _faults_of(text: str) -> tuple[Fault, ...]:
    if not text:
        return ()
    try:
        house_rules_of(text)
    except PlanFileError as error:
        return problem_of(error).faults
    return ()
