"""A course in a browser: by day, by night, on a phone; leads drawn along the days, and by keys."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from slatewright.course.coursefile import read_course_text
from slatewright.store.courses import create_course, get_course

from .conftest import NOON
from .looking import PHONE, findings, fits, settle
from .test_courses import ELSEWHERE, TEXT, swapped


@pytest.fixture
def put(served):
    """Keep a course; returns its number and where it is."""

    def keep(text=TEXT):
        with served.store.write() as session:
            number = create_course(session, text, now=NOON).id
        return number, f"{served.address}/courses/{number}"

    return keep


def whole(page):
    """Wait until all parts have come."""
    expect(page.locator("#course-answer .verdict")).to_be_visible(timeout=20_000)
    expect(page.locator(".waits")).to_have_count(0, timeout=20_000)
    settle(page)


def starts(served, number):
    with served.store.read() as session:
        kept = get_course(session, number)
    return kept.version, [str(dive.starts())[5:16] for dive in read_course_text(kept.text).dive]


@pytest.mark.parametrize(
    "look", [{}, {"color_scheme": "dark"}, PHONE], ids=["day", "dark", "phone"]
)
def test_everybody_can_use_it(served, put, open_page, look):
    _, at = put(swapped(TEXT) + ELSEWHERE)
    page = open_page(**look)
    page.goto(f"{served.address}/courses")
    assert findings(page) == []
    assert fits(page)
    page.goto(at)
    whole(page)
    assert findings(page) == []
    assert fits(page)
    page.get_by_role("link", name="Propose an order").click()
    expect(page.locator(".order-of")).to_be_visible(timeout=20_000)
    assert findings(page) == []
    assert fits(page)
    page.get_by_role("button", name="Take this order").click()
    expect(page.locator(".verdict")).to_have_text("within its limits", timeout=20_000)


def test_a_lead_is_drawn_along_the_days(served, put, open_page):
    number, at = put()
    page = open_page()
    page.goto(at)
    whole(page)
    grip = page.locator('.lead[data-dive="5"] .grip').bounding_box()
    day = page.locator('.day-of[data-day="2031-05-14"]').bounding_box()
    one = page.locator('.day-of[data-day="2031-05-09"]').bounding_box()
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + 60
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y)
    page.mouse.move(x + day["x"] - one["x"] + 3, y + 30)
    expect(page.locator(".drop-word")).to_have_text("Wed 14 May, 09:30")  # the hour stays
    page.mouse.up()
    expect(page.get_by_text("Undo: back to the text before")).to_be_visible(timeout=20_000)
    version, when = starts(served, number)
    assert (version, when[4]) == (2, "05-14 09:30")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".verdict")).to_have_text("within its limits", timeout=20_000)
    assert starts(served, number)[1][4] == "05-09 09:30"


def test_a_lead_that_is_only_clicked_leads_to_its_dive(served, put, open_page):
    number, at = put()
    page = open_page()
    page.goto(at)
    whole(page)
    page.locator('.lead[data-dive="6"] .weight').click()
    expect(page).to_have_url(f"{at}#dive-6")
    assert starts(served, number)[0] == 1


def test_keys_move_a_lead(served, put, open_page):
    number, at = put()
    page = open_page()
    page.goto(at)
    whole(page)
    page.locator('.lead[data-dive="6"] a').focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    expect(page.locator(".dragged")).to_have_text(
        "Mon 12 May, 09:45: Enter takes it, Escape leaves it"
    )
    page.keyboard.press("Escape")
    assert page.locator('.lead[data-dive="6"]').get_attribute("transform") is None
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Undo: back to the text before")).to_be_visible(timeout=20_000)
    assert starts(served, number) == (2, [*starts(served, number)[1][:5], "05-12 09:30"])


def test_a_dive_is_moved_by_its_fields_without_script(served, put, open_page):
    number, at = put()
    page = open_page(java_script_enabled=False)
    page.goto(at)
    if page.locator(".wait a").count() and not page.locator(".days").count():
        page.locator(".wait a").first.click()
    assert page.locator(".drag-hint").is_hidden()
    page.locator("#dive-2 summary").click()
    page.locator('#dive-2 input[name="on"]').fill("2031-05-05")
    page.locator('#dive-2 input[name="at"]').fill("12:00")
    page.locator("#dive-2").get_by_role("button", name="Move").click()
    expect(page.locator("#dive-2 .finding").first).to_be_visible(timeout=20_000)
    assert starts(served, number)[1][1] == "05-05 12:00"
    page.get_by_role("link", name="Every fill of every dive").click()
    expect(page.locator(".gas-of")).to_be_visible(timeout=20_000)


def test_a_number_opens_beside_and_the_text_counts_its_lines(served, put, open_page):
    _, at = put()
    page = open_page()
    page.goto(at)
    whole(page)
    page.get_by_role("link", name="CNS share of all: 15 %").click()
    expect(page.locator(".beside .working")).to_contain_text("CNS share of Mirren")
    settle(page)
    assert findings(page) == []
    assert fits(page)
    area = page.locator("#text textarea")
    area.fill("schema = 1\n\n\n")
    assert page.locator(".gutter li").count() == 4
    page.keyboard.press("Control+s")
    expect(page.locator("#course-faults")).to_be_visible()
    assert findings(page) == []
    # the browser tells of every answer that is a refusal, as this one was meant to be
    assert all("422" in one for one in open_page.complaints)
    open_page.complaints.clear()


def test_a_long_course_in_feet_fits(served, put, open_page):
    text = TEXT.replace('units = "metric"', 'units = "imperial"')
    text = text.replace("on = 2031-05-11", "on = 2031-07-04").replace(
        "on = 2031-05-14", "on = 2031-07-09"
    )
    _, at = put(text)
    page = open_page(**PHONE)
    page.goto(at)
    whole(page)
    assert fits(page)
    assert findings(page) == []
    expect(page.locator(".ladder .left-out").first).to_be_attached()
    expect(page.locator(".ladder")).to_contain_text("315")  # 96 m in feet
