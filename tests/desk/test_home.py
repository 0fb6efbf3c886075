"""Home, plans and the calendar."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import date
from pathlib import Path

import pytest

from slatewright.store.dives import list_dives
from slatewright.store.plans import get_plan, list_plans, save_plan
from slatewright.store.vouching import dive_analyses, plan_signatures

from .conftest import NOON

EXAMPLES = Path(__file__).parents[2] / "examples" / "build-up-week"
NAMES = sorted(path.name for path in EXAMPLES.glob("*.toml"))


def titles(html):
    return re.findall(r'<h[23]><a href="/bench/\d+">([^<]*)</a>', html)


def test_a_new_workspace_says_how_to_begin(desk):
    html = desk.get("/").text
    assert "Begin with a plan" in html
    assert not titles(html)


def test_an_example_brings_the_dives_before_it(desk, store):
    plan_id = desk.example()
    with store.read() as session:
        plans = {plan.id: plan for plan in list_plans(session)}
        assert len(plans) == 6
        chain = [plan_id]
        while (earlier := plans[chain[-1]].earlier_plan_id) is not None:
            chain.append(earlier)
        texts = [get_plan(session, each).text for each in reversed(chain)]
    assert texts == [(EXAMPLES / name).read_text("utf-8") for name in NAMES]
    html = desk.get("/").text
    assert titles(html)[0] == "The wall, 96 m"
    assert "<b>96</b>" in html


def test_files_that_follow_each_other_come_in_as_a_chain_in_any_order(desk, store):
    files = [("files", (name, (EXAMPLES / name).read_bytes())) for name in reversed(NAMES)]
    assert desk.submit("/plans/files", files=files).headers["location"] == "/"
    with store.read() as session:
        plans = sorted(list_plans(session), key=lambda plan: plan.id)
    assert [plan.earlier_plan_id for plan in plans] == [None, 1, 2, 3, 4, 5]


def test_a_file_with_faults_is_kept_and_says_so(desk):
    files = [("files", ("half.toml", b'title = "Half written"\n[[gas]]\nmix = "12/99"\n'))]
    assert desk.submit("/plans/files", files=files).headers["location"] == "/bench/1"
    html = desk.get("/").text
    assert "faults in its text" in html
    assert titles(html) == ["Half written"]


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"\xff\xfe\x00", "is not UTF-8"), (b"a = 1\x00", "zero byte"), (b"#" * 1_000_001, "bytes")],
)
def test_a_file_that_cannot_be_kept_is_refused(desk, store, content, words):
    answer = desk.submit("/plans/files", files=[("files", ("odd.toml", content))])
    assert answer.status_code == 422
    assert words in answer.text
    with store.read() as session:
        assert not list_plans(session)


def test_files_in_a_circle_are_refused(desk):
    files = [
        ("files", (f"{one}.toml", f'title = "{one}"\n[earlier]\nplan = "{other}.toml"'.encode()))
        for one, other in (("a", "b"), ("b", "a"))
    ]
    answer = desk.submit("/plans/files", files=files)
    assert answer.status_code == 422
    assert "builds on itself" in answer.text


def test_a_plan_goes_out_as_it_came_in(desk):
    plan_id = desk.example()
    answer = desk.get(f"/plans/{plan_id}/file")
    assert answer.content == (EXAMPLES / NAMES[-1]).read_bytes()
    assert answer.headers["content-disposition"] == 'attachment; filename="the-wall-96-m.toml"'
    archive = zipfile.ZipFile(io.BytesIO(desk.get(f"/plans/{plan_id}/chain").content))
    assert archive.namelist() == [*NAMES[:-1], "the-wall-96-m.toml"]
    for name in NAMES[:-1]:
        assert archive.read(name) == (EXAMPLES / name).read_bytes()


def test_a_title_cannot_break_out_of_page_or_header(desk):
    text = 'title = "</h3><script>alert(1)</script>\\"; x=\\"y"'
    desk.submit("/plans/files", files=[("files", ("x.toml", text.encode()))])
    assert "<script>alert" not in desk.get("/").text
    named = desk.get("/plans/1/file").headers["content-disposition"]
    assert re.fullmatch(r'attachment; filename="[a-z0-9-]+\.toml"', named)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_blank_sheet_is_a_plan_that_computes(desk, units):
    assert desk.submit("/plans/blank", {"units": units}).headers["location"] == "/bench/1"
    assert desk.get("/api/plans/1/dive").json()["units"] == units


def test_a_plan_is_copied_trashed_taken_back_and_destroyed(desk, store):
    desk.submit("/plans/blank", {"units": "metric"})
    assert desk.submit("/plans/1/duplicate").headers["location"] == "/bench/2"
    assert desk.submit("/plans/2/trash", {"version": 7}).status_code == 409
    assert desk.submit("/plans/2/trash", {"version": 1}).status_code == 303
    assert "Trash (1)" in desk.get("/").text
    assert "New dive" in desk.get("/trash").text
    assert desk.submit("/plans/2/take-back").status_code == 303
    assert "Trash (" not in desk.get("/").text
    assert desk.submit("/plans/2/destroy").status_code == 422
    with store.read() as session:
        version = get_plan(session, 2).version
    desk.submit("/plans/2/trash", {"version": version})
    assert desk.submit("/plans/2/destroy").status_code == 303
    assert desk.get("/plans/2/file").status_code == 404


@pytest.fixture
def dive(desk):
    """A dive of tomorrow on the calendar: the quarry, six cylinders."""
    plan_id = desk.example("imperial/quarry-200ft.toml")
    done = desk.submit("/dives", {"plan_id": plan_id, "on_date": "2031-05-05"})
    return done.headers["location"]


def items(desk):
    return re.findall(
        r'<li class="(there|missing)"><a[^>]*>.*?class="item">([a-z-]+)</span> '
        r'<span class="by">([^<]*)</span>',
        desk.get("/").text,
    )


def test_home_shows_what_is_missing(desk, dive):
    assert items(desk) == [
        ("missing", "analysis", "0 of 6 cylinders"),
        ("missing", "check", "missing"),
        ("missing", "sign-off", "missing"),
    ]
    assert 'class="items soon"' in desk.get("/").text
    page = desk.get(dive).text
    assert page.count("not analysed") == 6


def cylinders(desk, dive):
    return re.findall(
        r'<th scope="row"><span[^>]*></span>([^<]*)</th>\s*<td>([^<]*)', desk.get(dive).text
    )


MIXES = {"18/45": ("18.3", "44"), "EAN50": ("49.6", "0"), "OXYGEN": ("99.4", "0")}


def test_everything_that_a_dive_needs_is_recorded(desk, store, dive):
    for name, mix in cylinders(desk, dive):
        o2, he = MIXES[mix]
        reading = {"cylinder": name, "o2_pct": o2, "he_pct": he, "gauge": "3000", "who": "Jory"}
        assert desk.submit(f"{dive}/analysis", reading).headers["location"] == f"{dive}#analysis"
    for kind, who in (("check", "Jory"), ("sign-off", "Wren")):
        sign = {"kind": kind, "version": 1, "who": who}
        assert desk.submit(f"{dive}/signature", sign).status_code == 303
    assert items(desk) == [
        ("there", "analysis", "6 of 6 cylinders"),
        ("there", "check", "Jory"),
        ("there", "sign-off", "Wren"),
    ]
    assert "fix complete" in desk.get("/").text
    with store.read() as session:
        kept = dive_analyses(session, 1)
    assert len(kept) == 6
    # 3000 psi are 206.843 bar [NIST811]
    assert kept[0].gauge_bar == pytest.approx(206.843, abs=0.001)
    assert "3000 psi" in desk.get(dive).text


@pytest.mark.parametrize(
    ("o2", "he", "words"),
    [
        ("32.0", "45", "not the planned gas"),
        ("18.0", "", "no helium reading"),
        ("18.0", "41", "not the planned gas"),
    ],
)
def test_what_is_not_the_planned_gas_is_said(desk, dive, o2, he, words):
    name = next(name for name, mix in cylinders(desk, dive) if mix == "18/45")
    reading = {"cylinder": name, "o2_pct": o2, "he_pct": he, "gauge": "3000", "who": "Jory"}
    desk.submit(f"{dive}/analysis", reading)
    assert words in desk.get(dive).text
    assert items(desk)[0] == ("missing", "analysis", "0 of 6 cylinders, 1 not as planned")


@pytest.mark.parametrize(
    "wrong",
    [{"o2_pct": "-3"}, {"o2_pct": "80", "he_pct": "40"}, {"gauge": "99999"}, {"who": " "},
     {"he_pct": "some"}, {"cylinder": ""}, {"o2_pct": "nan"}],
    ids=str,
)  # fmt: skip
def test_a_reading_that_cannot_be_is_not_taken(desk, store, dive, wrong):
    reading = {"cylinder": "left", "o2_pct": "50", "he_pct": "0", "gauge": "3000", "who": "Jory"}
    answer = desk.submit(f"{dive}/analysis", reading | wrong)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    with store.read() as session:
        assert not dive_analyses(session, 1)


def test_nobody_signs_what_they_have_not_seen(desk, store, dive):
    with store.write() as session:
        save_plan(session, 1, 1, "# changed in another window", now=NOON)
    answer = desk.submit(f"{dive}/signature", {"kind": "check", "version": 1, "who": "Jory"})
    assert answer.status_code == 409
    assert "another window has saved" in answer.text
    with store.read() as session:
        assert not plan_signatures(session, 1)


def test_a_signature_no_longer_counts_when_the_plan_changes(desk, store, dive):
    desk.submit(f"{dive}/signature", {"kind": "check", "version": 1, "who": "Jory"})
    with store.write() as session:
        text = get_plan(session, 1).text
        save_plan(session, 1, 1, text + "# a word more\n", now=NOON)
    assert items(desk)[1] == ("missing", "check", "missing")
    assert "no longer counts" in desk.get("/").text
    assert "before the plan was changed" in desk.get(dive).text


def test_a_dive_is_moved_and_taken_off(desk, store, dive):
    assert desk.submit(f"{dive}/move", {"version": 1, "on_date": "2031-05-09"}).status_code == 303
    assert desk.submit(f"{dive}/move", {"version": 1, "on_date": "2031-05-10"}).status_code == 409
    with store.read() as session:
        assert [d.on_date for d in list_dives(session, from_date=date(2031, 5, 4))] == [
            date(2031, 5, 9)
        ]
    assert "items soon" not in desk.get("/").text
    assert desk.submit(f"{dive}/remove", {"version": 2}).headers["location"] == "/"
    assert desk.get(dive).status_code == 404


def test_a_debrief_is_kept_and_stands_on_the_first_page(desk, dive):
    said = {"text": "Turned at 70 bar.\r\n<b>Calm.</b>", "who": "Mirren"}
    answer = desk.submit(f"{dive}/debrief", data=said)
    assert answer.headers["location"] == f"{dive}#debrief"
    for path in (dive, "/"):
        html = desk.get(path).text
        assert "Turned at 70 bar.\n&lt;b&gt;Calm.&lt;/b&gt;" in html
        assert "Mirren" in html
    empty = desk.submit(f"{dive}/debrief", data={"text": "  ", "who": "Mirren"})
    assert empty.status_code == 422
    assert "what was planned and what was done" in empty.text


def test_the_leads_hang_as_deep_as_the_dives(desk, dive):
    desk.submit("/dives", {"plan_id": 1, "on_date": "2031-05-08"})
    html = desk.get("/").text
    # 200 ft on a scale of 24 px for 50 ft
    assert html.count('height="96"') == 2
    assert "100 ft" in html


def test_the_paper_is_kept_and_leads_back(desk):
    answer = desk.submit("/look", {"look": "dark", "back": "/formulas"})
    assert answer.headers["location"] == "/formulas"
    assert 'data-look="dark"' in desk.get("/").text
    assert desk.submit("/look", {"look": "purple"}).status_code == 422
    assert (
        desk.submit("/look", {"look": "light", "back": "//evil.example"}).headers["location"] == "/"
    )


@pytest.mark.parametrize("path", ["/nowhere", "/dives/99", "/plans/99/file", "/working/nothing"])
def test_what_is_not_there_is_said_in_our_words(desk, path):
    answer = desk.get(path)
    assert answer.status_code in {404, 422}
    assert "Slatewright" in answer.text
    assert 'role="alert"' in answer.text


def test_a_backup_that_failed_is_shown(desk, store):
    store.backup_failure = "the disk is full"
    assert "the disk is full" in desk.get("/").text
