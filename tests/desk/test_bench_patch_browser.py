"""What a keystroke changes on the bench: the page is then as if it had come anew."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from slatewright.desk.exchange import bring_in_example

from .conftest import NOON
from .test_bench_browser import WIDE, field, judged, opened

DIFFERS = """(answer) => {
  const came = Document.parseHTMLUnsafe(answer).body;
  const there = document.getElementById("result").cloneNode(true);
  const bare = (root) => {
    for (const one of root.querySelectorAll("#way")) one.remove();
    for (const [those, name] of [
      ["[data-htmx-powered]", "data-htmx-powered"], ["[class='']", "class"], ["details", "open"],
    ]) for (const one of root.querySelectorAll(those)) one.removeAttribute(name);
    return root.innerHTML.trim();
  };
  return [bare(came), bare(there)];
}"""
EDITS = (
    ("level.0.leave_at_min", "19"),
    ("level.0.depth_m", "63"),
    ("gas.0.mix", "10/50"),
    ("level.0.depth_m", "66x"),
    ("level.0.depth_m", "66"),
    ("gas.0.mix", "18/45"),
    ("level.0.leave_at_min", "200"),
    ("level.0.leave_at_min", "14"),
)


@pytest.fixture
def bench(served):
    with served.store.write() as session:
        plan = bring_in_example(session, "build-up-week/6-the-wall.toml", now=NOON)
    return f"{served.address}/bench/{plan.id}"


@pytest.fixture
def page(bench, open_page):
    yield opened(open_page(**WIDE), bench)
    open_page.complaints.clear()  # the browser logs each refusal, and refusals are part of it


def typed(page, name, value):
    """Type into the sheet; return the part of the page that came."""
    with page.expect_response(lambda answer: answer.url.endswith("/sheet")) as answer:
        field(page, name).fill(value)
    text = answer.value.text()
    # the text of the sheet comes first, and what follows from it is in the page with it
    page.wait_for_function(
        """(text) => {
          const came = Document.parseHTMLUnsafe(text).querySelector(".computed, #faults");
          const there = document.querySelector("#result")?.querySelector(".computed, #faults");
          return came && there && came.dataset.key === there.dataset.key
            && came.className === there.className;
        }""",
        arg=text,
    )
    page.wait_for_timeout(100)
    return text


def test_a_page_that_was_changed_by_keys_is_as_one_that_came_anew(page):
    for name, value in EDITS:
        came, there = page.evaluate(DIFFERS, typed(page, name, value))
        assert there == came, f"after {value} in {name}"
    judged(page)
    key = page.locator(".computed").get_attribute("data-key")
    assert key in page.locator("#way .chart a").first.get_attribute("href")


def test_what_a_person_unfolded_stays_so_and_the_keyboard_stays_on_its_number(page):
    card = page.locator(".hazards .hazard", has=page.locator("details.decided")).first
    folded = page.locator(f"#{card.get_attribute('id')} details")
    folded.locator("summary").click()
    number = page.locator(".figures a.number").first
    number.evaluate("(one) => { window.number = one; }")
    typed(page, "level.0.depth_m", "95")
    expect(folded).to_have_attribute("open", "")
    assert number.evaluate("(one) => one === window.number && one.isConnected")


def test_a_way_home_that_comes_too_late_is_not_taken_for_that_of_the_sheet(page):
    waiting = []

    def late(route):
        waiting.append(route)

    page.route("**/way/**", late)
    typed(page, "level.0.leave_at_min", "19")
    typed(page, "level.0.leave_at_min", "17")
    for _ in range(100):
        if len(waiting) > 1:
            break
        page.wait_for_timeout(100)
    assert len(waiting) == 2
    key = page.locator(".computed").get_attribute("data-key")
    with page.expect_response(lambda answer: "/way/" in answer.url):
        waiting[0].continue_()
    page.wait_for_timeout(500)
    assert page.locator("#way.waits").count() == 1
    waiting[1].continue_()
    judged(page)
    assert key in page.locator("#way .chart a").first.get_attribute("href")
