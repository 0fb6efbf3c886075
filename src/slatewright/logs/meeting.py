"""A new logbook beside what is kept: which dives are in both, and what comes of joining them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from slatewright.logs.duplicates import Sameness, duplicates, duplicates_within
from slatewright.logs.joining import joined
from slatewright.logs.logged import LoggedDive


@dataclass(frozen=True, slots=True)
class Twin:
    """A dive of a new logbook that is told of twice.

    Parameters
    ----------
    new
        Its position in the new logbook, counted from 0.
    kept
        The position of the other entry among those kept; None if both stand in the new one.
    again
        The position of the other entry in the new logbook; None if the other is kept.
    sameness
        How sure it is.
    why
        The reason.
    """

    new: int
    kept: int | None
    again: int | None
    sameness: Sameness
    why: str


@dataclass(frozen=True, slots=True)
class Merged:
    """What comes of a new logbook after it was decided what is the same.

    Parameters
    ----------
    added
        The dives that are new.
    replaced
        Entries that take the place of kept ones, by their position.
    """

    added: tuple[LoggedDive, ...]
    replaced: dict[int, LoggedDive]


def twins(new: Sequence[LoggedDive], kept: Sequence[LoggedDive]) -> tuple[Twin, ...]:
    """Return which dives of a new logbook are told of twice, the less sure ones first.

    Parameters
    ----------
    new
        The new logbook.
    kept
        What is kept.
    """
    found = [
        Twin(pair.first, pair.second, None, pair.sameness, pair.why)
        for pair in duplicates(new, kept)
    ]
    found += [
        Twin(pair.first, None, pair.second, pair.sameness, pair.why)
        for pair in duplicates_within(new)
    ]
    return tuple(sorted(found, key=lambda twin: twin.sameness is Sameness.EXACT))


def merged(
    new: Sequence[LoggedDive],
    kept: Sequence[LoggedDive],
    found: Sequence[Twin],
    join: Collection[int],
) -> Merged:
    """Return a new logbook with some of its twins joined, the fuller entry of each kept.

    Parameters
    ----------
    new, kept
        As for `twins`.
    found
        What `twins` found.
    join
        The positions in it of those that a person has said are one dive; of the others both
        entries are kept.
    """
    replaced: dict[int, LoggedDive] = {}
    added: dict[int, LoggedDive] = dict(enumerate(new))
    home: dict[int, int] = {}
    for position, twin in enumerate(found):
        if position in join and twin.kept is not None:
            replaced[twin.kept] = joined(
                replaced.get(twin.kept, kept[twin.kept]), added.pop(twin.new)
            )
            home[twin.new] = twin.kept
    for position, twin in enumerate(found):
        if position not in join or twin.again is None:
            continue
        one, other = twin.new, twin.again
        if one in added and other in added:
            added[one] = joined(added[one], added.pop(other))
        elif one in added or other in added:  # one of them is kept already: so is its twin
            left, at = (one, home[other]) if one in added else (other, home[one])
            replaced[at] = joined(replaced[at], added.pop(left))
    changed = {at: dive for at, dive in replaced.items() if dive != kept[at]}
    return Merged(tuple(added.values()), changed)
