"""What the page of an uploaded file is given."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.desk.problem import Fault
from slatewright.desk.roster.dive_rows import DiveRow, dive_row
from slatewright.desk.roster.drafting import SETTINGS
from slatewright.desk.roster.drafts import Draft
from slatewright.logs.aside import SetAside
from slatewright.logs.detection import Guess
from slatewright.logs.duplicates import Sameness
from slatewright.logs.fields import Field
from slatewright.logs.logged import DepthUnit, LoggedDive
from slatewright.logs.mapping import DATE_MARKS, Column
from slatewright.logs.meeting import Twin
from slatewright.store.logbooks import KeptDive

MOST_TWINS: Final = 200
MOST_ASIDE: Final = 50
"""So many are listed; what is decided for all holds for the others too."""
_SURE_PCT: Final = 85
_LIKELY_PCT: Final = 60
_WORDS: Final = {
    "d.m.y": "day, month, year", "m/d/y": "month, day, year", "y-m-d": "year, month, day",
    "min": "minutes", "s": "seconds", "h": "hours", "h:mm": "hours and minutes",
    "mm:ss": "minutes and seconds", "per cent": "per cent", "fraction": "fractions of 1",
}  # fmt: skip
_LABELS: Final = {
    **{name: f"Dates such as 4{mark}5{mark}31 are" for name, mark in DATE_MARKS.items()},
    "bare_duration": "Durations in one number are",
    "clock_duration": "Durations such as 1:05 are",
    "share": "Shares of gases are in",
}


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several.

    Parameters
    ----------
    value
        What the form carries.
    words
        What a person reads.
    chosen
        Whether it is the one at present.
    """

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class QuestionView:
    """What nobody has said.

    Parameters
    ----------
    about
        What it is about, for the form.
    what
        The question.
    choices
        The answers.
    """

    about: str
    what: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class ColumnView:
    """A column.

    Parameters
    ----------
    name
        Its name in the file.
    cells
        Some of its cells.
    says
        What it can say.
    units
        The units of a depth; empty for other columns.
    sure
        How sure it is, in a word; empty for a column that is not read.
    why
        By what it was seen.
    unsure
        Whether a person should look.
    """

    name: str
    cells: tuple[str, ...]
    says: tuple[Choice, ...]
    units: tuple[Choice, ...]
    sure: str
    why: str
    unsure: bool


@dataclass(frozen=True, slots=True)
class SettingView:
    """What holds for a whole file.

    Parameters
    ----------
    name
        Its name in the form.
    label
        What it is about.
    choices
        What it can be.
    """

    name: str
    label: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class TwinView:
    """A dive that is told of twice.

    Parameters
    ----------
    position
        Its position among all.
    new, other
        The two entries.
    where
        Where the other stands: in the records, or in the same file.
    likely
        Whether it is only likely.
    why
        The reason.
    """

    position: int
    new: DiveRow
    other: DiveRow
    where: str
    likely: bool
    why: str


@dataclass(frozen=True, slots=True)
class DraftPage:
    """The page of an uploaded file.

    Parameters
    ----------
    person_id, name
        Whose it is.
    key
        The draft.
    file
        The name of the file.
    known
        Whether its columns are read as was confirmed for an earlier file.
    questions
        What nobody has said; nothing is read before.
    columns
        How its columns are read; empty for UDDF.
    settings
        What holds for the whole file.
    dives
        How many dives were read.
    span
        The first and the last day, in words; empty without dives.
    tests
        Dives by which a person sees whether it was read right: what each is, and the dive.
    aside
        Rows that could not be read, some of them.
    aside_count
        How many there are.
    twins
        Dives that are told of twice, some of them.
    exact, likely
        How many are the same, and likely the same.
    unlisted
        How many of them are not listed.
    notes
        What a person should look at.
    seen
        What has to be the same when it is kept: the twins that were seen.
    faults
        Why the last thing that was put in was not taken.
    """

    person_id: int
    name: str
    key: str
    file: str
    known: bool
    questions: tuple[QuestionView, ...]
    columns: tuple[ColumnView, ...]
    settings: tuple[SettingView, ...]
    dives: int
    span: tuple[DiveRow, ...]
    tests: tuple[tuple[str, DiveRow], ...]
    aside: tuple[SetAside, ...]
    aside_count: int
    twins: tuple[TwinView, ...]
    exact: int
    likely: int
    unlisted: int
    notes: tuple[str, ...]
    seen: str
    faults: tuple[Fault, ...] = ()


