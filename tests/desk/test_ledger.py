"""The ledger: sliders that answer, numbers that open, texts that are kept; in a browser too."""

from __future__ import annotations

import html
import io
import re

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from slatewright.desk.exchange import bring_in_example

from .conftest import NOON
from .looking import PHONE, findings, fits, settle


def token_of(page):
    return re.search(r'name="token" value="([^"]+)"', page.text)[1]


def save(desk, part, text, version=0, back="/ledger"):
    token = token_of(desk.get("/ledger"))
    return desk.post(
        f"/ledger/text/{part}",
        data={"token": token, "version": version, "text": text, "back": back},
    )


def text_of(desk, part, page="/ledger"):
    area = re.compile(rf'id="text-{part}".*?<textarea[^>]*>(.*?)</textarea>', re.DOTALL)
    return html.unescape(area.search(desk.get(page).text)[1])


def test_the_example_is_answered(desk):
    page = desk.get("/ledger")
    assert page.status_code == 200
    assert "never pays for itself within 5 years" in page.text
    assert "An example" in page.text
    assert "not worth its money" in page.text
    assert page.text.count('class="swing"') == 2 * 4  # a bar for each thing, wide and narrow
    assert "Failing without a sign" in page.text


def test_a_slider_changes_the_answer(desk):
    page = desk.get("/ledger?helium=4")
    assert re.search(r"paid for itself after \d+ months", page.text)
    part = desk.get("/ledger?helium=4", headers={"HX-Request": "true"})
    assert "<html" not in part.text
    assert part.text.lstrip().startswith('<div id="ledger-answer"')


@pytest.mark.parametrize(
    ("query", "right"),
    [
        ("helium=x", "0.25 to 5"),
        ("helium=99", "0.25 to 5"),
        ("cadence=-1", "0.25 to 4"),
        ("years=0", "1 to 15"),
        ("years=many", "1 to 15"),
        ("unit=nan", "0.25 to 2"),
    ],
)
def test_a_slider_out_of_range_is_refused(desk, query, right):
    page = desk.get(f"/ledger?{query}")
    assert page.status_code == 422
    assert right in page.text


def test_numbers_open(desk):
    page = desk.get("/ledger?helium=4").text
    paths = re.findall(r'href="(/ledger/account/[^"]+)"', page)
    assert len(paths) == 1 + 2 * 3
    for path in paths:
        told = desk.get(path.replace("&amp;", "&"))
        assert told.status_code == 200
        assert "How it came about" in told.text
    assert desk.get("/ledger/account/open/99").status_code == 422


def test_a_text_with_faults_is_kept_and_told(desk):
    rates = text_of(desk, "rates").replace("boat = 640", "boat = -640")
    page = save(desk, "rates", rates)
    assert page.status_code == 422
    assert "Kept, and not yet right" in page.text
    assert "out of range" in page.text
    assert "-640" in text_of(desk, "rates")
    assert "This cannot be priced" in desk.get("/ledger").text


def test_the_later_save_of_two_windows_is_told(desk):
    ways = text_of(desk, "ways")
    assert save(desk, "ways", ways.replace("years = 5", "years = 6")).status_code == 303
    page = save(desk, "ways", ways.replace("years = 5", "years = 7"))
    assert page.status_code == 409
    assert "within 6 years" in desk.get("/ledger").text


def test_a_plan_of_the_workspace_is_priced(desk, store):
    with store.write() as session:
        plan = bring_in_example(session, "build-up-week/3-the-slope.toml", now=NOON)
    ways = text_of(desk, "ways").replace("../build-up-week/3-the-slope.toml", f"#{plan.id}")
    before = desk.get("/ledger").text
    assert save(desk, "ways", ways).status_code == 303
    after = desk.get("/ledger").text
    kinds = re.compile(r"<tbody><tr><th scope=\"row\">reefs.*?</tbody>", re.DOTALL)
    assert kinds.search(before)[0] == kinds.search(after)[0]
    assert save(desk, "ways", ways.replace(f"#{plan.id}", "#999"), 1).status_code == 303
    assert "there is no plan 999" in desk.get("/ledger").text


def test_a_text_leads_to_no_path_of_this_machine(desk):
    ways = text_of(desk, "ways").replace(
        "../build-up-week/3-the-slope.toml", "../../../../etc/passwd"
    )
    save(desk, "ways", ways)
    assert "there is no plan" in desk.get("/ledger").text


def test_the_quote_adds_up_and_prints(desk):
    page = desk.get("/ledger/quote")
    assert page.status_code == 200
    assert "Paid by the students together" in page.text
    pdf = desk.get("/ledger/quote/file")
    assert pdf.headers["content-type"] == "application/pdf"
    text = PdfReader(io.BytesIO(pdf.content)).pages[0].extract_text()
    total = re.search(r"<b>([\d,.]+)</b> EUR in all", page.text)[1]
    assert total in text
    assert "A week at the Stair" in text


def test_what_a_student_would_pay_if_more_came(desk):
    page = desk.get("/ledger/quote/if", headers={"HX-Request": "true"})
    rows = re.findall(r'<th scope="row">(\d)</th><td>([\d,.]+)</td><td>([\d,.]+)</td>', page.text)
    assert [row[0] for row in rows] == ["1", "2", "3", "4"]
    half, today = ([float(row[i].replace(",", "")) for row in rows] for i in (1, 2))
    assert today == sorted(today, reverse=True)
    assert all(a < b for a, b in zip(half, today, strict=True))
    each = re.search(r"<b>([\d,.]+)</b> EUR a student", desk.get("/ledger/quote").text)[1]
    assert rows[1][2] == each


def test_the_quote_of_more_students(desk):
    quote = text_of(desk, "quote", "/ledger/quote").replace("students = 2", "students = 3")
    assert save(desk, "quote", quote, back="/ledger/quote").headers["location"] == "/ledger/quote"
    assert "3 students" in desk.get("/ledger/quote").text


def test_a_finger_on_a_slider(served, open_page):
    page = open_page()
    page.goto(f"{served.address}/ledger")
    settle(page)
    heading = page.locator("#verdict-heading")
    expect(heading).to_contain_text("never")
    slider = page.get_by_role("slider", name="Price of helium")
    slider.fill("4")
    shown = page.locator(".slider", has_text="Price of helium").locator("output")
    expect(shown).to_have_text("x 4")
    expect(heading).to_contain_text("month")
    slider.press("Home")
    expect(heading).to_contain_text("never")
    page.locator("#verdict-heading .number").click()
    expect(page.locator("#working")).to_contain_text("How it came about")


@pytest.mark.parametrize("path", ["/ledger", "/ledger/quote"])
@pytest.mark.parametrize(
    "look", [{}, {"color_scheme": "dark"}, PHONE], ids=["day", "night", "phone"]
)
def test_everybody_can_use_it(served, open_page, path, look):
    page = open_page(**look)
    page.goto(served.address + path)
    settle(page)
    assert findings(page) == []
    assert fits(page)
