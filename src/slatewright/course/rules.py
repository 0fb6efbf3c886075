"""The rules of a standard: what is asked, in which ways a rule can be met."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from slatewright.course.rule_conditions import Condition, DepthWanted
from slatewright.course.rule_depths import DepthPair


@dataclass(frozen=True, slots=True)
class AgeAsked:
    """A least age.

    Parameters
    ----------
    years
        The age in whole years.
    """

    years: int

    def __str__(self) -> str:
        return f"at least {self.years} years old"


@dataclass(frozen=True, slots=True)
class CardsAsked:
    """Certificates that allow something.

    Parameters
    ----------
    kinds
        What has to be allowed, in the words of `Certificate.kinds`.
    every
        Whether each of them is needed, or one is enough.
    """

    kinds: tuple[str, ...]
    every: bool = False

    @property
    def needed(self) -> int:
        """How many of them are needed."""
        return len(self.kinds) if self.every else 1

    def __str__(self) -> str:
        if len(self.kinds) == 1:
            return f"a certificate for {self.kinds[0]}"
        link = " and " if self.every else " or "
        return f"certificates for {link.join(self.kinds)}"


@dataclass(frozen=True, slots=True)
class DivesAsked:
    """A number of logged dives.

    Parameters
    ----------
    needed
        How many.
    conditions
        What each has to be, all of it; empty for any dive.
    """

    needed: int
    conditions: tuple[Condition, ...] = ()

    def __str__(self) -> str:
        dives = "dive" if self.needed == 1 else "dives"
        return " ".join([f"at least {self.needed} logged {dives}", *map(str, self.conditions)])


Asked: TypeAlias = AgeAsked | CardsAsked | DivesAsked


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of a standard.

    Parameters
    ----------
    id
        Its name, unique in the standard, to which a waiver refers.
    says
        The rule in a sentence of its own.
    ways
        In each of these ways it can be met; all that a way asks has to be met.
    """

    id: str
    says: str
    ways: tuple[tuple[Asked, ...], ...]

    @property
    def notes(self) -> tuple[str, ...]:
        """What is to be said of the rule as printed: pairs of depths that disagree."""
        return tuple(dict.fromkeys(pair.note for pair in self._depths() if pair.note))

    def _depths(self) -> Iterator[DepthPair]:
        for way in self.ways:
            for asked in way:
                conditions = asked.conditions if isinstance(asked, DivesAsked) else ()
                for condition in conditions:
                    if isinstance(condition, DepthWanted):
                        yield from (p for p in (condition.least, condition.most) if p is not None)
