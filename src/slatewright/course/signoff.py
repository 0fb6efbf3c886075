"""Sign-off: what a diver showed, append-only, each entry chained to the one before by its hash.

The hash of an entry is SHA-256 over its canonical JSON, which holds the hash of the entry before.
Canonical is meant as in [RFC8785]: keys sorted, no spaces, UTF-8, the shortest escapes. The keys
are ours and plain ASCII and the values are texts, whole numbers and null, so that the parts of
that standard on the order of other keys and on fractions do not arise.

Names and remarks are not in the hash, only their salted digests are. Who deletes salt and text of a
person forgets the person, and the chain still verifies (`signoff_forgetting.py`). The digest stays
as a name that says nothing: it ties the entries of one person together, and without the salt nobody
can find the person from it.

A chain proves that nothing before its head was changed. That nothing was cut off its end, and that
it was not written anew as a whole, is proved only by a head that was kept elsewhere, such as the
one that is printed on the course record: hand it to `verify`.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime
from enum import StrEnum
from types import NoneType
from typing import Any, Final, Self

from slatewright.errors import InputError

SCHEMA: Final = "slatewright/sign-off/1"
"""Stands in each entry, so that a later form of them cannot be taken for this one."""
SALT_BYTES: Final = 16
"""Length of a salt: 128 bits cannot be guessed, and one length keeps salt and text apart."""

_DIGEST: Final = re.compile(r"[0-9a-f]{64}")
_KINDS: Final = {"number": (int,), "corrects": (int, NoneType), "remark": (str, NoneType)}
"""What stands in an entry that is no text."""


class Outcome(StrEnum):
    """What became of a skill on a dive."""

    SHOWN = "shown"
    NOT_YET = "not yet"
    REPEAT = "repeat"


@dataclass(frozen=True, slots=True)
class Sealed:
    """A name or a remark with its salt: what is deleted when a person is forgotten.

    Parameters
    ----------
    text
        The name or the remark, kept to the letter.
    salt
        16 random bytes: one salt for a person throughout a course, a new one for each remark.

    Raises
    ------
    InputError
        If the text is blank or cannot be written as UTF-8, or the salt has another length.
    """

    text: str
    salt: bytes

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise InputError("a text to be sealed is empty", where="text", right="a name, a remark")
        if len(self.salt) != SALT_BYTES:
            raise InputError(
                f"a salt of {len(self.salt)} bytes cannot be used",
                where="salt",
                right=f"{SALT_BYTES} random bytes",
            )
        _utf8(self.text)

    @property
    def digest(self) -> str:
        """SHA-256 over salt and text, in hexadecimal."""
        return hashlib.sha256(self.salt + _utf8(self.text)).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A line of the sign-off book.

    Parameters
    ----------
    number
        Its place, counted from 1.
    course
        The name or number by which the course is known.
    diver
        Digest of the diver's name.
    skill
        The id of the skill.
    dive
        The id of the dive.
    outcome
        What became of it.
    remark
        Digest of a remark; None if there is none.
    by
        Digest of the name of the one who signs.
    at
        When it was signed, with the offset from UTC.
    corrects
        The number of the entry that this one replaces; None if it is no correction.
    previous
        Hash of the entry before; of the first entry what `beginning` returns.
    hash
        Hash of this entry.
    """

    number: int
    course: str
    diver: str
    skill: str
    dive: str
    outcome: Outcome
    remark: str | None
    by: str
    at: datetime
    corrects: int | None
    previous: str
    hash: str

    def data(self) -> dict[str, Any]:
        """Return the entry as texts, whole numbers and null, its hash included."""
        own: dict[str, Any] = {field.name: getattr(self, field.name) for field in fields(self)}
        return own | {"outcome": str(self.outcome), "at": self.at.isoformat()}

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> Self:
        """Return the entry that `data` made, unverified.

        Parameters
        ----------
        data
            What `data` returned, as read back from a file.

        Raises
        ------
        InputError
            If it is no entry at all.
        """
        names = {field.name for field in fields(cls)}
        if set(data) != names:
            raise InputError(
                "this is no entry of a sign-off book", right=f"the keys {', '.join(sorted(names))}"
            )
        try:
            known = {"outcome": Outcome(data["outcome"]), "at": datetime.fromisoformat(data["at"])}
        except (TypeError, ValueError) as error:
            raise InputError(
                f"entry {data['number']} cannot be read: {error}",
                right="shown, not yet or repeat, and a time such as 2031-05-01T17:30:00+02:00",
            ) from None
        for name in names - set(known):
            kinds = _KINDS.get(name, (str,))
            if type(data[name]) not in kinds:
                raise InputError(
                    f"entry {data['number']} cannot be read: {name} is {data[name]!r}",
                    where=name,
                    right="null or " * (NoneType in kinds)
                    + ("a whole number" if int in kinds else "a text"),
                )
        return cls(**{**data, **known})

    def computed_hash(self) -> str:
        """Return the hash that this entry should have."""
        own = {name: value for name, value in self.data().items() if name != "hash"}
        return _hash({"schema": SCHEMA, **own})


@dataclass(frozen=True, slots=True)
class Broken:
    """The first link of a chain that does not hold.

    Parameters
    ----------
    number
        Its place, counted from 1; one more than there are entries if the end is missing.
    what
        What is wrong, a sentence.
    """

    number: int
    what: str

    def __str__(self) -> str:
        return f"entry {self.number}: {self.what}"


