"""People and house rules in the frame: kept, changed, refused in words, deleted wholly."""

from __future__ import annotations

import html as entities
import json
import re
from datetime import UTC, datetime

import pytest

from slatewright.desk.fill.keeping import FillText, keep_fill
from slatewright.dive.house_rules import HouseRules, house_rules_of
from slatewright.store.people import Particulars, add_person, get_person, list_people, save_person
from slatewright.store.plans import create_plan
from slatewright.store.settings import HOUSE_RULES, get_setting, save_setting
from slatewright.store.standards import create_standard

from .looking import PHONE, findings, fits

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
PLAN = """schema = "slatewright/plan/1"
title = "The saddle"
units = "metric"
[diver]
name = "Mirren"
rmv_swimming_l_per_min = 17
rmv_resting_l_per_min = 15
rmv_stressed_l_per_min = 28
[[gas]]
mix = "18/45"
use = "bottom"
[[level]]
depth_m = 50
leave_at_min = 20
"""


def words(answer):
    return " ".join(entities.unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


@pytest.fixture
def mirren(store):
    with store.write() as session:
        known = Particulars("Mirren", "a boat in the harbour", medical_until=NOON.date())
        create_plan(session, PLAN, now=NOON)
        return add_person(session, known, now=NOON)


def test_a_person_is_added_and_changed(desk, store):
    done = desk.submit("/people", {"name": "Tove", "medical_until": "2031-01-01"})
    assert done.status_code == 303
    with store.read() as session:
        (tove,) = list_people(session)
    assert done.headers["location"] == f"/people/{tove.id}"
    assert "medical clearance ended on" in words(desk.get("/people"))
    told = {"version": "1", "name": "Tove", "contact": "by radio", "born_on": "2000-02-29"}
    assert desk.submit(f"/people/{tove.id}", told).status_code == 303
    with store.read() as session:
        changed = get_person(session, tove.id)
    assert (changed.contact, changed.medical_until, str(changed.born_on)) == (
        "by radio", None, "2000-02-29"
    )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"name": " "}, "name"),
        ({"name": "Tove", "born_on": "2000-02-30"}, "'2000-02-30' is no day"),
        ({"name": "Tove", "medical_on": "2031-01-02", "medical_until": "2031-01-01"}, "before"),
    ],
)
def test_what_cannot_be_kept_is_said_beside_what_was_typed(desk, store, typed, said):
    answer = desk.submit("/people", typed)
    assert answer.status_code == 422
    assert said in words(answer)
    assert f'value="{typed["name"]}"' in answer.text
    with store.read() as session:
        assert not list_people(session)


def test_two_windows_on_one_person_and_the_later_is_told(desk, store, mirren):
    with store.write() as session:
        save_person(session, mirren.id, 1, Particulars("Mirren", "by mail"), now=NOON)
    mine = {"version": "1", "name": "Mirren", "contact": "by radio"}
    told = desk.submit(f"/people/{mirren.id}", mine)
    assert told.status_code == 409
    assert "another window has saved 'by mail' meanwhile" in words(told)
    assert 'value="by radio"' in told.text
    mine["version"] = re.search(r'name="version" value="(\d+)"', told.text)[1]
    assert desk.submit(f"/people/{mirren.id}", mine).status_code == 303
    with store.read() as session:
        assert get_person(session, mirren.id).contact == "by radio"


def test_all_that_is_kept_is_handed_over(desk, mirren):
    out = desk.get(f"/people/{mirren.id}/all.json")
    assert "attachment" in out.headers["content-disposition"]
    told = json.loads(out.content)
    assert told["person"]["contact"] == "a boat in the harbour"
    assert len(told["named_in_plans"]) == 1


