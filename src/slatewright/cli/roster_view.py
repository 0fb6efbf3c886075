"""People on the terminal: a line each, then what could not be read and what stands twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli.console import CAUTION, HEAD, SOFT, heading, wrapped
from slatewright.course.roster import RosterLine, roster_line
from slatewright.logs.duplicates import Sameness

if TYPE_CHECKING:
    from rich.console import Console

    from slatewright.cli.roster_reading import Entrant
    from slatewright.course.candidates import Candidate
    from slatewright.store.logbooks import KeptRow, Logbook

_NAME_LETTERS: Final = 22
_MOST_LISTED: Final = 20
"""Rows set aside and twins that are shown on the screen; JSON has all."""


@dataclass(frozen=True, slots=True)
class AsideLine:
    """A row that was set aside.

    Parameters
    ----------
    logbook
        The name of the file.
    line
        Its line.
    text
        The row as it stands there.
    reasons
        Why it could not be read.
    """

    logbook: str
    line: int
    text: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TwinLine:
    """Two entries that tell of one dive.

    Parameters
    ----------
    first, second
        Where they stand.
    on_date
        The day of the first.
    sameness
        ``the same`` or ``likely the same``.
    why
        The reason.
    once
        Whether they are counted as one dive.
    """

    first: str
    second: str
    on_date: date
    sameness: str
    why: str
    once: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A person of the list.

    Parameters
    ----------
    line
        What is told in a line.
    born_on
        The birthday; None if unknown.
    number
        The number in the workspace; None if they are not kept.
    logbooks
        Name and number of dives of each logbook.
    aside
        The rows set aside.
    twins
        What stands twice.
    notes
        What the readers want looked at.
    """

    line: RosterLine
    born_on: date | None
    number: int | None
    logbooks: tuple[tuple[str, int], ...]
    aside: tuple[AsideLine, ...]
    twins: tuple[TwinLine, ...]
    notes: tuple[str, ...]


def listed_entrant(entrant: Entrant, today: date, number: int | None) -> Listed:
    """Return the candidate of a file as listed.

    Parameters
    ----------
    entrant
        What was read.
    today
        The day.
    number
        The number in the workspace; None if not kept.
    """
    return Listed(
        line=roster_line(entrant.candidate, today),
        born_on=entrant.candidate.born_on,
        number=number,
        logbooks=tuple((book.name, len(book.reading.dives)) for book in entrant.books),
        aside=tuple(
            AsideLine(book.name, row.line, row.text, tuple(map(_plain, row.reasons)))
            for book in entrant.books
            for row in book.reading.set_aside
        ),
        twins=tuple(
            TwinLine(
                f"{one.first.origin.name}, line {one.first.origin.line}",
                f"{one.second.origin.name}, line {one.second.origin.line}",
                one.first.on_date,
                str(one.sameness),
                one.why,
                one.once,
            )
            for one in entrant.told
        ),
        notes=tuple(
            f"{book.name}: {note}" for book in entrant.books for note in book.reading.notes
        ),
    )


def listed_person(
    number: int,
    candidate: Candidate,
    logbooks: Sequence[Logbook],
    aside: Sequence[KeptRow],
    today: date,
) -> Listed:
    """Return a person of a workspace as listed.

    Parameters
    ----------
    number
        The number in the workspace.
    candidate
        The person.
    logbooks, aside
        The logbooks, and the rows that wait for a decision.
    today
        The day.
    """
    names = {book.id: book.name for book in logbooks}
    return Listed(
        line=roster_line(candidate, today),
        born_on=candidate.born_on,
        number=number,
        logbooks=tuple((book.name, book.dives) for book in logbooks),
        aside=tuple(
            AsideLine(names[row.logbook_id], row.line, row.text, tuple(map(_plain, row.reasons)))
            for row in aside
        ),
        twins=(),
        notes=(),
    )


