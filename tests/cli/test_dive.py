"""``slatewright dive``: what a person reads, in metres and feet, narrow and wide."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from slatewright import cautions
from slatewright.decompression import readiness
from slatewright.dive import chain
from slatewright.dive.house_rules import HouseRules
from slatewright.paper.slate_rows import RowKind, slate_rows
from slatewright.supply import reading

from .conftest import EXAMPLES

WALL = EXAMPLES / "build-up-week" / "6-the-wall.toml"
LEDGE = EXAMPLES / "build-up-week" / "4-the-ledge.toml"
QUARRY = EXAMPLES / "imperial" / "quarry-200ft.toml"
ROW = re.compile(
    r" (surface|bottom|change|stop|break) +(\d+) +([\d.]+) +(\d+)? +(.)([A-F])(.) (\S+) "
)


def table_rows(text):
    return [match.groups() for line in text.splitlines() if (match := ROW.match(line + " "))]


def test_the_table_agrees_with_the_slate(run):
    """Times, depths, stops and gases on the screen are those that the slate prints."""
    shown = table_rows(run("dive", WALL).stdout)
    dive = chain.schedules_of(WALL, HouseRules())[-1]
    names = {"O2": "OXYGEN", "air": "AIR"}
    printed = [
        (row.until_min, f"{row.depth_m:g}", row.stop_min, names.get(str(row.gas), str(row.gas)))
        for row in slate_rows(dive.legs).rows
    ]
    first_level = next(i for i, row in enumerate(shown) if row[0] == "bottom")
    read = [
        (int(leave), depth, int(stop) if stop else None, gas)
        for _, leave, depth, stop, _, _, _, gas in shown[first_level:]
    ]
    assert read == printed
    assert shown[0][:3] == ("surface", "0", "0")


def test_every_gas_has_one_mark_and_a_shape_of_its_own(run):
    shown = table_rows(run("dive", WALL).stdout)
    marks = {gas: (left, letter, right) for *_, left, letter, right, gas in shown}
    assert marks == {
        "10/70": ("(", "A", ")"),
        "21/35": ("[", "B", "]"),
        "EAN50": ("/", "C", "\\"),
        "OXYGEN": ("<", "D", ">"),
    }
    assert len({(row[7], row[5]) for row in shown}) == len(marks)


def test_each_change_of_gas_has_a_rule_across_the_table(run):
    text = run("dive", WALL).stdout
    rules = [line for line in text.splitlines() if line.startswith(" \u2501")]
    shown = table_rows(text)
    changes = sum(a[7] != b[7] for a, b in pairwise(shown))
    assert len(rules) == changes
    assert any("36 m" in rule and "CHANGE TO (A) 10/70" in rule for rule in rules)
    assert any("BREAK ON [B] 21/35" in rule for rule in rules)
    assert any("BACK TO <D> OXYGEN" in rule for rule in rules)
    assert len({len(rule) for rule in rules}) == 1


def test_the_ppo2_beside_each_row(run):
    """Checked by Dalton's law with the weight of sea water by convention: 1025 kg/m3."""
    per_m = 1025 * 9.80665 / 1e5
    fractions = {"10/70": 0.10, "21/35": 0.21, "EAN50": 0.5, "OXYGEN": 1.0}
    rows = table_rows(run("dive", WALL).stdout)
    lines = [line for line in run("dive", WALL).stdout.splitlines() if ROW.match(line + " ")]
    for (_, _, depth, *_, gas), line in zip(rows, lines, strict=True):
        shown = float(re.search(rf"{gas} +(\d\.\d\d)", line)[1])
        assert shown == pytest.approx(fractions[gas] * (1.01325 + float(depth) * per_m), abs=0.006)


def test_imperial_is_read_in_feet_on_levels_of_ten(run):
    text = run("dive", QUARRY).stdout
    rows = table_rows(text)
    assert {int(row[2]) % 10 for row in rows} == {0}
    assert max(int(row[2]) for row in rows) == 200
    assert "levels of 10 ft" in text
    assert not re.search(r"\d m\b", text)
    assert "60 ft/min" in text


def test_what_stands_beside_the_table(run):
    text = run("dive", LEDGE).stdout
    for part in ("TRAVEL GAS", "OXYGEN ON SURFACING", "HOUSE RULES", "HAZARDS", "SECOND CHECK"):
        assert part in text
    assert "12 m, as the plan asks" in text
    assert re.search(r"window +2 m to 18 m", text)
    assert re.search(r"CNS share +\d+\.\d %", text)
    assert re.search(r"lungs +\d+ OTU today; day 4 allows 525", text)
    assert "floor_bar = 0.18" in text
    assert "after 3 earlier dives" in text


def test_the_cautions_are_those_of_the_house(run):
    text = " ".join(run("dive", QUARRY).stdout.split())
    for caution in cautions.PLANNING:
        assert caution in text


def test_hazards_are_numbered_and_marked_in_their_row(run):
    text = run("dive", WALL).stdout
    bottom = next(line for line in text.splitlines() if line.startswith(" bottom"))
    assert "!1" in bottom
    assert re.search(r"!1 WARNING  dense gas  at \d", text)
    for word in ("what", "why", "cure", "rules"):
        assert re.search(rf"^     {word} ", text, re.MULTILINE)


