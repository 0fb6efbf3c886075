"""The tables of a course: roster, readiness, build-up, skills, sign-offs, gas."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from slatewright.course.record import CourseRecord
from slatewright.course.roster import RosterLine
from slatewright.course.skill_dives import DiveSkills, PlannedDive, in_order
from slatewright.course.skills import SkillLibrary
from slatewright.paper.readiness_letter import ReadinessLetter
from slatewright.paper.tables import Column, Kind, Sheet
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, cubic_feet_from_l, feet_from_m


def roster_sheet(lines: Iterable[RosterLine]) -> Sheet:
    """Return the roster.

    Parameters
    ----------
    lines
        A person each.
    """
    return Sheet(
        "Roster",
        (
            Column("name"),
            Column("age", "years", Kind.WHOLE),
            Column("medical clearance until", kind=Kind.DAY),
            Column("valid today", kind=Kind.YES),
            Column("cards"),
            Column("logged dives", kind=Kind.WHOLE),
            Column("greatest depth", kind=Kind.NUMBER),
            Column("its unit"),
            Column("dives with helium", kind=Kind.WHOLE),
            Column("last dive", kind=Kind.DAY),
        ),
        tuple(
            (
                one.name,
                one.age,
                one.medical_until,
                one.medical_valid,
                "; ".join(map(str, one.cards)),
                one.dives,
                one.deepest.value if one.deepest else None,
                str(one.deepest.unit) if one.deepest else None,
                one.helium_dives,
                one.last_dive,
            )
            for one in lines
        ),
    )


def readiness_sheet(letters: Iterable[ReadinessLetter]) -> Sheet:
    """Return who meets which rule.

    Parameters
    ----------
    letters
        A candidate each.
    """
    return Sheet(
        "Readiness",
        (
            Column("candidate"),
            Column("judged on", kind=Kind.DAY),
            Column("standard"),
            Column("rule"),
            Column("counted", kind=Kind.WHOLE),
            Column("needed", kind=Kind.WHOLE),
            Column("of"),
            Column("state"),
            Column("waived"),
            Column("when"),
            Column("nearly"),
        ),
        tuple(
            (
                letter.candidate,
                letter.on,
                standard.title,
                rule.words,
                rule.count if rule.of else None,
                rule.needed if rule.of else None,
                rule.of,
                str(rule.state),
                rule.waived,
                rule.when,
                "; ".join(rule.near),
            )
            for letter in letters
            for standard in letter.standards
            for rule in standard.rules
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildUpRow:
    """A dive of the build-up.

    Parameters
    ----------
    number
        Its place.
    title
        What it is called.
    starts
        When it begins, local time.
    greatest_depth_m
        The greatest depth [m].
    run_time_min
        The run time [min].
    gases
        Its gases, in words.
    new
        What is new on it.
    skills
        What is shown on it, in words.
    load
        Its task load.
    interval_min
        The surface interval before it [min]; None before the first.
    cns_pct
        Oxygen exposure at its end, for the central nervous system [%]; None if not computed.
    pulmonary
        The pulmonary dose of the day at its end, with the unit in which it was computed given by
        the table; None if not computed.
    cost
        What its gas costs; None if it is not priced.
    remark
        A remark.
    """

    number: int
    title: str
    starts: datetime
    greatest_depth_m: float
    run_time_min: float
    gases: str
    new: str = ""
    skills: str = ""
    load: float | None = None
    interval_min: float | None = None
    cns_pct: float | None = None
    pulmonary: float | None = None
    cost: Decimal | None = None
    remark: str = ""


def buildup_sheet(
    rows: Iterable[BuildUpRow],
    *,
    units: UnitSystem,
    currency: str = "",
    pulmonary_unit: str = "OTU",
) -> Sheet:
    """Return the dives of a course.

    Parameters
    ----------
    rows
        A dive each.
    units
        In which depths are written.
    currency
        Of the cost.
    pulmonary_unit
        Of the pulmonary dose.
    """
    in_feet = units is UnitSystem.IMPERIAL
    return Sheet(
        "Build-up",
        (
            Column("dive", kind=Kind.WHOLE),
            Column("title"),
            Column("starts", "local time", Kind.TIME),
            Column("interval before", "min", Kind.NUMBER, 0),
            Column("greatest depth", units.depth_unit, Kind.NUMBER),
            Column("run time", "min", Kind.NUMBER, 0),
            Column("gases"),
            Column("new"),
            Column("skills"),
            Column("task load", kind=Kind.NUMBER),
            Column("CNS", "%", Kind.NUMBER),
            Column("pulmonary dose", pulmonary_unit, Kind.NUMBER, 0),
            Column("gas", currency, Kind.MONEY),
            Column("remark"),
        ),
        tuple(
            (
                one.number,
                one.title,
                one.starts,
                one.interval_min,
                feet_from_m(one.greatest_depth_m) if in_feet else one.greatest_depth_m,
                one.run_time_min,
                one.gases,
                one.new,
                one.skills,
                one.load,
                one.cns_pct,
                one.pulmonary,
                one.cost,
                one.remark,
            )
            for one in rows
        ),
    )


def skills_sheet(
    assignment: Sequence[DiveSkills], dives: Sequence[PlannedDive], library: SkillLibrary
) -> Sheet:
    """Return which skill is shown on which dive.

    Parameters
    ----------
    assignment
        What is shown on which dive.
    dives
        The planned dives.
    library
        The skills.
    """
    shown = {one.dive: one.skills for one in assignment}
    rows = [
        (
            dive.id,
            dive.greatest.value,
            str(dive.greatest.unit),
            str(dive.decompression),
            place,
            skill.id,
            skill.group,
            skill.words,
            skill.shows,
            skill.load,
            ", ".join(skill.before),
            ", ".join(sorted(library.loses(skill))),
        )
        for dive in in_order(dives)
        for place, skill in enumerate(map(library.skill, shown.get(dive.id, ())), start=1)
    ]
    return Sheet(
        "Skills",
        (
            Column("dive"),
            Column("greatest depth", kind=Kind.NUMBER),
            Column("its unit"),
            Column("stops"),
            Column("place on the dive", kind=Kind.WHOLE),
            Column("skill"),
            Column("group"),
            Column("what it is"),
            Column("what counts as shown"),
            Column("task load", kind=Kind.WHOLE),
            Column("after"),
            Column("simulated loss"),
        ),
        tuple(rows),
    )


def signoff_sheet(record: CourseRecord) -> Sheet:
    """Return the sign-off book, hashes and all, so that it can be checked elsewhere.

    Parameters
    ----------
    record
        The record of the course.
    """
    return Sheet(
        "Sign-off book",
        (
            Column("number", kind=Kind.WHOLE),
            Column("signed", "with offset from UTC"),
            Column("dive"),
            Column("diver"),
            Column("skill"),
            Column("outcome"),
            Column("remark"),
            Column("by"),
            Column("corrects", kind=Kind.WHOLE),
            Column("hash", "SHA-256"),
            Column("hash of the one before", "SHA-256"),
        ),
        tuple(
            (
                one.number,
                one.at.isoformat(),
                one.dive,
                record.name(one.diver),
                one.skill,
                str(one.outcome),
                record.remark(one.remark),
                record.name(one.by),
                one.corrects,
                one.hash,
                one.previous,
            )
            for one in record.entries
        ),
    )


@dataclass(frozen=True, slots=True)
class GasTotal:
    """How much of a gas a course takes.

    Parameters
    ----------
    used_free_l
        What is breathed and blown off of it in all dives [L].
    filled_free_l
        What is in all cylinders of it that go into the water [L].
    """

    used_free_l: float
    filled_free_l: float


def gas_totals_sheet(totals: Mapping[Mixture, GasTotal], *, units: UnitSystem) -> Sheet:
    """Return how much of each gas a course takes.

    Parameters
    ----------
    totals
        For each gas how much of it.
    units
        In which free gas is written.
    """

    def volume(free_l: float) -> float:
        return free_l if units is UnitSystem.METRIC else cubic_feet_from_l(free_l)

    return Sheet(
        "Gas totals",
        (
            Column("gas"),
            Column("oxygen", "%", Kind.NUMBER),
            Column("helium", "%", Kind.NUMBER),
            Column("used", f"{units.volume_unit}, free gas", Kind.NUMBER, 0),
            Column("filled", f"{units.volume_unit}, free gas", Kind.NUMBER, 0),
        ),
        tuple(
            (
                str(mix),
                mix.o2 * 100.0,
                mix.he * 100.0,
                volume(total.used_free_l),
                volume(total.filled_free_l),
            )
            for mix, total in sorted(totals.items(), key=lambda one: (one[0].o2, -one[0].he))
        ),
    )
