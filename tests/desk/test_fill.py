"""The fill room in this process: what is kept, shown, ticked, analysed and printed."""

from __future__ import annotations

import html as entities
import re
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest

from slatewright.desk.fill.accounts import account_of
from slatewright.desk.fill.card import cards_of
from slatewright.desk.fill.drawing import LAYERS, cylinder_picture
from slatewright.desk.fill.examples import fill_examples
from slatewright.desk.fill.keeping import FillText, get_fill, list_fills
from slatewright.desk.fill.seen import seen_of
from slatewright.desk.fill.work import work_of
from slatewright.dive.house_rules import HouseRules
from slatewright.errors import InputError
from slatewright.physics.units import UnitSystem
from slatewright.store.plans import list_plans
from slatewright.store.settings import get_setting

from .calling import HTMX

ROOM = Path(__file__).parents[2] / "examples" / "fill-room"
WALL = (ROOM / "the-wall.toml").read_text("utf-8")
ANALYSED = (ROOM / "the-wall-analysed.toml").read_text("utf-8")
QUARRY = (ROOM / "quarry-imperial.toml").read_text("utf-8")
WEEK = (ROOM / "the-week.toml").read_text("utf-8")
PRICES = (ROOM / "prices.toml").read_text("utf-8")


def begun(desk, name="the-wall.toml"):
    done = desk.submit("/fill/example", {"name": name})
    assert done.status_code == 303, done.text
    return done.headers["location"]


def kept(store, number=1):
    with store.read() as session:
        return get_fill(session, number)


def form_of(desk, path):
    """The form beside the page, as a browser has it."""
    html = desk.get(path).text
    names = {name: re.search(rf'<textarea name="{name}".*?>(.*?)</textarea>', html, re.DOTALL)[1]
             for name in ("text", "prices")}  # fmt: skip
    form = {name: entities.unescape(value) for name, value in names.items()}
    form["version"] = re.search(r'name="version" value="(\d+)"', html)[1]
    chosen = re.search(r'<option value="(\d+)" selected>', html)
    return form | {"plan_id": chosen[1] if chosen else ""}


def card(html, number=1):
    found = rf'<article class="fill-card" id="fill-{number}".*?</article>'
    return re.search(found, html, re.DOTALL)[0]


def ticks(html):
    return re.findall(r'name="done" value="(\d+)".*?aria-pressed="(true|false)"', html)


# ---- what is kept


def test_the_shipped_files_are_those_of_the_repository():
    shipped = files("slatewright.data") / "examples" / "fill-room"
    mine = {entry.name: entry.read_text("utf-8") for entry in shipped.iterdir()}
    assert mine == {path.name: path.read_text("utf-8") for path in ROOM.glob("*.toml")}
    assert {example.name for example in fill_examples()} == set(mine) - {"prices.toml"}


def test_an_example_comes_with_its_prices_and_its_plan_once(desk, store):
    path = begun(desk, "the-wall-analysed.toml")
    assert path == "/fill/1"
    written = kept(store).written
    assert (written.text, written.prices) == (ANALYSED, PRICES)
    with store.read() as session:
        titles = {plan.id: plan.title for plan in list_plans(session)}
    assert titles[written.plan_id] == "The wall, 96 m"
    assert len(titles) == 6
    begun(desk, "the-wall-analysed.toml")
    with store.read() as session:
        assert len(list_plans(session)) == 6
        assert [one.number for one in list_fills(session)] == [2, 1]
    assert kept(store, 2).written.plan_id == written.plan_id