def show_roster(console: Console, people: Sequence[Listed], today: date) -> None:
    """Print people.

    Parameters
    ----------
    console
        The terminal.
    people
        Who.
    today
        The day for which it is.
    """
    width = console.width
    lines = [heading("Roster").append(f"  on {today}", "not bold"), Text()]
    head = f"{'':<{_NAME_LETTERS}}{'age':>4}  {'clearance':<10}{'dives':>7}{'deepest':>10}"
    lines.append(Text(f"{head}{'helium':>8}  {'last dive':<10}", SOFT))
    for one in people:
        lines += _person(one, width)
    if not people:
        lines.append(Text("Nobody is in it."))
    for one in people:
        lines += _aside(one, width) + _twins(one, width)
        for note in one.notes:
            lines += wrapped(Text(f"look at {note}", SOFT), width)
    for text in lines:
        console.print(text, overflow="ignore", no_wrap=True, crop=False)


def _person(one: Listed, width: int) -> list[Text]:
    told = one.line
    row = Text(f"{told.name[: _NAME_LETTERS - 1]:<{_NAME_LETTERS}}", HEAD)
    row.append("   ?" if told.age is None else f"{told.age:>4}", "not bold")
    until = "none" if told.medical_until is None else str(told.medical_until)
    row.append(f"  {until:<10}", "not bold" if told.medical_valid else CAUTION)
    deepest = "-" if told.deepest is None else str(told.deepest)
    last = "-" if told.last_dive is None else str(told.last_dive)
    row.append(f"{told.dives:>7}{deepest:>10}{told.helium_dives:>8}  {last:<10}", "not bold")
    cards = "; ".join(
        f"{card} ({', '.join(sorted(card.kinds))})" if card.kinds else str(card)
        for card in told.cards
    )
    lines = [row, *wrapped(Text(f"cards: {cards or 'none'}", SOFT), width, indent=2)]
    books = ", ".join(f"{name} ({count} dives)" for name, count in one.logbooks)
    if books:
        lines += wrapped(Text(f"logbooks: {books}", SOFT), width, indent=2)
    if not told.medical_valid:
        words = "no medical clearance" if told.medical_until is None else "clearance has run out"
        lines += wrapped(Text(f"{words}, so none is valid on this day", CAUTION), width, indent=2)
    if one.number is not None:
        lines.append(Text(f"  number {one.number} in the workspace", SOFT))
    return lines


def _aside(one: Listed, width: int) -> list[Text]:
    if not one.aside:
        return []
    lines = [Text(), heading("Set aside").append(f"  {one.line.name}, not counted", "not bold")]
    for row in one.aside[:_MOST_LISTED]:
        head = Text(f"{row.logbook}, line {row.line}: ", HEAD).append(row.text[:200], SOFT)
        lines += wrapped(head, width, indent=2)
        for why in row.reasons:
            lines += wrapped(Text(why), width, indent=4)
    return lines + _more(len(one.aside))


def _twins(one: Listed, width: int) -> list[Text]:
    if not one.twins:
        return []
    lines = [Text(), heading("Told of twice").append(f"  {one.line.name}", "not bold")]
    for twin in one.twins[:_MOST_LISTED]:
        counted = "counted once" if twin.once else "counted twice"
        head = Text(f"{twin.on_date}  {twin.first} and {twin.second}: ", HEAD)
        head.append(f"{twin.sameness}, {counted}; {twin.why}", "not bold")
        style = CAUTION if twin.sameness == Sameness.LIKELY and not twin.once else ""
        head.stylize(style)
        lines += wrapped(head, width, indent=2)
    return lines + _more(len(one.twins))


def _more(count: int) -> list[Text]:
    left = count - _MOST_LISTED
    return [Text(f"  and {left} more, in --json", SOFT)] if left > 0 else []


def _plain(reason: object) -> str:
    """Return a reason on one line."""
    return "; ".join(part.strip() for part in str(reason).splitlines())
