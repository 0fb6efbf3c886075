"""The fill room in a browser: by mouse, by key, on a wet phone, by night, on paper, unscripted."""

from __future__ import annotations

import re

import pytest

from slatewright.desk.fill.examples import example_written
from slatewright.desk.fill.keeping import keep_fill

from .conftest import NOON
from .looking import PHONE, findings, fits, picture

WIDE = {"width": 1440, "height": 900}
EXAMPLES = ("the-wall.toml", "the-wall-analysed.toml", "the-week.toml", "quarry-imperial.toml")
PATHS = {"shelf": "/fill", "wall": "/fill/1", "analysed": "/fill/2", "week": "/fill/3"}


@pytest.fixture(scope="module")
def room(serve):
    """A desk with all fill files that come with the program."""
    with serve() as desk:
        with desk.store.write() as session:
            for name in EXAMPLES:
                keep_fill(session, example_written(session, name, now=NOON), now=NOON)
        yield desk


def excused(open_page, status):
    open_page.complaints[:] = [said for said in open_page.complaints if str(status) not in said]


def settled(page):
    page.locator(".waits").first.wait_for(state="detached", timeout=60_000)


@pytest.mark.parametrize(
    ("paper", "window"),
    [("light", WIDE), ("dark", WIDE), ("light", PHONE), ("dark", PHONE)],
    ids=["day", "night", "phone by day", "phone by night"],
)
def test_every_page_of_the_room_reads_well(room, open_page, tmp_path, paper, window):
    page = open_page(color_scheme=paper, **window)
    for name, path in PATHS.items():
        page.goto(room.address + path)
        settled(page)
        picture(page, tmp_path, name)
        assert fits(page), f"{name} is wider than its window"
        assert findings(page) == [], name


def test_a_working_opens_beside_and_leaves_room_for_the_steps(room, open_page):
    page = open_page(**WIDE)
    page.goto(f"{room.address}/fill/1")
    reading = page.locator("#fill-1 .fill-steps .reading a").first
    reading.focus()
    page.keyboard.press("Enter")
    page.locator("#working").get_by_role("heading", name="the gauge after step 1").wait_for()
    assert "0.0" not in page.locator("#working .answer").inner_text()
    steps, text = page.locator("#fill-1").bounding_box(), page.locator("#text").bounding_box()
    assert text["y"] > steps["y"] + steps["height"]  # below, and not under the working
    assert findings(page) == []
    page.keyboard.press("Escape")
    assert page.locator("#working").inner_html() == ""


def test_steps_are_ticked_on_a_phone_and_a_reload_loses_nothing(room, open_page):
    page = open_page(**PHONE)
    page.goto(f"{room.address}/fill/1")
    box = page.locator("#tick-1-1").bounding_box()
    assert min(box["width"], box["height"]) >= 48  # a wet thumb
    page.locator("#tick-1-1").tap()
    page.locator("#tick-1-1[aria-pressed=true]").wait_for()
    page.locator("#tick-1-2").tap()
    page.locator("#tick-1-2[aria-pressed=true]").wait_for()
    assert page.locator("#tick-1-4").is_disabled()
    page.reload()
    assert page.locator("#fill-1 .progress").inner_text() == "2 of 4 done"
    assert page.locator("#fill-1 li.next .act").inner_text().startswith("compressor")
    other = open_page(**WIDE)  # another window sees the same
    other.goto(f"{room.address}/fill/1")
    assert other.locator("#fill-1 .progress").inner_text() == "2 of 4 done"
    for step in (2, 1):
        page.locator(f"#tick-1-{step}").tap()
        page.locator(f"#tick-1-{step}[aria-pressed=false]").wait_for()
    assert page.locator("#fill-1 .progress").inner_text() == "0 of 4 done"


def test_steps_are_ticked_by_key_and_the_keyboard_stays_where_it_was(room, open_page):
    page = open_page(**WIDE)
    page.goto(f"{room.address}/fill/4")
    page.locator("#tick-1-1").focus()
    page.keyboard.press("Space")
    page.locator("#tick-1-1[aria-pressed=true]").wait_for()
    assert page.evaluate("document.activeElement.id") == "tick-1-1"
    page.keyboard.press("Space")
    page.locator("#tick-1-1[aria-pressed=false]").wait_for()


