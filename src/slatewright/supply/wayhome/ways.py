"""In which order ways home are tried, and what each of them asks for.

The first way that leads home is the verdict. What is at hand: the gases that the diver who is
struck has left, and, unless there is no partner, those of the others. First on the own gases, then
with what was lost shared; each first as planned, then as deep as the limits allow. Where a gas ends
before the stops do, the same once more, but a gas that runs out is left a change before that, on a
whole minute, for the next one that is at hand; after these, the same with gases left untouched that
were too little, or had to be shared. Where none of these is enough, gradient factors are raised
towards the bare line of the model; where nothing may be breathed within the limits, an emergency's
allowances are used; last, both together. Bending is ranked before breathing beyond the limits: a
convulsion under water kills, and a bend can be treated.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

from slatewright.supply.wayhome.ladders import LadderBook, Reading, Rungs

_WITHIN = (Reading.PLANNED, Reading.DEEPEST)
_BEYOND = (Reading.GAPS, Reading.EMERGENCY)


@dataclass(frozen=True, eq=False)
class Way:
    """One way home.

    Parameters
    ----------
    own
        The ladder of the diver who is struck.
    others
        The ladder by which the others breathe.
    in_turn
        True if a gas that runs out is left for the next one.
    hurried
        True if gradient factors are raised until the gas is enough.
    untouched
        Indices of gases that the diver who is struck has and leaves untouched.
    """

    own: Rungs
    others: Rungs
    in_turn: bool
    hurried: bool
    untouched: frozenset[int]

    @property
    def beyond(self) -> bool:
        """True if an emergency's allowances are used."""
        return self.own.reading in _BEYOND


@dataclass(frozen=True, slots=True)
class Sets:
    """Gases that are used.

    Parameters
    ----------
    own, others
        Indices of those of the diver who is struck, and of the others.
    untouched
        Indices of those that the diver who is struck has and leaves untouched.
    """

    own: frozenset[int]
    others: frozenset[int]
    untouched: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Hands:
    """The gases of a failure.

    Parameters
    ----------
    own
        Indices of those that the diver who is struck has left.
    team
        Indices of those that anyone at hand has left.
    bottom
        Indices of the bottom gases.
    """

    own: frozenset[int]
    team: frozenset[int]
    bottom: frozenset[int]

    def sets(self) -> Iterator[Sets]:
        """Yield the gases of the diver who is struck and of the others, in the order tried."""
        yield Sets(self.own, self.team)
        yield Sets(self.team, self.team)

    def sets_with_less(self) -> Iterator[Sets]:
        """Yield the same with some gases left untouched; bottom gases never are."""
        extra = sorted(self.team - self.bottom)
        lost = self.team - self.own
        for size in range(len(extra) - 1, -1, -1):
            for kept in combinations(extra, size):
                used = frozenset(kept) | (self.team & self.bottom)
                left = self.team - used
                for own, others in (
                    (used - lost, self.team),
                    (used - lost, used | lost),
                    (used - lost, used - lost),
                    (used, self.team),
                    (used, used),
                ):
                    yield Sets(own, others, left & self.own)


def ways_of(hands: Hands, book: LadderBook, *, in_turn: bool) -> Iterator[list[Way]]:
    """Yield the ways home of a failure, in the order in which they are tried.

    Parameters
    ----------
    hands
        The gases.
    book
        The ladders.
    in_turn
        False to leave out the ways on which a gas that runs out is left for the next one.

    Yields
    ------
    list
        Ways that are looked at together, at least one; of several that lead home the first counts.
    """
    for readings, turn, hurried in (
        (_WITHIN, False, False),
        (_WITHIN, True, False),
        (_WITHIN, True, True),
        (_BEYOND, True, False),
        (_BEYOND, True, True),
    ):
        seen: set[tuple[int, int]] = set()
        for less in (False, True) if turn else (False,):
            found = []
            for reading in readings:
                for sets in hands.sets_with_less() if less else hands.sets():
                    way = Way(
                        own=book.rungs(sets.own, reading),
                        others=book.rungs(sets.others, reading),
                        in_turn=turn and in_turn,
                        hurried=hurried,
                        untouched=sets.untouched,
                    )
                    key = (way.own.number, way.others.number)
                    if key not in seen:
                        seen.add(key)
                        found.append(way)
            # the first way leads nearly everybody home; and never an empty list, which would end
            # the search before the ways that come after it
            first = 0 if turn else 1
            yield from (ways for ways in (found[:first], found[first:]) if ways)


class Chunk(NamedTuple):
    """Ways that are looked at together.

    Parameters
    ----------
    ways
        The ways, in the order in which they are tried; none after the last chunk.
    number
        The number of the first of them.
    """

    ways: list[Way]
    number: int


class LazyWays:
    """The ways of some gases at hand, made when they are asked for.

    Parameters
    ----------
    hands
        The gases.
    book
        The ladders.
    """

    def __init__(self, hands: Hands, book: LadderBook) -> None:
        breaks = book.plan.settings.breaks
        # minutes that are replayed before a gas is left count as the kernel counts them, and it
        # cannot replay breaks that earn nothing
        in_turn = breaks is None or breaks.counted
        self._coming = ways_of(hands, book, in_turn=in_turn)
        self._made = 0

    def next_chunk(self) -> Chunk:
        """Return the ways that are looked at next."""
        chunk = Chunk(next(self._coming, []), self._made)
        self._made += len(chunk.ways)
        return chunk
