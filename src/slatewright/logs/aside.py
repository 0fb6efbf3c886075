"""What a reader could not decide: rows kept aside with their reasons, and questions to a person."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Self, TypeAlias

from slatewright.errors import InputError

Progress: TypeAlias = Callable[[int, int], None]
"""Told how many entries are done, and of how many; the second is 0 if that is not known."""
EVERY = 100
"""Progress is told after so many entries, and at the end."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing in an entry that cannot be read.

    Parameters
    ----------
    what
        What is wrong, a sentence without a full stop.
    where
        The field or column; empty if the sentence says it.
    right
        What would be right.
    """

    what: str
    where: str = ""
    right: str = ""

    @classmethod
    def of(cls, error: InputError, where: str = "") -> Self:
        """Return the doubt that an error tells of.

        Parameters
        ----------
        error
            The error.
        where
            The field or column, if the error does not name one.
        """
        return cls(error.what, where or error.where, error.right)

    def __str__(self) -> str:
        return InputError(self.what, where=self.where, right=self.right).message()


@dataclass(frozen=True, slots=True)
class SetAside:
    """An entry kept aside until a person has decided about it.

    Parameters
    ----------
    line
        The line of the file on which it begins, counted from 1.
    text
        The entry as it stands there; corrected, it can be read again by ``reading.reread``.
    reasons
        Why it cannot be read, all of it.
    """

    line: int
    text: str
    reasons: tuple[Doubt, ...]

    def __str__(self) -> str:
        return "\n".join(f"line {self.line}: {reason}" for reason in self.reasons)


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer to a question.

    Parameters
    ----------
    value
        What is handed to ``Mapping.answered``.
    words
        What a person reads.
    """

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something about a whole file that nobody has said and that is not guessed.

    Parameters
    ----------
    about
        What is handed to ``Mapping.answered``, such as ``depth-unit:3`` or ``column:duration``.
    what
        The question, with the reason why it is asked.
    choices
        The answers.
    """

    about: str
    what: str
    choices: tuple[Choice, ...]

    def __str__(self) -> str:
        return f"{self.what} ({' / '.join(choice.words for choice in self.choices)})"
