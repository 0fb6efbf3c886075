"""What the page of a sign-off book is given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.course.coursefile import CourseFile, read_course_text
from slatewright.course.signoff import Entry, Outcome, Sealed, verify
from slatewright.course.signoff import head as head_of
from slatewright.course.signoff_standing import Standing, standing
from slatewright.course.skillfile import shipped_skills
from slatewright.course.skills import SkillLibrary
from slatewright.desk.problem import Fault, problem_of
from slatewright.errors import PlanFileError
from slatewright.store.courses import CourseNote, KeptCourse
from slatewright.store.people import Person
from slatewright.store.sign_offs import Book

_LETTERS: Final = 12
_CLASSES: Final = {Outcome.SHOWN: "shown", Outcome.NOT_YET: "not-yet", Outcome.REPEAT: "repeat"}
FORGOTTEN: Final = "(a deleted person)"


@dataclass(frozen=True, slots=True)
class Cell:
    """Where a diver stands with a skill.

    Parameters
    ----------
    outcome
        ``shown``, ``not yet``, ``repeat``; empty if nothing was signed.
    kind
        Its class.
    where
        On which dive, and by whom; empty if nothing was signed.
    """

    outcome: str
    kind: str
    where: str


@dataclass(frozen=True, slots=True)
class SkillRow:
    """A skill, and where each diver stands with it.

    Parameters
    ----------
    id, words
        The skill.
    planned
        On which dives the course has it.
    cells
        One for each diver.
    """

    id: str
    words: str
    planned: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class EntryLine:
    """An entry of the book.

    Parameters
    ----------
    number, at, diver, skill, dive, outcome, remark, by
        As it was signed; names of forgotten people are not known any more.
    corrects
        The entry that it replaces; 0 for none.
    replaced
        Whether a later entry replaces it.
    hash
        The first letters of its hash.
    """

    number: int
    at: str
    diver: str
    skill: str
    dive: str
    outcome: str
    remark: str
    by: str
    corrects: int
    replaced: bool
    hash: str


@dataclass(frozen=True, slots=True)
class DiveChoice:
    """A dive of the course.

    Parameters
    ----------
    id
        Its id: its place in the course.
    words
        The day, and the plan.
    notes
        What is noted about it.
    """

    id: str
    words: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BookView:
    """The page of a sign-off book.

    Parameters
    ----------
    course_id, title
        The course.
    divers, instructors
        Who learns, and who teaches.
    dives
        The dives.
    rows
        The skills that the course has, or that were signed.
    others
        The skills of the library that it does not have: id and words.
    entries
        The book, the last entry first.
    outcomes
        What can be signed.
    broken
        The first link of the chain that does not hold; empty if all do.
    head
        The hash to be kept elsewhere.
    strangers
        Names of the course that are not in the roster: they cannot be forgotten later.
    faults
        Why the last thing that was put in was not taken, or what is wrong with the course's text.
    checked
        What came of holding the book against a head that was kept; empty if none was given.
    typed
        That head, as it was typed.
    """

    course_id: int
    title: str
    divers: tuple[str, ...]
    instructors: tuple[str, ...]
    dives: tuple[DiveChoice, ...]
    rows: tuple[SkillRow, ...]
    others: tuple[tuple[str, str], ...]
    entries: tuple[EntryLine, ...]
    outcomes: tuple[str, ...]
    broken: str
    head: str
    strangers: tuple[str, ...]
    faults: tuple[Fault, ...] = ()
    checked: str = ""
    typed: str = ""


@dataclass(frozen=True, slots=True)
class KeptHead:
    """A head that was kept elsewhere, to hold a book against.

    Parameters
    ----------
    head
        The head; None if none was given, or none that could be one.
    typed
        As it was typed.
    """

    head: str | None = None
    typed: str = ""


def book_view(
    course: KeptCourse,
    book: Book,
    notes: Sequence[CourseNote],
    people: Sequence[Person],
    *,
    faults: tuple[Fault, ...] = (),
    head: KeptHead | None = None,
) -> BookView:
    """Return a book as it is shown.

    Parameters
    ----------
    course
        The course.
    book
        Its book.
    notes
        What is noted about its dives.
    people
        The roster.
    faults
        Why the last thing that was put in was not taken.
    head
        A head that was kept elsewhere, to hold the book against; None for none.
    """
    file, wrong = _file(course.text)
    library = shipped_skills()
    divers = () if file is None else tuple(one.name for one in file.student)
    instructors = () if file is None else tuple(one.name for one in file.instructor)
    standings = standing(book.entries)
    planned = _planned(file)
    known = list(dict.fromkeys([*planned, *(one.skill for one in standings)]))
    broken = verify(book.entries, book.course, texts=book.texts)
    names = {person.name for person in people}
    given = head or KeptHead()
    return BookView(
        course_id=course.id,
        title=course.title,
        divers=divers,
        instructors=instructors,
        dives=_dives(file, notes),
        rows=tuple(
            _row(skill, planned.get(skill, ()), divers, standings, book.texts, library)
            for skill in known
        ),
        others=tuple(
            (skill.id, skill.words)
            for skill in library.in_teaching_order
            if skill.id not in set(known)
        ),
        entries=tuple(reversed(_entries(book.entries, book.texts, library))),
        outcomes=tuple(Outcome),
        broken="" if broken is None else str(broken),
        head=head_of(book.entries, book.course),
        strangers=tuple(n for n in dict.fromkeys((*divers, *instructors)) if n not in names),
        faults=(*wrong, *faults),
        checked="" if given.head is None else _checked(book, given.head),
        typed=given.typed,
    )


def course_file(text: str) -> CourseFile | None:
    """Return what a course's text says; None if it has faults.

    Parameters
    ----------
    text
        The text.
    """
    return _file(text)[0]


def _file(text: str) -> tuple[CourseFile | None, tuple[Fault, ...]]:
    try:
        return read_course_text(text), ()
    except PlanFileError as error:
        return None, problem_of(error).faults


def _planned(file: CourseFile | None) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for place, dive in enumerate(() if file is None else file.dive, 1):
        for skill in dive.skills:
            found[skill] = (*found.get(skill, ()), str(place))
    return found


def _dives(file: CourseFile | None, notes: Sequence[CourseNote]) -> tuple[DiveChoice, ...]:
    found = []
    for place, dive in enumerate(() if file is None else file.dive, 1):
        name = dive.plan.rpartition("/")[2].removesuffix(".toml")
        own = tuple(
            f"{note.kind}{', ' if note.text else ''}{note.text} ({note.by_name})"
            for note in notes
            if note.dive == str(place)
        )
        found.append(DiveChoice(str(place), f"{place}: {name}, {dive.on}", own))
    return tuple(found)


def _row(
    skill: str,
    planned: tuple[str, ...],
    divers: Sequence[str],
    standings: Sequence[Standing],
    texts: Mapping[str, Sealed],
    library: SkillLibrary,
) -> SkillRow:
    cells = []
    for diver in divers:
        own = [
            one
            for one in standings
            if one.skill == skill and one.diver in texts and texts[one.diver].text == diver
        ]
        cells.append(_cell(own[-1].last, texts) if own else Cell("", "none", ""))
    return SkillRow(skill, _words(skill, library), ", ".join(planned), tuple(cells))


def _cell(entry: Entry, texts: Mapping[str, Sealed]) -> Cell:
    by = texts[entry.by].text if entry.by in texts else FORGOTTEN
    return Cell(str(entry.outcome), _CLASSES[entry.outcome], f"dive {entry.dive}, {by}")


def _entries(
    entries: Sequence[Entry], texts: Mapping[str, Sealed], library: SkillLibrary
) -> list[EntryLine]:
    replaced = {entry.corrects for entry in entries if entry.corrects is not None}

    def text(digest: str | None, gone: str) -> str:
        if digest is None:
            return ""
        return texts[digest].text if digest in texts else gone

    return [
        EntryLine(
            number=entry.number,
            at=entry.at.strftime("%Y-%m-%d %H:%M %Z").strip(),
            diver=text(entry.diver, FORGOTTEN),
            skill=_words(entry.skill, library),
            dive=entry.dive,
            outcome=str(entry.outcome),
            remark=text(entry.remark, "(deleted)"),
            by=text(entry.by, FORGOTTEN),
            corrects=entry.corrects or 0,
            replaced=entry.number in replaced,
            hash=entry.hash[:_LETTERS],
        )
        for entry in entries
    ]


def _words(skill: str, library: SkillLibrary) -> str:
    known = library.by_id.get(skill)
    return skill if known is None else known.words


def _checked(book: Book, kept_head: str) -> str:
    broken = verify(book.entries, book.course, kept_head=kept_head, texts=book.texts)
    if broken is not None:
        return str(broken)
    return "the book holds, and the head that was kept is in it"