def test_files_and_pasted_texts_are_kept_with_their_faults(desk, store):
    chosen = [("files", ("a.toml", WALL.encode())), ("files", ("p.toml", PRICES.encode()))]
    assert desk.submit("/fill/files", files=chosen).headers["location"] == "/fill/1"
    assert kept(store).written == FillText(WALL, PRICES)
    broken = WALL.replace('mix = "21/35"', 'mix = "21/95"').replace("date =", "day =")
    assert desk.submit("/fill/pasted", {"text": broken}).headers["location"] == "/fill/2"
    page = desk.get("/fill/2")
    assert page.status_code == 200
    lines = [
        n for n, line in enumerate(broken.split("\n"), 1) if "21/95" in line or "day =" in line
    ]
    assert all(f"line {line}" in page.text for line in lines)
    assert page.text.count('class="wrong-line"') == 3  # and line 1, where a date is missing
    for wrong in ([("files", ("p.toml", PRICES.encode()))], [("files", ("b", b"\xff\xfe"))]):
        assert desk.submit("/fill/files", files=wrong).status_code == 422
    assert "Fills for the wall" in desk.get("/fill").text


def test_two_windows_on_one_file_the_later_save_is_told(desk, store):
    path = begun(desk)
    form = form_of(desk, path)
    assert form["text"] == WALL
    mine, theirs = form | {"text": f"{WALL}# mine\n"}, form | {"text": f"{WALL}# theirs\n"}
    assert desk.submit(f"{path}/save", theirs).status_code == 303
    answer = desk.submit(f"{path}/save", mine)
    assert answer.status_code == 409
    assert "# mine" in answer.text
    assert "# theirs" in answer.text
    assert kept(store).written.text == theirs["text"]
    again = mine | {"version": re.search(r'name="version" value="(\d+)"', answer.text)[1]}
    assert desk.submit(f"{path}/save", again).status_code == 303
    assert kept(store).written.text == mine["text"]
    assert kept(store).version == 3


def test_a_removed_file_is_gone_with_its_text(desk, store):
    path = begun(desk)
    assert desk.submit(f"{path}/remove", {"version": "7"}).status_code == 409
    assert desk.submit(f"{path}/remove", {"version": "1"}).headers["location"] == "/fill"
    assert desk.get(path).status_code == 404
    assert desk.submit(f"{path}/tick", {"mark": "x", "done": "1"}).status_code == 404
    with store.read() as session:
        assert list_fills(session) == ()
        assert "Mirren" not in get_setting(session, "fill-1").value
    assert begun(desk) == "/fill/2"


def test_a_text_never_leads_to_a_file_of_this_machine(desk, tmp_path):
    secret = tmp_path / "prices.toml"
    secret.write_text(PRICES, "utf-8")
    text = WALL.replace('"prices.toml"', f'"{secret}"')
    desk.submit("/fill/pasted", {"text": text})
    page = desk.get("/fill/1").text
    assert "none is laid on" in page
    assert "129.31" not in page
    least = desk.submit("/fill/pasted", {"text": WEEK}).headers["location"]
    assert "there are no prices" in desk.get(least).text
    line = WEEK.split("\n").index('choose = "least cost"') + 1
    assert f"line {line}" in desk.get(least).text


# ---- what is shown


def test_a_card_says_what_the_command_says(desk):
    page = desk.get(begun(desk)).text
    mirren = card(page)
    for said in ("184.9", "190.5", "224.7", "220.0", "1,987 L", "85.8", "129.31", "matters most"):
        assert said in mirren, said
    assert "open helium B until both show 152.9" in mirren
    assert "boost helium A until 184.9; it is left with 48.7" in mirren
    assert "Oxygen-rich gas" in mirren
    assert "NOT SURE: only 83 of 100" in mirren
    assert "only oxygen of what is in it was analysed" in card(page, 3)
    assert "its test was valid until 2031-02-28" in page
    assert "278.54" in page
    assert page.index("Cautions") > page.index("high-pressure oxygen starts fires")


def test_an_imperial_room_reads_in_psi(desk):
    page = desk.get(begun(desk, "quarry-imperial.toml")).text
    for said in ("964", "1243", "2976", "2900", "24.7 cu ft", "68 °F"):
        assert said in card(page), said
    assert ">bar<" not in card(page)


