"""The fill room in this process: analyses entered, the dive with them, the order, paper, JSON."""

from __future__ import annotations

import html as entities
import json
import re
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator

from slatewright.desk.fill.entering import Entry, with_analysis
from slatewright.fill.fillfile import read_fill_text

from .calling import HTMX
from .test_fill import ANALYSED, PRICES, WALL, WEEK, begun, card, kept

READING = {"o2": "10,2", "he": "69.6", "gauge": "219", "by": "Tove", "at": "2031-05-09T17:30"}


def test_an_analysis_goes_into_the_text_and_is_judged(desk, store):
    path = begun(desk)
    form = {"cylinder": "Mirren back", "seen": "", "temperature": "", **READING}
    answer = desk.submit(f"{path}/analysis", form)
    assert answer.headers["location"] == f"{path}?version=2#analysis-1"
    text = kept(store).written.text
    assert text.startswith(WALL.rstrip("\n"))
    assert 'o2_percent = 10.2\nhe_percent = 69.6\nby = "Tove"\nat = 2031-05-09T17:30:00' in text
    shown = card(desk.get(path).text)
    assert "Accepted" in shown
    assert "no deeper than" in shown
    # by hand: 1.4 bar of 10.2 % in water of 10 m a bar, and 1.01325 bar at the surface: 127.1 m
    assert re.search(r"no deeper than <b><a[^>]*>127<", shown)
    assert "/working/operating-depth?" in shown
    assert desk.submit(f"{path}/analysis", form).status_code == 422  # somebody else's stands there
    again = form | {"seen": "2031-05-09 17:30:00", "o2": "13.1", "at": "2031-05-09T18:00"}
    assert desk.submit(f"{path}/analysis", again).status_code == 303
    text = kept(store).written.text
    assert text.count("[[analysis]]") == 1
    shown = card(desk.get(path).text)
    assert "Refused" in shown
    assert "What puts it right" in shown
    assert "then analyse again" in shown
    assert "no deeper than" not in shown


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"o2": "x"}, "is no number"),
        ({"o2": "130"}, "out of range"),
        ({"o2": "nan"}, "out of range"),
        ({"he": "95"}, "95"),
        ({"by": ""}, "is empty"),
        ({"at": "yesterday"}, "no day and hour"),
        ({"gauge": "999"}, "out of range"),
        ({"gauge": "250"}, "above its working pressure"),
        ({"cylinder": "nobody's"}, "nobody"),
    ],
    ids=str,
)
def test_an_analysis_that_cannot_be_is_told_at_its_card(desk, store, wrong, said):
    path = begun(desk)
    form = {"cylinder": "Mirren back", "seen": "", **READING, **wrong}
    answer = desk.submit(f"{path}/analysis", form)
    assert answer.status_code == 422
    assert said in entities.unescape(answer.text)
    if wrong.get("cylinder") is None:
        assert "was not taken" in answer.text
        part = desk.submit(f"{path}/analysis", form, headers=HTMX)
        assert part.status_code == 422
        assert part.text.lstrip().startswith("<article")
        assert 'value="Tove"' in part.text or "by" in wrong
    assert kept(store).written.text == WALL


def test_helium_that_was_not_read_is_not_guessed(desk):
    path = begun(desk)
    form = {"cylinder": "Mirren back", "seen": "", **READING, "he": ""}
    assert desk.submit(f"{path}/analysis", form).status_code == 303
    shown = card(desk.get(path).text)
    assert "Refused" in shown
    assert "only oxygen was analysed" in shown


def test_an_analysis_is_replaced_with_the_comments_around_it_kept():
    text = ANALYSED.replace(
        '[[analysis]]\ncylinder = "Mirren 50"', '# rich\n[[analysis]]\ncylinder = "Mirren 50"'
    )
    entry = Entry("Mirren back", "10.1", "70", "218", "", 'Tove "the torch"', "2031-05-10T19:00")
    made = with_analysis(text, entry)
    assert '# rich\n[[analysis]]\ncylinder = "Mirren 50"' in made
    assert made.count("[[analysis]]") == 4
    found = {one.cylinder: one for one in read_fill_text(made).analysis}
    assert found["Mirren back"].by == 'Tove "the torch"'
    assert found["Mirren back"].o2_percent == 10.1
    before = {one.cylinder: one for one in read_fill_text(text).analysis}
    assert all(found[name] == before[name] for name in before if name != "Mirren back")


