"""Rules against logbooks counted by hand, and at their borders."""

from __future__ import annotations

from datetime import date

import pytest

from slatewright.course.readiness import judge
from slatewright.course.rule_depths import DepthPair
from slatewright.course.rule_gases import GasKind, GasWanted, kind_of
from slatewright.course.rule_periods import Period, age_on, birthday, months_later
from slatewright.errors import InputError
from slatewright.logs.logged import Circuit, Role
from slatewright.physics.mixture import Mixture
from unit.course.logbooks import (
    TODAY,
    at,
    candidate,
    card,
    dive,
    dives,
    feet,
    metres,
    rule,
)

DEEP = "dives = 2\nfrom_m = 30\nfrom_ft = 100"


def part(asks, *logged, today=TODAY, **more):
    """Return what came of a rule, for its only part."""
    team = {name: more.pop(name) for name in ("instructors", "partners") if name in more}
    [result] = judge(candidate(*logged, **more), rule(asks), today, **team).rules
    [way] = result.ways
    [only] = way.parts
    return only


# depth, in the unit of the log


@pytest.mark.parametrize(
    ("depth", "counts"),
    [
        (metres(30), True),
        (metres(29.9), False),
        (metres(30.1), True),
        (feet(100), True),
        (feet(99), False),  # 30.2 m: it would count if it were logged in metres
        (feet(101), True),
    ],
)
def test_a_depth_is_judged_in_the_unit_of_the_log(depth, counts):
    found = part(DEEP, dive(depth))
    assert found.count == counts
    assert len(found.near) == (not counts)


def test_99_feet_are_told_as_a_border_of_units():
    [told] = part(DEEP, dive(feet(99))).near
    assert told.about == "depth"
    assert told.why.startswith("99 ft is 1 ft short of 100 ft; a border of units: as 30.2 m it ")
    assert "would count" in told.why


def test_30_metres_count_and_are_told_as_a_border_of_units():
    found = part(DEEP, dive(metres(30)), dive(metres(30.48)), dive(metres(31)))
    assert found.count == 3
    [told] = found.borders  # 30.48 m is 100 ft, 31 m more
    assert told.dive.greatest == metres(30)
    assert "as 98.4 ft it would not count" in told.why


def test_short_by_how_little():
    [told] = part(DEEP, dive(29.7)).near
    assert told.why == "29.7 m is 0.3 m short of 30 m"
    assert not part(DEEP, dive(26.9)).near  # more than 3 m: not near


def test_a_band_has_two_borders_and_both_count():
    band = "dives = 1\nfrom_m = 45\nfrom_ft = 150\nto_m = 60\nto_ft = 200"
    logged = [dive(metres(d)) for d in (44.9, 45, 60, 60.1)]
    logged += [dive(feet(d)) for d in (149, 150, 200, 201)]
    found = part(band, *logged)
    assert [str(one.greatest) for one in found.counted] == ["45 m", "60 m", "150 ft", "200 ft"]
    told = {str(one.dive.greatest): one.why for one in found.near}
    assert told["60.1 m"].startswith("60.1 m is 0.1 m beyond 60 m; a border of units")
    assert told["201 ft"] == "201 ft is 1 ft beyond 200 ft"  # 61.3 m: outside in both


def test_a_depth_far_off_by_one_unit_of_a_pair_that_disagrees_is_still_told():
    found = part("dives = 1\nfrom_m = 39\nfrom_ft = 140", dive(feet(129)), dive(feet(127)))
    assert [str(one.dive.greatest) for one in found.near] == ["129 ft"]  # 39.3 m


@pytest.mark.parametrize(
    ("metric", "imperial", "agrees"),
    [
        (30, 100, True), (40, 130, True), (45, 150, True), (60, 200, True), (90, 300, True),
        (100, 330, True), (120, 400, True), (6, 20, True), (42, 140, True), (50, 165, True),
        (39, 140, False), (3, 14, False), (40, 140, False), (100, 300, False),
    ],
)  # fmt: skip
def test_pairs_agree_within_the_rounding_of_the_trade(metric, imperial, agrees):
    assert DepthPair(metric, imperial).agrees == agrees


