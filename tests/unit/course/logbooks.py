"""Logbooks of our own invention, small enough to be counted by hand."""

from __future__ import annotations

from datetime import date, time, timedelta

from slatewright.course.candidates import Candidate, Certificate
from slatewright.course.standardfile import standard_file_of
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive, Origin
from slatewright.physics.mixture import Mixture

TODAY = date(2031, 5, 10)


def metres(value):
    return LoggedDepth(value)


def feet(value):
    return LoggedDepth(value, DepthUnit.FEET)


def dive(depth, on=TODAY, *mixes, **more):
    """Return a dive: a depth, a day or how many days ago, its gases."""
    if isinstance(on, int):
        on = TODAY - timedelta(days=on)
    depth = depth if isinstance(depth, LoggedDepth) else metres(depth)
    more = {"minutes": 40.0, **more}
    return LoggedDive(on_date=on, greatest=depth, mixes=tuple(map(Mixture.parse, mixes)), **more)


def dives(count, depth, on=TODAY, *mixes, **more):
    """Return equal dives that differ by their line in the logbook."""
    return tuple(
        dive(depth, on, *mixes, **{"origin": Origin("own.csv", line), **more})
        for line in range(1, count + 1)
    )


def at(hour, minute=0):
    return time(hour, minute)


def card(*kinds, title="Card", **more):
    return Certificate(title=title, kinds=frozenset(kinds), **more)


def candidate(*logged, **more):
    return Candidate(**{"name": "Mirren Dahl", "dives": logged, **more})


def standard(rules, course="", name="own"):
    """Return a standard from the text of its rules."""
    head = f'schema = "slatewright/standard/1"\nid = "{name}"\ntitle = "Own"\n'
    return standard_file_of(f"{head}{rules}\n{course}").standard()


def rule(asks, name="r"):
    """Return a standard with one rule."""
    return standard(f'[[rule]]\nid = "{name}"\nsays = "A rule."\n{asks}')
