"""The sign-off book on its page: signed, corrected, held against a head, never changed."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

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
    printed = " ".join(last.hash[i : i + 8] for i in range(0, 64, 8)).upper()
    pasted = desk.get(f"{course}/book", params={"head": f"{printed}\n"})
    assert "the head that was kept is in it" in pasted.text
    assert f'name="head" value="{printed}' in pasted.text


@pytest.mark.parametrize(
    ("head", "said"),
    [("ab" * 30, "has 60 letters, and a head has 64"), ("o" * 64, "has &#39;o&#39;")],
)
def test_what_is_no_head_is_said(desk, course, head, said):
    sign(desk, course)
    refused = desk.get(f"{course}/book", params={"head": head})
    assert refused.status_code == 422
    assert said in refused.text
    assert "entries are missing" not in refused.text


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


def form_of(desk, course):
    page = desk.get(f"{course}/book")
    token = re.search(r'name="token" value="([^"]+)"', page.text)[1]
    return {"token": token, "by": "Mirren", "dive": "1"}


def did(desk, course, **differing):
    form = form_of(desk, course) | {"diver": "Tove", "depth": "45.2", "unit": "m", "minutes": "62"}
    return desk.post(f"{course}/achieved", data=form | differing)


def test_a_briefing_a_lost_day_and_what_was_achieved(desk, course):
    form = form_of(desk, course)
    assert desk.post(f"{course}/notes", data=form | {"kind": "briefed"}).status_code == 303
    lost = form | {"dive": "2", "kind": "lost day", "text": "swell"}
    assert desk.post(f"{course}/notes", data=lost).status_code == 303
    assert desk.post(f"{course}/notes", data=lost | {"text": " "}).status_code == 422
    assert desk.post(f"{course}/notes", data=form | {"kind": "achieved"}).status_code == 422
    assert did(desk, course, remark="calm").status_code == 303
    page = desk.get(f"{course}/book").text
    assert "briefed (Mirren)" in page
    assert "lost day, swell (Mirren)" in page
    assert "achieved, Tove: 45.2 m, 62 min; calm (Mirren)" in page


@pytest.mark.parametrize(
    "differing", [{"depth": "0"}, {"minutes": "-3"}, {"depth": "deep"}, {"diver": "Nobody"}]
)
def test_what_nobody_can_have_done_is_refused(desk, course, differing):
    assert did(desk, course, **differing).status_code == 422


def test_the_record_says_what_was_planned_and_what_was_done(desk, course):
    sign(desk, course)
    did(desk, course, depth="147", unit="ft", minutes="61.5")
    text = "".join(
        page.extract_text()
        for page in PdfReader(io.BytesIO(desk.get(f"{course}/record").content)).pages
    )
    assert "The shelf, 45 m" in text
    assert "147 ft" in text
    assert "61.5" in text or "62" in text
    assert "Tove" in text
    assert "Mirren" in text


def test_an_agreement_is_printed(desk, course):
    asked = "diver=Tove&school=The+Stair+School&fee=1450&lost_day=90.50"
    content = desk.get(f"{course}/agreement?{asked}").content
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    assert "The Stair School" in text
    assert "1,450.00" in text or "1450.00" in text
    refused = desk.get(f"{course}/agreement?diver=Tove&school=x&fee=much")
    assert refused.status_code == 422


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
    page.locator("select[name=diver]").first.select_option("Tove")
    page.get_by_label("shown", exact=True).check()
    page.locator("[name=by]").first.fill("Mirren")
    page.get_by_role("button", name="Sign", exact=True).click()
    page.wait_for_url("**/book")
    settle(page)
    assert page.locator(".standing .shown").count() == 1
    assert findings(page) == []
    assert fits(page)
