"""The skills of a course that is built up: dives as skills see them, findings, the text."""

from __future__ import annotations

from pathlib import Path

import pytest

from slatewright.course.buildup import build_up
from slatewright.course.buildup_course import course_of
from slatewright.course.buildup_skills import judged, load_by, skills_of, with_skills
from slatewright.course.coursefile import plans_beside, read_course_text
from slatewright.course.skill_dives import Decompression, DiveSkills
from slatewright.course.skill_schedule import propose_skills
from slatewright.course.skillfile import shipped_skills
from slatewright.course.skills import Gas
from slatewright.dive.hazard import Severity
from slatewright.dive.house_rules import HouseRules
from slatewright.errors import InputError

WEEK = Path(__file__).parents[3] / "examples" / "stair-week" / "course.toml"
TEXT = WEEK.read_text("utf-8")
LIBRARY = shipped_skills()


def built(text=TEXT):
    course = course_of(read_course_text(text), plans_beside(WEEK), text=text)
    return build_up(course, HouseRules(), load=load_by(LIBRARY))


def skills(text=TEXT, shown=()):
    return skills_of(built(text), LIBRARY, HouseRules(), shown)


@pytest.fixture(scope="module")
def week():
    return skills()


def test_the_dives_as_the_plans_have_them(week):
    shelf, wall = week.dives[0], week.dives[-1]
    assert (shelf.greatest.value, shelf.decompression) == (45.0, Decompression.REAL)
    assert shelf.carried == (Gas.DECOMPRESSION,)  # EAN50 in a stage
    assert shelf.load_limit == 8  # nothing is new on the first dive
    # 21/35 in a single 15 is the travel gas of the wall; bottom gas in a stage is no other gas
    assert sorted(wall.carried) == [Gas.DECOMPRESSION, Gas.DECOMPRESSION, Gas.TRAVEL]
    assert wall.really_needed == {Gas.BACK, Gas.TRAVEL, Gas.DECOMPRESSION}
    assert wall.load_limit == 8 - 2


def test_the_example_shows_nothing_that_may_not_be_shown(week):
    assert week.findings() == ()
    assert week.brought >= {"trim", "marker", "surface-gas-check"}
    assert not week.brought & week.named


def test_a_lost_gas_that_is_really_needed_is_found():
    text = TEXT.replace('skills = ["travel-switch"]', 'skills = ["lost-deco-gas"]')
    found = skills(text).findings()
    assert "loss" in {one.rule for one in found if one.skill == "lost-deco-gas"}


def test_findings_of_skills_stand_with_those_of_the_dives():
    text = TEXT.replace('skills = ["travel-switch"]', 'skills = ["lost-deco-gas", "ours"]')
    whole = built(text)
    found = judged(whole, skills_of(whole, LIBRARY, HouseRules()))
    own = {one.code: one for one in found.findings if one.code.startswith("skill-")}
    assert own["skill-loss"].severity is Severity.DANGER
    assert own["skill-loss"].dive == 4
    assert own["skill-unknown"].severity is Severity.NOTE
    assert "skill-load" not in own
    assert found.findings[: len(whole.findings)] == whole.findings
    assert not found.clean
    example = built()
    assert judged(example, skills_of(example, LIBRARY, HouseRules())) == example


def test_a_part_on_a_later_dive_is_found():
    text = TEXT.replace('["two-switches"]', '["gas-break"]').replace(
        '["gas-break", "lost-line"]', '["two-switches", "lost-line"]'
    )
    (found,) = [one for one in skills(text).findings() if one.rule == "before"]
    assert (found.dive, found.skill) == ("2", "gas-break")


def test_what_the_book_has_is_brought():
    assert "valves" in skills(shown=("valves",)).brought


def test_loads_are_those_of_the_library_and_of_what_is_new():
    load = load_by(LIBRARY)
    assert load(("gas-switch", "marker-mid-water")) == 6.0
    assert load(("something-of-ours",)) == 1.0
    assert built().load[4] == LIBRARY.by_id["travel-switch"].load + 3


def test_simulated_stops_are_simulated_only_where_none_is_real():
    text = TEXT.replace("on = 2031-05-05\n", "on = 2031-05-05\nsimulated = true\n")
    assert skills(text).dives[0].decompression is Decompression.REAL


def test_a_dive_that_is_not_computed_is_told():
    soon = TEXT.replace('on = 2031-05-06\nat = "9:30"', 'on = 2031-05-05\nat = "10:20"')
    found = skills(soon)
    assert 2 in found.missing
    assert "2" not in {dive.id for dive in found.dives}


def test_the_proposal_goes_into_the_text(week):
    proposal = propose_skills(week.dives, LIBRARY, shown=week.brought, wanted=week.named)
    assert proposal.covers_all
    text = with_skills(TEXT, proposal.dives)
    read = read_course_text(text)
    assert tuple(dive.skills for dive in read.dive) == tuple(one.skills for one in proposal.dives)
    assert skills(text).findings() == ()
    assert with_skills(TEXT, ()) == TEXT
    with pytest.raises(InputError, match="no dive 9"):
        with_skills(TEXT, [DiveSkills("9", ("reel",))])
