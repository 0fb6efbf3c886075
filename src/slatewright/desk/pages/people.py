"""The people of a workspace: who they are, all that is kept about one, and deleting one."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated, Final

from fastapi import APIRouter, Form
from starlette.responses import Response

from slatewright.desk.bench.asked import Asked
from slatewright.desk.frame import Page
from slatewright.desk.left_texts import other_texts
from slatewright.desk.pages.bench import Typed
from slatewright.desk.problem import Fault, problem_of
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.store.faults import StaleRecord
from slatewright.store.forgetting import Forgotten, export_person, forget_person
from slatewright.store.naming import named_in
from slatewright.store.people import (
    Particulars,
    Person,
    add_person,
    get_person,
    list_people,
    save_person,
)
from slatewright.store.plans import list_plans
from slatewright.store.session import Session

router = APIRouter()


@dataclass(frozen=True, slots=True)
class PersonTyped:
    """What is known about a person, as it is typed.

    Parameters
    ----------
    name, contact, emergency_contact
        As for `slatewright.store.people.Particulars`.
    medical_on, medical_until, born_on
        Days as a browser writes them; empty for unknown.
    """

    name: str = ""
    contact: str = ""
    emergency_contact: str = ""
    medical_on: str = ""
    medical_until: str = ""
    born_on: str = ""

    @classmethod
    def by(cls, form: Typed) -> PersonTyped:
        """Read it from a form.

        Parameters
        ----------
        form
            The fields.
        """
        return cls(**{name: str(form.get(name, "")) for name in cls.__slots__})

    @classmethod
    def of(cls, known: Particulars) -> PersonTyped:
        """Return what is known as it would be typed.

        Parameters
        ----------
        known
            What is known.
        """
        return cls(
            name=known.name,
            contact=known.contact,
            emergency_contact=known.emergency_contact,
            medical_on=str(known.medical_on or ""),
            medical_until=str(known.medical_until or ""),
            born_on=str(known.born_on or ""),
        )

    def particulars(self) -> Particulars:
        """Return what is known.

        Raises
        ------
        InputError
            If a day is none.
        """
        return Particulars(
            name=self.name,
            contact=self.contact,
            emergency_contact=self.emergency_contact,
            medical_on=_day(self.medical_on, "medical_on"),
            medical_until=_day(self.medical_until, "medical_until"),
            born_on=_day(self.born_on, "born_on"),
        )


@dataclass(frozen=True, slots=True)
class Card:
    """A person in the list.

    Parameters
    ----------
    person
        Who.
    lapsed
        Whether the medical clearance holds no longer.
    """

    person: Person
    lapsed: bool


@dataclass(frozen=True, slots=True)
class People:
    """Everybody.

    Parameters
    ----------
    cards
        By name.
    typed
        What was typed of a new one; empty at first.
    faults
        What is wrong with it.
    """

    cards: tuple[Card, ...]
    typed: PersonTyped
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class PersonSeen:
    """A person, to be changed.

    Parameters
    ----------
    id, version
        The record.
    typed
        What is known, as it is typed.
    faults
        What is wrong with it.
    """

    id: int
    version: int
    typed: PersonTyped
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Forgetting:
    """What deleting a person does, or has done.

    Parameters
    ----------
    id, version
        The record.
    name
        Who.
    kept
        What is kept about them: what it is, and how much of it.
    plans, courses
        Titles of plans whose text has the name in it, and how many courses.
    others
        Other texts that have it, as people call them.
    done
        What was done; None before.
    """

    id: int
    version: int
    name: str
    kept: tuple[tuple[str, int], ...]
    plans: tuple[str, ...]
    courses: int
    others: tuple[str, ...]
    done: Forgotten | None


PEOPLE: Final = Page(
    "people", "People", "people.html", People, path="/people", label="People", order=50
)
PERSON: Final = Page("person", "A person", "person.html", PersonSeen)
FORGET: Final = Page("forget", "Delete a person", "forget.html", Forgetting)
PAGES: Final = (PEOPLE, PERSON, FORGET)
_WORDS: Final = {"certificates": "cards", "sign_offs": "entries of sign-off books"}
"""What an export calls its lists, where that is not what the page calls them."""


@router.get("/people")
def people(visit: OnVisit) -> Response:
    """Show everybody.

    Parameters
    ----------
    visit
        The request.
    """
    return visit.show(PEOPLE, _people(visit))


@router.post("/people")
def add(visit: OnVisit, form: Typed) -> Response:
    """Add a person.

    Parameters
    ----------
    visit
        The request.
    form
        What is known.
    """
    typed = PersonTyped.by(form)
    try:
        with visit.store.write() as session:
            person = add_person(session, typed.particulars(), now=visit.now)
    except InputError as error:
        return visit.show(PEOPLE, _people(visit, typed, problem_of(error).faults), status=422)
    return visit.go(f"/people/{person.id}")


@router.get("/people/{person_id}")
def person(visit: OnVisit, person_id: int) -> Response:
    """Show a person.

    Parameters
    ----------
    visit
        The request.
    person_id
        Their number.
    """
    with visit.store.read() as session:
        known = get_person(session, person_id)
    return visit.show(PERSON, PersonSeen(known.id, known.version, PersonTyped.of(known), ()))


@router.post("/people/{person_id}")
def save(visit: OnVisit, person_id: int, form: Typed) -> Response:
    """Save what is known about a person; if another window has saved meanwhile, that is told.

    Parameters
    ----------
    visit
        The request.
    person_id
        Their number.
    form
        All that is known, and the version that was looked at.
    """
    typed, version = PersonTyped.by(form), Asked.by(form).version
    try:
        with visit.store.write() as session:
            save_person(session, person_id, version, typed.particulars(), now=visit.now)
    except StaleRecord as stale:
        with visit.store.read() as session:
            theirs = get_person(session, person_id)
        seen = PersonSeen(
            person_id, stale.version, typed, _differences(typed, PersonTyped.of(theirs))
        )
        return visit.show(PERSON, seen, status=409)
    except InputError as error:
        seen = PersonSeen(person_id, version, typed, problem_of(error).faults)
        return visit.show(PERSON, seen, status=422)
    return visit.go("/people")


@router.get("/people/{person_id}/all.json")
def everything(visit: OnVisit, person_id: int) -> Response:
    """Hand over all that is kept about a person.

    Parameters
    ----------
    visit
        The request.
    person_id
        Their number.
    """
    with visit.store.read() as session:
        told = export_person(session, person_id)
    text = json.dumps(told, indent=2, ensure_ascii=False) + "\n"
    headers = {"Content-Disposition": f'attachment; filename="person-{person_id}.json"'}
    return Response(text.encode(), media_type="application/json", headers=headers)


@router.get("/people/{person_id}/forget")
def before(visit: OnVisit, person_id: int) -> Response:
    """Show what deleting a person would do.

    Parameters
    ----------
    visit
        The request.
    person_id
        Their number.
    """
    with visit.store.read() as session:
        return visit.show(FORGET, _forgetting(session, person_id))


@router.post("/people/{person_id}/forget")
def forget(visit: OnVisit, person_id: int, version: Annotated[int, Form()]) -> Response:
    """Delete a person, and say what was done and what is left to a human.

    Parameters
    ----------
    visit
        The request.
    person_id
        Their number.
    version
        The version that was looked at.
    """
    with visit.store.read() as session:
        told = _forgetting(session, person_id)
    done = forget_person(visit.store, person_id, version)
    return visit.show(FORGET, replace(told, done=done))


def _people(
    visit: Visit, typed: PersonTyped | None = None, faults: tuple[Fault, ...] = ()
) -> People:
    with visit.store.read() as session:
        everybody = list_people(session)
    cards = tuple(
        Card(one, one.medical_until is not None and one.medical_until < visit.today)
        for one in everybody
    )
    return People(cards, typed or PersonTyped(), faults)


def _forgetting(session: Session, person_id: int) -> Forgetting:
    told, known = export_person(session, person_id), get_person(session, person_id)
    kept = tuple(
        (_WORDS.get(name, name.replace("_", " ")), len(value))
        for name, value in told.items()
        if isinstance(value, list) and not name.startswith("named_in_") and value
    )
    titles = {plan.id: plan.title for plan in list_plans(session)}
    named = named_in(session, known.name)
    return Forgetting(
        id=person_id,
        version=known.version,
        name=known.name,
        kept=kept,
        plans=tuple(titles.get(number, f"plan {number}") for number in named.plans),
        courses=len(named.courses),
        others=other_texts(session, named),
        done=None,
    )


def _differences(mine: PersonTyped, theirs: PersonTyped) -> tuple[Fault, ...]:
    """Return what another window has saved otherwise, to be weighed before saving over it."""
    found = [
        Fault(f"another window has saved '{getattr(theirs, name)}' meanwhile", name)
        for name in PersonTyped.__slots__
        if getattr(mine, name).strip() != getattr(theirs, name)
    ]
    told = "below is yours; saving once more lets it stand"
    return (*found, Fault(told)) if found else (Fault("another window has saved the same"),)


def _day(text: str, where: str) -> date | None:
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(
            f"'{text.strip()[:40]}' is no day", where=where, right="a day such as 2031-05-04"
        ) from None
