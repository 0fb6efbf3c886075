"""Courses on their pages: built up, moved, mended, proposed, undone, taken out."""

from __future__ import annotations

import html
import io
import re

import pytest
from icalendar import Calendar
from openpyxl import load_workbook

from slatewright.course.signoff import Outcome
from slatewright.course.skillfile import shipped_skills
from slatewright.desk.course import course_work
from slatewright.desk.exchange import bring_in_example
from slatewright.store.courses import get_course, save_course
from slatewright.store.people import Particulars, add_person
from slatewright.store.sign_offs import Shown, sign_off
from slatewright.store.vouching import Who

from .calling import HTMX
from .conftest import NOON
from .test_book import EXAMPLE

TEXT = EXAMPLE.read_text("utf-8")
ELSEWHERE = """
[[elsewhere]]
plan = "../build-up-week/1-the-shelf.toml"
on = 2031-05-06
at = "14:30"
who = "Mirren"
"""


def swapped(text=TEXT):
    """The deepest but one first: steps that are too deep."""
    text = text.replace("on = 2031-05-05", "on = 2031-05-31")
    text = text.replace("on = 2031-05-09", "on = 2031-05-05")
    return text.replace("on = 2031-05-31", "on = 2031-05-09")


@pytest.fixture
def course(desk):
    return desk.submit("/courses", {"start": "example"}).headers["location"]


def shown(desk, course):
    return desk.get(f"{course}/answer").text


def version(desk, course):
    return re.search(r'name="version" value="(\d+)"', desk.get(course).text)[1]


def change(desk, course, what, **fields):
    return desk.submit(f"{course}/{what}", {"version": version(desk, course), **fields})


def text_of(desk, course):
    return html.unescape(
        re.search(r"<textarea[^>]*>(.*?)</textarea>", desk.get(course).text, re.DOTALL)[1]
    )


def number(page, label):
    """Where a number of the page leads, by its label for those who do not see it."""
    return re.search(rf'href="([^"]+)" aria-label="{re.escape(label)}', page)[1]


def test_a_course_that_takes_its_time_is_asked_for_by_its_page(desk, course, monkeypatch):
    # what other tests of this process have solved is kept: begin with nothing
    for kept in ("_SOLVERS", "_WORKS"):
        monkeypatch.setattr(course_work, kept, type(getattr(course_work, kept))())
    first = desk.get(course).text
    assert f'href="{course}/answer" hx-get="{course}/answer" hx-trigger="load"' in first
    part = desk.get(f"{course}/answer", headers=HTMX).text
    assert "<html" not in part
    assert "within its limits" in part
    assert "within its limits" in desk.get(course).text  # what was computed is kept
    monkeypatch.setattr(course_work, "_SOLVERS", type(course_work._SOLVERS)())
    assert "within its limits" in desk.get(course).text  # even when what solved it is not


def test_the_example_is_built_up(desk, course):
    page = shown(desk, course)
    assert "within its limits" in page
    assert re.findall(r'id="dive-(\d)"', page) == list("123456")
    assert "Tuesday 13 May, 11:47" in page
    assert "22:38" in page  # the surface interval before the second dive
    assert "a day of rest" in page
    assert "kept for a day lost to weather" in page
    assert "Casper flies at 08:00" in page
    assert course.rpartition("/")[2] in desk.get("/courses").text


def test_what_each_brings_stands_by_itself(desk, course):
    change(desk, course, "text", text=TEXT + ELSEWHERE)
    page = shown(desk, course)
    assert "in another course" in page
    day = re.search(r'id="dive-2".*?class="day ', page, re.DOTALL)[0]
    oxygen = re.findall(r'class="whom">([^<]+)<', day)
    assert oxygen == ["Mirren", "Tove, Casper"]  # the instructor dives twice that day


