"""From a course of the workspace to its record and agreement, as they are printed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from importlib.resources import as_file, files
from pathlib import PurePosixPath
from typing import Final

from slatewright.course.agreement import Agreement, Fee, OwnWords
from slatewright.course.coursefile import CourseFile
from slatewright.course.record import Achieved, Briefed, CourseRecord, DiveRecord, Planned
from slatewright.course.skillfile import shipped_skills
from slatewright.decompression.leg import LegKind
from slatewright.desk.computing import chain_of, computed
from slatewright.dive.chain import schedules_of
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.schedule import Schedule
from slatewright.errors import InputError, SlatewrightError
from slatewright.logs.logged import LONGEST_MIN, DepthUnit, LoggedDepth
from slatewright.physics.units import UnitSystem, feet_from_m
from slatewright.store.courses import CourseNote, KeptCourse, NoteKind
from slatewright.store.session import Session
from slatewright.store.sign_offs import Book

_NUMBER: Final = "#"
_LETTERS: Final = 60
_ACHIEVED: Final = re.compile(
    r"(?P<diver>.+?): (?P<depth>[0-9.]+) (?P<unit>m|ft), (?P<minutes>[0-9.]+) min"
    r"(?:; (?P<remark>.*))?"
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What an agreement says that the course's text does not.

    Parameters
    ----------
    diver, school, place
        Who learns, who teaches as a party, and where.
    currency
        Three capital letters.
    fee, lost_day, remedial_day
        Prices as typed; empty if they are agreed elsewhere.
    """

    diver: str
    school: str
    place: str = ""
    currency: str = "EUR"
    fee: str = ""
    lost_day: str = ""
    remedial_day: str = ""


def record_of(
    session: Session,
    course: KeptCourse,
    file: CourseFile,
    book: Book,
    notes: Sequence[CourseNote],
    rules: HouseRules,
) -> CourseRecord:
    """Return the record of a course.

    Parameters
    ----------
    session
        A session, for the plans.
    course
        The course.
    file
        What its text says.
    book
        Its sign-off book.
    notes
        What is noted about its dives.
    rules
        The house rules, for its plans.

    Returns
    -------
    CourseRecord
        A dive whose plan cannot be computed has nothing planned; what was achieved stands as it
        was noted.
    """
    divers = tuple(one.name for one in file.student)
    return CourseRecord(
        course=book.course,
        title=course.title,
        instructors=tuple(one.name for one in file.instructor),
        divers=divers,
        dives=tuple(
            _dive(session, file, place, notes, divers, rules)
            for place in range(1, len(file.dive) + 1)
        ),
        skills={skill.id: skill.words for skill in shipped_skills().skills},
        entries=book.entries,
        texts=book.texts,
    )


def agreement_of(course: KeptCourse, file: CourseFile, asked: Asked) -> Agreement:
    """Return the agreement of a diver about a course.

    Parameters
    ----------
    course
        The course.
    file
        What its text says.
    asked
        What it does not say.

    Raises
    ------
    InputError
        If nobody is taught, or a price is none.
    """
    days = sorted([*(dive.on for dive in file.dive), *(day.on for day in file.lost_day)])
    if not days:
        raise InputError("the course has no dives yet", where="dive", right="[[dive]] with its day")
    own, limits = file.agreement, file.limits
    deepest = [f"{limits.deepest_m:g} m"] if limits.deepest_m is not None else []
    deepest += [f"{limits.deepest_ft:g} ft"] if limits.deepest_ft is not None else []
    return Agreement(
        course=course.title,
        school=asked.school,
        instructor=", ".join(one.name for one in file.instructor),
        diver=asked.diver,
        begins_on=days[0],
        ends_on=days[-1],
        place=asked.place,
        currency=asked.currency,
        fees=(Fee("tuition", price),) if (price := _price(asked.fee, "fee")) is not None else (),
        reserve_days=tuple(day.on for day in file.lost_day),
        lost_day_price=_price(asked.lost_day, "lost_day"),
        remedial_day_price=_price(asked.remedial_day, "remedial_day"),
        greatest_depth=" / ".join(deepest),
        own=OwnWords(
            fees=own.fees,
            lost_days=own.lost_days,
            remedial_days=own.remedial_days,
            ends_a_dive=own.ends_a_dive,
            words=own.words,
        ),
    )


