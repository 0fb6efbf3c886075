"""Why a skill has no place on the planned dives, and what would give it one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count

from slatewright.course.skill_dives import obstacles
from slatewright.course.skill_model import SkillModel
from slatewright.course.skills import Skill


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A skill that has no place.

    Parameters
    ----------
    skill
        Its id.
    words
        What it is.
    why
        Why, sentences.
    cures
        What would give it a place, each by itself; empty if it only waits for another skill.
    """

    skill: str
    words: str
    why: tuple[str, ...]
    cures: tuple[str, ...]


def unplaced(model: SkillModel, placed: frozenset[str]) -> tuple[Unplaced, ...]:
    """Return each skill that has no place, with reason and cure.

    Parameters
    ----------
    model
        The skills and dives.
    placed
        The ids of the skills that have a place.

    Returns
    -------
    tuple[Unplaced, ...]
        In teaching order.
    """
    left = [skill for skill in model.skills if skill.id not in placed]
    roomy = model.with_caps([sum(skill.load for skill in model.skills)] * len(model.dives))
    found, crowded = [], _Crowded(model, roomy, placed)
    for skill in left:
        waits = [need for need in skill.before if need in {one.id for one in left}]
        if not any(model.allowed[skill.id]):
            why, cures = tuple(_no_dive(model, skill)), _nearest_dive(model, skill)
        elif waits:
            names = ", ".join(f"'{need}'" for need in waits)
            why, cures = (f"It waits for {names}, which has no place either.",), ()
        elif roomy.can_place(frozenset({skill.id})) is None:
            why = ("What it needs before takes more dives than come before one that allows it.",)
            cures = crowded.one_more_dive(skill.id)
        else:
            why = ("The dives that allow it, or what it needs before, are full to their limits.",)
            cures = crowded.higher_limit(skill.id) + crowded.one_more_dive(skill.id)
        found.append(Unplaced(skill.id, skill.words, why, cures))
    return tuple(found)


def _no_dive(model: SkillModel, skill: Skill) -> Iterator[str]:
    """Yield why no dive allows a skill: each reason once, with the dives that it bars."""
    reasons: dict[str, list[str]] = {}
    for dive in model.dives:
        for obstacle in obstacles(model.library, skill, dive):
            reasons.setdefault(obstacle.what, []).append(f"'{dive.id}'")
    for what, names in reasons.items():
        yield f"Not on {', '.join(names)}: {what}."
    if not model.dives:
        yield "No dive is planned."


def _nearest_dive(model: SkillModel, skill: Skill) -> tuple[str, ...]:
    """Return what would have to change on the dive that comes nearest to allowing a skill."""
    barred = [(obstacles(model.library, skill, dive), dive.id) for dive in model.dives]
    if not barred:
        return ("Plan a dive.",)
    found, name = min(barred, key=lambda one: len(one[0]))
    cures = ", and ".join(obstacle.cure for obstacle in found)
    return (f"In place of '{name}', or besides: {cures}.",)


def cures_for_all(model: SkillModel, placed: frozenset[str]) -> tuple[str, ...]:
    """Return what would cover at once all skills that one of the dives allows.

    Parameters
    ----------
    model
        The skills and dives.
    placed
        The ids of the skills that have a place.

    Returns
    -------
    tuple[str, ...]
        Each cure by itself; empty if more room covers no more.
    """
    roomy = model.with_caps([sum(skill.load for skill in model.skills)] * len(model.dives))
    crowded, found = _Crowded(model, roomy, placed), []
    could = len(roomy.most())
    if could > len(placed):
        low, high = 1, sum(skill.load for skill in model.skills)
        while low < high:
            by = (low + high) // 2
            enough = crowded.raised(by).can_place(frozenset(), count=could) is not None
            low, high = (low, by) if enough else (by + 1, high)
        found.append(
            f"A limit of task load that is higher by {high} on each dive places {could} of the "
            f"{len(model.skills)} skills."
        )
    most, best = len(placed), None
    for i, dive in enumerate(model.dives):
        again = crowded.with_again(i)
        if again.can_place(frozenset(), count=most + 1) is not None:
            most, best = len(again.most()), dive
    if best is not None:
        found.append(
            f"One more dive like '{best.id}', right after it, places {most} of the "
            f"{len(model.skills)} skills."
        )
    return tuple(found)


@dataclass(frozen=True)
class _Crowded:
    """Cures for a skill that some dive would allow: each is tried before it is named."""

    model: SkillModel
    roomy: SkillModel
    placed: frozenset[str]

    def raised(self, by: int) -> SkillModel:
        """Return the model with each limit raised."""
        return self.model.with_caps([cap + by for cap in self.model.caps])

    def with_again(self, place: int) -> SkillModel:
        """Return the model with one of the dives done once more, right after it."""
        dives, caps = [*self.model.dives], [*self.model.caps]
        dives.insert(place + 1, replace(dives[place], id=f"{dives[place].id} again"))
        caps.insert(place + 1, caps[place])
        return replace(self.model, dives=tuple(dives), caps=tuple(caps))

    def higher_limit(self, skill: str) -> tuple[str, ...]:
        """Return by how much all limits must rise so that the skill joins those placed."""
        wanted = self.placed | {skill}
        if self.roomy.can_place(wanted) is None:
            return ()
        high = next(by for by in count(1) if self.raised(by).can_place(wanted) is not None)
        return (f"A limit of task load that is higher by {high} on each dive.",)

    def one_more_dive(self, skill: str) -> tuple[str, ...]:
        """Return which dive, done once more, gives the skill a place beside those placed."""
        for i, dive in enumerate(self.model.dives):
            if self.with_again(i).can_place(self.placed | {skill}) is not None:
                return (f"One more dive like '{dive.id}', right after it.",)
        return ()
