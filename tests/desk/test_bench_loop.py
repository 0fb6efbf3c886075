"""A closed circuit on the bench: the loop's figures and never the diluent's, as the command has."""

from __future__ import annotations

import html as entities
import re
import tomllib
from pathlib import Path

import pytest

from slatewright.desk.bench.result import Results
from slatewright.desk.bench.seen import seen_of
from slatewright.desk.bench.work import cured, work_of_form, work_of_text
from slatewright.desk.computing import Link
from slatewright.dive.house_rules import HouseRules
from slatewright.dive.plan_text import read_plan_text
from slatewright.errors import InputError
from slatewright.physics.limits import oxygen_pressure
from slatewright.physics.real_gas import free_litres
from slatewright.physics.units import volume_needed_label
from slatewright.supply.loop_document import loop_document
from slatewright.supply.loop_supply import loop_supply

from .calling import HTMX
from .test_bench import Sheet, figure
from .test_bench_sheet import fields

EXAMPLE = "closed-circuit/1-the-terrace.toml"
TEXT = (Path(__file__).parents[2] / "examples" / EXAMPLE).read_text("utf-8")
RULES = HouseRules()


def result_of(text=TEXT):
    return Results().of((Link("a loop", text),), RULES, None)


def loop_lines(text):
    """Return the table [loop] of a text, to the letter."""
    return text[text.index("[loop]") : text.index("[[gas]]")]


def rows(html):
    """Return the lines of the schedule: act, leave, depth, what is breathed, ppO2."""
    table = re.search(r'<section class="schedule".*?</table>', html, re.DOTALL)[0]
    table = re.sub(r"<svg.*?</svg>", "", table, flags=re.DOTALL)
    found = []
    for row in re.findall(r"<tr class=\"\w+\">(?:(?!</tr>).)*</tr>", table, re.DOTALL):
        cells = [re.sub(r"<[^>]+>", "", cell) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)]
        if len(cells) > 5:
            found.append((cells[0], cells[1], cells[2], cells[4], cells[5]))
    return found


@pytest.fixture(scope="module")
def judged():
    """The dive as the command judges it."""
    result = result_of()
    return loop_supply(result.dive, result.team)


@pytest.fixture
def terrace(desk):
    return Sheet(desk, desk.example(EXAMPLE))


def test_the_head_shows_the_loop_and_not_the_diluent(terrace, judged):
    dive = judged.schedule
    assert figure(terrace.html, "highest ppO2") == "1.40"
    assert figure(terrace.html, "highest ppO2") == f"{dive.oxygen.highest_ppo2_bar:.2f}"
    assert figure(terrace.html, "run time") == "77"
    assert "loop 1.4 at 12 m" in terrace.html
    assert "loop 1.2 at 66 m" in terrace.html  # the densest gas
    # by hand, 4.0026 g/mol of helium, 28.1 of air's nitrogen: 1.2 bar of oxygen at 66 m of sea
    # water, 7.65 bar, leave 84.3 %, of which 0.6/0.88 is helium: 14.86 g/mol, 5.01 g/L, rounded up;
    # the diluent as it is mixed has 4.84 g/L
    assert figure(terrace.html, "densest gas") == "5.1"


def test_the_schedule_keeps_the_setpoints(terrace, judged):
    shown = rows(terrace.html)
    assert ("bottom", "22", "66", "loop 1.2", "1.20") in shown
    assert {row[3:] for row in shown if row[0] == "stop"} == {
        ("loop 1.3", "1.30"),
        ("loop 1.4", "1.40"),
    }
    diluent_bar = oxygen_pressure(judged.plan.loop.diluent, 66.0, judged.plan.water)
    assert f"{diluent_bar:.2f}" == "0.92"
    assert not any(row[4] in {"0.92", "0.93"} for row in shown)
    assert "set the setpoint" in terrace.html


def test_what_is_drawn_along_the_dive_is_the_loop():
    result = result_of()
    water = result.dive.plan.water
    for one in result.along:
        for at_m, ppo2 in (
            (one.leg.from_m, one.ppo2_start_bar),
            (one.leg.to_m, one.ppo2_end_bar),
        ):
            held = min(one.leg.setpoint_bar, water.ambient_bar(at_m))
            assert ppo2 == pytest.approx(max(held, 0.12 * water.ambient_bar(at_m)))
    last = [one for one in result.along if one.leg.to_m < 6.0 - 1e-6]
    # from 6 m up the setpoint of 1.4 holds as long as all pressure is more: a corner on the way
    assert len(last) == 2
    assert last[0].ppo2_start_bar == last[0].ppo2_end_bar == pytest.approx(1.4)
    assert last[1].ppo2_end_bar == pytest.approx(1.01325)
    picture = str(seen_of(result, "/bench/1", 860).ppo2)
    assert "at most 1.40" in picture


