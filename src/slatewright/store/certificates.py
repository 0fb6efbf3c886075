"""The cards that a person holds."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from slatewright.course.candidates import Certificate
from slatewright.store.columns import checked_line
from slatewright.store.records import row_of
from slatewright.store.schema import PersonRow
from slatewright.store.schema_course import CertificateRow


@dataclass(frozen=True, slots=True)
class KeptCertificate:
    """A card in the records.

    Parameters
    ----------
    id
        Its number here.
    person_id
        Whose it is.
    certificate
        What stands on it.
    """

    id: int
    person_id: int
    certificate: Certificate


def add_certificate(
    session: Session, person_id: int, certificate: Certificate, *, now: datetime
) -> KeptCertificate:
    """Add a card.

    Parameters
    ----------
    session
        A session that writes.
    person_id
        Whose it is.
    certificate
        What stands on it.
    now
        The moment.

    Raises
    ------
    InputError
        If something of it cannot be kept, or there is no such person.
    """
    row_of(session, PersonRow, person_id, "person")
    row = CertificateRow(
        person_id=person_id,
        title=checked_line(certificate.title, "title"),
        level=checked_line(certificate.level, "level", empty=True),
        kinds=json.dumps(sorted(checked_line(kind, "kinds") for kind in certificate.kinds)),
        issued_on=certificate.issued_on,
        number=checked_line(certificate.number, "number", empty=True),
        created_at=now,
    )
    session.add(row)
    session.flush()
    return _kept(row)


def list_certificates(session: Session, person_id: int) -> tuple[KeptCertificate, ...]:
    """Return the cards of a person, the first issued first.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose.
    """
    rows = session.scalars(
        select(CertificateRow)
        .where(CertificateRow.person_id == person_id)
        .order_by(CertificateRow.issued_on, CertificateRow.id)
    )
    return tuple(_kept(row) for row in rows)


def remove_certificate(session: Session, certificate_id: int) -> None:
    """Remove a card that was entered by mistake.

    Parameters
    ----------
    session
        A session that writes.
    certificate_id
        Its number here.

    Raises
    ------
    NoSuchRecord
        If there is none.
    """
    row_of(session, CertificateRow, certificate_id, "certificate")
    session.execute(delete(CertificateRow).where(CertificateRow.id == certificate_id))
    session.expire_all()


def _kept(row: CertificateRow) -> KeptCertificate:
    certificate = Certificate(
        title=row.title,
        level=row.level,
        kinds=frozenset(json.loads(row.kinds)),
        issued_on=row.issued_on,
        number=row.number,
    )
    return KeptCertificate(row.id, row.person_id, certificate)
