"""Screening as the trade does it: minima, a strict instructor, one limit in two units.

The numbers are common practice and have no published source; the standards that are shipped as
examples have others.
"""

from __future__ import annotations

from datetime import date

import pytest

from slatewright.course.candidates import Candidate, Certificate
from slatewright.course.readiness import readiness
from slatewright.course.rule_depths import DepthPair
from slatewright.course.standard import CourseAsked
from slatewright.course.standard_course import CourseDive, CourseFacts, judge_course
from slatewright.course.standardfile import standard_file_of
from slatewright.dive.schedule import schedule
from slatewright.errors import NoSafeAnswer
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive, Origin
from slatewright.physics.mixture import Mixture
from unit.dive.plans import gas, plan_of

TOPIC = "Screening"
CUSTOM = "common practice, no published source"
SOURCE = "the trade's custom"
TODAY = date(2031, 5, 10)
MINIMUM = standard_file_of("""
schema = "slatewright/standard/1"
id = "minimum"
title = "Check values"
[[rule]]
id = "age"
says = "18 years."
age_years = 18
[[rule]]
id = "dives"
says = "100 dives, of which 25 at 30 m / 100 ft or deeper."
dives = 100
of_which = [{ dives = 25, from_m = 30, from_ft = 100 }]
[[rule]]
id = "card"
says = "A trimix card."
certificates_any = "trimix"
""").standard()
STRICT = standard_file_of("""
schema = "slatewright/standard/1"
id = "strict"
title = "Check values"
side = "instructor"
[[rule]]
id = "trimix"
says = "50 trimix dives between 45 and 60 m / 150 and 200 ft."
dives = 50
gas = "trimix"
from_m = 45
from_ft = 150
to_m = 60
to_ft = 200
[[rule]]
id = "pair"
says = "Earlier dives as a pair."
dives = 1
partner = "a course partner"
""").standard()


def feet(value):
    return LoggedDepth(value, DepthUnit.FEET)


def logbook(count, depth, *mixes, start=0, **more):
    return tuple(
        LoggedDive(
            on_date=date(2031, 4, 1), minutes=45.0, greatest=depth,
            mixes=tuple(map(Mixture.parse, mixes)), origin=Origin("own.csv", start + line), **more,
        )
        for line in range(1, count + 1)
    )  # fmt: skip


def judged(*dives, born_on=date(2013, 5, 10), cards=("trimix",)):
    who = Candidate(
        name="Mirren Dahl", born_on=born_on, dives=dives,
        certificates=tuple(Certificate(title=kind, kinds=frozenset({kind})) for kind in cards),
    )  # fmt: skip
    return readiness(who, [MINIMUM, STRICT], TODAY, partners=["Tove Aas"]).judged


@pytest.fixture
def yes(outside):
    """Return a checker of yes and no: 1 is yes."""

    def check(item, ours, *, published):
        outside.check(topic=TOPIC, item=f"{item} (1 yes, 0 no)", source=SOURCE, how=CUSTOM,
                      published=float(published), ours=float(ours), tolerance=0.0,
                      reason="a verdict")  # fmt: skip

    return check


SEVENTY_FIVE = logbook(75, LoggedDepth(18.0), "air")


def test_25_dives_to_101_ft_meet_the_minimum_and_not_the_strict_one(yes, outside):
    minimum, strict = judged(*SEVENTY_FIVE, *logbook(25, feet(101), "EAN32", start=75))
    yes("100 dives, 25 of them to 101 ft, 18 years today, trimix card: meets the minimum",
        minimum.all_met, published=True)  # fmt: skip
    yes("the same diver meets a strict instructor's rules", strict.ready, published=False)
    deep = minimum.rule("dives").way.parts[1]
    outside.check(topic=TOPIC, item="dives of these that count as 30 m / 100 ft", source=SOURCE,
                  how=CUSTOM, published=25, ours=deep.count, tolerance=0)  # fmt: skip


@pytest.mark.parametrize(
    ("item", "less"),
    [
        ("24 to 101 ft and one to 99 ft",
         {"deep": (*logbook(24, feet(101), "air", start=75),
                   *logbook(1, feet(99), "air", start=99))}),
        ("99 dives", {"shallow": SEVENTY_FIVE[1:]}),
        ("a day before the 18th birthday", {"born_on": date(2013, 5, 11)}),
        ("no trimix card", {"cards": ("nitrox",)}),
    ],
)  # fmt: skip
def test_one_thing_less_does_not_meet_the_minimum(yes, item, less):
    less = dict(less)
    deep = less.pop("deep", logbook(25, feet(101), "air", start=75))
    minimum, _ = judged(*less.pop("shallow", SEVENTY_FIVE), *deep, **less)
    yes(f"{item}: meets the minimum", minimum.ready, published=False)


def test_a_strict_instructors_dives(yes):
    pair = {"partners": ("Tove Aas",)}
    metric = logbook(25, LoggedDepth(45.0), "18/45", **pair)
    imperial = logbook(25, feet(200), "18/45", start=25, **pair)
    yes("25 trimix dives to 45 m and 25 to 200 ft, as a pair: meets the strict rules",
        judged(*metric, *imperial)[1].ready, published=True)  # fmt: skip
    alone = (*logbook(50, feet(180), "18/45"),)
    yes("50 trimix dives to 180 ft, none as a pair", judged(*alone)[1].ready, published=False)
    on_air = logbook(50, feet(180), "air", **pair)
    yes("50 dives to 180 ft as a pair, on air", judged(*on_air)[1].ready, published=False)


@pytest.mark.parametrize(
    ("depth", "inside"),
    [
        (LoggedDepth(100.0), True), (feet(330.0), True), (LoggedDepth(101.0), False),
        (feet(331.0), False),
    ],
)  # fmt: skip
def test_100_m_and_330_ft_are_the_same_limit(yes, depth, inside):
    pair = DepthPair(100.0, 330.0)
    assert pair.agrees
    facts = CourseFacts(
        dives=[CourseDive(name="last", greatest=depth, run_time_min=150, bottom_time_min=15)],
        students=2,
    )
    [result] = judge_course(CourseAsked(limit=pair), facts)
    yes(f"a dive to {depth} keeps a limit of 100 m / 330 ft", result.met, published=inside)


def test_140_ft_printed_as_39_m_disagree(outside, yes):
    pair = DepthPair(39.0, 140.0)
    yes("140 ft printed as 39 m are one depth", pair.agrees, published=False)
    shown_m = float(pair.note.split("140 ft is ")[1].split(" m")[0])
    outside.check(topic=TOPIC, item="140 ft, printed as 39 m, are", source=SOURCE, how=CUSTOM,
                  published=42.7, ours=shown_m, tolerance=0.0, unit="m",
                  reason="as shown, to a decimal")  # fmt: skip


@pytest.mark.parametrize(("travel", "can"), [((), False), (("EAN50",), True)])
def test_a_bottom_gas_that_cannot_support_consciousness_calls_for_a_travel_gas(yes, travel, can):
    gases = [gas("10/70", "bottom"), gas("EAN50", "decompression")]
    plan = plan_of(gases + [gas(mix, "travel") for mix in travel], [(90.0, 15.0)])
    try:
        schedule(plan)
    except NoSafeAnswer as refusal:
        planned = False
        assert "cannot keep a person conscious at the surface" in str(refusal)  # noqa: PT017 - either outcome is a result
        assert "carry a travel gas" in str(refusal)  # noqa: PT017 - same
    else:
        planned = True
    carried = " and ".join(travel) or "none"
    yes(f"90 m on 10/70, travel gas {carried}: can be planned", planned, published=can)
