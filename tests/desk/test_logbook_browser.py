"""The pages of logbooks in a browser: by day, by night, on a phone, by key, for everybody."""

from __future__ import annotations

import re
from datetime import date, time, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import expect

from slatewright.course.candidates import Certificate
from slatewright.logs.csv_out import write_csv
from slatewright.logs.logged import LoggedDepth, LoggedDive
from slatewright.physics.mixture import Mixture
from slatewright.store.certificates import add_certificate
from slatewright.store.logbooks import keep_logbook
from slatewright.store.people import Particulars, add_person

from .conftest import NOON, TODAY
from .looking import PHONE, findings, fits, settle

TOVE = Path(__file__).parents[2] / "examples" / "roster" / "tove.csv"
LOOKS = pytest.mark.parametrize(
    "look", [{}, {"color_scheme": "dark"}, PHONE], ids=["day", "dark", "phone"]
)


def dives(count):
    for number in range(count):
        yield LoggedDive(
            on_date=TODAY - timedelta(days=3 * number),
            began_at=time(9, number % 60),
            minutes=40.0 + number % 45,
            greatest=LoggedDepth(20.0 + number % 40),
            mixes=(Mixture(0.18, 0.45),) if number % 3 else (Mixture(0.21, 0.0),),
            place="the Stair",
        )


def put(store, *, kept=()):
    with store.write() as session:
        given = Particulars("Tove Sandreed", born_on=date(1998, 2, 28))
        person = add_person(session, given, now=NOON)
        card = Certificate(title="Trimix diver", kinds=frozenset({"trimix"}))
        add_certificate(session, person.id, card, now=NOON)
        if kept:
            rows = [(7, "1;2;3", ["Day: '1' is no day"])]
            keep_logbook(session, person.id, "tove.csv", "0", list(kept), rows, now=NOON)
    return f"/people/{person.id}/logbook"


def answer_all(page):
    while page.locator(".asked").count():
        for question in page.locator(".asked fieldset").all():
            question.locator("input[type=radio]").first.check()
        with page.expect_navigation():
            page.locator(".asked button").click()


@LOOKS
def test_a_logbook_is_read_and_kept(served, open_page, look):
    path = put(served.store)
    page = open_page(**look)
    page.goto(served.address + path)
    page.set_input_files("input[type=file]", TOVE)
    page.get_by_role("button", name="Look at it").click()
    page.wait_for_url(re.compile(r"/reading/"))
    settle(page)
    assert findings(page) == []
    assert fits(page)
    answer_all(page)
    expect(page.get_by_role("heading", name="137 dives")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="137 dives")).to_be_visible()
    settle(page)
    assert findings(page) == []
    assert fits(page)
    page.get_by_role("button", name="Keep it").click()
    page.wait_for_url(re.compile(r"/logbook#books$"))
    expect(page.get_by_text("136 dives", exact=False).first).to_be_visible()
    settle(page)
    assert findings(page) == []
    assert fits(page)


@LOOKS
def test_all_of_the_page_is_for_everybody(served, open_page, look):
    path = put(served.store, kept=dives(210))
    page = open_page(**look)
    page.goto(served.address + path)
    for summary in page.locator("details.add > summary").all():
        summary.click()
    settle(page)
    assert findings(page) == []
    assert fits(page)


def test_a_dive_is_added_by_key_alone(served, open_page):
    path = put(served.store)
    page = open_page()
    page.goto(served.address + path)
    page.get_by_text("Add a dive by hand").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("04052031")  # a day as the field takes it: month, day, year
    page.get_by_label("Duration, min or h:mm").focus()
    page.keyboard.type("1:05")
    page.keyboard.press("Tab")
    page.keyboard.type("deep")
    page.keyboard.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("deep")
    open_page.complaints.clear()  # the browser tells of the 422
    page.get_by_label("Greatest depth").fill("42")
    page.keyboard.press("Enter")
    expect(page.locator(".log tbody tr")).to_have_count(1)
    expect(page.locator(".log td.depth")).to_have_text("42 m")


def test_a_corrected_row_is_read_again_by_key(served, open_page):
    path = put(served.store, kept=dives(3))
    page = open_page()
    page.goto(served.address + path)
    drop = page.get_by_role("button", name="It is no dive: drop it")
    drop.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#aside")).to_have_count(0)


def test_removing_asks_first(served, open_page):
    path = put(served.store, kept=dives(3))
    page = open_page()
    page.goto(served.address + path)
    page.once("dialog", lambda asked: asked.dismiss())
    page.get_by_role("button", name="Remove the logbook tove.csv").click()
    expect(page.locator(".log tbody tr")).to_have_count(3)
    page.once("dialog", lambda asked: asked.accept())
    page.get_by_role("button", name="Remove the logbook tove.csv").click()
    expect(page.locator(".log tbody tr")).to_have_count(0)


def test_reading_says_that_it_is_at_work(served, open_page, tmp_path):
    path = put(served.store)
    page = open_page()
    page.goto(served.address + path)
    file = tmp_path / "long.csv"
    file.write_text(write_csv(dives(2000)), encoding="utf-8")
    page.set_input_files("input[type=file]", file)
    busy = """() => new Promise((told) => {
      const form = document.querySelector("form.upload");
      form.addEventListener("submit", (event) => {
        event.preventDefault();  // so that the page stays and can be looked at
        told([form.getAttribute("aria-busy"), form.querySelector("button").textContent]);
      });
      form.requestSubmit();
    })"""
    assert page.evaluate(busy) == ["true", "Reading the file …"]
