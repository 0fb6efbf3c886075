"""The dive before: which plan it is, and how long the surface interval."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from slatewright.desk.bench.sheet import Data
from slatewright.desk.computing import Link, chain_of
from slatewright.desk.exchange import file_name
from slatewright.desk.problem import Fault
from slatewright.errors import InputError
from slatewright.store.faults import NoSuchRecord
from slatewright.store.plans import get_plan, list_plans
from slatewright.store.session import Session

NONE: Final = ""
UNKNOWN: Final = "?"
"""The text names a dive before, and nobody has said which plan it is."""


@dataclass(frozen=True, slots=True)
class Earlier:
    """The dive before, as fields of the sheet.

    Parameters
    ----------
    chosen
        The number of its plan; empty for none, ``?`` if the text names one that is not chosen.
    named
        What the text calls it.
    interval
        The surface interval, as typed.
    choices
        Number and title of the plans that it may be.
    faults
        What is wrong with it.
    """

    chosen: str
    named: str
    interval: str
    choices: tuple[tuple[str, str], ...]
    faults: tuple[Fault, ...]


def earlier_of(
    session: Session, plan_id: int, chosen: str, data: Data, faults: tuple[Fault, ...]
) -> Earlier:
    """Return the fields of the dive before.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan at hand.
    chosen
        As for `Earlier`.
    data
        The data of the plan file.
    faults
        All that is wrong with the sheet.
    """
    table = data.get("earlier")
    table = table if isinstance(table, dict) else {}
    return Earlier(
        chosen=chosen,
        named=str(table.get("plan", "")),
        interval=str(table.get("surface_interval", "")),
        choices=tuple(
            (str(plan.id), plan.title) for plan in list_plans(session) if plan.id != plan_id
        ),
        faults=tuple(fault for fault in faults if fault.where.startswith("earlier")),
    )


def chosen_in(earlier_plan_id: int | None, data: Data | None) -> str:
    """Return which plan comes before, as it is kept.

    Parameters
    ----------
    earlier_plan_id
        The plan that the store has; None for none.
    data
        The data of the plan file; None if it cannot be read.
    """
    if earlier_plan_id is not None:
        return str(earlier_plan_id)
    return UNKNOWN if data and "earlier" in data else NONE


def with_earlier(session: Session, data: Data, chosen: str, interval: str) -> Data:
    """Return data that name the dive before as it was chosen.

    Parameters
    ----------
    session
        A session.
    data
        The data of the plan file.
    chosen, interval
        As for `Earlier`.
    """
    rest = {name: value for name, value in data.items() if name != "earlier"}
    if chosen == NONE:
        return rest
    table = dict(data["earlier"]) if isinstance(data.get("earlier"), dict) else {}
    if chosen != UNKNOWN:
        try:
            plan = get_plan(session, _number(chosen))
        except NoSuchRecord:
            return rest
        table.setdefault("plan", file_name(plan))
    table.pop("surface_interval", None)
    return rest | {"earlier": table | ({"surface_interval": interval} if interval else {})}


def chain_with(
    session: Session, plan_id: int, title: str, text: str, chosen: str
) -> tuple[Link, ...]:
    """Return a text with the dives that come before it.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan at hand.
    title
        What to call it.
    text
        Its text.
    chosen
        As for `Earlier`.

    Raises
    ------
    InputError
        If the dives would follow each other in a circle, or one is not there.
    """
    if chosen in {NONE, UNKNOWN}:
        return (Link(title, text),)
    number = _number(chosen)
    before = chain_of(session, number)
    own = get_plan(session, plan_id)
    if number == plan_id or Link(own.title, own.text) in before:
        raise InputError(
            "the dives would follow each other in a circle",
            where="earlier",
            right="a dive that does not itself come after this one",
        )
    return (*before, Link(title, text))


def _number(chosen: str) -> int:
    if not chosen.isdecimal() or len(chosen) > 12:
        raise InputError("that is no plan", where="earlier", right="one of the list")
    return int(chosen)
