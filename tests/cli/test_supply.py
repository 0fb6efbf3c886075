"""The gas of a dive on the screen: every gauge of every diver, and what must be on it."""

from __future__ import annotations

import json
import math
import re
from itertools import pairwise

import pytest

from .conftest import EXAMPLES

WALL = EXAMPLES / "build-up-week" / "6-the-wall.toml"
QUARRY = EXAMPLES / "imperial" / "quarry-200ft.toml"
PSI_PER_BAR = 1e5 / 6894.757293168
"""NIST SP 811: a pound-force per square inch is 6894.757 Pa."""


def section(text, name="SUPPLY", until="WAY HOME"):
    return text[text.index(f"\n{name}") : text.index(f"\n{until}")]


def blocks(text):
    """Return label to rows, each a name with the numbers that stand in it."""
    found, rows = {}, {}
    for line in section(text).splitlines():
        head = re.match(r"  \S+ [^,]+, (\S+)  ", line)
        row = re.match(r"    ([a-z ]+?)  +([\d -]+)$", line)
        if line.startswith("  Minimum gas"):
            break
        if head:
            rows = found.setdefault(line.strip(), [])
        elif row:
            rows.append((row[1], row[2].split()))
    return found


@pytest.fixture(scope="module")
def texts():
    from typer.testing import CliRunner  # noqa: PLC0415 - kept beside its one use

    from slatewright.cli.app import app  # noqa: PLC0415 - same

    def told(plan, *more):
        return CliRunner().invoke(app, ["dive", str(plan), *more], env={"COLUMNS": "80"}).stdout

    return {plan: (told(plan), json.loads(told(plan, "--json"))) for plan in (WALL, QUARRY)}


@pytest.mark.parametrize("plan", [WALL, QUARRY], ids=["wall", "quarry"])
def test_every_cylinder_is_shown_rounded_to_the_safe_side_on_the_own_gauge(texts, plan):
    text, told = texts[plan]
    shown = blocks(text)
    labels = list(dict.fromkeys(c["cylinder"] for c in told["supply"]))
    assert len(shown) == len(labels)
    gauges = {d["name"]: d["gauge"] for d in told["reserves"]["divers"]}
    for label, rows in zip(labels, shown.values(), strict=True):
        held = [c for c in told["supply"] if c["cylinder"] == label]
        named = dict(rows)
        for key, name, up in (
            ("start_bar", "filled", False),
            ("end_bar", "end", False),
            ("turn_bar", "turn at", True),
            ("reserve_bar", "reserve", True),
        ):
            if name not in named:
                continue
            numbers = named[name][-len(held) :]
            for cylinder, number in zip(held, numbers, strict=True):
                psi = gauges[cylinder["diver"]] == "psi"
                exact = cylinder[key] * (PSI_PER_BAR if psi else 1.0)
                step = 1.0 if not psi else 10.0
                rounded = (math.ceil if up else math.floor)(round(exact / step, 6)) * step
                assert float(number) == pytest.approx(rounded), (label, name, cylinder["diver"])


def test_readings_at_each_change_are_those_of_the_document(texts):
    text, told = texts[WALL]
    rows = blocks(text)
    oxygen = next(rows[head] for head in rows if "OXYGEN" in head)
    used = [numbers for name, numbers in oxygen if name in {"put away", "end"}]
    readings = next(c for c in told["supply"] if c["gas"] == "O2")["readings"]
    falls = [
        later for before, later in pairwise(readings[1:]) if later["bar"] < before["bar"] - 1e-9
    ]
    assert [int(n[0]) for n in used] == [math.ceil(r["at_min"]) for r in falls]
    assert [int(n[2]) for n in used] == [math.floor(r["bar"] + 1e-9) for r in falls]


def test_minimum_gas_turn_reserve_and_price_are_told(texts):
    text, told = texts[WALL]
    said = " ".join(section(text).split())
    first = told["reserves"]["minimum"][0]
    for diver in told["reserves"]["divers"]:
        assert f"{diver['name']} carries for {diver['carries_for']}" in said
    assert re.search(r"96 m +2 min +\d+ min +\d+ +\d+ +\d+", section(text))
    assert first["next_gas"] in said
    decides = next(d["name"] for d in told["reserves"]["divers"] if d["turn"]["decides"])
    assert f"{decides} decides for all" in said
    minutes = told["reserves"]["bottom_minute"]["ascent_min"]
    assert f"{minutes:.0f} min more of ascent" in said


