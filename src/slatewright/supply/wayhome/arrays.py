"""What the search takes, as the kernel wants it: arrays over moments, losses and sets of gases."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from slatewright.decompression.supplied import Losses, Moments, Sets, Tries

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from slatewright.supply.wayhome.ladders import LadderBook
    from slatewright.supply.wayhome.profile import Profile
    from slatewright.supply.wayhome.tasks import Task
    from slatewright.supply.wayhome.ways import Chunk


def moments_of_all(profiles: Mapping[int, Profile], book: LadderBook) -> Moments:
    """Return the moments of all profiles, one after the other, each as many as the planned dive.

    Parameters
    ----------
    profiles
        The dive by how many levels it was deeper; the planned one first. Deeper ones end sooner:
        what is missing at their ends is filled up, and never looked at.
    book
        The ladders, which number the gases.
    """
    every = list(profiles.values())
    size = every[0].moments.minutes.size
    moments = [profile.moments for profile in every]
    depth_m = _floats((m.depth_m for m in moments), size)
    reach_m = _floats((m.reach_m for m in moments), size)
    gases = [np.full(depth_m.shape, i) for i in range(len(book.mixes))]
    return Moments(
        depth_m=depth_m,
        minute=_floats((m.minutes for m in moments), size),
        level=_whole((m.level for m in moments), size),
        mouth=_whole((m.gas for m in moments), size),
        at_depth=_whole((m.at_depth for m in moments), size),
        first_stop=_whole((p.first_stop for p in every), size),
        tension_bar=_floats((p.tension_bar for p in every), size),
        over_bar=np.array([book.over_limit_bar(gas, depth_m) for gas in gases]).T.copy(),
        under_bar=np.array([book.under_floor_bar(gas, reach_m) for gas in gases]).T.copy(),
    )


def losses_of(tasks: Sequence[Task], profiles: Mapping[int, Profile]) -> Losses:
    """Return what the failures leave.

    Parameters
    ----------
    tasks
        The failures, and whom they strike.
    profiles
        The dive by how many levels it was deeper.
    """
    size = tasks[0].meant.size
    first = {levels: place * size for place, levels in enumerate(profiles)}
    failures = [task.failure for task in tasks]
    return Losses(
        first_moment=np.array([first[failure.levels_deeper] for failure in failures], np.int64),
        slow=np.array([failure.slow for failure in failures], np.int64),
        hold_min=np.array([failure.hold_min for failure in failures], np.float64),
        available_mol=np.array([task.available_mol for task in tasks]),
        rmv_l_per_min=np.array([task.rmv_l_per_min for task in tasks]),
        stressed_l_per_min=np.array([task.stressed_l_per_min for task in tasks]),
    )


def sets_of(book: LadderBook, moments: Moments, known: Sets | None = None) -> Sets:
    """Return all sets that a book has so far.

    Parameters
    ----------
    book
        The ladders.
    moments
        Where ascents begin.
    known
        Those that it had before, for the same moments; None if there were none.
    """
    every, gases = book.every, range(len(book.mixes))
    before = 0 if known is None else len(known.start_gas)
    reach_m = (moments.level * book.plan.settings.stop_step_m).astype(np.float64)
    ladders = book.ladders
    rungs = [(ladders[r.number].gas_at_level, ladders[r.number].pause_at_level) for r in every]
    start_gas = book.start_gases(every[before:], moments.mouth, moments.depth_m, reach_m)
    return Sets(
        rungs=np.array(rungs, np.int64),
        filled=book.gas_at_level[[r.number for r in every]],
        has=np.array([[i in r.gases for i in gases] for r in every], np.int64),
        without=np.array([book.without(r) for r in every], np.int64),
        leads_up=np.array([r.leads_up for r in every], np.int64),
        over_bar=np.array([r.over_bar for r in every]),
        under_bar=np.array([r.under_bar for r in every]),
        start_gas=start_gas if known is None else np.concatenate([known.start_gas, start_gas]),
    )


def tries_of(chunks: Sequence[Chunk], minutes: int, gases: int) -> Tries:
    """Return the ways of each loss, tried from each minute.

    Parameters
    ----------
    chunks
        For each loss its ways; losses may share a chunk, which is then told once.
    minutes, gases
        How many there are.
    """
    distinct = {id(chunk): chunk for chunk in chunks}
    every = [way for chunk in distinct.values() for way in chunk.ways]
    ends = np.cumsum([0, *(len(chunk.ways) for chunk in distinct.values())])
    places = dict(zip(distinct, ends.tolist(), strict=False))
    first = np.array([places[id(chunk)] for chunk in chunks], np.int64)
    count = np.array([len(chunk.ways) for chunk in chunks], np.int64)
    numbers = [chunk.number + i for chunk in distinct.values() for i in range(len(chunk.ways))]
    untouched = np.zeros((len(every), gases), np.int64)
    for row, way in enumerate(every):
        untouched[row, list(way.untouched)] = 1
    return Tries(
        first=np.repeat(first, minutes),
        last=np.repeat(first + count, minutes),
        raised=np.ones(first.size * minutes),
        number=np.array(numbers, np.int64),
        own=np.array([way.own.index for way in every], np.int64),
        others=np.array([way.others.index for way in every], np.int64),
        in_turn=np.array([way.in_turn for way in every], np.int64),
        hurried=np.array([way.hurried for way in every], np.int64),
        within=np.array([not way.beyond for way in every], np.int64),
        counts=np.array([not (way.beyond or way.hurried) for way in every], np.int64),
        untouched=untouched,
    )


def _floats(arrays: Iterable[NDArray[Any]], size: int) -> NDArray[np.float64]:
    return np.concatenate([_filled_up(array, size) for array in arrays]).astype(np.float64)


def _whole(arrays: Iterable[NDArray[Any]], size: int) -> NDArray[np.int64]:
    return np.concatenate([_filled_up(array, size) for array in arrays]).astype(np.int64)


def _filled_up(array: NDArray[Any], size: int) -> NDArray[Any]:
    """Return an array with zeros added at its end up to a size."""
    filled = np.zeros((size, *array.shape[1:]), array.dtype)
    filled[: array.shape[0]] = array
    return filled
