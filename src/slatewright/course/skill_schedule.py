"""A proposal which skill is shown on which dive: it covers all, or says which cannot be."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from slatewright.course.skill_cures import Unplaced, cures_for_all, unplaced
from slatewright.course.skill_dives import DiveSkills, PlannedDive, in_order
from slatewright.course.skill_model import SkillModel
from slatewright.course.skills import Skill, SkillLibrary
from slatewright.errors import InputError


@dataclass(frozen=True, slots=True)
class Proposal:
    """What is proposed.

    Parameters
    ----------
    dives
        What is shown on each dive, in their order; on a dive the skills stand in the order in
        which they are shown.
    loads
        The task load of each of these dives.
    unplaced
        The skills that have no place, with reason and cure; empty if all have one.
    cures
        What would place more of them at once, each by itself.
    """

    dives: tuple[DiveSkills, ...]
    loads: tuple[int, ...]
    unplaced: tuple[Unplaced, ...]
    cures: tuple[str, ...] = ()

    @property
    def covers_all(self) -> bool:
        """Whether each skill has its dive."""
        return not self.unplaced


def propose_skills(
    dives: Sequence[PlannedDive],
    library: SkillLibrary,
    *,
    shown: Collection[str] = (),
    wanted: Collection[str] | None = None,
) -> Proposal:
    """Propose which skill is shown on which dive.

    The proposal is exact. If all skills can be covered, it covers them; else as many as can be, and
    of the ways to leave out as few the one that keeps those that are taught first. Of all ways to
    cover them it is the one in which the greatest task load, as a share of each dive's limit, is
    least, and in which then each skill in teaching order comes as early as it can. There is only
    one such, so that it does not hang on the solver.

    Parameters
    ----------
    dives
        The planned dives.
    library
        The skills.
    shown
        The ids of the skills that were shown before the first of these dives.
    wanted
        The ids of the skills to be covered, to which all that they need is added; None for all.

    Returns
    -------
    Proposal
        The proposal.

    Raises
    ------
    InputError
        If two dives have one id or one place, or a skill is unknown.
    """
    ordered = in_order(dives)
    skills = _to_place(library, shown, wanted)
    model = SkillModel(library, skills, ordered, tuple(dive.load_limit for dive in ordered))
    every = frozenset(skill.id for skill in skills)
    placed = every if model.can_place(every) is not None else _most_placed(model)
    places = model.best(placed) if placed else {}
    shown_on = tuple(
        tuple(skill for skill in skills if places.get(skill.id) == i) for i in range(len(ordered))
    )
    return Proposal(
        tuple(
            DiveSkills(dive.id, tuple(skill.id for skill in on))
            for dive, on in zip(ordered, shown_on, strict=True)
        ),
        tuple(sum(skill.load for skill in on) for on in shown_on),
        unplaced(model, placed) if placed != every else (),
        cures_for_all(model, placed) if placed != every else (),
    )


def _to_place(
    library: SkillLibrary, shown: Collection[str], wanted: Collection[str] | None
) -> tuple[Skill, ...]:
    for name, ids in (("shown", shown), ("wanted", wanted or ())):
        for skill in sorted(set(ids)):
            try:
                library.skill(skill)
            except InputError as error:
                raise InputError(error.what, where=name, right=error.right) from None
    asked = set(library.by_id) if wanted is None else set(wanted)
    left = [skill for skill in library.skills if skill.id in asked and skill.id not in shown]
    needed = {skill.id for skill in left}
    while left:
        for need in left.pop().before:
            if need not in needed and need not in shown:
                needed.add(need)
                left.append(library.by_id[need])
    return tuple(skill for skill in library.in_teaching_order if skill.id in needed)


def _most_placed(model: SkillModel) -> frozenset[str]:
    """Return the skills to place where not all can be: the most, those taught first kept first."""
    now = model.most()
    kept: frozenset[str] = frozenset()
    for skill in model.skills:
        wanted = kept | {skill.id}
        if not wanted <= now.keys():
            other = (
                model.can_place(wanted, count=len(now)) if any(model.allowed[skill.id]) else None
            )
            if other is None:
                continue
            now = other
        kept = wanted
    return kept
