"""``slatewright roster``: people with what their logbooks come to, on screen, as JSON, or kept."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slatewright.cli.judging import working
from slatewright.cli.reporting import refusals
from slatewright.cli.workspaces import opened
from slatewright.errors import InputError

if TYPE_CHECKING:
    from slatewright.cli.roster_reading import Entrant
    from slatewright.cli.roster_view import Listed
    from slatewright.logs.answering import Answers

Said = tuple[str | None, str | None, tuple[str, ...], tuple[str, ...]]
"""What the options say of logbooks, as typed: depths, dates, durations, columns."""


@dataclass(frozen=True, slots=True)
class RosterAsked:
    """How the roster is asked.

    Parameters
    ----------
    into
        The workspace in which people are kept; None for none.
    said
        What the options say of logbooks.
    both
        True to count likely duplicates as two dives.
    on
        The day, as typed; None for today.
    as_json
        True for the document instead of text.
    """

    into: str | None
    said: Said
    both: bool
    on: str | None
    as_json: bool


def run_roster(sources: Sequence[str], asked: RosterAsked) -> None:
    """List people.

    Parameters
    ----------
    sources
        Candidate files, or one workspace.
    asked
        How.
    """
    with refusals("roster"):
        today = day_of(asked.on)
        if any(is_workspace(source) for source in sources):
            if len(sources) > 1:
                raise InputError(
                    "a workspace stands beside other things",
                    where=" ".join(sources),
                    right="candidate files, or one workspace",
                )
            if asked.into is not None:
                raise InputError(
                    "the people of a workspace are kept already",
                    where="--into",
                    right="candidate files",
                )
            _show(_of_workspace(sources[0], today), today, as_json=asked.as_json)
            return
        from slatewright.cli.roster_reading import answers_of, read_entrant  # noqa: PLC0415 - start-up is budgeted

        answers: Answers = answers_of(*asked.said)
        with working("Reading logbooks"):
            entrants = [read_entrant(Path(one), answers, both=asked.both) for one in sources]
        kept = {} if asked.into is None else _kept(entrants, asked.into, both=asked.both)
        from slatewright.cli.roster_view import listed_entrant  # noqa: PLC0415 - as above

        people = [listed_entrant(one, today, kept.get(i)) for i, one in enumerate(entrants)]
        _show(people, today, as_json=asked.as_json)


def day_of(text: str | None) -> date:
    """Return the day on which is judged.

    Parameters
    ----------
    text
        As typed; None for today.

    Raises
    ------
    InputError
        If it is no day.
    """
    if text is None:
        from slatewright.desk.clock import today_here  # noqa: PLC0415 - as above

        return today_here()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(f"'{text}' is no day", where="--on", right="2031-05-04") from None


def is_workspace(source: str) -> bool:
    """Return whether a source is a workspace: a folder, or the address of a server.

    Parameters
    ----------
    source
        As typed.
    """
    return "://" in source or Path(source).is_dir()


def _of_workspace(source: str, today: date) -> list[Listed]:
    need_workspace(source)
    with opened(source) as store:
        from slatewright.cli.roster_view import listed_person  # noqa: PLC0415 - as above
        from slatewright.store.logbooks import (  # noqa: PLC0415 - as above
            candidate_of,
            list_logbooks,
            list_set_aside,
        )
        from slatewright.store.people import list_people  # noqa: PLC0415 - as above

        with store.read() as session:
            return [
                listed_person(
                    one.id,
                    candidate_of(session, one.id),
                    list_logbooks(session, one.id),
                    list_set_aside(session, one.id),
                    today,
                )
                for one in list_people(session)
            ]


def need_workspace(source: str) -> None:
    """Refuse a folder that is no workspace: none is made by looking.

    Parameters
    ----------
    source
        A folder, or the address of a server.

    Raises
    ------
    InputError
        If it is none.
    """
    from slatewright.store.workspace import DATABASE  # noqa: PLC0415 - as above

    if "://" not in source and not (Path(source) / DATABASE).exists():
        raise InputError("is no workspace", where=source, right="a folder that the desk has made")


def _kept(entrants: Sequence[Entrant], into: str, *, both: bool) -> dict[int, int]:
    """Keep what was read, all of it or nothing, and return the number of each person."""
    with opened(into) as store:
        from slatewright.desk.roster.keeping import Incoming, keep_candidate  # noqa: PLC0415 - as above
        from slatewright.store.clock import now_utc  # noqa: PLC0415 - as above

        numbers = {}
        with store.write() as session:
            for position, one in enumerate(entrants):
                books = [Incoming(book.name, book.sha256, book.reading) for book in one.books]
                person, _ = keep_candidate(session, one.file, books, both=both, now=now_utc())
                numbers[position] = person.id
        return numbers


def _show(people: Sequence[Listed], today: date, *, as_json: bool) -> None:
    if as_json:
        from slatewright.cli.roster_document import roster_document  # noqa: PLC0415 - as above

        write_json(roster_document(people, today))
        return
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
    from slatewright.cli.roster_view import show_roster  # noqa: PLC0415 - as above

    show_roster(make_console(), people, today)


def write_json(document: dict[str, Any]) -> None:
    """Print a document on standard output.

    Parameters
    ----------
    document
        Plain data.
    """
    text = json.dumps(document, indent=2, allow_nan=False, ensure_ascii=False)
    sys.stdout.write(f"{text}\n")