def test_each_number_tells_how_it_came_about(desk, course):
    page = shown(desk, course)
    paths = set(re.findall(rf'href="({course}/1/how/[^"]+)"', page))
    kinds = {path.split("/how/")[1].split("/")[0] for path in paths}
    assert kinds == {"run", "load", "interval", "cns", "otu", "day", "days", "flying"}
    for path in paths:
        assert desk.get(path).status_code == 200, path
    # 42.3 OTU on the first day, shown rounded up
    said = desk.get(number(page, "OTU of the day, Mirren, Tove, Casper: 43")).text
    assert "allowed on day 1 of a run of days" in said
    cns = desk.get(f"{course}/1/how/cns/d2/1").text
    assert "/working/cns-after-surface?" in html.unescape(cns)
    for wrong in ("cns/d9/0", "cns/d1/9", "cns/d1", "interval/d1/0", "load/e1", "more", "days/0/x"):
        assert desk.get(f"{course}/1/how/{wrong}").status_code == 422, wrong
    assert desk.get(f"{course}/7/how/run/d1").status_code == 422


def test_a_number_of_a_text_that_has_changed_still_tells(desk, course):
    change(desk, course, "move", dive="2", on="2031-05-05", at="15:00")
    assert "22:38" in desk.get(f"{course}/1/how/interval/d2/0").text
    assert "22:38" not in desk.get(f"{course}/2/how/interval/d2/0").text


def test_a_dive_is_moved_and_the_move_undone(desk, course):
    moved = change(desk, course, "move", dive="2", on="2031-05-05", at="12:00")
    assert moved.status_code == 303
    page = desk.get(course).text
    assert "against it" in page
    beside = re.search(r'id="dive-2".*?</article>', page, re.DOTALL)[0]
    assert "is the least" in beside  # the finding stands beside its dive
    assert change(desk, course, "back").status_code == 303
    assert "within its limits" in desk.get(course).text
    assert text_of(desk, course) == TEXT


def test_a_move_onto_another_dive_is_not_taken(desk, course):
    refused = change(desk, course, "move", dive="2", on="2031-05-05", at="10:00")
    assert refused.status_code == 422
    assert "This was not taken" in refused.text
    assert text_of(desk, course) == TEXT


def test_a_better_order_is_shown_and_taken(desk, course):
    change(desk, course, "text", text=swapped())
    assert "against it" in shown(desk, course)
    order = desk.get(f"{course}/order", headers=HTMX).text
    assert "no finding instead of 3 findings" in order
    assert "No order on these days and hours is better" in order
    assert "5: The gallery, 84 m" in order
    assert "against it" in desk.get(course).text  # shown, and not yet taken
    assert change(desk, course, "propose").status_code == 303
    assert "within its limits" in desk.get(course).text
    assert "as good as it stands" in desk.get(f"{course}/order").text


def test_a_cure_is_one_click(desk, course):
    change(desk, course, "text", text=swapped())
    page = shown(desk, course)
    before = page.count('class="finding warning"')
    found = re.search(r'name="finding" value="(\d+)"><button name="words" value="([^"]+)"', page)
    answer = change(desk, course, "mend", finding=found[1], words=html.unescape(found[2]))
    assert answer.status_code == 303
    assert desk.get(course).text.count('class="finding warning"') < before
    gone = change(desk, course, "mend", finding="99", words="nothing")
    assert gone.status_code == 422


def test_gas_and_cost_come_from_the_fill_room(desk, course):
    page = desk.get(f"{course}/gas", headers=HTMX).text
    for gas in ("18/45", "OXYGEN", "10/70"):
        assert gas in page
    assert "the-week.toml" in page
    cost = re.search(rf'href="({course}/1/how/cost)"[^>]*>([\d,.]+)<', page)
    said = desk.get(cost[1]).text
    assert cost[2] in said
    lines = re.findall(r'class="given">([\d,]+\.\d\d)<', said)
    total = sum(float(line.replace(",", "")) for line in lines)
    assert f"{total:,.2f}" == cost[2]  # the lines are those of the sum
    assert "Tove" in desk.get(f"{course}/1/how/fills/0").text
    assert desk.get(f"{course}/1/how/fills/77").status_code == 422


