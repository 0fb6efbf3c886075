"""Skills of a course and what each needs first: a graph without cycles."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from graphlib import CycleError, TopologicalSorter

from slatewright.course.rule_depths import DepthPair
from slatewright.errors import InputError


class Gas(StrEnum):
    """A gas of a dive by what it is there for."""

    BACK = "back gas"
    TRAVEL = "travel gas"
    DECOMPRESSION = "decompression gas"


class Stops(StrEnum):
    """What stops a skill needs."""

    NONE = "none"
    ANY = "any"
    SIMULATED = "simulated"
    REAL = "real"


@dataclass(frozen=True, slots=True, kw_only=True)
class Skill:
    """A skill, or a combination of skills.

    Parameters
    ----------
    id
        The name by which files and sign-offs know it.
    group
        Under what it is listed.
    words
        What it is, in a line.
    shows
        What counts as shown, in a line; empty if nothing is said.
    after
        The ids of the skills that must have been shown before.
    same_dive
        Whether those may be shown earlier on the same dive.
    parts
        The ids of the skills that it combines: shown on an earlier dive, always.
    load
        How much of the mind it takes, 1 to 5.
    first_from, first_to
        Least and greatest depth of a dive on which it may be shown the first time; None for none.
    loses
        The gases whose loss is simulated.
    stops
        What stops it needs; ``simulated`` means that no stop of the dive may be real.
    carries
        The cylinders that must be along, besides back gas; one named twice stands for two.
    """

    id: str
    group: str
    words: str
    shows: str = ""
    after: tuple[str, ...] = ()
    same_dive: bool = False
    parts: tuple[str, ...] = ()
    load: int = 1
    first_from: DepthPair | None = None
    first_to: DepthPair | None = None
    loses: frozenset[Gas] = frozenset()
    stops: Stops = Stops.NONE
    carries: tuple[Gas, ...] = ()

    @property
    def before(self) -> tuple[str, ...]:
        """All skills that must have been shown before: prerequisites and parts."""
        return tuple(dict.fromkeys((*self.after, *self.parts)))

    def needs_earlier_dive(self, skill: str) -> bool:
        """Return whether a skill must have been shown on an earlier dive, not just earlier.

        Parameters
        ----------
        skill
            The id of one of the skills in ``before``.
        """
        return skill in self.parts or not self.same_dive


@dataclass(frozen=True, slots=True)
class GraphFault:
    """What is wrong with a list of skills.

    Parameters
    ----------
    position
        Of which skill in the list, counted from 0.
    field
        In which of its fields.
    what, right
        What is wrong, and what would be right.
    """

    position: int
    field: str
    what: str
    right: str


@dataclass(frozen=True)
class SkillLibrary:
    """Skills that fit together.

    Parameters
    ----------
    skills
        The skills, in the order of their file.

    Raises
    ------
    InputError
        If a skill needs one that is not there, or itself in a circle, or what cannot be.
    """

    skills: tuple[Skill, ...]

    def __post_init__(self) -> None:
        for fault in graph_faults(self.skills):
            raise InputError(
                fault.what,
                where=f"{self.skills[fault.position].id}.{fault.field}",
                right=fault.right,
            )

    @cached_property
    def by_id(self) -> Mapping[str, Skill]:
        """Each skill by its id."""
        return {skill.id: skill for skill in self.skills}

    @cached_property
    def in_teaching_order(self) -> tuple[Skill, ...]:
        """Each skill after all that it needs; else in the order of the file."""
        done: dict[str, Skill] = {}
        left = list(self.skills)
        while left:
            # the first of the file whose needs are met: static_order alone would go by levels
            ready = next(skill for skill in left if all(need in done for need in skill.before))
            done[ready.id] = ready
            left.remove(ready)
        return tuple(done.values())

    def skill(self, skill_id: str) -> Skill:
        """Return a skill.

        Parameters
        ----------
        skill_id
            Its id.

        Raises
        ------
        InputError
            If there is none of that id.
        """
        try:
            return self.by_id[skill_id]
        except KeyError:
            raise InputError(
                f"no skill is called '{skill_id}'", where="skill", right=nearest(skill_id, self)
            ) from None

    def loses(self, skill: Skill) -> frozenset[Gas]:
        """Return the gases whose loss is simulated, by the skill itself or a part of it.

        Parameters
        ----------
        skill
            The skill.
        """
        return skill.loses.union(*(self.loses(self.by_id[part]) for part in skill.parts))

    def stops(self, skill: Skill) -> Stops:
        """Return what stops a skill needs, by itself or for a part of it.

        Parameters
        ----------
        skill
            The skill.
        """
        needs = {skill.stops, *(self.stops(self.by_id[part]) for part in skill.parts)}
        strictest = (Stops.SIMULATED, Stops.REAL, Stops.ANY, Stops.NONE)
        return next(kind for kind in strictest if kind in needs)

    def carries(self, skill: Skill) -> Counter[Gas]:
        """Return the cylinders that must be along, for the skill itself, its losses and its parts.

        Parameters
        ----------
        skill
            The skill.
        """
        needed = Counter(skill.carries) | Counter(skill.loses - {Gas.BACK})
        for part in skill.parts:
            needed |= self.carries(self.by_id[part])
        return needed

    def waiting_for(self, skill_id: str) -> frozenset[str]:
        """Return all skills that must have been shown before one, near and far.

        Parameters
        ----------
        skill_id
            The id of the one.
        """
        near = self.by_id[skill_id].before
        return frozenset(near).union(*(self.waiting_for(need) for need in near))


def graph_faults(skills: Sequence[Skill]) -> Iterator[GraphFault]:
    """Yield what is wrong with a list of skills, all of it.

    Parameters
    ----------
    skills
        The skills.
    """
    known: dict[str, int] = {}
    for i, skill in enumerate(skills):
        if skill.id in known:
            yield GraphFault(i, "id", f"'{skill.id}' is taken", "each id once")
        known.setdefault(skill.id, i)
    for i, skill in enumerate(skills):
        yield from _own_faults(i, skill)
        for field, ids in (("after", skill.after), ("parts", skill.parts)):
            for need in ids:
                if need not in known:
                    kind = "part" if field == "parts" else "prerequisite"
                    yield GraphFault(
                        i, field, f"the {kind} '{need}' is no skill of this list",
                        nearest_of(need, known),
                    )  # fmt: skip
        only_simulated = [
            part
            for part in skill.parts
            if part in known and skills[known[part]].stops is Stops.SIMULATED
        ]
        if skill.stops is Stops.REAL and only_simulated:
            yield GraphFault(
                i,
                "stops",
                f"its part '{only_simulated[0]}' may be shown on simulated stops only",
                'stops = "simulated", or another part',
            )
    yield from _cycles(skills, known)


def _own_faults(i: int, skill: Skill) -> Iterator[GraphFault]:
    if len(skill.parts) == 1:
        yield GraphFault(i, "parts", "one part is no combination", "two parts or more")
    low, high = skill.first_from, skill.first_to
    if low and high and (low.metres > high.metres or low.feet > high.feet):
        yield GraphFault(
            i, "first_to_m", f"no dive is from {low} to {high}", "the greater depth here"
        )
    if skill.stops is Stops.REAL and Gas.DECOMPRESSION in skill.loses:
        yield GraphFault(
            i,
            "loses",
            "a simulated loss of decompression gas meets a real need for it",
            'stops = "simulated"',
        )


def _cycles(skills: Sequence[Skill], known: Mapping[str, int]) -> Iterator[GraphFault]:
    needs = {
        name: {need for need in skills[i].before if need in known} for name, i in known.items()
    }
    while True:
        try:
            TopologicalSorter(needs).prepare()
        except CycleError as error:
            # graphlib names the cycle from a need to what needs it
            cycle = list(dict.fromkeys(error.args[1]))
            start = cycle.index(min(cycle, key=lambda one: known[one]))
            cycle = cycle[start:] + cycle[:start]
            way = " > ".join((*cycle, cycle[0]))
            first = skills[known[cycle[0]]]
            last = cycle[-1]
            yield GraphFault(
                known[first.id],
                "parts" if last in first.parts else "after",
                f"the skills go round in a circle, each before the next: {way}",
                "a first one that waits for none of them",
            )
            needs[first.id].discard(last)
        else:
            return


def nearest(skill_id: str, library: SkillLibrary) -> str:
    """Return the ids that a misspelt one may mean.

    Parameters
    ----------
    skill_id
        What was written.
    library
        The skills.
    """
    return nearest_of(skill_id, library.by_id)


def nearest_of(word: str, known: Mapping[str, object]) -> str:
    """Return the names that a misspelt one may mean; all if none is near.

    Parameters
    ----------
    word
        What was written.
    known
        The names.
    """
    import difflib  # noqa: PLC0415 - only a fault needs it

    return ", ".join(difflib.get_close_matches(word, known, n=3) or sorted(known))
