"""The bench in this process: what is typed, what follows, what is kept."""

from __future__ import annotations

import html as entities
import re

import pytest

from slatewright.dive.plan_text import read_plan_text
from slatewright.store.plans import get_plan, list_plans, save_plan

from .calling import HTMX
from .conftest import NOON
from .test_bench_sheet import TEXTS, fields

SLOPE = "build-up-week/3-the-slope.toml"
QUARRY = "imperial/quarry-200ft.toml"


class Sheet:
    """A sheet as a browser has it: typed into, and sent with all that it carries."""

    def __init__(self, desk, plan_id):
        self.desk, self.path = desk, f"/bench/{plan_id}"
        page = desk.get(self.path)
        assert page.status_code == 200
        self.take(page.text)

    def take(self, html):
        self.html = html
        self.text = self.hidden("text")
        version = re.search(r'name="version" value="(\d+)"', html)
        self.version = version[1] if version else self.version
        chosen = re.search(r'<option value="([^"]*)" selected>', self.part("earlier"))
        self.earlier = chosen[1] if chosen else ""
        interval = re.search(r'name="surface_interval"[^>]* value="([^"]*)"', html)
        self.interval = interval[1] if interval else ""

    def part(self, name):
        found = re.search(rf'<select name="{name}".*?</select>', self.html, re.DOTALL)
        return found[0] if found else ""

    def hidden(self, name):
        found = re.search(rf'<textarea name="{name}"[^>]*>(.*?)</textarea>', self.html, re.DOTALL)
        return entities.unescape(found[1]) if found else ""

    def sent(self, typed=None, **more):
        form = fields(self.text, **(typed or {}))
        data = {name: form.getlist(name) for name in form}
        return data | {
            "text": self.text, "version": self.version, "earlier": self.earlier,
            "surface_interval": self.interval, "beside": self.hidden("beside"), "width": "900",
            **more,
        }  # fmt: skip

    def send(self, where, typed=None, *, htmx=True, **more):
        headers = HTMX if htmx else {}
        return self.desk.submit(f"{self.path}/{where}", self.sent(typed, **more), headers=headers)

    def buttons(self):
        """Return the cures on the page: words to what the button carries."""
        found = re.findall(r'name="mend" value="([^"]*)"[^>]*>([^<]*)</button>', self.html)
        return {entities.unescape(words): entities.unescape(value) for value, words in found}


@pytest.fixture
def slope(desk):
    return Sheet(desk, desk.example(SLOPE))


@pytest.fixture
def quarry(desk):
    return Sheet(desk, desk.example(QUARRY))


def figure(html, label):
    """Return a figure of the head."""
    found = re.search(rf"<dt>{label}</dt><dd><b><a[^>]*>([^<]*)<", html)
    return found[1] if found else None


def test_the_page_shows_the_whole_dive(slope):
    assert figure(slope.html, "run time") == "59"
    for heading in ("Hazards", "Schedule", "Gas", "The way home", "Two variants"):
        assert f">{heading}" in slope.html
    assert slope.html.count('class="chart gauge') == 9
    assert "after 2 earlier dives" in slope.html


def test_a_change_shows_at_once_and_as_the_same_block_as_the_page(slope):
    part = slope.send("sheet", {"level.0.depth_m": "55"})
    assert part.status_code == 200
    assert "<html" not in part.text
    assert figure(part.text, "run time") != "59"
    assert "depth_m = 55" in part.text
    assert "Not saved since version 1" in part.text
    whole = slope.send("sheet", {"level.0.depth_m": "55"}, htmx=False)
    assert part.text.strip() in whole.text


def test_a_fault_is_said_with_422_and_what_was_good_stays_marked_old(slope):
    wrong = slope.send("sheet", {"level.0.depth_m": "6o"})
    assert wrong.status_code == 422
    assert "is not a number" in wrong.text
    assert 'data-where="level[1].depth_m"' in wrong.text
    assert "As it was before the last change" in wrong.text
    assert figure(wrong.text, "run time") == "59"
    whole = slope.send("sheet", {"level.0.depth_m": "6o"}, htmx=False)
    assert whole.status_code == 422
    assert re.search(r'name="level.0.depth_m"[^>]*value="6o"[^>]*aria-invalid="true"', whole.text)


