"""``slatewright fill`` and ``slatewright analyse``, as a person and as a script meet them."""

from __future__ import annotations

import json
import re
import shutil

import pytest
from pypdf import PdfReader

from slatewright.fill.session import do_fill_file

from .conftest import EXAMPLES

FOLDER = EXAMPLES / "fill-room"
WALL = FOLDER / "the-wall.toml"
QUARRY = FOLDER / "quarry-imperial.toml"
WIDTH = 80

FILL = """
schema = "slatewright/fill/1"
title = "One set"
units = "metric"
date = 2031-05-10
{plan}
[[source]]
name = "helium"
gas = "helium"
[[source]]
name = "oxygen"
gas = "O2"
[[source]]
name = "compressor"
gas = "air"
[[cylinder]]
name = "back"
size = "twin 12"
holds = "18/45"
gauge_bar = 80
known = "both analysed"
test_due = 2033-01-31
oxygen_clean = true
owner = "Mirren"
[[fill]]
cylinder = "back"
mix = "18/45"
to_bar = 220
"""
ANALYSIS = """
[[analysis]]
cylinder = "back"
o2_percent = {o2}
{he}
by = "Mirren"
at = 2031-05-10T17:40:00
gauge_bar = 219
"""


@pytest.fixture
def fill_file(tmp_path):
    """Write a fill file with one cylinder, analysed or not."""

    def write(o2=None, he=None, plan=None):
        words = "" if plan is None else f'plan = "{plan}"'
        text = FILL.format(plan=words)
        if o2 is not None:
            text += ANALYSIS.format(o2=o2, he="" if he is None else f"he_percent = {he}")
        path = tmp_path / "fill.toml"
        path.write_text(text, "utf-8")
        return path

    return write


def flat(text):
    return " ".join(text.split())


def test_every_reading_is_shown_in_order_and_what_is_refused_too(run):
    done = run("fill", WALL)
    assert done.exit_code == 3
    session = do_fill_file(WALL)
    at = 0
    for fill in session.fills:
        at = done.stdout.index(fill.blend.receiver.label.upper(), at)
        for number, step in enumerate(fill.blend.steps, 1):
            at = done.stdout.index(f"[ ] {number} {step.source} to", at)
            at = done.stdout.index(f"{step.gauge_bar:.1f} bar", at)
        at = done.stdout.index(f"{fill.blend.settled_gauge_bar:.1f} bar", at)
    assert "CASPER OLD STAGE" in done.stdout[at:]
    assert "NOT FILLED" in done.stdout[at:]
    assert "not everything can be filled" in done.stderr
    assert "its test was valid until 2031-02-28" in done.stderr


def test_what_a_filler_has_to_know(run):
    text = flat(run("fill", WALL).stdout)
    for words in (
        "only oxygen of what is in it was analysed",
        "NOT SURE: only 83 of 100 are within 1 and 2. Step 1, helium, matters most",
        "open helium B until both show",
        "boost helium A until",
        "helium A 62.0 to 26.7 bar",
        "278.54 EUR",
        "analyse oxygen 10.0 %, helium 70.0 %",
        "oxygen-clean equipment",
        "local law on pressure vessels",
    ):
        assert words in text, words


@pytest.mark.parametrize("path", [WALL, QUARRY, FOLDER / "the-wall-analysed.toml"])
def test_it_reads_at_eighty_columns(run, path):
    for line in run("fill", path).stdout.splitlines():
        assert len(line) <= WIDTH, line
        assert line == line.rstrip()


def test_a_file_in_psi_speaks_psi(run):
    done = run("fill", QUARRY)
    assert done.exit_code == 0
    assert done.stderr == ""
    assert "964 psi" in flat(done.stdout)
    assert " bar" not in done.stdout
    assert "°C" not in done.stdout


def test_the_document_can_be_checked_again(run):
    """What was in, less what was drained, plus what was added is what is in: three gases."""
    done = run("fill", WALL, "--json")
    told = json.loads(done.stdout)
    assert told["schema"] == "slatewright/filled/1"
    assert [one["cylinder"] for one in told["refused"]] == ["Casper old stage"]
    for fill in told["fills"]:
        inside = dict(fill["before"])
        for step in fill["steps"]:
            sign = -1.0 if step["kind"] == "drain" else 1.0
            shares = {"o2_mol": step["o2"], "he_mol": step["he"]}
            shares["n2_mol"] = 1.0 - sum(shares.values())
            for gas, share in shares.items():
                inside[gas] += sign * step["amount_mol"] * share
            moved = sum(move["amount_mol"] for move in step["moves"])
            assert not step["moves"] or moved == pytest.approx(step["amount_mol"], rel=1e-9)
        assert inside == pytest.approx(fill["after"], abs=1e-9)
        assert fill["after"]["he_mol"] / sum(fill["after"].values()) == pytest.approx(
            fill["target"]["he"], abs=1e-9
        )
    lines = [line for fill in told["fills"] for line in fill["bill"]["lines"]]
    cents = sum(round(float(line["cost"]) * 100) for line in lines)
    assert cents == round(float(told["bill"]["total"]) * 100)


