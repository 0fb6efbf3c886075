"""What people vouch for: cylinders that they analysed, plans that they checked or signed off.

Such an entry is added and never changed; a mistake is put right by a later entry.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from slatewright.errors import InputError
from slatewright.store._plan_rows import current_plan
from slatewright.store.columns import checked_line
from slatewright.store.records import record_of, row_of
from slatewright.store.schema import AnalysisRow, DiveRow, PersonRow, PlanRow, SignatureRow

HIGHEST_GAUGE_BAR: Final = 500.0
"""No cylinder of the trade is filled beyond 300 bar; more is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Who:
    """Who vouches for something.

    Parameters
    ----------
    name
        The name as it is to stand in the record.
    person_id
        Their number in the roster; None if they are not in it.
    """

    name: str
    person_id: int | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """What an analyser and a gauge said.

    Parameters
    ----------
    cylinder
        The label of the cylinder.
    o2_pct
        Oxygen [%].
    he_pct
        Helium [%]; None if it was not analysed, and then the mix is not known.
    gauge_bar
        Pressure on the gauge [bar].
    """

    cylinder: str
    o2_pct: float
    he_pct: float | None
    gauge_bar: float


@dataclass(frozen=True, slots=True)
class Analysis:
    """An analysis in the records.

    Parameters
    ----------
    id
        Its number.
    dive_id
        The dive for which it was made; None if for none, or for one that was taken off the list.
    cylinder, o2_pct, he_pct, gauge_bar
        As for `Reading`.
    by_name, by_person_id
        Who analysed; as for `Who`.
    analysed_at
        When.
    """

    id: int
    dive_id: int | None
    cylinder: str
    o2_pct: float
    he_pct: float | None
    gauge_bar: float
    by_name: str
    by_person_id: int | None
    analysed_at: datetime


class SignatureKind(StrEnum):
    """What a signature under a plan says."""

    CHECK = "check"
    SIGN_OFF = "sign-off"


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature under a plan.

    Parameters
    ----------
    id
        Its number.
    plan_id
        The plan.
    kind
        What it says.
    text_sha256
        The hash of the text that was signed.
    current
        Whether that is still the plan's text; if not, nobody has signed what now stands there.
    by_name, by_person_id
        Who signed; as for `Who`.
    signed_at
        When.
    """

    id: int
    plan_id: int
    kind: SignatureKind
    text_sha256: str
    current: bool
    by_name: str
    by_person_id: int | None
    signed_at: datetime


def add_analysis(
    session: Session, reading: Reading, who: Who, *, now: datetime, dive_id: int | None = None
) -> Analysis:
    """Record an analysis.

    Parameters
    ----------
    session
        A session that writes.
    reading
        What analyser and gauge said.
    who
        Who analysed.
    now
        When.
    dive_id
        The dive for which it was made, if any.

    Raises
    ------
    InputError
        If the figures cannot be, or dive or person are not there.
    """
    _check_reading(reading)
    if dive_id is not None:
        row_of(session, DiveRow, dive_id, "dive")
    row = AnalysisRow(
        dive_id=dive_id,
        cylinder=checked_line(reading.cylinder, "cylinder"),
        o2_pct=float(reading.o2_pct),
        he_pct=None if reading.he_pct is None else float(reading.he_pct),
        gauge_bar=float(reading.gauge_bar),
        by_name=_name(session, who),
        by_person_id=who.person_id,
        analysed_at=now,
    )
    session.add(row)
    session.flush()
    return record_of(Analysis, row)


def dive_analyses(session: Session, dive_id: int) -> tuple[Analysis, ...]:
    """Return what was analysed for a dive, the last first.

    Parameters
    ----------
    session
        A session.
    dive_id
        Its number.
    """
    return _analyses(session, AnalysisRow.dive_id == dive_id)


def cylinder_analyses(session: Session, cylinder: str) -> tuple[Analysis, ...]:
    """Return all analyses of a cylinder, the last first.

    Parameters
    ----------
    session
        A session.
    cylinder
        Its label.
    """
    return _analyses(session, AnalysisRow.cylinder == cylinder.strip())


def sign_plan(
    session: Session, plan_id: int, version: int, kind: SignatureKind, who: Who, *, now: datetime
) -> Signature:
    """Sign a plan: the very text that the person has seen.

    Parameters
    ----------
    session
        A session that writes.
    plan_id
        The plan.
    version
        The version that the person has seen.
    kind
        What is said by it.
    who
        Who signs.
    now
        When.

    Raises
    ------
    StaleRecord
        If another window has saved the plan since: nobody signs what they have not seen.
    InputError
        If plan or person are not there, or the plan is in the trash.
    """
    plan = current_plan(session, plan_id, version)
    row = SignatureRow(
        plan_id=plan_id,
        kind=SignatureKind(kind),
        text_sha256=text_sha256(plan.text),
        by_name=_name(session, who),
        by_person_id=who.person_id,
        signed_at=now,
    )
    session.add(row)
    session.flush()
    return _signature(row, row.text_sha256)


def plan_signatures(session: Session, plan_id: int) -> tuple[Signature, ...]:
    """Return all signatures under a plan, the last first.

    Parameters
    ----------
    session
        A session.
    plan_id
        The plan.

    Raises
    ------
    NoSuchRecord
        If it is not there.
    """
    digest = text_sha256(row_of(session, PlanRow, plan_id, "plan").text)
    rows = session.scalars(
        select(SignatureRow)
        .where(SignatureRow.plan_id == plan_id)
        .order_by(SignatureRow.signed_at.desc(), SignatureRow.id.desc())
    )
    return tuple(_signature(row, digest) for row in rows)


def text_sha256(text: str) -> str:
    """Return the hash of a text, by which a signature knows it again.

    Parameters
    ----------
    text
        The text of a plan.
    """
    return hashlib.sha256(text.encode()).hexdigest()


def _signature(row: SignatureRow, digest: str) -> Signature:
    return record_of(
        Signature, row, kind=SignatureKind(row.kind), current=row.text_sha256 == digest
    )


def _analyses(session: Session, chosen: ColumnElement[bool]) -> tuple[Analysis, ...]:
    rows = session.scalars(
        select(AnalysisRow)
        .where(chosen)
        .order_by(AnalysisRow.analysed_at.desc(), AnalysisRow.id.desc())
    )
    return tuple(record_of(Analysis, row) for row in rows)


def _name(session: Session, who: Who) -> str:
    if who.person_id is not None:
        row_of(session, PersonRow, who.person_id, "person")
    return checked_line(who.name, "who")


def _check_reading(reading: Reading) -> None:
    helium = 0.0 if reading.he_pct is None else reading.he_pct
    for name, value, most in (
        ("o2_pct", reading.o2_pct, 100.0),
        ("he_pct", helium, 100.0),
        ("gauge_bar", reading.gauge_bar, HIGHEST_GAUGE_BAR),
    ):
        if not (math.isfinite(value) and 0.0 <= value <= most):
            raise InputError(f"{value:g} cannot be", where=name, right=f"0 to {most:g}")
    if reading.o2_pct + helium > 100.0:
        raise InputError(
            f"oxygen {reading.o2_pct:g} % and helium {helium:g} % are more than all",
            where="he_pct",
            right="readings that sum to 100 % at the most: calibrate the analyser and read again",
        )
