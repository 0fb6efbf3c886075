"""The build-up of a course: residual gas, days, doses, findings with tried cures, the document."""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from slatewright.course.buildup import GasWanted, build_up
from slatewright.course.buildup_course import course_of
from slatewright.course.course_document import buildup_document
from slatewright.course.coursefile import Move, plans_beside, read_course_text, rescheduled
from slatewright.decompression.tissues import air_saturated
from slatewright.dive.chain import schedules_of
from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import interval_min, read_chain
from slatewright.fill.fillfile import read_fill_file
from slatewright.fill.pricefile import read_prices
from slatewright.physics.constants import STANDARD_ATMOSPHERE_BAR
from unit.course.course_texts import PEOPLE, built, course, dive, found, plan, text_of

EXAMPLES = Path(__file__).parents[3] / "examples"
WEEK = EXAMPLES / "stair-week" / "course.toml"
TEXT = WEEK.read_text("utf-8")
LAST = EXAMPLES / "build-up-week" / "6-the-wall.toml"
SCHEMA = json.loads((files("slatewright.data") / "build-up-1.schema.json").read_text("utf-8"))
SLOPE = plan(45, 25, deco="EAN50")
TWO_STUDENTS = f'{PEOPLE}[[student]]\nname = "Casper"\ndeepest_m = 40\nhelium_before = true\n'


def at(day, hour=9, minute=0):
    return datetime(2031, 5, day, hour, minute)  # noqa: DTZ001 - local


def week(text=TEXT, **wanted):
    of = course_of(read_course_text(text), plans_beside(WEEK), text=text)
    return build_up(of, HouseRules(), **wanted)


def violations(result):
    return {finding.code for finding in result.findings if finding.violates}


@pytest.fixture(scope="module")
def example():
    return week()


# what each dive begins with


def test_the_example_is_clean(example):
    assert example.clean
    assert [finding.code for finding in example.findings] == []


def test_a_course_at_the_intervals_of_a_chain_of_plans_is_that_chain():
    """The chain carries by intervals, the course by dates: the same tissues, oxygen, run time."""
    chain, links = schedules_of(LAST, HouseRules()), read_chain(LAST)
    start, moves = at(5, 10), []
    for number, (link, made) in enumerate(zip(links, chain, strict=True), 1):
        start += timedelta(minutes=link.interval_min)
        moves.append(Move(number, start))
        start += timedelta(minutes=made.runtime_min)
    timeline = week(rescheduled(TEXT, moves)).timeline
    for timed, made in zip(timeline.dives, chain, strict=True):
        for name in ("Mirren", "Tove", "Casper"):
            own = timed.made[name]
            assert own.runtime_min == made.runtime_min
            assert own.end == made.end
            assert own.dose.cns_pct == made.oxygen.cns_pct
            assert own.dose.otu == pytest.approx(made.oxygen.otu)
    days = timeline.days["Tove"]
    assert [day.day_of_run for day in days] == [1, 2, 3, 4, 5, 7]
    assert days[-1].run_otu == pytest.approx(chain[-1].plan.carried.otu_before_today
                                             + chain[-1].oxygen.otu)  # fmt: skip


def test_what_a_plan_says_of_earlier_dives_gives_way_to_the_dates():
    plans = [SLOPE, SLOPE + '[earlier]\nplan = "x.toml"\nsurface_interval = "0:10"\n']
    result = built(text_of(dive(1, "2031-05-05", "9:00"), dive(2, "2031-05-07", "9:00")), plans)
    second = result.timeline.dives[1].made["Tove"]
    surfaced = result.timeline.dives[0].surfaced
    assert second.interval_min == (at(7) - surfaced) / timedelta(minutes=1)


def test_figures_brought_to_the_first_dive_count():
    n2_bar = list(air_saturated(STANDARD_ATMOSPHERE_BAR).n2_bar)  # as if nothing were brought
    carried = f"[carried]\nn2_bar = {n2_bar}\nhe_bar = {[0.0] * 16}\ncns_pct = 30\n"
    carried += "otu_today = 20\notu_before_today = 200\nday = 3\n"
    text = text_of(dive(1, "2031-05-05", "9:00"), dive(1, "2031-05-06", "9:00"))
    without, brought = built(text, [SLOPE]), built(text, [SLOPE + carried])
    plain, more = (each.timeline.days["Tove"] for each in (without, brought))
    assert [day.day_of_run for day in more] == [3, 4]
    assert more[0].otu == pytest.approx(plain[0].otu + 20.0)
    assert more[1].run_otu == pytest.approx(plain[1].run_otu + 220.0)
    first, second = (timed.made["Tove"].dose for timed in brought.timeline.dives)
    assert first.cns_pct == pytest.approx(without.timeline.dives[0].made["Tove"].dose.cns_pct + 30)
    assert second.cns_pct < first.cns_pct