def test_a_plan_without_a_safe_answer_says_why_and_what_would_cure_it(slope):
    refused = slope.send("sheet", {"gas.0.mix": "10/70"})
    assert refused.status_code == 422
    assert "There is no safe way to dive this" in refused.text
    assert 'class="cure"' in refused.text


def test_every_cure_of_the_page_is_one_click(slope):
    cures = slope.buttons()
    assert "take 18/51 in place of 18/45" in cures
    done = slope.send("turn", mend=cures["take 18/51 in place of 18/45"])
    assert done.status_code == 200
    assert "18/51" in done.text
    assert "dense gas" not in done.text
    assert 'mix = "18/51"' in entities.unescape(done.text)
    assert 'gas = "18/51"' in entities.unescape(done.text)
    assert "written into the plan" in done.text


def test_a_cure_that_does_not_fit_any_more_changes_nothing(slope):
    cure = slope.buttons()["take 18/51 in place of 18/45"]
    done = slope.send("turn", {"gas.0.mix": "18/50"}, mend=cure)
    assert "the plan has no 18/45" in done.text
    assert 'mix = "18/50"' in entities.unescape(done.text)


def test_saving_keeps_the_text_and_the_later_save_is_told(slope, store):
    saved = slope.send("save", {"level.0.depth_m": "58"})
    assert "saved as version 2" in saved.text
    assert "Saved, version 2" in saved.text
    with store.read() as session:
        assert read_plan_text(get_plan(session, 3).text).level[0].depth_m == 58
    late = slope.send("save", {"level.0.depth_m": "57"})  # began from version 1
    assert late.status_code == 409
    assert "Another window has saved this plan meanwhile" in late.text
    assert '<tr class="differs"><td>depth_m = 57</td><td>depth_m = 58</td></tr>' in late.text
    with store.read() as session:
        assert read_plan_text(get_plan(session, 3).text).level[0].depth_m == 58


@pytest.mark.parametrize(
    ("which", "depth_m", "plans"), [("mine", 57, 3), ("theirs", 58, 3), ("new", 58, 4)]
)
def test_of_two_texts_one_is_chosen_and_none_is_lost(slope, store, which, depth_m, plans):
    slope.send("save", {"level.0.depth_m": "58"})
    late = Sheet.__new__(Sheet)
    late.desk, late.path, late.version = slope.desk, slope.path, "1"
    late.html = slope.send("save", {"level.0.depth_m": "57"}).text
    version = re.search(r'name="version" value="(\d+)"', late.html)[1]
    data = {"which": which, "mine": late.hidden("mine"), "version": version}
    data["earlier"] = slope.earlier
    done = slope.desk.submit(f"{slope.path}/settle", data)
    assert done.status_code == 303
    with store.read() as session:
        assert len(list_plans(session)) == plans
        assert read_plan_text(get_plan(session, 3).text).level[0].depth_m == depth_m
        if which == "new":
            new = int(done.headers["location"].rpartition("/")[2])
            assert read_plan_text(get_plan(session, new).text).level[0].depth_m == 57
            assert get_plan(session, new).earlier_plan_id == 2


def test_a_sheet_with_faults_is_not_saved(slope, store):
    answer = slope.send("save", {"level.0.depth_m": ""})
    assert answer.status_code == 422
    assert "not saved: mend the faults first" in answer.text
    with store.read() as session:
        assert get_plan(session, 3).version == 1


def test_the_sheet_goes_out_as_a_file_and_as_a_new_plan(slope, store):
    file = slope.send("file", {"level.0.depth_m": "58"}, htmx=False)
    assert file.headers["content-disposition"] == 'attachment; filename="the-slope-60-m.toml"'
    assert read_plan_text(file.text).level[0].depth_m == 58
    again = slope.send("duplicate", {"level.0.depth_m": "56"}, htmx=False)
    new = int(again.headers["location"].rpartition("/")[2])
    with store.read() as session:
        assert read_plan_text(get_plan(session, new).text).level[0].depth_m == 56
        assert get_plan(session, 3).version == 1


def test_a_file_is_laid_on_the_sheet_and_not_saved(slope, store):
    files = {"file": ("mine.toml", TEXTS["1-the-shelf"].replace("\n", "\r\n").encode())}
    laid = slope.desk.submit(f"{slope.path}/bring-in", files=files)
    assert laid.status_code == 200
    assert "The shelf, 45 m" in laid.text
    assert "laid on the sheet, not saved yet" in laid.text
    with store.read() as session:
        assert get_plan(session, 3).version == 1
    broken = slope.desk.submit(f"{slope.path}/bring-in", files={"file": ("x.toml", b"\xff\xfe")})
    assert broken.status_code == 422
    assert "is not UTF-8" in broken.text