@pytest.mark.parametrize("width", [80, 120, 200])
@pytest.mark.parametrize("plan", [WALL, QUARRY])
def test_no_line_is_wider_than_the_screen_or_ends_in_spaces(run, monkeypatch, width, plan):
    monkeypatch.setenv("COLUMNS", str(width))
    lines = run("dive", plan).stdout.splitlines()
    assert max(map(len, lines)) <= min(width, 120)
    assert all(line == line.rstrip() for line in lines)


def test_a_wide_screen_has_the_notes_beside_the_table(run, monkeypatch):
    narrow = run("dive", WALL).stdout.splitlines()
    monkeypatch.setenv("COLUMNS", "120")
    wide = run("dive", WALL).stdout.splitlines()
    assert len(wide) < len(narrow)
    assert any(line.startswith("            leave") and "TRAVEL GAS" in line for line in wide)


def test_colour_only_where_it_is_wanted(start):
    plain = start("dive", QUARRY).stdout
    coloured = start("dive", QUARRY, env={"FORCE_COLOR": "1", "TERM": "xterm"}).stdout
    colourless = start("dive", QUARRY, env={"FORCE_COLOR": "1", "NO_COLOR": "1"}).stdout
    escape = re.compile(r"\x1b\[([\d;]*)m")
    assert not escape.search(plain)
    assert escape.sub("", coloured) == plain == escape.sub("", colourless)
    codes = {code for found in escape.findall(colourless) for code in found.split(";")}
    assert codes <= {"0", "1", "2", "7", "22"}  # bold, dim, reverse, and none of the colours


def test_magenta_is_for_cautions_alone(start):
    text = start("dive", WALL, env={"FORCE_COLOR": "1", "TERM": "xterm"}).stdout
    magenta = re.findall(r"\x1b\[[\d;]*35m([^\x1b]*)", text)
    assert magenta
    allowed = re.compile(r"!\d( !\d)*|!\d (DANGER|WARNING|NOTE)|CAUTIONS|  (!\d ?)+")
    assert all(allowed.fullmatch(words) for words in magenta), magenta


def test_a_terminal_of_plain_letters_gets_plain_signs(start):
    done = start("dive", WALL, env={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert "= CHANGE TO (A) 10/70 =" in done.stdout
    assert "?" not in done.stdout


def test_house_rules_that_differ_are_shown_with_what_was_shipped(run, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text('schema = "slatewright/house-rules/1"\noxygen_narcotic = false\n')
    text = run("dive", QUARRY, "--house", own).stdout
    assert "oxygen_narcotic = false  (shipped: true)" in text
    assert str(own) in "".join(text.split("\n")).replace(" ", "") or str(own) in text


def test_own_house_rules_are_found_where_the_machine_keeps_settings(run, tmp_path):
    folder = tmp_path / "config" / "slatewright"
    folder.mkdir(parents=True)
    (folder / "house-rules.toml").write_text(
        'schema = "slatewright/house-rules/1"\nppo2_bottom_max_bar = 1.3\n'
    )
    assert "ppo2_bottom_max_bar = 1.3  (shipped: 1.4)" in run("dive", QUARRY).stdout


def test_a_dive_without_stops(run, plan_file):
    text = run("dive", plan_file(gases=[("EAN32", "bottom")], levels=[(15, 10)])).stdout
    assert "no stops" in text
    assert [row[0] for row in table_rows(text)] == ["surface", "bottom", "surface"]


def test_a_failed_second_check_shows_and_writes_nothing(run, monkeypatch, tmp_path):
    honest = reading.schedules_of_chain

    def forged(links, rules):
        *before, last = honest(links, rules)
        verdict = replace(last.verdict, passed=False, findings=("21 m is left too early",))
        return (*before, replace(last, verdict=verdict))

    monkeypatch.setattr(reading, "schedules_of_chain", forged)
    slate, chart = tmp_path / "slate.pdf", tmp_path / "chart.svg"
    for more in ((), ("--json",)):
        done = run("dive", QUARRY, "--slate", slate, "--chart", chart, *more)
        assert done.exit_code == 3
        assert done.stdout == ""
        assert "second check contradicts" in done.stderr
        assert "21 m is left too early" in done.stderr
        assert not slate.exists()
        assert not chart.exists()


def test_a_failed_check_of_an_earlier_dive_refuses_the_last(run, monkeypatch):
    honest = reading.schedules_of_chain

    def forged(links, rules):
        first, *rest = honest(links, rules)
        verdict = replace(first.verdict, passed=False, findings=("forged",))
        return (replace(first, verdict=verdict), *rest)

    monkeypatch.setattr(reading, "schedules_of_chain", forged)
    done = run("dive", LEDGE)
    assert done.exit_code == 3
    assert "The shelf, 45 m: forged" in done.stderr


def test_the_first_run_says_that_it_compiles(run, monkeypatch):
    monkeypatch.setattr(readiness, "must_compile", lambda: True)
    done = run("dive", QUARRY, "--json")
    assert "compiling the decompression kernel" in done.stderr
    assert done.stdout.startswith("{")


def test_the_screen_rows_end_at_the_surface(run):
    for plan in (WALL, LEDGE, QUARRY):
        rows = table_rows(run("dive", plan).stdout)
        assert rows[-1][0] == RowKind.SURFACE
        leaves = [int(row[1]) for row in rows]
        assert leaves == sorted(leaves)