def test_what_cannot_be_mixed_is_told_with_what_can(desk):
    text = QUARRY.replace(
        '[[source]]\nname = "helium"\ngas = "helium"\nhighest_psi = 2600\n', ""
    ).replace("evacuated = true", 'holds = "18/45"\ngauge_psi = 800')
    assert "helium" not in text
    page = desk.get(desk.submit("/fill/pasted", {"text": text}).headers["location"]).text
    assert "Not filled" in page
    assert "at most" in page
    assert "nearest" in page
    assert "topped with compressor alone" in page
    assert "2900 psi" in page
    assert " bar" not in re.sub(
        r"<[^>]+>", " ", page[page.index("Not filled") : page.index("Papers")]
    )


def test_a_drawing_is_layered_in_proportion_and_told_without_colour():
    work = work_of(FillText(WALL, PRICES))
    blend = work.session.fills[0].blend
    svg = str(cylinder_picture(blend, UnitSystem.METRIC, "v"))
    heights = [float(h) for h in re.findall(r'class="layer ink-\d"[^>]*height="([\d.]+)"', svg)]
    before, after = heights[:3], heights[3:]
    whole = 246.0 - 44.0
    assert sum(before) == pytest.approx(whole * 84.0 / 232.0, abs=0.2)
    assert sum(after) == pytest.approx(whole * 220.0 / 232.0, abs=0.2)
    assert after == pytest.approx([sum(after) * share for share in (0.1, 0.2, 0.7)], abs=0.2)
    assert [layer.letter for layer in LAYERS] == ["O", "N", "H"]
    assert len({layer.dashes for layer in LAYERS}) == 3
    assert len({layer.corners for layer in LAYERS}) == 3
    assert all(svg.count(f">{layer.letter}<") == 2 for layer in LAYERS)
    assert svg.count("<clipPath") == 2
    assert "style=" not in svg
    assert "before 84.0 bar of 12/65, after 220.0 bar of 10/70" in svg


def test_names_of_people_cannot_write_into_the_page(desk):
    text = WALL.replace("Mirren back", '<b>\\"x').replace("Mirren 50", "M")
    page = desk.get(desk.submit("/fill/pasted", {"text": text}).headers["location"]).text
    assert '<b>"x' not in page
    assert "&lt;b&gt;&#34;x" in page or "&lt;b&gt;&quot;x" in page


def test_every_number_that_opens_has_its_account(desk):
    for name in ("the-wall.toml", "the-wall-analysed.toml", "quarry-imperial.toml"):
        path = begun(desk, name)
        links = set(re.findall(r'class="number" href="([^"]+)"', desk.get(path).text))
        assert len(links) >= 8
        for link in links:
            answer = desk.get(entities.unescape(link), headers=HTMX)
            assert answer.status_code == 200, link
            assert answer.text.lstrip().startswith("<article"), link


def test_a_reading_is_the_pressure_of_its_moles(desk):
    work = work_of(FillText(WALL, PRICES))
    account = account_of(work, "fill/0/reading/1")
    rows = {row.what: row.number for row in account.rows}
    pressure = rows["absolute pressure"]
    assert pressure.formula == "real-gas-pressure"
    density = float(rows["amount in a litre"].text)
    volume = float(rows["water volume"].text)
    held = sum(float(rows[f"{gas} in it"].text) for gas in ("oxygen", "helium", "nitrogen"))
    assert density * volume == pytest.approx(held, abs=0.02)
    around = float(rows["less the pressure around, from which a gauge counts"].text)
    assert float(pressure.text) - around == pytest.approx(float(account.number.text), abs=0.1)
    for wrong in ("fill/9/mix", "fill/0/reading/9", "fill/0/reading/²", "bank/0/99", "bank/9/0",
                  "fill/-1/mix", "order/x/helium", "nothing", ""):  # fmt: skip
        with pytest.raises(InputError):
            account_of(work, wrong)