def test_a_text_that_is_no_toml_is_mended_as_a_text(desk):
    files = [("files", ("broken.toml", b'title = "Torn\n'))]
    desk.submit("/plans/files", files=files)
    html = desk.get("/bench/1").text
    assert "It cannot be read as it stands" in html
    assert "line 1" in html
    good = TEXTS["1-the-shelf"]
    mended = desk.submit("/bench/1/turn", {"do": "text", "whole": good, "text": ""}, headers=HTMX)
    assert figure(mended.text, "run time")


def test_the_slate_is_printed_and_refused_without_a_way_home(slope):
    slate = slope.send("slate", htmx=False)
    assert slate.status_code == 200, slate.text
    assert slate.content.startswith(b"%PDF")
    assert slate.headers["content-disposition"] == 'attachment; filename="the-slope-60-m.pdf"'
    short = {"cylinder.0.pressure_bar": "90"}
    refused = slope.send("slate", short, htmx=False)
    assert refused.status_code == 422
    assert not refused.content.startswith(b"%PDF")
    answered = slope.send("slate", short, htmx=False, override="Mirren")
    assert answered.content.startswith(b"%PDF")


def test_results_are_read_in_either_system_and_the_plan_stays(quarry):
    feet = quarry.send("sheet", view="imperial")
    metres = quarry.send("sheet", view="metric")
    assert figure(feet.text, "run time") == figure(metres.text, "run time")
    assert quarry.text in entities.unescape(metres.text)
    assert "depth_ft = 200" in metres.text
    assert 'depth<span class="unit">ft</span>' in feet.text
    assert 'depth<span class="unit">m</span>' in metres.text
    levels = re.findall(r'<td class="depth"><span class="given">([0-9.]+)', metres.text)
    assert "61" in levels  # 200 ft are 60.96 m, read to the tenth
    assert "6.1" in levels  # the levels are still those of 10 ft
    assert " bar</" in metres.text
    assert " psi</" in feet.text


def test_the_plan_is_written_in_the_other_system_only_when_asked(quarry, store):
    done = quarry.send("turn", do="convert")
    assert done.status_code == 200, done.text
    assert "converted to metric units" in done.text
    assert "depth_m = 61" in done.text
    assert "switch_at_m = 21" in done.text
    assert 'units = "metric"' in entities.unescape(done.text)
    with store.read() as session:
        assert get_plan(session, 1).version == 1


def test_two_variants_stand_beside_each_other(slope):
    aside = Sheet(slope.desk, 3)
    aside.take(slope.send("turn", do="aside").text)
    assert aside.hidden("beside") == slope.text
    both = aside.send("sheet", {"level.0.depth_m": "52"})
    assert "on the sheet" in both.text
    assert both.text.count('class="chart profile"') == 3
    assert re.search(r'<tr class="differs"><th scope="row">run time</th>', both.text)
    swapped = aside.send("turn", {"level.0.depth_m": "52"}, do="swap")
    assert "depth_m = 60" in re.search(r'name="text".*?</textarea>', swapped.text, re.DOTALL)[0]
    assert "depth_m = 52" in re.search(r'name="beside".*?</textarea>', swapped.text, re.DOTALL)[0]
    assert 'class="chart profile"' in aside.send("turn", do="alone").text


def test_the_way_home_comes_by_its_own_path_and_its_rows_open(slope):
    path = re.search(r'href="(/bench/3/way/[^"]*)"', slope.html)[1]
    part = slope.desk.get(entities.unescape(path), headers=HTMX)
    assert part.status_code == 200
    assert "There is a way home from each of 58 minutes" in part.text
    assert part.text.strip() in slope.desk.get(entities.unescape(path)).text
    row = re.search(r'href="(/bench/3/how/[^"]*/way/0)"', part.text)[1]
    assert "early ascent" in slope.desk.get(row).text