def test_skills_are_judged_and_a_spread_is_taken(desk, course):
    page = desk.get(f"{course}/skills", headers=HTMX).text
    assert "each may be shown where it stands" in page
    words = shipped_skills().by_id["lost-deco-gas"].words
    change(
        desk, course, "text", text=TEXT.replace('["two-switches"]', '["gas-break"]').replace(
            '["gas-break", "lost-line"]', '["two-switches", "lost-line"]'
        ),
    )  # fmt: skip
    page = desk.get(f"{course}/skills").text
    assert "As the text has them" in page
    assert "was not shown before" in html.unescape(page)
    assert change(desk, course, "skills").status_code == 303
    assert "each may be shown where it stands" in desk.get(f"{course}/skills").text
    whole = desk.get(f"{course}/skills?everything=1").text
    assert words in html.unescape(whole)  # these dives have no place for it, and the page says so
    assert "have no place" in whole


def test_a_lost_gas_that_is_really_needed_stands_beside_its_dive(desk, course):
    change(desk, course, "text", text=TEXT.replace('["travel-switch"]', '["lost-deco-gas"]'))
    page = shown(desk, course)
    assert "against it" in page
    beside = re.search(r'id="dive-4".*?</article>', page, re.DOTALL)[0]
    assert re.search(
        r'class="finding danger">\s*<p[^>]*><strong>DANGER</strong> skill loss', beside
    )


def test_what_everybody_has_signed_is_brought(desk, course, store):
    text = TEXT.replace('skills = ["gas-switch", "marker-mid-water"]', "skills = []")
    change(
        desk, course, "text", text=text.replace('["two-switches"]', '["two-switches", "valves"]')
    )
    words = shipped_skills().by_id["reel"].words
    assert words not in desk.get(f"{course}/skills").text
    with store.write() as session:
        for diver in ("Tove", "Casper"):
            signed = Shown(Who(diver, None), "reel", "1", Outcome.SHOWN)
            sign_off(session, int(course.rpartition("/")[2]), signed, Who("Mirren", None), now=NOON)
    assert words in desk.get(f"{course}/skills").text


def test_a_text_with_faults_is_kept_and_told_at_its_lines(desk, course):
    broken = TEXT.replace("step_m = 12", "step_m = -12").replace("on = 2031-05-06", 'on = "soon"')
    answer = change(desk, course, "text", text=broken)
    assert answer.status_code == 422
    assert answer.text.count('class="line"') == 2  # all at once
    lines = re.search(r'class="gutter".*?</ol>', answer.text, re.DOTALL)[0]
    wrong = [place for place, li in enumerate(lines.split("<li")[1:], 1) if "fault-line" in li]
    at = [broken.splitlines().index(line) + 1 for line in ("step_m = -12", 'on = "soon"')]
    assert wrong == at
    assert text_of(desk, course) == broken
    assert change(desk, course, "move", dive="1", on="2031-05-05", at="9:00").status_code == 422


def test_two_windows_are_told(desk, course, store):
    seen = version(desk, course)
    with store.write() as session:
        number = int(course.rpartition("/")[2])
        save_course(session, number, int(seen), TEXT + "\n# theirs\n", now=NOON)
    late = desk.submit(f"{course}/text", {"version": seen, "text": TEXT + "\n# mine\n"})
    assert late.status_code == 409
    assert "# mine" in late.text
    assert "# theirs" in late.text
    assert "# theirs" in text_of(desk, course)
    newer = re.search(r'name="version" value="(\d+)"[^>]*>\s*<div class="text-head"', late.text)[1]
    over = desk.submit(f"{course}/text", {"version": newer, "text": TEXT + "\n# mine\n"})
    assert over.status_code == 303
    late = desk.submit(
        f"{course}/move", {"version": seen, "dive": "1", "on": "2031-05-04", "at": "10:00"}
    )
    assert late.status_code == 409


