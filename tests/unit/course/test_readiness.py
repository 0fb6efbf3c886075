"""Readiness: states, waivers, forecasts, working, medical clearance, the document."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta
from importlib.resources import files

import jsonschema
import pytest

from slatewright.course.readiness import State, judge, readiness
from slatewright.course.readiness_document import readiness_document
from slatewright.course.standardfile import SHIPPED, shipped_standard
from slatewright.course.waivers import Waiver
from slatewright.errors import InputError
from unit.course.logbooks import TODAY, candidate, card, dive, dives, feet, rule, standard

SCHEMA = json.loads(files("slatewright.data").joinpath("readiness-1.schema.json").read_text())
TWO_RULES = """
[[rule]]
id = "deep"
says = "4 dives to 30 m / 100 ft."
dives = 4
from_m = 30
from_ft = 100
[[rule]]
id = "card"
says = "A card for trimix."
certificates_any = "trimix"
"""


def only(asks, *logged, **more):
    """Return what came of the only rule of a standard."""
    [result] = judge(candidate(*logged, **more), rule(asks), TODAY).rules
    return result


def waiver(rule_id="card", **more):
    return Waiver(**{"rule": rule_id, "standard": "own", "reason": "Dived with me for years.",
                     "by": "Ilka Brandt", "on": TODAY, **more})  # fmt: skip


# the outlook, by hand


def test_at_the_pace_of_the_last_year():
    # 5 such dives in the last 12 months, 8 known, 10 needed: 2 more take 2/5 of 365 days = 146
    logged = (*dives(3, 35, 500), *(dive(35, n) for n in (10, 80, 150, 220, 300)))
    got = only("dives = 10\nfrom_m = 30\nfrom_ft = 100", *logged).forecast
    assert got.on == TODAY + timedelta(days=146)
    assert got.says == "About 2031-10-03 at the pace of the last 12 months (5 such dives)."
    assert got.lapses_on is None


def test_one_dive_a_year_and_one_short_takes_a_year():
    got = only("dives = 2", dive(20, 100)).forecast
    assert got.on == TODAY + timedelta(days=365)
    assert "one such dive" in got.says


def test_only_dives_that_would_count_make_the_pace():
    logged = (dive(35, 100), *dives(40, 12, 30))
    assert only("dives = 2\nfrom_m = 30\nfrom_ft = 100", *logged).forecast.on == (
        TODAY + timedelta(days=365)
    )


def test_never_at_a_pace_of_nothing():
    got = only("dives = 9", *dives(8, 35, 400)).forecast
    assert got.on is None
    assert got.says == "Never at this pace: no such dive in the last 12 months."


def test_not_in_a_lifetime():
    got = only("dives = 100", dive(20, 1)).forecast
    assert got.on is None
    assert got.says == "Not within 30 years: one such dive in the last 12 months."


def test_a_moving_window_fills_at_the_pace_of_the_year_only_as_far_as_it_can():
    # 6 dives a year, evenly: the last 12 months hold 6 or so for ever, and never 8
    logged = [dive(20, 30 + 60 * n) for n in range(6)]
    got = only("dives = 8\nlast_months = 12", *logged).forecast
    assert got.on is None
    assert got.says.startswith("Never at this pace: 6 such dives in the last 12 months; older ")
    assert "no more than 6 of 8 ever count at once" in got.says


def test_a_moving_window_may_fill_before_the_old_dives_leave_it():
    # 6 dives, all of the last fortnight: 2 more come after 2/6 of a year, 122 days, and all count
    logged = [dive(20, n) for n in range(2, 8)]
    got = only("dives = 8\nlast_months = 12", *logged).forecast
    assert got.on == TODAY + timedelta(days=122)


def test_a_moving_window_that_is_full_lapses_without_more_dives():
    logged = [dive(20, date(2030, 8, 1)), dive(20, date(2030, 9, 1)), dive(20, date(2031, 1, 1))]
    got = only("dives = 2\nlast_months = 12", *logged).forecast
    assert got.on == TODAY
    # the second youngest is of 1 September: it counts on 1 September 2031 for the last time
    assert got.lapses_on == date(2031, 9, 2)
    later = judge(candidate(*logged), rule("dives = 2\nlast_months = 12"), date(2031, 9, 1))
    assert later.ready
    later = judge(candidate(*logged), rule("dives = 2\nlast_months = 12"), date(2031, 9, 2))
    assert not later.ready


def test_a_period_that_has_ended_or_will():
    assert only("dives = 2\nuntil = 2031-01-01", dive(20, 200)).forecast.says == (
        "Never: the period ended on 2031-01-01."
    )
    ends = only("dives = 3\nsince = 2031-01-01\nuntil = 2031-06-01", dive(20, 5)).forecast
    assert ends.on is None
    assert ends.says.endswith("and the period ends on 2031-06-01.")
    opens = only("dives = 1\nsince = 2031-06-01", *dives(365, 20, 5)).forecast
    assert opens.on == date(2031, 6, 1)  # one a day


def test_age_and_cards_give_dates_or_none():
    assert only("age_years = 18", born_on=date(2013, 8, 1)).forecast.on == date(2031, 8, 1)
    assert only("age_years = 18", born_on=date(2013, 8, 1)).forecast.says == (
        "On 2031-08-01, the birthday."
    )
    none = only('certificates_any = "trimix"').forecast
    assert none.on is None
    assert none.says == "A certificate does not come at a pace: no date."


def test_all_at_once_waits_for_the_last_and_for_what_lapses():
    both = standard("""
