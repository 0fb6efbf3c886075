"""The course record as data: planned, analysed, briefed, achieved, and by whom.

The record keeps what was written down, and `record_gaps.py` says what was not: a record stands up
later if its gaps are known while they can still be filled.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from slatewright.course.signoff import Entry, Sealed
from slatewright.course.signoff_standing import Standing, standing
from slatewright.errors import InputError
from slatewright.logs.logged import LoggedDepth
from slatewright.physics.mixture import Mixture


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What was planned for a dive.

    Parameters
    ----------
    greatest
        The greatest depth, in the unit of the plan.
    run_time_min
        From leaving the surface to reaching it again [min].
    gases
        The gases that each diver breathes.
    decompression
        ``none``, ``simulated`` or ``real``.
    skills
        The ids of the skills to be shown.
    by
        Who planned it; empty if nobody says.
    """

    greatest: LoggedDepth
    run_time_min: float
    gases: tuple[Mixture, ...]
    decompression: str
    skills: tuple[str, ...] = ()
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Analysed:
    """A cylinder that was analysed before the dive.

    Parameters
    ----------
    diver
        Who breathes it.
    cylinder
        Which one.
    planned
        The gas that it should hold.
    o2_pct, he_pct
        What was read [%].
    by
        Who read it.
    at
        When, by the clock at the place.
    """

    diver: str
    cylinder: str
    planned: Mixture
    o2_pct: float
    he_pct: float
    by: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Briefed:
    """A briefing.

    Parameters
    ----------
    by
        Who held it.
    at
        When, by the clock at the place.
    divers
        Who was there.
    """

    by: str
    at: datetime
    divers: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Achieved:
    """What a diver did.

    Parameters
    ----------
    diver
        Who.
    greatest
        The greatest depth, in the unit of the log.
    run_time_min
        From leaving the surface to reaching it again [min].
    ended
        What ended the dive before its time; empty if it went as planned.
    remark
        What else is to be known.
    by
        Who wrote it down.
    """

    diver: str
    greatest: LoggedDepth
    run_time_min: float
    ended: str = ""
    remark: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DiveRecord:
    """A dive of the course.

    Parameters
    ----------
    id
        The name by which sign-offs know it.
    title
        What it is called.
    on
        The day.
    divers
        Who was to dive.
    planned
        What was planned; None if nothing was.
    analysed
        The analyses.
    briefed
        The briefing; None if there was none.
    achieved
        What each diver did; empty if it was not dived.
    lost
        Why it was not dived; empty if it was, or is still to come.
    """

    id: str
    title: str
    on: date
    divers: tuple[str, ...]
    planned: Planned | None = None
    analysed: tuple[Analysed, ...] = ()
    briefed: Briefed | None = None
    achieved: tuple[Achieved, ...] = ()
    lost: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseRecord:
    """The record of a course.

    Parameters
    ----------
    course
        The name or number by which the sign-off book knows it.
    title
        What it is called.
    school
        Who taught, as a party; empty if it is not said.
    instructors, divers
        Who taught, and who learnt.
    dives
        The dives, in their order.
    skills
        What each skill is, by its id.
    entries
        The sign-off book.
    texts
        Names and remarks of the book by their digests; who was forgotten is not among them.
    kept_head
        Head of the book that was kept elsewhere; None if none was.

    Raises
    ------
    InputError
        If two dives have one id, or a dive has a diver who is neither a diver nor an instructor.
    """

    course: str
    title: str
    school: str = ""
    instructors: tuple[str, ...] = ()
    divers: tuple[str, ...] = ()
    dives: tuple[DiveRecord, ...] = ()
    skills: Mapping[str, str] = field(default_factory=dict)
    entries: tuple[Entry, ...] = ()
    texts: Mapping[str, Sealed] = field(default_factory=dict)
    kept_head: str | None = None

    def __post_init__(self) -> None:
        people = {*self.instructors, *self.divers}
        seen: set[str] = set()
        for dive in self.dives:
            if dive.id in seen:
                raise InputError(f"two dives are called '{dive.id}'", right="each its own id")
            seen.add(dive.id)
            named = [*dive.divers]
            named += [one.diver for one in dive.achieved] + [one.diver for one in dive.analysed]
            if strangers := [name for name in named if name not in people]:
                raise InputError(
                    f"'{strangers[0]}' is neither a diver nor an instructor of the course",
                    where=dive.id,
                    right=", ".join(sorted(people)) or "a diver of the course",
                )

    def standings(self) -> tuple[Standing, ...]:
        """Return the current state of each diver's skills."""
        return standing(self.entries)

    def name(self, digest: str) -> str:
        """Return the name under a digest; of who was forgotten the first letters of the digest.

        Parameters
        ----------
        digest
            The digest of a name.
        """
        sealed = self.texts.get(digest)
        return sealed.text if sealed is not None else f"person {digest[:8]} (forgotten)"

    def remark(self, digest: str | None) -> str:
        """Return the remark under a digest; empty if there is none.

        Parameters
        ----------
        digest
            The digest of a remark; None if there is none.
        """
        if digest is None:
            return ""
        sealed = self.texts.get(digest)
        return sealed.text if sealed is not None else "(forgotten)"

    def totals(self, diver: str) -> Totals:
        """Return what a diver did in all.

        Parameters
        ----------
        diver
            The name.
        """
        done = [a for dive in self.dives for a in dive.achieved if a.diver == diver]
        return Totals(
            len(done),
            sum(one.run_time_min for one in done),
            max((one.greatest for one in done), key=lambda depth: depth.metres, default=None),
        )


@dataclass(frozen=True, slots=True)
class Totals:
    """What a diver did in all.

    Parameters
    ----------
    dives
        The number of dives.
    run_time_min
        Their run times together [min].
    greatest
        The greatest depth, as it was logged; None if there was no dive.
    """

    dives: int
    run_time_min: float
    greatest: LoggedDepth | None
