"""The letter about readiness: each rule with what counts, what nearly does, and until when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from slatewright import cautions
from slatewright.paper.course_paper import (
    Block,
    CoursePaper,
    PageSize,
    facts,
    heading,
    line,
    paragraph,
    signatures,
    title,
    together,
)

RuleState = Literal["met", "waived", "not met"]
_SIGNS: Final = {"met": "done", "waived": "partly", "not met": "open"}


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterRule:
    """A rule as the letter prints it.

    Parameters
    ----------
    words
        What is asked.
    count, needed
        How many there are, and how many are needed.
    of
        What is counted, such as ``dives``; empty for a rule that is met or not and has no count.
    state
        ``met``, ``waived`` or ``not met``.
    waived
        By whom, when and why; empty if it is not waived.
    when
        When it would be met at the present pace, a sentence; empty if nothing is to be said.
    near
        What nearly counts and why it does not, a line each.
    unknown
        What might count if more were known, a line each.
    """

    words: str
    count: int
    needed: int
    of: str
    state: RuleState
    waived: str = ""
    when: str = ""
    near: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterStandard:
    """A standard as the letter prints it.

    Parameters
    ----------
    title
        Its title.
    ready
        Whether each rule is met or waived.
    when
        When all would be met, a sentence; empty if all are.
    rules
        Its rules.
    notes
        What is to be said of it, such as that it is an example.
    """

    title: str
    ready: bool
    when: str
    rules: tuple[LetterRule, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadinessLetter:
    """What the letter says.

    Parameters
    ----------
    candidate
        To whom.
    sender
        From whom; empty to leave it to the signature.
    course
        For what; empty if it is for none in particular.
    on
        The day on which was judged.
    dives
        How many logged dives were looked at.
    standards
        The standards, side by side.
    medical
        What is to be said of the medical clearance; empty for nothing.
    words
        A paragraph of the sender's own; empty for none.
    """

    candidate: str
    sender: str
    course: str
    on: date
    dives: int
    standards: tuple[LetterStandard, ...]
    medical: str = ""
    words: str = ""


def readiness_letter_pdf(letter: ReadinessLetter, page: PageSize = PageSize.A4) -> bytes:
    """Print a letter about readiness.

    Parameters
    ----------
    letter
        What it says.
    page
        The size of the paper.

    Returns
    -------
    bytes
        A PDF; the same letter gives the same bytes.
    """
    return readiness_letter_paper(letter).pdf(page)


def readiness_letter_paper(letter: ReadinessLetter) -> CoursePaper:
    """Put together what is printed of a letter about readiness.

    Parameters
    ----------
    letter
        What it says.

    Returns
    -------
    CoursePaper
        The paper.
    """
    return CoursePaper(
        f"Readiness, {letter.candidate}",
        f"{letter.candidate}, judged on {letter.on}",
        cautions.RECORD,
        tuple(_blocks(letter)),
    )


def _blocks(letter: ReadinessLetter) -> Iterator[Block]:
    yield title("Readiness", letter.candidate, (f"judged on {letter.on}",))
    yield facts(
        [
            ("for", letter.course),
            ("from", letter.sender),
            ("logged dives looked at", str(letter.dives)),
            ("medical clearance", letter.medical),
        ],
        shares=(1, 1),
    )
    if letter.words:
        yield paragraph(letter.words)
    closing: list[Block] = []
    for standard in letter.standards:
        if closing:
            yield together(closing)
        yield heading(standard.title, aside=_verdict(standard))
        for rule in standard.rules:
            yield _rule(rule)
        closing = [_after_rules(standard.when)] if standard.when else []
        closing += [paragraph(note, soft=True) for note in standard.notes]
    # what is signed stands above the signature, on the same page
    yield together(
        [*closing, signatures([(letter.sender or "instructor", "place, day, signature")])]
    )


def _verdict(standard: LetterStandard) -> str:
    met = sum(1 for rule in standard.rules if rule.state == "met")
    waived = sum(1 for rule in standard.rules if rule.state == "waived")
    said = f"{met} of {len(standard.rules)} rules met"
    if waived:
        said += f", {waived} waived"
    return f"{'ready' if standard.ready else 'not ready'}: {said}"


def _after_rules(text: str) -> Block:
    return {"kind": "after", "text": line(text)}


def _rule(rule: LetterRule) -> Block:
    lines = [text for text in (rule.waived, rule.when) if text]
    lines += [f"nearly: {near}" for near in rule.near]
    lines += [f"not known: {unknown}" for unknown in rule.unknown]
    counted = bool(rule.of)
    count = f"{rule.count} of {rule.needed} {rule.of}"
    if rule.count >= rule.needed:
        count = f"{rule.count} {rule.of}, {rule.needed} asked"
    return {
        "kind": "rule",
        "sign": _SIGNS[rule.state],
        "state": rule.state,
        "words": line(rule.words),
        "lines": [line(text) for text in lines],
        "count": line(count) if counted else "",
        "share": rule.count / rule.needed if counted and rule.needed > 0 else -1.0,
    }
