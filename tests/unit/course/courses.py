"""A course record and an agreement of our own invention: no person, school or place exists."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal

from slatewright.course.agreement import Agreement, Fee
from slatewright.course.record import (
    Achieved,
    Analysed,
    Briefed,
    CourseRecord,
    DiveRecord,
    Planned,
)
from slatewright.course.signoff import Outcome, Sealed, Signing, head, signed
from slatewright.course.skillfile import shipped_skills
from slatewright.logs.logged import LoggedDepth
from slatewright.physics.mixture import Mixture

COURSE = "stair-2031-05"
MIRREN, TOVE, JORIN = "Mirren Askvale", "Tove Lindqvarn", "Jorin Pell"
TEXTS = {
    name: Sealed(name, bytes([i] * 16)) for i, name in enumerate((MIRREN, TOVE, JORIN), start=1)
}
ZONE = timezone(timedelta(hours=2))
EAN50, TRIMIX = Mixture(0.5, 0.0), Mixture(0.18, 0.45)


def analysed(diver, cylinder, gas, on, **more):
    return Analysed(
        diver=diver,
        cylinder=cylinder,
        planned=gas,
        **{"o2_pct": gas.o2 * 100, "he_pct": gas.he * 100, "by": diver, "at": on} | more,
    )


def dive(number, depth, minutes, gases, skills, *, decompression="simulated"):
    on = datetime(2031, 5, 4 + number, 8, 40)  # noqa: DTZ001 - by the clock at the place
    divers = (TOVE, JORIN, MIRREN)
    return DiveRecord(
        id=f"d{number}",
        title=f"The Stair, step {number}",
        on=on.date(),
        divers=divers,
        planned=Planned(
            greatest=LoggedDepth(depth),
            run_time_min=minutes,
            gases=gases,
            decompression=decompression,
            skills=skills,
            by=MIRREN,
        ),
        analysed=tuple(
            analysed(diver, f"{diver.split()[0]} {i}", gas, on)
            for diver in divers
            for i, gas in enumerate(gases, start=1)
        ),
        briefed=Briefed(by=MIRREN, at=on + timedelta(minutes=50), divers=divers),
        achieved=tuple(
            Achieved(
                diver=diver, greatest=LoggedDepth(depth - 0.4), run_time_min=minutes - 2, by=MIRREN
            )
            for diver in divers
        ),
    )


def full_record():
    """Return a record without a gap."""
    planned = (
        dive(1, 18, 55, (EAN50,), ("trim", "valves", "share-gas", "marker")),
        dive(2, 30, 60, (TRIMIX, EAN50), ("drop-pick-up", "gas-switch", "lost-mask")),
        dive(3, 45, 64, (TRIMIX, EAN50), ("share-gas-marker", "simulated-stops")),
    )
    entries = []
    for one in planned:
        for skill in one.planned.skills:
            for diver in (TOVE, JORIN):
                late = timedelta(hours=17, minutes=len(entries))
                start = datetime(one.on.year, one.on.month, one.on.day, tzinfo=ZONE)
                entries.append(
                    signed(
                        entries,
                        COURSE,
                        Signing(
                            diver=TEXTS[diver],
                            skill=skill,
                            dive=one.id,
                            outcome=Outcome.SHOWN,
                            by=TEXTS[MIRREN],
                            at=start + late,
                        ),
                    )
                )
    return CourseRecord(
        course=COURSE,
        title="A week on the Stair",
        school="Askvale Deep Tuition (invented)",
        instructors=(MIRREN,),
        divers=(TOVE, JORIN),
        dives=planned,
        skills={skill.id: skill.words for skill in shipped_skills().skills},
        entries=tuple(entries),
        texts={sealed.digest: sealed for sealed in TEXTS.values()},
        kept_head=head(entries, COURSE),
    )


def uneven_record():
    """Return a record with a repeat, a correction, a remark, a lost day and a dive ended early."""
    record = full_record()
    entries, remark = list(record.entries), Sealed("Lost the stop by two metres.", b"r" * 16)
    common = {"diver": TEXTS[JORIN], "by": TEXTS[MIRREN]}
    at = datetime(2031, 5, 7, 18, 30, tzinfo=ZONE)
    entries.append(
        signed(
            entries,
            COURSE,
            Signing(
                skill="share-gas-marker", dive="d3", outcome=Outcome.REPEAT, at=at,
                remark=remark, corrects=16, **common,
            ),
        )
    )  # fmt: skip
    lost = DiveRecord(
        id="d4",
        title="The Stair, step 4",
        on=date(2031, 5, 8),
        divers=(TOVE, JORIN, MIRREN),
        lost="Wind from the north-west, the boat stayed in port.",
    )
    third = record.dives[2]
    achieved = replace(
        third.achieved[1],
        greatest=LoggedDepth(46.2),
        ended="Jorin signalled cold after 14 min at depth.",
    )
    third = replace(third, achieved=(third.achieved[0], achieved, third.achieved[2]))
    return replace(
        record,
        entries=tuple(entries),
        texts=dict(record.texts) | {remark.digest: remark},
        dives=(*record.dives[:2], third, lost),
    )


def agreement(**more):
    facts = {
        "course": "A week on the Stair",
        "school": "Askvale Deep Tuition (invented)",
        "instructor": MIRREN,
        "diver": TOVE,
        "begins_on": date(2031, 5, 5),
        "ends_on": date(2031, 5, 12),
        "place": "The Stair, a slope of our own invention",
        "fees": (
            Fee("Tuition, six days", Decimal("1450.00")),
            Fee("Gas as planned, helium included", Decimal("612.40")),
            Fee("Boat, five trips", Decimal("375.00")),
        ),
        "reserve_days": (date(2031, 5, 11), date(2031, 5, 12)),
        "remedial_day_price": Decimal("220.00"),
        "greatest_depth": "60 m",
    }
    return Agreement(**facts | more)