def draft_page(
    draft: Draft,
    name: str,
    kept: Sequence[KeptDive],
    found: Sequence[Twin],
    faults: tuple[Fault, ...] = (),
) -> DraftPage:
    """Return an uploaded file as it is shown.

    Parameters
    ----------
    draft
        The file.
    name
        The name of the person.
    kept
        The dives in the records.
    found
        The twins among both.
    faults
        Why the last thing that was put in was not taken.
    """
    reading = draft.reading
    dives = reading.dives
    likely = sum(twin.sameness is Sameness.LIKELY for twin in found)
    ordered = sorted(dives, key=lambda dive: dive.on_date)
    return DraftPage(
        person_id=draft.person_id,
        name=name,
        key=draft.key,
        file=draft.name,
        known=draft.known,
        questions=tuple(
            QuestionView(q.about, q.what, tuple(Choice(c.value, c.words, False) for c in q.choices))
            for q in reading.questions
        ),
        columns=_columns(draft),
        settings=_settings(draft),
        dives=len(dives),
        span=tuple(dive_row(one) for one in (*ordered[:1], *ordered[-1:])),
        tests=_tests(ordered),
        aside=reading.set_aside[:MOST_ASIDE],
        aside_count=len(reading.set_aside),
        twins=tuple(_twin(i, twin, dives, kept) for i, twin in enumerate(found[:MOST_TWINS])),
        exact=len(found) - likely,
        likely=likely,
        unlisted=max(len(found) - MOST_TWINS, 0),
        notes=reading.notes,
        seen=seen(kept, found),
        faults=faults,
    )


def seen(kept: Sequence[KeptDive], found: Sequence[Twin]) -> str:
    """Return a mark of the twins that were shown: another one when the records have changed.

    Parameters
    ----------
    kept
        The dives in the records.
    found
        The twins.
    """
    told = [
        (twin.new, None if twin.kept is None else kept[twin.kept].id, twin.again, twin.why)
        for twin in found
    ]
    return hashlib.sha256(repr(told).encode()).hexdigest()[:16]


def _tests(ordered: Sequence[LoggedDive]) -> tuple[tuple[str, DiveRow], ...]:
    if not ordered:
        return ()
    deepest = max(ordered, key=lambda dive: dive.greatest.metres)
    longest = max(ordered, key=lambda dive: dive.minutes)
    shortest = min(ordered, key=lambda dive: dive.minutes)
    named = (
        ("the first", ordered[0]), ("the last", ordered[-1]), ("the deepest", deepest),
        ("the longest", longest), ("the shortest", shortest),
    )  # fmt: skip
    return tuple((what, dive_row(dive)) for what, dive in named)


def _twin(
    position: int, twin: Twin, dives: Sequence[LoggedDive], kept: Sequence[KeptDive]
) -> TwinView:
    if twin.kept is not None:
        other, where = dive_row(kept[twin.kept].dive, kept[twin.kept].id), "in the records"
    else:
        other, where = dive_row(dives[twin.again or 0]), "in the same file"
    likely = twin.sameness is Sameness.LIKELY
    return TwinView(position, dive_row(dives[twin.new]), other, where, likely, twin.why)


def _columns(draft: Draft) -> tuple[ColumnView, ...]:
    mapping = draft.reading.mapping
    if mapping is None:
        return ()
    found = []
    for position, column in enumerate(mapping.columns):
        guess = draft.proposed[position] if position < len(draft.proposed) else None
        says = (
            Choice("", "is not read", column.says is None),
            *(Choice(str(one), str(one), column.says is one) for one in Field),
        )
        units: tuple[Choice, ...] = ()
        if column.says is Field.DEPTH:
            units = tuple(
                Choice(str(unit), words, column.unit is unit)
                for unit, words in ((DepthUnit.METRES, "metres"), (DepthUnit.FEET, "feet"))
            )
            if column.unit is None:
                units = (Choice("", "not said", True), *units)
        sure, why, unsure = _sureness(column, guess, known=draft.known)
        found.append(
            ColumnView(
                name=column.name,
                cells=draft.samples[position] if position < len(draft.samples) else (),
                says=says,
                units=units,
                sure=sure,
                why=why,
                unsure=unsure,
            )
        )
    return tuple(found)


def _sureness(column: Column, guess: Guess | None, *, known: bool) -> tuple[str, str, bool]:
    """Return how sure a column is, by what, and whether a person should look."""
    if column.says is None:
        return "", "", False
    if known:
        return "as confirmed before", "", False
    if guess is None or guess.says is not column.says:
        return "as you said", "", False
    pct = round(100.0 * guess.sure)
    word = "sure" if pct >= _SURE_PCT else "likely" if pct >= _LIKELY_PCT else "a guess"
    return f"{word}, {pct} %", guess.why, pct < _SURE_PCT


def _settings(draft: Draft) -> tuple[SettingView, ...]:
    mapping = draft.reading.mapping
    if mapping is None:
        return ()
    return tuple(
        SettingView(
            name,
            _LABELS[name],
            tuple(
                Choice(str(one), _WORDS[str(one)], one == getattr(mapping, name)) for one in kind
            ),
        )
        for name, kind in SETTINGS.items()
        if getattr(mapping, name) is not None
    )
