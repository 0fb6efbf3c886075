"""The head of a sign-off book as somebody has kept it: typed or pasted from a printed sheet."""

from __future__ import annotations

import unicodedata
from typing import Final

from slatewright.errors import InputError

LETTERS: Final = 64
"""How many letters a head has: those of a SHA-256."""
LONGEST: Final = 1000
"""More than a person types; blanks and line ends counted."""
_HEXADECIMAL: Final = frozenset("0123456789abcdef")
_INVISIBLE: Final = "Cf"
_RIGHT: Final = f"{LETTERS} digits and letters from a to f, as they are printed"


def read_head(text: str) -> str | None:
    """Return the head that somebody has kept.

    Parameters
    ----------
    text
        As it was typed or pasted: blanks, line ends and capitals do not count.

    Returns
    -------
    str or None
        None if nothing is written.

    Raises
    ------
    InputError
        If it is no head: too short, too long, or with other letters.
    """
    plain = "".join(
        letter
        for letter in text.lower()
        if not letter.isspace() and unicodedata.category(letter) != _INVISIBLE
    )
    if not plain:
        return None
    if others := [letter for letter in dict.fromkeys(plain) if letter not in _HEXADECIMAL]:
        shown = ", ".join(f"'{letter}'" for letter in others[:3])
        raise InputError(f"has {shown}, which no head has", where="head", right=_RIGHT)
    if len(plain) != LETTERS:
        count = f"{len(plain)} letter{'' if len(plain) == 1 else 's'}"
        raise InputError(f"has {count}, and a head has {LETTERS}", where="head", right=_RIGHT)
    return plain
