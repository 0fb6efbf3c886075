"""What is new on a dive: a gas, a cylinder, a band of depth, a travel gas, a loop, more stages.

Derived from the plans, and compared with what the author wrote. The first dive of a course shows
what its divers bring, so nothing on it is new unless the author says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from slatewright.course.buildup_course import CourseDive
from slatewright.dive.plan import Use
from slatewright.dive.planfile import PlanFile
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem

BANDS: Final = {
    UnitSystem.METRIC: (45.0, 60.0, 75.0, 90.0),
    UnitSystem.IMPERIAL: (150.0, 200.0, 250.0, 300.0),
}
"""Where bands of depth end, each with the gases that are usual in it [m], [ft]: common practice, no
published source."""
_SLACK: Final = 1e-6
_WORD: Final = re.compile(r"[a-z0-9/.]+")


@dataclass(frozen=True, slots=True)
class Thing:
    """Something that can be new.

    Parameters
    ----------
    kind
        ``gas``, ``cylinder``, ``depth``, ``travel gas``, ``closed circuit``, ``stages``, or
        ``other`` for what only the author knows.
    words
        What it is, for people.
    marks
        What tells it from other things of its kind.
    """

    kind: str
    words: str
    marks: frozenset[str]


@dataclass(frozen=True, slots=True)
class Novelty:
    """What is new on a dive for one who has made the dives before.

    Parameters
    ----------
    things
        All of it, what the author adds last.
    unnamed
        What is new by the plans and not among the author's words; empty if the author wrote none.
    not_new
        The author's words for what a dive before had already.
    """

    things: tuple[Thing, ...]
    unnamed: tuple[Thing, ...] = ()
    not_new: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Seen:
    """What a diver has had on the dives so far, in the terms of plans."""

    gases: frozenset[Mixture] = frozenset()
    sizes: frozenset[str] = frozenset()
    travel: bool = False
    loop: bool = False
    stages: int = 0
    band: int = -1


def band_of(dive: CourseDive) -> int:
    """Return the band of depth of a dive, 0 for the shallowest.

    Parameters
    ----------
    dive
        The dive.
    """
    deepest = dive.deepest
    return sum(deepest.value > end + _SLACK for end in BANDS[deepest.units])


def novelty_of(dive: CourseDive, before: Sequence[CourseDive]) -> Novelty:
    """Return what is new on a dive.

    Parameters
    ----------
    dive
        The dive.
    before
        The dives of the same course that the diver has made before, in any order.

    Returns
    -------
    Novelty
        A gas with the cylinder in which it comes for the first time is one thing, and so is the
        stage that it adds.
    """
    derived = _derived(dive, before) if before else ()
    if dive.new is None:
        return Novelty(derived)
    written = dive.new
    unnamed = tuple(t for t in derived if not any(_names(word, t) for word in written))
    had = tuple(thing for earlier in (*before, dive) for thing in _all(earlier))
    others, not_new = [], []
    for word in written:
        if any(_names(word, thing) for thing in derived):
            continue
        if before and any(_names(word, thing) for thing in had):
            not_new.append(word)
        else:
            others.append(Thing("other", word, frozenset()))
    return Novelty((*derived, *others), unnamed, tuple(not_new))


def _derived(dive: CourseDive, before: Iterable[CourseDive]) -> tuple[Thing, ...]:
    seen = _Seen()
    for earlier in before:
        seen = _with(seen, earlier)
    plan = dive.plan
    things = []
    fresh = [mix for mix in _gases(plan) if mix not in seen.gases]
    came_with: set[str] = set()
    for mix in fresh:
        sizes = [s for s in _sizes(plan, mix) if s not in seen.sizes and s not in came_with]
        came_with |= set(sizes)
        things.append(_gas(mix, sizes))
    things += [
        _cylinder(size) for size in _sizes(plan) if size not in seen.sizes and size not in came_with
    ]
    if _travels(plan) and not seen.travel:
        things.append(_travel(plan))
    if plan.loop is not None and not seen.loop:
        things.append(_LOOP)
    if band_of(dive) > seen.band:
        things.append(_band(dive))
    stages, own = _stages(plan), sum(_stages(plan, mix) for mix in fresh)
    if stages - own > seen.stages:
        things.append(_stage_count(stages))
    return tuple(things)


def _all(dive: CourseDive) -> tuple[Thing, ...]:
    plan = dive.plan
    things = [_gas(mix, ()) for mix in _gases(plan)] + [_cylinder(size) for size in _sizes(plan)]
    things += [_travel(plan)] if _travels(plan) else []
    things += [_LOOP] if plan.loop is not None else []
    return (*things, _band(dive))


def _with(seen: _Seen, dive: CourseDive) -> _Seen:
    plan = dive.plan
    return _Seen(
        seen.gases | set(_gases(plan)),
        seen.sizes | set(_sizes(plan)),
        seen.travel or _travels(plan),
        seen.loop or plan.loop is not None,
        max(seen.stages, _stages(plan)),
        max(seen.band, band_of(dive)),
    )


def _gases(plan: PlanFile) -> tuple[Mixture, ...]:
    return tuple(dict.fromkeys(gas.mixture for gas in plan.gas))


def _sizes(plan: PlanFile, mix: Mixture | None = None) -> tuple[str, ...]:
    found = (c.size for c in plan.cylinder if mix is None or c.mixture == mix)
    return tuple(dict.fromkeys(found))


def _travels(plan: PlanFile) -> bool:
    return any(Use.TRAVEL in gas.use for gas in plan.gas)


def _stages(plan: PlanFile, mix: Mixture | None = None) -> int:
    """Return the most cylinders to breathe from that one person has besides those on the back."""
    own = [
        c for c in plan.cylinder if c.place not in _NO_STAGES and (mix is None or c.mixture == mix)
    ]
    names = {name for c in own for name in c.diver or ("",)}
    return max((sum(name in (c.diver or ("",)) for c in own) for name in names), default=0)


_NO_STAGES: Final = ("back", "loop")
_LOOP: Final = Thing(
    "closed circuit", "a closed circuit", frozenset({"closed circuit", "loop", "rebreather"})
)


def _gas(mix: Mixture, sizes: Sequence[str]) -> Thing:
    words = f"{mix} in {' and '.join(sizes)}" if sizes else str(mix)
    marks = {str(mix).lower()} | ({"oxygen"} if str(mix) == "O2" else set())
    return Thing("gas", words, frozenset(marks | {size.lower() for size in sizes}))


def _cylinder(size: str) -> Thing:
    return Thing("cylinder", size, frozenset({size.lower()}))


def _travel(plan: PlanFile) -> Thing:
    mixes = [str(gas.mixture) for gas in plan.gas if Use.TRAVEL in gas.use]
    return Thing("travel gas", f"a travel gas, {' and '.join(mixes)}", frozenset({"travel"}))


def _band(dive: CourseDive) -> Thing:
    units = dive.plan.units
    ends, band = BANDS[units], band_of(dive)
    low = f"{ends[band - 1]:g}" if band else "0"
    high = f"{ends[band]:g}" if band < len(ends) else ""
    words = f"{low} to {high} {units.depth_unit}" if high else f"below {low} {units.depth_unit}"
    return Thing("depth", words, frozenset({"depth", str(dive.deepest).lower()}))


def _stage_count(count: int) -> Thing:
    return Thing("stages", f"{count} cylinders besides the back", frozenset({"stages"}))


def _names(word: str, thing: Thing) -> bool:
    """Tell whether an author's word names a thing: one of its marks stands in it."""
    parts = _WORD.findall(word.lower())
    text = f" {' '.join(parts)} "
    return any(f" {' '.join(_WORD.findall(mark))} " in text for mark in thing.marks)
