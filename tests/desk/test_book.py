"""The sign-off book on its page: signed, corrected, held against a head, never changed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from slatewright.store.courses import create_course
from slatewright.store.people import Particulars, add_person
from slatewright.store.sign_offs import book_of

from .conftest import NOON
from .looking import PHONE, findings, fits, settle

EXAMPLE = Path(__file__).parents[2] / "examples" / "stair-week" / "course.toml"


def put(store):
    with store.write() as session:
        for name in ("Tove", "Mirren"):
            add_person(session, Particulars(name), now=NOON)
        return create_course(session, EXAMPLE.read_text("utf-8"), now=NOON).id


@pytest.fixture
def course(store):
    return f"/courses/{put(store)}"


def sign(desk, course, **differing):
    page = desk.get(f"{course}/book")
    form = {
        "token": re.search(r'name="token" value="([^"]+)"', page.text)[1],
        "diver": "Tove",
        "skill": "marker",
        "dive": "1",
        "outcome": "shown",
        "remark": "calm",
        "by": "Mirren",
    }
    return desk.post(f"{course}/book", data=form | differing)


def test_an_entry_is_added_and_shown(desk, course):
    assert "nothing signed" in desk.get(f"{course}/book").text
    assert sign(desk, course).status_code == 303
    page = desk.get(f"{course}/book").text
    assert re.search(
        r'class="shown".*?<strong>shown</strong> <span class="where">dive 1, Mirren', page
    )
    assert "<em>calm</em>" in page
    assert "1 entry, head" in page


def test_a_correction_is_a_new_entry(desk, course, store):
    sign(desk, course, outcome="not yet")
    assert sign(desk, course, outcome="repeat", corrects="1").status_code == 303
    page = desk.get(f"{course}/book").text
    assert 'class="replaced"' in page
    assert "corrects 1" in page
    again = sign(desk, course, corrects="1")
    assert again.status_code == 422
    assert "corrected" in again.text
    with store.read() as session:
        assert len(book_of(session, 1).entries) == 2


def test_the_book_is_held_against_a_head_that_was_kept(desk, course, store):
    sign(desk, course)
    sign(desk, course, skill="gas-switch")
    with store.read() as session:
        first, last = book_of(session, 1).entries
    for kept in (first.hash, last.hash):
        assert "the head that was kept is in it" in desk.get(f"{course}/book?head={kept}").text
    assert "entries are missing" in desk.get(f"{course}/book?head={'0' * 64}").text


@pytest.mark.parametrize(
    ("differing", "said"),
    [
        ({"diver": "Nobody"}, "is no student of this course"),
        ({"dive": "99"}, "there is no dive 99"),
        ({"by": " "}, "is empty"),
        ({"corrects": "7"}, "cannot correct entry 7"),
        ({"corrects": "x"}, "is no number of an entry"),
        ({"outcome": "perfect"}, ""),
    ],
)
def test_what_cannot_be_signed_is_refused_and_nothing_is_kept(desk, course, store, differing, said):
    answer = sign(desk, course, **differing)
    assert answer.status_code == 422
    assert said in answer.text
    with store.read() as session:
        assert book_of(session, 1).entries == ()


def test_a_briefing_and_what_was_achieved(desk, course):
    page = desk.get(f"{course}/book")
    form = {"token": re.search(r'name="token" value="([^"]+)"', page.text)[1], "by": "Mirren"}
    for kind, text in (("briefed", ""), ("achieved", "45 m, 62 min")):
        note = form | {"dive": "1", "kind": kind, "text": text}
        assert desk.post(f"{course}/notes", data=note).status_code == 303
    page = desk.get(f"{course}/book").text
    assert "briefed (Mirren)" in page
    assert "achieved, 45 m, 62 min (Mirren)" in page
    empty = form | {"dive": "2", "kind": "lost day", "text": " "}
    assert desk.post(f"{course}/notes", data=empty).status_code == 422


def test_a_remark_cannot_break_out(desk, course):
    sign(desk, course, remark="<script>alert(1)</script>")
    assert "<script>alert" not in desk.get(f"{course}/book").text


def test_who_is_not_in_the_roster_is_told(desk, course):
    assert "Not in the roster" in desk.get(f"{course}/book").text
    assert "Casper" in desk.get(f"{course}/book").text


def test_no_course_has_no_book(desk):
    assert desk.get("/courses/99/book").status_code == 404


@pytest.mark.parametrize(
    "look", [{}, {"color_scheme": "dark"}, PHONE], ids=["day", "dark", "phone"]
)
def test_everybody_can_sign(served, open_page, look):
    number = put(served.store)
    page = open_page(**look)
    page.goto(f"{served.address}/courses/{number}/book")
    page.locator("select[name=diver]").select_option("Tove")
    page.get_by_label("shown", exact=True).check()
    page.locator("[name=by]").first.fill("Mirren")
    page.get_by_role("button", name="Sign", exact=True).click()
    page.wait_for_url("**/book")
    settle(page)
    assert page.locator(".standing .shown").count() == 1
    assert findings(page) == []
    assert fits(page)
