"""One failure that strikes one diver: what everybody has then, and in which ways it may end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from slatewright.decompression.draw import WAYS_TO_BREATHE
from slatewright.dive.plan import Plan, Use
from slatewright.physics.mixture import Mixture
from slatewright.supply.breathing import KINDS, rmv_of
from slatewright.supply.kit import Diver, Team
from slatewright.supply.wayhome.failures import Failure
from slatewright.supply.wayhome.ladders import LadderBook, index_set
from slatewright.supply.wayhome.moments import Left
from slatewright.supply.wayhome.profile import Profile
from slatewright.supply.wayhome.ways import Hands

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Task:
    """A failure, and whom it strikes.

    Parameters
    ----------
    row
        Which failure of the grid.
    failure
        What fails.
    order
        The divers, as numbered in the team: the one who is struck first. Those who are not there
        have nothing and breathe nothing.
    hands
        The gases at hand.
    available_mol
        Shape (minutes, divers, gases): what each has left, in that order, after the loss [mol].
    full_mol
        Shape (divers, gases): what each could breathe at the start of the dive [mol].
    rmv_l_per_min
        Shape (divers, 8): breathing of each in each of
        `slatewright.decompression.draw.WAYS_TO_BREATHE` [L/min].
    stressed_l_per_min
        Shape (divers,): stressed breathing, which sharing brings; 0 where nobody shares [L/min].
    meant
        Shape (minutes,): True where the failure applies.
    """

    row: int
    failure: Failure
    order: tuple[int, ...]
    hands: Hands
    available_mol: NDArray[np.float64]
    full_mol: NDArray[np.float64]
    rmv_l_per_min: NDArray[np.float64]
    stressed_l_per_min: NDArray[np.float64]
    meant: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Trial:
    """What is changed to see whether it would cure.

    Parameters
    ----------
    more_mol
        Added at the start to the cylinders of a gas that each diver has, lost with them [mol].
    spare_mol
        In a cylinder of its own that is not lost with the others; each diver has one of a gas that
        all lose, else only the one who is struck [mol].
    minutes
        The only minutes that are looked at; None for all.
    """

    more_mol: Mapping[Mixture, float] = field(default_factory=dict)
    spare_mol: Mapping[Mixture, float] = field(default_factory=dict)
    minutes: frozenset[int] | None = None


def tasks_of(
    failures: tuple[Failure, ...],
    profiles: dict[int, Profile],
    plan: Plan,
    team: Team,
    book: LadderBook,
    trial: Trial,
) -> list[Task]:
    """Return all tasks of a grid.

    Parameters
    ----------
    failures
        The rows.
    profiles
        The dive by how many levels it was deeper.
    plan, team
        The plan, and who dives it with what.
    book
        The ladders, which number the gases.
    trial
        What is changed.
    """
    tasks = []
    planned = profiles[0].moments
    held_by: dict[object, NDArray[np.float64]] = {}  # many failures take the same from a diver
    full_of = {
        (levels, who): _full_mol(left, book, trial)
        for levels, profile in profiles.items()
        for who, left in enumerate(profile.left)
    }
    bottom = index_set(book.mixes, [gas.mix for gas in plan.gases if gas.use is Use.BOTTOM])
    for row, failure in enumerate(failures):
        meant = np.ones(planned.minutes.size, dtype=np.bool_)
        if failure.levels_deeper:
            meant = planned.staying & planned.at_depth
        if trial.minutes is not None:
            meant = meant & np.isin(planned.minutes, sorted(trial.minutes))
        profile = profiles[failure.levels_deeper]
        for struck in _struck(failure, team):
            order = (struck, *(i for i in range(len(team.divers)) if i != struck))
            there = 1 if failure.alone else len(order)
            available = np.zeros((planned.minutes.size, len(order), len(book.mixes)))
            full = np.zeros(available.shape[1:])
            rmv = np.zeros((len(order), WAYS_TO_BREATHE))
            stressed = np.zeros(len(order))
            for place, who in enumerate(order[:there]):
                left, diver = profile.left[who], team.divers[who]
                struck_by = (failure.lost, failure.one_cylinder) if place == 0 else None
                key = (failure.levels_deeper, who, failure.lost_by_all, struck_by)
                held = held_by.get(key)
                if held is None:
                    held = held_by[key] = _held_mol(
                        left, failure, book, trial, is_struck=place == 0
                    )
                available[: held.shape[0], place] = held
                full[place] = full_of[failure.levels_deeper, who]
                if place and failure.partners_on_loops:
                    continue  # who is on a loop breathes none of it
                rmv[place] = _rmv_l_per_min(diver, failure)
                stressed[place] = diver.rmv.stressed_l_per_min if there > 1 else 0.0
            tasks.append(
                Task(
                    row=row,
                    failure=failure,
                    order=order,
                    hands=_hands(failure, book, bottom, team, order[:there], trial),
                    available_mol=available,
                    full_mol=full,
                    rmv_l_per_min=rmv,
                    stressed_l_per_min=stressed,
                    meant=meant,
                )
            )
    return tasks


def _struck(failure: Failure, team: Team) -> list[int]:
    """Return the divers whom a failure may strike, of those who are alike only one."""
    one = failure.lost or failure.one_cylinder or failure.alone or failure.partners_on_loops
    if not one:
        return [0]
    found: dict[object, int] = {}
    for i, diver in enumerate(team.divers):
        found.setdefault(_likeness(diver), i)
    return list(found.values())


def _rmv_l_per_min(diver: Diver, failure: Failure) -> tuple[float, ...]:
    """Return breathing by kind of leg, and while held at depth and at a stop."""
    kinds = rmv_of(diver)
    if failure.sorting_min > 0.0:
        return (*kinds, diver.rmv.stressed_l_per_min, diver.rmv.stressed_l_per_min)
    return (*kinds, kinds[KINDS.index("bottom")], kinds[KINDS.index("stop")])


def _likeness(diver: Diver) -> object:
    kit = tuple(
        (held.cylinder, held.mix, held.start_gauge_bar, held.fill_temperature_k, held.place)
        for held in diver.kit
    )
    return diver.rmv, diver.works_at_depth, kit


def _hands(
    failure: Failure,
    book: LadderBook,
    bottom: frozenset[int],
    team: Team,
    order: tuple[int, ...],
    trial: Trial,
) -> Hands:
    carried: list[frozenset[int]] = [
        index_set(book.mixes, [held.mix for held in team.divers[who].kit]) for who in order
    ]
    gone = index_set(book.mixes, failure.lost_by_all)
    spare = index_set(book.mixes, tuple(trial.spare_mol))
    own = (carried[0] - gone - index_set(book.mixes, failure.lost)) | spare
    team_has = own.union(*carried[1:]) - (gone - spare)
    return Hands(own=own, team=team_has, bottom=bottom)


def _held_mol(
    left: Left, failure: Failure, book: LadderBook, trial: Trial, *, is_struck: bool
) -> NDArray[np.float64]:
    """Return shape (minutes, gases): what a diver has after the loss."""
    stores = left.mol.copy()
    for mix, added in trial.more_mol.items():
        column = next((i for i, store in enumerate(left.stores) if store.mix == mix), None)
        if column is not None:
            stores[:, column] += added
    gone = set(failure.lost_by_all) | (set(failure.lost) if is_struck else set())
    for column, store in enumerate(left.stores):
        if store.mix in gone:
            stores[:, column] = 0.0
    if is_struck and failure.one_cylinder is not None:
        columns = [i for i, s in enumerate(left.stores) if s.mix == failure.one_cylinder]
        if columns:
            largest = stores[:, columns] * left.largest_share[columns]
            which = np.argmax(largest, axis=1)
            minute = np.arange(stores.shape[0])
            stores[minute, np.array(columns)[which]] -= largest[minute, which]
    held = _by_gas(stores, left.gas, len(book.mixes))
    for mix, added in trial.spare_mol.items():
        if is_struck or mix in failure.lost_by_all:
            held[:, book.mixes.index(mix)] += added
    return held


def _full_mol(left: Left, book: LadderBook, trial: Trial) -> NDArray[np.float64]:
    full: NDArray[np.float64] = _by_gas(left.full_mol[np.newaxis], left.gas, len(book.mixes))[0]
    for added in (trial.more_mol, trial.spare_mol):
        for mix, amount in added.items():
            full[book.mixes.index(mix)] += amount
    return full


def _by_gas(stores: NDArray[np.float64], gas: NDArray[np.int64], gases: int) -> NDArray[np.float64]:
    total = np.zeros((stores.shape[0], gases))
    for column, i in enumerate(gas.tolist()):
        total[:, i] += stores[:, column]
    return total
