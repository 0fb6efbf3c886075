"""Two texts beside each other, line by line."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import zip_longest


@dataclass(frozen=True, slots=True)
class Pair:
    """A line of both texts.

    Parameters
    ----------
    mine, theirs
        The lines; empty where one text has none.
    same
        Whether they are the same.
    """

    mine: str
    theirs: str
    same: bool


def beside(mine: str, theirs: str) -> tuple[Pair, ...]:
    """Set two texts beside each other.

    Parameters
    ----------
    mine, theirs
        The texts.
    """
    left, right = mine.splitlines(), theirs.splitlines()
    pairs: list[Pair] = []
    for kind, a0, a1, b0, b1 in SequenceMatcher(None, left, right, autojunk=False).get_opcodes():
        for one, other in zip_longest(left[a0:a1], right[b0:b1], fillvalue=""):
            pairs.append(Pair(one, other, kind == "equal"))
    return tuple(pairs)
