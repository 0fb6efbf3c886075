"""Standards as files: what they say, their faults, written back; courses against them."""

from __future__ import annotations

import re
import tomllib
from datetime import date
from importlib.resources import files

import pytest

from slatewright.course.rule_depths import DepthPair
from slatewright.course.rules import AgeAsked, CardsAsked, DivesAsked
from slatewright.course.standard import EXAMPLE_NOTE, IN_FORCE_NOTE, CourseAsked, Side
from slatewright.course.standard_course import CourseDive, CourseFacts, judge_course
from slatewright.course.standardfile import (
    SHIPPED,
    read_standard,
    shipped_standard,
    shipped_text,
    standard_file_of,
    write_standard_file,
)
from slatewright.errors import InputError, PlanFileError
from unit.course.logbooks import feet, metres, standard

HEAD = 'schema = "slatewright/standard/1"\nid = "own"\ntitle = "Own"\n'
FULL = f"""{HEAD}side = "instructor"  # mine
note = \"\"\"As of
spring.\"\"\"

# of age
[[rule]]
says = "Of age."
id = "age"
age_years = 19

[[rule]]
id = "much"
says = "Much."
dives = 40
gas = ["trimix", "heliox"]
partner = "the instructor"
since = 2030-01-01

[[rule.of_which]]  # deep ones
dives = 7
from_m = 39.5
from_ft = 130

[[rule]]
id = "either"
says = "Either."

[[rule.one_of]]
dives = 300

[[rule.one_of]]
certificates_all = ["trimix"]
dives = 200

[course]
dives = 6
limit_m = 84
limit_ft = 280
skills = "gas-switch"
"""


def faults(text):
    with pytest.raises(PlanFileError) as caught:
        standard_file_of(text)
    return [(one.line, one.where, one.what) for one in caught.value.faults]


# the shipped examples


@pytest.mark.parametrize("name", SHIPPED)
def test_the_examples_say_that_they_are_examples(name):
    own = shipped_standard(name)
    assert own.id == name
    assert own.example
    assert own.notes[0] == EXAMPLE_NOTE
    assert "agency that issues the card replaces it" in EXAMPLE_NOTE
    first = shipped_text(name).splitlines()[0]
    assert "EXAMPLE" in first
    assert "no agency" in " ".join(shipped_text(name).replace("#", "").split())
    assert not [note for rule in own.rules for note in rule.notes]
    assert not own.course.notes


def test_one_is_a_minimum_and_the_other_is_an_instructors():
    minimum, own = map(shipped_standard, SHIPPED)
    assert (minimum.side, own.side) == (Side.MINIMUM, Side.INSTRUCTOR)
    assert len(own.rules) > len(minimum.rules)
    assert own.course.limit.metres < minimum.course.limit.metres
    assert own.course.dives > minimum.course.dives


def test_the_check_values_of_the_trade_are_not_the_numbers_of_the_examples():
    for name in SHIPPED:
        needed = [
            (asked.needed, [str(one) for one in asked.conditions])
            for rule in shipped_standard(name).rules
            for way in rule.ways
            for asked in way
            if isinstance(asked, DivesAsked)
        ]
        assert not {100, 25, 50}.intersection(number for number, _ in needed)
        depths = " ".join(word for _, words in needed for word in words)
        assert not re.search(r"\b(30|45|60) m", depths)


def test_the_sentences_of_the_examples_say_their_numbers():
    for name in SHIPPED:
        for own in shipped_standard(name).rules:
            said = {int(number) for number in re.findall(r"\d+", own.says)}
            asked = [a for way in own.ways for a in way]
            numbers = {a.needed for a in asked if isinstance(a, DivesAsked)}
            numbers |= {a.years for a in asked if isinstance(a, AgeAsked)}
            assert numbers <= said, own.id


def test_the_skills_of_the_examples_are_in_the_library():
    library = tomllib.loads(files("slatewright.data").joinpath("skills.toml").read_text("utf-8"))
    known = {skill["id"] for skill in library["skill"]}
    minimum, own = (set(shipped_standard(name).course.skills) for name in SHIPPED)
    assert minimum < own <= known


def test_there_is_no_third():
    with pytest.raises(InputError, match="is no example"):
        shipped_text("other")


# what a file says


def test_what_a_file_says():
    own = standard_file_of(FULL).standard()
    assert own.note == "As of spring."
    assert own.notes == (IN_FORCE_NOTE, "As of spring.")
    age, much, either = own.rules
    assert age.ways == ((AgeAsked(19),),)
    whole, deep = much.ways[0]
    assert (whole.needed, deep.needed) == (40, 7)
    assert str(deep) == (
        "at least 7 logged dives on trimix or heliox with the instructor since 2030-01-01 "
        "at 39.5 m / 130 ft or deeper"
    )
    assert either.ways[1][0] == CardsAsked(("trimix",), every=True)
    assert own.course == CourseAsked(dives=6, limit=DepthPair(84, 280), skills=("gas-switch",))
    assert own.rule("much") is much
    assert own.rule("none") is None