def test_faults_stand_at_their_lines_while_one_types_and_nothing_is_lost(room, open_page):
    page = open_page(**WIDE)
    page.goto(f"{room.address}/fill/1")
    area = page.get_by_label("The fill file", exact=True)
    text = area.input_value()
    area.fill(text.replace('choose = "least helium"', 'choose = "best"').replace("= 62", '= "x"'))
    beside = page.locator("#text-faults")
    beside.get_by_text("line 10").wait_for()
    marked = page.locator(".gutter .wrong-line")
    place = "all => all.map(one => [...one.parentNode.children].indexOf(one))"
    numbers = marked.evaluate_all(place)
    lines = area.input_value().split("\n")
    assert [lines[number] for number in numbers] == ['choose = "best"', 'gauge_bar = "x"']
    assert area.get_attribute("aria-invalid") == "true"
    assert page.locator("#fill-1 button.tick").count() == 0
    assert findings(page) == []
    area.fill(text.replace("to_bar = 220", "to_bar = 215"))
    page.locator("#fill-1").get_by_text("10/70 to 215.0 bar").wait_for()
    assert beside.inner_text() == ""
    assert area.get_attribute("aria-invalid") is None
    page.keyboard.press("Control+s")
    page.locator("#tick-1-1").wait_for()
    assert "215" in area.input_value()
    area.fill(text)
    page.get_by_role("button", name="Save", exact=True).click()
    page.locator("#fill-1 button.tick").first.wait_for()
    excused(open_page, 422)


def test_an_analysis_is_entered_at_its_cylinder(room, open_page):
    page = open_page(**WIDE)
    page.goto(f"{room.address}/fill/4")
    card = page.locator("#fill-1")
    card.get_by_text("Enter the analysis").click()
    card.get_by_role("textbox", name="oxygen").fill("much")
    card.get_by_label("who").fill("Wren")
    card.get_by_role("button", name="Enter").click()
    card.get_by_role("alert").wait_for()
    assert card.get_by_label("who").input_value() == "Wren"
    card.get_by_role("textbox", name="oxygen").fill("20,8")
    card.get_by_role("textbox", name="helium").fill("35.4")
    card.get_by_label("pressure").fill("2890")
    card.get_by_role("button", name="Enter").click()
    card.locator(".verdict.good").wait_for()
    assert "o2_percent = 20.8" in page.get_by_label("The fill file", exact=True).input_value()
    assert re.search(r"no deeper than\s*1\d\d", card.inner_text())
    with page.expect_download() as paper:
        card.get_by_role("link", name="Label (PDF)").click()
    assert paper.value.suggested_filename == "labels-4.pdf"
    excused(open_page, 422)


def test_all_of_it_works_without_script(room, open_page):
    page = open_page(java_script_enabled=False, **WIDE)
    page.goto(f"{room.address}/fill")
    page.get_by_label("From an example").select_option("the-wall.toml")
    page.get_by_role("button", name="Begin with it").click()
    here = page.url
    page.locator("#tick-1-1").click()
    assert page.url == f"{here}#fill-1"
    assert page.locator("#fill-1 .progress").inner_text() == "1 of 4 done"
    area = page.get_by_label("The fill file", exact=True)
    area.fill(area.input_value().replace("to_bar = 220", "to_bar = 900"))
    page.get_by_role("button", name="Work it out").click()
    assert page.locator(".gutter .wrong-line").count() == 2
    assert page.locator("#text-faults").get_by_text("out of range").count() == 2
    page.goto(here)
    card = page.locator("#fill-2")
    card.get_by_text("Enter the analysis").click()
    for name, value in (("oxygen", "50.1"), ("helium", "0"), ("who", "Tove")):
        card.get_by_role("textbox", name=name).fill(value)
    card.get_by_role("button", name="Enter").click()
    assert "Accepted" in page.locator("#fill-2").inner_text()
    page.goto(f"{room.address}/fill/2")
    page.get_by_role("link", name="The plan is computed again").click()
    assert "no deeper than" in page.locator("main").inner_text()
    page.goto(f"{room.address}/fill/3")
    page.get_by_role("link", name="Every fill of every dive").click()
    assert "4 x helium 50" in page.locator("main").inner_text()
    excused(open_page, 422)


def test_on_paper_the_steps_stay_and_the_forms_go(room, open_page):
    page = open_page(width=794, height=1123)
    page.goto(f"{room.address}/fill/1")
    page.emulate_media(media="print")
    assert page.locator("#fill-1 .fill-steps").is_visible()
    assert page.locator("#fill-1 .tick").first.is_visible()
    assert not page.locator("#text").is_visible()
    assert not page.locator("#fill-1 .enter").is_visible()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