def test_the_dive_is_computed_again_with_what_was_analysed(desk):
    path = begun(desk, "the-wall-analysed.toml")
    page = desk.get(path).text
    assert f'href="{path}/dive"' in page
    assert "no deeper than" not in page  # the plan decides, and it is not computed yet
    part = desk.get(f"{path}/dive", headers=HTMX)
    for said in ("123", "Not at the surface", "Not everything is fit", "run time", "135 min"):
        assert said.lower() in part.text.lower(), said
    assert "<html" in desk.get(f"{path}/dive").text
    bare = begun(desk)
    assert desk.get(f"{bare}/dive").status_code == 422


# ---- the order, and paper


def test_the_order_comes_by_itself(desk):
    path = begun(desk, "the-week.toml")
    page = desk.get(path).text
    link = re.search(rf'href="({path}/order/\w+)"', page)[1]
    part = desk.get(link, headers=HTMX).text
    for said in ("4 x helium 50", "2,684.00 EUR", "5,440.00 EUR", "31,089 L", "fewer would not do"):
        assert said in part, said
    for account in set(re.findall(r'class="number" href="([^"]+)"', part)):
        assert desk.get(account, headers=HTMX).status_code == 200
    assert "<html" in desk.get(link).text
    pdf = desk.get(f"{path}/order.pdf")
    assert pdf.content.startswith(b"%PDF")
    bare = begun(desk, "quarry-imperial.toml")
    assert desk.get(f"{bare}/order.pdf").status_code == 422


def test_an_order_that_cannot_be_had_says_why(desk):
    text = WEEK.replace('choose = "least cost"\nprices = "prices.toml"\n', "")
    path = desk.submit("/fill/pasted", {"text": text}).headers["location"]
    link = re.search(rf'href="({path}/order/\w+)"', desk.get(path).text)[1]
    assert "no supply cylinder is on offer" in desk.get(link, headers=HTMX).text


def test_papers_are_printed(desk):
    path = begun(desk, "the-wall-analysed.toml")
    for paper in ("sheet.pdf", "labels.pdf", "labels.pdf?cylinder=Mirren+50"):
        answer = desk.get(f"{path}/{paper}")
        assert answer.status_code == 200, paper
        assert answer.content.startswith(b"%PDF"), paper
        assert "attachment" in answer.headers["content-disposition"]
    assert desk.get(f"{path}/labels.pdf?cylinder=nobody").status_code == 422
    assert desk.get(f"{path}/file").text == ANALYSED
    bare = begun(desk)
    assert desk.get(f"{bare}/labels.pdf").status_code == 422


# ---- as JSON


def schema(name):
    return Draft202012Validator(
        json.loads((files("slatewright.data") / f"{name}-1.schema.json").read_text("utf-8"))
    )


def test_the_same_as_json(desk):
    told = desk.post("/api/fill", json={"text": WALL, "prices": PRICES})
    assert told.status_code == 200
    schema("filled").validate(told.json())
    assert told.json()["fills"][0]["bill"]["total"] == "129.31"
    judged = desk.post("/api/analyse", json={"text": ANALYSED})
    schema("analysed").validate(judged.json())
    assert not judged.json()["fit"]
    wrong = desk.post("/api/fill", json={"text": WALL.replace("date =", "day =")})
    assert wrong.status_code == 422
    assert any(fault["line"] for fault in wrong.json()["faults"])
    assert desk.post("/api/analyse", json={"text": WALL}).status_code == 422
    assert desk.post("/api/fill", json={"text": WALL, "prices": "x"}).status_code == 422
