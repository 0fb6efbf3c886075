"""From an uploaded file to a draft, and what a person says about its columns."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping as AnyMapping
from dataclasses import replace
from typing import Any, Final, TypeVar

from slatewright.desk.roster.drafts import Draft
from slatewright.desk.roster.keeping import same_file
from slatewright.desk.roster.remembering import remembered
from slatewright.errors import InputError
from slatewright.logs.decoding import decoded
from slatewright.logs.fields import MANY, BareDuration, ClockDuration, DateOrder, Field, Share
from slatewright.logs.logged import DepthUnit
from slatewright.logs.mapping import Column, Mapping
from slatewright.logs.reading import Reading, read_logbook
from slatewright.logs.table import table_of
from slatewright.store.session import Session

SETTINGS: Final[dict[str, Any]] = {
    "slash": DateOrder,
    "dash": DateOrder,
    "dot": DateOrder,
    "bare_duration": BareDuration,
    "clock_duration": ClockDuration,
    "share": Share,
}
"""What is said of a whole file, by the name of the field of a `Mapping` and of the form."""
_SAMPLES: Final = 3
_SAMPLE_LETTERS: Final = 40
_T = TypeVar("_T")


def new_draft(session: Session, person_id: int, name: str, data: bytes) -> Draft:
    """Return a file as a draft: read as its columns were confirmed before, or as is proposed.

    Parameters
    ----------
    session
        A session.
    person_id
        Whose it is.
    name
        The name of the file.
    data
        Its bytes.

    Raises
    ------
    InputError
        If it cannot be read, or was read already.
    """
    sha256 = hashlib.sha256(data).hexdigest()
    before = same_file(session, person_id, sha256)
    if before is not None:
        raise InputError(
            f"this very file was read already, as '{before.name}'",
            where=name,
            right="another file; or remove that logbook, and read it again",
        )
    reading, known = read_logbook(data, name), False
    proposed = () if reading.proposal is None else reading.proposal.guesses
    if reading.mapping is not None:
        columns = remembered(session, reading.mapping.key)
        again = None if columns is None else _read_as(data, name, columns)
        if again is not None:
            reading, known = again, True
    samples = () if reading.mapping is None else _samples(data, name, len(reading.mapping.columns))
    return Draft(
        key="", person_id=person_id, name=name, sha256=sha256, data=data, samples=samples,
        proposed=proposed, known=known, reading=reading,
    )  # fmt: skip


def read_otherwise(draft: Draft, said: AnyMapping[str, str]) -> Draft:
    """Return a draft, its columns read as a person has said.

    Parameters
    ----------
    draft
        The draft.
    said
        The fields of the form: ``says-0``, ``unit-0``, ..., the settings by name, and the answers
        as ``about-0``, ``answer-0``, ...

    Raises
    ------
    InputError
        If it says what cannot be.
    """
    mapping = draft.mapping
    columns = tuple(_column(column, i, said) for i, column in enumerate(mapping.columns))
    single = [column.says for column in columns if column.says and column.says not in MANY]
    for says in single:
        if single.count(says) > 1:
            raise InputError(f"two columns say the {says}", where="columns", right="one of them")
    told = {
        name: _word(kind, said[name], name) for name, kind in SETTINGS.items() if said.get(name)
    }
    mapping = replace(mapping, columns=columns, ours=mapping.ours and columns == mapping.columns)
    mapping = replace(mapping, **told)
    for position in range(len(draft.reading.questions)):
        about, value = said.get(f"about-{position}", ""), said.get(f"answer-{position}", "")
        if about and value:
            mapping = mapping.answered(about, value)
    return replace(draft, reading=read_logbook(draft.data, draft.name, mapping))


def _column(column: Column, position: int, said: AnyMapping[str, str]) -> Column:
    word = said.get(f"says-{position}")
    says = column.says if word is None else _word(Field, word, column.name) if word else None
    unit = said.get(f"unit-{position}", "")
    if says is not Field.DEPTH:
        return Column(column.name, says)
    return Column(column.name, says, _word(DepthUnit, unit, column.name) if unit else column.unit)


def _word(kind: type[_T], value: str, where: str) -> _T:
    try:
        return kind(value)  # type: ignore[call-arg]  # each is a list of words
    except ValueError:
        raise InputError(f"'{value}' is no answer", where=where) from None


def _read_as(data: bytes, name: str, columns: Mapping) -> Reading | None:
    try:
        return read_logbook(data, name, columns)
    except InputError:  # another header after all: it is proposed anew
        return None


def _samples(data: bytes, name: str, width: int) -> tuple[tuple[str, ...], ...]:
    table = table_of(decoded(data, name).text, name)
    found = []
    for position in range(width):
        cells = dict.fromkeys(cell[:_SAMPLE_LETTERS] for cell in table.column(position)[:50])
        found.append(tuple(cells)[:_SAMPLES])
    return tuple(found)