def test_an_account_of_a_text_that_has_changed_is_refused(desk):
    path = begun(desk)
    assert desk.get(f"{path}/how/{'0' * 20}/bill").status_code == 422


# ---- typed


def test_what_is_typed_is_tried_and_not_kept(desk, store):
    path = begun(desk)
    form = form_of(desk, path)
    typed = form | {"text": WALL.replace("to_bar = 220", "to_bar = 210")}
    answer = desk.submit(f"{path}/try", typed, headers=HTMX)
    assert answer.status_code == 200
    assert "10/70 to 210.0 bar" in answer.text
    assert "Not saved" in answer.text
    assert 'class="tick"' in answer.text
    assert "hx-post" not in card(answer.text)
    assert kept(store).written.text == WALL
    wrong = form | {"text": WALL.replace('units = "metric"', 'units = "furlongs"')}
    answer = desk.submit(f"{path}/try", wrong, headers=HTMX)
    assert answer.status_code == 422
    assert "line 4" in answer.text
    assert "as it was last saved" in answer.text
    assert "184.9" in answer.text
    answer = desk.submit(f"{path}/try", form | {"prices": "currency = 1"}, headers=HTMX)
    assert answer.status_code == 422
    assert "The price list has faults" in answer.text
    whole = desk.submit(f"{path}/try", typed)
    assert "<html" in whole.text
    assert "to_bar = 210" in whole.text


# ---- ticked


def test_steps_are_ticked_one_after_the_other_and_outlive_a_reload(desk, clock):
    path = begun(desk)
    mark = re.search(r'name="mark" value="(\w+)"', desk.get(path).text)[1]

    def tick(done, **more):
        return desk.submit(f"{path}/tick", {"mark": mark, "done": str(done)}, **more)

    assert tick(1).headers["location"] == f"{path}#fill-1"
    part = tick(2, headers=HTMX)
    assert part.text.lstrip().startswith("<article")
    assert "2 of 4 done" in part.text
    shown = card(desk.get(path).text)
    assert "2 of 4 done" in shown
    assert [pressed for _, pressed in ticks(shown)] == ["true", "true", "false", "false"]
    assert [done for done, _ in ticks(shown)] == ["0", "1", "3", "4"]
    assert shown.count("disabled") == 2  # the first, and the last but one to come
    assert tick(2).status_code == 303  # the same once more is the same once
    assert tick(4).status_code == 303  # what has not seen the third changes nothing
    assert "2 of 4 done" in card(desk.get(path).text)
    tick(1)
    assert "1 of 4 done" in card(desk.get(path).text)
    assert "0 of 3 done" in card(desk.get(path).text, 2)
    for wrong in ({"mark": "x", "done": "1"}, {"mark": mark, "done": "9"}):
        assert desk.submit(f"{path}/tick", wrong).status_code == 422


def test_a_tick_outlives_an_edit_elsewhere_and_dies_with_its_step(desk):
    path = begun(desk)
    form = form_of(desk, path)
    for number in (1, 2):
        mark = re.findall(r'name="mark" value="(\w+)"', desk.get(path).text)[number - 1]
        desk.submit(f"{path}/tick", {"mark": mark, "done": "1"})
    text = WALL.replace('mix = "EAN50"\nto_bar = 200', 'mix = "EAN50"\nto_bar = 190')
    assert text != WALL
    desk.submit(f"{path}/save", form | {"text": text})
    page = desk.get(path).text
    assert "1 of 4 done" in card(page)
    assert "0 of 3 done" in card(page, 2)


def test_cards_are_quick():
    work = work_of(FillText(WALL, PRICES))
    cards = cards_of(work, {}, "/x", HouseRules(), planned=False)
    assert [one.name for one in cards] == ["Mirren back", "Mirren 50", "Casper back"]
    assert work_of(FillText(WALL, PRICES)) is work  # a reload computes nothing
    faulty = replace(work, session=None)
    assert seen_of(faulty, {}, "/x", HouseRules(), planned=False) is None