def test_two_dives_a_day_share_its_dose_and_shorten_no_stop():
    text = text_of(
        dive(1, "2031-05-05", "9:00"), dive(1, "2031-05-05", "13:30"), limits="new_a_dive = 9"
    )
    result = built(text, [SLOPE])
    first, second = result.timeline.dives
    assert second.runtime_min > first.runtime_min
    (day,) = result.timeline.days["Tove"]
    assert day.otu == pytest.approx(second.made["Tove"].dose.otu)
    assert day.otu > first.made["Tove"].dose.otu


def test_a_dive_over_midnight_takes_from_both_days():
    text = text_of(dive(1, "2031-05-31", "23:30"), dive(1, "2031-06-02", "9:00"))
    result = built(text, [SLOPE])
    days = result.timeline.days["Tove"]
    assert [day.day for day in days] == [date(2031, 5, 31), date(2031, 6, 1), date(2031, 6, 2)]
    assert days[0].otu + days[1].otu == pytest.approx(
        result.timeline.dives[0].made["Tove"].dose.otu
    )
    # the pulmonary dose that the next dive is held against is that of its own day
    assert result.timeline.dives[1].made["Tove"].plan.carried.otu_today == 0.0


def test_who_has_dived_more_is_waited_for():
    text = text_of(
        dive(1, "2031-05-05", "9:00", who='["Mirren", "Tove"]'),
        dive(1, "2031-05-05", "13:00"),
        people=TWO_STUDENTS,
        limits="least_dives = 0",
    )
    result = built(text, [SLOPE])
    timed = result.timeline.dives[1]
    tove, casper = timed.made["Tove"], timed.made["Casper"]
    assert tove.own_runtime_min > casper.own_runtime_min
    assert tove.runtime_min == casper.runtime_min == tove.own_runtime_min
    assert casper.dose.otu > result.timeline.dives[0].made["Tove"].dose.otu  # longer on 50 %
    (note,) = found(result, "brings-more")
    assert note.severity is Severity.NOTE
    assert result.clean


# the instructor's week


def elsewhere(on, clock, number=1):
    return f'[[elsewhere]]\nplan = "#{number}"\non = {on}\nat = "{clock}"\nwho = "Mirren"\n'


def test_the_instructor_brings_what_another_course_left():
    text = text_of(dive(1, "2031-05-05", "14:00"))
    alone = built(text, [SLOPE])
    both = built(text + elsewhere("2031-05-05", "9:00"), [SLOPE])
    mirren, tove = (both.timeline.dives[1].made[name] for name in ("Mirren", "Tove"))
    assert tove.interval_min is None
    assert mirren.interval_min > 0.0
    assert mirren.dose.cns_pct > tove.dose.cns_pct
    assert both.timeline.dives[1].runtime_min > alone.timeline.dives[0].runtime_min
    assert both.timeline.days["Mirren"][0].otu > both.timeline.days["Tove"][0].otu
    assert both.flying["Mirren"].last == both.flying["Tove"].last


def test_nobody_makes_two_dives_at_once():
    result = built(
        text_of(dive(1, "2031-05-05", "9:30")) + elsewhere("2031-05-05", "9:00"), [SLOPE]
    )
    (overlap,) = found(result, "overlap")
    assert overlap.severity is Severity.DANGER
    assert overlap.who == ("Mirren",)


def test_days_of_both_courses_are_counted_together():
    dives = [dive(1, f"2031-05-{day:02d}", "9:00") for day in (6, 7, 8)]
    text = text_of(*dives, limits="dives_before_rest = 3")
    assert built(text, [SLOPE]).clean
    result = built(text + elsewhere("2031-05-05", "9:00"), [SLOPE])
    (tired,) = found(result, "no-rest")
    assert tired.who == ("Mirren",)
    assert tired.at == at(8)


# the ladder