def test_a_pair_that_disagrees_is_noted_on_its_rule():
    [own] = rule("dives = 1\nfrom_m = 39\nfrom_ft = 140").rules
    [note] = own.notes
    assert note.startswith("The two values of 39 m / 140 ft disagree: 140 ft is 42.7 m, and 39 m ")
    assert rule(DEEP).rules[0].notes == ()


# gas


@pytest.mark.parametrize(
    ("mix", "kind"),
    [
        ("air", "air"), ("20.9%", "air"), ("EAN22", "nitrox"), ("EAN32", "nitrox"),
        ("O2", "oxygen"), ("18/45", "trimix"), ("10/70", "trimix"), ("20/80", "heliox"),
        ("19.9/79.9", "heliox"), ("21/0.3", "air"), ("EAN99.4", "nitrox"),
    ],
)  # fmt: skip
def test_kinds_of_gas(mix, kind):
    assert kind_of(Mixture.parse(mix)) is GasKind(kind)


def test_one_gas_of_a_dive_is_enough_and_silence_is_not_counted_but_told():
    trimix = 'dives = 1\ngas = "trimix"'
    found = part(trimix, dive(50, 1, "18/45", "EAN50"), dive(40, 2, "air"), dive(45, 3))
    assert found.count == 1
    [told] = found.unknown
    assert (told.about, told.why) == ("gas", "the log does not say the gas")
    assert not found.near


def test_helium_and_oxygen_have_to_be_in_one_gas():
    rich = "dives = 1\nhelium_least_pct = 40\noxygen_most_pct = 18"
    assert part(rich, dive(50, 1, "18/40")).count == 1
    apart = part(rich, dive(50, 1, "21/40", "15/20"))
    assert apart.count == 0
    [told] = part(rich, dive(50, 1, "18/38.5")).near
    assert told.why.startswith("18/38.5 is 1.5 points away from a gas with at least 40 % helium")
    assert not part(rich, dive(50, 1, "18/37")).near


def test_wanted_gases_contradict_nothing():
    with pytest.raises(InputError, match="at least is more"):
        GasWanted(he_least=0.5, he_most=0.4)
    with pytest.raises(InputError, match="so much of both"):
        GasWanted(he_least=0.6, o2_least=0.5)


# days


def test_the_last_day_of_a_period_counts_and_the_day_before_does_not():
    year = "dives = 1\nlast_months = 12"
    found = part(year, dive(20, date(2030, 5, 10)), dive(20, date(2030, 5, 9)), dive(20, TODAY))
    assert [one.on_date for one in found.counted] == [date(2030, 5, 10), TODAY]
    [told] = found.near
    assert told.why == "2030-05-09 is a day before 2030-05-10, the first day that counts"
    assert not part(year, dive(20, date(2030, 4, 8))).near  # 32 days
    assert part(year, dive(20, date(2030, 4, 9))).near


def test_days_are_counted_back_as_months_are():
    found = part("dives = 1\nlast_days = 90", dive(20, 90), dive(20, 91))
    assert [one.on_date for one in found.counted] == [date(2031, 2, 9)]


def test_a_dive_over_midnight_belongs_to_the_day_on_which_it_began():
    late = dive(20, date(2030, 5, 9), began_at=at(23, 40))
    found = part("dives = 1\nlast_months = 12", late)
    assert found.count == 0
    assert found.near[0].why.endswith("it ended after midnight and belongs to the day on which it "
                                      "began")  # fmt: skip
    tonight = dive(20, TODAY, began_at=at(23, 40))
    assert part("dives = 1\nlast_months = 12", tonight).count == 1
    fixed = "dives = 1\nuntil = 2030-05-09"
    assert part(fixed, late).count == 1


