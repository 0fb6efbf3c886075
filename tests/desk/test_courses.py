"""Courses on their pages: built up, moved, mended, proposed, undone, taken out."""

from __future__ import annotations

import html
import re

import pytest
from icalendar import Calendar
from playwright.sync_api import expect

from slatewright.desk.exchange import bring_in_example
from slatewright.store.courses import create_course, get_course
from slatewright.store.people import Particulars, add_person

from .conftest import NOON
from .looking import PHONE, findings, fits, settle
from .test_book import EXAMPLE

TEXT = EXAMPLE.read_text("utf-8")


@pytest.fixture
def course(desk):
    begun = submit(desk, "/courses", "/courses", start="example")
    return begun.headers["location"]


def submit(desk, page, path, **fields):
    token = re.search(r'name="token" value="([^"]+)"', desk.get(page).text)[1]
    return desk.post(path, data={"token": token, **fields})


def version(desk, course):
    return re.search(r'name="version" value="(\d+)"', desk.get(course).text)[1]


def change(desk, course, what, **fields):
    return submit(desk, course, f"{course}/{what}", version=version(desk, course), **fields)


def text_of(desk, course):
    return html.unescape(
        re.search(r"<textarea[^>]*>(.*?)</textarea>", desk.get(course).text, re.DOTALL)[1]
    )


def test_the_example_is_built_up(desk, course):
    page = desk.get(course).text
    assert "within its limits" in page
    assert page.count('class="own"') == 6
    assert "2031-05-13 11:47" in page
    assert "22:38" in page  # the surface interval before the second dive
    assert course.rpartition("/")[2] in desk.get("/courses").text


def test_a_dive_is_moved_and_the_move_undone(desk, course):
    moved = change(desk, course, "move", dive="2", on="2031-05-05", at="12:00")
    assert moved.status_code == 303
    page = desk.get(course).text
    assert "findings against it" in page
    assert change(desk, course, "back").status_code == 303
    assert "within its limits" in desk.get(course).text
    assert text_of(desk, course) == TEXT


def test_a_course_in_the_wrong_order_is_proposed_anew(desk, course, store):
    swapped = TEXT.replace("on = 2031-05-05", "on = 2031-05-31")
    swapped = swapped.replace("on = 2031-05-09", "on = 2031-05-05")
    swapped = swapped.replace("on = 2031-05-31", "on = 2031-05-09")
    change(desk, course, "text", text=swapped)
    assert "findings against it" in desk.get(course).text
    assert change(desk, course, "propose").status_code == 303
    assert "within its limits" in desk.get(course).text


def test_a_cure_is_one_click(desk, course):
    swapped = TEXT.replace("on = 2031-05-05", "on = 2031-05-31")
    swapped = swapped.replace("on = 2031-05-09", "on = 2031-05-05")
    change(desk, course, "text", text=swapped.replace("on = 2031-05-31", "on = 2031-05-09"))
    page = desk.get(course).text
    before = page.count('class="warning"')
    found = re.search(r'name="finding" value="(\d+)"><button name="words" value="([^"]+)"', page)
    answer = change(desk, course, "mend", finding=found[1], words=html.unescape(found[2]))
    assert answer.status_code == 303
    assert desk.get(course).text.count('class="warning"') < before
    gone = change(desk, course, "mend", finding="99", words="nothing")
    assert gone.status_code == 422


def test_a_text_with_faults_is_kept_and_told(desk, course):
    broken = TEXT.replace("step_m = 12", "step_m = -12")
    answer = change(desk, course, "text", text=broken)
    assert answer.status_code == 422
    assert "line" in answer.text
    assert "step_m" in answer.text
    assert text_of(desk, course) == broken


def test_two_windows_are_told(desk, course):
    seen = version(desk, course)
    change(desk, course, "text", text=TEXT + "\n# mine\n")
    late = submit(desk, course, f"{course}/text", version=seen, text=TEXT + "\n# theirs\n")
    assert late.status_code == 409
    assert "# mine" in text_of(desk, course)


def test_a_plan_of_the_workspace_is_dived(desk, course, store):
    with store.write() as session:
        plan = bring_in_example(session, "build-up-week/1-the-shelf.toml", now=NOON)
    change(
        desk, course, "text", text=TEXT.replace("../build-up-week/1-the-shelf.toml", f"#{plan.id}")
    )
    page = desk.get(course).text
    assert "within its limits" in page
    assert f'href="/bench/{plan.id}"' in page
    missing = TEXT.replace("../build-up-week/1-the-shelf.toml", "#999")
    change(desk, course, "text", text=missing)
    assert "there is no plan 999" in desk.get(course).text


def test_a_text_leads_to_no_path_of_this_machine(desk, course):
    change(
        desk, course, "text", text=TEXT.replace("../build-up-week/1-the-shelf.toml", "/etc/passwd")
    )
    assert "there is no plan" in desk.get(course).text


def test_dates_tables_and_text_go_out(desk, course):
    dates = Calendar.from_ical(desk.get(f"{course}/calendar").content).walk("VEVENT")
    assert len(dates) == 8
    assert desk.get(f"{course}/tables").content.startswith(b"PK")
    assert desk.get(f"{course}/file").text == TEXT


def test_students_lead_to_their_readiness(desk, course, store):
    with store.write() as session:
        person = add_person(session, Particulars("Tove"), now=NOON)
    assert f'href="/people/{person.id}/ready">Tove' in desk.get(course).text


def test_no_beginning_is_refused(desk):
    assert submit(desk, "/courses", "/courses", start="magic").status_code == 422
    assert desk.get("/courses/99").status_code == 404


@pytest.mark.parametrize(
    "look", [{}, {"color_scheme": "dark"}, PHONE], ids=["day", "dark", "phone"]
)
def test_everybody_can_use_it(served, open_page, look):
    with served.store.write() as session:
        number = create_course(session, TEXT, now=NOON).id
    page = open_page(**look)
    page.goto(f"{served.address}/courses/{number}")
    settle(page)
    assert findings(page) == []
    assert fits(page)
    day = page.locator("input[type=date]").nth(1)
    day.fill("2031-05-05")
    page.get_by_role("button", name="Move").nth(1).click()
    expect(page.locator(".findings").first).to_be_visible()
    assert findings(page) == []
    assert fits(page)
    with served.store.read() as session:
        assert get_course(session, number).version == 2
