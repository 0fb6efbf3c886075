"""Which column of an unknown logbook probably says what: a proposal, with how sure each part is.

Two witnesses are heard: the name of the column and its cells. A person confirms or changes it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from slatewright.errors import InputError
from slatewright.logs import own_columns
from slatewright.logs.aside import Choice, Question
from slatewright.logs.cell_dates import day, numbers_of
from slatewright.logs.cell_gases import gases
from slatewright.logs.cell_numbers import depth_has_unit, number, tidy
from slatewright.logs.cell_times import clock, clock_pair, is_bare, minutes
from slatewright.logs.cell_words import circuit, decompression, role
from slatewright.logs.fields import (
    MANY,
    BareDuration,
    ClockDuration,
    DateOrder,
    Field,
    Share,
)
from slatewright.logs.header_words import (
    DEPTH_UNITS,
    DURATION_UNITS,
    HEADER_WORDS,
    LEAVES_OUT_ASCENT,
    OTHER_WORDS,
)
from slatewright.logs.mapping import Column, Mapping
from slatewright.logs.settling import settled
from slatewright.logs.table import Table

SURE: Final = 0.6
"""A date, duration or depth that is less sure than this is asked before anything is read."""
_EXACT: Final = 0.95
_INSIDE: Final = 0.8
_IN_WORD: Final = 0.7
_BY_CELLS: Final = 0.65
_LEAST: Final = 0.4
_SAMPLE: Final = 200
_UNIT: Final = re.compile(r"[\[(]\s*([^\])]*?)\s*[\])]|\s(?:in|en)\s+(\S+)$")
_SHORT: Final = frozenset({"o2", "he"})
_MOST_SHARE: Final = 100.0


@dataclass(frozen=True, slots=True)
class Guess:
    """What a column probably says.

    Parameters
    ----------
    name
        The column.
    says
        What it says; None if nothing that is read.
    sure
        How sure that is, 0 to 1; an opinion, no probability [-].
    why
        By what it was seen.
    """

    name: str
    says: Field | None
    sure: float
    why: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """How an unknown logbook could be read.

    Parameters
    ----------
    mapping
        The mapping.
    guesses
        What each column probably says, in the order of the columns.
    questions
        What must be answered before anything is read.
    notes
        What a person should look at.
    """

    mapping: Mapping
    guesses: tuple[Guess, ...]
    questions: tuple[Question, ...]
    notes: tuple[str, ...]


def proposal(table: Table) -> Proposal:
    """Return how a table is probably read.

    Parameters
    ----------
    table
        The table.
    """
    if own_columns.is_ours(table.header):
        mapping = replace(own_columns.OURS, separator=table.separator)
        guesses = [Guess(c.name, c.says, 1.0, "a file of our own") for c in mapping.columns]
    else:
        guesses = _assigned(table)
        mapping = _mapping(table, guesses)
    found = settled(mapping, table)
    questions = list(found.questions)
    for says in (Field.DATE, Field.MINUTES, Field.DEPTH):
        about = [(i, g) for i, g in enumerate(guesses) if g.says is says]
        if about and max(guess.sure for _, guess in about) < SURE:
            position, guess = about[0]
            questions.append(
                Question(
                    f"column:{says}",
                    f"is '{guess.name}' the {says}? It was taken for it by {guess.why}",
                    tuple(
                        Choice(str(i), "yes" if i == position else f"no, '{other.name}' is")
                        for i, other in sorted(
                            enumerate(guesses), key=lambda item: item[0] != position
                        )
                        if i == position or other.says is None
                    ),
                )
            )
    return Proposal(found.mapping, tuple(guesses), tuple(questions), found.notes)


def plain(name: str) -> str:
    """Return the name of a column as the lists of words have it.

    Parameters
    ----------
    name
        The name.
    """
    folded = unicodedata.normalize("NFKD", name.casefold())
    letters = "".join(c for c in folded if not unicodedata.combining(c))
    return " ".join(re.sub(r"[^\w#]|_", " ", letters).split())


def unit_of(name: str) -> str:
    """Return the unit in the name of a column; empty if there is none.

    Parameters
    ----------
    name
        The name, such as ``Depth (m)``, ``depth_ft``, ``Tiefe in m``.
    """
    match = _UNIT.search(name)
    if match:
        return (match[1] or match[2] or "").casefold().strip(". ")
    last = re.split(r"[\s_]+", name.strip())[-1].casefold()
    return last if last in DEPTH_UNITS or last in DURATION_UNITS or last == "%" else ""


def _assigned(table: Table) -> list[Guess]:
    """Return the best guess for each column, each field that is one only taken once."""
    candidates: list[tuple[float, int, Field, str]] = []
    for position, name in enumerate(table.header):
        cells = table.column(position)[:_SAMPLE]
        for says in Field:
            sure, why = _sureness(says, name, cells, headed=table.headed)
            if sure >= _LEAST:
                candidates.append((sure, position, says, why))
    candidates.sort(key=lambda item: (-item[0], item[1]))
    guesses = [Guess(name, None, 0.0, "") for name in table.header]
    taken: dict[Field, float] = {}
    for sure, position, says, why in candidates:
        if guesses[position].says is not None:
            continue
        if says in taken and (says not in MANY or sure < taken[says] - 0.2):
            continue
        if says in {Field.BEGAN, Field.MINUTES} and _could_be_other(
            says, candidates, position, sure, taken
        ):
            continue
        guesses[position] = Guess(table.header[position], says, sure, why)
        taken.setdefault(says, sure)
    return guesses


def _could_be_other(
    says: Field,
    candidates: Sequence[tuple[float, int, Field, str]],
    position: int,
    sure: float,
    taken: dict[Field, float],
) -> bool:
    """Return whether a column is as well the other of start and duration, which is missing yet."""
    other = Field.MINUTES if says is Field.BEGAN else Field.BEGAN
    return other not in taken and any(
        p == position and f is other and s > sure for s, p, f, _ in candidates
    )


def _sureness(says: Field, name: str, cells: Sequence[str], *, headed: bool) -> tuple[float, str]:
    by_name = _by_name(says, name) if headed else 0.0
    share = _share(says, cells)
    if by_name:
        if share is None:
            return by_name, "its name"
        if share < 0.5:
            return 0.0, ""
        return by_name * (0.5 + 0.5 * share), f"its name and {share:.0%} of its cells"
    words = plain(name)
    if says not in _BY_CELLS_ALONE or not cells or any(_inside(w, words) for w in OTHER_WORDS):
        return 0.0, ""
    alone = sum(1 for cell in cells if _speaks(says, cell)) / len(cells)
    return (_BY_CELLS * alone, f"{alone:.0%} of its cells") if alone >= 0.9 else (0.0, "")


def _by_name(says: Field, name: str) -> float:
    unit = unit_of(name)
    words = plain(_UNIT.sub(" ", name))
    if unit and words.endswith(f" {plain(unit)}") and not _UNIT.search(name):
        words = words[: -len(plain(unit))].strip()
    if any(_inside(word, words) for word in OTHER_WORDS):
        return 0.0
    if says is Field.MINUTES and any(_inside(word, words) for word in LEAVES_OUT_ASCENT):
        return 0.5
    if says is Field.BEGAN and unit in DURATION_UNITS and unit not in {"h", "h:mm", "hh:mm"}:
        return 0.0
    if says is Field.MINUTES and unit in DURATION_UNITS and words in {"time", "zeit", "tid"}:
        return _EXACT
    if words in HEADER_WORDS[says]:
        return _EXACT
    best = 0.0
    for word in HEADER_WORDS[says]:
        if (len(word) >= 3 or word in _SHORT) and _inside(word, words):
            best = max(best, _INSIDE + 0.001 * len(word))
        elif len(word) >= 5 and word in words:
            best = max(best, _IN_WORD + 0.001 * len(word))
    return best


def _inside(word: str, words: str) -> bool:
    return f" {word} " in f" {words} "


def _share(says: Field, cells: Sequence[str]) -> float | None:
    """Return how many of the cells fit; None if there are none, or any text would."""
    test = _FITS.get(says)
    if test is None or not cells:
        return None
    return sum(1 for cell in cells if test(cell)) / len(cells)


def _reads(read: Callable[[str], object]) -> Callable[[str], bool]:
    def fits(cell: str) -> bool:
        try:
            read(cell)
        except InputError:
            return False
        return True

    return fits


def _is_date(cell: str) -> bool:
    if (numbers := numbers_of(cell)) is not None:
        return any(numbers.read(order) for order in DateOrder)
    return _reads(lambda c: day(c, None, None, None))(cell)


def _is_depth(cell: str) -> bool:
    return depth_has_unit(cell) is not None


def _is_share(cell: str) -> bool:
    return _reads(lambda c: number(tidy(c).rstrip("% "), "", _MOST_SHARE))(cell)


_is_duration = _reads(
    lambda cell: minutes(cell, BareDuration.MINUTES, ClockDuration.MINUTES_SECONDS, "")
)
_is_clock = _reads(clock)
_is_gas = _reads(gases)
_FITS: Final[dict[Field, Callable[[str], bool]]] = {
    Field.DATE: _is_date,
    Field.BEGAN: _is_clock,
    Field.ENDED: _is_clock,
    Field.MINUTES: lambda cell: is_bare(cell) or clock_pair(cell) is not None or _is_duration(cell),
    Field.DEPTH: _is_depth,
    Field.UNIT: lambda cell: tidy(cell).casefold() in DEPTH_UNITS,
    Field.GAS: _is_gas,
    Field.O2: _is_share,
    Field.HE: _is_share,
    Field.CIRCUIT: _reads(circuit),
    Field.ROLE: _reads(role),
    Field.DECOMPRESSION: _reads(decompression),
}
_BY_CELLS_ALONE: Final = frozenset(
    {Field.DATE, Field.BEGAN, Field.MINUTES, Field.DEPTH, Field.GAS, Field.ROLE, Field.CIRCUIT}
)


def _speaks(says: Field, cell: str) -> bool:
    """Return whether a cell says by itself what it is: 30 m does, 30 does not."""
    if says is Field.DEPTH:
        return depth_has_unit(cell) is True
    if says is Field.MINUTES:
        return not is_bare(cell) and clock_pair(cell) is None and _is_duration(cell)
    if says is Field.BEGAN:
        return ":" in cell and _is_clock(cell)
    if says is Field.GAS:
        return not is_bare(cell) and "." not in cell and _is_gas(cell)
    return _FITS[says](cell)


def _mapping(table: Table, guesses: Sequence[Guess]) -> Mapping:
    columns = []
    mapping = Mapping(columns=(), separator=table.separator, headed=table.headed)
    for guess in guesses:
        unit = unit_of(guess.name)
        columns.append(
            Column(
                guess.name,
                guess.says,
                DEPTH_UNITS.get(unit) if guess.says is Field.DEPTH else None,
            )
        )
        if guess.says is Field.MINUTES:
            form = DURATION_UNITS.get(unit)
            if form is None and plain(guess.name) in {"minutes", "min"}:
                form = BareDuration.MINUTES
            if isinstance(form, BareDuration):
                mapping = replace(mapping, bare_duration=form)
            elif form is not None:
                mapping = replace(mapping, clock_duration=form)
        if guess.says in {Field.O2, Field.HE} and "%" in guess.name:
            mapping = replace(mapping, share=Share.PERCENT)
    return replace(mapping, columns=tuple(columns))