def test_the_hazards_are_those_of_the_command(judged):
    mine = [(one.code, one.severity, one.text) for one in result_of().hazards]
    theirs = [
        (one.code, one.severity, one.text)
        for one in judged.schedule.hazards
        if "way-home" not in one.code  # told below, beside the grid
    ]
    assert mine == theirs
    assert mine[0][0] == "diluent-hypoxic"


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("lasts_min = 190", "lasts_min = 156", None),
        ("scrubber_reserve_min = 30", "scrubber_reserve_min = 130", "scrubber"),
        ("pressure_bar = 190", "pressure_bar = 70", "loop-gas"),
        ('11.1"\npressure_bar = 200', '11.1"\npressure_bar = 120', "bailout-gas"),
        ('diluent = "12/60"', 'diluent = "17/50"', "diluent-hyperoxic"),
    ],
)
def test_what_is_not_enough_for_a_loop_is_told_as_the_command_tells_it(desk, old, new, code):
    text = TEXT.replace(old, new)
    if "17/50" in new:
        text = text.replace('"12/60"', '"17/50"')
    assert text != TEXT
    result = result_of(text)
    command = loop_supply(result.dive, result.team).schedule.hazards
    codes = [one.code for one in result.hazards]
    assert codes == [one.code for one in command if "way-home" not in one.code]
    seen = seen_of(result, "/bench/1", 860)
    assert seen.enough is (code in {None, "diluent-hyperoxic"})
    assert code is None or code in codes


def test_loop_gas_absorbent_and_bailout_are_those_of_the_command(terrace, judged):
    told = loop_document(judged)["loop"]["divers"]
    assert [diver["name"] for diver in told] == ["Mirren", "Tove"]
    html = re.sub(r"<svg.*?</svg>", "", terrace.html, flags=re.DOTALL)
    text = " ".join(entities.unescape(re.sub(r"<[^>]+>", " ", html)).split())
    for own in judged.divers:
        for use in own.cylinders:
            assert volume_needed_label(use.used_free_l, judged.plan.units) in text
        for need in own.bailout:
            needed = volume_needed_label(free_litres(need.mix, need.needed_mol), judged.plan.units)
            assert f"{needed} needed of" in text
    assert "200 bar to 170 bar" in text
    assert "190 bar to 137 bar" in text
    assert "77 min of 190 min stated for swimming in this water, 30 min kept back" in text
    assert "1851 L needed of 2084 L , if the loop fails at 22 min, 66 m" in text
    assert "loop gas, absorbent and own bailout enough" in text
    assert "nor what one more minute at the bottom costs" in text
    assert "One more minute" not in text


def test_the_way_home_is_that_from_a_loop(terrace, judged):
    path = re.search(r'href="(/bench/1/way/[^"]*)"', terrace.html)[1]
    part = terrace.desk.get(entities.unescape(path), headers=HTMX).text
    for row in judged.grid.rows:
        assert row.failure.name in part
    assert "There is a way home from each of 76 minutes, whichever of 10 failures" in part
    assert "lift is not worked out for a closed circuit yet" in part
    row = re.search(r'href="(/bench/1/how/[^"]*/way/0)"', part)[1]
    assert "loop lost, own bailout" in terrace.desk.get(row).text


def test_every_number_of_a_loop_opens_and_none_is_of_open_circuit(terrace):
    paths = dict.fromkeys(re.findall(r'class="number" href="([^"]*)"', terrace.html))
    assert any("/feeding/" in path for path in paths)
    assert any("/absorbent/" in path for path in paths)
    assert any("/bailout/" in path for path in paths)
    assert any("/working/loop-ppo2" in path for path in paths)
    for path in paths:
        assert "/working/oxygen-pressure" not in path
        answer = terrace.desk.get(entities.unescape(path), headers=HTMX)
        assert answer.status_code == 200, (path, answer.text)
        assert "on 12/60" not in answer.text, path
    key = re.search(r'data-key="(\w+)"', terrace.html)[1]
    for what in ("feeding/9/0", "feeding/0/9", "absorbent/9", "bailout/0/9", "cylinder/0/0"):
        assert terrace.desk.get(f"{terrace.path}/how/{key}/{what}").status_code == 422
    assert terrace.desk.get(f"{terrace.path}/how/{key}/minute").status_code == 422


def test_accounts_name_the_setpoint_and_add_up(terrace, judged):
    key = re.search(r'data-key="(\w+)"', terrace.html)[1]

    def account(what):
        return terrace.desk.get(f"{terrace.path}/how/{key}/{what}", headers=HTMX).text

    assert "on loop 1.2" in account("runtime")
    assert "on loop 1.4" in account("cns")
    need = judged.divers[1].bailout[0]
    told = account("bailout/1/0")
    assert "The loop fails at 22 min, 66 m, and Tove goes home" in told
    litres = [float(value) for value in re.findall(r">([\d.]+) L<", told.split("needed")[0])]
    assert sum(litres[1:]) == pytest.approx(free_litres(need.mix, need.needed_mol), rel=0.01)
    used = account("feeding/0/1")
    assert "of all oxygen used up by the diver" in used
    assert "/working/metabolic-oxygen" in used


