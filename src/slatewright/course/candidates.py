"""Who wants to take a course: birthday, certificates, medical clearance, logged dives."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from slatewright.errors import InputError
from slatewright.logs.logged import LoggedDive


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """A card that somebody holds.

    Parameters
    ----------
    title
        What it is called, as written on it.
    level
        Its level, in the words of the card; empty if it names none.
    kinds
        What it allows, in small letters, such as ``nitrox``, ``trimix`` or ``decompression``.
        Titles differ from issuer to issuer, so it is a person who says what a card allows.
    issued_on
        The day of issue; None if it is not known.
    number
        The number on the card; empty if it is not known.

    Raises
    ------
    InputError
        If it has no title.
    """

    title: str
    level: str = ""
    kinds: frozenset[str] = frozenset()
    issued_on: date | None = None
    number: str = ""

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise InputError(
                "a certificate has no title", where="title", right="the words on the card"
            )
        object.__setattr__(self, "kinds", frozenset(map(kind_word, self.kinds)))

    def __str__(self) -> str:
        return self.title


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """Somebody who wants to take a course.

    Parameters
    ----------
    name
        The name.
    born_on
        The birthday; None if it is not known.
    certificates
        The cards held.
    medical_until
        The last day on which the medical clearance is valid; None if there is none. Nothing else
        of a person's health is kept.
    dives
        The logged dives, in any order.

    Raises
    ------
    InputError
        If there is no name.
    """

    name: str
    born_on: date | None = None
    certificates: tuple[Certificate, ...] = ()
    medical_until: date | None = None
    dives: tuple[LoggedDive, ...] = ()

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("a candidate has no name", where="name", right="a name")


def kind_word(text: str) -> str:
    """Return the form in which what a card allows is compared: small letters, single spaces.

    Parameters
    ----------
    text
        What a card allows, as somebody wrote it.
    """
    return " ".join(text.casefold().split())
