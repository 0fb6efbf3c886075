"""Counting the dives of a logbook for a rule: those that count, nearly count, or do not say."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time
from operator import attrgetter
from typing import NamedTuple, TypeAlias

from slatewright.course.rule_conditions import (
    HOLDS,
    NEARLY,
    UNKNOWN,
    Condition,
    DepthWanted,
    Given,
    NotLater,
    Verdict,
    Within,
)
from slatewright.course.rules import DivesAsked
from slatewright.logs.logged import LoggedDive


class Remark(NamedTuple):
    """What is to be said of one dive.

    Parameters
    ----------
    dive
        The dive.
    conditions
        Those on which it fails by little, on which the log is silent, or where its unit decides.
    given
        Day and team.
    """

    dive: LoggedDive
    conditions: tuple[Condition, ...]
    given: Given

    @property
    def about(self) -> str:
        """What it is about, in a word: depth, gas, date, partner, ..."""
        return self.conditions[0].about

    @property
    def why(self) -> str:
        """Why the dive does not count, why that is not known, or why it only just counts."""
        return "; ".join(condition.why(self.dive, self.given) for condition in self.conditions)


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
    entries = list(dives)
    keys = list(map(_order, entries))
    if len(set(keys)) < len(keys):  # told apart by what is rarely needed: gas, partners, remark
        entries.sort(key=repr)
        keys = list(map(_order, entries))
    return tuple(entries[i] for i in sorted(range(len(entries)), key=keys.__getitem__))


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
    ends = bisect_right(dives, given.today, key=attrgetter("on_date"))
    left: Sequence[LoggedDive] = dives[:ends]
    matching, failing, steps = left, list[_Failing](), []
    for position, condition in enumerate(conditions):
        test = condition.test(given)
        failing = [
            (dive, (*failed, condition) if verdict is UNKNOWN else failed, why)
            for dive, failed, why in failing
            if (verdict := test(dive)) is HOLDS or (verdict is UNKNOWN and why is UNKNOWN)
        ]
        verdicts = list(map(test, left))
        failing += [
            (dive, (condition,), verdict)
            for dive, verdict in zip(left, verdicts, strict=True)
            if verdict is NEARLY or verdict is UNKNOWN
        ]
        left = [d for d, verdict in zip(left, verdicts, strict=True) if verdict is HOLDS]
        steps.append((condition, len(left)))
        if position < apart:
            matching = left
    failing.sort(key=lambda one: one[0].on_date)
    near = [Remark(dive, failed, given) for dive, failed, why in failing if why is NEARLY]
    return Tally(
        counted=tuple(left),
        borders=tuple(_borders(left, conditions, given)),
        near=(*near, *_after_today(dives[ends:], conditions[:apart], given)),
        unknown=tuple(
            Remark(dive, failed, given) for dive, failed, why in failing if why is UNKNOWN
        ),
        steps=tuple(steps),
        logged=ends,
        matching=tuple(matching),
    )


_Failing: TypeAlias = tuple[LoggedDive, tuple[Condition, ...], Verdict]
"""A dive that may be worth telling: on what it fails, and whether by little or not known."""


def _after_today(
    dives: Sequence[LoggedDive], conditions: Sequence[Condition], given: Given
) -> Iterator[Remark]:
    """Yield dives that are dated after today and would count else, but for their period."""
    for condition in conditions:
        test = condition.test(given)
        dives = [dive for dive in dives if test(dive) is HOLDS]
    for dive in dives:
        yield Remark(dive, (NotLater(),), given)


def _borders(
    counted: Sequence[LoggedDive], conditions: Iterable[Condition], given: Given
) -> Iterator[Remark]:
    for condition in conditions:
        if isinstance(condition, DepthWanted):
            decides = condition.border_test()
            yield from (Remark(dive, (condition,), given) for dive in counted if decides(dive))
