"""Home and the pages around it in a browser: by mouse, by key, by day, by night, on a phone."""

from __future__ import annotations

from datetime import date

import pytest
from playwright.sync_api import expect

from slatewright.desk.exchange import bring_in_example
from slatewright.store.dives import add_dive
from slatewright.store.logins import hash_password, set_password_hash
from slatewright.store.plan_order import plan_chain
from slatewright.store.plans import create_plan
from slatewright.store.vouching import SignatureKind, Who, sign_plan

from .conftest import NOON
from .looking import PHONE, findings, fits, picture, settle

PASSWORD = "six leads on a line"  # noqa: S105 - of a desk that lives for a moment
WORKING = "/working/operating-depth?o2=0.32&limit_bar=1.4&surface_bar=1.01325&bar_per_m=0.1"
WIDE = {"width": 1280, "height": 900}
PATHS = {
    "home": "/",
    "dive": "/dives/1",
    "working": WORKING,
    "formulas": "/formulas",
    "trash": "/trash",
    "phone": "/phone",
    "programs": "/programs",
    "refusal": "/nowhere",
}


def week(store):
    """Put a week of dives on the calendar."""
    with store.write() as session:
        wall = bring_in_example(session, "build-up-week/6-the-wall.toml", now=NOON)
        quarry = bring_in_example(session, "imperial/quarry-200ft.toml", now=NOON)
        chain = plan_chain(session, wall.id)
        for day, plan in zip((5, 6, 7, 9), (*chain[2:5], wall), strict=True):
            add_dive(session, date(2031, 5, day), plan.id, now=NOON)
        add_dive(session, date(2031, 5, 19), quarry.id, now=NOON)
        sign_plan(session, chain[2].id, 1, SignatureKind.CHECK, Who("Tove"), now=NOON)
        create_plan(session, 'title = "Half written"\nunits = "metric"\n', now=NOON)


@pytest.fixture(scope="module")
def busy(serve):
    """A desk with a week of dives."""
    with serve() as desk:
        week(desk.store)
        yield desk


@pytest.mark.parametrize(
    ("paper", "window", "names"),
    [
        ("light", WIDE, tuple(PATHS)),
        ("dark", WIDE, ("home", "working")),
        ("light", PHONE, ("home", "working")),
        ("dark", PHONE, tuple(PATHS)),
    ],
    ids=["day", "night", "phone by day", "phone by night"],
)
def test_every_page_reads_well(busy, open_page, tmp_path, paper, window, names):
    page = open_page(color_scheme=paper, **window)
    for name in names:
        page.goto(busy.address + PATHS[name])
        picture(page, tmp_path, name)
        assert fits(page), f"{name} is wider than its window"
        assert findings(page) == [], name
    background = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert background == {"light": "rgb(252, 250, 243)", "dark": "rgb(14, 22, 29)"}[paper]
    family = "document.fonts.check('700 1rem \"Atkinson Hyperlegible\"')"
    assert page.evaluate(family)
    open_page.complaints[:] = [said for said in open_page.complaints if "404" not in said]


def test_nothing_is_asked_of_anybody_else(busy, open_page):
    page, asked = open_page(), []
    page.on("request", lambda request: asked.append(request.url))
    for path in PATHS.values():
        page.goto(busy.address + path)
    assert asked
    assert all(url.startswith(busy.address) for url in asked)
    open_page.complaints[:] = [said for said in open_page.complaints if "404" not in said]


def test_a_number_opens_its_working_beside_the_page_and_closes_by_key(busy, open_page, tmp_path):
    page = open_page()
    page.goto(f"{busy.address}/formulas")
    link = page.get_by_role("link", name="Depth at which a gas reaches its highest ppO2")
    link.focus()
    page.keyboard.press("Enter")
    beside = page.locator("#working")
    beside.get_by_role("heading", name="Depth at which a gas").wait_for()
    assert page.url.endswith("/formulas")
    expect(beside).to_be_focused()
    for name, value in (("o2", "0.32"), ("limit_bar", "1.4"), ("surface_bar", "1.01325")):
        beside.locator(f"input[name={name}]").fill(value)
    last = beside.locator("input[name=bar_per_m]")
    last.fill("0.1")
    last.press("Enter")
    beside.locator("output", has_text="33.6175").first.wait_for()
    assert page.url.endswith("/formulas")
    picture(page, tmp_path, "beside")
    assert findings(page) == []
    last.fill("nonsense")
    last.press("Enter")
    beside.get_by_role("alert").wait_for()
    page.keyboard.press("Escape")
    assert beside.inner_html() == ""
    assert link.evaluate("a => a === document.activeElement")
    open_page.complaints[:] = [said for said in open_page.complaints if "422" not in said]