def test_a_file_is_read_from_its_path(tmp_path):
    path = tmp_path / "own.toml"
    path.write_text(FULL, "utf-8")
    assert read_standard(path) == standard_file_of(FULL).standard()
    with pytest.raises(PlanFileError, match="no such file"):
        read_standard(tmp_path / "none.toml")


def test_a_printed_pair_that_disagrees_is_a_note_and_no_fault():
    own = standard(
        '[[rule]]\nid = "r"\nsays = "s"\ndives = 1\nfrom_m = 39\nfrom_ft = 140\n'
        'to_m = 60\nto_ft = 200',
        "[course]\nlimit_m = 100\nlimit_ft = 300",
    )  # fmt: skip
    [note] = own.rules[0].notes
    assert "140 ft is 42.7 m, and 39 m is 128 ft" in note
    [note] = own.course.notes
    assert "300 ft is 91.4 m, and 100 m is 328 ft" in note


# faults


def test_every_fault_is_told_with_its_line():
    text = f"""{HEAD}[[rule]]
id = "a"
says = "One unit."
dives = 25
from_m = 30
[[rule]]
id = "a"
says = "Unknown gas, and an unknown key."
dives = 1
gas = "trimixx"
colour = "red"
[[rule]]
id = "B C"
says = ""
age_years = 200
[[rule]]
id = "d"
says = "Nothing."
[[rule]]
id = "e"
says = "All wrong."
from_m = 60
from_ft = 200
to_m = 45
to_ft = 150
last_months = 12
last_days = 3
since = 2031-01-01
until = 2030-01-01
helium_least_pct = 60
helium_most_pct = 50
oxygen_least_pct = 60
[[rule]]
id = "f"
says = "Parts."
dives = 10
of_which = [{{ dives = 11 }}]
certificates_any = ["trimix", "Trimix"]
[[rule]]
id = "g"
says = "Ways."
age_years = 18
one_of = [{{ dives = 3 }}]
[[rule]]
id = "h"
says = "Parts of nothing."
of_which = [{{ dives = 3, gas = "air" }}]
[course]
limit_m = 50
reach_m = 60
reach_ft = 200
times = "either"
skills = ["x", "x"]
"""
    found = faults(text)
    assert [line for line, _, _ in found] == sorted(line for line, _, _ in found)
    told = {f"{line} {where}" for line, where, _ in found}
    assert told == {
        "8 rule[1].from_m", "10 rule[2].id", "13 rule[2].gas", "14 rule[2].colour",
        "16 rule[3].id", "17 rule[3].says", "18 rule[3].age_years", "19 rule[4]",
        "22 rule[5]", "27 rule[5].to_m", "28 rule[5].to_ft", "30 rule[5].last_days",
        "32 rule[5].until", "34 rule[5].helium_most_pct", "35 rule[5].oxygen_least_pct",
        "40 rule[6].of_which[1].dives", "41 rule[6].certificates_any", "46 rule[7].one_of",
        "50 rule[8].of_which[1]", "52 course.limit_m", "53 course.reach_m", "55 course.times",
        "56 course.skills",
    }  # fmt: skip
    message = {(line, where): what for line, where, what in found}
    assert message[8, "rule[1].from_m"] == "stands alone: a rule needs from_ft as well"
    assert message[40, "rule[6].of_which[1].dives"] == (
        "11 are more than the 10 of which they are a part"
    )


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (HEAD, "is missing"),
        (f"{HEAD}rule = []", "has no rules"),
        (FULL.replace("standard/1", "standard/2"), "is none of the choices"),
        (FULL.replace("dives = 40", "dives = 0"), "0 is out of range"),
        (FULL.replace("dives = 40", "dives = 40.5"), "40.5 is not a whole number"),
        (FULL.replace("from_m = 39.5", 'from_m = "39"'), "'39' is not a number"),
        (FULL.replace("from_m = 39.5", "from_m = nan"), "is not a finite number"),
        (FULL.replace("from_m = 39.5", "from_m = 900"), "900 metres is out of range"),
        (FULL.replace("2030-01-01", '"2030-01-01"'), "does not fit"),
        (f"{HEAD}[[rule]]\nid = 'a'\nsays = 's'\nlast_days = 5", "does not say how many"),
        (f"{HEAD}[[rule]]\nid = 'a'\nsays = 's'\ndives = 5\nof_which = [{{}}]", "asks nothing"),
        (f"{HEAD}[[rule]]\nid = 'a'\nsays = 's'\none_of = [{{}}, {{ dives = 1 }}]", "asks nothing"),
    ],
)
def test_other_faults(text, what):
    assert any(what in told for _, _, told in faults(text)), faults(text)