def _price(text: str, where: str) -> Decimal | None:
    if not text.strip():
        return None
    try:
        price = Decimal(text.strip())
    except InvalidOperation:
        raise InputError(f"'{text}' is no price", where=where, right="such as 1450.00") from None
    return price.quantize(Decimal("0.01"))


def _dive(
    session: Session,
    file: CourseFile,
    place: int,
    notes: Sequence[CourseNote],
    divers: tuple[str, ...],
    rules: HouseRules,
) -> DiveRecord:
    dive = file.dive[place - 1]
    own = [note for note in notes if note.dive == str(place)]
    briefed = next((note for note in own if note.kind is NoteKind.BRIEFED), None)
    lost = next((note for note in own if note.kind is NoteKind.LOST_DAY), None)
    schedule = _schedule(session, dive.plan, rules)
    planned = (
        None if schedule is None else _planned(schedule, dive.skills, simulated=dive.simulated)
    )
    done = tuple(note for note in own if note.kind is NoteKind.ACHIEVED)
    who = tuple(name for name in dive.who or divers if name in divers)
    return DiveRecord(
        id=str(place),
        title=_title(schedule, dive.plan),
        on=dive.on,
        divers=who,
        planned=planned,
        briefed=None
        if briefed is None
        else Briefed(by=briefed.by_name, at=briefed.made_at, divers=who),
        achieved=tuple(one for one in map(achieved_of, done) if one and one.diver in who),
        lost="" if lost is None else lost.text,
    )


def achieved_text(diver: str, depth: LoggedDepth, minutes: float, remark: str) -> str:
    """Return what a diver did, as a note has it: readable, and read back by `achieved_of`.

    Parameters
    ----------
    diver
        Who.
    depth
        The greatest depth, in the unit of the log.
    minutes
        From leaving the surface to reaching it again [min].
    remark
        What else is to be known; empty for nothing.

    Raises
    ------
    InputError
        If it lasted no time.
    """
    if not 0.0 < minutes <= LONGEST_MIN:
        raise InputError(
            f"{minutes:g} min", where="minutes", right=f"more than 0, at most {LONGEST_MIN:g}"
        )
    said = " ".join(remark.split())
    return f"{diver}: {depth}, {minutes:g} min{'; ' if said else ''}{said}"


def achieved_of(note: CourseNote) -> Achieved | None:
    """Return what a note says that a diver did; None if it says so in other words.

    Parameters
    ----------
    note
        The note.
    """
    match = _ACHIEVED.fullmatch(note.text)
    if match is None:
        return None
    return Achieved(
        diver=match["diver"],
        greatest=LoggedDepth(float(match["depth"]), DepthUnit(match["unit"])),
        run_time_min=float(match["minutes"]),
        remark=match["remark"] or "",
        by=note.by_name,
    )


def _planned(schedule: Schedule, skills: tuple[str, ...], *, simulated: bool) -> Planned:
    deepest_m = max(leg.to_m for leg in schedule.legs)
    metric = schedule.plan.units is UnitSystem.METRIC
    greatest = (
        LoggedDepth(round(deepest_m, 1))
        if metric
        else LoggedDepth(round(feet_from_m(deepest_m)), DepthUnit.FEET)
    )
    stops = any(leg.kind is LegKind.STOP for leg in schedule.legs)
    return Planned(
        greatest=greatest,
        run_time_min=max(leg.end_min for leg in schedule.legs),
        gases=tuple(dict.fromkeys(leg.gas for leg in schedule.legs)),
        decompression="simulated" if simulated else "real" if stops else "none",
        skills=skills,
    )


def _title(schedule: Schedule | None, plan: str) -> str:
    if schedule is not None:
        return schedule.plan.title
    return PurePosixPath(plan).name.removesuffix(".toml")[:_LETTERS]


def _schedule(session: Session, plan: str, rules: HouseRules) -> Schedule | None:
    """Return the dive of a plan of the workspace, or of an example; None if it has none."""
    try:
        if plan.startswith(_NUMBER):
            return computed(chain_of(session, int(plan.removeprefix(_NUMBER))), rules).dive
        parts = [part for part in PurePosixPath(plan).parts if part not in {"..", "/", "."}]
        with as_file(files("slatewright.data") / "examples") as folder:
            path = folder.joinpath(*parts[-2:])
            return schedules_of(path, rules)[-1] if path.is_file() else None
    except (SlatewrightError, ValueError):
        return None
