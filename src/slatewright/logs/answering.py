"""Questions about a logbook, answered beforehand: what a person has said about a whole file."""

from __future__ import annotations

from collections.abc import Mapping as AnyMapping
from dataclasses import dataclass, field, replace
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.aside import Progress, Question
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Field
from slatewright.logs.logged import DepthUnit
from slatewright.logs.mapping import Mapping
from slatewright.logs.reading import Reading, read_logbook

_MOST_ROUNDS: Final = 20
"""Each answer settles one question, and a file asks a handful."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a person has said about a logbook; it counts only where the file leaves it open.

    Parameters
    ----------
    depths
        The unit of depths that name none; None if nobody has said.
    dates
        The order of dates in numbers alone; None if nobody has said.
    bare
        What a duration counts that is a number alone; None if nobody has said.
    clock
        How a duration such as 1:05 is read; None if nobody has said.
    columns
        The name of the column for a field.
    """

    depths: DepthUnit | None = None
    dates: DateOrder | None = None
    bare: BareDuration | None = None
    clock: ClockDuration | None = None
    columns: AnyMapping[Field, str] = field(default_factory=dict)

    def before(self, others: Answers) -> Answers:
        """Return these answers, and others where these are silent.

        Parameters
        ----------
        others
            What was said elsewhere.
        """
        return replace(
            self,
            depths=self.depths or others.depths,
            dates=self.dates or others.dates,
            bare=self.bare or others.bare,
            clock=self.clock or others.clock,
            columns={**others.columns, **self.columns},
        )

    def answer_to(self, question: Question, mapping: Mapping) -> str:
        """Return the answer to a question; empty if nobody has said.

        Parameters
        ----------
        question
            The question.
        mapping
            The columns of the file.

        Raises
        ------
        InputError
            If the column that was named is not there.
        """
        kind, _, which = question.about.partition(":")
        if kind == "depth-unit":
            return str(self.depths or "")
        if kind == "date":
            return str(self.dates or "")
        if question.about == "duration:bare":
            return str(self.bare or "")
        if question.about == "duration:clock":
            return str(self.clock or "")
        name = self.columns.get(Field(which))
        return "" if name is None else _position(name, mapping)


def read_answered(
    data: bytes,
    name: str,
    answers: Answers,
    mapping: Mapping | None = None,
    progress: Progress | None = None,
) -> Reading:
    """Return what a logbook holds, its questions answered as far as somebody has answered them.

    Parameters
    ----------
    data
        The bytes of the file.
    name
        Its name.
    answers
        What was said about it.
    mapping
        How its columns are read, if that was confirmed before; None proposes it.
    progress
        Told of each hundred entries.

    Returns
    -------
    Reading
        With the questions that nobody has answered, and no dives as long as there are any.

    Raises
    ------
    InputError
        If the file cannot be read, or an answer does not fit it.
    """
    reading = read_logbook(data, name, mapping, progress)
    for _ in range(_MOST_ROUNDS):
        columns, answered = reading.mapping, False
        if columns is None:
            break
        for question in reading.questions:
            if value := answers.answer_to(question, columns):
                columns, answered = columns.answered(question.about, value), True
        if not answered:
            break
        reading = read_logbook(data, name, columns, progress)
    return reading


def _position(name: str, mapping: Mapping) -> str:
    wanted = " ".join(name.casefold().split())
    for position, column in enumerate(mapping.columns):
        if " ".join(column.name.casefold().split()) == wanted:
            return str(position)
    raise InputError(
        f"there is no column '{name}'", where="columns", right=", ".join(mapping.header)
    )