def test_the_order_of_a_week(run):
    done = run("fill", FOLDER / "the-week.toml")
    assert done.exit_code == 0
    text = flat(done.stdout)
    for words in (
        "GAS TO ORDER 51 fills, with the booster",
        "order 4 x helium 50; fewer would not do",
        "THE SAME WITHOUT THE BOOSTER",
        "IF A DIVE DROPS OUT",
        "THE FILLS in the order in which they are done",
    ):
        assert words in text, words
    assert all(len(line) <= WIDTH for line in done.stdout.splitlines())


def test_a_leftover_is_told_with_what_could_be_done(run, fill_file):
    path = fill_file()
    more = """
[[cylinder]]
name = "old twin"
size = "twin 12"
holds = "15/55"
gauge_bar = 90
known = "oxygen analysed"
test_due = 2033-01-31
oxygen_clean = true
"""
    path.write_text(path.read_text("utf-8") + more, "utf-8")
    text = flat(run("fill", path).stdout)
    assert "LEFTOVER old twin: 90.0 bar of 15/55" in text
    assert "helium may be anything from" in text
    assert "fill to 18/45 for back" in text
    assert "of helium less" in text


def test_the_order_that_makes_a_bank_go_further(run, tmp_path):
    text = (
        FILL.format(plan='[room]\norder = "least bought"')
        .replace('gas = "helium"\n', 'gas = "helium"\n[[source.bank]]\nname = "A"\n'
                 "water_volume_l = 32\ngauge_bar = 200\n", 1)
        .replace('holds = "18/45"\ngauge_bar = 80', 'holds = "air"\ngauge_bar = 0')
        .replace('size = "twin 12"', 'size = "single 12"')
        .replace('mix = "18/45"\nto_bar = 220', 'mix = "50/20"\nto_bar = 200')
    )  # fmt: skip
    text += (
        text[text.index("[[cylinder]]") :].replace('"back"', '"second"').replace("50/20", "10/70")
    )
    path = tmp_path / "fill.toml"
    path.write_text(text, "utf-8")
    done = run("fill", path)
    assert done.exit_code == 0, done.stderr
    assert "In another order than written" in done.stdout
    assert done.stdout.index("SECOND") < done.stdout.index("BACK")
    path.write_text(text.replace("least bought", "as written"), "utf-8")
    assert run("fill", path).exit_code == 3


def test_faults_are_named_with_their_line(run, fill_file):
    path = fill_file()
    path.write_text(path.read_text("utf-8").replace("to_bar = 220", "to_bar = 600"), "utf-8")
    done = run("fill", path)
    assert done.exit_code == 2
    assert re.search(r"fill\.toml:\d+: fill\[1\]\.to_bar: 600 bar is out of range", done.stderr)
    assert done.stdout == ""
    assert run("fill", path.parent / "none.toml").exit_code == 2


def test_the_sheet_is_written_whole_or_not(run, tmp_path):
    sheet = tmp_path / "sheet.pdf"
    done = run("fill", QUARRY, "--sheet", sheet)
    assert done.exit_code == 0
    assert f"The fill sheet is in {sheet}." in done.stdout
    assert len(PdfReader(sheet).pages) == 1
    notes = tmp_path / "notes.pdf"
    notes.write_text("my own notes")
    done = run("fill", QUARRY, "--sheet", notes)
    assert done.exit_code == 2
    assert notes.read_text() == "my own notes"
    assert run("fill", QUARRY, "--sheet", tmp_path / "sheet.txt").exit_code == 2


def test_a_script_gets_json_alone(run, tmp_path):
    sheet = tmp_path / "sheet.pdf"
    done = run("fill", QUARRY, "--sheet", sheet, "--json")
    assert json.loads(done.stdout)["refused"] == []
    assert "The fill sheet is in" in done.stderr


def test_labels_need_an_analysis(run, fill_file, tmp_path):
    labels = tmp_path / "labels.pdf"
    for word in ("fill", "analyse"):
        done = run(word, fill_file(), "--labels", labels)
        assert done.exit_code == 2
        assert "nothing in it was analysed" in done.stderr
        assert not labels.exists()


@pytest.mark.parametrize("word", ["fill", "analyse"])
def test_labels_are_written(run, fill_file, tmp_path, word):
    labels = tmp_path / "labels.pdf"
    done = run(word, fill_file(18.3, 44.6), "--labels", labels)
    assert done.exit_code == 0, done.stderr
    text = flat(PdfReader(labels).pages[0].extract_text())
    # no plan and no use: 1.4 bar, by hand (1.4 / 0.183 - 1.01325) · 10 = 66.37
    assert "66m" in text
    assert "oxygen 18.3 %" in text
    assert "no use is named" in text


