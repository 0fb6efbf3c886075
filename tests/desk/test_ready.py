"""Readiness and standards on their pages: both side by side, the very dives, waivers, edits."""

from __future__ import annotations

import html
import io
import re
from datetime import date, timedelta

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from slatewright.course.candidates import Certificate
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive, Origin
from slatewright.physics.mixture import Mixture
from slatewright.store.certificates import add_certificate
from slatewright.store.logbooks import keep_logbook
from slatewright.store.people import Particulars, add_person

from .conftest import NOON, TODAY
from .looking import PHONE, findings, fits, settle


def dives():
    """A year of dives: every third by its log in feet, on the border of 130 ft."""
    for day in range(1, 60):
        feet = [99, 130, 129][day % 3]
        yield LoggedDive(
            on_date=TODAY - timedelta(days=6 * day),
            minutes=50,
            greatest=LoggedDepth(feet, DepthUnit.FEET) if day % 2 else LoggedDepth(39.7 + day % 3),
            mixes=(Mixture(0.18, 0.45),) if day % 4 else (),
            decompression=True,
            place="the Stair",
            origin=Origin("tove.csv", day + 1),
        )


def put(store):
    with store.write() as session:
        person = add_person(
            session, Particulars("Tove Sandreed", born_on=date(1998, 2, 28)), now=NOON
        )
        card = Certificate(title="Trimix diver", kinds=frozenset({"trimix"}))
        add_certificate(session, person.id, card, now=NOON)
        keep_logbook(session, person.id, "tove.csv", "0", list(dives()), [], now=NOON)
    return person.id


@pytest.fixture
def person(store):
    return put(store)


def token_of(page):
    return re.search(r'name="token" value="([^"]+)"', page.text)[1]


def rule(page, number):
    """The text of one rule, of the standard that comes first."""
    parts = re.split(r'<details class="rule ', page.text)[1:]
    return re.sub(r"<[^>]+>|\s+", " ", html.unescape(parts[number]))


def test_both_standards_are_side_by_side(desk, person):
    page = desk.get(f"/people/{person}/ready")
    assert page.status_code == 200
    assert page.text.count('class="side"') == 2
    assert "59 logged dives" in page.text
    assert "no agency" in page.text


def test_the_very_dives_and_the_near_misses_are_told(desk, person):
    page = desk.get(f"/people/{person}/ready")
    experience = rule(page, 2)
    # by hand: of the 30 odd days those with 130 ft are 1, 7, ... 55; of the 29 even ones those
    # with 40.7 and 41.7 m are the ones that three does not divide
    feet = sum(1 for day in range(1, 60) if day % 2 and day % 3 == 1)
    metres = sum(1 for day in range(1, 60) if not day % 2 and day % 3)
    assert f"{feet + metres} of 30" in experience
    assert "Near misses" in experience
    assert "129 ft" in experience
    assert "tove.csv, line" in experience


def test_what_the_log_leaves_out_is_told(desk, person):
    assert "The log leaves out what decides" in desk.get(f"/people/{person}/ready").text


def test_a_rule_is_waived_and_the_waiver_withdrawn(desk, person):
    path = f"/people/{person}/ready"
    page = desk.get(path)
    form = {
        "token": token_of(page),
        "standard": "usual-minimum",
        "rule": "card",
        "reason": "seen on her own dives",
        "by": "Mirren",
    }
    assert desk.post(f"/people/{person}/waivers", data=form).status_code == 303
    waived = desk.get(path)
    assert "waived" in rule(waived, 1)
    assert "seen on her own dives" in rule(waived, 1)
    number = re.search(rf"/people/{person}/waivers/(\d+)/withdraw", waived.text)[1]
    gone = desk.post(
        f"/people/{person}/waivers/{number}/withdraw", data={"token": token_of(waived)}
    )
    assert gone.status_code == 303
    assert "not met" in rule(desk.get(path), 1)


@pytest.mark.parametrize(("field", "value"), [("reason", " "), ("by", "")])
def test_a_waiver_without_reason_or_name_is_refused(desk, person, field, value):
    form = {
        "token": token_of(desk.get(f"/people/{person}/ready")),
        "standard": "usual-minimum",
        "rule": "card",
        "reason": "r",
        "by": "m",
    } | {field: value}
    assert desk.post(f"/people/{person}/waivers", data=form).status_code == 422


def test_the_letter_is_printed(desk, person):
    content = desk.get(f"/people/{person}/ready/letter").content
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    assert "Tove Sandreed" in text
    assert "not met" in text


def test_nobody_is_nobody(desk):
    assert desk.get("/people/99/ready").status_code == 404


def test_an_example_becomes_ones_own(desk, person):
    page = desk.get("/standards")
    texts = [
        html.unescape(found)
        for found in re.findall(r"<textarea[^>]*>(.*?)</textarea>", page.text, re.DOTALL)
    ]
    mine = texts[0].replace("dives = 120", "dives = 50").replace("example = true\n", "")
    saved = desk.post("/standards/0", data={"token": token_of(page), "version": 0, "text": mine})
    assert saved.status_code == 303
    after = desk.get("/standards")
    assert after.text.count('class="side"') == 2  # the other example stays beside it
    assert "examples of no agency" not in after.text
    assert "Save as mine" not in after.text


def test_a_standard_with_faults_is_kept_and_told(desk, person):
    page = desk.get("/standards")
    head = 'schema = "slatewright/standard/1"\nid = "mine"\ntitle = "Mine"\n'
    text = head + '[[rule]]\nid = "x"\nsays = "y"\ndivs = 3\n'
    saved = desk.post("/standards/0", data={"token": token_of(page), "version": 0, "text": text})
    assert saved.status_code == 422
    assert "Kept, and not yet right" in saved.text
    assert "has faults and is not counted" in desk.get(f"/people/{person}/ready").text
    number = re.findall(r'action="/standards/(\d+)"', desk.get("/standards").text)[-1]
    gone = desk.post(f"/standards/{number}/remove", data={"token": token_of(page), "version": 1})
    assert gone.status_code == 303


def test_dives_open_by_key(served, open_page):
    number = put(served.store)
    page = open_page()
    page.goto(f"{served.address}/people/{number}/ready")
    settle(page)
    first = page.locator(".rule > summary").nth(2)
    first.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".rule[open] .dives").first).to_be_visible()
    assert findings(page) == []


@pytest.mark.parametrize(
    "look", [{}, {"color_scheme": "dark"}, PHONE], ids=["day", "dark", "phone"]
)
def test_everybody_can_use_them(served, open_page, look):
    number = put(served.store)
    page = open_page(**look)
    for path in (f"/people/{number}/ready", "/standards"):
        page.goto(served.address + path)
        settle(page)
        assert findings(page) == []
        assert fits(page)
