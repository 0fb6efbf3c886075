"""What is next, and what is missing for it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from sqlalchemy import select
from sqlalchemy.orm import Session

from slatewright.store._plan_rows import entry_of
from slatewright.store.dives import Dive, list_dives
from slatewright.store.plan_records import PlanEntry
from slatewright.store.records import record_of
from slatewright.store.schema import AnalysisRow, PlanRow, SignatureRow
from slatewright.store.vouching import Analysis, Signature, SignatureKind, text_sha256


class Missing(StrEnum):
    """What a dive still lacks."""

    ANALYSIS = "analysis"
    CHECK = "check"
    SIGN_OFF = "sign-off"


@dataclass(frozen=True, slots=True)
class UpcomingDive:
    """A dive that is to be dived, with what is there for it.

    Parameters
    ----------
    dive
        The dive.
    plan
        Its plan.
    analyses
        What was analysed for it, the last first.
    signatures
        The signatures under the plan's present text, the last first.
    outdated
        The signatures under an earlier text: of no use any more, but somebody should know.
    """

    dive: Dive
    plan: PlanEntry
    analyses: tuple[Analysis, ...]
    signatures: tuple[Signature, ...]
    outdated: tuple[Signature, ...]

    @property
    def missing(self) -> tuple[Missing, ...]:
        """What is missing altogether.

        Whether each cylinder of the plan was analysed is for those to say who can read the plan.
        """
        signed = {signature.kind for signature in self.signatures}
        there = {
            Missing.ANALYSIS: bool(self.analyses),
            Missing.CHECK: SignatureKind.CHECK in signed,
            Missing.SIGN_OFF: SignatureKind.SIGN_OFF in signed,
        }
        return tuple(what for what, is_there in there.items() if not is_there)


def upcoming_dives(session: Session, *, from_date: date) -> tuple[UpcomingDive, ...]:
    """Return the dives from a day on with what is there for them, the next one first.

    Parameters
    ----------
    session
        A session.
    from_date
        The first day, today as a rule.
    """
    dives = list_dives(session, from_date=from_date)
    plan_ids = {dive.plan_id for dive in dives}
    rows = {row.id: row for row in session.scalars(select(PlanRow).where(PlanRow.id.in_(plan_ids)))}
    digests = {plan_id: text_sha256(row.text) for plan_id, row in rows.items()}
    analyses: defaultdict[int, list[Analysis]] = defaultdict(list)
    for entry in session.scalars(
        select(AnalysisRow)
        .where(AnalysisRow.dive_id.in_([dive.id for dive in dives]))
        .order_by(AnalysisRow.analysed_at.desc(), AnalysisRow.id.desc())
    ):
        if entry.dive_id is not None:
            analyses[entry.dive_id].append(record_of(Analysis, entry))
    signatures: defaultdict[int, list[Signature]] = defaultdict(list)
    for signed in session.scalars(
        select(SignatureRow)
        .where(SignatureRow.plan_id.in_(plan_ids))
        .order_by(SignatureRow.signed_at.desc(), SignatureRow.id.desc())
    ):
        current = signed.text_sha256 == digests[signed.plan_id]
        kind = SignatureKind(signed.kind)
        signatures[signed.plan_id].append(record_of(Signature, signed, kind=kind, current=current))
    return tuple(
        UpcomingDive(
            dive=dive,
            plan=entry_of(rows[dive.plan_id]),
            analyses=tuple(analyses[dive.id]),
            signatures=tuple(s for s in signatures[dive.plan_id] if s.current),
            outdated=tuple(s for s in signatures[dive.plan_id] if not s.current),
        )
        for dive in dives
    )
