"""Skills over dives: proposals against all ways there are, and faults that a person makes."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.course.rule_depths import DepthPair
from slatewright.course.skill_dives import Decompression, DiveSkills, PlannedDive, needed_gases
from slatewright.course.skill_judging import judge_skills
from slatewright.course.skill_schedule import propose_skills
from slatewright.course.skillfile import shipped_skills
from slatewright.course.skills import Gas, Skill, SkillLibrary, Stops
from slatewright.errors import InputError
from slatewright.logs.logged import DepthUnit, LoggedDepth

DECO, TRAVEL, BACK = Gas.DECOMPRESSION, Gas.TRAVEL, Gas.BACK


def dive(number, depth=20.0, stops="none", carried=(), limit=10, *, hypoxic=False, unit="m"):
    kind = Decompression(stops)
    return PlannedDive(
        id=f"d{number}",
        order=number,
        greatest=LoggedDepth(depth, DepthUnit(unit)),
        decompression=kind,
        carried=carried,
        really_needed=needed_gases(kind, carried, hypoxic_bottom_gas=hypoxic),
        load_limit=limit,
    )


def skill(skill_id, **more):
    return Skill(id=skill_id, group="g", words=f"words of {skill_id}", **more)


def library(*skills):
    return SkillLibrary(skills)


def week(more=0):
    """A week of an invented course: shallow work-up, simulated stops, then a ladder."""
    deco, both = (DECO, DECO), (TRAVEL, DECO, DECO)
    return (
        dive(1, 12, "none", (DECO,), 16 + more),
        dive(2, 18, "simulated", (DECO,), 18 + more),
        dive(3, 24, "simulated", deco, 18 + more),
        dive(4, 30, "simulated", both, 18 + more),
        dive(5, 30, "simulated", both, 18 + more),
        dive(6, 45, "simulated", both, 12 + more),
        dive(7, 50, "real", both, 12 + more, hypoxic=True),
        dive(8, 60, "real", both, 10 + more, hypoxic=True),
        dive(9, 75, "real", both, 8 + more, hypoxic=True),
    )


def rules(assignment, dives, skills, **more):
    return [(f.rule, f.dive, f.skill) for f in judge_skills(assignment, dives, skills, **more)]


# --- a whole course ---


@pytest.fixture(scope="module")
def proposed():
    return propose_skills(week(2), shipped_skills())


def test_the_generic_list_fits_a_week_and_the_judge_finds_nothing(proposed):
    assert proposed.covers_all
    assert rules(proposed.dives, week(2), shipped_skills()) == []
    placed = Counter(s for one in proposed.dives for s in one.skills)
    assert placed == Counter(s.id for s in shipped_skills().skills)


def test_the_same_is_proposed_again(proposed):
    assert propose_skills(week(2)[::-1], shipped_skills()) == proposed


def test_no_simulated_loss_meets_a_real_need(proposed):
    by_id = shipped_skills().by_id
    for planned, one in zip(week(2), proposed.dives, strict=True):
        for name in one.skills:
            assert not by_id[name].loses & planned.really_needed


def test_one_skill_too_many_is_named_with_cures_that_cure():
    short = propose_skills(week(), shipped_skills())
    (left,) = short.unplaced
    assert "full to their limits" in left.why[0]
    assert left.cures == (
        "A limit of task load that is higher by 1 on each dive.",
        "One more dive like 'd1', right after it.",
    )
    assert propose_skills(week(1), shipped_skills()).covers_all
    first, *rest = week()
    again = [first, replace(first, id="again", order=2)]
    again += [replace(one, order=one.order + 1) for one in rest]
    assert propose_skills(again, shipped_skills()).covers_all


def test_what_was_shown_before_is_not_asked_again():
    basics = {"trim", "fin-kicks", "valves", "share-gas", "lost-mask", "marker"}
    proposed = propose_skills(week(), shipped_skills(), shown=basics)
    assert proposed.covers_all
    assert not basics & {s for one in proposed.dives for s in one.skills}
    assert rules(proposed.dives, week(), shipped_skills(), shown=basics) == []


def test_what_is_wanted_brings_along_what_it_needs():
    proposed = propose_skills(week(), shipped_skills(), wanted={"share-gas-marker"})
    assert {s for one in proposed.dives for s in one.skills} == {
        "trim", "share-gas", "marker", "share-gas-marker",
    }  # fmt: skip


# --- each rule, by hand ---


@pytest.mark.parametrize(
    ("tested", "planned", "rule"),
    [
        (skill("a", first_to=DepthPair(30, 100)), dive(1, 30.5), "depth"),
        (skill("a", first_to=DepthPair(30, 100)), dive(1, 30), None),
        (skill("a", first_to=DepthPair(30, 100)), dive(1, 100, unit="ft"), None),
        (skill("a", first_to=DepthPair(30, 100)), dive(1, 101, unit="ft"), "depth"),
        (skill("a", first_from=DepthPair(40, 130)), dive(1, 39.9), "depth"),
        (skill("a", first_from=DepthPair(40, 130)), dive(1, 130, unit="ft"), None),
        (skill("a", stops=Stops.ANY), dive(1), "stops"),
        (skill("a", stops=Stops.ANY), dive(1, stops="simulated"), None),
        (skill("a", stops=Stops.ANY), dive(1, stops="real"), None),
        (skill("a", stops=Stops.SIMULATED), dive(1, stops="real"), "stops"),
        (skill("a", stops=Stops.SIMULATED), dive(1), "stops"),
        (skill("a", stops=Stops.REAL), dive(1, stops="simulated"), "stops"),
        (skill("a", stops=Stops.REAL), dive(1, stops="real"), None),
        (skill("a", carries=(DECO, DECO)), dive(1, carried=(DECO,)), "cylinders"),
        (skill("a", carries=(DECO, DECO)), dive(1, carried=(DECO, TRAVEL, DECO)), None),
        (skill("a", loses=frozenset({TRAVEL})), dive(1), "cylinders"),
        (skill("a", loses=frozenset({TRAVEL})), dive(1, carried=(TRAVEL,)), None),
        (skill("a", loses=frozenset({TRAVEL})), dive(1, carried=(TRAVEL,), hypoxic=True), "loss"),
        (skill("a", loses=frozenset({DECO})), dive(1, stops="real", carried=(DECO,)), "loss"),
        (skill("a", loses=frozenset({DECO})), dive(1, stops="simulated", carried=(DECO,)), None),
        (skill("a", loses=frozenset({BACK})), dive(1, stops="real"), "loss"),
        (skill("a", loses=frozenset({BACK})), dive(1), None),
        (skill("a", load=4), dive(1, limit=4), None),
        (skill("a", load=4), dive(1, limit=3), "load"),
    ],
)
def test_each_rule_binds_the_judge_and_the_proposal_alike(tested, planned, rule):
    found = judge_skills([DiveSkills("d1", ("a",))], [planned], library(tested))
    assert [one.rule for one in found] == ([] if rule is None else [rule])
    proposed = propose_skills([planned], library(tested))
    assert proposed.covers_all == (rule is None)
    if rule is not None:
        assert found[0].cure
        assert proposed.unplaced[0].why


def test_a_combination_never_joins_its_parts_on_one_dive():
    skills = library(skill("a"), skill("b"), skill("c", parts=("a", "b"), same_dive=True))
    one = [dive(1), dive(2)]
    assert rules([DiveSkills("d1", ("a", "b", "c"))], one, skills) == [
        ("before", "d1", "c"), ("before", "d1", "c"),
    ]  # fmt: skip
    assert [d.skills for d in propose_skills(one, skills).dives] == [("a", "b"), ("c",)]
    (left,) = propose_skills(one[:1], skills).unplaced
    assert "takes more dives" in left.why[0]
    assert left.cures == ("One more dive like 'd1', right after it.",)


def test_a_prerequisite_joins_on_one_dive_only_where_that_is_allowed():
    loose = library(skill("a"), skill("b", after=("a",), same_dive=True))
    strict = library(skill("a"), skill("b", after=("a",)))
    together = [DiveSkills("d1", ("a", "b"))]
    assert rules(together, [dive(1)], loose) == []
    assert rules(together, [dive(1)], strict) == [("before", "d1", "b")]
    assert rules([DiveSkills("d1", ("b", "a"))], [dive(1)], loose) == [("before", "d1", "b")]
    assert propose_skills([dive(1)], loose).covers_all
    assert not propose_skills([dive(1)], strict).covers_all


def test_a_part_that_loses_a_gas_binds_the_whole():
    skills = library(skill("a", loses=frozenset({DECO})), skill("b"), skill("c", parts=("a", "b")))
    dives = [dive(1, stops="simulated", carried=(DECO,)), dive(2, stops="real", carried=(DECO,))]
    spread = [DiveSkills("d1", ("a", "b")), DiveSkills("d2", ("c",))]
    assert rules(spread, dives, skills) == [("loss", "d2", "c")]


def test_depth_binds_only_the_first_time_and_the_rest_each_time():
    skills = library(skill("a", first_to=DepthPair(30, 100), loses=frozenset({BACK})))
    dives = [dive(1, 20), dive(2, 60), dive(3, 60, stops="real")]
    again = [DiveSkills(f"d{i}", ("a",)) for i in (1, 2, 3)]
    assert rules(again, dives, skills) == [("loss", "d3", "a")]


def test_a_skill_that_waits_for_one_without_a_place_says_so():
    skills = library(skill("a", stops=Stops.REAL), skill("b", after=("a",)))
    first, second = propose_skills([dive(1), dive(2)], skills).unplaced
    assert first.why == ("Not on 'd1', 'd2': its stops are none.",)
    assert first.cures == ("In place of 'd1', or besides: a dive with real stops.",)
    assert second.why == ("It waits for 'a', which has no place either.",)


def test_unknown_names_are_found_with_the_nearest():
    skills = library(skill("lost-mask"))
    found = judge_skills(
        [DiveSkills("d9", ()), DiveSkills("d1", ("lost-msk",)), DiveSkills("d1", ("lost-mask",))],
        [dive(1)],
        skills,
        wanted={"lost-mas"},
    )
    assert [f.rule for f in found] == ["unknown"] * 4
    assert [f.cure for f in found][:2] == ["d1", "lost-mask"]


def test_what_is_missing_is_found():
    assert rules([], [dive(1)], library(skill("a"), skill("b")), shown={"a"}) == [
        ("missing", "", "b")
    ]
    assert rules([], [dive(1)], library(skill("a"), skill("b")), wanted={"a"}) == [
        ("missing", "", "a")
    ]


def test_no_dives_place_nothing():
    (left,) = propose_skills([], library(skill("a"))).unplaced
    assert left.why == ("No dive is planned.",)
    assert propose_skills([dive(1)], library(skill("a")), shown={"a"}).covers_all


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: replace(dive(1), really_needed=frozenset({TRAVEL})), "carries none"),
        (lambda: dive(1, limit=0), "leaves room for no skill"),
        (lambda: propose_skills([dive(1), dive(1)], library(skill("a"))), "two dives"),
        (lambda: propose_skills([dive(1)], library(skill("a")), shown={"b"}), "called 'b'"),
        (lambda: propose_skills([dive(1)], library(skill("a")), wanted={"b"}), "called 'b'"),
    ],
)
def test_what_cannot_be_is_refused(make, said):
    with pytest.raises(InputError, match=said):
        make()


# --- against all ways there are ---


@st.composite
def small_courses(draw):
    skills = []
    for i in range(draw(st.integers(1, 5))):
        earlier = [s.id for s in skills]
        some = (
            st.lists(st.sampled_from(earlier), unique=True, max_size=2) if earlier else st.just([])
        )
        parts = draw(some)
        skills.append(
            skill(
                f"s{i}",
                after=tuple(draw(some)),
                parts=tuple(parts) if len(parts) > 1 else (),
                same_dive=draw(st.booleans()),
                load=draw(st.integers(1, 4)),
                first_to=draw(st.sampled_from([None, DepthPair(30, 100)])),
                loses=draw(st.sampled_from([frozenset(), frozenset({BACK})])),
            )
        )
    dives = [
        dive(i, draw(st.sampled_from([20.0, 40.0])), draw(st.sampled_from(["none", "real"])),
             limit=draw(st.integers(2, 7)))
        for i in range(1, draw(st.integers(1, 3)) + 1)
    ]  # fmt: skip
    return library(*skills), dives


def holds(skills, dives, places):
    """Return whether a way to place skills keeps all rules: written anew, from the words."""
    for s in skills.skills:
        at = places[s.id]
        if at is None:
            continue
        needs = [(n, s.same_dive and n not in s.parts) for n in (*s.after, *s.parts)]
        if any(places[n] is None or places[n] > at - (not same) for n, same in needs):
            return False
        lost = s.loses | {g for p in s.parts for g in whole(skills, p)}
        if (s.first_to and dives[at].greatest.value > 30) or lost & dives[at].really_needed:
            return False
    return all(
        sum(s.load for s in skills.skills if places[s.id] == i) <= d.load_limit
        for i, d in enumerate(dives)
    )


def whole(skills, name):
    one = skills.by_id[name]
    return set(one.loses) | {g for p in one.parts for g in whole(skills, p)}


def rank(skills, dives, places):
    """Return what the docstring of `propose_skills` promises to make least, in its order."""
    order = skills.in_teaching_order
    missing = [places[s.id] is None for s in order]
    peak = max(
        Fraction(sum(s.load for s in order if places[s.id] == i), d.load_limit)
        for i, d in enumerate(dives)
    )
    early = [-1 if places[s.id] is None else places[s.id] for s in order]
    return sum(missing), missing, peak, early


@settings(max_examples=60, deadline=None)
@given(small_courses())
def test_no_other_way_is_better(course):
    skills, dives = course
    names = [s.id for s in skills.skills]
    every = (
        dict(zip(names, way, strict=True))
        for way in product([None, *range(len(dives))], repeat=len(names))
    )
    best = min(rank(skills, dives, p) for p in every if holds(skills, dives, p))
    proposed = propose_skills(dives, skills)
    places = dict.fromkeys(names) | {
        s: i for i, one in enumerate(proposed.dives) for s in one.skills
    }
    assert holds(skills, dives, places)
    assert rank(skills, dives, places) == best
    assert {u.skill for u in proposed.unplaced} == {n for n in names if places[n] is None}
    assert rules(proposed.dives, dives, skills, wanted=set()) == []
