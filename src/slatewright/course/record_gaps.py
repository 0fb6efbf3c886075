"""What is missing in a course record, and what in it differs from what was planned."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from slatewright.course.record import Achieved, CourseRecord, DiveRecord, Planned
from slatewright.course.signoff import verify
from slatewright.logs.logged import DepthUnit
from slatewright.physics.units import feet_from_m

ACCEPTED_PCT: Final = 1.0
"""How far an analysis may be from the plan unremarked: 1 point, common practice, no published
source [%]."""
_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Gap:
    """Something that a record lacks, or that differs from the plan.

    Parameters
    ----------
    dive
        The id of the dive; empty if it is the course as a whole.
    what
        What, a sentence.
    cure
        What would fill the gap; empty for a difference, which is a fact.
    """

    dive: str
    what: str
    cure: str = ""


def record_gaps(record: CourseRecord) -> tuple[Gap, ...]:
    """Return what a record lacks, and where it differs from what was planned.

    Parameters
    ----------
    record
        The record.

    Returns
    -------
    tuple[Gap, ...]
        In the order of the dives, the sign-off book first.
    """
    return tuple(_gaps(record))


def _gaps(record: CourseRecord) -> Iterator[Gap]:
    broken = verify(record.entries, record.course, kept_head=record.kept_head, texts=record.texts)
    if broken:
        cure = "a copy of the book from before"
        yield Gap("", f"The chain of the sign-off book is broken: {broken}.", cure)
    known = {dive.id for dive in record.dives}
    for entry in record.entries:
        if entry.dive not in known:
            yield Gap(
                "",
                f"Entry {entry.number} signs for '{entry.dive}', which is no dive of the record.",
                "a correction that names the dive",
            )
    for dive in record.dives:
        if not dive.lost:
            yield from _of_dive(record, dive)


def _of_dive(record: CourseRecord, dive: DiveRecord) -> Iterator[Gap]:
    if dive.planned is None:
        yield Gap(dive.id, "No plan is in the record.", "the plan that was dived")
    else:
        yield from _analyses(dive, dive.planned)
    if dive.briefed is None:
        yield Gap(dive.id, "No briefing is in the record.", "who briefed, whom and when")
    else:
        for diver in dive.divers:
            if diver not in (*dive.briefed.divers, dive.briefed.by):
                yield Gap(dive.id, f"{diver} was not at the briefing.", "a briefing")
    done = {one.diver: one for one in dive.achieved}
    for diver in dive.divers:
        if diver not in done:
            yield Gap(dive.id, f"What {diver} achieved is not in the record.", "depth and run time")
        elif dive.planned is not None:
            yield from _differences(dive.id, done[diver], dive.planned)
    if dive.planned is not None:
        yield from _unsigned(record, dive, dive.planned)


def _analyses(dive: DiveRecord, planned: Planned) -> Iterator[Gap]:
    for diver in dive.divers:
        own = [one for one in dive.analysed if one.diver == diver]
        for gas in planned.gases:
            if not any(one.planned == gas for one in own):
                yield Gap(dive.id, f"{diver}: no analysis of {gas}.", "the reading")
        for one in own:
            if one.by != diver:
                yield Gap(
                    dive.id,
                    f"{diver}: '{one.cylinder}' was analysed by {one.by}, not by who breathes it.",
                )
            off_pct = max(
                abs(one.o2_pct - one.planned.o2 * 100.0), abs(one.he_pct - one.planned.he * 100.0)
            )
            if off_pct > ACCEPTED_PCT + _SLACK:
                yield Gap(
                    dive.id,
                    f"{diver}: '{one.cylinder}' read {one.o2_pct:.1f} % oxygen and "
                    f"{one.he_pct:.1f} % helium in place of {one.planned}.",
                )


def _differences(dive: str, done: Achieved, planned: Planned) -> Iterator[Gap]:
    unit = done.greatest.unit
    limit = planned.greatest.value
    if unit is not planned.greatest.unit:
        metres = planned.greatest.metres
        limit = metres if unit is DepthUnit.METRES else feet_from_m(metres)
    if done.greatest.value > limit + _SLACK:
        yield Gap(
            dive,
            f"{done.diver} was at {done.greatest}, deeper than the {planned.greatest} planned.",
        )
    if done.run_time_min > planned.run_time_min + _SLACK:
        yield Gap(
            dive,
            f"{done.diver} was under water for {done.run_time_min:.0f} min, "
            f"{planned.run_time_min:.0f} were planned.",
        )
    if done.ended:
        yield Gap(dive, f"{done.diver} ended the dive early: {done.ended}")


def _unsigned(record: CourseRecord, dive: DiveRecord, planned: Planned) -> Iterator[Gap]:
    replaced = {entry.corrects for entry in record.entries}
    signed = {
        (record.name(entry.diver), entry.skill)
        for entry in record.entries
        if entry.dive == dive.id and entry.number not in replaced
    }
    for diver in dive.divers:
        if diver in record.divers:
            for skill in planned.skills:
                if (diver, skill) not in signed:
                    words = record.skills.get(skill, skill)
                    what = f"{diver}: '{words}' was planned and is not signed."
                    yield Gap(dive.id, what, "an entry: shown, not yet or repeat")
