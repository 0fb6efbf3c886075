"""Candidate files with their logbooks: nothing is guessed, and nothing counted twice."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, TypeVar

from slatewright.course.candidatefile import CandidateFile, logbooks_of, parse_candidate
from slatewright.course.candidates import Candidate
from slatewright.errors import InputError, PlanFileError
from slatewright.logs.answering import Answers, read_answered
from slatewright.logs.aside import Question
from slatewright.logs.duplicates import Sameness
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Field
from slatewright.logs.logged import DepthUnit, LoggedDive
from slatewright.logs.meeting import merged, twins
from slatewright.logs.reading import Reading

_LARGEST_FILE_BYTES: Final = 1_000_000
_LARGEST_LOGBOOK_BYTES: Final = 128 * 1024 * 1024
_OPTIONS: Final = {
    "depth-unit": ("--depths", "depths"),
    "date": ("--dates", "dates"),
    "duration:bare": ("--durations", "durations"),
    "duration:clock": ("--durations", "clock_durations"),
}
_COLUMNS: Final = {
    Field.DATE: "date", Field.MINUTES: "duration", Field.DEPTH: "depth", Field.O2: "oxygen",
    Field.HE: "helium",
}  # fmt: skip
_T = TypeVar("_T", DepthUnit, DateOrder, BareDuration, ClockDuration)


@dataclass(frozen=True, slots=True)
class Book:
    """A logbook that was read.

    Parameters
    ----------
    name
        Its name in the candidate file.
    sha256
        The hash of the file.
    reading
        What was read.
    """

    name: str
    sha256: str
    reading: Reading


@dataclass(frozen=True, slots=True)
class Told:
    """Two entries that tell of one dive.

    Parameters
    ----------
    first, second
        The entries.
    sameness
        How sure it is.
    why
        The reason.
    once
        Whether it was counted once.
    """

    first: LoggedDive
    second: LoggedDive
    sameness: Sameness
    why: str
    once: bool


@dataclass(frozen=True, slots=True)
class Entrant:
    """A candidate as read from a file.

    Parameters
    ----------
    path
        The file.
    file
        What it says.
    candidate
        The candidate, with all dives.
    books
        The logbooks.
    told
        What stands twice in them.
    """

    path: Path
    file: CandidateFile
    candidate: Candidate
    books: tuple[Book, ...]
    told: tuple[Told, ...]


def answers_of(
    depths: str | None, dates: str | None, durations: Iterable[str], columns: Iterable[str]
) -> Answers:
    """Return what the options say about how logbooks are read.

    Parameters
    ----------
    depths, dates
        As typed; None if not given.
    durations
        As typed: what a bare number counts, how 1:05 is read.
    columns
        As typed: ``field=name of the column``.

    Raises
    ------
    InputError
        If one says nothing.
    """
    answers = Answers(
        depths=None if depths is None else _word(DepthUnit, depths, "--depths"),
        dates=None if dates is None else _word(DateOrder, dates, "--dates"),
    )
    for text in durations:
        if text in list(BareDuration):
            answers = replace(answers, bare=BareDuration(text))
        elif text in list(ClockDuration):
            answers = replace(answers, clock=ClockDuration(text))
        else:
            raise InputError(
                f"'{text}' is no form of a duration",
                where="--durations",
                right=", ".join([*map(str, BareDuration), *map(str, ClockDuration)]),
            )
    named: dict[Field, str] = {}
    keys = {name: says for says, name in _COLUMNS.items()}
    for text in columns:
        says, _, name = text.partition("=")
        if says not in keys or not name:
            raise InputError(
                f"'{text}' names no column",
                where="--column",
                right=f"{' or '.join(keys)}, and the name of a column: depth=Max",
            )
        named[keys[says]] = name
    return replace(answers, columns=named)


def read_entrant(path: Path, answers: Answers, *, both: bool) -> Entrant:
    """Return the candidate of a file, with the dives of the logbooks that it names.

    Parameters
    ----------
    path
        The file.
    answers
        What the options say about the logbooks; it comes before what the file says.
    both
        True to count both entries where it is only likely that they tell of one dive.

    Raises
    ------
    InputError
        If a file has faults, or a logbook leaves something open that nobody has said.
    """
    file = parse_candidate(_text(path), path)
    given = answers.before(file.answers())
    books = []
    for named in logbooks_of(file, path.parent):
        data = _bytes(named.path, _LARGEST_LOGBOOK_BYTES, "a logbook in CSV or UDDF")
        reading = read_answered(data, named.name, given)
        if reading.questions:
            raise _unanswered(reading.questions, named.path, path)
        books.append(Book(named.name, hashlib.sha256(data).hexdigest(), reading))
    dives, told = together([book.reading.dives for book in books], both=both)
    return Entrant(path, file, file.candidate(dives), tuple(books), told)


def together(
    books: Sequence[Sequence[LoggedDive]], *, both: bool
) -> tuple[tuple[LoggedDive, ...], tuple[Told, ...]]:
    """Return the dives of several logbooks, each once, and what stood in them twice.

    Parameters
    ----------
    books
        The dives of each logbook.
    both
        True to count both entries where it is only likely that they tell of one dive.
    """
    dives: list[LoggedDive] = []
    told: list[Told] = []
    for new in books:
        found = twins(new, dives)
        join = {i for i, twin in enumerate(found) if twin.sameness is Sameness.EXACT or not both}
        for i, twin in enumerate(found):
            if twin.kept is not None:
                first, second = dives[twin.kept], new[twin.new]
            else:
                first, second = new[twin.new], new[twin.again or 0]
            told.append(Told(first, second, twin.sameness, twin.why, i in join))
        outcome = merged(new, dives, found, join)
        for position, dive in outcome.replaced.items():
            dives[position] = dive
        dives += outcome.added
    return tuple(dives), tuple(told)


def _unanswered(questions: Sequence[Question], book: Path, path: Path) -> InputError:
    """Return the refusal that asks what nobody has said, and names the ways to say it."""
    head, *more = questions
    kind, _, which = head.about.partition(":")
    choices = ", ".join(choice.words for choice in head.choices)
    if kind in {"column", "only"}:
        word = _COLUMNS.get(Field(which), which)
        name = head.choices[0].words if head.choices else "Name"
        ways = f"--column {word}='{name}', or {word} = \"{name}\""
    else:
        option, word = _OPTIONS.get(head.about) or _OPTIONS[kind]
        value = head.choices[0].value
        ways = f'{option} {value}, or {word} = "{value}"'
    also = f"; and {len(more)} more to answer" if more else ""
    return InputError(
        f"{head.what} ({choices}){also}",
        where=str(book),
        right=f"for example {ways} under [columns] in {path.name}",
    )


def _word(kind: type[_T], text: str, where: str) -> _T:
    try:
        return kind(text)
    except ValueError:
        raise InputError(
            f"'{text}' is no answer", where=where, right=", ".join(map(str, kind))
        ) from None


def _text(path: Path) -> str:
    data = _bytes(path, _LARGEST_FILE_BYTES, "a candidate file in TOML")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise PlanFileError("is not UTF-8", right="TOML in UTF-8", path=path) from None


def _bytes(path: Path, most_bytes: int, right: str) -> bytes:
    try:
        if path.is_char_device() or path.is_block_device():
            raise InputError("is a device", where=str(path), right=right)
        if path.is_file() and path.stat().st_size > most_bytes:
            raise InputError(f"has {path.stat().st_size:,} bytes", where=str(path), right=right)
        return path.read_bytes()
    except OSError as error:
        raise InputError(
            (error.strerror or "cannot be read").lower(), where=str(path), right=right
        ) from None
