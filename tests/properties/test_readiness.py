"""More dives never make a candidate less ready, and their order does not matter."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.course.candidates import Candidate, Certificate
from slatewright.course.readiness import judge, readiness
from slatewright.course.readiness_document import readiness_document
from slatewright.course.standardfile import SHIPPED, shipped_standard, standard_file_of
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Role
from slatewright.physics.mixture import Mixture

FEW = settings(max_examples=50, deadline=None)
TODAY = date(2031, 5, 10)
MIXES = tuple(map(Mixture.parse, ("air", "EAN32", "21/35", "18/45", "20/80", "O2")))
SMALL = standard_file_of("""
schema = "slatewright/standard/1"
id = "small"
title = "Small enough that a drawn logbook may meet it"
[[rule]]
id = "all"
says = "3, of which 1 deep."
dives = 3
of_which = [{ dives = 1, from_m = 30, from_ft = 100 }]
[[rule]]
id = "band"
says = "2 on helium in a band."
dives = 2
from_m = 30
from_ft = 100
to_m = 60
to_ft = 200
gas = ["trimix", "heliox"]
[[rule]]
id = "recent"
says = "2 in the last 6 months."
dives = 2
last_months = 6
[[rule]]
id = "either"
says = "Stops, or a partner."
one_of = [
  { dives = 2, decompression = true, last_days = 400 }, { dives = 1, partner = "a course partner" }
]
[[rule]]
id = "fixed"
says = "1 in 2030."
dives = 1
since = 2030-01-01
until = 2030-12-31
""").standard()
STANDARDS = (SMALL, *map(shipped_standard, SHIPPED))
METRIC = st.floats(1, 120).map(LoggedDepth)
IMPERIAL = st.integers(5, 400).map(lambda ft: LoggedDepth(float(ft), DepthUnit.FEET))
BORDERS = st.sampled_from(
    [LoggedDepth(30.0), LoggedDepth(60.0), LoggedDepth(99.0, DepthUnit.FEET),
     LoggedDepth(100.0, DepthUnit.FEET), LoggedDepth(200.0, DepthUnit.FEET)]
)  # fmt: skip
DIVES = st.builds(
    LoggedDive,
    on_date=st.integers(-20, 1500).map(lambda days: TODAY - timedelta(days=days)),
    minutes=st.floats(5, 200),
    greatest=st.one_of(METRIC, IMPERIAL, BORDERS),
    mixes=st.lists(st.sampled_from(MIXES), max_size=3).map(tuple),
    circuit=st.sampled_from(Circuit),
    role=st.sampled_from(Role),
    decompression=st.sampled_from([None, True, False]),
    partners=st.lists(st.sampled_from(["Tove Aas", "Ilka Brandt", "X"]), max_size=2).map(tuple),
    equipment=st.lists(st.sampled_from(["twinset", "stage"]), max_size=2).map(tuple),
)
LOGBOOKS = st.lists(DIVES, max_size=12).map(tuple)
TEAM = {"instructors": ("Ilka Brandt",), "partners": ("Tove Aas",)}


def who(dives):
    kinds = frozenset({"trimix", "decompression"})
    return Candidate(
        name="Mirren Dahl", born_on=date(1996, 2, 29), dives=dives,
        certificates=(Certificate(title="Card", kinds=kinds),),
    )  # fmt: skip


def no_later(more, before):
    return before is None or (more is not None and more <= before)


@FEW
@given(LOGBOOKS, LOGBOOKS)
def test_more_dives_never_make_less_ready(dives, others):
    for standard in STANDARDS:
        before = judge(who(dives), standard, TODAY, **TEAM)
        after = judge(who(dives + others), standard, TODAY, **TEAM)
        assert after.ready or not before.ready
        assert no_later(after.forecast.on, before.forecast.on)
        for old, new in zip(before.rules, after.rules, strict=True):
            assert new.met or not old.met
            assert no_later(new.forecast.on, old.forecast.on)
            for old_way, new_way in zip(old.ways, new.ways, strict=True):
                for few, many in zip(old_way.parts, new_way.parts, strict=True):
                    assert many.count >= few.count
                    assert len(many.unknown) >= len(few.unknown)
                    assert len(many.near) >= len(few.near)


@FEW
@given(LOGBOOKS, st.randoms(use_true_random=False))
def test_the_order_does_not_matter(dives, random):
    shuffled = list(dives)
    random.shuffle(shuffled)
    one, other = (
        readiness_document(readiness(who(tuple(order)), STANDARDS, TODAY, **TEAM))
        for order in (dives, shuffled)
    )
    assert one == other


@FEW
@given(LOGBOOKS)
def test_each_dive_is_told_once_at_most_and_what_counts_is_counted(dives):
    for result in judge(who(dives), SMALL, TODAY, **TEAM).rules:
        for way in result.ways:
            for part in way.parts:
                told = [id(one.dive) for one in (*part.near, *part.unknown)]
                told += [id(one) for one in part.counted]
                assert len(told) == len(set(told))
                assert part.count == len(part.counted)
                assert {id(one.dive) for one in part.borders} <= {id(d) for d in part.counted}
                assert all(one.why for one in (*part.near, *part.unknown, *part.borders))


@FEW
@given(LOGBOOKS)
def test_what_was_forecast_comes_true_if_the_pace_is_kept(dives):
    """Judge again on the forecast day, with the dives that the pace brings by then."""
    asks = standard_file_of(
        'schema = "slatewright/standard/1"\nid = "x"\ntitle = "x"\n'
        '[[rule]]\nid = "x"\nsays = "x"\ndives = 6\n'
    ).standard()
    past = tuple(one for one in dives if one.on_date <= TODAY)
    forecast = judge(who(past), asks, TODAY).forecast
    if forecast.on is None or forecast.on == TODAY:
        return
    yearly = [one for one in past if one.on_date >= date(2030, 5, 10)]
    days = (forecast.on - TODAY).days
    for ahead, met in ((days, True), (days - 1, False)):
        day = TODAY + timedelta(days=ahead)
        new = ahead * len(yearly) // 365
        later = past + tuple(replace(yearly[0], on_date=day) for _ in range(new))
        assert judge(who(later), asks, day).ready == met