@pytest.mark.parametrize(
    "typed",
    [
        {"title": "Another title"},
        {"level.0.depth_m": "60"},
        {"model.gradient_low_pct": "35"},
        {"cylinder.2.pressure_bar": "210"},
        {"gas.2.switch_at_m": "18"},
        {"water.temperature_c": "12"},
        {"partner.0.name": "Ada", "cylinder.0.diver": "Mirren, Ada", "cylinder.1.diver":
         "Mirren, Ada", "cylinder.2.diver": "Mirren, Ada", "cylinder.3.diver": "Mirren, Ada"},
        {"reserve.problem_min": "3"},
    ],
)  # fmt: skip
def test_the_text_of_the_loop_survives_every_other_edit(typed):
    work = work_of_form(fields(TEXT, **typed), TEXT, "")
    assert not work.faults
    assert work.text != TEXT
    assert loop_lines(work.text) == loop_lines(TEXT)


def test_a_sheet_that_is_not_changed_keeps_the_whole_text():
    assert work_of_form(fields(TEXT), TEXT, "").text == TEXT
    assert work_of_form(fields(TEXT), TEXT, "add:partner").text == TEXT


def test_the_diluent_of_the_loop_follows_its_gas():
    work = work_of_form(fields(TEXT, **{"gas.0.mix": "10/65"}), TEXT, "")
    assert not work.faults
    before, after = TEXT.splitlines(), work.text.splitlines()
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 3  # the gas, its cylinder, the loop
    assert all(new == old.replace("12/60", "10/65") for old, new in changed)
    assert read_plan_text(work.text).loop.diluent == "10/65"


def test_a_row_of_gas_added_to_a_loop_is_bailout():
    work = work_of_form(fields(TEXT), TEXT, "add:gas")
    assert work.data["gas"][-1]["use"] == "bailout"
    less = work_of_form(fields(TEXT), TEXT, "drop:cylinder:2")
    assert any("no cylinder of 18/45" in fault.what for fault in less.faults)


def test_a_cure_of_a_loop_leaves_the_rest_of_it(desk):
    text = TEXT.replace('"12/60"', '"17/50"')
    result = result_of(text)
    mends = [mend for hazard in result.hazards for mend in hazard.mends]
    assert mends
    from slatewright.desk.bench.tables import mend_seen  # noqa: PLC0415 - one test alone

    for mend in mends:
        try:
            work = cured(work_of_text(text), mend_seen(mend).written)
        except InputError:
            continue
        before, after = tomllib.loads(text)["loop"], tomllib.loads(work.text)["loop"]
        assert before | {"diluent": ""} == after | {"diluent": ""}


def test_the_sheet_says_that_it_has_no_fields_for_the_loop(terrace):
    assert "The sheet has no fields for the loop" in terrace.html
    assert 'value="diluent" selected' in terrace.html
    assert 'value="bailout" selected' in terrace.html


def test_a_loop_is_read_and_written_in_feet(terrace):
    feet = terrace.send("sheet", view="imperial").text
    assert figure(feet, "highest ppO2") == "1.40"
    assert "1.3 bar from 98.4 ft" in feet
    written = terrace.send("turn", do="convert")
    assert written.status_code == 200, written.text
    loop = read_plan_text(entities.unescape(Sheet.hidden(_as(written.text), "text"))).loop
    assert loop.setpoint_bottom_bar == 1.2
    assert [one.bar for one in loop.setpoint_up] == [1.2, 1.3, 1.4]


def test_two_variants_of_a_loop_and_of_an_open_circuit_stand_side_by_side(terrace):
    terrace.take(terrace.send("turn", do="aside").text)
    both = terrace.send("sheet", {"level.0.depth_m": "60"}).text
    assert "12/60 for the loop" in both
    assert "O2 for the loop" in both
    assert "12/60 breathed" not in both


def test_the_slate_of_a_loop_is_that_of_the_command(terrace):
    slate = terrace.send("slate", htmx=False)
    assert slate.status_code == 200, slate.text
    assert slate.content.startswith(b"%PDF")
    short = {"cylinder.3.pressure_bar": "120"}
    refused = terrace.send("slate", short, htmx=False)
    assert refused.status_code == 422
    assert terrace.send("slate", short, htmx=False, override="Mirren").content.startswith(b"%PDF")


def test_json_has_the_gas_of_a_loop_as_the_command_has(terrace, judged):
    answer = terrace.desk.get("/api/plans/1/dive", params={"gas": "true"})
    assert answer.status_code == 200, answer.text
    assert answer.json() == loop_document(judged)


def _as(html):
    sheet = Sheet.__new__(Sheet)
    sheet.html = html
    return sheet