def test_without_script_a_number_leads_to_the_same_working(busy, open_page):
    page = open_page(java_script_enabled=False)
    page.goto(f"{busy.address}/formulas")
    page.get_by_role("link", name="Depth at which a gas reaches its highest ppO2").click()
    assert page.url.endswith("/working/operating-depth")
    for name, value in (("o2", "0.32"), ("limit_bar", "1.4"), ("surface_bar", "1.01325")):
        page.locator(f"input[name={name}]").fill(value)
    page.locator("input[name=bar_per_m]").fill("0.1")
    page.get_by_role("button", name="Work it out").click()
    assert "33.6175" in page.locator("output").first.inner_text()


def test_home_by_keyboard_alone(serve, open_page):
    with serve() as desk:
        page = open_page()
        page.goto(desk.address)
        page.keyboard.press("Tab")
        assert page.locator(":focus").inner_text() == "Skip to the page"
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "main"
        choice = page.get_by_label("From an example")
        while not choice.evaluate("e => e === document.activeElement"):
            page.keyboard.press("Tab")
        page.keyboard.press("End")
        page.keyboard.press("Tab")
        outline = page.locator(":focus").evaluate("e => getComputedStyle(e).outlineStyle")
        assert outline == "solid"
        page.keyboard.press("Enter")
        page.wait_for_url("**/bench/1")
        page.goto(desk.address)
        assert page.get_by_role("heading", name="The terrace").is_visible()
        page.get_by_text("More").first.focus()
        page.keyboard.press("Enter")
        page.get_by_role("button", name="Put on the calendar").focus()
        page.keyboard.press("Enter")
        page.wait_for_url("**/dives/1")
        assert page.get_by_role("heading", name="Analysis").is_visible()


def test_an_analysis_is_recorded_as_a_person_does_it(busy, open_page):
    page = open_page(**PHONE)
    page.goto(f"{busy.address}/dives/5")
    page.get_by_label("Cylinder").select_option(index=1)
    page.get_by_label("Oxygen, %").fill("32.1")
    page.get_by_label("Helium, %").fill("0")
    page.get_by_label("Gauge, psi").fill("2950")
    page.get_by_label("Analysed by").fill("Jory")
    page.get_by_role("button", name="Record it").click()
    page.wait_for_url("**/dives/5#analysis")
    assert page.get_by_text("not the planned gas").is_visible()
    page.goto(busy.address)
    assert page.get_by_text("0 of 6 cylinders, 1 not as planned").is_visible()


def test_day_and_night_are_chosen_and_kept(busy, open_page):
    page = open_page(color_scheme="light")
    page.goto(f"{busy.address}/formulas")
    page.get_by_role("button", name="Night").click()
    page.wait_for_url("**/formulas")
    assert page.locator("html").get_attribute("data-look") == "dark"
    page.goto(busy.address)
    assert page.get_by_role("button", name="Night").get_attribute("aria-pressed") == "true"


def test_print_leaves_out_what_cannot_be_pressed(busy, open_page, tmp_path):
    page = open_page(color_scheme="dark")
    page.goto(busy.address)
    page.emulate_media(media="print")
    settle(page)
    assert not page.get_by_role("button").first.is_visible()
    assert not page.get_by_role("navigation", name="Pages").is_visible()
    assert page.get_by_role("heading", name="What is next").is_visible()
    assert page.get_by_text("A planning aid for trained divers").is_visible()
    white = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert white == "rgb(255, 255, 255)"
    paper = page.pdf(format="A4", path=tmp_path / "home.pdf")
    assert paper.startswith(b"%PDF")


def test_others_log_in_with_the_password(serve, open_page, tmp_path):
    with serve(serving_others=True, other_names=("127.0.0.1",)) as desk:
        with desk.store.write() as session:
            set_password_hash(session, hash_password(PASSWORD), now=NOON)
        page = open_page(**PHONE)
        page.goto(f"{desk.address}/formulas")
        assert "/login" in page.url
        picture(page, tmp_path, "login")
        assert findings(page) == []
        page.get_by_label("Password").fill("a guess")
        page.keyboard.press("Enter")
        assert page.get_by_role("alert").inner_text().startswith("that is not the password")
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Log in").click()
        page.wait_for_url("**/formulas")
        page.get_by_role("link", name="On a phone").click()
        assert page.get_by_role("img", name="QR code of").is_visible()
        picture(page, tmp_path, "code")
        assert findings(page) == []
        page.get_by_role("button", name="Log out").click()
        page.wait_for_url("**/login")
    open_page.complaints[:] = [said for said in open_page.complaints if "422" not in said]