@pytest.mark.parametrize(
    ("units", "first", "second", "code"),
    [
        ("metric", 45, 57, False),
        ("metric", 45, 57.1, True),
        ("imperial", 150, 190, False),
        ("imperial", 150, 191, True),  # 12.5 m, though 12 m are 39.4 ft
    ],
)
def test_a_step_is_judged_in_the_unit_of_its_plan(units, first, second, code):
    plans = [plan(depth, 18, "18/45", units=units, deco="EAN50") for depth in (first, second)]
    text = text_of(dive(1, "2031-05-05", "9:00"), dive(2, "2031-05-06", "9:00"), units=units)
    assert bool(found(built(text, plans), "step-too-deep")) is code


def test_a_step_from_feet_to_metres_is_exact():
    plans = [plan(150, 18, units="imperial", deco="EAN50"), plan(57.8, 18, deco="EAN50")]
    text = text_of(dive(1, "2031-05-05", "9:00"), dive(2, "2031-05-06", "9:00"))
    (step,) = found(built(text, plans), "step-too-deep")  # 45.72 m and 12 m are 57.72 m
    assert "12.1 m deeper than 150 ft" in step.text


@pytest.mark.parametrize(("base", "codes"), [("last dive", 1), ("deepest dive", 0)])
def test_a_step_is_counted_from_the_last_dive_or_from_the_deepest(base, codes):
    plans = [plan(depth, 18, deco="EAN50") for depth in (50, 30, 60)]
    dives = [dive(i, f"2031-05-0{i}", "9:00") for i in (1, 2, 3)]
    text = text_of(*dives, limits=f'step_from = "{base}"\nnew_a_dive = 9')
    assert len(found(built(text, plans), "step-too-deep")) == codes


def test_dives_between_make_each_step_small_enough():
    plans = [plan(45, 18, deco="EAN50"), plan(80, 15, "14/55", deco="EAN50")]
    text = text_of(dive(1, "2031-05-05", "9:00"), dive(2, "2031-05-06", "9:00"))
    (step,) = found(built(text, plans), "step-too-deep")
    assert step.times == 2
    assert "2 dives between, to 56 m and 68 m" in step.cure


def test_a_first_dive_on_helium_goes_little_deeper_than_any_before():
    people = PEOPLE.replace("helium_before = true", "helium_before = false")
    limits = "step_m = 20"
    for depth, count in ((50, 0), (50.5, 1)):
        text = text_of(dive(1, "2031-05-05", "9:00"), people=people, limits=limits)
        result = built(text, [plan(depth, 15, deco="EAN50")])
        assert len(found(result, "first-helium")) == count
        assert not found(result, "step-too-deep")


def test_a_depth_that_nobody_wrote_down_is_not_guessed():
    people = PEOPLE.replace("deepest_m = 40\n", "")
    result = built(text_of(dive(1, "2031-05-05", "9:00"), people=people), [SLOPE])
    assert [finding.dive for finding in found(result, "depth-not-known")] == [1]


def test_the_greatest_depth_is_a_pair():
    for units, depth, count in (("metric", 100, 0), ("metric", 100.5, 1), ("imperial", 330, 0)):
        text = text_of(
            dive(1, "2031-05-05", "9:00"), people=PEOPLE.replace("= 40", "= 95"), units=units
        )
        result = built(text, [plan(depth, 12, "18/60", units=units, deco="EAN50")])
        assert len(found(result, "too-deep")) == count


# what is new


def test_what_is_new_follows_from_the_plans(example):
    new = {number: [t.words for t in each.things] for number, each in example.novelty.items()}
    assert new == {
        1: [],
        2: ["O2 in stage 7", "twin 15", "45 to 60 m"],
        3: [],
        4: ["15/55 in twin 18", "a travel gas, EAN50", "60 to 75 m"],
        5: ["12/65", "21/35 in single 15", "75 to 90 m"],
        6: ["10/70", "below 90 m"],
    }


def test_more_that_is_new_than_allowed_is_found():
    result = week(TEXT.replace("new_a_dive = 3", "new_a_dive = 2"))
    assert sorted(finding.dive for finding in found(result, "too-much-new")) == [2, 4, 5]


def test_what_the_author_calls_new_is_compared():
    text = TEXT.replace('"oxygen in a stage 7", "twin 15"', '"scooter", "18/45"')
    result = week(text.replace("new_a_dive = 3", "new_a_dive = 9"))
    (unnamed,) = found(result, "unnamed-new")
    assert "O2 in stage 7, twin 15" in unnamed.text
    (not_new,) = found(result, "not-new")
    assert "18/45" in not_new.text
    assert [thing.words for thing in result.novelty[2].things][-1] == "scooter"