def test_what_is_no_toml_is_told():
    assert faults("id = own")[0][0] == 1


# written back


@pytest.mark.parametrize("text", [FULL, *map(shipped_text, SHIPPED)])
def test_what_has_not_changed_stays_to_the_letter(text):
    file = standard_file_of(text)
    assert write_standard_file(file, text) == text


@pytest.mark.parametrize("text", [FULL, *map(shipped_text, SHIPPED)])
def test_a_new_text_says_the_same(text):
    file = standard_file_of(text)
    again = standard_file_of(write_standard_file(file))
    assert again.standard() == file.standard()
    assert again.data() == file.data()


def test_one_number_changes_and_nothing_else():
    file = standard_file_of(FULL)
    rules = list(file.rule)
    rules[1] = rules[1].model_copy(update={"dives": 45})
    changed = write_standard_file(file.model_copy(update={"rule": tuple(rules)}), FULL)
    assert changed == FULL.replace("dives = 40", "dives = 45")


def test_a_rule_goes_and_the_others_stay_with_their_comments():
    file = standard_file_of(FULL)
    less = write_standard_file(
        file.model_copy(update={"rule": file.rule[:1] + file.rule[2:]}), FULL
    )
    assert [rule.id for rule in standard_file_of(less).rule] == ["age", "either"]
    assert "# of age" in less
    assert "# mine" in less


# a course against a standard


def course(*depths, run_time_min=60.0, bottom_time_min=20.0, **more):
    return CourseFacts(
        dives=tuple(
            CourseDive(
                name=f"Dive {number}", greatest=depth, run_time_min=run_time_min,
                bottom_time_min=bottom_time_min,
            )
            for number, depth in enumerate(depths, 1)
        ),
        **{"students": 2, **more},
    )  # fmt: skip


def judged(facts, **asked):
    return {one.about: one for one in judge_course(CourseAsked(**asked), facts)}


def test_dives_and_times_of_a_course():
    facts = course(metres(40), metres(50), metres(60))  # 180 min, 60 on the bottom
    got = judged(facts, dives=4, run_time_min=180, bottom_time_min=61)
    assert [(name, one.met) for name, one in got.items()] == [
        ("dives", False), ("run time", True), ("bottom time", False)
    ]  # fmt: skip
    assert got["dives"].working == "3 dives, 4 needed: 1 short."
    assert got["bottom time"].working == ("60 min of bottom time in all, 61 needed: 1 min short.")
    either = judged(facts, run_time_min=180, bottom_time_min=61, either_time=True)
    assert either["bottom time"].met
    assert either["bottom time"].working.endswith("is enough, and the other is met.")
    neither = judged(facts, run_time_min=181, bottom_time_min=61, either_time=True)
    assert not any(one.met for one in neither.values())


def test_the_limit_is_one_depth_in_two_units():
    pair = DepthPair(100, 330)
    for depth, inside in (
        (metres(100), True), (metres(100.1), False), (feet(330), True), (feet(331), False)
    ):  # fmt: skip
        assert judged(course(depth), limit=pair)["greatest depth"].met == inside
    told = judged(course(metres(100.4)), limit=pair)["greatest depth"]
    assert told.working == (
        "Dive 1 goes to 100.4 m, beyond 100 m (a border of units: 329.4 ft would be inside)."
    )


def test_depth_reached():
    pair = DepthPair(60, 200)
    assert judged(course(metres(59), feet(200)), reach=pair)["depth reached"].met
    assert not judged(course(metres(59), feet(199)), reach=pair)["depth reached"].met


def test_students_and_skills():
    got = judged(course(students=5, instructors=2), students_per_instructor=2)["students"]
    assert not got.met
    assert got.working.endswith("2 each make 4 at most: 1 over.")
    assert judged(course(students=4, instructors=2), students_per_instructor=2)["students"].met
    shown = course(skills={"a"})
    assert judged(shown, skills=("a", "b"))["skills"].working == "1 of 2 skills: missing are b."
    assert judged(shown, skills=("a",))["skills"].met


def test_what_is_not_asked_is_not_judged():
    assert judge_course(CourseAsked(), course(metres(40))) == ()


def test_times_of_no_dive():
    with pytest.raises(InputError, match="no times of a dive"):
        CourseDive(name="x", greatest=metres(9), run_time_min=10, bottom_time_min=11)


def test_dates_in_files_are_dates():
    much = standard_file_of(FULL).rule[1]
    assert much.since == date(2030, 1, 1)