def test_deleting_says_before_and_after_what_it_does(desk, store, mirren):
    with store.write() as session:
        keep_fill(session, FillText('title = "A week"\n', prices="# by Mirren\n"), now=NOON)
        create_standard(session, 'title = "Ours"\n# Mirren\n', now=NOON)
    before = words(desk.get(f"/people/{mirren.id}/forget"))
    assert "Delete Mirren?" in before
    assert "; in the standard “Ours”; in fill file 1, “A week”; change it there" in before
    assert "The name stands in “The saddle”" in before
    stale = desk.submit(f"/people/{mirren.id}/forget", {"version": "7"})
    assert stale.status_code == 409
    done = desk.submit(f"/people/{mirren.id}/forget", {"version": "1"})
    assert done.status_code == 200
    assert "The name stands in the text of “The saddle”" in words(done)
    assert "The name stands in fill file 1, “A week”." in words(done)
    with store.read() as session:
        assert not list_people(session)
    assert desk.get(f"/people/{mirren.id}").status_code == 404


def test_every_house_rule_is_there_with_its_question_and_what_is_shipped(desk):
    page = desk.get("/rules")
    for name in HouseRules.model_fields:
        assert f'name="{name}"' in page.text
    said = words(page)
    assert "Does oxygen count as narcotic?" in said
    assert "Changes: the equivalent narcotic depth" in said
    assert 'placeholder="0.18"' in page.text


def test_a_choice_is_kept_with_the_comments_of_the_file_and_decides(desk, store):
    text = 'schema = "slatewright/house-rules/1"\n# agreed in spring\nfloor_bar = 0.2\n'
    with store.write() as session:
        save_setting(session, HOUSE_RULES, 0, text, now=NOON)
    done = desk.submit("/rules", {"version": "1", "floor_bar": "0.21", "oxygen_narcotic": "false"})
    assert done.status_code == 303
    with store.read() as session:
        kept = get_setting(session, HOUSE_RULES).value
    assert "# agreed in spring" in kept
    chosen = house_rules_of(kept)
    assert (chosen.floor_bar, chosen.oxygen_narcotic) == (0.21, False)
    assert chosen.ppo2_bottom_max_bar == HouseRules().ppo2_bottom_max_bar
    desk.submit("/rules", {"version": "2"})  # all empty: as shipped
    with store.read() as session:
        assert house_rules_of(get_setting(session, HOUSE_RULES).value) == HouseRules()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"floor_bar": "0.1"}, "0.16"),
        ({"floor_bar": "little"}, "little"),
        ({"breaks": "sometimes"}, "counted"),
        ({"density_recommended_g_per_l": "6", "density_max_g_per_l": "5.5"}, "above the most"),
    ],
)
def test_a_rule_that_cannot_be_is_refused_beside_its_field(desk, store, typed, said):
    answer = desk.submit("/rules", {"version": "0", **typed})
    assert answer.status_code == 422
    assert said in words(answer)
    assert 'class="wrong"' in answer.text
    with store.read() as session:
        assert get_setting(session, HOUSE_RULES) is None


def test_two_windows_on_the_house_rules(desk, store):
    first = desk.submit("/rules", {"version": "0", "floor_bar": "0.2"})
    assert first.status_code == 303
    second = desk.submit("/rules", {"version": "0", "floor_bar": "0.19"})
    assert second.status_code == 409
    assert "another window has chosen 0.2 for floor_bar meanwhile" in words(second)
    assert 'name="version" value="1"' in second.text


def test_rules_that_cannot_be_read_are_mended_on_their_page(desk, store):
    with store.write() as session:
        text = 'schema = "slatewright/house-rules/1"\nfloor_bar = 0.01\n'
        save_setting(session, HOUSE_RULES, 0, text, now=NOON)
    page = desk.get("/rules")
    assert page.status_code == 200
    assert 'class="wrong"' in page.text
    assert desk.submit("/rules", {"version": "1", "floor_bar": "0.18"}).status_code == 303


@pytest.mark.parametrize("path", ["/people", "/people/{id}", "/people/{id}/forget", "/rules"])
def test_they_keep_nobody_out_and_fit_a_phone(served, open_page, path):
    with served.store.write() as session:
        known = Particulars("Casper", medical_until=datetime(2030, 1, 1, tzinfo=UTC).date())
        person = add_person(session, known, now=NOON)
    for look in ("light", "dark"):
        page = open_page(**PHONE, color_scheme=look)
        page.goto(served.address + path.format(id=person.id))
        assert fits(page)
        assert not findings(page)