def test_what_is_planned_on_leaving_stands_above_the_minimum(texts):
    for text, _ in texts.values():
        back = next(rows for head, rows in blocks(text).items() if ", back" in head)
        named = dict(back)
        assert {"turn at", "leaving", "minimum"} <= set(named)
        assert named["leaving"][:2] == named["minimum"][:2]  # the same minute and depth


def test_unequal_kits_are_told_apart(run, team_file):
    plan = team_file()
    text = plan.read_text(encoding="utf-8")
    head, _, rich = text.partition('[[size]]\nname = "EAN50 vessel"')
    own = rich.replace('diver = ["Mirren", "Tove"]', 'diver = "Mirren"')
    other = (
        '[[cylinder]]\ngas = "EAN50"\nsize = "stage 11.1"\npressure_bar = 190\nplace = "right"\n'
        'diver = "Tove"\n'
    )
    plan.write_text(f'{head}[[size]]\nname = "EAN50 vessel"{own}{other}', encoding="utf-8")
    shown = section(run("dive", plan).stdout)
    assert "Mirren EAN50 vessel" in shown
    assert "Tove stage 11.1" in shown
    assert re.search(r"filled +220 +-\n", shown)
    assert re.search(r"filled +- +\d+\n", shown)


@pytest.mark.parametrize("width", [80, 120])
def test_mix_ups_in_short_and_at_length(run, monkeypatch, width):
    monkeypatch.setenv("COLUMNS", str(width))
    text = " ".join(run("dive", WALL).stdout.split())
    told = json.loads(run("dive", WALL, "--json").stdout)["mixups"]
    assert told["order"] in text
    assert "never alike" in text
    whole = " ".join(run("mixups", WALL).stdout.split())
    for pair in told["pairs"]:
        worst = pair["text"].partition("Worst: ")[2]
        assert worst in whole
    document = json.loads(run("mixups", WALL, "--json").stdout)
    assert document["schema"] == "slatewright/mixups/1"
    moments = {(m["moment"]["at_min"], m["moment"]["handling"]) for m in document["found"]}
    for _, handling in moments:
        assert handling in whole


LB_PER_KG = 1.0 / 0.45359237
"""NIST SP 811: a pound is 0.45359237 kg."""


@pytest.mark.parametrize("plan", [WALL, QUARRY], ids=["wall", "quarry"])
def test_lift_is_told_with_the_figures_of_the_document(texts, plan):
    text, told = texts[plan]
    said = " ".join(section(text, "LIFT").split())
    imperial = plan == QUARRY
    unit, factor = ("lb", LB_PER_KG) if imperial else ("kg", 1.0)
    assert len(told["lift"]) == (2 if imperial else 3)
    for own in told["lift"]:
        heavy = -own["heaviest"]["net_kg"] * factor
        light = -own["lightest"]["net_kg"] * factor
        assert heavy > light > 0.0  # nobody floats
        heavy, light = math.ceil(heavy * 10.0 - 1e-6) / 10, math.floor(light * 10.0 + 1e-6) / 10
        wing = f"{own['rig']['wing_lift_kg'] * factor:.1f} {unit}"
        assert re.search(
            rf"{own['name']} heaviest [^;]*: {heavy:.1f} {unit} to lift, where the wing lifts "
            rf"{wing}; lightest [^;]*: {light:.1f} {unit} to lift",
            said,
        ), own["name"]
        for assumption in own["assumptions"]:
            assert assumption in said
    assert "not judged" not in said
    codes = {hazard["code"] for hazard in told["hazards"]}
    assert not codes & {"floats", "beyond-wing", "heavy-without-wing"}


def test_lift_without_rig_is_said_once_to_be_not_judged(run, team_file):
    text = run("dive", team_file()).stdout
    assert "LIFT  not judged: no rig in the plan" in text
    assert text.count("no rig in the plan") == 1


def test_lift_of_one_with_a_rig_beside_one_without(run, team_file):
    rig = """[rig]
wing_lift_kg = 25
suit = "drysuit"
suit_gas_l = 8
person_buoyancy_kg = 40
"""
    plan = team_file(head=rig)
    text = run("dive", plan).stdout
    said = section(text, "LIFT")
    assert re.search(r"\n  Mirren +heaviest", said)
    assert re.search(r"\n  Tove +not judged: no rig in the plan", said)
    assert "DANGER  floats" in text
    assert "Mirren: " in text[text.index("DANGER  floats") :]