def test_the_load_of_skills_is_what_the_skills_say():
    text = text_of(
        dive(1, "2031-05-05", "9:00", skills='["trim"]'),
        dive(1, "2031-05-06", "9:00", skills='["trim", "marker"]'),
        limits="task_load = 6\ntask_load_rise = 3",
    )
    heavy = {"trim": 1.0, "marker": 4.0}
    assert built(text, [SLOPE]).clean
    result = built(text, [SLOPE], load=lambda skills: sum(heavy[skill] for skill in skills))
    assert result.load == {1: 1.0, 2: 5.0}
    assert [finding.dive for finding in found(result, "task-load-rise")] == [2]
    assert not found(result, "task-load")


def test_simulated_stops_are_not_real_ones():
    text = text_of(dive(1, "2031-05-05", "9:00", simulated="true"))
    assert found(built(text, [SLOPE]), "not-simulated")
    assert not found(built(text, [plan(12, 30, "EAN32")]), "not-simulated")


# days and people


def test_too_short_an_interval_is_found_and_each_cure_cures():
    text = TEXT.replace('on = 2031-05-06\nat = "9:30"', 'on = 2031-05-05\nat = "12:30"')
    result = week(text)
    (short,) = found(result, "interval")
    assert "1:38 at the surface" in short.text  # 10:52 to 12:30
    assert len(short.mends) >= 2
    for mend in short.mends:
        cured = week(rescheduled(text, mend.moves))
        assert not found(cured, "interval")
        assert violations(cured) < violations(result)
    later = short.mends[0]
    assert later.moves == (Move(2, at(5, 15)),)  # 4:00 after 10:52, in half hours
    assert "2:30 h later" in later.words


def test_an_interval_of_just_the_least_will_do():
    first = built(text_of(dive(1, "2031-05-05", "9:00")), [SLOPE]).timeline.dives[0].surfaced
    for minutes, count in ((180, 0), (179, 1)):
        clock = first + timedelta(minutes=minutes)
        text = text_of(dive(1, "2031-05-05", "9:00"), dive(1, "2031-05-05", f"{clock:%H:%M}"))
        assert len(found(built(text, [SLOPE]), "interval")) == count


def test_a_dive_over_midnight_is_no_day_of_rest_for_the_next():
    dives = [dive(1, "2031-05-30", "9:00"), dive(1, "2031-05-31", "23:30")]
    dives.append(dive(1, "2031-06-02", "9:00"))
    text = text_of(*dives, limits="dives_before_rest = 2")
    assert len(found(built(text, [SLOPE]), "no-rest")) == 1
    early = text.replace('"23:30"', '"20:30"')
    assert not found(built(early, [SLOPE]), "no-rest")


def test_three_dives_a_day_are_too_many():
    dives = [dive(1, "2031-05-05", clock) for clock in ("7:00", "12:00", "17:00")]
    result = built(text_of(*dives), [plan(12, 30, "EAN32")])
    (many,) = found(result, "too-many-a-day")
    assert many.at == at(5, 17)
    assert many.mends[0].moves == (Move(3, at(6, 17)),)


@pytest.mark.parametrize(
    ("limits", "who", "code"),
    [
        ("students_per_instructor = 1", None, "too-many-students"),
        ("students_per_instructor = 2", None, ""),
        ("", '["Tove", "Casper"]', "no-instructor"),
        ("students_per_instructor = 1", '["Mirren", "Tove"]', ""),
    ],
)
def test_students_are_watched(limits, who, code):
    keys = {} if who is None else {"who": who}
    text = text_of(dive(1, "2031-05-05", "9:00", **keys), people=TWO_STUDENTS, limits=limits)
    assert violations(built(text, [SLOPE])) == ({code} if code else set())


def test_too_few_dives_and_too_little_time_are_told_of_each_student():
    limits = "least_dives = 2\nleast_runtime_min = 120"
    text = text_of(
        dive(1, "2031-05-05", "9:00"),
        dive(1, "2031-05-07", "9:00", who='["Mirren", "Tove"]'),
        people=TWO_STUDENTS,
        limits=limits,
    )
    result = built(text, [SLOPE])
    assert [finding.who for finding in found(result, "too-few-dives")] == [("Casper",)]
    minutes = sum(timed.runtime_min for timed in result.timeline.dives)
    short = {"Tove"} if minutes < 120 else set()
    assert {f.who[0] for f in found(result, "too-little-time")} == short | {"Casper"}


