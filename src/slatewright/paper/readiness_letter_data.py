"""From what was judged to what the letter about readiness prints."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from slatewright.course.readiness import Judged, Readiness, RuleResult, State
from slatewright.course.readiness_parts import PartResult
from slatewright.course.rule_counting import Remark
from slatewright.paper.readiness_letter import (
    LetterRule,
    LetterStandard,
    ReadinessLetter,
    RuleState,
)

_STATES: Final[dict[State, RuleState]] = {
    State.MET: "met",
    State.WAIVED: "waived",
    State.NOT_MET: "not met",
}
NEAR_SHOWN: Final = 4
"""How many near misses of a rule a letter lists; it says how many more there are."""


def letter_of(
    ready: Readiness, *, sender: str = "", course: str = "", words: str = ""
) -> ReadinessLetter:
    """Return the letter about a candidate's readiness.

    Parameters
    ----------
    ready
        What was judged.
    sender
        From whom; empty to leave it to the signature.
    course
        For what; empty if it is for none in particular.
    words
        A paragraph of the sender's own.

    Returns
    -------
    ReadinessLetter
        To be printed.
    """
    seen = [dive for dive in ready.candidate.dives if dive.on_date <= ready.today]
    return ReadinessLetter(
        candidate=ready.candidate.name,
        sender=sender,
        course=course,
        on=ready.today,
        dives=len(seen),
        standards=tuple(map(_standard, ready.judged)),
        medical=ready.medical.says,
        words=words,
    )


def named_words(instructors: Sequence[str], partners: Sequence[str]) -> str:
    """Return who was named for the rules about people, a sentence; empty for nobody.

    Parameters
    ----------
    instructors
        Who teaches the course.
    partners
        Who takes it too.
    """
    told = []
    if instructors:
        told.append(f"{_listed(instructors)} as teaching the course")
    if partners:
        told.append(f"{_listed(partners)} as taking {'it' if told else 'the course'} too")
    return f"Judged with {', and with '.join(told)}." if told else ""


def _listed(names: Sequence[str]) -> str:
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last


def _standard(judged: Judged) -> LetterStandard:
    return LetterStandard(
        title=judged.standard.title,
        ready=judged.ready,
        when="" if judged.all_met else judged.forecast.says,
        rules=tuple(map(_rule, judged.rules)),
        notes=tuple(judged.standard.notes),
    )


def _rule(result: RuleResult) -> LetterRule:
    part, waiver = result.part, result.waiver
    waived = ""
    if result.state is State.WAIVED and waiver is not None:
        waived = f"Waived by {waiver.by} on {waiver.on}: {waiver.reason}"
    return LetterRule(
        words=result.rule.says,
        count=part.count,
        needed=part.needed,
        of=part.of,
        state=_STATES[result.state],
        waived=waived,
        when="" if result.met else result.forecast.says,
        near=() if result.met else tuple(_near(part.near)),
        unknown=() if result.met else tuple(_unknown(part)),
    )


def _near(remarks: Sequence[Remark]) -> Iterator[str]:
    for remark in remarks[:NEAR_SHOWN]:
        yield f"{remark.dive.on_date}, {remark.dive.greatest}: {remark.why}"
    if len(remarks) > NEAR_SHOWN:
        yield f"{len(remarks) - NEAR_SHOWN} more"


def _unknown(part: PartResult) -> Iterator[str]:
    """Yield what is not known, once for all dives of which the same is not known."""
    if part.missing:
        yield part.missing
    by_reason: dict[str, list[Remark]] = {}
    for remark in part.unknown:
        by_reason.setdefault(remark.why, []).append(remark)
    for why, remarks in by_reason.items():
        dive, count = remarks[0].dive, len(remarks)
        if count == 1:
            yield f"{dive.on_date}, {dive.greatest}: {why}"
        else:
            yield f"{count} dives, the first of {dive.on_date}: {why}"
