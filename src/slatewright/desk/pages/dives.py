"""A dive on the calendar: what it needs before it is dived, and who vouches for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.desk.frame import Page
from slatewright.desk.kit_checks import KitCheck, kit_checks, planned_cylinders
from slatewright.desk.plan_cards import PlanCard, card_of
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem, bar_from_psi
from slatewright.store.debriefs import Debrief, add_debrief, plan_debriefs
from slatewright.store.dives import Dive, add_dive, get_dive, remove_dive, save_dive
from slatewright.store.faults import StaleRecord
from slatewright.store.plans import get_plan
from slatewright.store.session import Session
from slatewright.store.vouching import (
    Analysis,
    Reading,
    Signature,
    SignatureKind,
    Who,
    add_analysis,
    dive_analyses,
    plan_signatures,
    sign_plan,
)

router = APIRouter()
_WORDS: Final = {SignatureKind.CHECK: "checked", SignatureKind.SIGN_OFF: "signed off"}


@dataclass(frozen=True, slots=True)
class Signed:
    """Who has put a name under a plan, for one purpose.

    Parameters
    ----------
    kind
        ``check`` or ``sign-off``.
    words
        What was done: ``checked``, ``signed off``.
    signatures
        Those under the present text, the last first.
    outdated
        Those under an earlier text, which no longer count.
    """

    kind: SignatureKind
    words: str
    signatures: tuple[Signature, ...]
    outdated: tuple[Signature, ...]


@dataclass(frozen=True, slots=True)
class DivePage:
    """A dive on the calendar.

    Parameters
    ----------
    dive
        The dive.
    card
        Its plan.
    kit
        The cylinders of the plan and their analyses.
    others
        Analyses for this dive of cylinders that the plan does not name.
    signed
        Check and sign-off.
    units
        The units in which the gauges are read.
    debriefs
        What was said after the plan was dived, the first first.
    faults
        Why the last thing that was put in was not taken.
    """

    dive: Dive
    card: PlanCard
    kit: tuple[KitCheck, ...]
    others: tuple[Analysis, ...]
    signed: tuple[Signed, ...]
    units: UnitSystem
    debriefs: tuple[Debrief, ...] = ()
    faults: tuple[Fault, ...] = ()


PAGE: Final = Page("dive", "Before the dive", "dive.html", DivePage)
PAGES: Final = (PAGE,)


@router.post("/dives")
def put_on_calendar(
    visit: OnVisit, plan_id: Annotated[int, Form()], on_date: Annotated[date, Form()]
) -> Response:
    """Put a dive on the calendar.

    Parameters
    ----------
    visit
        The request.
    plan_id
        Its plan.
    on_date
        The day.
    """
    with visit.store.write() as session:
        dive = add_dive(session, on_date, plan_id, now=visit.now)
    return visit.go(f"/dives/{dive.id}")


@router.get("/dives/{dive_id}")
def dive_page(visit: OnVisit, dive_id: int) -> Response:
    """Show what a dive needs.

    Parameters
    ----------
    visit
        The request.
    dive_id
        The dive.
    """
    return _shown(visit, dive_id)


@router.post("/dives/{dive_id}/analysis")
def analysed(
    visit: OnVisit,
    dive_id: int,
    cylinder: Annotated[str, Form()],
    o2_pct: Annotated[float, Form()],
    gauge: Annotated[float, Form()],
    who: Annotated[str, Form()],
    he_pct: Annotated[str, Form()] = "",
) -> Response:
    """Record the analysis of a cylinder.

    Parameters
    ----------
    visit
        The request.
    dive_id
        The dive.
    cylinder
        Which cylinder.
    o2_pct
        Oxygen [%].
    gauge
        Pressure on the gauge, in the plan's units [bar or psi].
    who
        Who analysed.
    he_pct
        Helium [%]; empty if it was not analysed.
    """

    def record(session: Session) -> None:
        plan = get_plan(session, get_dive(session, dive_id).plan_id)
        gauge_bar = gauge if plan.units is UnitSystem.METRIC else bar_from_psi(gauge)
        reading = Reading(cylinder, o2_pct, _percentage(he_pct), gauge_bar)
        add_analysis(session, reading, Who(who), now=visit.now, dive_id=dive_id)

    return _done(visit, dive_id, record, "analysis")


@router.post("/dives/{dive_id}/signature")
def signed(
    visit: OnVisit,
    dive_id: int,
    kind: Annotated[SignatureKind, Form()],
    version: Annotated[int, Form()],
    who: Annotated[str, Form()],
) -> Response:
    """Put a name under the plan, for the very text that the person has seen.

    Parameters
    ----------
    visit
        The request.
    dive_id
        The dive.
    kind
        What is said by it.
    version
        The version of the plan that was seen.
    who
        Who signs.
    """

    def sign(session: Session) -> None:
        dive = get_dive(session, dive_id)
        sign_plan(session, dive.plan_id, version, kind, Who(who), now=visit.now)

    return _done(visit, dive_id, sign, str(kind))


@router.post("/dives/{dive_id}/debrief")
def debriefed(
    visit: OnVisit, dive_id: int, text: Annotated[str, Form()], who: Annotated[str, Form()]
) -> Response:
    """Record what was said after the dive.

    Parameters
    ----------
    visit
        The request.
    dive_id
        The dive.
    text
        What was said.
    who
        By whom.
    """

    def record(session: Session) -> None:
        dive = get_dive(session, dive_id)
        plain = text.replace("\r\n", "\n")
        add_debrief(session, dive.plan_id, dive.on_date, plain, Who(who), now=visit.now)

    return _done(visit, dive_id, record, "debrief")


@router.post("/dives/{dive_id}/move")
def moved(
    visit: OnVisit,
    dive_id: int,
    version: Annotated[int, Form()],
    on_date: Annotated[date, Form()],
) -> Response:
    """Give the dive another day.

    Parameters
    ----------
    visit
        The request.
    dive_id
        The dive.
    version
        The version of the dive that was seen.
    on_date
        The day.
    """

    def move(session: Session) -> None:
        plan_id = get_dive(session, dive_id).plan_id
        save_dive(session, dive_id, version, on_date, plan_id, now=visit.now)

    return _done(visit, dive_id, move, "day")


@router.post("/dives/{dive_id}/remove")
def removed(visit: OnVisit, dive_id: int, version: Annotated[int, Form()]) -> Response:
    """Take the dive off the calendar; plan and analyses are kept.

    Parameters
    ----------
    visit
        The request.
    dive_id
        The dive.
    version
        The version of the dive that was seen.
    """
    with visit.store.write() as session:
        remove_dive(session, dive_id, version)
    return visit.go("/")


def _done(visit: Visit, dive_id: int, do: Callable[[Session], None], where: str) -> Response:
    """Change something and go back to where it stands, or show why not."""
    try:
        with visit.store.write() as session:
            do(session)
    except (InputError, StaleRecord) as error:
        problem = problem_of(error)
        return _shown(visit, dive_id, problem.faults, problem.status)
    return visit.go(f"/dives/{dive_id}#{where}")


def _shown(
    visit: Visit, dive_id: int, faults: tuple[Fault, ...] = (), status: int = 200
) -> Response:
    with visit.store.read() as session:
        dive = get_dive(session, dive_id)
        plan = get_plan(session, dive.plan_id)
        analyses = dive_analyses(session, dive_id)
        signatures = plan_signatures(session, plan.id)
        debriefs = plan_debriefs(session, plan.id)
    planned = planned_cylinders(plan.text)
    names = {each.name for each in planned}
    context = DivePage(
        dive=dive,
        card=card_of(plan),
        kit=kit_checks(planned, analyses),
        others=tuple(each for each in analyses if each.cylinder not in names),
        signed=tuple(_signed(kind, signatures) for kind in SignatureKind),
        units=plan.units,
        debriefs=debriefs,
        faults=faults,
    )
    return visit.show(PAGE, context, status=status)


def _signed(kind: SignatureKind, signatures: tuple[Signature, ...]) -> Signed:
    own = [signature for signature in signatures if signature.kind is kind]
    return Signed(
        kind,
        _WORDS[kind],
        tuple(signature for signature in own if signature.current),
        tuple(signature for signature in own if not signature.current),
    )


def _percentage(text: str) -> float | None:
    """Return helium as typed, or None where the field was left empty."""
    if not text.strip():
        return None
    try:
        return float(text)
    except ValueError:
        raise InputError(f"'{text}' is no number", where="helium", right="per cent") from None