def test_a_dive_on_a_day_of_rest_is_found():
    text = text_of(dive(1, "2031-05-05", "9:00"), more="[[rest]]\non = 2031-05-05\n")
    (rest,) = found(built(text, [SLOPE]), "day-of-rest")
    assert rest.mends[0].moves == (Move(1, at(6)),)


# load


def test_more_lung_than_is_allowed_is_found_on_its_day():
    """Half a day of rich gas each day: four days allow 525 units each, five 460 [HAMILTON1988]."""
    dives = [dive(1, f"2031-05-{day:02d}", "9:00") for day in (5, 6, 7, 8, 9)]
    result = built(text_of(*dives), [plan(17, 330, "EAN50")])
    days = result.timeline.days["Tove"]
    assert all(460.0 < day.otu < 525.0 for day in days)
    assert [day.day for day in days if day.over] == [date(2031, 5, 9)]
    over = found(result, "pulmonary")
    assert {(finding.dive, finding.who) for finding in over} == {(5, ("Mirren",)), (5, ("Tove",))}
    for finding in over:
        assert "day 5 of a run allows 460" in finding.text


def test_a_plan_without_a_safe_answer_stops_what_follows():
    text = text_of(dive(1, "2031-05-05", "9:00"), dive(2, "2031-05-06", "9:00"))
    result = built(text, [plan(90, 40, "21/0"), SLOPE])
    assert [finding.dive for finding in found(result, "no-safe-answer")] == [1, 2]
    assert result.timeline.dives[0].refusal
    assert "could not be computed" in result.timeline.dives[1].refusal[0].what
    assert result.timeline.dives[1].runtime_min is None


def test_what_is_not_judged_is_said(example):
    assert any("way home" in line for line in buildup_document(example)["not_judged"])


# gas and the document


def test_gas_is_counted_for_those_who_dive_and_priced():
    prices = read_prices(EXAMPLES / "fill-room" / "prices.toml")
    room = read_fill_file(EXAMPLES / "fill-room" / "the-week.toml").fill_room(prices)
    result = week(gas=GasWanted(prices=prices, room=room))
    gas = result.gas
    assert gas.notes == ()
    assert {need.owner for need in gas.needs} == {"Mirren", "Tove", "Casper"}
    assert all(0.0 < gas.used_free_l[mix] < gas.filled_free_l[mix] for mix in gas.filled_free_l)
    assert gas.bill.total == sum(line.cost for line in gas.bill.lines)
    assert gas.order_cost > gas.bill.total  # what stays in the supply cylinders is paid for too
    document = buildup_document(result)
    jsonschema.validate(document, SCHEMA)
    assert document["cost"]["fills"] == str(gas.bill.total)


def test_who_is_not_in_a_plan_breathes_as_its_diver_and_a_note_says_so():
    text = TEXT.replace('name = "Casper"', 'name = "Jorin"').replace('who = "Casper"', "")
    gas = week(text, gas=GasWanted()).gas
    assert gas.notes == ("Jorin is taken to carry and breathe what Mirren does",)
    assert {need.owner for need in gas.needs} == {"Mirren", "Tove", "Jorin"}


def test_the_document_is_as_described():
    text = TEXT.replace('on = 2031-05-06\nat = "9:30"', 'on = 2031-05-05\nat = "12:30"')
    for result in (week(), week(text), built(text_of(dive(1, "2031-05-05", "9:00")), [SLOPE])):
        document = json.loads(json.dumps(buildup_document(result), allow_nan=False))
        jsonschema.validate(document, SCHEMA)
    assert document["limits"]["step_ft"] == 40.0
    assert document["limits"]["least_interval_min"] == interval_min("3:00")


def test_an_imperial_course_speaks_feet():
    plans = [plan(depth, 18, units="imperial", deco="EAN50") for depth in (130, 185)]
    people = PEOPLE.replace("deepest_m = 40", "deepest_ft = 130")
    text = text_of(
        dive(1, "2031-05-05", "9:00"), dive(2, "2031-05-06", "9:00"),
        people=people, units="imperial",
    )  # fmt: skip
    result = built(text, plans)
    (step,) = found(result, "step-too-deep")
    assert "55 ft deeper than 130 ft; a step is 40 ft" in step.text
    assert "1 dive between, to 145 ft" in step.cure
    stop = result.timeline.dives[0].schedule.first_stop_m
    assert stop / 0.3048 % 10 == pytest.approx(0.0, abs=1e-6)
    assert course(text, plans).dives[1].deepest.depth_m == pytest.approx(56.388)