def test_a_plan_of_the_workspace_is_dived(desk, course, store):
    with store.write() as session:
        plan = bring_in_example(session, "build-up-week/1-the-shelf.toml", now=NOON)
    change(
        desk, course, "text", text=TEXT.replace("../build-up-week/1-the-shelf.toml", f"#{plan.id}")
    )
    page = shown(desk, course)
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


def test_a_course_is_begun_with_a_file_or_a_text(desk):
    token = desk.token
    begun = desk.post(
        "/courses/files", data={"token": token}, files={"file": ("week.toml", TEXT.encode())}
    )
    assert text_of(desk, begun.headers["location"]) == TEXT
    wrong = desk.post(
        "/courses/files", data={"token": token}, files={"file": ("week.toml", b"\xff\xfe")}
    )
    assert wrong.status_code == 422
    begun = desk.submit("/courses", {"start": "text", "text": TEXT.replace("\n", "\r\n")})
    assert text_of(desk, begun.headers["location"]) == TEXT
    blank = desk.submit("/courses", {"start": "blank"}).headers["location"]
    assert "cannot be built up" not in shown(desk, blank)


def test_dates_tables_and_text_go_out(desk, course):
    dates = Calendar.from_ical(desk.get(f"{course}/calendar").content).walk("VEVENT")
    assert len(dates) == 8
    book = load_workbook(io.BytesIO(desk.get(f"{course}/tables").content))
    assert book.sheetnames == ["Build-up", "Skills", "Gas totals"]
    rows = desk.get(f"{course}/tables/dives.csv").content.decode("utf-8-sig").splitlines()
    assert len(rows) == 1 + 6
    assert rows[1].startswith("1,")
    assert "gas-switch" in desk.get(f"{course}/tables/skills.csv").text
    assert "18/45" in desk.get(f"{course}/tables/gas.csv").text
    assert desk.get(f"{course}/tables/else.csv").status_code == 422
    assert desk.get(f"{course}/file").text == TEXT


def test_people_lead_to_their_readiness(desk, course, store):
    with store.write() as session:
        person = add_person(session, Particulars("Tove"), now=NOON)
    page = desk.get(course).text
    assert re.search(rf'href="/people/{person.id}/ready"[^>]*>Tove<', page)
    assert re.search(r"Casper\s*<span", page)  # not in the roster, and so no link


def test_no_beginning_is_refused(desk):
    assert desk.submit("/courses", {"start": "magic"}).status_code == 422
    assert desk.get("/courses/99").status_code == 404
    assert desk.get("/courses/99/gas").status_code == 404


def test_a_dive_without_a_safe_answer_is_said_and_the_rest_stands(desk, course, store):
    change(desk, course, "move", dive="2", on="2031-05-05", at="10:20")
    page = shown(desk, course)
    assert "There is no safe dive here" in page
    assert "not known: a dive is not computed" in page
    assert desk.get(f"{course}/skills").status_code == 200
    assert desk.get(f"{course}/gas").status_code == 200
    with store.read() as session:
        assert get_course(session, int(course.rpartition("/")[2])).version == 2


def test_a_dive_on_a_closed_circuit_is_built_up(desk, course):
    text = TEXT.replace("build-up-week/5-the-gallery", "closed-circuit/1-the-terrace")
    assert change(desk, course, "text", text=text).status_code == 303
    page = shown(desk, course)
    assert "The terrace, 66 m, closed circuit" in page
    assert "it is on a closed circuit" in page
    for part in ("gas", "skills"):
        assert desk.get(f"{course}/{part}").status_code == 200
    number = course.rpartition("/")[2]
    told = desk.get(f"/api/courses/{number}/build-up").json()
    assert "a closed circuit" in told["dives"][4]["new"]
