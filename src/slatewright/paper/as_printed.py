"""What a diver does who follows the slate: whole minutes, judged once more before printing."""

from __future__ import annotations

import math
from dataclasses import replace
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from slatewright.decompression.second_check import LINE_TOLERANCE_BAR, second_check
from slatewright.decompression.settings import WholeMinutes
from slatewright.paper.reading import minutes_up
from slatewright.paper.slate_rows import is_stop, level_until_min, pieces_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from slatewright.decompression.leg import Leg
    from slatewright.dive.schedule import Schedule

_SAME_MIN: Final = 1e-6


class Column(StrEnum):
    """The column of the slate by which a diver leaves a stop."""

    UNTIL = "until"
    STOP = "stop"


def deciding_column(schedule: Schedule) -> Column:
    """Return the column that is as computed: run times, or stop minutes from arrival.

    Parameters
    ----------
    schedule
        The schedule; the house rule ``whole_minutes`` decides.

    Returns
    -------
    Column
        The one that is printed large.
    """
    by_stop = schedule.plan.settings.whole_minutes is WholeMinutes.ARRIVAL
    return Column.STOP if by_stop else Column.UNTIL


def legs_as_printed(legs: Sequence[Leg], column: Column) -> tuple[Leg, ...]:
    """Return the dive of a diver who goes by one column of the slate and no other.

    Parameters
    ----------
    legs
        The dive as computed, from the surface and back.
    column
        The column by which stops are left; levels are left by their run time.

    Returns
    -------
    tuple[Leg, ...]
        The same ways at the same rates, with every stay as long as the printed whole minutes make
        it; what a change of gas takes is taken.
    """
    pieces = pieces_of(legs)
    done: list[Leg] = []
    now_min = legs[0].start_min
    for number, piece in enumerate(pieces):
        members = [step.leg for step in piece]
        first, last = members[0], members[-1]
        stay_min = last.end_min - first.start_min
        if is_stop(piece):
            printed_min = (
                now_min + minutes_up(stay_min)
                if column is Column.STOP
                else minutes_up(last.end_min)
            )
            stay_min = printed_min - now_min
        elif piece[-1].level:
            stay_min = level_until_min(piece, pieces[number + 1 :]) - now_min
        fixed_min = sum(leg.minutes for leg in members[:-1])
        least_min = last.minutes if last.switching else 0.0
        lengths = [leg.minutes for leg in members[:-1]]
        lengths.append(max(least_min, stay_min - fixed_min))
        for leg, minutes in zip(members, lengths, strict=True):
            if minutes > _SAME_MIN:
                done.append(replace(leg, start_min=now_min, minutes=minutes))
                now_min += minutes
    return tuple(done)


def excess_as_printed_bar(schedule: Schedule, column: Column) -> float:
    """Return the most by which a diver who goes by one column passes the line.

    Parameters
    ----------
    schedule
        The finished schedule, whose second check passed.
    column
        The column.

    Returns
    -------
    float
        By how much the worst compartment passes its line; zero or less if none does [bar].
    """
    printed = legs_as_printed(schedule.legs, column)
    if _same(printed, schedule.legs):
        return min(schedule.verdict.largest_excess_bar, 0.0)
    verdict = second_check(
        printed,
        schedule.plan.water,
        schedule.plan.settings,
        first_stop_m=schedule.first_stop_m,
        ppo2_max_bar=lambda _: math.inf,  # depths and gases are as they were
        start=schedule.start,
    )
    excess_bar = verdict.largest_excess_bar
    return excess_bar if excess_bar > LINE_TOLERANCE_BAR else min(excess_bar, 0.0)


def _same(printed: Sequence[Leg], legs: Sequence[Leg]) -> bool:
    return len(printed) == len(legs) and all(
        abs(one.end_min - other.end_min) <= _SAME_MIN
        for one, other in zip(printed, legs, strict=True)
    )
