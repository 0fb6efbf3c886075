"""What a dive has to be by what its log says besides: partners, role, circuit, stops, equipment."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from slatewright.course.rule_conditions import HOLDS, MISSES, UNKNOWN, Given, Test, Verdict
from slatewright.logs.logged import Circuit, LoggedDive, Role

INSTRUCTOR: Final = "the instructor"
"""In place of a name: who teaches the course."""
TEAM: Final = "a course partner"
"""In place of a name: anybody who takes the course as well."""


@dataclass(frozen=True, slots=True)
class WithPartner:
    """Somebody who dived along.

    Parameters
    ----------
    names
        Any of these; `INSTRUCTOR` and `TEAM` stand for those of the course.
    """

    names: tuple[str, ...]
    about: str = field(default="partner", init=False)

    def who(self, given: Given) -> frozenset[str]:
        """Return the names that count, as they are compared.

        Parameters
        ----------
        given
            Day and team.
        """
        stands_for = {INSTRUCTOR: given.instructors, TEAM: given.partners}
        return frozenset(
            name_word(one) for name in self.names for one in stands_for.get(name, (name,))
        )

    def test(self, given: Given) -> Test:
        """Return the test.

        Parameters
        ----------
        given
            Day and team.
        """
        who = self.who(given)

        def test(dive: LoggedDive) -> Verdict:
            if not dive.partners or not who:
                return UNKNOWN
            return HOLDS if any(name_word(name) in who for name in dive.partners) else MISSES

        return test

    def why(self, dive: LoggedDive, given: Given) -> str:
        """Return why it is not known.

        Parameters
        ----------
        dive
            The dive.
        given
            Day and team.
        """
        if dive.partners and not self.who(given):
            return f"nobody was named as {' or '.join(self.names)}"
        return "the log names no partner"

    def __str__(self) -> str:
        return f"with {' or '.join(self.names)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a log says besides depth, gas, day and partner: all that is given has to be so.

    Parameters
    ----------
    role
        In what part the diver dived; None for any.
    circuit
        Open or closed; None for either.
    decompression
        Whether stops were needed; None if it does not matter.
    equipment
        Words that the log has to have, all of them.
    """

    role: Role | None = None
    circuit: Circuit | None = None
    decompression: bool | None = None
    equipment: tuple[str, ...] = ()

    @property
    def about(self) -> str:
        """What it is about, in a word."""
        for name, value in (("role", self.role), ("circuit", self.circuit)):
            if value is not None:
                return name
        return "equipment" if self.decompression is None else "decompression"

    def test(self, given: Given) -> Test:  # noqa: ARG002 - the same on every day
        """Return the test.

        Parameters
        ----------
        given
            Day and team.
        """
        role, circuit, stops = self.role, self.circuit, self.decompression
        words = frozenset(map(name_word, self.equipment))

        def test(dive: LoggedDive) -> Verdict:
            unknown = False
            if (role is not None and dive.role is not role) or (
                circuit is not None and dive.circuit is not circuit
            ):
                return MISSES
            if stops is not None and dive.decompression is not stops:
                if dive.decompression is not None:
                    return MISSES
                unknown = True
            if words and not words.issubset(map(name_word, dive.equipment)):
                if dive.equipment:
                    return MISSES
                unknown = True
            return UNKNOWN if unknown else HOLDS

        return test

    def why(self, dive: LoggedDive, given: Given) -> str:  # noqa: ARG002 - same on every day
        """Return why it is not known.

        Parameters
        ----------
        dive
            The dive.
        given
            Day and team.
        """
        if self.decompression is not None and dive.decompression is None:
            return "the log does not say whether stops were needed"
        return "the log names no equipment"

    def __str__(self) -> str:
        parts = [f"as {'an' if self.role[0] in 'ai' else 'a'} {self.role}"] if self.role else []
        parts += [f"on {self.circuit}"] if self.circuit else []
        if self.decompression is not None:
            parts.append("with decompression" if self.decompression else "without decompression")
        parts += [f"with {' and '.join(self.equipment)}"] if self.equipment else []
        return ", ".join(parts)


@lru_cache(maxsize=4096)  # the same few names stand in thousands of dives
def name_word(text: str) -> str:
    """Return the form in which names and words for equipment are compared.

    Parameters
    ----------
    text
        As somebody wrote it.
    """
    return " ".join(text.casefold().split())
