"""Waivers: rules from which an instructor let somebody off; added, withdrawn, never changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from slatewright.course.waivers import Waiver
from slatewright.store.columns import checked_line, checked_text
from slatewright.store.records import row_of
from slatewright.store.schema import PersonRow
from slatewright.store.schema_course import WaiverRow
from slatewright.store.vouching import Who


@dataclass(frozen=True, slots=True)
class KeptWaiver:
    """A waiver in the records.

    Parameters
    ----------
    id
        Its number.
    person_id
        Whom it lets off.
    waiver
        The rule, the reason, by whom, from when.
    made_at
        When it was recorded.
    withdrawn_at
        When it was withdrawn; None if it holds.
    """

    id: int
    person_id: int
    waiver: Waiver
    made_at: datetime
    withdrawn_at: datetime | None


def add_waiver(
    session: Session, person_id: int, waiver: Waiver, who: Who, *, now: datetime
) -> KeptWaiver:
    """Record a waiver.

    Parameters
    ----------
    session
        A session that writes.
    person_id
        Whom it lets off.
    waiver
        The rule, the reason, and from when; its ``by`` is ``who``.
    who
        Who decides it.
    now
        The moment.

    Raises
    ------
    InputError
        If something of it cannot be kept, or a person is not there.
    """
    for person in (person_id, who.person_id):
        if person is not None:
            row_of(session, PersonRow, person, "person")
    row = WaiverRow(
        person_id=person_id,
        standard=checked_line(waiver.standard, "standard"),
        rule=checked_line(waiver.rule, "rule"),
        reason=checked_text(waiver.reason.strip(), "reason"),
        on_date=waiver.on,
        by_name=checked_line(who.name, "by"),
        by_person_id=who.person_id,
        made_at=now,
        withdrawn_at=None,
    )
    session.add(row)
    session.flush()
    return _kept(row)


def withdraw_waiver(session: Session, waiver_id: int, *, now: datetime) -> KeptWaiver:
    """Withdraw a waiver; it stays in the records.

    Parameters
    ----------
    session
        A session that writes.
    waiver_id
        Its number.
    now
        The moment.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    row = row_of(session, WaiverRow, waiver_id, "waiver")
    row.withdrawn_at = row.withdrawn_at or now
    session.flush()
    return _kept(row)


def list_waivers(session: Session, person_id: int) -> tuple[KeptWaiver, ...]:
    """Return the waivers of a person, withdrawn ones too, the first first.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose.
    """
    rows = session.scalars(
        select(WaiverRow).where(WaiverRow.person_id == person_id).order_by(WaiverRow.id)
    )
    return tuple(_kept(row) for row in rows)


def _kept(row: WaiverRow) -> KeptWaiver:
    waiver = Waiver(
        rule=row.rule, standard=row.standard, reason=row.reason, by=row.by_name, on=row.on_date
    )
    return KeptWaiver(row.id, row.person_id, waiver, row.made_at, row.withdrawn_at)
