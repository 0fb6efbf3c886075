"""Counting the dives of a logbook for a rule: those that count, nearly count, or do not say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time

from slatewright.course.rule_conditions import (
    HOLDS,
    MISSES,
    NEARLY,
    UNKNOWN,
    Condition,
    DepthWanted,
    Given,
    Test,
    Within,
)
from slatewright.course.rules import DivesAsked
from slatewright.logs.logged import LoggedDive


@dataclass(frozen=True, slots=True)
class Remark:
    """What is to be said of one dive.

    Parameters
    ----------
    dive
        The dive.
    about
        What it is about, in a word: depth, gas, date, partner, ...
    why
        Why it does not count, why that is not known, or why it only just counts.
    """

    dive: LoggedDive
    about: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What counting came to; dives in the order of their days.

    Parameters
    ----------
    counted
        The dives that count.
    borders
        Of these, the ones that count only in the unit in which they were logged.
    near
        Those that fail one condition by little, and no other.
    unknown
        Those that would count if the log said something that it leaves out.
    steps
        Each condition, and how many dives are left after it and those before it.
    logged
        How many dives are logged up to the day.
    matching
        The dives that meet every condition but the period.
    """

    counted: tuple[LoggedDive, ...]
    borders: tuple[Remark, ...]
    near: tuple[Remark, ...]
    unknown: tuple[Remark, ...]
    steps: tuple[tuple[Condition, int], ...]
    logged: int
    matching: tuple[LoggedDive, ...]


def in_order(dives: Iterable[LoggedDive]) -> tuple[LoggedDive, ...]:
    """Return dives in the order of their days; the order in which they came does not matter.

    Parameters
    ----------
    dives
        The dives.
    """
    return tuple(sorted(dives, key=_order))


def _order(dive: LoggedDive) -> tuple[date, time, str, float, float, str, int]:
    began = dive.began_at or time.min
    depth = dive.greatest.value
    return dive.on_date, began, dive.number, depth, dive.minutes, dive.origin.name, dive.origin.line


def tally(dives: Sequence[LoggedDive], asked: DivesAsked, given: Given) -> Tally:
    """Count.

    Parameters
    ----------
    dives
        The logbook, in the order of days.
    asked
        What is asked.
    given
        Day and team.
    """
    conditions = sorted(asked.conditions, key=lambda one: isinstance(one, Within))  # periods last
    apart = sum(not isinstance(one, Within) for one in conditions)
    tests = [condition.test(given) for condition in conditions]
    left = [0] * len(tests)
    counted, matching, near, unknown = [], [], list[Remark](), list[Remark]()
    up_to_today = [dive for dive in dives if dive.on_date <= given.today]
    for dive in up_to_today:
        passed, reasons = _put(dive, tests)
        for position in range(passed):
            left[position] += 1
        if passed >= apart:
            matching.append(dive)
        if passed == len(tests):
            counted.append(dive)
        elif reasons:
            told, into = _told(dive, reasons, conditions, given)
            (unknown if into is UNKNOWN else near).append(told)
    near += _after_today(dives, tests[:apart], given)
    return Tally(
        counted=tuple(counted),
        borders=tuple(_borders(counted, conditions, given)),
        near=tuple(near),
        unknown=tuple(unknown),
        steps=tuple(zip(conditions, left, strict=True)),
        logged=len(up_to_today),
        matching=tuple(matching),
    )


def _put(dive: LoggedDive, tests: Sequence[Test]) -> tuple[int, list[tuple[int, object]]]:
    """Put a dive to all tests.

    Returns how many it passed before the first that it did not, and what is worth telling: the
    one test that it nearly passed, or those on which the log is silent; nothing if it is far off.
    """
    passed, reasons = len(tests), list[tuple[int, object]]()
    for position, test in enumerate(tests):
        verdict = test(dive)
        if verdict is HOLDS:
            continue
        passed = min(passed, position)
        if verdict is MISSES or (reasons and NEARLY in (verdict, reasons[-1][1])):
            return passed, []
        reasons.append((position, verdict))
    return passed, reasons


def _told(
    dive: LoggedDive,
    reasons: Sequence[tuple[int, object]],
    conditions: Sequence[Condition],
    given: Given,
) -> tuple[Remark, object]:
    failed = [conditions[position] for position, _ in reasons]
    why = "; ".join(condition.why(dive, given) for condition in failed)
    return Remark(dive, failed[0].about, why), reasons[0][1]


def _after_today(
    dives: Sequence[LoggedDive], tests: Sequence[Test], given: Given
) -> Iterator[Remark]:
    """Yield dives that are dated after today and would count else, but for their period."""
    for dive in dives:
        off = (dive.on_date - given.today).days
        if off > 0 and all(test(dive) is HOLDS for test in tests):
            days = "a day" if off == 1 else f"{off} days"
            yield Remark(dive, "date", f"{dive.on_date} is {days} after {given.today}")


def _borders(
    counted: Iterable[LoggedDive], conditions: Iterable[Condition], given: Given
) -> Iterator[Remark]:
    depths = [one for one in conditions if isinstance(one, DepthWanted)]
    for dive in counted if depths else ():
        for condition in depths:
            if condition.border(dive.greatest):
                yield Remark(dive, condition.about, condition.why(dive, given))
