"""Readiness: a person held against the standards side by side; rules waived, with the reason."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.course.readiness import Readiness, readiness
from slatewright.course.waivers import Waiver
from slatewright.desk.course.naming import Named, OnNamed
from slatewright.desk.course.ready_view import ReadyView, ready_view
from slatewright.desk.course.standards import workspace_standards
from slatewright.desk.frame import Page
from slatewright.desk.visit import OnVisit, Visit
from slatewright.store.logbooks import candidate_of
from slatewright.store.session import Session
from slatewright.store.vouching import Who
from slatewright.store.waivers import KeptWaiver, add_waiver, list_waivers, withdraw_waiver

router = APIRouter()

PAGE: Final = Page("ready", "Who is ready", "ready.html", ReadyView)
PAGES: Final = (PAGE,)


@router.get("/people/{person_id}/ready")
def ready(visit: OnVisit, person_id: int, named: OnNamed) -> Response:
    """Hold a person against the standards.

    Parameters
    ----------
    visit
        The request.
    person_id
        Who.
    named
        How logs name who teaches the course, and who takes it too.
    """
    return visit.show(PAGE, _view(visit, person_id, named))


@router.get("/people/{person_id}/ready/letter")
def letter(visit: OnVisit, person_id: int, named: OnNamed) -> Response:
    """Download the letter about a person's readiness as PDF.

    Parameters
    ----------
    visit
        The request.
    person_id
        Who.
    named
        As for the page.
    """
    from slatewright.paper.readiness_letter import (  # noqa: PLC0415 - printing takes its time
        readiness_letter_pdf,
    )
    from slatewright.paper.readiness_letter_data import (  # noqa: PLC0415 - as above
        letter_of,
        named_words,
    )

    with visit.store.read() as session:
        found, _ = judged(session, person_id, visit, named)
    return Response(
        readiness_letter_pdf(
            letter_of(found, words=named_words(named.instructors, named.partners))
        ),
        media_type="application/pdf",
        headers={"Content-Disposition": 'attachment; filename="readiness.pdf"'},
    )


@router.post("/people/{person_id}/waivers")
def waive(
    visit: OnVisit,
    person_id: int,
    named: OnNamed,
    standard: Annotated[str, Form()],
    rule: Annotated[str, Form()],
    reason: Annotated[str, Form()],
    by: Annotated[str, Form()],
) -> Response:
    """Let a person off a rule; it is recorded.

    Parameters
    ----------
    visit
        The request.
    person_id
        Who.
    named
        As for the page, to which the browser goes back.
    standard, rule
        Which rule.
    reason
        Why.
    by
        Who decides it.
    """
    waiver = Waiver(rule=rule, standard=standard, reason=reason, by=by, on=visit.today)
    with visit.store.write() as session:
        add_waiver(session, person_id, waiver, Who(by), now=visit.now)
    return visit.go(f"/people/{person_id}/ready{named.query}")


@router.post("/people/{person_id}/waivers/{waiver_id}/withdraw")
def withdraw(visit: OnVisit, person_id: int, waiver_id: int, named: OnNamed) -> Response:
    """Withdraw a waiver; it stays in the records.

    Parameters
    ----------
    visit
        The request.
    person_id
        Whom it let off.
    waiver_id
        The waiver.
    named
        As for the page, to which the browser goes back.
    """
    with visit.store.write() as session:
        withdraw_waiver(session, waiver_id, now=visit.now)
    return visit.go(f"/people/{person_id}/ready{named.query}")


def judged(
    session: Session, person_id: int, visit: Visit, named: Named
) -> tuple[Readiness, tuple[str, ...]]:
    """Return how a person stands to the standards, and those that cannot be read.

    Parameters
    ----------
    session
        A session.
    person_id
        Who.
    visit
        The request, for its day.
    named
        Who teaches the course, and who takes it too.

    Raises
    ------
    NoSuchRecord
        If there is no such person.
    """
    found = workspace_standards(session)
    standards = [one.standard for one in found if one.standard is not None]
    waivers = [one.waiver for one in _holding(session, person_id)]
    unread = tuple(one.title for one in found if one.standard is None)
    found_ready = readiness(
        candidate_of(session, person_id),
        standards,
        visit.today,
        waivers,
        instructors=named.instructors,
        partners=named.partners,
    )
    return found_ready, unread


def _holding(session: Session, person_id: int) -> tuple[KeptWaiver, ...]:
    return tuple(one for one in list_waivers(session, person_id) if one.withdrawn_at is None)


def _view(visit: Visit, person_id: int, named: Named) -> ReadyView:
    with visit.store.read() as session:
        found, unread = judged(session, person_id, visit, named)
        return ready_view(person_id, found, _holding(session, person_id), unread, named)
