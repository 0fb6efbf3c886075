"""Two entries of one dive: found with the reason, and never joined unasked.

Logs are rounded, each in its unit: 30 m is 98 ft, and 100 ft by habit. What is alike within the
coarser of two roundings may be the same dive; the figures below are common practice, no published
source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final, TypeAlias

from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive
from slatewright.physics.units import METRES_PER_FOOT

CLOCKS_MIN: Final = 10.0
"""Two clocks, or clock and memory, differ by so much."""
SENSORS_M: Final = 1.0
"""Two gauges on one dive differ by so much."""
TIMERS_MIN: Final = 3.0
"""Two timers that start and stop at other depths differ by so much."""
_ROUND_FEET: Final = 10.0
_ROUND_FEET_STEP: Final = 3.0  # a round 100 ft stands for 98 to 102
_MOST_ZONES_H: Final = 14
_ZONE_SLACK_MIN: Final = 3.0
_SLACK: Final = 1e-6
_SAME_M: Final = 0.005
_SAME_MIN: Final = 0.01
_MIDNIGHT_MIN: Final = 1440.0


class Sameness(StrEnum):
    """How sure it is that two entries are one dive."""

    EXACT = "the same"
    LIKELY = "likely the same"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two entries that tell of one dive.

    Parameters
    ----------
    first, second
        Their positions, counted from 0.
    sameness
        How sure it is.
    why
        The reason.
    """

    first: int
    second: int
    sameness: Sameness
    why: str


def duplicates(first: Sequence[LoggedDive], second: Sequence[LoggedDive]) -> tuple[Pair, ...]:
    """Return which dives stand in both of two logbooks.

    Parameters
    ----------
    first, second
        The logbooks.

    Returns
    -------
    tuple of Pair
        In the order of the first. A dive is in one pair at most, the best for it, so that two like
        dives of a day meet two like dives.
    """
    twins = _twins(first, second)
    taken_first, taken_second = {i for i, _ in twins}, {j for _, j in twins}
    index = _index(second, taken_second)
    found = [
        (*match, i, j)
        for i, dive in enumerate(first)
        if i not in taken_first
        for j in _near(dive, index)
        if (match := _match(dive, second[j]))
    ]
    return _pairs(first, second, twins + _one_to_one(found, taken_first, taken_second))


def duplicates_within(dives: Sequence[LoggedDive]) -> tuple[Pair, ...]:
    """Return which entries of one logbook tell of one dive.

    Parameters
    ----------
    dives
        The logbook.

    Returns
    -------
    tuple of Pair
        A dive is in one pair at most: of three entries of a dive, two at first.
    """
    twins = []
    waiting: dict[_Twin, int] = {}
    for position, dive in enumerate(dives):
        twin = _twin(dive)
        if twin in waiting:
            twins.append((waiting.pop(twin), position))
        else:
            waiting[twin] = position
    taken = {position for pair in twins for position in pair}
    index = _index(dives, taken)
    found = [
        (*match, i, j)
        for i, dive in enumerate(dives)
        if i not in taken
        for j in _near(dive, index)
        if i < j and (match := _match(dive, dives[j]))
    ]
    return _pairs(dives, dives, twins + _one_to_one(found, taken, taken))


_Key: TypeAlias = tuple[int, int]
_Twin: TypeAlias = tuple[object, ...]
_Match: TypeAlias = tuple[Sameness, float, str]
_Found: TypeAlias = tuple[Sameness, float, str, int, int]


def _twin(dive: LoggedDive) -> _Twin:
    """Return what is the same in entries that are alike to the last digit."""
    return dive.on_date, dive.began_at, dive.minutes, dive.greatest, dive.number, dive.mixes


def _twins(first: Sequence[LoggedDive], second: Sequence[LoggedDive]) -> list[tuple[int, int]]:
    """Pair off what is alike to the last digit: nothing is better, and it may be a whole file."""
    waiting: defaultdict[_Twin, list[int]] = defaultdict(list)
    for position in range(len(second) - 1, -1, -1):
        waiting[_twin(second[position])].append(position)
    return [
        (position, waiting[twin].pop())
        for position, dive in enumerate(first)
        if waiting.get(twin := _twin(dive))
    ]


def _index(dives: Sequence[LoggedDive], taken: set[int]) -> dict[_Key, list[int]]:
    """Return where the dives of a day and a whole metre stand."""
    index: defaultdict[_Key, list[int]] = defaultdict(list)
    for position, dive in enumerate(dives):
        if position in taken:
            continue
        index[dive.on_date.toordinal(), int(dive.greatest.metres)].append(position)
    return dict(index)


def _near(dive: LoggedDive, index: dict[_Key, list[int]]) -> Iterator[int]:
    day, metre = dive.on_date.toordinal(), int(dive.greatest.metres)
    days = [day]
    if dive.began_at is not None:  # by the other clock perhaps beyond midnight
        minute = dive.began_at.hour * 60.0 + dive.began_at.minute
        days += [day - 1] if minute <= CLOCKS_MIN else []
        days += [day + 1] if minute >= _MIDNIGHT_MIN - CLOCKS_MIN - 1.0 else []
    for near_day in days:
        for near_metre in (metre - 1, metre, metre + 1):
            yield from index.get((near_day, near_metre), ())


def _one_to_one(
    found: list[_Found], taken_first: set[int], taken_second: set[int]
) -> list[tuple[int, int]]:
    pairs = []
    found.sort(key=lambda f: (f[0] is not Sameness.EXACT, f[1], f[3], f[4]))
    for _, _, _, i, j in found:
        if i not in taken_first and j not in taken_second:
            taken_first.add(i)
            taken_second.add(j)
            pairs.append((i, j))
    return pairs


