"""Readiness on the terminal: each standard, rule by rule."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT, heading, wrapped
from slatewright.course.readiness import Judged, Readiness, RuleResult, State
from slatewright.logs.duplicates import Sameness

if TYPE_CHECKING:
    from rich.console import Console

    from slatewright.cli.roster_reading import Told
    from slatewright.course.readiness_parts import PartResult
    from slatewright.course.rule_counting import Remark

_MOST_REMARKS: Final = 3
"""Near misses that are shown for a rule on the screen; JSON has all."""
_STATES: Final = {State.MET: "met", State.WAIVED: "waived", State.NOT_MET: "not met"}
_INDENT: Final = 22


def show_ready(console: Console, done: Readiness, told: Sequence[Told], aside: int) -> None:
    """Print how a candidate stands to standards.

    Parameters
    ----------
    console
        The terminal.
    done
        What came of the standards.
    told
        What stands twice in the logbooks.
    aside
        How many of their rows were set aside.
    """
    width = console.width
    candidate = done.candidate
    lines = [Text(candidate.name, HEAD)]
    lines.append(Text(f"on {done.today}, {len(candidate.dives)} logged dives", SOFT))
    style = "" if done.medical.valid else CAUTION
    lines += wrapped(Text(done.medical.says, style), width)
    for words in remarks(told, aside):
        lines += wrapped(Text(words, CAUTION), width)
    for judged in done.judged:
        lines += _standard(judged, width)
    for text in lines:
        console.print(text, overflow="ignore", no_wrap=True, crop=False)


def remarks(told: Sequence[Told], aside: int) -> list[str]:
    """Return what is to be said of the logbooks before anything is counted.

    Parameters
    ----------
    told
        What stands twice in them.
    aside
        How many of their rows were set aside.
    """
    once = sum(one.once for one in told)
    twice = sum(one.sameness is Sameness.LIKELY and not one.once for one in told)
    words = []
    if aside:
        words.append(f"Rows set aside, not counted: {aside}; roster lists them.")
    if once:
        words.append(f"Dives told of twice, counted once: {once}; roster lists them.")
    if twice:
        words.append(f"Dives likely told of twice, counted twice as asked: {twice}.")
    return words


def _standard(judged: Judged, width: int) -> list[Text]:
    standard = judged.standard
    lacking = sum(rule.state is State.NOT_MET for rule in judged.rules)
    words = f"not yet, {lacking} of {len(judged.rules)} rules lacking" if lacking else "ready"
    title = heading(standard.title).append(f"  {words}", "not bold")
    lines = [Text(), *wrapped(title, width)]
    for note in standard.notes:
        lines += wrapped(Text(note, SOFT), width, indent=2)
    for rule in judged.rules:
        lines += _rule(rule, width)
    if lacking:
        lines += wrapped(Text(judged.forecast.says), width, indent=2)
    for stray in judged.stray_waivers:
        words = f"a waiver for a rule that is not there: {stray.rule}, {stray.reason}"
        lines += wrapped(Text(words, SOFT), width, indent=2)
    return lines


def _rule(result: RuleResult, width: int) -> list[Text]:
    part = result.part
    figures = f"{part.count} of {part.needed}"
    head = Text(f"  {_STATES[result.state]:<8}", CAUTION if result.state is State.NOT_MET else "")
    head.append(f"{figures:>11} ", HEAD)
    first, *rest = wrapped(Text(result.rule.says), width, indent=_INDENT)
    lines = [head.append_text(first[_INDENT:]), *rest]
    if result.state is State.WAIVED and result.waiver is not None:
        waiver = result.waiver
        words = f"waived by {waiver.by} on {waiver.on}: {waiver.reason}"
        lines += wrapped(Text(words), width, indent=_INDENT)
    if result.state is State.NOT_MET:
        lines += wrapped(Text(result.forecast.says), width, indent=_INDENT)
        for asked in result.way.parts:
            lines += _remarks(asked, width)
    return lines


def _remarks(part: PartResult, width: int) -> list[Text]:
    if part.met:
        return []
    lines: list[Text] = []
    if part.missing:
        lines += wrapped(Text(f"not known: {part.missing}", CAUTION), width, indent=_INDENT)
    for one in part.near[: -_MOST_REMARKS - 1 : -1]:
        lines += wrapped(Text(f"near: {_remark(one)}", SOFT), width, indent=_INDENT)
    left = len(part.near) - _MOST_REMARKS
    if left > 0:
        lines.append(Text(f"{'':<{_INDENT}}and {left} more, in --json", SOFT))
    by_reason: dict[str, list[Remark]] = {}
    for one in part.unknown:
        by_reason.setdefault(one.why, []).append(one)
    for why, same in by_reason.items():
        count = f"{len(same)} dives" if len(same) > 1 else str(same[0].dive.on_date)
        lines += wrapped(Text(f"unclear, {count}: {why}", SOFT), width, indent=_INDENT)
    return lines


def _remark(one: Remark) -> str:
    dive = one.dive
    return f"{dive.on_date}, {dive.greatest}, {dive.minutes:g} min: {one.why}"
