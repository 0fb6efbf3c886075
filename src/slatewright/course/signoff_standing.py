"""Where a diver stands: the last word on each skill, and all that led there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from slatewright.course.signoff import Entry, Outcome


@dataclass(frozen=True, slots=True)
class Standing:
    """What is known of one skill of one diver.

    Parameters
    ----------
    diver
        Digest of the diver's name.
    skill
        The id of the skill.
    last
        The entry that counts.
    history
        All entries on it in the order in which they were signed, corrected ones included.
    corrected
        The numbers of those of them that no longer count.
    """

    diver: str
    skill: str
    last: Entry
    history: tuple[Entry, ...]
    corrected: frozenset[int]

    @property
    def outcome(self) -> Outcome:
        """What counts today."""
        return self.last.outcome


def standing(entries: Iterable[Entry]) -> tuple[Standing, ...]:
    """Return the current state of each diver's skills.

    The entry signed last counts, unless it was corrected. A correction stands in the place of the
    entry that it replaces, not at the end: who mends a slip of the first day does not undo the
    third. A skill of which every entry was corrected away, to another diver or skill, is left out.

    Parameters
    ----------
    entries
        The book, in its order; verified.

    Returns
    -------
    tuple[Standing, ...]
        In the order in which divers and skills first occur.
    """
    book = tuple(entries)
    replaced = {entry.corrects for entry in book if entry.corrects is not None}
    place: dict[int, int] = {}
    for entry in book:
        place[entry.number] = (
            entry.number if entry.corrects is None else place.get(entry.corrects, entry.number)
        )
    grouped: dict[tuple[str, str], list[Entry]] = {}
    for entry in book:
        grouped.setdefault((entry.diver, entry.skill), []).append(entry)
    found = []
    for (diver, skill), history in grouped.items():
        counting = [entry for entry in history if entry.number not in replaced]
        if counting:
            last = max(counting, key=lambda entry: place[entry.number])
            gone = frozenset(e.number for e in history if e.number in replaced)
            found.append(Standing(diver, skill, last, tuple(history), gone))
    return tuple(found)


def shown_by_all(standings: Iterable[Standing], divers: Iterable[str]) -> frozenset[str]:
    """Return the skills that each of some divers has shown: what a schedule may build upon.

    Parameters
    ----------
    standings
        The current state.
    divers
        Digests of the names; of no diver nothing is shown.
    """
    by_diver: dict[str, set[str]] = {diver: set() for diver in divers}
    for one in standings:
        if one.outcome is Outcome.SHOWN and one.diver in by_diver:
            by_diver[one.diver].add(one.skill)
    return (
        frozenset[str].intersection(*map(frozenset, by_diver.values())) if by_diver else frozenset()
    )
