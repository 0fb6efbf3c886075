"""The bench as a person uses it: planned, broken, cured, saved, printed; by keys, on a phone."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import expect

from slatewright.desk.exchange import bring_in_example
from slatewright.dive.plan_text import read_plan_text
from slatewright.store.plans import get_plan, save_plan

from .conftest import NOON
from .looking import PHONE, findings, fits, settle

PICTURE = Path(__file__).parents[2] / "docs" / "images" / "bench.png"
MOST_BYTES = 400_000
WIDE = {"width": 1440, "height": 1000}


@pytest.fixture
def page_of(open_page):
    """How to open a page on which a refusal is part of the test: the browser logs each one."""
    yield open_page
    told = "the server responded with a status of 4"
    open_page.complaints[:] = [said for said in open_page.complaints if told not in said]


def turning(page):
    """Wait for the sheet to come anew."""
    return page.expect_response(re.compile(r"/bench/\d+/turn$"))


@pytest.fixture
def bench(served):
    """A desk with a plan of its own for each test: number and address of the bench."""
    with served.store.write() as session:
        plan = bring_in_example(session, "build-up-week/3-the-slope.toml", now=NOON)
    return plan.id, f"{served.address}/bench/{plan.id}"


def opened(page, address):
    page.goto(address)
    judged(page)
    return page


def judged(page):
    """Wait until everything that follows from the sheet is there, the way home too."""
    # while a part is put in, it has the classes of the one before for a moment
    expect(page.locator("#way.judged:not(:has(.wait))")).to_be_visible(timeout=30_000)
    settle(page)


def figure(page, label):
    return page.locator(".figure", has_text=label).locator("b").inner_text()


def field(page, name):
    return page.locator(f'#sheet [name="{name}"]:not([type="hidden"])')


def scale(page):
    """Return by how much the chart is shrunk or stretched to its place."""
    return page.locator(".profile").first.evaluate(
        "(chart) => chart.getBoundingClientRect().width / chart.viewBox.baseVal.width"
    )


def kept(served, plan_id):
    with served.store.read() as session:
        return read_plan_text(get_plan(session, plan_id).text)


def begun(served, page):
    """Begin with the demo dive, as a new user does."""
    page.goto(served.address)
    page.get_by_label("From an example").select_option("build-up-week/6-the-wall.toml")
    page.get_by_role("button", name="Begin with it").click()
    judged(page)
    assert page.locator("h1").inner_text() == "The wall, 96 m"
    return int(page.url.rpartition("/")[2])


def undone(page):
    """Undo until there is nothing left to undo."""
    for _ in range(20):
        if page.locator("[data-undo]").is_disabled():
            break
        with turning(page):
            page.keyboard.press("Control+z")
        page.wait_for_timeout(50)
    judged(page)


def test_a_new_user_plans_the_demo_dive_breaks_it_and_cures_it(served, page_of):
    page = page_of(**WIDE)
    begun(served, page)
    run_min = figure(page, "run time")

    # breaks it: less helium, so that the gas is dense and narcotic
    field(page, "gas.0.mix").fill("10/50")
    expect(page.locator(".verdicts")).to_contain_text("danger")
    assert field(page, "cylinder.0.gas").input_value() == "10/50"
    expect(page.locator("#state")).to_contain_text("Not saved")

    # and types nonsense, which is told beside the field, while the old stays and is marked old
    field(page, "level.0.leave_at_min").fill("18x")
    expect(page.locator("#m-level\\.0\\.leave_at_min")).to_contain_text("is not a number")
    expect(page.locator(".computed.old .stamp")).to_be_visible()
    field(page, "level.0.leave_at_min").fill("18")
    expect(page.locator(".computed.old")).to_have_count(0)
    expect(page.locator("#m-level\\.0\\.leave_at_min")).to_be_empty()

    # cures it by one click each
    for _ in range(6):
        danger = page.locator(".hazard.danger .mends button")
        if not danger.count():
            break
        with turning(page):
            danger.first.click()
        expect(page.locator("#bench-said")).to_have_text("written into the plan")
        expect(page.locator("#way.judged")).to_be_visible(timeout=30_000)
    assert page.locator(".hazard.danger").count() == 0

    undone(page)
    assert figure(page, "run time") == run_min
    expect(page.locator("#state")).to_contain_text("Saved, version 1")


def test_a_plan_is_saved_printed_and_taken_along(served, page_of):
    page = page_of(**WIDE)
    plan_id = begun(served, page)
    field(page, "level.0.leave_at_min").fill("16")
    expect(page.locator("#state")).to_contain_text("Not saved")
    page.keyboard.press("Control+s")
    expect(page.locator("#state")).to_have_text("Saved, version 2")
    assert kept(served, plan_id).level[0].leave_at_min == 16
    judged(page)

    # prints: the sheet stays on the screen, everything else is on paper
    page.emulate_media(media="print")
    assert not page.locator("#sheet").is_visible()
    assert page.locator(".schedule table").is_visible()
    assert page.locator(".profile").first.is_visible()
    assert page.locator("#way .wayhome").is_visible()
    assert len(page.pdf(format="A4")) > 20_000
    page.emulate_media(media="screen")

    with page.expect_download() as download:
        page.get_by_role("button", name="Save as a file").click()
    text = Path(download.value.path()).read_text("utf-8")
    assert read_plan_text(text) == kept(served, plan_id)
    with page.expect_download() as download:
        page.get_by_role("button", name="Slate (PDF)").click()
    assert download.value.suggested_filename == "the-wall-96-m.pdf"
    assert Path(download.value.path()).read_bytes().startswith(b"%PDF")


def test_every_change_shows_its_whole_effect_and_the_field_keeps_the_keyboard(bench, open_page):
    page = opened(open_page(**WIDE), bench[1])
    before = {
        name: page.locator(name).first.inner_html()
        for name in (".profile", ".along", ".schedule", ".supply", "#way")
    }
    depth = field(page, "level.0.depth_m")
    depth.click()
    depth.press("End")
    depth.press("Backspace")
    depth.press("6")  # 66 m
    expect(page.locator(".profile text", has_text="66 m").first).to_be_visible()
    judged(page)
    assert page.evaluate("document.activeElement.name") == "level.0.depth_m"
    for name, html in before.items():
        assert page.locator(name).first.inner_html() != html, name


def test_by_keyboard_alone(served, bench, page_of):
    plan_id, address = bench
    page = opened(page_of(**WIDE), address)
    field(page, "level.1.depth_m").focus()
    for _ in range(10):
        if page.evaluate("document.activeElement.value === 'add:level'"):
            break
        page.keyboard.press("Tab")
    with turning(page):
        page.keyboard.press("Enter")
    expect(field(page, "level.2.depth_m")).to_be_focused()
    page.keyboard.type("40")
    page.keyboard.press("Tab")
    page.keyboard.type("26")
    expect(page.locator(".profile text", has_text="until 26 min").first).to_be_attached()
    page.keyboard.press("Control+s")
    expect(page.locator("#state")).to_have_text("Saved, version 2")
    assert [level.depth_m for level in kept(served, plan_id).level] == [60, 45, 40]
    # the number of the head opens by key, and Escape goes back to it
    page.locator(".figure a").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#working h2")).to_have_text("Run time at the surface")
    page.keyboard.press("Escape")
    expect(page.locator("#working")).to_be_empty()
    assert "number" in page.evaluate("document.activeElement.className")
    # what lies under a working that is open is never where the keyboard is
    page.keyboard.press("Enter")
    expect(page.locator("#working h2")).to_be_visible()
    page.locator("[data-print]").focus()
    expect(page.locator("#working")).to_be_empty()
    while not page.locator("[data-undo]").is_disabled():
        with turning(page):
            page.keyboard.press("Control+z")
        page.wait_for_timeout(50)
    expect(field(page, "level.2.depth_m")).to_have_count(0)
    with turning(page):
        page.keyboard.press("Control+Shift+z")
    expect(field(page, "level.2.depth_m")).to_have_count(1)


def test_two_windows_and_none_loses_anything(served, bench, page_of):
    plan_id, address = bench
    page = opened(page_of(**WIDE), address)
    with served.store.write() as session:  # the other window
        text = get_plan(session, plan_id).text
        save_plan(session, plan_id, 1, text.replace("depth_m = 60", "depth_m = 58"), now=NOON)
    field(page, "level.0.depth_m").fill("57")
    expect(page.locator("#state")).to_contain_text("Not saved")
    page.locator("[data-save]").click()
    expect(page.locator(".conflict")).to_contain_text("Another window has saved this plan")
    assert page.locator(".texts .differs").inner_text().split("\t") == [
        "depth_m = 57",
        "depth_m = 58",
    ]
    assert not findings(page)
    page.get_by_role("button", name="Let mine stand").click()
    judged(page)
    assert kept(served, plan_id).level[0].depth_m == 57


def test_a_slate_without_a_way_home_is_printed_on_a_word(bench, open_page):
    page = opened(open_page(**WIDE), bench[1])
    field(page, "cylinder.0.pressure_bar").fill("150")
    expect(page.locator(".my-word")).to_be_visible(timeout=30_000)
    assert not findings(page)
    page.get_by_label("Your name").fill("Mirren")
    assert page.get_by_label("Your name").input_value() == "Mirren"
    with page.expect_download() as download:
        page.get_by_role("button", name="Slate on my word (PDF)").click()
    assert Path(download.value.path()).read_bytes().startswith(b"%PDF")
    expect(page.locator("#state")).to_contain_text("Not saved")  # and the sheet is still there


def test_a_rig_is_folded_away_until_it_is_asked_for_and_stays_open(bench, page_of):
    page = opened(page_of(**WIDE), bench[1])
    rig = page.locator(".row-partner details").nth(1)
    assert not rig.locator("select").is_visible()
    rig.locator("summary").click()
    field(page, "partner.1.rig.suit").select_option("drysuit")
    expect(page.locator("#faults")).to_be_visible()  # not all of it is given yet
    page.wait_for_timeout(700)
    with turning(page):
        page.get_by_role("button", name="+ a stay").click()
    expect(field(page, "level.2.depth_m")).to_have_count(1)
    assert page.locator(".row-partner details").nth(1).locator("select").is_visible()
    assert not page.locator(".row-partner details").nth(0).locator("select").is_visible()


def test_two_variants_are_seen_beside_each_other(bench, open_page):
    page = opened(open_page(**WIDE), bench[1])
    with turning(page):
        page.get_by_role("button", name="Set it aside").click()
    expect(page.locator(".pair")).to_be_visible()
    field(page, "level.0.depth_m").fill("52")
    row = page.locator(".figures-of-both .differs", has_text="run time")
    expect(row.first).to_be_visible()
    assert page.locator(".pair .profile").count() == 2
    assert not findings(page)


def test_what_is_typed_while_the_sheet_comes_anew_is_not_lost(bench, open_page):
    page = opened(open_page(**WIDE), bench[1])

    def late(route):
        page.wait_for_timeout(400)
        route.continue_()

    page.route("**/turn", late)
    page.get_by_role("button", name="+ a stay").click()
    field(page, "level.0.depth_m").fill("54")
    expect(field(page, "level.2.depth_m")).to_have_count(1)
    assert field(page, "level.0.depth_m").input_value() == "54"
    expect(page.locator(".profile text", has_text="54 m").first).to_be_attached()


def test_on_a_phone(bench, open_page):
    page = opened(open_page(**PHONE), bench[1])
    assert fits(page)
    assert not findings(page)
    # drawn for the width of the phone, not shrunk to it: the first time by a second request
    expect(page.locator(".profile").first).to_have_attribute("viewBox", re.compile(r"^0 0 3\d\d "))
    assert 0.9 < scale(page) < 1.12
    page.reload()  # and from now on at once
    assert 0.9 < scale(page) < 1.12
    page.get_by_role("link", name="Sheet", exact=True).click()
    field(page, "level.0.depth_m").fill("55")
    page.get_by_role("link", name="Schedule", exact=True).click()
    expect(page.locator(".schedule .bottom .depth").first).to_have_text("55")
    assert fits(page)


@pytest.mark.parametrize("look", ["light", "dark"])
def test_nothing_keeps_people_out(bench, page_of, look):
    page = opened(page_of(**WIDE, color_scheme=look), bench[1])
    assert not findings(page)
    field(page, "level.0.depth_m").fill("6o")
    expect(page.locator("#m-level\\.0\\.depth_m")).to_contain_text("is not a number")
    page.wait_for_timeout(700)
    settle(page)
    assert not findings(page)


def test_it_works_without_script(bench, page_of):
    page = page_of(**WIDE, java_script_enabled=False)
    page.goto(bench[1])
    field(page, "level.0.depth_m").fill("55")
    page.get_by_role("button", name="Work it out").click()
    assert "55 m" in page.locator(".profile").first.text_content()
    field(page, "level.0.depth_m").fill("6o")
    page.get_by_role("button", name="Work it out").click()
    assert "is not a number" in page.locator("#m-level\\.0\\.depth_m").inner_text()
    assert page.locator(".stamp").inner_text() == "As it was before the last change"
    field(page, "level.0.depth_m").fill("55")
    page.get_by_role("button", name="Work it out").click()
    page.locator(".hazard .mends button").first.click()
    assert page.locator("#bench-said").inner_text() == "written into the plan"
    page.locator(".waits a").click()
    assert "way home" in page.locator("h1").inner_text()


def test_nothing_comes_from_a_network(bench, served, open_page):
    page = open_page(**WIDE)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    opened(page, bench[1])
    assert asked
    assert all(url.startswith((served.address, "data:")) for url in asked)


def test_its_picture_for_the_readme(served, open_page, tmp_path):
    with served.store.write() as session:
        plan = bring_in_example(session, "build-up-week/6-the-wall.toml", now=NOON)
    page = opened(open_page(**WIDE, device_scale_factor=1), f"{served.address}/bench/{plan.id}")
    page.locator("#sheet").evaluate("(sheet) => { sheet.scrollTop = 0; }")
    taken = tmp_path / "bench.png"
    page.screenshot(path=taken, clip={"x": 0, "y": 0, "width": 1440, "height": 1000})
    assert taken.stat().st_size < MOST_BYTES
    head = taken.read_bytes()[16:24]
    assert (int.from_bytes(head[:4]), int.from_bytes(head[4:])) == (1440, 1000)
    PICTURE.parent.mkdir(exist_ok=True)
    shutil.copy(taken, PICTURE)


def test_a_phone_reads_the_wall_too(served, open_page):
    with served.store.write() as session:
        plan = bring_in_example(session, "build-up-week/6-the-wall.toml", now=NOON)
    page = opened(open_page(**PHONE), f"{served.address}/bench/{plan.id}")
    assert fits(page)
    assert "way home" in page.locator("#way").text_content()
