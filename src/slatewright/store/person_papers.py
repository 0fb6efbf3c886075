"""What the course keeps about a person: cards, dives, waivers, notes, sign-offs, debriefs."""

from __future__ import annotations

import json
from typing import Any

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from slatewright.store.certificates import list_certificates
from slatewright.store.logbooks import list_logbooks, list_set_aside
from slatewright.store.schema_course import (
    CourseNoteRow,
    DebriefRow,
    LoggedDiveRow,
    SealedRow,
    SignOffRow,
    WaiverRow,
)


def about_the_course(session: Session, person_id: int) -> dict[str, Any]:
    """Return all of it, ready for JSON.

    Parameters
    ----------
    session
        A session.
    person_id
        Their number.
    """
    dives = session.scalars(
        select(LoggedDiveRow.text)
        .where(LoggedDiveRow.person_id == person_id)
        .order_by(LoggedDiveRow.on_date, LoggedDiveRow.id)
    )
    waivers = session.scalars(
        select(WaiverRow)
        .where(or_(WaiverRow.person_id == person_id, WaiverRow.by_person_id == person_id))
        .order_by(WaiverRow.id)
    )
    notes = session.scalars(
        select(CourseNoteRow).where(CourseNoteRow.by_person_id == person_id).order_by(
            CourseNoteRow.id
        )
    )  # fmt: skip
    debriefs = session.scalars(
        select(DebriefRow).where(DebriefRow.by_person_id == person_id).order_by(DebriefRow.id)
    )
    return {
        "certificates": [
            {
                "title": kept.certificate.title,
                "level": kept.certificate.level,
                "kinds": sorted(kept.certificate.kinds),
                "issued_on": None
                if kept.certificate.issued_on is None
                else kept.certificate.issued_on.isoformat(),
                "number": kept.certificate.number,
            }
            for kept in list_certificates(session, person_id)
        ],
        "logbooks": [
            {"name": book.name, "read_at": book.read_at.isoformat()}
            for book in list_logbooks(session, person_id)
        ],
        "logged_dives": [json.loads(text) for text in dives],
        "rows_set_aside": [row.text for row in list_set_aside(session, person_id)],
        "waivers": [
            {
                "about": row.person_id == person_id,
                "standard": row.standard,
                "rule": row.rule,
                "reason": row.reason,
                "by_name": row.by_name,
                "on": row.on_date.isoformat(),
            }
            for row in waivers
        ],
        "course_notes": [
            {
                "course_id": row.course_id,
                "dive": row.dive,
                "kind": row.kind,
                "text": row.text,
                "made_at": row.made_at.isoformat(),
            }
            for row in notes
        ],
        "debriefs": [
            {"plan_id": row.plan_id, "on": row.on_date.isoformat(), "text": row.text}
            for row in debriefs
        ],
        "sign_offs": _sign_offs(session, person_id),
    }


def _sign_offs(session: Session, person_id: int) -> list[dict[str, Any]]:
    """Return the entries in which a person is signed off or signs, remarks in clear."""
    sealed = session.scalars(
        select(SealedRow).where(
            or_(SealedRow.about_person_id == person_id, SealedRow.by_person_id == person_id)
        )
    ).all()
    texts = {(row.course_id, row.digest): row.text for row in sealed}
    names = {key for row in sealed if row.by_person_id is None for key in [row.digest]}
    found = []
    courses = sorted({row.course_id for row in sealed})
    for row in session.scalars(
        select(SignOffRow)
        .where(SignOffRow.course_id.in_(courses))
        .order_by(SignOffRow.course_id, SignOffRow.number)
    ):
        entry = json.loads(row.text)
        if names & {entry["diver"], entry["by"]}:
            remark = texts.get((row.course_id, entry["remark"] or ""))
            found.append({**entry, "remark_text": remark})
    return found
