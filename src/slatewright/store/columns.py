"""What goes into a column: moments in universal time, texts that both databases can hold."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Final

from sqlalchemy import DateTime, Dialect
from sqlalchemy.types import TypeDecorator

from slatewright.errors import InputError

LARGEST_TEXT_BYTES: Final = 1_000_000
"""A plan of some hundred lines has a few thousand bytes."""
LONGEST_LINE: Final = 200
"""Letters in a name, a label, a title."""


class UtcMoment(TypeDecorator[datetime]):
    """A moment in universal time; one without a time zone is refused, never guessed.

    SQLite keeps the plain time, PostgreSQL a moment; both give back the same.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(
        self,
        value: datetime | None,
        dialect: Dialect,  # noqa: ARG002 - the library hands it over
    ) -> datetime | None:
        """Return what the database is handed.

        Parameters
        ----------
        value
            A moment with its time zone.
        dialect
            The kind of database.
        """
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value} has no time zone")
        return value.astimezone(UTC)

    def process_result_value(
        self,
        value: datetime | None,
        dialect: Dialect,  # noqa: ARG002 - the library hands it over
    ) -> datetime | None:
        """Return what the program is handed.

        Parameters
        ----------
        value
            What the database holds.
        dialect
            The kind of database.
        """
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def checked_text(text: str, where: str, *, largest_bytes: int = LARGEST_TEXT_BYTES) -> str:
    """Return a text as it is, if both databases can hold it to the letter.

    Parameters
    ----------
    text
        The text.
    where
        What to call it in a message.
    largest_bytes
        How long it may be, in UTF-8.

    Raises
    ------
    InputError
        If it is too long, or holds what is no character.
    """
    try:
        size = len(text.encode())
    except UnicodeEncodeError:
        raise InputError("holds half a character", where=where, right="text in UTF-8") from None
    if "\x00" in text:
        raise InputError("holds a zero byte", where=where, right="text without it")
    if size > largest_bytes:
        raise InputError(
            f"has {size:,} bytes", where=where, right=f"at most {largest_bytes:,} bytes"
        )
    return text


def checked_line(text: str, where: str, *, empty: bool = False) -> str:
    """Return a name, label or other single line without spaces around it.

    Parameters
    ----------
    text
        The line.
    where
        What to call it in a message.
    empty
        True if it may be empty.

    Raises
    ------
    InputError
        If it is empty and may not be, too long, or holds anything but printable characters.
    """
    line = text.strip()
    if not line and not empty:
        raise InputError("is empty", where=where, right="a few words")
    if len(line) > LONGEST_LINE:
        raise InputError(
            f"has {len(line)} letters", where=where, right=f"at most {LONGEST_LINE} letters"
        )
    if not line.isprintable():
        raise InputError("holds what cannot be printed", where=where, right="one line of words")
    return line