def _pairs(
    first: Sequence[LoggedDive], second: Sequence[LoggedDive], chosen: list[tuple[int, int]]
) -> tuple[Pair, ...]:
    """Return the chosen pairs with their reasons, which are put into words for these alone."""
    pairs = []
    for i, j in sorted(chosen):
        a, b = first[i], second[j]
        match = _match(a, b)
        if match is not None:
            sameness, _, start = match
            pairs.append(Pair(i, j, sameness, f"{start}, {_figures(a, b)}{_but(a, b)}"))
    return tuple(pairs)


def _match(a: LoggedDive, b: LoggedDive) -> _Match | None:
    """Return how alike two dives are, how far apart, and how they began; None if not at all."""
    apart = _Apart(
        abs(a.minutes - b.minutes),
        abs(a.greatest.metres - b.greatest.metres),
        max(_step_min(a.minutes), _step_min(b.minutes)),
        max(_step_m(a.greatest), _step_m(b.greatest)),
    )
    if a.began_at is None or b.began_at is None:
        return _match_of_days(a, b, apart)
    return _match_of_clocks(a, b, apart)


@dataclass(frozen=True, slots=True)
class _Apart:
    """How far apart two dives are, and to how much their logs were rounded."""

    minutes: float
    depth_m: float
    step_min: float
    step_m: float

    @property
    def same(self) -> bool:
        return self.depth_m <= _SAME_M and self.minutes <= _SAME_MIN

    @property
    def rounded(self) -> bool:
        return self.depth_m < self.step_m - _SLACK and self.minutes <= self.step_min + _SLACK

    @property
    def within_gauges(self) -> bool:
        return (
            self.depth_m <= max(self.step_m, SENSORS_M)
            and self.minutes <= max(self.step_min, TIMERS_MIN) + _SLACK
        )

    def distance(self, a: LoggedDive, b: LoggedDive) -> float:
        """Return a figure by which the better of several matches is taken."""
        return self.minutes + self.depth_m + 10.0 * (a.number != b.number)


def _match_of_days(a: LoggedDive, b: LoggedDive, apart: _Apart) -> _Match | None:
    if a.on_date != b.on_date or not apart.rounded:
        return None
    distance = apart.distance(a, b)
    if apart.same and a.number and a.number == b.number and not _gases_differ(a, b):
        return Sameness.EXACT, distance, "the same day and number"
    return Sameness.LIKELY, distance, "the same day, the start is not known in both"


def _match_of_clocks(a: LoggedDive, b: LoggedDive, apart: _Apart) -> _Match | None:
    clocks_min, distance = _clocks_min(a, b), apart.distance(a, b)
    if clocks_min == 0.0 and apart.same and not _gases_differ(a, b):
        return Sameness.EXACT, distance, "the same day and start"
    if clocks_min <= CLOCKS_MIN and apart.within_gauges:
        start = "the same start" if clocks_min == 0.0 else f"starts {clocks_min:.0f} min apart"
        return Sameness.LIKELY, distance + clocks_min, start
    hours = round(clocks_min / 60.0)
    off = abs(clocks_min - 60.0 * hours) <= _ZONE_SLACK_MIN and 1 <= hours <= _MOST_ZONES_H
    telling = apart.step_m < SENSORS_M / 2.0 or bool(a.number)  # whole metres meet by chance
    numbered = a.number == b.number or not (a.number and b.number)
    if off and apart.same and telling and numbered:
        return Sameness.LIKELY, distance + clocks_min, f"the clocks stand {hours} h apart"
    return None


def _clocks_min(a: LoggedDive, b: LoggedDive) -> float:
    """Return how far the starts of two dives lie apart, to the minute [min]."""
    starts = [
        datetime.combine(dive.on_date, dive.began_at.replace(second=0, microsecond=0))
        for dive in (a, b)
        if dive.began_at is not None
    ]
    return abs(starts[0] - starts[1]) / timedelta(minutes=1)


def _step_m(depth: LoggedDepth) -> float:
    """Return to how much a depth was rounded, by its last digit [m]."""
    value = depth.value
    step = 1.0 if value == round(value) else 0.1
    if depth.unit is DepthUnit.FEET:
        if value % _ROUND_FEET == 0.0:
            step = _ROUND_FEET_STEP
        return step * METRES_PER_FOOT
    return step


def _step_min(minutes: float) -> float:
    return 1.0 if minutes == round(minutes) else 1.0 / 60.0


def _figures(a: LoggedDive, b: LoggedDive) -> str:
    depths = str(a.greatest) if a.greatest == b.greatest else f"{_shown(a)} and {_shown(b)}"
    if abs(a.minutes - b.minutes) <= _SAME_MIN:
        return f"{a.minutes:.4g} min, {depths}"
    return f"{a.minutes:.4g} and {b.minutes:.4g} min, {depths}"


def _shown(dive: LoggedDive) -> str:
    depth = dive.greatest
    if depth.unit is DepthUnit.METRES:
        return f"{depth.value:.4g} m"
    return f"{depth.value:.4g} ft ({depth.metres:.1f} m)"


def _gases_differ(a: LoggedDive, b: LoggedDive) -> bool:
    return bool(a.mixes) and bool(b.mixes) and {*map(str, a.mixes)} != {*map(str, b.mixes)}


def _but(a: LoggedDive, b: LoggedDive) -> str:
    words = ""
    if a.number and b.number and a.number != b.number:
        words += f"; but the numbers are {a.number} and {b.number}"
    if _gases_differ(a, b):
        gases = [", ".join(map(str, dive.mixes)) for dive in (a, b)]
        words += f"; but the gases are {gases[0]} and {gases[1]}"
    return words
