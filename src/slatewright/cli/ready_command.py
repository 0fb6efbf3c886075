"""``slatewright ready``: a candidate held against standards, on screen or as JSON."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from slatewright.cli import files
from slatewright.cli.judging import working
from slatewright.cli.reporting import refusals, say
from slatewright.cli.roster_command import Said, day_of, is_workspace, need_workspace, write_json
from slatewright.cli.workspaces import opened
from slatewright.errors import InputError, NoSafeAnswer, Reason

if TYPE_CHECKING:
    from slatewright.cli.roster_reading import Told
    from slatewright.course.candidates import Candidate
    from slatewright.course.readiness import Readiness
    from slatewright.course.standard import Standard
    from slatewright.course.waivers import Waiver
    from slatewright.store.session import Session


SHEET: Final = files.Kind("--pdf", ".pdf", b"%PDF")
"""The letter."""


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter that is to be printed.

    Parameters
    ----------
    pdf
        Where to.
    sender
        Who signs it; empty to leave it to the signature.
    """

    pdf: Path
    sender: str


@dataclass(frozen=True, slots=True)
class ReadyAsked:
    """How readiness is asked.

    Parameters
    ----------
    name
        Who, in a workspace; None for a candidate file.
    standards
        Files of standards; none for the usual ones.
    people
        How logs name who teaches the course, and who takes it too.
    said
        What the options say of logbooks.
    both
        True to count likely duplicates as two dives.
    on
        The day, as typed; None for today.
    as_json
        True for the document instead of text.
    letter
        The letter that is to be printed; None for none.
    """

    name: str | None
    standards: tuple[Path, ...]
    people: tuple[tuple[str, ...], tuple[str, ...]]
    said: Said
    both: bool
    on: str | None
    as_json: bool
    letter: Letter | None = None


@dataclass(frozen=True, slots=True)
class _Found:
    """A candidate with what belongs to them."""

    candidate: Candidate
    waivers: tuple[Waiver, ...]
    standards: tuple[Standard, ...]
    told: tuple[Told, ...] = ()
    aside: int = 0


def run_ready(source: str, asked: ReadyAsked) -> None:
    """Hold a candidate against standards; exit code 3 if one is not met.

    Parameters
    ----------
    source
        A candidate file, or a workspace.
    asked
        How.
    """
    with refusals(source, refused="not ready"):
        today = day_of(asked.on)
        if asked.letter is not None:
            files.check_target(asked.letter.pdf, SHEET)
        found = _kept(source, asked) if is_workspace(source) else _read(Path(source), asked)
        from slatewright.course.readiness import readiness  # noqa: PLC0415 - start-up is budgeted

        done = readiness(
            found.candidate,
            found.standards,
            today,
            found.waivers,
            instructors=asked.people[0],
            partners=asked.people[1],
        )
        wrote = "" if asked.letter is None else _printed(done, asked.letter, asked.people)
        from slatewright.cli.ready_view import remarks, show_ready  # noqa: PLC0415 - as above

        if asked.as_json:
            from slatewright.course.readiness_document import readiness_document  # noqa: PLC0415 - as above

            write_json(readiness_document(done))
            for words in (*remarks(found.told, found.aside), *filter(None, [wrote])):
                say(words)
        else:
            from slatewright.cli.console import make_console  # noqa: PLC0415 - as above

            show_ready(make_console(), done, found.told, found.aside)
            if wrote:
                sys.stdout.write(f"\n{wrote}\n")
        sys.stdout.flush()
        _refuse_unready(done, today)


def _read(path: Path, asked: ReadyAsked) -> _Found:
    if asked.name is not None:
        raise InputError(
            "a candidate file is of one person", where="--name", right="a workspace, or no name"
        )
    from slatewright.cli.roster_reading import answers_of, read_entrant  # noqa: PLC0415 - as above
    from slatewright.course.standardfile import SHIPPED, shipped_standard  # noqa: PLC0415 - as above

    standards = _given(asked) or tuple(shipped_standard(name) for name in SHIPPED)
    with working("Reading logbooks"):
        entrant = read_entrant(path, answers_of(*asked.said), both=asked.both)
    aside = sum(len(book.reading.set_aside) for book in entrant.books)
    return _Found(entrant.candidate, entrant.file.waivers(), standards, entrant.told, aside)


def _kept(source: str, asked: ReadyAsked) -> _Found:
    if asked.name is None:
        raise InputError("a workspace has many people", where="--name", right="a name of its list")
    need_workspace(source)
    with opened(source) as store:
        from slatewright.store.logbooks import candidate_of, list_set_aside  # noqa: PLC0415 - as above
        from slatewright.store.waivers import list_waivers  # noqa: PLC0415 - as above

        given = _given(asked)
        with store.read() as session:
            number = _number(session, asked.name)
            held = [one for one in list_waivers(session, number) if one.withdrawn_at is None]
            return _Found(
                candidate_of(session, number),
                tuple(one.waiver for one in held),
                given or _of_workspace(session),
                aside=len(list_set_aside(session, number)),
            )


def _number(session: Session, name: str) -> int:
    from slatewright.store.people import list_people  # noqa: PLC0415 - as above

    people = list_people(session)
    named = [one for one in people if one.name.casefold() == name.strip().casefold()]
    if len(named) == 1:
        return named[0].id
    if not named:
        right = ", ".join(one.name for one in people[:10]) or "a name, once somebody is in it"
        raise InputError(f"nobody is called '{name}'", where="--name", right=right)
    raise InputError(
        f"{len(named)} people are called '{name}'", where="--name", right="a name of one person"
    )


def _of_workspace(session: Session) -> tuple[Standard, ...]:
    from slatewright.desk.course.standards import workspace_standards  # noqa: PLC0415 - as above

    standards = []
    for one in workspace_standards(session):
        if one.error is not None:
            raise one.error
        if one.standard is not None:
            standards.append(one.standard)
    return tuple(standards)


def _given(asked: ReadyAsked) -> tuple[Standard, ...]:
    from slatewright.course.standardfile import read_standard  # noqa: PLC0415 - as above

    for path in asked.standards:
        files.check_plan(path)
    return tuple(read_standard(path) for path in asked.standards)


def _printed(
    done: Readiness, letter: Letter, people: tuple[tuple[str, ...], tuple[str, ...]]
) -> str:
    from slatewright.paper.readiness_letter import readiness_letter_pdf  # noqa: PLC0415 - as above
    from slatewright.paper.readiness_letter_data import (  # noqa: PLC0415 - as above
        letter_of,
        named_words,
    )

    with working("Printing the letter"):
        words = named_words(*people)
        content = readiness_letter_pdf(letter_of(done, sender=letter.sender, words=words))
    files.write_whole(letter.pdf, content, f"{SHEET.option} {letter.pdf}")
    return f"The letter is in {letter.pdf}."


def _refuse_unready(done: Readiness, today: date) -> None:
    """Say what is lacking on standard error, and end with exit code 3."""
    from slatewright.course.readiness import State  # noqa: PLC0415 - as above

    reasons = [
        Reason(
            f"{judged.standard.id}, {rule.rule.id}: {rule.part.count} of {rule.part.needed}",
            rule.forecast.says if rule.forecast.on not in {None, today} else "",
        )
        for judged in done.judged
        for rule in judged.rules
        if rule.state is State.NOT_MET
    ]
    if reasons:
        raise NoSafeAnswer(*reasons)