def test_a_fixed_period_counts_both_ends():
    fixed = "dives = 1\nsince = 2030-01-01\nuntil = 2030-12-31"
    days = (date(2029, 12, 31), date(2030, 1, 1), date(2030, 12, 31), date(2031, 1, 1))
    found = part(fixed, *(dive(20, day) for day in days))
    assert [one.on_date for one in found.counted] == list(days[1:3])
    assert [one.why for one in found.near] == [
        "2029-12-31 is a day before 2030-01-01, the first day that counts",
        "2031-01-01 is a day after 2030-12-31, the last day that counts",
    ]


def test_dives_of_tomorrow_do_not_count_and_are_told():
    found = part("dives = 1", dive(20, -1))
    assert found.count == 0
    assert found.near[0].why == "2031-05-11 is a day after 2031-05-10, on which is judged"


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        (date(2031, 3, 31), -1, date(2031, 3, 1)),
        (date(2028, 2, 29), -12, date(2027, 3, 1)),
        (date(2028, 2, 29), 48, date(2032, 2, 29)),
        (date(2031, 12, 31), 2, date(2032, 3, 1)),
        (date(2031, 11, 30), 1, date(2031, 12, 30)),
        (date(2031, 1, 10), -1, date(2030, 12, 10)),
    ],
)
def test_months(day, months, expected):
    assert months_later(day, months) == expected


def test_a_period_is_bounded_in_one_way():
    for wrong in ({}, {"months": 1, "days": 1}, {"days": 1, "since": TODAY}):
        with pytest.raises(InputError, match="in one way"):
            Period(**wrong)
    with pytest.raises(InputError, match="ends before"):
        Period(since=TODAY, until=date(2031, 5, 9))


# partners, role, circuit, decompression, equipment


def test_with_the_instructor():
    asks = 'dives = 1\npartner = "the instructor"'
    logged = [
        dive(20, 1, partners=("Ilka  brandt", "Tove Aas")),
        dive(21, 2, partners=("Tove Aas",)),
        dive(22, 3),
    ]
    found = part(asks, *logged, instructors=("Ilka Brandt",))
    assert [one.greatest.value for one in found.counted] == [20]
    assert [one.why for one in found.unknown] == ["the log names no partner"]
    nobody = part(asks, *logged)
    assert nobody.count == 0
    assert {one.why for one in nobody.unknown} == {
        "nobody was named as the instructor", "the log names no partner"
    }  # fmt: skip


def test_with_a_course_partner_or_a_name():
    asks = 'dives = 1\npartner = ["a course partner", "Casper Holt"]'
    logged = [
        dive(20, n, partners=(who,)) for n, who in enumerate(("Tove Aas", "Casper Holt", "X"))
    ]
    assert part(asks, *logged, partners=("Tove Aas",)).count == 2
    assert part(asks, *logged).count == 1


def test_what_else_a_log_says():
    logged = [
        dive(20, 1, role=Role.STUDENT, decompression=True, equipment=("twinset", "stage")),
        dive(20, 2, circuit=Circuit.CLOSED, decompression=False, equipment=("twinset",)),
        dive(20, 3),
    ]
    for asks, count, unknown in (
        ('role = "student"', 1, 0),
        ('circuit = "closed circuit"', 1, 0),
        ("decompression = true", 1, 1),
        ("decompression = false", 1, 1),
        ('equipment = "Twinset"', 2, 1),
        ('equipment = ["twinset", "stage"]', 1, 1),
        ('equipment = ["stage"]\ndecompression = true', 1, 1),
        ('equipment = ["stage"]\ndecompression = false', 0, 1),
    ):
        found = part(f"dives = 1\n{asks}", *logged)
        assert (found.count, len(found.unknown)) == (count, unknown), asks


