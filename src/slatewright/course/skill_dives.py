"""The dives on which skills are to be shown, and which skill on which of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from slatewright.course.skills import Gas, Skill, SkillLibrary, Stops
from slatewright.errors import InputError
from slatewright.logs.logged import LoggedDepth


class Decompression(StrEnum):
    """What the stops of a dive are."""

    NONE = "none"
    SIMULATED = "simulated"
    REAL = "real"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDive:
    """A planned dive, as far as skills are concerned.

    Parameters
    ----------
    id
        The name by which sign-offs know it.
    order
        Its place in the course: of two dives the smaller comes first.
    greatest
        The greatest depth, in the unit of its plan.
    decompression
        Whether its stops are simulated or real.
    carried
        The cylinders along, besides back gas; one for each.
    really_needed
        The gases without which a diver could not come home from it as planned; `needed_gases`
        says which they are.
    load_limit
        The most task load that it may bear.
    closed_circuit
        Whether it is made on a loop: what cylinders a skill needs, and whether the gas whose loss
        is simulated is really needed, is then not known.

    Raises
    ------
    InputError
        If it needs a gas that is not along, or the limit is below 1.
    """

    id: str
    order: int
    greatest: LoggedDepth
    decompression: Decompression
    carried: tuple[Gas, ...]
    really_needed: frozenset[Gas]
    load_limit: int
    closed_circuit: bool = False

    def __post_init__(self) -> None:
        if missing := sorted(self.really_needed - {Gas.BACK, *self.carried}):
            raise InputError(
                f"dive '{self.id}' needs {missing[0]} and carries none", where="carried"
            )
        if self.load_limit < 1:
            raise InputError(
                f"a task load of {self.load_limit} leaves room for no skill",
                where=f"{self.id}.load_limit",
                right="1 or more",
            )


def needed_gases(
    decompression: Decompression, carried: Iterable[Gas], *, hypoxic_bottom_gas: bool
) -> frozenset[Gas]:
    """Return the gases that a dive really needs, whatever is simulated on it.

    With real stops each gas along is counted upon. Without, the surface is open at any time, and
    only a bottom gas that keeps nobody conscious there makes the travel gas needed.

    Parameters
    ----------
    decompression
        What the stops are.
    carried
        The cylinders along, besides back gas.
    hypoxic_bottom_gas
        Whether the bottom gas cannot be breathed at the surface.

    Returns
    -------
    frozenset[Gas]
        The gases; common practice, no published source.
    """
    along = frozenset(carried)
    if decompression is Decompression.REAL:
        return along | {Gas.BACK}
    return along & {Gas.TRAVEL} if hypoxic_bottom_gas else frozenset()


@dataclass(frozen=True, slots=True)
class DiveSkills:
    """What is shown on a dive.

    Parameters
    ----------
    dive
        The id of the dive.
    skills
        The ids of the skills, in the order in which they are shown.
    """

    dive: str
    skills: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Why a skill may not be shown on a dive.

    Parameters
    ----------
    rule
        In a word: depth, stops, cylinders, loss or loop.
    what
        Why, a sentence's end, such as ``it is deeper than 30 m / 100 ft``.
    cure
        What would do.
    """

    rule: str
    what: str
    cure: str


def in_order(dives: Sequence[PlannedDive]) -> tuple[PlannedDive, ...]:
    """Return the dives in their order.

    Parameters
    ----------
    dives
        The dives.

    Raises
    ------
    InputError
        If two have one id or one place.
    """
    for name in ("id", "order"):
        counted = Counter(getattr(dive, name) for dive in dives)
        if twice := [value for value, count in counted.items() if count > 1]:
            raise InputError(
                f"two dives have the {name} {twice[0]}", where="dives", right="each its own"
            )
    return tuple(sorted(dives, key=lambda dive: dive.order))


def obstacles(
    library: SkillLibrary, skill: Skill, dive: PlannedDive, *, first: bool = True
) -> tuple[Obstacle, ...]:
    """Return why a skill may not be shown on a dive, whatever is shown on the others.

    Parameters
    ----------
    library
        The skills.
    skill
        The skill.
    dive
        The dive.
    first
        Whether it is shown the first time: only then do its depths count.
    """
    found = list(_depths(skill, dive)) if first else []
    stops, loses = library.stops(skill), library.loses(skill)
    real = dive.decompression
    if stops is Stops.SIMULATED and real is not Decompression.SIMULATED:
        what = "real" if real is Decompression.REAL else "none"
        found.append(
            Obstacle("stops", f"its stops are {what}", "a dive whose stops are simulated only")
        )
    elif stops is Stops.REAL and real is not Decompression.REAL:
        found.append(Obstacle("stops", f"its stops are {real}", "a dive with real stops"))
    elif stops is Stops.ANY and real is Decompression.NONE:
        found.append(Obstacle("stops", "it has no stops", "a dive with stops, simulated or real"))
    if dive.closed_circuit:
        if library.carries(skill) or loses:
            found.append(_ON_A_LOOP)
        return tuple(found)
    if missing := library.carries(skill) - Counter(dive.carried):
        words = " and ".join(f"{count} more {gas}" for gas, count in sorted(missing.items()))
        found.append(Obstacle("cylinders", f"{words} would have to be along", f"carry {words}"))
    found.extend(
        Obstacle(
            "loss",
            f"it really needs the {gas} whose loss would be simulated",
            f"a dive that does not need its {gas}: shallow, or with simulated stops",
        )
        for gas in sorted(loses & dive.really_needed)
    )
    return tuple(found)


_ON_A_LOOP: Final = Obstacle(
    "loop",
    "it is on a closed circuit, and which cylinders a skill needs there, and which gas may be "
    "lost, is not known here",
    "a dive on open circuit, or your own judgement",
)


def _depths(skill: Skill, dive: PlannedDive) -> Iterator[Obstacle]:
    low, high = skill.first_from, skill.first_to
    depth, unit = dive.greatest.value, dive.greatest.unit
    if high is not None and depth > high.within(unit):
        yield Obstacle("depth", f"it is deeper than {high}", f"a dive no deeper than {high}")
    if low is not None and depth < low.within(unit):
        yield Obstacle("depth", f"it is shallower than {low}", f"a dive to {low} or deeper")
