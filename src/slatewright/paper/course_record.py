"""The course record on paper: dive by dive, the sign-off book, and the head of its chain."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from slatewright import cautions
from slatewright.course.record import Achieved, CourseRecord, DiveRecord, Planned
from slatewright.course.record_gaps import Gap, record_gaps
from slatewright.course.signoff import Broken, Entry, Outcome, head, verify
from slatewright.paper.course_paper import (
    Block,
    CoursePaper,
    PageSize,
    caution,
    cell,
    facts,
    heading,
    listing,
    paragraph,
    signatures,
    table,
    title,
    together,
)
from slatewright.paper.theme import mixture_name

SIGNS: Final = {Outcome.SHOWN: "done", Outcome.REPEAT: "again", Outcome.NOT_YET: "open"}
"""The shape before each outcome; the word stands beside it."""
_IN_A_ROW: Final = 16
_TIME: Final = "%Y-%m-%d %H:%M"


def course_record_pdf(record: CourseRecord, page: PageSize = PageSize.A4) -> bytes:
    """Print a course record.

    Parameters
    ----------
    record
        The record.
    page
        The size of the paper.

    Returns
    -------
    bytes
        A PDF; the same record gives the same bytes.
    """
    return course_record_paper(record).pdf(page)


def course_record_paper(record: CourseRecord) -> CoursePaper:
    """Put together what is printed of a course record.

    Parameters
    ----------
    record
        The record.

    Returns
    -------
    CoursePaper
        The paper.
    """
    last = head(record.entries, record.course)
    return CoursePaper(
        f"Course record, {record.title}",
        f"{record.title}, {record.course}, head of the sign-off book {last[:16]}",
        cautions.RECORD,
        tuple(_blocks(record)),
    )


def _blocks(record: CourseRecord) -> Iterator[Block]:
    days = sorted(dive.on for dive in record.dives)
    beside = (f"{days[0]} to {days[-1]}", record.course) if days else (record.course,)
    yield title("Course record", record.title, beside)
    if broken := _broken(record):
        yield caution(f"The sign-off book cannot be relied on: its chain is broken at {broken}.")
    yield facts(
        [
            ("school", record.school),
            ("taught by", ", ".join(record.instructors)),
            ("dives", str(sum(1 for dive in record.dives if dive.achieved))),
        ]
    )
    yield heading("Who did what")
    yield _totals(record)
    yield heading("What each diver has shown")
    yield _standing(record)
    gaps = record_gaps(record)
    yield heading("What is missing or differs from the plan")
    yield _gaps(gaps) if gaps else paragraph("Nothing is missing and nothing differs.")
    for dive in record.dives:
        yield from _dive(record, dive)
    yield heading("Sign-off book", aside="in the order in which it was signed; nothing is erased")
    yield _book(record)
    yield _chain(record)
    yield signatures(
        [(name, "instructor: place, day, signature") for name in record.instructors]
        + [(name, "diver: has read this record") for name in record.divers]
    )


def _totals(record: CourseRecord) -> Block:
    rows: list[list[str | Block]] = []
    for name in (*record.divers, *record.instructors):
        totals = record.totals(name)
        rows.append(
            [
                cell(name, tone="bold"),
                "instructor" if name in record.instructors else "diver",
                str(totals.dives),
                f"{totals.run_time_min:.0f} min",
                str(totals.greatest or "-"),
            ]
        )
    columns = (
        ("name", 2, "left"),
        ("as", 1, "left"),
        ("dives", None, "right"),
        ("run time", 0.7, "right"),
        ("greatest depth", 0.9, "right"),
    )
    return table(columns, rows)


def _standing(record: CourseRecord) -> Block:
    """Return skills by divers: the state of each."""
    found = {(one.diver, one.skill): one for one in record.standings()}
    divers = list(dict.fromkeys(diver for diver, _ in found))
    order = list(dict.fromkeys(skill for _, skill in found))
    rows: list[list[str | Block]] = []
    for skill in order:
        row: list[str | Block] = [record.skills.get(skill, skill)]
        for diver in divers:
            one = found.get((diver, skill))
            if one is None:
                row.append(cell("-", tone="soft"))
            else:
                row.append(cell(f"{one.outcome}, {one.last.dive}", sign=SIGNS[one.outcome]))
        rows.append(row)
    if not rows:
        return paragraph("Nothing is signed yet.")
    columns = [("skill", 2.2, "left")] + [(record.name(one), 1, "left") for one in divers]
    return table(columns, rows)


def _gaps(gaps: tuple[Gap, ...]) -> Block:
    return listing(
        (f"{gap.dive}: " if gap.dive else "")
        + gap.what
        + (f" What fills it: {gap.cure}." if gap.cure else "")
        for gap in gaps
    )


def _dive(record: CourseRecord, dive: DiveRecord) -> Iterator[Block]:
    top = [heading(dive.title, number=dive.id, aside=str(dive.on))]
    if dive.lost:
        yield together([*top, paragraph(f"Not dived: {dive.lost}")])
        return
    planned = dive.planned
    briefed = dive.briefed
    top.append(
        facts(
            [
                ("planned", "" if planned is None else _plan_words(planned)),
                ("planned by", "" if planned is None else planned.by),
                ("briefed", "" if briefed is None else f"{briefed.at:%H:%M} by {briefed.by}"),
            ],
            shares=(2, 1, 1.2),
        )
    )
    if planned is not None and planned.skills:
        skills = "; ".join(record.skills.get(skill, skill) for skill in planned.skills)
        top.append(paragraph(f"To be shown: {skills}.", soft=True))
    done = {one.diver: one for one in dive.achieved}
    rows = [_diver_row(dive, name, done.get(name)) for name in dive.divers]
    columns = (
        ("diver", 1.2, "left"),
        ("analysed, by whom", 2.4, "left"),
        ("depth", None, "right"),
        ("run time", None, "right"),
        ("written by", 1, "left"),
    )
    yield together([*top, table(columns, rows, size_pt=9)])


def _plan_words(planned: Planned) -> str:
    gases = ", ".join(mixture_name(gas) for gas in planned.gases)
    stops = {"none": "no stops"}.get(planned.decompression, f"{planned.decompression} stops")
    return f"{planned.greatest}, {planned.run_time_min:.0f} min, {gases}, {stops}"


def _diver_row(dive: DiveRecord, name: str, done: Achieved | None) -> list[str | Block]:
    readings = []
    for one in dive.analysed:
        if one.diver == name:
            by = "" if one.by == name else f" by {one.by}"
            readings.append(
                f"{mixture_name(one.planned)}: {one.o2_pct:.1f} / {one.he_pct:.1f} %"
                f" at {one.at:%H:%M}{by}"
            )
    first, *more = readings or ["no analysis"]
    analysed = cell(first, tone="" if readings else "soft", more=more)
    if done is None:
        return [cell(name, tone="bold"), analysed, "-", "-", cell("not written down", tone="soft")]
    ended = f"ended early: {done.ended}" if done.ended else ""
    below = " ".join(part for part in (ended, done.remark) if part)
    return [
        cell(name, tone="bold", below=below),
        analysed,
        str(done.greatest),
        f"{done.run_time_min:.0f} min",
        done.by or "-",
    ]


def _book(record: CourseRecord) -> Block:
    replaced = {one.corrects: one.number for one in record.entries if one.corrects is not None}
    columns = (
        ("no.", None, "right"),
        ("signed", None, "left"),
        ("dive", None, "left"),
        ("diver", 1, "left"),
        ("skill", 1.7, "left"),
        ("outcome", None, "left"),
        ("by", 1, "left"),
        ("hash", None, "left"),
    )
    rows = [_entry(record, one, replaced.get(one.number)) for one in record.entries]
    if not rows:
        return paragraph("The book is empty.")
    return table(columns, rows, size_pt=8.5)


def _entry(record: CourseRecord, entry: Entry, replaced_by: int | None) -> list[str | Block]:
    below = [f"corrects {entry.corrects}"] if entry.corrects is not None else []
    below += [f"corrected by {replaced_by}"] if replaced_by is not None else []
    if remark := record.remark(entry.remark):
        below.append(remark)
    struck = "struck" if replaced_by is not None else ""
    return [
        str(entry.number),
        entry.at.strftime(_TIME),
        entry.dive,
        record.name(entry.diver),
        cell(record.skills.get(entry.skill, entry.skill), tone=struck, below="; ".join(below)),
        cell(str(entry.outcome), tone=struck, sign="" if struck else SIGNS[entry.outcome]),
        record.name(entry.by),
        cell(entry.hash[:8], tone="soft"),
    ]


def _chain(record: CourseRecord) -> Block:
    last = head(record.entries, record.course)
    broken = _broken(record)
    said = (
        f"The chain is broken at {broken}."
        if broken
        else "The chain was verified when this was printed: no entry before this head was changed, "
        "removed, inserted or moved. Keep this sheet: with it anyone can show later that nothing "
        "was cut off the end either, and that the book was not written anew."
    )
    count = len(record.entries)
    return {
        "kind": "chain",
        "label": "head of the sign-off book, SHA-256",
        "beside": f"{count} {'entry' if count == 1 else 'entries'}",
        "hash": " ".join(last[i : i + _IN_A_ROW] for i in range(0, len(last), _IN_A_ROW)),
        "words": said,
        "broken": broken is not None,
    }


def _broken(record: CourseRecord) -> Broken | None:
    return verify(record.entries, record.course, kept_head=record.kept_head, texts=record.texts)
