"""The graph of skills and its file; what stands in the generic list is common practice."""

from __future__ import annotations

from collections import Counter

import pytest

from slatewright.course.rule_depths import DepthPair
from slatewright.course.skillfile import (
    read_skill_text,
    read_skills,
    shipped_skill_text,
    shipped_skills,
)
from slatewright.course.skills import Gas, Skill, SkillLibrary, Stops
from slatewright.errors import InputError, PlanFileError


def file(*tables):
    return "\n".join(['schema = "slatewright/skills/1"', *tables])


def table(skill_id, *lines, load=1):
    return "\n".join(
        ["[[skill]]", f'id = "{skill_id}"', 'group = "g"', 'words = "w"', f"load = {load}", *lines]
    )


def faults(text):
    with pytest.raises(PlanFileError) as caught:
        read_skill_text(text)
    return [(fault.line, fault.what) for fault in caught.value.faults]


@pytest.fixture(scope="module")
def shipped():
    return shipped_skills()


def test_the_generic_list_covers_the_groups_of_the_trade(shipped):
    groups = Counter(skill.group for skill in shipped.skills)
    assert set(groups) == {
        "trim and buoyancy", "valves", "sharing gas", "cylinders", "marker buoy", "reel and line",
        "losses", "travel gas", "stops", "rescue", "combinations",
    }  # fmt: skip
    assert 35 <= len(shipped.skills) <= 45


def test_the_generic_list_teaches_each_skill_after_what_it_needs(shipped):
    seen = set()
    for skill in shipped.in_teaching_order:
        assert set(skill.before) <= seen
        seen.add(skill.id)
    assert len(seen) == len(shipped.skills)


def test_no_gas_is_lost_on_stops_that_may_be_real(shipped):
    for skill in shipped.skills:
        if Gas.DECOMPRESSION in shipped.loses(skill):
            assert shipped.stops(skill) is Stops.SIMULATED, skill.id


def test_drops_and_switches_are_verified_by_reading(shipped):
    """The worst chain of the trade begins with a cylinder known by habit: common practice."""
    assert "read-the-cylinder" in shipped.waiting_for("drop-pick-up")
    assert "drop-pick-up" in shipped.waiting_for("gas-switch")


def test_the_file_of_the_generic_list_is_read_from_a_copy(shipped, tmp_path):
    copy = tmp_path / "own.toml"
    copy.write_text(shipped_skill_text(), "utf-8")
    assert read_skills(copy) == shipped


def test_a_combination_bears_what_its_parts_bear():
    library = SkillLibrary(
        (
            Skill(id="a", group="g", words="w", loses=frozenset({Gas.TRAVEL})),
            Skill(
                id="b", group="g", words="w", stops=Stops.SIMULATED,
                carries=(Gas.DECOMPRESSION, Gas.DECOMPRESSION),
            ),
            Skill(id="c", group="g", words="w", parts=("a", "b"), carries=(Gas.DECOMPRESSION,)),
        )
    )  # fmt: skip
    both = library.skill("c")
    assert library.loses(both) == {Gas.TRAVEL}
    assert library.stops(both) is Stops.SIMULATED
    assert library.carries(both) == {Gas.DECOMPRESSION: 2, Gas.TRAVEL: 1}
    assert both.needs_earlier_dive("a")


def test_a_depth_is_a_pair():
    (skill,) = read_skill_text(file(table("a", "first_to_m = 30", "first_to_ft = 100"))).skills
    assert skill.first_to == DepthPair(30, 100)


def test_all_faults_come_at_once_each_with_its_line():
    found = faults(
        file(
            table("a", 'after = ["c"]', load=9),
            table("b", 'after = ["a", "zz"]', 'parts = ["a"]', "first_to_m = 30"),
            table("c", 'after = ["b"]', 'carries = ["back gas"]'),
            table("c"),
        )
    )
    assert found == [
        (6, "9 is out of range"),
        (7, "the skills go round in a circle, each before the next: a > b > c > a"),
        (13, "the prerequisite 'zz' is no skill of this list"),
        (14, "one part is no combination"),
        (15, "stands without first_to_ft"),
        (22, "back gas is always along"),
        (24, "'c' is taken"),
    ]


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        ((), "is missing"),
        (("skill = []",), "has no skill in it"),
        ((table("a", 'after = ["a"]'),), "circle, each before the next: a > a"),
        ((table("a", 'parts = ["a", "x"]'),), "the part 'x' is no skill"),
        (
            (
                table(
                    "a", "first_from_m=50", "first_from_ft=160", "first_to_m=40", "first_to_ft=130"
                ),
            ),
            "no dive is from 50 m",
        ),
        ((table("a", 'stops = "real"', 'loses = ["decompression gas"]'),), "meets a real need"),
        ((table("a", 'stops = "often"'),), "is none of the choices"),
        ((table("A b"),), "'A b'"),
        (
            (
                table("a", 'stops = "simulated"'),
                table("b"),
                table("c", 'stops = "real"', 'parts = ["a", "b"]'),
            ),
            "its part 'a' may be shown on simulated stops only",
        ),
    ],
)
def test_what_cannot_be_is_refused(tables, said):
    assert any(said in what for _, what in faults(file(*tables)))


def test_two_circles_are_both_named():
    found = faults(
        file(
            table("a", 'after = ["b"]'), table("b", 'after = ["a"]'),
            table("c", 'after = ["d"]'), table("d", 'after = ["c"]'),
        )
    )  # fmt: skip
    assert [what.rsplit(": ")[-1] for _, what in found] == ["a > b > a", "c > d > c"]


def test_a_skill_that_is_not_there_is_refused_with_the_nearest(shipped):
    with pytest.raises(InputError, match=r"lost-mask"):
        shipped.skill("lost-msk")


def test_a_library_made_in_code_is_checked_too():
    with pytest.raises(InputError, match="prerequisite 'b'"):
        SkillLibrary((Skill(id="a", group="g", words="w", after=("b",)),))