def test_a_failure_without_a_way_home_is_told_and_its_cure_is_one_click(slope):
    short = Sheet(slope.desk, 3)
    # half a bottle of the gas that everybody needs when the other one is lost
    short.take(slope.send("turn", {"cylinder.0.pressure_bar": "150"}, do="").text)
    path = re.search(r'href="(/bench/3/way/[^"]*)"', short.html)[1]
    part = short.desk.get(entities.unescape(path), headers=HTMX).text
    assert "No way home" in part
    cures = re.search(r'href="(/bench/3/cures/[^"]*)"', part)[1]
    found = Sheet.__new__(Sheet)
    found.html = short.desk.get(cures, headers=HTMX).text
    assert found.buttons()
    for words, cure in found.buttons().items():
        done = short.send("turn", mend=cure)
        assert done.status_code == 200, words
        assert "written into the plan" in done.text


def test_every_number_of_the_page_opens(slope):
    paths = dict.fromkeys(re.findall(r'class="number" href="([^"]*)"', slope.html))
    assert len(paths) > 30
    for path in paths:
        answer = slope.desk.get(entities.unescape(path), headers=HTMX)
        assert answer.status_code == 200, (path, answer.text)
        assert "<article" in answer.text


def test_a_number_of_a_sheet_that_is_gone_is_refused_in_words(slope):
    for path in ("how/0000/runtime", "how/0000/nothing", "way/0000"):
        answer = slope.desk.get(f"{slope.path}/{path}")
        assert answer.status_code == 422
        assert "a sheet that has changed since" in answer.text
    key = re.search(r'data-key="(\w+)"', slope.html)[1]
    for what in ("nothing", "line/9999", "line/x", "cylinder/9/9", "way/99", "runtime/3"):
        assert slope.desk.get(f"{slope.path}/how/{key}/{what}").status_code == 422


def test_the_dive_before_is_chosen_on_the_sheet_and_kept_with_it(slope, store):
    first = slope.send("sheet", earlier="", surface_interval="")
    assert "after 2 earlier" not in first.text
    assert "[earlier]" not in first.text
    wrong = slope.send("sheet", surface_interval="soon")
    assert wrong.status_code == 422
    assert "is no surface interval" in wrong.text
    circle = slope.send("sheet", earlier="3")
    assert circle.status_code == 422
    assert "in a circle" in circle.text
    slope.send("save", earlier="", surface_interval="")
    with store.read() as session:
        assert get_plan(session, 3).earlier_plan_id is None


def test_a_plan_alone_that_names_an_earlier_dive_asks_which(desk):
    desk.submit("/plans/files", files=[("files", ("3.toml", TEXTS["3-the-slope"].encode()))])
    html = desk.get("/bench/1").text
    assert "not chosen: 2-the-saddle.toml" in html
    assert "none is chosen" in html


def test_a_plan_without_cylinders_says_that_nobody_knows(desk):
    desk.submit("/plans/blank", {"units": "metric"})
    html = desk.get("/bench/1").text
    assert figure(html, "run time")
    assert "gas not judged" in html
    assert "Add cylinders to the sheet" in html
    assert "The way home" not in html


def test_what_is_typed_is_escaped(slope):
    nasty = slope.send("sheet", {"title": '<script>alert("x")</script>', "level.0.depth_m": "58"})
    assert nasty.status_code == 200
    assert "<script" not in nasty.text
    worse = slope.send("sheet", {"gas.0.mix": '"><img src=x onerror=y>'})
    assert worse.status_code == 422
    assert "<img" not in worse.text


def test_a_plan_that_is_not_there_is_not_found(desk):
    assert desk.get("/bench/99").status_code == 404
    assert desk.submit("/bench/99/sheet", {"text": "x"}).status_code == 404


def test_house_rules_of_the_workspace_decide(slope, store):
    from slatewright.store.settings import HOUSE_RULES, save_setting  # noqa: PLC0415 - here alone

    with store.write() as session:
        text = 'schema = "slatewright/house-rules/1"\ndensity_recommended_g_per_l = 5.9\n'
        save_setting(session, HOUSE_RULES, 0, text, now=NOON)
    assert "dense gas" not in slope.send("sheet").text


def test_work_of_another_window_is_seen_when_the_page_is_loaded(slope, store):
    with store.write() as session:
        plan = get_plan(session, 3)
        save_plan(session, 3, plan.version, plan.text.replace("= 60", "= 57"), now=NOON)
    assert Sheet(slope.desk, 3).version == "2"