def test_inside_the_tolerance_the_plan_is_computed_again(run, fill_file, plan_file):
    plan = plan_file()
    done = run("analyse", fill_file(18.7, 44.1, plan=plan.name))
    assert done.exit_code == 0, done.stderr
    text = flat(done.stdout)
    assert "BACK 18/45 accepted" in text
    assert "THE SADDLE with the cylinders of Mirren" in text
    # by hand, EN 13319: 1.4 / 0.18 is 67.6 m, 1.4 / 0.187 is 64.7 m, towards the surface
    assert "! no deeper than 18/45 analysed 18.7/44.1 (bottom): 67.6 m planned, now 64.7 m" in text
    assert "way home were not looked at" in text
    assert "no deeper than 64 m (ppO2 1.4 bar: the plan, at the bottom)" in text


def test_outside_it_is_refused_with_the_fix(run, fill_file, plan_file):
    done = run("analyse", fill_file(19.6, 43.0, plan=plan_file().name))
    assert done.exit_code == 3
    text = flat(done.stdout)
    assert "BACK 18/45 REFUSED" in text
    assert "oxygen 19.6 % analysed, 18.0 % planned, 1.6 points off with 1 allowed" in text
    assert re.search(r"fix 1 drain to [\d.]+ bar .* then analyse again", text)
    assert "THE SADDLE" not in text
    assert "not everything is fit to dive" in done.stderr


def test_helium_that_nobody_analysed(run, fill_file):
    done = run("analyse", fill_file(18.0))
    assert done.exit_code == 3
    assert "only oxygen was analysed" in flat(done.stdout)
    assert "no plan is named" in flat(done.stdout)


def test_what_was_not_analysed_is_named(run, fill_file):
    path = fill_file(18.2, 44.8)
    text = path.read_text("utf-8")
    more = text[text.index("[[cylinder]]") : text.index("[[analysis]]")]
    path.write_text(text + more.replace('"back"', '"spare"'), "utf-8")
    done = run("analyse", path)
    assert done.exit_code == 3
    assert "NOT ANALYSED spare" in flat(done.stdout)
    assert "spare: is not analysed" in done.stderr


def test_a_fill_file_is_no_plan(run, fill_file):
    done = run("analyse", fill_file(18.2, 44.8), "--plan", QUARRY)
    assert done.exit_code == 2
    assert "quarry-imperial.toml" in done.stderr


def test_a_gas_on_which_the_plan_cannot_be_dived(run, fill_file, plan_file):
    plan = plan_file(gases=[("18/45", "bottom"), ("EAN50", "decompression")])
    done = run("analyse", fill_file(17.1, 45.0, plan=plan.name))
    assert done.exit_code == 3
    text = flat(done.stdout)
    assert "BACK 18/45 accepted" in text
    assert "NO DIVE" in text
    assert "Mirren, with 17.1/45 for 18/45" in flat(done.stderr)


def test_another_plan_and_house_rules(run, fill_file, plan_file, tmp_path):
    house = tmp_path / "house.toml"
    house.write_text(
        'schema = "slatewright/house-rules/1"\nppo2_bottom_max_bar = 1.3\n', encoding="utf-8"
    )
    done = run("analyse", fill_file(18.0, 45.0), "--plan", plan_file(), "--house", house)
    assert done.exit_code == 0, done.stderr
    # by hand: (1.3 / 0.18 - 1.01325) · 10 = 62.09
    assert "no deeper than 62 m (ppO2 1.3 bar" in flat(done.stdout)
    assert "nothing that matters is other than planned" in flat(done.stdout)


def test_the_document_of_analyses(run, fill_file, plan_file):
    done = run("analyse", fill_file(18.7, 44.1, plan=plan_file().name), "--json")
    told = json.loads(done.stdout)
    assert told["schema"] == "slatewright/analysed/1"
    assert told["fit"] is True
    (one,) = told["cylinders"]
    assert (one["o2"], one["he"], one["accepted"]) == (0.187, 0.441, True)
    (dive,) = told["dives"]
    assert dive["who"] == ["Mirren"]
    assert {"operating depth"} <= {change["what"] for change in dive["differences"]}


def test_turns_reserves_and_the_way_home_where_the_plan_names_cylinders(run, tmp_path):
    shutil.copytree(EXAMPLES, tmp_path / "examples")
    done = run("analyse", tmp_path / "examples" / "fill-room" / "the-wall-analysed.toml")
    assert done.exit_code == 3
    text = flat(done.stdout)
    assert "TOVE 50 EAN50 REFUSED" in text
    assert "were not looked at" not in text
    assert re.search(r"- keep \w+, left EAN50: [\d]+ (bar|psi) planned", text)
    assert all(len(line) <= WIDTH for line in done.stdout.splitlines())
