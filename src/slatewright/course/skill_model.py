"""Which skill on which dive, as an integer programme; exact, and the same on each machine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Any, Final

from slatewright.course.skill_dives import PlannedDive, obstacles
from slatewright.course.skills import Skill, SkillLibrary

_OPTIMAL: Final = 0
_INFEASIBLE: Final = 2
Places = Mapping[str, int]
"""Of each skill that has one the place of its dive, counted from 0."""


@dataclass(frozen=True)
class SkillModel:
    """Skills to be placed, the dives they may go on, and how much each may bear.

    Parameters
    ----------
    library
        All skills.
    skills
        Those to be placed, in teaching order; none waits for one that is neither among them nor
        shown already.
    dives
        The dives, in order.
    caps
        The most task load of each.
    """

    library: SkillLibrary
    skills: tuple[Skill, ...]
    dives: tuple[PlannedDive, ...]
    caps: tuple[int, ...]

    def with_caps(self, caps: Sequence[int]) -> SkillModel:
        """Return the same with other limits of task load.

        Parameters
        ----------
        caps
            One for each dive.
        """
        other = replace(self, caps=tuple(caps))
        if self.skills and self.dives:  # neither hangs on the limits, and both take time
            vars(other).update(allowed=self.allowed, _rows=self._rows)
        return other

    @cached_property
    def allowed(self) -> Mapping[str, tuple[bool, ...]]:
        """For each skill whether it may be shown on each dive, whatever is on the others."""
        return {
            skill.id: tuple(not obstacles(self.library, skill, dive) for dive in self.dives)
            for skill in self.skills
        }

    def most(self) -> Places:
        """Return places for as many of the skills as can be placed at once."""
        costs = [[-1.0] * len(self.dives)] * len(self.skills)
        return self._solved(costs, required=frozenset()) or {}

    def can_place(self, required: frozenset[str], *, count: int = 0) -> Places | None:
        """Return places for some of the skills, and for others or not; None if there are none.

        Parameters
        ----------
        required
            The ids of those that must be placed.
        count
            How many must be placed at least.
        """
        flat = [[0.0] * len(self.dives)] * len(self.skills)
        return self._solved(flat, required=required, count=count)

    def best(self, required: frozenset[str]) -> Places:
        """Return the one best way to place some of the skills and no others.

        The peak of the load, as a share of each dive's limit, is as low as can be; then each skill
        in teaching order comes as early as the ones before it let it. So there is one answer.

        Parameters
        ----------
        required
            The ids of the skills; they can be placed.
        """
        level = self._levelled(required)
        fixed: dict[str, int] = {}
        places = level.can_place(required)
        for skill in level.skills:
            if places is None:
                message = "skills that can be placed were not"
                raise RuntimeError(message)
            if skill.id not in required:
                fixed[skill.id] = -1
                continue
            earliest = level.allowed[skill.id].index(True)
            for need in skill.before:
                if need in fixed:
                    earliest = max(earliest, fixed[need] + skill.needs_earlier_dive(need))
            if places[skill.id] > earliest:
                costs = [
                    [float(d) if s.id == skill.id else 0.0 for d in range(len(level.dives))]
                    for s in level.skills
                ]
                places = level._solved(costs, required=required, fixed=fixed)  # noqa: SLF001 - of the same class
                if places is None:
                    continue
            fixed[skill.id] = places[skill.id]
        return {skill: place for skill, place in fixed.items() if place >= 0}

    def _levelled(self, required: frozenset[str]) -> SkillModel:
        """Return the model with the lowest limits, each cut by the same share, that still do."""
        shares = sorted({Fraction(k, cap) for cap in self.caps for k in range(1, cap + 1)})
        need = sum(skill.load for skill in self.skills if skill.id in required)
        cut = [self.with_caps([int(share * cap) for cap in self.caps]) for share in shares]
        low = next((i for i, model in enumerate(cut) if sum(model.caps) >= need), len(cut) - 1)
        high = len(cut) - 1
        while low < high:
            middle = (low + high) // 2
            if cut[middle].can_place(required) is None:
                low = middle + 1
            else:
                high = middle
        return cut[high]

    def _solved(
        self,
        costs: Sequence[Sequence[float]],
        *,
        required: frozenset[str],
        count: int = 0,
        fixed: Mapping[str, int] | None = None,
    ) -> Places | None:
        """Return the places of least cost; None if there are none."""
        import numpy as np  # noqa: PLC0415 - start-up is budgeted
        from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - same

        wide = len(self.dives)
        if not self.skills or not wide:
            return None if required or count else {}
        ceiling = np.array([self.allowed[skill.id] for skill in self.skills], dtype=float)
        floor = np.zeros_like(ceiling)
        for i, skill in enumerate(self.skills):
            place = (fixed or {}).get(skill.id)
            if place is not None:
                ceiling[i] = 0.0
                if place >= 0:
                    floor[i, place] = ceiling[i, place] = 1.0
        once = [float(skill.id in required) for skill in self.skills]
        waits = self._rows.shape[0] - len(once) - wide - 1
        least = np.array([*once, *[0.0] * wide, float(count), *[-np.inf] * waits])
        most = np.array([*[1.0] * len(once), *map(float, self.caps), np.inf, *[0.0] * waits])
        answer = milp(
            np.ravel(np.array(costs)),
            integrality=np.ones(ceiling.size),
            bounds=Bounds(floor.ravel(), ceiling.ravel()),
            constraints=LinearConstraint(self._rows, least, most),
            options={"mip_rel_gap": 0.0},
        )
        if answer.status == _INFEASIBLE:
            return None
        if answer.status != _OPTIMAL:
            raise RuntimeError(answer.message)
        chosen = np.round(answer.x).reshape(ceiling.shape)
        return {
            skill.id: int(chosen[i].argmax())
            for i, skill in enumerate(self.skills)
            if chosen[i].any()
        }

    @cached_property
    def _rows(self) -> Any:  # noqa: ANN401 - scipy has no types
        """The rows of the constraints: each skill once, each dive's load, the count, the waits."""
        from scipy.sparse import csr_array  # noqa: PLC0415 - start-up is budgeted

        wide = len(self.dives)
        index = {skill.id: i * wide for i, skill in enumerate(self.skills)}
        rows: list[dict[int, float]] = [{at + d: 1.0 for d in range(wide)} for at in index.values()]
        rows += [{index[s.id] + d: float(s.load) for s in self.skills} for d in range(wide)]
        rows.append({at + d: 1.0 for at in index.values() for d in range(wide)})
        for skill in self.skills:  # by each dive no more of a skill than of what it needs before
            for need in skill.before:
                if need not in index:
                    continue
                lag = int(skill.needs_earlier_dive(need))
                for d in range(wide):
                    row = {index[skill.id] + e: 1.0 for e in range(d + 1)}
                    rows.append(row | {index[need] + e: -1.0 for e in range(d + 1 - lag)})
        entries = [(i, j, value) for i, row in enumerate(rows) for j, value in row.items()]
        i, j, value = zip(*entries, strict=True)
        return csr_array((value, (i, j)), shape=(len(rows), wide * len(self.skills)))