@dataclass(frozen=True, slots=True)
class Signing:
    """What is to be signed.

    Parameters
    ----------
    diver
        Whose skill it is.
    skill, dive
        Their ids.
    outcome
        What became of it.
    by
        Who signs.
    at
        When, with the offset from UTC.
    remark
        A remark; None if there is none.
    corrects
        The number of the entry that it replaces.
    """

    diver: Sealed
    skill: str
    dive: str
    outcome: Outcome
    by: Sealed
    at: datetime
    remark: Sealed | None = None
    corrects: int | None = None


def beginning(course: str) -> str:
    """Return what the first entry of a course has in place of a hash of an entry before.

    Entries of one course thereby fit into no other.

    Parameters
    ----------
    course
        The name or number by which the course is known.
    """
    return _hash({"schema": SCHEMA, "course": course})


def head(entries: Sequence[Entry], course: str) -> str:
    """Return the hash to keep elsewhere: that of the last entry.

    Parameters
    ----------
    entries
        The book.
    course
        The course.
    """
    return entries[-1].hash if entries else beginning(course)


def signed(entries: Sequence[Entry], course: str, signing: Signing) -> Entry:
    """Return the next entry of a book; nothing in the book changes.

    Parameters
    ----------
    entries
        The book as it is.
    course
        The course.
    signing
        What is signed.

    Returns
    -------
    Entry
        To be appended.

    Raises
    ------
    InputError
        If the time has no offset, an id is empty, or the entry to be corrected is not there, or
        was corrected before.
    """
    if signing.at.utcoffset() is None:
        raise InputError(
            f"{signing.at.isoformat()} does not say which time zone it is in",
            where="at",
            right="a time with its offset, such as 2031-05-01T17:30:00+02:00",
        )
    for where, text in (("course", course), ("skill", signing.skill), ("dive", signing.dive)):
        if not text.strip():
            raise InputError("is empty", where=where, right="an id")
    number = len(entries) + 1
    if fault := _corrects_wrongly(number, signing.corrects, entries):
        last = _replacing(signing.corrects, entries)
        right = f"the latest of them, {last}" if last else "the number of an entry of this book"
        raise InputError(fault, where="corrects", right=right)
    entry = Entry(
        number=number,
        course=course,
        diver=signing.diver.digest,
        skill=signing.skill,
        dive=signing.dive,
        outcome=signing.outcome,
        remark=signing.remark.digest if signing.remark else None,
        by=signing.by.digest,
        at=signing.at,
        corrects=signing.corrects,
        previous=head(entries, course),
        hash="",
    )
    return replace(entry, hash=entry.computed_hash())


def verify(
    entries: Sequence[Entry],
    course: str,
    *,
    kept_head: str | None = None,
    texts: Mapping[str, Sealed] | None = None,
) -> Broken | None:
    """Look for the first link that does not hold.

    Parameters
    ----------
    entries
        The book.
    course
        The course that it belongs to.
    kept_head
        A head that was kept elsewhere, of this or an earlier state of the book; None if none was.
        Without it nobody can tell whether entries are missing at the end.
    texts
        Names and remarks by their digests, as they are shown; one that is not there was forgotten.

    Returns
    -------
    Broken | None
        The first broken link; None if all hold.
    """
    previous = beginning(course)
    seen = {previous}
    for place, entry in enumerate(entries, start=1):
        if what := _fault(entry, place, course, previous, entries):
            return Broken(place, what)
        for what, digest in (("diver", entry.diver), ("remark", entry.remark), ("by", entry.by)):
            shown = (texts or {}).get(digest or "")
            if shown is not None and shown.digest != digest:
                return Broken(place, f"the text shown as '{what}' is not the one that was signed")
        previous = entry.hash
        seen.add(previous)
    if kept_head is not None and kept_head not in seen:
        return Broken(
            len(entries) + 1,
            f"no entry has the hash {kept_head[:12]}… that was kept: entries are missing at the "
            "end, or the book was written anew",
        )
    return None


def _fault(
    entry: Entry, place: int, course: str, previous: str, entries: Sequence[Entry]
) -> str | None:
    digests = (entry.diver, entry.by, *([] if entry.remark is None else [entry.remark]))
    faults = (
        (
            entry.number != place,
            f"bears the number {entry.number}: entries were removed, inserted or moved",
        ),
        (entry.course != course, f"belongs to the course '{entry.course}'"),
        (
            entry.previous != previous,
            "does not follow the entry before it: that one, or this, was changed or replaced",
        ),
        (
            not all(_DIGEST.fullmatch(digest) for digest in digests),
            "a name or a remark is no digest",
        ),
        (entry.at.utcoffset() is None, "its time has no offset"),
        (
            entry.computed_hash() != entry.hash,
            "its hash does not fit what it says: it was changed after it was signed",
        ),
    )
    if what := next((what for wrong, what in faults if wrong), None):
        return what
    return _corrects_wrongly(place, entry.corrects, entries[: place - 1])


def _corrects_wrongly(number: int, corrects: int | None, before: Sequence[Entry]) -> str | None:
    if corrects is None:
        return None
    if not 1 <= corrects < number:
        return f"entry {number} cannot correct entry {corrects}, which is not before it"
    by = next((entry.number for entry in before if entry.corrects == corrects), None)
    return f"entry {corrects} was corrected by entry {by} already" if by else None


def _replacing(number: int | None, entries: Sequence[Entry]) -> int | None:
    """Return the last of a row of corrections of an entry; None if there is none."""
    by = {entry.corrects: entry.number for entry in entries if entry.corrects is not None}
    last = None
    while number in by:
        last = number = by[number]
    return last


def _utf8(text: str) -> bytes:
    try:
        return text.encode()
    except UnicodeEncodeError:
        raise InputError(
            "has half of a character in it", where="text", right="text that can be saved as UTF-8"
        ) from None


def _hash(data: Mapping[str, Any]) -> str:
    text = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(_utf8(text)).hexdigest()
