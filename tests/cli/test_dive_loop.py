"""``slatewright dive`` for a closed circuit: screen, document, slate and refusals."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import pytest
from pypdf import PdfReader

from slatewright.physics.water import Water

from .conftest import EXAMPLES, ROOT

TERRACE = EXAMPLES / "closed-circuit" / "1-the-terrace.toml"
SCHEMA = json.loads((ROOT / "src/slatewright/data/dive-1.schema.json").read_text("utf-8"))


def changed(tmp_path, *pairs) -> Path:
    text = TERRACE.read_text("utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_screen_speaks_of_loop_diluent_and_setpoint(run):
    done = run("dive", TERRACE)
    assert done.exit_code == 0, done.stderr
    for words in ("SET THE SETPOINT", "loop 1.0", "loop 1.4", "LOOP", "diluent", "bailout",
                  "absorbent", "each diver's own brings home from every minute",
                  "loop lost, bailout shared", "not"):  # fmt: skip
        assert words in done.stdout
    assert "CHANGE TO" not in done.stdout


def test_the_document_keeps_to_its_schema_and_its_mass_balance(run):
    told = json.loads(run("dive", TERRACE, "--json").stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(told)
    loop = told["loop"]
    setpoints = {leg["setpoint_bar"] for leg in told["legs"]}
    assert setpoints == {0.7, 1.0, 1.2, 1.3, 1.4}
    volume_l, kelvin, gas_constant = 7.0, 284.15, 8.31446261815324
    left = 1e5 * Water().surface_bar * volume_l / 1000 / (gas_constant * kelvin)
    for diver in loop["divers"]:
        total = diver["total"]
        went = total["used_mol"] + total["vented_oxygen_mol"] + total["vented_inert_mol"]
        assert total["oxygen_mol"] + total["diluent_mol"] == pytest.approx(went + left, abs=1e-6)
        feeds = {c["feeds"]: c["used_mol"] for c in diver["cylinders"]}
        assert feeds["oxygen"] == pytest.approx(total["oxygen_mol"])
        assert feeds["diluent"] == pytest.approx(total["diluent_mol"])


def test_without_cylinders_the_schedule_alone_is_told(run, tmp_path):
    text = "\n\n".join(
        part for part in TERRACE.read_text("utf-8").split("\n\n")
        if not part.startswith(("[[cylinder]]", "[[partner]]"))
    )  # fmt: skip
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    told = json.loads(run("dive", path, "--json").stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(told)
    assert "divers" not in told["loop"]
    assert "no cylinders" in told["not_judged"]


def test_the_slate_marks_each_change_of_setpoint_and_bears_the_bailouts(run, tmp_path):
    target = tmp_path / "slate.pdf"
    assert run("dive", TERRACE, "--slate", target).exit_code == 0
    text = "\n".join(page.extract_text() for page in PdfReader(target).pages)
    assert text.count("SET THE SETPOINT") == 4  # 20 m down, 66 m, 30 m and 12 m up
    assert "LOOP 1.3" in text
    assert "diluent 12/60" in text
    assert text.count("bailout") == 2


def test_too_little_bailout_refuses_the_slate_until_somebody_answers_for_it(run, tmp_path):
    path = changed(tmp_path, ('size = "stage 11.1"\npressure_bar = 200',
                              'size = "stage 11.1"\npressure_bar = 60'))  # fmt: skip
    target = tmp_path / "slate.pdf"
    refused = run("dive", path, "--slate", target)
    assert refused.exit_code == 3
    assert "NO WAY HOME" in refused.stdout
    assert "not enough EAN50" in refused.stderr
    assert not target.exists()
    done = run("dive", path, "--slate", target, "--on-my-word", "Mirren")
    assert done.exit_code == 0
    assert "Mirren" in PdfReader(target).pages[0].extract_text()


def test_faults_of_the_loop_bear_their_line(run, tmp_path):
    path = changed(tmp_path, ("setpoint_bottom_bar = 1.2", "setpoint_bottom_bar = 1.9"))
    done = run("dive", path)
    assert done.exit_code == 2
    line = path.read_text("utf-8").splitlines().index("setpoint_bottom_bar = 1.9") + 1
    assert f":{line}" in done.stderr or f"line {line}" in done.stderr
    assert re.search(r"0\.4 to 1\.6", done.stderr)


def test_a_setpoint_over_the_house_rule_has_no_safe_answer(run, tmp_path):
    path = changed(tmp_path, ("setpoint_bottom_bar = 1.2", "setpoint_bottom_bar = 1.5"))
    done = run("dive", path)
    assert done.exit_code == 3
    assert "over the limit of 1.4 bar" in done.stderr


def test_the_way_home_from_a_loop(run, tmp_path):
    done = run("wayhome", TERRACE)
    assert done.exit_code == 0
    for row in ("loop lost, own bailout", "loop and EAN50 lost", "all loops lost"):
        assert row in done.stdout
    without = run("wayhome", changed(tmp_path, ("pressure_bar = 225", "pressure_bar = 40")))
    assert without.exit_code == 3
    assert "loop lost, own bailout" in without.stderr


def test_what_is_not_known_of_a_loop_is_said(run):
    done = run("mixups", TERRACE)
    assert done.exit_code == 2
    assert "closed circuit" in done.stderr