[[rule]]
id = "recent"
says = "2 in the last 3 months."
dives = 2
last_months = 3
[[rule]]
id = "age"
says = "18."
age_years = 18
""")
    # met today by two dives of this month; at 2 dives a year 3 months hold none to come, so that
    # by the birthday in December the first rule has lapsed
    logged = (dive(20, 1), dive(20, 2))
    got = judge(candidate(*logged, born_on=date(2013, 12, 1)), both, TODAY)
    assert [one.forecast.on for one in got.rules] == [TODAY, date(2031, 12, 1)]
    assert got.forecast.on is None
    assert got.forecast.says == ("Never at this pace: some rules lapse before the others are met.")
    soon = judge(candidate(*logged, born_on=date(2013, 6, 1)), both, TODAY)
    assert soon.forecast.on == date(2031, 6, 1)


def test_ways_take_the_soonest():
    asks = "one_of = [{ dives = 9 }, { dives = 3 }]"
    result = only(asks, dive(20, 1), dive(20, 2))
    assert result.way is result.ways[1]
    assert result.part.needed == 3
    assert result.forecast.on == TODAY + timedelta(days=183)  # half a year, rounded up


# states and waivers


def test_a_waived_rule_shows_as_waived_and_not_as_met():
    own = standard(TWO_RULES)
    got = judge(candidate(*dives(4, 35)), own, TODAY, [waiver()])
    assert got.ready
    assert not got.all_met
    card_rule = got.rule("card")
    assert (card_rule.state, card_rule.met) == (State.WAIVED, False)
    assert card_rule.working[-1] == "Waived by Ilka Brandt on 2031-05-10: Dived with me for years."
    with pytest.raises(KeyError):
        got.rule("none")


def test_a_waiver_holds_for_its_standard_from_its_day_and_where_it_is_needed():
    own = standard(TWO_RULES)
    who = candidate(*dives(4, 35))
    for useless in (
        waiver(standard="other"), waiver("deep"), waiver(on=TODAY + timedelta(days=1))
    ):  # fmt: skip
        assert not judge(who, own, TODAY, [useless]).ready
    met = judge(who, own, TODAY, [waiver("deep")]).rule("deep")
    assert met.state is State.MET
    assert met.waiver is not None
    assert judge(who, own, TODAY, [waiver("gone")]).stray_waivers == (waiver("gone"),)


def test_the_latest_waiver_is_shown():
    old = waiver(on=date(2031, 1, 1), reason="Old.")
    got = judge(candidate(), standard(TWO_RULES), TODAY, [waiver(), old]).rule("card")
    assert got.waiver == waiver()


@pytest.mark.parametrize("part", ["reason", "by"])
def test_a_waiver_says_why_and_by_whom(part):
    with pytest.raises(InputError, match="has nothing here"):
        waiver(**{part: " "})


def test_a_waived_rule_is_not_waited_for():
    own = standard(TWO_RULES)
    who = candidate(*dives(4, 35))
    assert judge(who, own, TODAY).forecast.says == (
        "No date can be given for card. All other rules are met today."
    )
    assert judge(who, own, TODAY, [waiver()]).forecast.on == TODAY


def test_it_may_be_met_if_the_log_said_more():
    logged = (dive(50, 1, "18/45"), dive(50, 2))
    result = only('dives = 2\ngas = "trimix"', *logged)
    assert result.state is State.NOT_MET
    assert result.part.may_be_met
    assert not only('dives = 3\ngas = "trimix"', *logged).part.may_be_met


# the working


def test_the_working_in_sentences():
    logged = (*dives(3, 35, 9, "18/45"), dive(35, 400, "18/45"), dive(35, 5), dive(20, 4, "air"),
              dive(feet(99), 3, "18/45"))  # fmt: skip
    asks = 'dives = 4\nfrom_m = 30\nfrom_ft = 100\ngas = "trimix"\nlast_months = 12'
    [line] = only(asks, *logged).working
    assert line == (
        "Asks at least 4 logged dives at 30 m / 100 ft or deeper on trimix in the last 12 months: "
        "7 dives logged up to 2031-05-10. "
        "Of these, 5 at 30 m / 100 ft or deeper. "
        "Of these, 4 on trimix. "
        "Of these, 3 in the last 12 months (2030-05-10 to 2031-05-10, both days included). "
        "3 counted, 4 needed: 1 short. "
        "1 not counted because the log does not say enough."
    )


def test_the_working_of_ages_and_cards():
    leap = only("age_years = 18", born_on=date(2012, 2, 29)).working
    assert leap[0].endswith(
        "Born on 2012-02-29: 19 years old on 2031-05-10. 18 years old from 2030-03-01 on; in years "
        "without 29 February a birthday on it counts on 1 March."
    )
    held = card("trimix", title="Deep card", issued_on=date(2030, 1, 2))
    [line] = only('certificates_any = "trimix"', certificates=(held, card("nitrox"))).working
    assert line.endswith("2 certificates on file. Deep card allows trimix, issued on 2030-01-02.")


# medical clearance


@pytest.mark.parametrize(
    ("until", "valid", "words"),
    [
        (date(2031, 6, 7), True, "valid until 2031-06-07: valid on the days of the course"),
        (date(2031, 6, 6), False, "not valid from 2031-06-07 on, which are 1 of 3 days"),
        (date(2031, 6, 1), False, "was valid until 2031-06-01: not valid on the days"),
        (None, False, "There is no medical clearance on file"),
    ],
)
def test_medical_clearance_on_the_days_of_the_course(until, valid, words):
    days = (date(2031, 6, 7), date(2031, 6, 5), date(2031, 6, 6))
    who = candidate(medical_until=until)
    got = readiness(who, [standard(TWO_RULES)], TODAY, course_days=days).medical
    assert got.valid == valid
    assert words in got.says
    assert got.days == tuple(sorted(days))


def test_medical_clearance_today():
    got = readiness(candidate(medical_until=TODAY), [standard(TWO_RULES)], TODAY).medical
    assert got.valid
    assert got.says == "The medical clearance is valid until 2031-05-10: valid today (2031-05-10)."


# side by side, and as data


def both(who, **more):
    return readiness(who, list(map(shipped_standard, SHIPPED)), TODAY, **more)


def seasoned():
    """Return somebody who meets the example of a minimum and not the stricter one."""
    logged = (*dives(95, 18, 30, "air", decompression=False),
              *dives(25, feet(130), 60, "21/35", "EAN50", decompression=True),
              *dives(10, 45, 90, "18/45", "O2", decompression=True))  # fmt: skip
    return candidate(
        *logged, born_on=date(2000, 2, 29), medical_until=TODAY,
        certificates=(card("trimix", "decompression", title="Deep card"),),
    )  # fmt: skip


def test_both_standards_at_once():
    minimum, own = both(seasoned()).judged
    # 130 dives, 35 of them to 40 m / 130 ft, 35 with decompression, 10 on trimix to 42 m
    assert [(r.rule.id, r.state, r.part.count) for r in minimum.rules] == [
        ("age", "met", 31), ("card", "met", 2), ("experience", "met", 130),
        ("decompression", "met", 35), ("trimix", "met", 10),
    ]  # fmt: skip
    assert minimum.ready
    assert not own.ready
    counts = {r.rule.id: (r.part.count, r.part.needed) for r in own.rules}
    assert counts["experience"] == (130, 260)
    assert counts["helium-in-the-band"] == (0, 36)
    assert counts["rich-stops"] == (10, 18)
    assert len(own.rule("with-the-instructor").part.unknown) == 10


def test_the_document_keeps_to_its_schema_and_can_be_counted_again():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    ready = both(
        seasoned(), instructors=("Ilka Brandt",), course_days=(TODAY + timedelta(days=9),),
        waivers=[waiver("card", standard="stricter"), waiver("gone", standard="stricter")],
    )  # fmt: skip
    document = json.loads(json.dumps(readiness_document(ready)))
    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    deep = document["standards"][0]["rules"][2]["ways"][0]["parts"][1]
    counted = [document["dives"][position] for position in deep["counted"]]
    assert deep["count"] == len(counted) == 35
    assert {(one["depth"], one["unit"]) for one in counted} == {(130, "ft"), (45, "m")}
    assert document["standards"][1]["stray_waivers"][0]["rule"] == "gone"
    assert document["standards"][0]["notes"][0].startswith("This standard is an example")
    assert not document["medical"]["valid"]


@pytest.mark.parametrize("who", [candidate(), candidate(dive(99, 3)), candidate(dive(20, -4))])
def test_the_document_of_a_beginner(who):
    jsonschema.Draft202012Validator(SCHEMA).validate(readiness_document(both(who)))


def test_standards_have_names_of_their_own():
    with pytest.raises(InputError, match="same name"):
        readiness(candidate(), [standard(TWO_RULES)] * 2, TODAY)


def test_the_order_of_the_logbook_does_not_matter():
    who = seasoned()
    turned = replace(who, dives=tuple(reversed(who.dives)))
    assert readiness_document(both(turned)) == readiness_document(both(who))