def test_two_silences_of_one_dive_are_told_together():
    [told] = part("dives = 1\ndecompression = true\ngas = 'trimix'", dive(20, 1)).unknown
    assert (
        told.why == "the log does not say the gas; the log does not say whether stops were needed"
    )


def test_one_condition_by_little_is_near_but_two_are_not():
    asks = "dives = 1\nfrom_m = 30\nfrom_ft = 100\nlast_months = 12"
    assert len(part(asks, dive(29, 3)).near) == 1
    assert len(part(asks, dive(31, 370)).near) == 1
    assert not part(asks, dive(29, 370)).near
    silent = part(f"{asks}\ngas = 'air'", dive(29, 3))
    assert not silent.near
    assert not silent.unknown


# age and certificates


@pytest.mark.parametrize(
    ("born", "today", "of_age"),
    [
        (date(2013, 5, 10), date(2031, 5, 10), True),  # the 18th birthday
        (date(2013, 5, 11), date(2031, 5, 10), False),
        (date(2012, 2, 29), date(2030, 2, 28), False),
        (date(2012, 2, 29), date(2030, 3, 1), True),
        (date(2012, 2, 29), date(2030, 12, 31), True),
    ],
)
def test_the_eighteenth_birthday(born, today, of_age):
    found = part("age_years = 18", born_on=born, today=today)
    assert found.met == of_age
    assert found.count == (18 if of_age else 17)


def test_ages():
    assert birthday(date(2012, 2, 29), 20) == date(2032, 2, 29)
    assert age_on(date(2031, 5, 11), TODAY) == 0
    assert age_on(date(2031, 12, 31), date(2031, 5, 10)) == 0
    assert age_on(date(2012, 2, 29), date(2032, 2, 28)) == 19


def test_an_unknown_birthday_is_not_guessed():
    found = part("age_years = 18")
    assert not found.met
    assert found.may_be_met
    assert found.forecast.on is None


def test_certificates_any_and_all():
    both = ("trimix", "decompression")
    one, other = card("Trimix", title="First"), card("decompression", title="Second")
    assert part(f"certificates_any = {list(both)}", certificates=(one,)).met
    lacking = part(f"certificates_all = {list(both)}", certificates=(one,))
    assert (lacking.count, lacking.needed) == (1, 2)
    assert lacking.working[-1] == "None is held for decompression."
    assert part(f"certificates_all = {list(both)}", certificates=(one, other)).met
    assert not part(f"certificates_any = {list(both)}").met


def test_a_card_of_a_later_day_is_not_held_yet():
    coming = card("trimix", issued_on=date(2031, 6, 1))
    found = part('certificates_any = "trimix"', certificates=(coming,))
    assert not found.met
    assert found.forecast.on == date(2031, 6, 1)


# combinations


def test_of_which():
    asks = "dives = 5\nof_which = [{ dives = 2, from_m = 30, from_ft = 100 }]"
    logged = (*dives(3, 20, 9), *dives(2, 35, 8))
    [result] = judge(candidate(*logged), rule(asks), TODAY).rules
    assert [(p.count, p.needed) for p in result.way.parts] == [(5, 5), (2, 2)]
    assert result.met
    [fewer] = judge(candidate(*logged[:4]), rule(asks), TODAY).rules
    assert [(p.count, p.needed) for p in fewer.way.parts] == [(4, 5), (1, 2)]
    assert not fewer.met


def test_one_way_is_enough():
    asks = "one_of = [{ dives = 9 }, { dives = 3, age_years = 30, certificates_any = 'trimix' }]"
    old = {"born_on": date(1990, 1, 1), "certificates": (card("trimix"),)}
    met = judge(candidate(*dives(3, 20), **old), rule(asks), TODAY).rules[0]
    assert met.met
    assert met.way is met.ways[1]
    assert not judge(candidate(*dives(3, 20)), rule(asks), TODAY).rules[0].met
    assert judge(candidate(*dives(9, 20)), rule(asks), TODAY).rules[0].met
