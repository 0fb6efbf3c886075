"""From the bytes of a file to its letters, or the reason why not."""

from __future__ import annotations

import codecs
import itertools
import re
import unicodedata
from dataclasses import dataclass
from typing import Final

from slatewright.errors import InputError

MOST_BYTES: Final = 32 * 1024 * 1024
"""Larger tables are refused: a dive is a line of some hundred bytes."""
_BOMS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),  # before UTF-16, whose mark begins alike
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_NO_TABLES: Final = (
    (b"PK\x03\x04", "a packed file or a spreadsheet"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet of an old kind"),
    (b"%PDF", "a PDF"),
    (b"\x1f\x8b", "a packed file"),
    (b"SQLite format", "a database"),
)
_CANDIDATES: Final = [
    "cp1252", "cp1250", "cp1251", "cp1253", "cp1254", "mac_roman", "cp850",
    "cp932", "gb18030", "big5", "euc_kr",
]  # fmt: skip
_USUAL_SIGNS: Final = (
    "\u2018\u2019\u201c\u201d\u201e\u2013\u2014\u2026\u00b0\u20ac\u00e9\u00ba\u00aa\u3001\u3002"
)
_SAMPLE_BYTES: Final = 65_536
_RIGHT: Final = "a table saved as CSV, UTF-8"
REPLACED: Final = "\ufffd"
"""Stands where a byte is no letter of the encoding; a row that holds one is kept aside."""


@dataclass(frozen=True, slots=True)
class Decoded:
    """The letters of a file.

    Parameters
    ----------
    text
        The letters.
    encoding
        The encoding that was used.
    note
        What a person should know about it; empty if nothing.
    """

    text: str
    encoding: str
    note: str = ""


def decoded(data: bytes, name: str) -> Decoded:
    """Return the letters of a table.

    Parameters
    ----------
    data
        The bytes of the file.
    name
        Its name, for messages.

    Returns
    -------
    Decoded
        The letters. Without a mark at its head a file is UTF-8 if all, or most of its lines with
        other letters than plain ones, can be; else the encoding is found by its letters, and the
        note says so.

    Raises
    ------
    InputError
        If the file is empty, too large, no text, or of no encoding that is known.
    """
    need_size(data, name, MOST_BYTES)
    for head, kind in _NO_TABLES:
        if data.startswith(head):
            raise InputError(f"this is {kind}, no table of letters", where=name, right=_RIGHT)
    text, encoding, note = _letters(data, name)
    if not text.strip():
        raise InputError("the file is empty", where=name, right="a header and a row for each dive")
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise InputError(f"a NUL byte in line {line}: this is no text", where=name, right=_RIGHT)
    return Decoded(text, encoding, note)


def need_size(data: bytes, name: str, most_bytes: int) -> None:
    """Refuse a file that is too large.

    Parameters
    ----------
    data
        The bytes of the file.
    name
        Its name.
    most_bytes
        The limit [bytes].

    Raises
    ------
    InputError
        If it is larger.
    """
    if len(data) > most_bytes:
        raise InputError(
            f"{len(data) / 2**20:.0f} MiB is too large for a logbook",
            where=name,
            right=f"at most {most_bytes / 2**20:.0f} MiB; split it by years",
        )


def _letters(data: bytes, name: str) -> tuple[str, str, str]:
    for mark, encoding in _BOMS:
        if data.startswith(mark):
            try:
                return data.decode(encoding), encoding, ""
            except UnicodeDecodeError as error:
                raise InputError(
                    f"the file says that it is {encoding}, and byte {error.start} is not",
                    where=name,
                    right=_RIGHT,
                ) from None
    try:
        return data.decode("utf-8"), "utf-8", ""
    except UnicodeDecodeError:
        pass
    if b"\0" in data:  # before guessing at letters: it has none
        return data.decode("latin-1"), "latin-1", ""
    odd = [line for line in re.split(rb"[\r\n]+", data) if not line.isascii()]
    good = sum(1 for line in odd if _is_utf8(line))
    if 2 * good > len(odd):
        note = f"{len(odd) - good} lines hold bytes that are not UTF-8; they are kept aside"
        return data.decode("utf-8", "replace"), "utf-8", note
    encoding = _found(b"\n".join(odd)[:_SAMPLE_BYTES])
    try:
        text = data.decode(encoding)
    except (UnicodeDecodeError, LookupError):
        raise InputError("the encoding is not known", where=name, right=_RIGHT) from None
    return text, encoding, f"read as {encoding}, by its letters: look at the names"


def _is_utf8(line: bytes) -> bool:
    try:
        line.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _found(sample: bytes) -> str:
    from charset_normalizer import from_bytes  # noqa: PLC0415 - slow to import, seldom needed

    # In a few names the statistics of languages say little: of the encodings that could be, the
    # one with the fewest oddities is taken, of these the commonest.
    matches = from_bytes(sample, cp_isolation=_CANDIDATES)
    could_be = {code for match in matches for code in match.could_be_from_charset}
    ranked = sorted(
        (code for code in _CANDIDATES if code in could_be),
        key=lambda code: _oddities(sample.decode(code, "replace")),
    )
    return ranked[0] if ranked else ""


def _oddities(text: str) -> int:
    """Count what seldom stands in names: odd signs, a capital inside a word, mixed alphabets."""
    odd = 0
    for before, letter in itertools.pairwise(f" {text}"):
        if letter.isascii():
            continue
        if not letter.isalpha():
            odd += letter not in _USUAL_SIGNS
        elif before.isalpha():
            odd += letter.isupper() and before.islower()
            odd += _alphabet(letter) != _alphabet(before)
    return odd


def _alphabet(letter: str) -> str:
    return "LATIN" if letter.isascii() else unicodedata.name(letter, "").partition(" ")[0]
