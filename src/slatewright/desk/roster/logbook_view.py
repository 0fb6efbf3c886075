"""What the page of cards and logbooks is given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from slatewright.course.candidates import Candidate
from slatewright.course.roster import RosterLine, roster_line
from slatewright.desk.problem import Fault
from slatewright.desk.roster.by_hand import Typed
from slatewright.desk.roster.dive_rows import DiveRow, dive_row
from slatewright.desk.roster.soundings import Soundings, soundings
from slatewright.store.certificates import KeptCertificate, list_certificates
from slatewright.store.logbooks import (
    KeptRow,
    Logbook,
    list_logbooks,
    list_logged_dives,
    list_set_aside,
)
from slatewright.store.people import Person, get_person
from slatewright.store.session import Session

PAGE_DIVES: Final = 200
MOST_ASIDE: Final = 100
_WIDE_PX: Final = 960
_NARROW_PX: Final = 358


@dataclass(frozen=True, slots=True)
class Retried:
    """What somebody has put in, and why it was not taken.

    Parameters
    ----------
    text
        The corrected row.
    reasons
        Why it still cannot be read.
    twin
        Why it may be kept already; empty if it is not.
    """

    text: str
    reasons: tuple[str, ...] = ()
    twin: str = ""


@dataclass(frozen=True, slots=True)
class AsideView:
    """A row that waits for a decision.

    Parameters
    ----------
    id
        Its number here.
    logbook
        The name of the file.
    line
        Its line; 0 if unknown.
    text
        The row, as it stands there or as it was last corrected.
    lines
        How many lines it has.
    reasons
        Why it cannot be read.
    twin
        Why it may be kept already; empty if it is not.
    """

    id: int
    logbook: str
    line: int
    text: str
    lines: int
    reasons: tuple[str, ...]
    twin: str


@dataclass(frozen=True, slots=True)
class Refused:
    """What was not taken, so that nothing typed is lost.

    Parameters
    ----------
    part
        Where: ``card``, ``file`` or ``hand``; empty if nothing was refused.
    faults
        Why.
    typed
        The dive as typed.
    twin
        Why the dive may be kept already; empty if it is not.
    retried
        Rows as corrected, by their number.
    """

    part: str = ""
    faults: tuple[Fault, ...] = ()
    typed: Typed = field(default_factory=Typed)
    twin: str = ""
    retried: Mapping[int, Retried] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LogbookPage:
    """The page of cards and logbooks.

    Parameters
    ----------
    person
        Whose.
    line
        What it all comes to.
    cards
        The cards.
    books
        The logbooks that were read.
    aside
        Rows that wait for a decision, some of them.
    aside_count
        How many there are.
    wide, narrow
        The dives drawn, for a screen and for a phone; None without dives.
    dives
        The dives at hand, the last first.
    first, until, total
        Which of all they are, counted from 1.
    newer, older
        Where the pages before and after begin; -1 if there is none.
    refused
        What was not taken.
    """

    person: Person
    line: RosterLine
    cards: tuple[KeptCertificate, ...]
    books: tuple[Logbook, ...]
    aside: tuple[AsideView, ...]
    aside_count: int
    wide: Soundings | None
    narrow: Soundings | None
    dives: tuple[DiveRow, ...]
    first: int
    until: int
    total: int
    newer: int
    older: int
    refused: Refused


def logbook_page(
    session: Session, person_id: int, today: date, start: int = 0, refused: Refused | None = None
) -> LogbookPage:
    """Return a person's cards and logbooks as they are shown.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose.
    today
        The day.
    start
        How many of the dives are passed over.
    refused
        What was not taken; None if nothing was.

    Raises
    ------
    NoSuchRecord
        If there is no such person.
    """
    person = get_person(session, person_id)
    kept = list_logged_dives(session, person_id)
    books = list_logbooks(session, person_id)
    rows = list_set_aside(session, person_id)
    cards = list_certificates(session, person_id)
    dives = tuple(one.dive for one in kept)
    candidate = Candidate(
        name=person.name,
        born_on=person.born_on,
        certificates=tuple(one.certificate for one in cards),
        medical_until=person.medical_until,
        dives=dives,
    )
    start = max(0, min(start, len(kept) - 1)) // PAGE_DIVES * PAGE_DIVES
    at_hand = kept[start : start + PAGE_DIVES]
    refused = refused or Refused()
    names = {book.id: book.name for book in books}
    older = start + PAGE_DIVES
    return LogbookPage(
        person=person,
        line=roster_line(candidate, today),
        cards=cards,
        books=books,
        aside=tuple(_aside(row, names, refused.retried.get(row.id)) for row in rows[:MOST_ASIDE]),
        aside_count=len(rows),
        wide=soundings(dives, _WIDE_PX),
        narrow=soundings(dives, _NARROW_PX),
        dives=tuple(dive_row(one.dive, one.id) for one in at_hand),
        first=start + 1,
        until=start + len(at_hand),
        total=len(kept),
        newer=start - PAGE_DIVES if start else -1,
        older=older if older < len(kept) else -1,
        refused=refused,
    )


def _aside(row: KeptRow, names: Mapping[int, str], retried: Retried | None) -> AsideView:
    text = row.text if retried is None else retried.text
    return AsideView(
        id=row.id,
        logbook=names[row.logbook_id],
        line=row.line,
        text=text,
        lines=min(text.count("\n") + 1, 12),
        reasons=row.reasons if retried is None else retried.reasons,
        twin="" if retried is None else retried.twin,
    )
