"""All the ways to make a mix out of what is in a cylinder and the gases at hand: mole balance.

Oxygen, helium and nitrogen each have to come out right, so a recipe solves three equations. What
stays in the cylinder (a share between the least that a valve leaves and everything) and the amount
of each gas are the unknowns. Every objective here is linear, or has a fixed fee for each gas, so
the best recipe is a corner of the region of all recipes; the corners are few, and all of them are
listed. The cylinder takes the target's moles and no others, by the equation of state; whether the
sources have the pressure for it is asked later.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, TypeAlias

from slatewright.physics.amount import Amount, Gas

Column: TypeAlias = tuple[float, float, float]
_AXES: Final[tuple[Column, ...]] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
_NONE: Final = 1e-10  # of the whole: what is less is rounding
_FLAT: Final = 1e-9
_SAME: Final = 1e-7  # two recipes that differ by less are one


@dataclass(frozen=True, slots=True)
class Recipe:
    """One way to make a mix.

    Parameters
    ----------
    kept_share
        The share of what was in the cylinder that stays in, 0 to 1 [-].
    added_mol
        Amount of each gas, in the order of the gases [mol].
    """

    kept_share: float
    added_mol: tuple[float, ...]

    @property
    def drains(self) -> bool:
        """Whether something has to be let out."""
        return self.kept_share < 1.0

    @property
    def steps(self) -> int:
        """Drain and additions together."""
        return sum(amount > 0.0 for amount in self.added_mol) + self.drains


def recipes(
    start: Amount | None, least_share: float, target: Amount, gases: Sequence[Gas]
) -> tuple[Recipe, ...]:
    """Return all corner recipes.

    Parameters
    ----------
    start
        What is in the cylinder; None for a vacuum.
    least_share
        The share of it that cannot be drained through the valve, 0 to 1 [-].
    target
        What the cylinder is to hold.
    gases
        What may be added.

    Returns
    -------
    tuple
        None twice; empty if the mix cannot be made.
    """
    whole = target.total_mol
    columns = [_scaled(Amount.of(gas, 1.0), 1.0) for gas in gases]
    goal = _scaled(target, whole)
    found: dict[tuple[int, ...], Recipe] = {}

    def keep(share: float, parts: Sequence[float]) -> None:
        key = tuple(round(number / _SAME) for number in (share, *parts))
        found.setdefault(key, Recipe(share, tuple(part * whole for part in parts)))

    if start is None:
        for parts in _corners(goal, columns):
            keep(1.0, parts)
        return tuple(found.values())
    inside = _scaled(start, whole)
    for share in dict.fromkeys((1.0, least_share)):
        rest = [g - share * s for g, s in zip(goal, inside, strict=True)]
        for parts in _corners((rest[0], rest[1], rest[2]), columns):
            keep(share, parts)
    for share, *parts in _corners(goal, [inside, *columns]):
        if least_share < share < 1.0:
            keep(share, parts)
    return tuple(found.values())


def _scaled(amount: Amount, whole_mol: float) -> Column:
    return (amount.o2_mol / whole_mol, amount.he_mol / whole_mol, amount.n2_mol / whole_mol)


def _corners(goal: Column, columns: Sequence[Column]) -> Iterator[list[float]]:
    """Yield the non-negative solutions with at most three parts.

    Unit columns stand in where fewer than three gases do; a solution that needs one is none.
    """
    count = len(columns)
    every = [*columns, *_AXES]
    for chosen in combinations(range(count + len(_AXES)), 3):
        i, j, k = chosen
        solved = _cramer(every[i], every[j], every[k], goal)
        if solved is None:
            continue
        parts = dict(zip(chosen, solved, strict=True))
        if all(part > -_NONE if n < count else abs(part) < _NONE for n, part in parts.items()):
            yield [_clean(parts.get(n, 0.0)) for n in range(count)]


def _clean(part: float) -> float:
    return part if part > _NONE else 0.0


def _cramer(a: Column, b: Column, c: Column, goal: Column) -> Column | None:
    whole = _determinant(a, b, c)
    if abs(whole) < _FLAT:
        return None
    return (
        _determinant(goal, b, c) / whole,
        _determinant(a, goal, c) / whole,
        _determinant(a, b, goal) / whole,
    )


def _determinant(a: Column, b: Column, c: Column) -> float:
    return (
        a[0] * (b[1] * c[2] - b[2] * c[1])
        - b[0] * (a[1] * c[2] - a[2] * c[1])
        + c[0] * (a[1] * b[2] - a[2] * b[1])
    )
