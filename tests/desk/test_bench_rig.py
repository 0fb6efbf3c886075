"""Rigs on the sheet, and what a text keeps on its way through save, undo, copy and export."""

from __future__ import annotations

import re

import pytest

from slatewright.desk.bench.work import work_of_form
from slatewright.dive.plan_text import read_plan_text
from slatewright.store.plans import get_plan, list_plans

from .calling import HTMX
from .test_bench import Sheet
from .test_bench_sheet import TEXTS, WALL, fields

HEAVY = {
    "rig.wing_lift_kg": "4",
    "rig.second_lift_kg": "",
    "partner.1.rig.suit": "wetsuit",
}
NO_RIG = {f"rig.{name}": "" for name in (
    "suit", "wing_lift_kg", "second_lift_kg", "droppable_kg", "fixed_ballast_kg", "suit_gas_l",
    "person_buoyancy_kg",
)}  # fmt: skip


def changed(before, after):
    """Return the lines that differ: those that went, and those that came."""
    old, new = before.splitlines(), after.splitlines()
    return [line for line in old if line not in new], [line for line in new if line not in old]


@pytest.fixture
def wall(desk):
    return Sheet(desk, desk.example())


def test_a_rig_is_written_field_by_field_with_its_comments_kept():
    work = work_of_form(fields(WALL, **{"rig.person_buoyancy_kg": "-4"}), WALL, "")
    assert changed(WALL, work.text) == (
        ["person_buoyancy_kg = -3 # with steel plate, lamps and reels"],
        ["person_buoyancy_kg = -4 # with steel plate, lamps and reels"],
    )
    work = work_of_form(fields(WALL, **HEAVY), WALL, "")
    plan = read_plan_text(work.text)
    assert (plan.rig.wing_lift_kg, plan.rig.second_lift_kg) == (4, None)
    assert [partner.rig.suit for partner in plan.partner] == ["drysuit", "wetsuit"]


def test_a_rig_goes_and_comes_as_a_whole():
    work = work_of_form(fields(WALL, **NO_RIG), WALL, "")
    assert read_plan_text(work.text).rig is None
    assert len(read_plan_text(work.text).partner) == 2
    inner = {name.replace("rig.", "partner.0.rig."): "" for name in NO_RIG}
    work = work_of_form(fields(WALL, **inner), WALL, "")
    assert [partner.rig is None for partner in read_plan_text(work.text).partner] == [True, False]
    slope = TEXTS["3-the-slope"]
    given = {"rig.suit": "drysuit", "rig.wing_lift_kg": "22", "rig.suit_gas_l": "8"}
    work = work_of_form(fields(slope, **given, **{"rig.person_buoyancy_kg": "-2"}), slope, "")
    assert read_plan_text(work.text).rig.wing_lift_kg == 22


def test_what_is_wrong_with_a_rig_stands_beside_its_field():
    wrong = {"rig.wing_lift_kg": "-4", "partner.0.rig.wing_lift_kg": "much"}
    work = work_of_form(fields(WALL, **wrong), WALL, "")
    assert {fault.where for fault in work.faults} == {
        "rig.wing_lift_kg",
        "partner[1].rig.wing_lift_kg",
    }


def test_a_rig_of_feet_and_pounds_has_its_own_fields():
    quarry = TEXTS["quarry-200ft"]
    names = set(fields(quarry))
    assert {"rig.wing_lift_lb", "rig.suit_gas_cuft"} <= names
    assert "rig.wing_lift_kg" not in names


def test_saving_undoing_copying_and_exporting_keep_rigs_and_comments(wall, store):
    asked = {"level.0.leave_at_min": "17"}
    saved = wall.send("save", asked)
    assert saved.status_code == 200
    plan_id = int(wall.path.rpartition("/")[2])
    with store.read() as session:
        text = get_plan(session, plan_id).text
    assert changed(WALL, text) == (["leave_at_min = 18"], ["leave_at_min = 17"])

    wall.take(saved.text)
    back = wall.send("turn", do="text", whole=WALL)  # what Undo sends
    assert back.status_code == 200
    wall.take(back.text)
    assert wall.text == WALL

    out = wall.send("file", htmx=False)
    assert out.content.decode() == WALL
    copied = wall.send("duplicate", htmx=False)
    assert copied.status_code == 303
    with store.read() as session:
        copy = get_plan(session, int(copied.headers["location"].rpartition("/")[2]))
        assert copy.text == WALL
        assert copy.id in {plan.id for plan in list_plans(session)}


def way(sheet):
    """Return the way home of a sheet."""
    path = re.search(r'hx-get="([^"]+/way/[^"]+)"', sheet.html)[1]
    return sheet.desk.get(path, headers=HTMX).text


def test_lift_is_judged_on_the_page_for_those_who_have_a_rig(wall, desk):
    assert "hold all 3 who have a rig" in " ".join(way(wall).split())
    wall.take(wall.send("sheet", HEAVY).text)
    told = way(wall)
    assert "Mirren: " in told
    assert 'class="hazard danger"' in told
    slope = Sheet(desk, desk.example("build-up-week/3-the-slope.toml"))
    slope.take(slope.send("sheet", {"level.0.depth_m": "58"}).text)
    assert "Not judged" in way(slope)


def test_one_more_minute_has_its_price_and_its_account(wall):
    said = re.search(r'<p class="one-minute">(.*?)</p>', wall.html, re.DOTALL)[1]
    words = " ".join(re.sub(r"<[^>]+>", " ", said).split())
    assert words.startswith("One more minute at 96 m costs Mirren")
    assert "of 10/70 there; above, 9 min more" in words
    account = wall.desk.get(re.search(r'href="([^"]+/how/[^"]+/minute)"', said)[1])
    assert account.status_code == 200
    assert "+10.0" in account.text  # the minute itself and nine above


def test_a_slate_without_a_way_home_is_printed_on_a_persons_word(desk):
    sheet = Sheet(desk, desk.example("build-up-week/3-the-slope.toml"))
    assert "my-word" not in way(sheet)
    sheet.take(sheet.send("sheet", {"cylinder.0.pressure_bar": "150"}).text)
    told = way(sheet)
    assert "No way home" in told
    path = re.search(r'action="([^"]+/slate/[^"]+)"', told)[1]
    refused = desk.submit(path, {"override": " "})
    assert (refused.status_code, "nobody answers" in refused.text) == (422, True)
    refused = desk.submit(path, {"override": "--"})
    assert (refused.status_code, "no name of a person" in refused.text) == (422, True)
    printed = desk.submit(path, {"override": "Mirren"})
    assert printed.status_code == 200
    assert printed.content.startswith(b"%PDF")
